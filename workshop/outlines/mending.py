"""Mending of a drawn line into closed outlines that neither cross themselves nor repeat points."""

import math
import re
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from workshop.outlines.drawing import Floats, OpenOutline, OutlineError, Ring, in_mm, within_reach
from workshop.trade.outline import Point

__all__ = ["FINE", "LEAST_AREA", "mended"]

FINE: Final = 0.00005
"""What is thinner or nearer than this is no part of an outline, m."""
LEAST_AREA: Final = 1e-4
"""An outline with less is a mark, not a slab, m2."""
MOST_IN_A_RING: Final = 2000
"""An outline with more points is simplified."""

_SAME: Final = 1e-7
"""Points as near as this are one, m."""
_LARGEST_GAP: Final = 0.020
_GAP_SHARE: Final = 0.02
_MAIN_SHARE: Final = 0.98
_MOST_CROSSINGS: Final = 100


def mended(
    points: Sequence[Point] | Floats, *, closed: bool = False, least_area: float = LEAST_AREA
) -> tuple[tuple[Ring, ...], tuple[str, ...]]:
    """The rings that a drawn line makes, none with its first point repeated, and what was done to get them.

    Most lines make one ring. One that runs round a hole, out and back on itself, makes the outer ring and
    the hole. A line with less area than `least_area`, m2, makes none, with a note.
    An open line whose ends lie apart by less than 2 % of its length and less than 20 mm is closed; where a
    line crosses itself and one part holds 98 % of the area or more, that part is kept; spikes thinner than
    0.05 mm go; more than 2000 points are simplified to within 0.05 mm.
    Raises OpenOutline where the ends lie too far apart, OutlineError where the line crosses itself so
    that no part is the outline, or a coordinate is not finite or beyond 100 m.
    """
    line = within_reach(np.asarray(points, dtype=np.float64).reshape(-1, 2), "The outline")
    notes: list[str] = []
    ring = _distinct(_closed(line, closed, notes), notes)
    ring = _without_spikes(ring, notes)
    if len(ring) < 3:
        return (), (*notes, _too_small(line, 0.0))
    faces = _faces(_simplified(ring, notes), notes)
    area = sum(face.area for face in faces)
    if area < least_area:
        return (), (*notes, _too_small(line, area))
    rings: list[Ring] = []
    for face in faces:
        rings.append(_ring(face.exterior))
        rings += [_ring(inner) for inner in face.interiors if shapely.Polygon(inner).area >= least_area]
    return tuple(rings), tuple(notes)


def _closed(line: Floats, closed: bool, notes: list[str]) -> Floats:
    """The line without its last point where that repeats the first."""
    if len(line) < 2:
        return line
    gap = float(np.hypot(*(line[-1] - line[0])))
    if gap <= _SAME:
        return line[:-1]
    length = float(np.hypot(*np.diff(line, axis=0).T).sum())
    if closed:
        return line
    if gap >= _LARGEST_GAP or gap >= _GAP_SHARE * length:
        raise OpenOutline(
            f"The line is open by {in_mm(gap)} between {_at(line[0])} and {_at(line[-1])}; "
            "draw it round to its start."
        )
    notes.append(f"An outline open by {in_mm(gap)} at {_at(line[0])} was closed.")
    return line


def _distinct(ring: Floats, notes: list[str]) -> Floats:
    if len(ring) < 2:
        return ring
    kept: NDArray[np.bool_] = np.hypot(*(ring - np.roll(ring, 1, axis=0)).T) > _SAME
    dropped = len(ring) - int(kept.sum())
    if dropped and kept.any():
        notes.append(f"{dropped} repeated point{'s were' if dropped > 1 else ' was'} dropped.")
    return np.asarray(ring[kept], dtype=np.float64)


def _without_spikes(ring: Floats, notes: list[str]) -> Floats:
    """The ring without points to which it goes out and at once comes back, less than 0.05 mm beside."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    # Most outlines have no turn that sharp, and are done here.
    sharp = (before * after).sum(axis=1) < 0
    if len(ring) < 3 or not (sharp | (np.hypot(*after.T) < FINE)).any():
        return ring
    points: list[Point] = [(float(x), float(y)) for x, y in ring]
    kept: list[Point] = []
    removed = 0
    for point in points:
        kept.append(point)
        while tips := _spike_tips(kept):
            del kept[-1 - tips : -1]
            removed += 1
            if len(kept) > 1 and math.dist(kept[-2], kept[-1]) <= _SAME:
                kept.pop()
    while len(kept) >= 3:
        if _is_spike(kept[-2], kept[-1], kept[0]):
            kept.pop()
        elif _is_spike(kept[-1], kept[0], kept[1]):
            del kept[0]
        else:
            break
        removed += 1
    if removed:
        notes.append(f"{removed} spike{'s' if removed > 1 else ''} thinner than 0.05 mm removed.")
    return np.array(kept, dtype=np.float64)


def _is_spike(a: Point, tip: Point, b: Point) -> bool:
    out_x, out_y = tip[0] - a[0], tip[1] - a[1]
    back_x, back_y = b[0] - tip[0], b[1] - tip[1]
    if out_x * back_x + out_y * back_y >= 0:
        return False
    # The shorter leg's end stands off the longer leg by as much as the spike is thick.
    longer = max(out_x * out_x + out_y * out_y, back_x * back_x + back_y * back_y)
    return abs(out_x * back_y - out_y * back_x) < FINE * float(longer**0.5)


def _spike_tips(points: Sequence[Point]) -> int:
    """How many points before the last are a spike's tip: one, two where it is blunt, or none."""
    if len(points) >= 3 and _is_spike(*points[-3:]):
        return 1
    blunt = len(points) >= 4 and math.dist(points[-3], points[-2]) < FINE
    return 2 if blunt and _is_spike(points[-4], points[-3], points[-1]) else 0


