"""Where each saw line is marked on a slab with a tape, how long it is, and in how many passes it is sawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.calculators.mix import of_tool
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.layout.sawing import marked_saws
from workshop.layout.slab_shape import slab_shape
from workshop.layout.sources import slab_edges
from workshop.quantity import COUNT, LENGTH, VOLUME, Amount
from workshop.trade.face_pair import Line
from workshop.trade.outline import crosses_itself
from workshop.trade.saw_line import LineOnSlab, distance_off, distance_to, line_on_slab
from workshop.trade.saw_reach import SawReach, saw_reach

NEAR: Final = 0.005
"""m: a mark this near to a line may be taken to lie on its other side (common practice, no source)."""

Corner = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH]]
Named = tuple[
    str,
    str,
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
]


class Inputs(CalculatorInputs):
    """A slab, its saw lines and the saw."""

    alternatives = (("line", "lines"),)

    outline: tuple[Corner, ...] = given(
        "outline of the upper face", help="corners along the tape and left of it, in order round the face"
    )
    line: tuple[Corner, Corner] | None = given(
        "saw line", default=None, help="two points of it; it runs on to both edges"
    )
    lines: tuple[Named, ...] = given(
        "saw lines",
        default=(),
        help='rows of name, the piece that it trims ("" for all of the slab), and two points; a line that '
        "trims a piece ends at its points",
    )
    marks: tuple[tuple[str, Annotated[float, LENGTH], Annotated[float, LENGTH]], ...] = given(
        "marks of the pieces", default=(), help="rows of piece, along the tape, left of it"
    )
    holes: tuple[tuple[Corner, ...], ...] = given(
        "holes", default=(), help="outlines of what is missing, along the tape and left of it"
    )
    thickness: Annotated[float, LENGTH] | None = given(
        "thickness of the slab", default=None, above=0.0, high=1.0
    )
    depth_on_rail: Annotated[float, LENGTH] | None = given(
        "depth of cut on the rail", default=None, above=0.0, high=1.0
    )
    depth_off_rail: Annotated[float, LENGTH] | None = given(
        "depth of cut off the rail", default=None, above=0.0, high=1.0
    )
    kerf: Annotated[float, LENGTH] = given("kerf", default=0.0, low=0.0, high=0.02)


@dataclass(frozen=True, slots=True)
class SawLineOnSlab:
    """A named line as typed, and where it lies on the slab (None: it misses it)."""

    name: str
    of: str
    line: Line
    on: LineOnSlab | None


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.saw_line.line_on_slab` and `trade.saw_reach.saw_reach`."""
    if len(inputs.outline) < 3 or crosses_itself(inputs.outline):
        raise InputError("outline", "give at least three corners in order round the face")
    every = _lines(inputs)
    met = [(held, held.on) for held in every if held.on is not None]
    reach = None
    if inputs.thickness is not None and inputs.depth_on_rail is not None:
        reach = saw_reach(inputs.thickness, inputs.depth_on_rail, inputs.depth_off_rail)
    lengths = tuple(Amount(on.length, LENGTH) for _, on in met)
    count = Amount(len(met), COUNT)
    figures = [
        Figure("lines", "saw lines", float(len(met)), COUNT, Working("lines = n", {"n": count}, "count")),
        Figure(
            "length",
            "length of the cuts in wood",
            sum(on.length for _, on in met),
            LENGTH,
            Working(
                "length = sum(lengths)", {"lengths": lengths}, "geometry", ("measured on the upper face",)
            ),
        ),
        *(_marks(met[0][1]) if len(met) == 1 else ()),
        *(_passes(met, reach) if reach is not None else ()),
        *(_dust(inputs, lengths) if inputs.thickness is not None else ()),
    ]
    findings = [*_misses(inputs, every), *_near_mark(inputs, every), *_through_hole(inputs, met)]
    return Result(tuple(figures), tuple(findings), dict(_tables(met, reach)))


def _lines(inputs: Inputs) -> tuple[SawLineOnSlab, ...]:
    rows = [] if inputs.line is None else [("line", "", *inputs.line[0], *inputs.line[1])]
    made = []
    for name, of, ax, ay, bx, by in (*rows, *inputs.lines):
        line = ((ax, ay), (bx, by))
        try:
            on = line_on_slab(inputs.outline, line, inputs.holes, runs_on=not of)
        except ValueError as error:
            raise InputError("line" if rows else "lines", str(error)) from None
        made.append(SawLineOnSlab(name, of, line, on))
    return tuple(made)


