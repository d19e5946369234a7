"""What the layout screen says beside its picture, and its list of pieces in numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import ceil, degrees, floor
from re import split
from typing import Final

from rich.cells import cell_len, chop_cells

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.troubles import SEAM, Gap, Trouble
from workshop.layout_figures import LayoutFigures, LiftFigures
from workshop.pictures.picture import said
from workshop.project.laying import INCH, locked
from workshop.project.model import ProjectFile
from workshop.quantity import AREA, MASS, MONEY, VOLUME, Units, show
from workshop.tui.lines import Line, Role, Span, clipped, line, width_of, wrapped
from workshop.tui.rows import Row, TextRow

SIXTEENTH: Final = INCH / 16
"""m: the finest a maker sets and reads on a tape of inches."""


@dataclass(frozen=True)
class PieceRow(Row):
    """One piece in numbers."""

    name: str = field(kw_only=True)
    where: str = field(kw_only=True)
    words: tuple[str, ...] = field(kw_only=True)
    wrong: tuple[str, ...] = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Its place, then extent and gaps, then what is wrong."""
        return [
            *flowed(line((self.name, "tan"), (f"  {self.where}", "strong")), width, 4),
            *(shown for text in self.words for shown in wrapped(text, width, "dim", indent=4, first=2)),
            *(shown for text in self.wrong for shown in wrapped(f"■ {text}", width, "red", 4, 2)),
        ]


@dataclass(frozen=True)
class WordsRow(TextRow):
    """Lines that the cursor passes over."""

    said: tuple[Line, ...] = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """As they are, in as many lines as they need."""
        return [shown for held in self.said for shown in flowed(held, width, 2)]


def place_words(file: ProjectFile, name: str, piece: PlacedPiece | None) -> str:
    """`720, 100  turned 15°  upper face up`, or that it lies nowhere yet."""
    if piece is None:
        held = file.piece[name]
        return "not in a casting yet" if held.casting is None else "not laid down yet"
    units = file.units
    at = pair_words((round(piece.mark[0], 5), round(piece.mark[1], 5)), units)
    face = "lower face up" if piece.flip else "upper face up"
    return f"{at}  {turn_words(piece.turn)}  {face}"


def length_words(value: float, units: Units) -> str:
    """A length with its unit; inches are fractions down to the smallest, a sixteenth at the least."""
    if units.system == "metric":
        return said(value, units)
    finest = max(16, units.inch_fraction)
    if abs(value) >= INCH / 8:
        return said(value, replace(units, inch_fraction=finest))
    return f"{Fraction(round(value / INCH * finest), finest)} in"


def number_words(value: float, units: Units) -> str:
    """A length without its unit, which stands once for several."""
    return length_words(value, units).removesuffix(" mm").removesuffix(" in")


def pair_words(place: tuple[float, float], units: Units) -> str:
    """A place as it is read in a drawing: `720, 100`, or `32, 5 1/2 in`."""
    unit = "" if units.system == "metric" else " in"
    return f"{number_words(place[0], units)}, {number_words(place[1], units)}{unit}"


def amount_words(value: float, units: Units) -> str:
    """How far something reaches too far, never nothing."""
    small = units.system != "metric" and 0 < abs(value) < SIXTEENTH / 2
    return "under 1/16 in" if small else length_words(value, units)


def width_words(width: float, units: Units) -> str:
    """How wide a gap is at the least: in inches whole sixteenths of it."""
    if units.system == "metric":
        return said(width, units)
    steps = floor(width / SIXTEENTH + _SLIGHT)
    return length_words(steps * SIXTEENTH, units) if steps or width <= SEAM else "under 1/16 in"


def limit_words(least: float, units: Units) -> str:
    """What a gap needs at the least: in inches the next whole sixteenth, so that it can be set."""
    if units.system == "metric":
        return said(least, units)
    return length_words(ceil(least / SIXTEENTH - _SLIGHT) * SIXTEENTH, units)


_SLIGHT: Final = 0.016
"""Sixteenths of an inch that count for nothing: a thousandth of an inch."""


def turn_words(turn: float) -> str:
    """`15°`, to the tenth of a degree."""
    angle = round(degrees(turn) % 360, 1) % 360
    return f"{angle:g}°"


def grain_words(piece: PlacedPiece) -> str:
    """Which way the grain runs in the form, 0 to 180° against the clock from along."""
    angle = round(degrees(piece.grain) % 180) % 180
    if angle == 0:
        return "grain along"
    return "grain across" if angle == 90 else f"grain at {angle}°"


def extent_words(piece: PlacedPiece, units: Units) -> str:
    """Between which lengths it lies."""
    left, bottom, right, top = (round(at, 4) for at in piece.extent)
    return f"{_ranged(left, right, units)} along, {_ranged(bottom, top, units)} across"


def _ranged(low: float, high: float, units: Units) -> str:
    return f"{number_words(low, units)} to {length_words(high, units)}"


