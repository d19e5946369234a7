"""Every place to which a part can be moved, without turning, so that it lies wholly on a stock.

A part P moved by t lies on a region S exactly where no edge of S meets P + t, that is outside the union of
the Minkowski sums of S's edges with -P (de Berg and others, Computational Geometry, 3rd edition, chapter 13,
from memory). The greatest circle round t inside that set has as radius the clearance of P + t from S's edge,
because P + t + d lies on S for every |d| up to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import hypot

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from workshop.trade.fitting.stock import Floats, Ring, Stock

__all__ = [
    "TOUCH",
    "Bounds",
    "Ground",
    "clearance",
    "convex_pieces",
    "deepest",
    "free_moves",
    "ground",
    "shrunk",
]

Bounds = tuple[float, float, float, float]

TOUCH = 2e-11
"""Parts are shrunk by this (m), so that one that fits exactly leaves a set of moves with an inside."""

APART = 0.03
"""Two moves closer than this (m) are one place."""

_STRIDES = (8, 3, 1)
_FINE = 1e-4
_THIN = 2e-5


@dataclass(frozen=True, slots=True)
class Ground:
    """A stock's region with its edges as arrays of their ends."""

    region: shapely.Polygon | shapely.MultiPolygon
    starts: Floats
    ends: Floats
    edge: BaseGeometry


@lru_cache(maxsize=128)
def ground(stock: Stock, coarseness: float = 0.0) -> Ground:
    """A stock's region less its holes, which may cut into the edge or each other.

    With a coarseness points are left out by which the edge moves no further than it.
    """
    region = _less_holes(stock.ring, stock.holes)
    if coarseness > 0:
        region = shapely.simplify(region, coarseness, preserve_topology=True)
    return ground_of(region)


def ground_of(region: BaseGeometry) -> Ground:
    """A polygonal region with its edges."""
    starts, ends = [np.empty((0, 2))], [np.empty((0, 2))]
    for polygon in polygons(region):
        for ring in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(ring)
            starts.append(points[:-1])
            ends.append(points[1:])
    whole = shapely.multipolygons(polygons(region))
    shapely.prepare(whole)
    edge = shapely.boundary(whole)
    shapely.prepare(edge)
    return Ground(whole, np.concatenate(starts), np.concatenate(ends), edge)


def polygons(geometry: BaseGeometry) -> list[shapely.Polygon]:
    """The polygons of a geometry that have an inside."""
    return [
        part
        for part in shapely.get_parts(shapely.get_parts(geometry)).tolist()
        if isinstance(part, shapely.Polygon) and part.area > 0
    ]


def shrunk(region: BaseGeometry, by: float) -> BaseGeometry:
    """A region less a strip along its edge, at inner corners a little more; grown by one below zero."""
    # Buffers by the least numbers there are come out empty.
    if abs(by) < TOUCH / 2:
        return region
    return shapely.buffer(region, -by, join_style="mitre", mitre_limit=5.0)


def convex_pieces(region: BaseGeometry) -> tuple[Floats, ...]:
    """Convex polygons that together cover a region, the largest first, as arrays of corners."""
    pieces: list[BaseGeometry] = []
    for polygon in polygons(region):
        if _is_convex(polygon):
            pieces.append(polygon)
            continue
        triangles = [
            t for t in shapely.get_parts(shapely.constrained_delaunay_triangles(polygon)) if t.area > 0
        ]
        pieces.extend(_merged(triangles))
    pieces.sort(key=lambda piece: -piece.area)
    return tuple(shapely.get_coordinates(piece)[:-1] for piece in pieces)


def free_moves(pieces: Sequence[Floats], on: Ground, window: Bounds | None = None) -> list[shapely.Polygon]:
    """The moves by which a part made of convex pieces comes to lie on a region, at most those in a window."""
    if not pieces or not len(on.starts):
        return []
    corners = np.concatenate(pieces)
    low = on.starts.min(axis=0) - corners.min(axis=0)
    high = on.starts.max(axis=0) - corners.max(axis=0)
    if window is not None:
        low, high = np.maximum(low, window[:2]), np.minimum(high, window[2:])
    if (high <= low).any():
        return []
    free: BaseGeometry = shapely.box(*low, *high)
    for piece in pieces:
        free = _without(free, _sums(piece, on, free.bounds))
        if free.is_empty:
            return []
    inside = pieces[0].mean(axis=0)
    kept = []
    for polygon in polygons(free):
        point = shapely.get_coordinates(shapely.point_on_surface(polygon))[0] + inside
        # A part may also lie beside the stock or wholly in a hole of it without meeting an edge.
        if shapely.intersects_xy(on.region, *point):
            kept.append(polygon)
    return kept


def deepest(
    moves: Iterable[shapely.Polygon], most: int, accuracy: float = _FINE
) -> list[tuple[float, float]]:
    """Up to `most` moves that lie deep inside the free ones, the deepest first, each well apart."""
    waiting = [_deep(polygon, accuracy) for polygon in moves]
    found: list[tuple[float, float]] = []
    while waiting and len(found) < most:
        waiting.sort(key=lambda deep: deep[0])
        depth, x, y, polygon = waiting.pop()
        if all(hypot(x - a, y - b) > APART for a, b in found):
            found.append((x, y))
        if len(found) < most:
            taken = shapely.buffer(shapely.Point(x, y), max(APART * 1.01, depth), quad_segs=6)
            rest = shapely.difference(polygon, taken)
            waiting.extend(_deep(part, accuracy) for part in polygons(rest) if part.area > accuracy**2)
    return found