def _marks(on: LineOnSlab) -> Iterator[Figure]:
    for key, (along, off), which in (("start", on.start, "start"), ("end", on.end, "end")):
        for id, title, value, words in (
            ("along", "along the tape", along, "along the tape from its zero"),
            (
                "offset",
                "off the tape, left of it above zero",
                off,
                "square to the tape, left of it above zero",
            ),
        ):
            yield Figure(
                f"{id}-{key}",
                f"{which} of the line, {title}",
                value,
                LENGTH,
                Working(
                    f"the line followed to where it meets the outline at its {which}, read {words}",
                    {"along": Amount(along, LENGTH), "off": Amount(off, LENGTH)},
                    "geometry",
                    simulation=True,
                ),
            )


def _passes(met: list[tuple[SawLineOnSlab, LineOnSlab]], reach: SawReach) -> Iterator[Figure]:
    yield Figure(
        "passes",
        "passes in all",
        float(len(met) * len(reach.passes)),
        COUNT,
        Working(
            "passes = lines*each",
            {"lines": Amount(len(met), COUNT), "each": Amount(len(reach.passes), COUNT)},
            COMMON_PRACTICE,
            tuple(f"from the {one.face} face, {one.stand}" for one in reach.passes),
        ),
    )


def _dust(inputs: Inputs, lengths: tuple[Amount, ...]) -> Iterator[Figure]:
    assert inputs.thickness is not None
    yield Figure(
        "dust",
        "wood sawn to dust",
        inputs.kerf * inputs.thickness * sum(held.value for held in lengths),
        VOLUME,
        Working(
            "dust = kerf*thickness*sum(lengths)",
            {
                "kerf": Amount(inputs.kerf, LENGTH),
                "thickness": Amount(inputs.thickness, LENGTH),
                "lengths": lengths,
            },
            "geometry",
            ("as solid wood; loose in the bag it is several times as much",),
        ),
    )


def _tables(
    met: list[tuple[SawLineOnSlab, LineOnSlab]], reach: SawReach | None
) -> Iterator[tuple[str, Table]]:
    """The lines in the order they stand in, and the passes that each of them takes."""
    if not met:
        return
    yield (
        "lines",
        Table(
            "Saw lines in order, left of the tape above zero",
            (
                Column("line", "line"),
                Column("what", "saws"),
                Column("along-start", "start", LENGTH),
                Column("offset-start", "off tape", LENGTH),
                Column("along-end", "end", LENGTH),
                Column("offset-end", "off tape", LENGTH),
                Column("length", "length, on the whole slab", LENGTH),
                *((Column("passes", "passes", COUNT),) if reach is not None else ()),
            ),
            tuple(
                (
                    held.name,
                    f"trims {held.of}" if held.of else "through",
                    *on.start,
                    *on.end,
                    on.length,
                    *((float(len(reach.passes)),) if reach is not None else ()),
                )
                for held, on in met
            ),
        ),
    )
    if reach is not None:
        yield (
            "passes",
            Table(
                "Passes of each line",
                (Column("face", "from the face"), Column("stand", "saw"), Column("depth", "reaches", LENGTH)),
                tuple((one.face, one.stand, one.depth) for one in reach.passes),
            ),
        )


def _misses(inputs: Inputs, every: tuple[SawLineOnSlab, ...]) -> Iterator[Finding]:
    missing = [held for held in every if held.on is None]
    if missing:
        first = missing[0]
        by = Amount(distance_to(inputs.outline, first.line), LENGTH)
        more = f" (and {len(missing) - 1} more)" if len(missing) > 1 else ""
        yield Finding(
            "line-misses-slab",
            Level.WARN,
            phrase(f"{_said(first)}{more} passes the slab by {{by}}.", by=by),
            phrase("Move it more than {by} towards the slab, or take it out.", by=by),
            field=_field(inputs),
            figures=("lines",),
            value=by,
            margin=0.001,
        )


def _near_mark(inputs: Inputs, every: tuple[SawLineOnSlab, ...]) -> Iterator[Finding]:
    near = [
        (distance_off(held.line, (x, y)), piece, held)
        for piece, x, y in inputs.marks
        for held in every
        if held.of in ("", piece)
    ]
    off, piece, held = min(near, default=(NEAR, "", None), key=lambda row: row[0])
    if held is not None and off < NEAR + inputs.kerf / 2:
        yield Finding(
            "mark-near-line",
            Level.WARN,
            phrase(
                f"The mark of {piece} lies {{off}} from {_said(held, False)}: which side it means is easily "
                "mistaken.",
                off=Amount(off, LENGTH),
            ),
            phrase(
                "Move the mark {more} or more away from the line, well into the piece.",
                more=Amount(2 * NEAR + inputs.kerf / 2 - off, LENGTH),
            ),
            field="marks",
            value=Amount(off, LENGTH),
            worse="down",
            margin=0.001,
        )