def gap_words(gap: Gap, piece: str, units: Units) -> str:
    """`gap p1–p2 55 mm at 480 along`, the piece in hand first."""
    other = next((name for name in gap.pieces if name != piece), f"{gap.wall} wall")
    across = gap.wall in ("left", "right")
    place = gap.at[1 if across else 0]
    if units.system == "metric":
        at = f"{number_words(round(place, 3), units)} {'across' if across else 'along'}"
    else:
        at = f"{length_words(place, units)} {'across' if across else 'along'}"
    if gap.width < (5e-5 if units.system == "metric" else SEAM):
        return f"touches {other} at {at}"
    return f"gap {piece}–{other} {width_words(gap.width, units)} at {at}"


def wall_words(gaps: Sequence[Gap], units: Units) -> str:
    """`walls left 0, right 0, near 0, far 222 mm`."""
    walls = [(gap.wall, gap.width) for gap in gaps if gap.wall is not None]
    unit = " mm" if units.system == "metric" else " in"
    told = (f"{wall} {width_words(width, units).removesuffix(unit)}" for wall, width in walls)
    return f"walls {', '.join(told)}{unit}"


def trouble_words(trouble: Trouble, least: float, units: Units) -> str:
    """What is wrong, by how much and where."""
    x, y = (round(at, 3) if units.system == "metric" else at for at in trouble.at)
    at = f"at {number_words(x, units)}, {length_words(y, units)}"
    by = amount_words(trouble.amount, units)
    match trouble.kind:
        case "overlap":
            return f"{' and '.join(trouble.pieces)} overlap by {by} {at}"
        case "outside":
            return f"{trouble.pieces[0]} sticks out of the form by {by} at the {trouble.wall} wall"
        case _:
            ends = " and ".join((*trouble.pieces, *([f"the {trouble.wall} wall"] if trouble.wall else [])))
            left = width_words(trouble.amount, units)
            return f"{ends} leave {left} {at}: resin needs {limit_words(least, units)}"


def trimmed_words(held: CastingAsPlaced, piece: PlacedPiece, units: Units) -> str:
    """How much of a piece lies beyond the trim lines, empty where none does."""
    if held.finished is None:
        return ""
    left, bottom, right, top = piece.extent
    over = {
        "left": held.finished[0] - left,
        "right": right - held.finished[2],
        "near": held.finished[1] - bottom,
        "far": top - held.finished[3],
    }
    cut = [f"{name} {number_words(round(by, 4), units)}" for name, by in over.items() if by > 5e-4]
    unit = " mm" if units.system == "metric" else " in"
    return f"trim takes {', '.join(cut)}{unit}" if cut else ""


def piece_lines(
    file: ProjectFile,
    held: CastingAsPlaced,
    name: str,
    piece: PlacedPiece | None,
    gaps: Sequence[Gap],
    found: Sequence[Trouble],
    least: float,
    width: int,
) -> list[Line]:
    """The piece in hand, what is wrong in the casting, the gaps round the piece."""
    units = file.units
    if not name:
        return [line((f"No piece lies in {held.id} yet.", "dim"))]
    slab = file.piece[name].slab
    head = line((f"▸ {name}", "title"), (f"  {place_words(file, name, piece)}", "strong"))
    made = flowed(head, width, 2)
    if locked(file, name):
        made.append(clipped(line(("  ◇ as placed: locked", "amber")), width))
    elif held.now is not None:
        cast = f"△ cast in to {said(held.now, units)}: you move the plan, not the wood"
        made += wrapped(cast, width, "amber", indent=4, first=2)
    if piece is not None:
        thick = "" if piece.thickness is None else f", {length_words(piece.thickness, units)}"
        made += wrapped(f"{slab or 'no slab'}{thick}, {grain_words(piece)}", width, "dim", 2)
    for trouble in found:
        made += wrapped(f"■ {trouble_words(trouble, least, units)}", width, "red", indent=2, first=0)
    between = [gap for gap in gaps if gap.wall is None]
    for gap in between:
        made += wrapped(gap_words(gap, name, units), width, "text", indent=2, first=0)
    made += wrapped(wall_words(gaps, units), width, "text", indent=2, first=0) if gaps else []
    words = "" if piece is None else trimmed_words(held, piece, units)
    return [*made, *(wrapped(words, width, "dim", 2) if words else ())]


