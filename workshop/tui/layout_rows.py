"""What the layout screen says beside its picture, and its list of pieces in numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import degrees

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.troubles import Gap, Trouble
from workshop.layout_figures import LayoutFigures, LiftFigures
from workshop.pictures.picture import bare, ranged, said
from workshop.project.laying import locked
from workshop.project.model import ProjectFile
from workshop.quantity import AREA, MASS, MONEY, VOLUME, Units, show
from workshop.tui.lines import Line, clipped, line, width_of, wrapped
from workshop.tui.rows import Row, TextRow

TWO_COLUMNS = 70
"""Cells from which the words stand in two columns."""


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
            clipped(line((self.name, "tan"), (f"  {self.where}", "strong")), width),
            *(shown for text in self.words for shown in wrapped(text, width, "dim", indent=4, first=2)),
            *(shown for text in self.wrong for shown in wrapped(f"■ {text}", width, "red", 4, 2)),
        ]


@dataclass(frozen=True)
class WordsRow(TextRow):
    """Lines that the cursor passes over."""

    said: tuple[Line, ...] = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """As they are."""
        return [clipped(held, width) for held in self.said]


def place_words(file: ProjectFile, name: str, piece: PlacedPiece | None) -> str:
    """`720, 100  turned 15°  upper face up`, or that it lies nowhere yet."""
    if piece is None:
        held = file.piece[name]
        return "not in a casting yet" if held.casting is None else "not laid down yet"
    units = file.units
    x, y = bare(round(piece.mark[0], 5), units), bare(round(piece.mark[1], 5), units)
    face = "lower face up" if piece.flip else "upper face up"
    return f"{x}, {y}  {turn_words(piece.turn)}  {face}"


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
    return f"{ranged(left, right, units)} along, {ranged(bottom, top, units)} across"


def gap_words(gap: Gap, piece: str, units: Units) -> str:
    """`gap p1–p2 55 mm at 480 along`, the piece in hand first."""
    other = next((name for name in gap.pieces if name != piece), f"{gap.wall} wall")
    across = gap.wall in ("left", "right")
    at = f"{bare(round(gap.at[1 if across else 0], 3), units)} {'across' if across else 'along'}"
    if gap.width < 5e-5:
        return f"touches {other} at {at}"
    return f"gap {piece}–{other} {said(gap.width, units)} at {at}"


def wall_words(gaps: Sequence[Gap], units: Units) -> str:
    """`walls left 0, right 0, near 0, far 222 mm`."""
    walls = [(gap.wall, gap.width) for gap in gaps if gap.wall is not None]
    unit = " mm" if units.system == "metric" else ""
    return f"walls {', '.join(f'{wall} {bare(width, units)}' for wall, width in walls)}{unit}"


def trouble_words(trouble: Trouble, least: float, units: Units) -> str:
    """What is wrong, by how much and where."""
    at = f"at {bare(round(trouble.at[0], 3), units)}, {said(round(trouble.at[1], 3), units)}"
    by = said(trouble.amount, units)
    match trouble.kind:
        case "overlap":
            return f"{' and '.join(trouble.pieces)} overlap by {by} {at}"
        case "outside":
            return f"{trouble.pieces[0]} sticks out of the form by {by} at the {trouble.wall} wall"
        case _:
            ends = " and ".join((*trouble.pieces, *([f"the {trouble.wall} wall"] if trouble.wall else [])))
            return f"{ends} leave {by} {at}: resin needs {said(least, units)}"


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
    cut = [f"{name} {bare(round(by, 4), units)}" for name, by in over.items() if by > 5e-4]
    unit = " mm" if units.system == "metric" else ""
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
    made = [clipped(line((f"▸ {name}", "title"), (f"  {place_words(file, name, piece)}", "strong")), width)]
    if locked(file, name):
        made.append(clipped(line(("  ◇ as placed: locked", "amber")), width))
    if piece is not None:
        thick = "" if piece.thickness is None else f", {said(piece.thickness, units)}"
        made += wrapped(f"{slab or 'no slab'}{thick}, {grain_words(piece)}", width, "dim", 2)
    for trouble in found:
        made += wrapped(f"■ {trouble_words(trouble, least, units)}", width, "red", indent=2, first=0)
    between = [gap for gap in gaps if gap.wall is None]
    made += [clipped(line((gap_words(gap, name, units), "text")), width) for gap in between]
    made += wrapped(wall_words(gaps, units), width, "text", indent=2, first=0) if gaps else []
    words = "" if piece is None else trimmed_words(held, piece, units)
    return [*made, *(wrapped(words, width, "dim", 2) if words else ())]


def resin_lines(figures: LayoutFigures, units: Units, width: int) -> list[Line]:
    """Free area, each lift's resin, the sum, what it costs."""
    made: list[Line] = []
    if figures.free is not None:
        free = area_words(figures.free, units)
        made.append(line(("free ", "dim"), (free, "strong"), (" of the form", "dim")))
    size = max((len(lift.id) for lift in figures.lifts), default=0)
    size = max(size, 3)
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
        cost = show(figures.cost, MONEY, units)
        made.append(line(("packs ", "dim"), (cost, "strong"), (rate, "dim")))
    return [clipped(held, width) for held in made]


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
