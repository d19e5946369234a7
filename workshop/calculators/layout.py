"""How the pieces lie in a form: whether they overlap or stick out, and what they leave for resin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Annotated, Final

import shapely

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Phrase, Result, Working, phrase
from workshop.layout.as_placed import CastingAsPlaced, casting_as_placed
from workshop.layout.placed import PlacedPiece, placed_piece
from workshop.layout.room import polygon
from workshop.layout.sources import inside_of_form, piece_shape
from workshop.layout.troubles import LEAST_GAP, SEAM, Gap, Kind, Trouble, gaps, troubles
from workshop.project.castings import Casting
from workshop.project.path import Path
from workshop.quantity import AREA, LENGTH, PERCENT, Amount
from workshop.trade.face_pair import FacePair, Ring, paired
from workshop.trade.outline import crosses_itself

GEOMETRY: Final = "geometry: polygons, overlaps counted once, what sticks out of the form left out"

Corner = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH]]
Outlines = tuple[tuple[Corner, ...], ...]


class Inputs(CalculatorInputs):
    """The inside of a form and the outlines that lie in it."""

    length: Annotated[float, LENGTH] = given("length inside the form", above=0.0, high=10.0)
    width: Annotated[float, LENGTH] = given("width inside the form", above=0.0, high=5.0)
    upper: Outlines = given(
        "outlines of the upper faces",
        help="corners from the near left inner corner, in order round each piece",
    )
    lower: Outlines = given(
        "outlines of the lower faces", default=(), help="one for each upper face; left out: like the upper"
    )
    names: tuple[str, ...] = given("names of the pieces", default=(), help="in the order of their outlines")
    thicknesses: tuple[Annotated[float, LENGTH], ...] = given(
        "thicknesses of the pieces", default=(), help="in the order of their outlines, where they differ"
    )
    holes: Outlines = given("holes in the pieces", default=(), help="outlines of what resin fills")
    least_gap: Annotated[float, LENGTH] = given(
        "narrowest gap that the resin runs into",
        default=LEAST_GAP,
        low=0.0,
        high=0.1,
        help=f"3 mm where the sheet says no more ({COMMON_PRACTICE})",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `layout.troubles`."""
    held = _casting(inputs)
    lower = inputs.lower or inputs.upper
    woods = [_wood(inputs, rings) for rings in (inputs.upper, lower)]
    form = {"length": Amount(inputs.length, LENGTH), "width": Amount(inputs.width, LENGTH)}
    room = inputs.length * inputs.width
    figures = [
        Figure(
            "wood-share",
            "wood in the form, mean of both faces",
            sum(woods) / 2 / room,
            PERCENT,
            Working(
                "share = (upper + lower)/2/(length*width)",
                {"upper": Amount(woods[0], AREA), "lower": Amount(woods[1], AREA), **form},
                GEOMETRY,
            ),
        ),
        *(
            Figure(
                f"free-{face}",
                f"free area at the {face} face",
                room - wood,
                AREA,
                Working("free = length*width - wood", {"wood": Amount(wood, AREA), **form}, GEOMETRY),
            )
            for face, wood in zip(("upper", "lower"), woods, strict=True)
        ),
    ]
    between = [gap for gap in gaps(held) if gap.width > SEAM]
    if between:
        figures.append(_narrowest(min(between, key=lambda gap: gap.width)))
    found = troubles(held, inputs.least_gap)
    return Result(tuple(figures), tuple(_findings(inputs, found)))


def _narrowest(gap: Gap) -> Figure:
    return Figure(
        "narrowest-gap",
        "narrowest gap that is not closed",
        gap.width,
        LENGTH,
        Working(
            f"the shortest way {_between(gap.pieces, gap.wall)}, at either face",
            {"along": Amount(gap.at[0], LENGTH), "across": Amount(gap.at[1], LENGTH)},
            "geometry: polygons",
            (f"wood within {SEAM * 1000:g} mm of wood or wall touches it",),
            simulation=True,
        ),
    )