def resin_lines(figures: LayoutFigures, units: Units, width: int) -> list[Line]:
    """Free area, each lift's resin, the sum, what it costs; what is left to pour where some is poured."""
    made: list[Line] = []
    if figures.free is not None:
        free = area_words(figures.free, units)
        made.append(line(("free ", "dim"), (free, "strong"), (" of the form", "dim")))
    size = max((len(lift.id) for lift in figures.lifts), default=0)
    begun = any(lift.poured for lift in figures.lifts)
    size = max(size, len(TO_POUR) if begun else 3)
    for lift in figures.lifts:
        made += _lift_lines(lift, size, units, width)
    if figures.volume is not None and figures.mass is not None:
        made.append(
            line(
                ("all".ljust(size), "teal"),
                (f" {show(figures.volume, VOLUME, units)}  {show(figures.mass, MASS, units)}", "strong"),
            )
        )
    if figures.cost is not None:
        rate = "" if figures.at_rate is None else f", by weight {figures.at_rate:.2f}"
        name, cost = "packs of all " if begun else "packs ", show(figures.cost, MONEY, units)
        if begun and len(name) + len(cost) + len(rate) > width:
            rate = ""
        made.append(line((name, "dim"), (cost, "strong"), (rate, "dim")))
    if begun:
        made += _to_pour(figures, size, units)
    return [shown for held in made for shown in flowed(held, width, 2)]


TO_POUR: Final = "to pour"


def _to_pour(figures: LayoutFigures, size: int, units: Units) -> Iterator[Line]:
    """The resin of the lifts that are not poured yet, where all of it is known."""
    left = [lift for lift in figures.lifts if not lift.poured]
    volumes = [lift.volume for lift in left if lift.volume is not None]
    masses = [lift.mass for lift in left if lift.mass is not None]
    if len(volumes) == len(masses) == len(left):
        told = f"{show(sum(volumes), VOLUME, units)}  {show(sum(masses), MASS, units)}" if left else "nothing"
        yield line((TO_POUR.ljust(size), "teal"), (f" {told}", "strong"))


def _lift_lines(lift: LiftFigures, size: int, units: Units, width: int) -> Iterator[Line]:
    if lift.volume is None or lift.mass is None:
        yield from wrapped(f"{lift.id.ljust(size)} needs {lift.lacks}", width, "dim", indent=2, first=0)
        return
    yield line(
        (lift.id.ljust(size), "teal"),
        (f" {show(lift.volume, VOLUME, units)}  {show(lift.mass, MASS, units)}", "text"),
        ("  poured" if lift.poured else "", "dim"),
    )


def area_words(value: float, units: Units) -> str:
    """An area, to the tenth of a square decimetre where it counts in metres."""
    return f"{value:.3f} m²" if units.system == "metric" else show(value, AREA, units)


def flowed(spans: Line, width: int, indent: int) -> list[Line]:
    """A line in as many as it needs, parted where two blanks stand, else between words; then indented."""
    made: list[Line] = []
    held: Line = ()
    for role, gap, part in _parts(spans):
        size = cell_len(part)
        if held and width_of(held) + cell_len(gap) + size <= width:
            held = (*held, Span(gap + part, role))
            continue
        if held and size <= width - indent and len(gap) > 1:
            made.append(held)
            held = (Span(" " * indent + part, role),)
            continue
        blank = gap
        for word in part.split(" "):
            for piece in chop_cells(word, max(1, width - indent)):
                if held and width_of(held) + cell_len(blank + piece) > width:
                    made.append(held)
                    held, blank = (), " " * indent
                held, blank = (*held, Span(blank + piece, role)), ""
            blank = " "
    return [*made, held]


def _parts(spans: Line) -> Iterator[tuple[Role, str, str]]:
    """What two blanks or a change of role part, each with the blanks before it."""
    for span in spans:
        gap = ""
        for text in split(r"(^ +| {2,}| +$)", span.text):
            if text and not text.strip(" "):
                gap = text
            elif text:
                yield span.role, gap, text
                gap = ""
        if gap:
            yield span.role, gap, ""


def side_by_side(left: Sequence[Line], right: Sequence[Line], width: int, at: int) -> list[Line]:
    """Two columns, the second from a cell on."""
    made = []
    for number in range(max(len(left), len(right))):
        one = clipped(left[number], at - 2) if number < len(left) else ()
        two = right[number] if number < len(right) else ()
        made.append(clipped((*one, *line(" " * (at - width_of(one))), *two), width))
    return made


def piece_row(
    file: ProjectFile,
    held: CastingAsPlaced,
    name: str,
    piece: PlacedPiece | None,
    gaps: Sequence[Gap],
    found: Sequence[Trouble],
    least: float,
) -> PieceRow:
    """A piece of the list."""
    units = file.units
    words = []
    if piece is not None:
        words.append(f"lies {extent_words(piece, units)}; {grain_words(piece)}")
        between = [gap_words(gap, name, units) for gap in gaps if gap.wall is None]
        words += ["; ".join(between), wall_words(gaps, units)]
        words.append(trimmed_words(held, piece, units))
    if locked(file, name):
        words.append("as placed: locked")
    wrong = tuple(trouble_words(trouble, least, units) for trouble in found if name in trouble.pieces)
    return PieceRow(
        f"piece:{name}",
        name=name,
        where=place_words(file, name, piece),
        words=tuple(text for text in words if text),
        wrong=wrong,
    )
