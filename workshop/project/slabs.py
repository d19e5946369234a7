"""Slabs becoming pieces, as actions on a project: saw lines, marks, and parts sawn out where they fit.

Each is a function from a project to a new one that raises ValueError where it cannot be done. Lengths in m, x
along the slab's tape and y to its left. Nothing is journalled key by key: `changes.noted_changes` writes one
line for each value that has changed when all is done.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, degrees, pi, sin
from typing import Any, Final, Literal

from workshop.project.ids import mentioned, next_free
from workshop.project.laying import place_text
from workshop.project.model import METRES, Slab
from workshop.project.path import Path
from workshop.project.project import Project
from workshop.trade.fitting import Placement, placed_ring

Point = tuple[float, float]
Edge = Literal["left", "right"]

DIGITS: Final = {1e-3: 1, 1e-2: 2, 1.0: 4, 0.0254: 2, 0.3048: 3}
"""Decimals of a slab's bare numbers by the m in its unit: 0.1 mm, a hundredth of an inch."""


def slab_of(project: Project, slab: str) -> Slab:
    """A slab of the project; raises ValueError where there is none of this name."""
    held = project.file.slab.get(slab)
    if held is None:
        raise ValueError(
            f"There is no slab {slab}: the project has {', '.join(project.file.slab) or 'none'}."
        )
    return held


def unit_of(project: Project, slab: str) -> float:
    """m in the unit in which a slab's bare numbers count."""
    return METRES[project.file.slab[slab].unit or "mm"]


def with_unit(project: Project, slab: str) -> Project:
    """The project with the slab's bare numbers counted in a stated unit."""
    if slab_of(project, slab).unit is not None:
        return project
    return project.with_value(("slab", slab, "unit"), "mm" if project.units.system == "metric" else "in")


def number(value: float, unit: float) -> str:
    """A length as a bare number of a slab, `unit` m each."""
    text = f"{value / unit:.{DIGITS[unit]}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


# Saw lines


def saw_line_added(
    project: Project,
    slab: str,
    *,
    square_at: float | None = None,
    from_: Point | None = None,
    to: Point | None = None,
    edge: Edge | None = None,
    offset: float | None = None,
    of: str | None = None,
) -> Project:
    """The slab with one more saw line: square to the tape, between two points, or beside an edge.

    With `of` it trims that piece alone.
    """
    made = with_unit(project, slab)
    unit = unit_of(made, slab)
    row: dict[str, Any] = {"id": next_free("s", set(mentioned(made.document)))}
    if square_at is not None:
        row["square-at"] = _bare(square_at, unit)
    elif from_ is not None and to is not None:
        row["from"], row["to"] = _place(from_, unit), _place(to, unit)
        if row["from"] == row["to"]:
            raise ValueError("A saw line needs two points: move the cursor before you set the second one.")
    elif edge is not None and offset is not None:
        row["edge"], row["offset"] = edge, _bare(offset, unit)
    else:
        raise ValueError("A saw line is square to the tape, goes through two points, or along an edge.")
    if of is not None:
        row["of"] = of
    return _put(made, slab, [*_rows(made, slab), row])


def saw_line_moved(project: Project, slab: str, line: str, dx: float, dy: float) -> Project:
    """The saw line moved; one that is square to the tape goes along it, one beside an edge across it."""
    unit = unit_of(project, slab)
    rows = _rows(project, slab)
    place = _place_of(rows, slab, line)
    held, row = project.file.slab[slab].saw_lines[place], dict(rows[place])
    if held.square_at is not None:
        if not dx:
            raise ValueError(f"{line} runs square to the tape: it moves along it, with ← and →.")
        row["square-at"] = _bare(_on_grid(held.square_at * unit + dx, dx), unit)
    elif held.edge is not None and held.offset is not None:
        if not dy:
            raise ValueError(f"{line} runs along the {held.edge} edge: it moves across, with ↑ and ↓.")
        inward = -dy if held.edge == "left" else dy
        row["offset"] = _bare(_on_grid(held.offset * unit + inward, inward), unit)
    elif held.from_ is not None and held.to is not None:
        for key, end in (("from", held.from_), ("to", held.to)):
            row[key] = _place((end.x * unit + dx, end.y * unit + dy), unit)
    return _put(project, slab, [*rows[:place], row, *rows[place + 1 :]])


def saw_line_dropped(project: Project, slab: str, line: str) -> Project:
    """The slab without a saw line."""
    rows = _rows(project, slab)
    place = _place_of(rows, slab, line)
    return _put(project, slab, [*rows[:place], *rows[place + 1 :]])