def _casting(inputs: Inputs) -> CastingAsPlaced:
    lower = inputs.lower or inputs.upper
    for key, rings in (("upper", inputs.upper), ("lower", lower)):
        if len(rings) != len(inputs.upper):
            raise InputError(key, f"it has {len(rings)} outlines and upper {len(inputs.upper)}; give as many")
        for number, ring in enumerate(rings, 1):
            if len(ring) < 3 or crosses_itself(ring):
                raise InputError(key, f"outline {number} is none; give its corners in order round the piece")
    count = len(inputs.upper)
    names = inputs.names or tuple(f"p{number}" for number in range(1, count + 1))
    thick: Sequence[float | None] = inputs.thicknesses or (None,) * count
    for key, given_ in (("names", names), ("thicknesses", thick)):
        if len(given_) != count:
            raise InputError(key, f"it has {len(given_)} entries for {count} outlines; give one for each")
    pieces = tuple(
        _piece(name, below, above, thickness)
        for name, below, above, thickness in zip(names, lower, inputs.upper, thick, strict=True)
    )
    size = (inputs.length, inputs.width)
    return CastingAsPlaced("", Casting(), *size, None, None, None, pieces, (), (), (), (), ())


def _piece(name: str, lower: Ring, upper: Ring, thickness: float | None) -> PlacedPiece:
    below, above = paired(lower, upper)
    none: tuple[Ring, Ring] = ((), ())
    return PlacedPiece(
        name,
        FacePair(below, above),
        lower is not upper,
        thickness,
        0.0,
        0.0,
        False,
        above[0],
        above,
        below,
        (),
        none,
        none,
    )


def _wood(inputs: Inputs, rings: Outlines) -> float:
    """All wood of one face inside the form, in m²."""
    wood = shapely.union_all([polygon(ring) for ring in rings])
    for hole in inputs.holes:
        wood = wood.difference(polygon(hole))
    return float(wood.intersection(shapely.box(0.0, 0.0, inputs.length, inputs.width)).area)


FIELDS: Final[dict[Kind, str]] = {"overlap": "upper", "outside": "lower", "narrow": "names"}
"""The input whose first place in the file is that of the piece which a finding of this kind is about."""


def worst(found: Sequence[Trouble], kind: Kind) -> tuple[Trouble | None, int]:
    """The gravest trouble of a kind, and how many there are."""
    of = [trouble for trouble in found if trouble.kind == kind]
    of.sort(key=lambda trouble: trouble.amount, reverse=kind != "narrow")
    return of[0] if of else None, len(of)


def _findings(inputs: Inputs, found: Sequence[Trouble]) -> Iterator[Finding]:
    overlap, count = worst(found, "overlap")
    if overlap is not None:
        one, two = overlap.pieces
        yield _finding(
            "pieces-overlap",
            Level.STOP,
            inputs,
            overlap,
            phrase(
                f"{one} and {two} overlap by {{by}}, {{along}} along and {{across}} across{_more(count)}.",
                **_said(overlap),
            ),
            phrase(f"Move {two} {{by}} off {one}, or saw that much off one of them.", **_said(overlap)),
            ("wood-share",),
        )
    outside, count = worst(found, "outside")
    if outside is not None:
        piece = outside.pieces[0]
        yield _finding(
            "piece-outside",
            Level.STOP,
            inputs,
            outside,
            phrase(
                f"{piece} sticks {{by}} out of the form at its {outside.wall} wall{_more(count)}.",
                **_said(outside),
            ),
            phrase(
                f"Move it {{by}} away from the {outside.wall} wall, or trim that much off at the form.",
                **_said(outside),
            ),
            ("wood-share",),
        )
    narrow, count = worst(found, "narrow")
    if narrow is not None:
        yield _finding(
            "gap-narrow",
            Level.WARN,
            inputs,
            narrow,
            phrase(
                f"The gap {_between(narrow.pieces, narrow.wall)} is {{by}} at {{along}} along and {{across}} "
                f"across{_more(count)}: the resin needs {{least}}.",
                least=Amount(inputs.least_gap, LENGTH),
                **_said(narrow),
            ),
            phrase(
                "Widen it by {wider} to {least}, or close it.",
                wider=Amount(inputs.least_gap - narrow.amount, LENGTH),
                least=Amount(inputs.least_gap, LENGTH),
            ),
            ("narrowest-gap",),
        )