def _simplified(ring: Floats, notes: list[str]) -> Floats:
    if len(ring) <= MOST_IN_A_RING:
        return ring
    # Keeping the topology takes very long over a line that crosses itself, and there is none to keep.
    points = _thinned(shapely.LineString(np.vstack([ring, ring[:1]])))
    if len(points) < 3 or not shapely.Polygon(points).is_valid:
        whole = shapely.Polygon(ring)
        if whole.is_valid:
            points = np.asarray(shapely.simplify(whole, FINE).exterior.coords, dtype=np.float64)[:-1]
    if len(points) < 3:
        return ring
    if len(points) < len(ring):
        notes.append(f"An outline of {len(ring)} points was simplified to {len(points)}, within 0.05 mm.")
    return points


def _thinned(line: shapely.LineString) -> Floats:
    simpler = shapely.simplify(line, FINE, preserve_topology=False)
    return np.asarray(simpler.coords, dtype=np.float64)[:-1]


def _faces(ring: Floats, notes: list[str]) -> list[shapely.Polygon]:
    """The one part of the ring that is the outline; raises OutlineError where no part is."""
    whole = shapely.Polygon(ring)
    if whole.is_valid:
        return [whole]
    where = _crossing(whole)
    if _too_many_crossings(ring):
        raise OutlineError(
            f"The outline crosses itself more than {_MOST_CROSSINGS} times, once at {where}; draw it anew."
        )
    parts = sorted(_polygons(shapely.make_valid(whole)), key=lambda part: part.area, reverse=True)
    if not parts:
        return []
    main = parts[0]
    # What the line goes round twice is no hole but a loop in the outline itself.
    holes, loops = [], [part.area for part in parts[1:]]
    for inner in main.interiors:
        hole = shapely.Polygon(inner)
        if _winding(ring, hole.representative_point()) == 0:
            holes.append(inner)
        else:
            loops.append(hole.area)
    main = shapely.Polygon(main.exterior, holes)
    lost = sum(loops)
    if main.area < _MAIN_SHARE * (main.area + lost):
        raise OutlineError(
            f"The outline crosses itself at {where} and falls into parts of "
            f"{', '.join(f'{area * 1e4:.3g} cm²' for area in [main.area, *loops][:3])}; "
            "draw it so that no two sides cross."
        )
    if lost > 0:
        notes.append(
            f"The outline crossed itself at {where}; a loop of {lost * 1e6:.3g} mm² was dropped."
            if len(loops) == 1
            else f"The outline crossed itself, once at {where}; {len(loops)} loops of {lost * 1e6:.3g} mm² "
            "together were dropped."
        )
    return [main]


def _polygons(held: shapely.Geometry) -> Iterator[shapely.Polygon]:
    for part in shapely.get_parts(held):
        if isinstance(part, shapely.Polygon):
            yield part
        elif isinstance(part, shapely.MultiPolygon):
            yield from part.geoms


def _crossing(whole: shapely.Polygon) -> str:
    found = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(whole))
    return _at((float(found[1]), float(found[2]))) if found else "a place unknown"


def _too_many_crossings(ring: Floats) -> bool:
    """Whether the sides cross so often that taking them apart would be slow and the result no outline."""
    sides = np.asarray(shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)))
    tree = shapely.STRtree(sides)
    met, start, step = 0, 0, 4
    while start < len(sides):
        some = sides[start : start + step]
        # Each side meets itself and its two neighbours.
        met += tree.query(some, predicate="intersects").shape[1] - 3 * len(some)
        if met > 2 * _MOST_CROSSINGS:
            return True
        start, step = start + step, min(2 * step, 512)
    return False


def _winding(ring: Floats, point: shapely.Point) -> int:
    """How often the ring goes round a point."""
    x, y = ring[:, 0] - point.x, ring[:, 1] - point.y
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    turns = np.arctan2(x * next_y - y * next_x, x * next_x + y * next_y)
    return round(float(turns.sum()) / (2 * np.pi))


def _ring(held: shapely.LinearRing) -> Ring:
    return tuple((float(x), float(y)) for x, y in held.coords[:-1])


def _too_small(line: Floats, area: float) -> str:
    where = _at(line[0]) if len(line) else "nowhere"
    return f"An outline at {where} has only {area * 1e6:.3g} mm² and was left out."


def _at(point: Sequence[float] | Floats) -> str:
    return f"({float(point[0]) * 1000:.1f}, {float(point[1]) * 1000:.1f}) mm"
