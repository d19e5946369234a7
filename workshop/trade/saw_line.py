"""A saw line on a slab: where it enters and leaves the wood, and how far it runs through holes. Lengths in m.

x along the slab's tape, y to its left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from workshop.trade.face_pair import Line
from workshop.trade.outline import Outline, Point

REACH = 100.0
"""m: a line that runs on reaches this far beyond its points."""


@dataclass(frozen=True, slots=True)
class LineOnSlab:
    """A saw line in the wood: its two ends on the outline, that at the tape's zero or right edge first."""

    start: Point
    end: Point
    length: float
    """Of the cut in wood."""
    in_holes: float
    """How far it runs through holes between its ends."""
    clear_of_holes: float
    """How far it has to be moved sideways to clear the hole it runs through; 0 where there is none."""


def line_on_slab(
    outline: Outline, line: Line, holes: Sequence[Outline] = (), *, runs_on: bool = True
) -> LineOnSlab | None:
    """Where a line lies on a slab, running on beyond both its points if `runs_on`; None where it misses it.

    Raises ValueError where the line has no direction or the outline encloses no area.
    """
    region = Polygon(outline) if len(outline) > 2 else Polygon()
    if not region.is_valid or region.area <= 0:
        raise ValueError(
            "The outline crosses itself or encloses nothing: give its corners in order round it."
        )
    saw = LineString(_running_on(line) if runs_on else _directed(line))
    hit = region.intersection(saw)
    if hit.is_empty or hit.length <= 0:
        return None
    axis = 0 if _runs_along(line) else 1
    ends = sorted(((float(x), float(y)) for x, y in shapely.get_coordinates(hit)), key=lambda at: at[axis])
    hole = shapely.union_all([Polygon(points).buffer(0) for points in holes]).intersection(region)
    wood = hit.difference(hole)
    return LineOnSlab(
        ends[0],
        ends[-1],
        float(wood.length),
        float(hit.length - wood.length),
        max((_sideways(part, line) for part in shapely.get_parts(hole) if _cut(part, hit)), default=0.0),
    )


def distance_to(outline: Outline, line: Line) -> float:
    """How far a line, running on both ways, passes by an outline; 0 where it meets it."""
    return float(Polygon(outline).distance(LineString(_running_on(line))))


def distance_off(line: Line, point: Point) -> float:
    """How far off a line, running on both ways, a point lies."""
    return abs(_off(line, point))


def _runs_along(line: Line) -> bool:
    (ax, ay), (bx, by) = line
    return abs(bx - ax) >= abs(by - ay)


def _directed(line: Line) -> Line:
    if line[0] == line[1]:
        raise ValueError("A saw line starts and ends in one point: give two different ones.")
    return line


def _running_on(line: Line) -> Line:
    (ax, ay), (bx, by) = _directed(line)
    length = hypot(bx - ax, by - ay)
    dx, dy = (bx - ax) / length * REACH, (by - ay) / length * REACH
    return (ax - dx, ay - dy), (bx + dx, by + dy)


def _off(line: Line, point: Point) -> float:
    (ax, ay), (bx, by) = _directed(line)
    return ((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)) / hypot(bx - ax, by - ay)


def _cut(hole: BaseGeometry, hit: BaseGeometry) -> bool:
    return bool(hole.intersection(hit).length > 0)


def _sideways(hole: BaseGeometry, line: Line) -> float:
    off = [_off(line, (float(x), float(y))) for x, y in shapely.get_coordinates(hole)]
    return max(0.0, min(max(off), -min(off)))