def _through_hole(inputs: Inputs, met: list[tuple[SawLineOnSlab, LineOnSlab]]) -> Iterator[Finding]:
    through = [(held, on) for held, on in met if on.in_holes > 1e-6]
    if through:
        held, on = max(through, key=lambda row: row[1].in_holes)
        yield Finding(
            "line-through-hole",
            Level.NOTE,
            phrase(
                f"{_said(held)} runs {{through}} through a hole, where nothing guides the blade.",
                through=Amount(on.in_holes, LENGTH),
            ),
            phrase(
                "Clamp both parts before the blade leaves the wood, or move the line {aside} aside, "
                "clear of the hole.",
                aside=Amount(on.clear_of_holes, LENGTH),
            ),
            field=_field(inputs),
            figures=("length",),
            value=Amount(on.in_holes, LENGTH),
            margin=0.005,
        )


def _said(held: SawLineOnSlab, opens: bool = True) -> str:
    the = "The" if opens else "the"
    if held.name == "line":
        return f"{the} saw line"
    return f"{'Saw' if opens else 'saw'} line {held.name}"


def _field(inputs: Inputs) -> str:
    return "lines" if inputs.lines else "line"


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab that has saw lines, with the saw of the shop."""
    for slab, held in desk.file.slab.items():
        if not held.saw_lines:
            continue
        holes = slab_edges(desk, slab).get("holes")
        yield Filling(
            slab,
            {
                "outline": _outline(desk, slab),
                "lines": _saw_lines(desk, slab),
                **optional(
                    marks=_marked(desk, slab),
                    thickness=desk.at("slab", slab, "thickness"),
                    depth_on_rail=of_tool(desk, "depth-on-rail"),
                    depth_off_rail=of_tool(desk, "depth-off-rail"),
                    kerf=of_tool(desk, "kerf"),
                    **({} if holes is None else {"holes": holes}),
                ),
            },
        )


def _outline(desk: Desk, slab: str) -> Source:
    def upper(*_edges: object) -> object:
        try:
            return slab_shape(slab, desk.file.slab[slab]).pair.upper
        except ValueError as error:
            return str(error)

    found = combine("the upper face", upper, *slab_edges(desk, slab).values())
    if isinstance(found, Given) and isinstance(found.value, str):
        return Missing(f"the outline of {slab} ({found.value})", found.paths)
    return found


def _saw_lines(desk: Desk, slab: str) -> Source:
    """All lines in the order to saw them; those that miss the slab stand last, and first among the places."""
    outline = _outline(desk, slab)
    if isinstance(outline, Missing):
        return outline
    shape = slab_shape(slab, desk.file.slab[slab])
    typed = {saw.id: saw for saw in shape.saws}
    if not typed:
        return Missing(
            f"where the saw lines of {slab} run",
            (("slab", slab, "saw-lines", desk.file.slab[slab].saw_lines[0].id),),
        )
    marked = marked_saws(desk.file, slab)
    rows = [
        (
            saw.id,
            saw.of or "",
            *(typed[saw.id].line if saw.of is None else ((end.along, end.off) for end in saw.ends)),
        )
        for saw in marked
    ]
    met = {saw.id for saw in marked}
    missed = [saw for saw in shape.saws if saw.of is None and saw.id not in met]
    rows += [(saw.id, "", *saw.line) for saw in missed]
    if not rows:
        return Missing(f"the marks of the pieces that the saw lines of {slab} trim", (("piece",),))
    order = (*(saw.id for saw in missed), *(saw.id for saw in marked))
    places = tuple(("slab", slab, "saw-lines", id) for id in order)
    pieces = [desk.at("piece", saw.of, "mark") for saw in marked if saw.of is not None]
    return combine(
        "in the order to saw them",
        lambda *_all: tuple((name, of, *start, *end) for name, of, start, end in rows),
        Given(None, places),
        *pieces,
        *(outline,) if pieces else (),
    )


def _marked(desk: Desk, slab: str) -> Source:
    marks = {
        piece: (held.mark.x, held.mark.y)
        for piece, held in desk.file.piece.items()
        if held.slab == slab and held.mark is not None
    }
    if not marks:
        return Missing(f"the mark of a piece on {slab}", (("piece",),))
    try:
        saws = slab_shape(slab, desk.file.slab[slab]).saws
    except ValueError:
        saws = ()

    def off(piece: str) -> float:
        return min(
            (distance_off(saw.line, marks[piece]) for saw in saws if saw.of in (None, piece)), default=0.0
        )

    # A finding is about the mark that is nearest to a line, which is the one to edit.
    return combine(
        "as marked",
        lambda *_all: tuple((piece, *mark) for piece, mark in marks.items()),
        *(desk.at("piece", piece, "mark") for piece in sorted(marks, key=off)),
    )


CALCULATOR = Calculator(
    id="saw-lines",
    title="Saw lines of the slab",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=65,
)