def _finding(
    rule: str,
    level: Level,
    inputs: Inputs,
    trouble: Trouble,
    text: Phrase,
    remedy: Phrase,
    figures: tuple[str, ...],
) -> Finding:
    field = FIELDS[trouble.kind]
    known = field == "upper" or getattr(inputs, field)
    return Finding(
        rule,
        level,
        text,
        remedy,
        field=field if known else "upper",
        figures=figures,
        value=Amount(trouble.amount, LENGTH),
        worse="down" if trouble.kind == "narrow" else "up",
        margin=0.001,
    )


def _said(trouble: Trouble) -> dict[str, Amount]:
    along, across = trouble.at
    return {
        "by": Amount(trouble.amount, LENGTH),
        "along": Amount(along, LENGTH),
        "across": Amount(across, LENGTH),
    }


def _more(count: int) -> str:
    return f" (and {count - 1} more)" if count > 1 else ""


def _between(pieces: tuple[str, ...], wall: str | None) -> str:
    return f"between {pieces[0]} and {f'the {wall} wall' if wall is not None else pieces[1]}"


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting that pieces are meant for, once it is known where each of them lies."""
    for casting in desk.file.casting:
        names = tuple(desk.file.pieces_of(casting))
        if not names:
            continue
        held = casting_as_placed(desk.file, casting)
        resin = desk.resin_of(casting)
        gap: Source = Missing("the narrowest gap that the resin runs into")
        if resin is not None:
            gap = desk.at("resin", resin, "least-gap")
        found = () if held is None else troubles(held, gap.value if isinstance(gap, Given) else LEAST_GAP)
        lying = {key: _lying(desk, names, worst(found, kind)[0]) for kind, key in FIELDS.items()}
        yield Filling(
            casting,
            {
                "length": inside_of_form(desk, casting, "length"),
                "width": inside_of_form(desk, casting, "width"),
                "upper": combine("as they lie", partial(_outlines, share=1.0), lying["upper"]),
                **optional(
                    lower=combine("as they lie", partial(_outlines, share=0.0), lying["lower"]),
                    names=combine("", lambda pieces: tuple(piece.id for piece in pieces), lying["names"]),
                    holes=combine("", _holes, lying["upper"]),
                    thicknesses=_thicknesses(lying["upper"]),
                    least_gap=gap,
                ),
            },
        )


def _lying(desk: Desk, names: tuple[str, ...], trouble: Trouble | None) -> Source:
    """The pieces as they lie; the places of those in trouble come first, which are to be edited."""
    troubled = () if trouble is None else trouble.pieces[::-1]
    order = sorted(names, key=lambda name: troubled.index(name) if name in troubled else len(troubled))
    sources = [source for name in order for source in _place(desk, name)]

    def lie(*_all: object) -> tuple[PlacedPiece, ...] | str:
        try:
            return tuple(placed_piece(desk.file, name) for name in names)
        except ValueError as error:
            return str(error)

    found = combine("", lie, *sources)
    if isinstance(found, Given) and isinstance(found.value, str):
        return Missing(f"pieces that can lie in the form ({found.value})", found.paths)
    return found


def _place(desk: Desk, piece: str) -> Iterator[Source]:
    placed = desk.file.record.placed.get(piece)
    for key in ("place", "turn", "flip"):
        recorded = placed is not None and getattr(placed, key) is not None
        path: Path = ("record", "placed", piece) if recorded else ("piece", piece)
        held = desk.at(*path, key, what=f"the place of {piece}")
        if key == "place" or isinstance(held, Given):
            yield held
    yield piece_shape(desk, piece)


def _outlines(pieces: tuple[PlacedPiece, ...], share: float) -> Outlines:
    return tuple(piece.outline(share) for piece in pieces)


def _holes(pieces: tuple[PlacedPiece, ...]) -> Outlines:
    return tuple(hole for piece in pieces for hole in piece.holes)


def _thicknesses(lying: Source) -> Source:
    if isinstance(lying, Missing):
        return lying
    known = tuple(piece.thickness for piece in lying.value)
    if None in known or len(set(known)) == 1:
        return Missing("thicknesses that differ")
    return combine("", lambda _pieces: known, lying)


CALCULATOR = Calculator(
    id="layout",
    title="How the pieces lie",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=75,
)