def depth(moves: Iterable[shapely.Polygon], accuracy: float) -> float:
    """The greatest distance from the edge inside the free moves, not less than it truly is."""
    return max((_deep(polygon, accuracy)[0] for polygon in moves), default=-np.inf) + accuracy


def clearance(part: BaseGeometry, on: Ground) -> float:
    """Distance from a part that lies on a region to the region's edge."""
    return max(0.0, float(shapely.distance(part, on.edge)))


def _less_holes(ring: Ring, holes: tuple[Ring, ...]) -> BaseGeometry:
    region: BaseGeometry = shapely.Polygon(ring)
    if holes:
        region = shapely.difference(region, shapely.union_all([shapely.Polygon(hole) for hole in holes]))
    return region


def _sums(piece: Floats, on: Ground, bounds: Bounds) -> NDArray[np.object_]:
    """The moves within bounds by which a convex piece meets an edge, a convex polygon for each edge."""
    low, high = np.array(bounds[:2]), np.array(bounds[2:])
    least = np.minimum(on.starts, on.ends) - piece.max(axis=0)
    most = np.maximum(on.starts, on.ends) - piece.min(axis=0)
    near = ((least <= high) & (most >= low)).all(axis=1)
    if not near.any():
        return np.empty(0, dtype=np.object_)
    starts, ends = on.starts[near], on.ends[near]
    points = np.concatenate([starts[:, None] - piece, ends[:, None] - piece], axis=1)
    count, each = points.shape[:2]
    dots = np.asarray(shapely.points(points.reshape(-1, 2)))
    clouds = np.asarray(shapely.multipoints(dots, indices=np.repeat(np.arange(count), each)))
    sums = shapely.convex_hull(clouds)
    if (high - low).min() > 1e-6:
        sums = shapely.clip_by_rect(sums, *bounds)
    else:
        sums = shapely.intersection(sums, shapely.box(*bounds))
    sums = np.asarray(sums)
    return sums[shapely.area(sums) > 0]


def _without(free: BaseGeometry, sums: NDArray[np.object_]) -> BaseGeometry:
    """Free moves less many overlapping sums.

    The sum of an edge is mostly covered by those of edges near it. So a few are taken off first, and of the
    others only those that still reach the free moves.
    """
    if len(shapely.get_coordinates(free)) > 5:
        shapely.prepare(free)
        sums = sums[shapely.intersects(free, sums)]
    for stride in _STRIDES:
        if not len(sums) or free.is_empty:
            return free
        taken = sums[::stride]
        free = shapely.difference(free, shapely.union_all(taken))
        if stride > 1:
            rest = np.ones(len(sums), dtype=bool)
            rest[::stride] = False
            sums = sums[rest]
            shapely.prepare(free)
            sums = sums[shapely.intersects(free, sums)]
    return free


def _deep(polygon: shapely.Polygon, accuracy: float) -> tuple[float, float, float, shapely.Polygon]:
    # The search for the circle takes long in a sliver, where any inner point does as well.
    if polygon.area > _THIN * polygon.length / 2:
        line = shapely.get_coordinates(shapely.maximum_inscribed_circle(polygon, accuracy))
        (x, y), (edge_x, edge_y) = line[0], line[-1]
        if shapely.intersects_xy(polygon, x, y):
            return hypot(edge_x - x, edge_y - y), float(x), float(y), polygon
    x, y = shapely.get_coordinates(shapely.point_on_surface(polygon))[0]
    return 0.0, float(x), float(y), polygon


def _is_convex(polygon: BaseGeometry) -> bool:
    return bool(shapely.convex_hull(polygon).area - polygon.area <= 1e-9 * polygon.area)


def _merged(triangles: list[BaseGeometry]) -> list[BaseGeometry]:
    """Triangles joined to larger convex polygons where that is quickly done."""
    waiting, done = sorted(triangles, key=lambda t: -t.area), []
    while waiting:
        piece, joined = waiting.pop(0), True
        while joined and waiting:
            rest = np.array(waiting)
            both = shapely.union(rest, piece)
            spare = shapely.area(shapely.convex_hull(both)) - shapely.area(both)
            fits = np.flatnonzero((spare <= 1e-13) & (shapely.get_type_id(both) == 3))
            joined = bool(len(fits))
            if joined:
                piece = both[fits[0]]
                waiting.pop(int(fits[0]))
        done.append(piece)
    return done


def outline_of(polygon: shapely.Polygon) -> tuple[Ring, tuple[Ring, ...]]:
    """A polygon's outer ring and its holes, as plain points."""
    outer, *holes = (_ring(shapely.get_coordinates(ring)) for ring in (polygon.exterior, *polygon.interiors))
    return outer, tuple(holes)


def _ring(points: Floats) -> Ring:
    return tuple((float(a[0]), float(a[1])) for a, _ in pairwise(points))
