"""Laying pieces out in a form, as actions on a project: move, turn, turn over, send, swap, trim, guides.

Each is a function from a project to a new one that raises ValueError where it cannot be done. Lengths in m, x
along the form and y across it from its near left inner corner. Nothing is journalled key by key:
`changes.noted_changes` writes one line for each value that has changed when all is done.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees, pi
from typing import Any, Final, Literal

from workshop.project.ids import mentioned, next_free
from workshop.project.model import METRES, ProjectFile
from workshop.project.path import NoSuchPlace, Path, find
from workshop.project.project import Project
from workshop.quantity import Units

Point = tuple[float, float]
Line = tuple[Point, Point]

INCH: Final = 0.0254
"""m, exact (NIST SP 811)."""
MILLIMETRE: Final = 1e-3
FINEST_FRACTION: Final = 32
"""Inches are written in these parts where they come out even."""
SAME_PLACE: Final = 5e-4
"""m: guides this near to each other are one."""


class Locked(ValueError):
    """A piece that lies where the record says, so that its place is no longer planned."""


def locked(file: ProjectFile, piece: str) -> str:
    """Why a piece cannot be laid out any more, empty where it can."""
    placed = file.record.placed.get(piece)
    if placed is None:
        return ""
    day = "" if placed.at is None else f" on {placed.at:%d %b %Y}".replace(" 0", " ")
    return f"{piece} is logged as placed{day}: strike that line in the journal before you lay it elsewhere."


def grid(units: Units) -> float:
    """m: what a piece is moved to the next whole of."""
    return MILLIMETRE if units.system == "metric" else INCH / FINEST_FRACTION


def length_text(value: float, units: Units) -> str:
    """A length as the file writes it, without its unit: `720`, `28 1/2`, `720.35`."""
    if units.system == "metric":
        return _decimal(value / MILLIMETRE, 2)
    inches = value / INCH
    steps = round(inches * FINEST_FRACTION)
    if abs(inches * FINEST_FRACTION - steps) > 0.01:
        return _decimal(inches, 3)
    whole, rest = divmod(abs(steps), FINEST_FRACTION)
    sign = "-" if steps < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    bottom = FINEST_FRACTION
    while rest % 2 == 0:
        rest, bottom = rest // 2, bottom // 2
    return f"{sign}{whole} {rest}/{bottom}" if whole else f"{sign}{rest}/{bottom}"


def place_text(place: Point, units: Units) -> str:
    """A place as the file writes it: `720, 100 mm` or `28 1/2, 4 in`."""
    unit = "mm" if units.system == "metric" else "in"
    return f"{length_text(place[0], units)}, {length_text(place[1], units)} {unit}"


def _decimal(number: float, digits: int) -> str:
    text = f"{number:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


# Where pieces lie


def moved(project: Project, piece: str, dx: float, dy: float) -> Project:
    """The piece moved; the way it goes it ends on a whole millimetre, or a thirty-second of an inch."""
    _free(project, piece)
    held = project.file.piece[piece].place
    if held is None:
        raise ValueError(f"Where {piece} lies is not known: set it down first.")
    step = grid(project.units)
    x, y = (round((at + by) / step) * step if by else at for at, by in ((held.x, dx), (held.y, dy)))
    return placed_at(project, piece, (x, y))


def placed_at(project: Project, piece: str, place: Point) -> Project:
    """The piece with its mark at a place in the casting."""
    _free(project, piece)
    return project.with_value(("piece", piece, "place"), place_text(place, project.units))


def turned(project: Project, piece: str, by: float) -> Project:
    """The piece turned about its mark by radians against the clock, to a whole degree."""
    _free(project, piece)
    turn = project.file.piece[piece].turn
    angle = round(degrees((turn.value if turn else 0.0) + by)) % 360
    return _set(project, ("piece", piece, "turn"), f"{angle}°" if angle else None)


def turned_to(project: Project, piece: str, turn: float) -> Project:
    """The piece turned so far from how its slab lay, to a hundredth of a degree."""
    _free(project, piece)
    angle = degrees(turn % (2 * pi))
    return _set(project, ("piece", piece, "turn"), f"{_decimal(angle, 2)}°" if angle else None)


def flipped(project: Project, piece: str) -> Project:
    """The piece turned over about the line of the tape through its mark."""
    _free(project, piece)
    over = not project.file.piece[piece].flip
    return _set(project, ("piece", piece, "flip"), True if over else None)


def sent(project: Project, piece: str, casting: str, place: Point | None = None) -> Project:
    """The piece in another casting, at a place there; where none is given it stays as far in as it was.

    Light runs along it have to be given another piece first.
    """
    _free(project, piece)
    if casting not in project.file.casting:
        raise ValueError(f"There is no casting {casting}.")
    old = project.file.piece[piece].casting
    runs = project.file.casting[old].light_run if old in project.file.casting and old != casting else {}
    lit = [name for name, run in runs.items() if run.piece == piece]
    if lit:
        raise ValueError(f"The light run {lit[0]} of {old} goes along {piece}: give it another piece first.")
    made = project.with_value(("piece", piece, "casting"), casting)
    return made if place is None else placed_at(made, piece, place)


def taken_from(project: Project, piece: str, slab: str, mark: Point) -> Project:
    """The piece sawn out of another slab, or another part of it, round a mark (m in the slab).

    Lines that trimmed it on the slab before go with it.
    """
    _free(project, piece)
    if slab not in project.file.slab:
        raise ValueError(f"There is no slab {slab}.")
    before = project.file.piece[piece].slab
    made = project if before is None else without_trims(project, piece)
    made = made.with_value(("piece", piece, "slab"), slab)
    return made.with_value(("piece", piece, "mark"), place_text(mark, project.units))


# Saw lines


def trimmed(project: Project, piece: str, lines: Sequence[Line], mark: Point | None = None) -> Project:
    """The piece with saw lines of its own on its slab, each through two points in m in the slab.

    `mark` is written where the piece has none: it says which side of the lines is kept.
    """
    _free(project, piece)
    held = project.file.piece[piece]
    if held.slab is None or held.slab not in project.file.slab:
        raise ValueError(f"{piece} has no slab to draw saw lines on: give it one first.")
    if held.length is not None or held.width is not None:
        raise ValueError(f"{piece} lies by its own length and width: change those.")
    made = project
    if held.mark is None:
        if mark is None:
            raise ValueError(f"Which part of {held.slab} is {piece} is not known: it needs a mark.")
        made = made.with_value(("piece", piece, "mark"), place_text(mark, project.units))
    path: Path = ("slab", held.slab, "saw-lines")
    unit = METRES[project.file.slab[held.slab].unit or "mm"]
    if project.file.slab[held.slab].unit is None:
        made = made.with_value(("slab", held.slab, "unit"), "mm")
    for line in lines:
        start, end = (", ".join(_decimal(at / unit, _digits(unit)) for at in point) for point in line)
        row = {"id": next_free("s", set(mentioned(made.document))), "from": start, "to": end, "of": piece}
        made = made.with_value(path, [*_rows(made, path), row])
    return made


def without_trims(project: Project, piece: str) -> Project:
    """The project without the saw lines that trim this piece alone."""
    slab = project.file.piece[piece].slab
    path: Path = ("slab", slab or "", "saw-lines")
    rows = _rows(project, path)
    left = [row for row in rows if row.get("of") != piece]
    if len(left) == len(rows):
        return project
    return project.with_value(path, left) if left else project.without(path)


def _digits(unit: float) -> int:
    """Decimals of bare numbers: to a tenth of a millimetre or a little finer."""
    return {1e-3: 1, 1e-2: 2, 1.0: 4}.get(unit, 3)


# Guides


def guide_added(project: Project, casting: str, axis: Literal["x", "y"], at: float) -> Project:
    """A guide across the form at `x`, or along it at `y`."""
    path: Path = ("casting", casting, "guides")
    unit = "mm" if project.units.system == "metric" else "in"
    row = {
        "id": next_free("g", set(mentioned(project.document))),
        axis: f"{length_text(max(0.0, at), project.units)} {unit}",
    }
    return project.with_value(path, [*_rows(project, path), row])


def guide_removed(project: Project, casting: str, guide: str) -> Project:
    """The casting without a guide."""
    path: Path = ("casting", casting, "guides")
    left = [row for row in _rows(project, path) if row.get("id") != guide]
    return project.with_value(path, left) if left else project.without(path)


def guide_at(file: ProjectFile, casting: str, axis: Literal["x", "y"], at: float) -> str | None:
    """The guide that lies at a place, None where none does."""
    for guide in file.casting[casting].guides:
        held = guide.x if axis == "x" else guide.y
        if held is not None and abs(held.value - at) < SAME_PLACE:
            return guide.id
    return None


def _free(project: Project, piece: str) -> None:
    if piece not in project.file.piece:
        raise ValueError(f"There is no piece {piece}.")
    why = locked(project.file, piece)
    if why:
        raise Locked(why)


def _rows(project: Project, path: Path) -> list[Any]:
    try:
        return list(find(project.document, path))
    except NoSuchPlace:
        return []


def _set(project: Project, path: Path, value: Any) -> Project:
    """A value put where it differs, or taken away."""
    if value is not None:
        return project.with_value(path, value)
    return project.without(path) if project.at(path) is not None else project