def newest_line(project: Project, slab: str) -> str:
    """The saw line that was added last, empty where there is none."""
    rows = project.file.slab[slab].saw_lines
    return rows[-1].id if rows else ""


# Pieces


def piece_marked(project: Project, slab: str, point: Point, piece: str | None = None) -> Project:
    """One more piece, or one that is there: what the saw lines leave round a point of the slab."""
    slab_of(project, slab)
    name = piece or free_piece(project)
    row = dict(project.document.get("piece", {}).get(name, {}))
    row |= {"slab": slab, "mark": place_text(point, project.units)}
    return project.with_value(("piece", name), row)


def unmarked(project: Project, slab: str) -> tuple[str, ...]:
    """The pieces that come out of a slab nobody knows where: no mark, and no measures of their own."""
    return tuple(
        name
        for name, held in project.file.piece.items()
        if held.slab == slab and held.mark is None and held.length is None and held.width is None
    )


def free_piece(project: Project) -> str:
    """The name that the next piece gets."""
    return next_free("p", set(mentioned(project.document)))


def piece_taken(
    project: Project, slab: str, placement: Placement, grain: float = 0.0, piece: str | None = None
) -> Project:
    """The project with a part sawn out where it fits: a mark in its middle, a saw line along every side.

    `grain` is the direction of the slab's grain, rad against the clock from the tape. An existing piece comes
    to lie in its casting as it lay, and is known by its saw lines in place of its measures. Raises ValueError
    where the part's outline is not convex, so that straight saw lines do not part it.
    """
    slab_of(project, slab)
    ring = [_turned(point, grain) for point in placed_ring(placement.part, placement)]
    if not _convex(ring):
        raise ValueError(f"{placement.part.id} has a hollow side, which straight saw lines cannot saw out.")
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    name = piece or free_piece(project)
    row = dict(project.document.get("piece", {}).get(name, {}))
    for key in ("length", "width"):
        row.pop(key, None)
    row["slab"], row["mark"] = slab, place_text(middle, project.units)
    if piece is not None and (turn := _off_square(placement.turn + grain)):
        held = project.file.piece[name].turn
        row["turn"] = f"{round(degrees(held.value if held else 0.0) - degrees(turn), 2) % 360:g}°"
    made = project.with_value(("piece", name), row)
    for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
        made = saw_line_added(made, slab, **_along(start, end), of=name)
    return made


def _along(start: Point, end: Point) -> dict[str, Any]:
    """The saw line of one side of a part."""
    if abs(start[0] - end[0]) < 1e-7:
        return {"square_at": start[0]}
    return {"from_": start, "to": end}


def _off_square(turn: float) -> float:
    """How far a rectangle lies off the tape, which half a turn does not change."""
    off = (turn + pi / 2) % pi - pi / 2
    return 0.0 if abs(off) < 1e-6 else off


def _convex(ring: Sequence[Point]) -> bool:
    crosses = []
    for place in range(len(ring)):
        (ax, ay), (bx, by), (cx, cy) = (ring[(place + step) % len(ring)] for step in range(3))
        crosses.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    return all(cross > -1e-12 for cross in crosses) or all(cross < 1e-12 for cross in crosses)


def _turned(point: Point, turn: float) -> Point:
    if not turn:
        return point
    return cos(turn) * point[0] - sin(turn) * point[1], sin(turn) * point[0] + cos(turn) * point[1]


def _rows(project: Project, slab: str) -> list[Any]:
    return list(project.document["slab"][slab].get("saw-lines", []))


def _put(project: Project, slab: str, rows: list[Any]) -> Project:
    path: Path = ("slab", slab, "saw-lines")
    return project.with_value(path, rows) if rows else project.without(path)


def _place_of(rows: Sequence[Any], slab: str, line: str) -> int:
    for place, row in enumerate(rows):
        if row["id"] == line:
            return place
    raise ValueError(f"{slab} has no saw line {line}.")


def _bare(value: float, unit: float) -> int | float:
    text = number(value, unit)
    return float(text) if "." in text else int(text)


def _place(point: Point, unit: float) -> str:
    return f"{number(point[0], unit)}, {number(point[1], unit)}"


def _on_grid(value: float, by: float) -> float:
    """A place that was moved by whole millimetres ends on one."""
    return round(value, 3) if abs(by * 1e3 - round(by * 1e3)) < 1e-9 else value
