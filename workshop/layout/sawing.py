"""What falls off a slab: its pieces, its offcuts, and how each saw line is marked with a tape.

Lengths in m, x along the slab's tape, y to its left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from workshop.layout.placed import as_sawn
from workshop.layout.room import polygon
from workshop.layout.slab_shape import Saw, SlabShape, kerf_of, slab_shape
from workshop.layout.troubles import rings
from workshop.project.model import ProjectFile
from workshop.trade.face_pair import FacePair, Ring, moved
from workshop.trade.outline import Point

LEAST_OFFCUT = 0.0025
"""m²: anything smaller, 50 mm square, goes into the stove."""
REACH = 100.0
"""m: saw lines run on this far beyond the slab."""


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left of a slab, by the wood that both faces hold, its holes open."""

    slab: str
    number: int
    ring: Ring
    holes: tuple[Ring, ...]
    area: float

    @property
    def mark(self) -> Point:
        """A point well inside it."""
        point = Polygon(self.ring, self.holes).representative_point()
        return point.x, point.y


@dataclass(frozen=True, slots=True)
class Sawn:
    """A slab sawn up."""

    slab: str
    area: float
    """Of the wood that both faces hold."""
    pieces: dict[str, float]
    """Area of each piece, by id."""
    offcuts: tuple[Offcut, ...]
    """Largest first."""
    kerf: float
    """Area that the saw turns to dust, and slivers too small to keep."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a saw line crosses an edge of the slab: at which place along the tape, and how far off it."""

    along: float
    off: float
    """Left of the tape where positive."""


@dataclass(frozen=True, slots=True)
class MarkedSaw:
    """A saw line as it is marked: the two places where it leaves the slab."""

    id: str
    of: str | None
    ends: tuple[Crossing, Crossing]
    length: float


def sawn(file: ProjectFile, name: str) -> Sawn:
    """A slab with its pieces taken out of it; raises ValueError where it is not measured."""
    shape = slab_shape(name, file.slab[name])
    whole = wood_of(shape)
    kerf = kerf_of(file)
    pieces: dict[str, float] = {}
    left = whole
    for piece, pair in _taken(file, name, shape.grain):
        region = polygon(pair.outline(0.0)).intersection(polygon(pair.outline(1.0)))
        pieces[piece] = float(region.intersection(whole).area)
        both = polygon(pair.outline(0.0)).union(polygon(pair.outline(1.0)))
        # The kerf falls into what is left over.
        left = left.difference(both.buffer(kerf, join_style="mitre") if kerf else both)
    for saw in shape.saws:
        if saw.of is None and kerf:
            left = left.difference(LineString(_through(saw)).buffer(kerf / 2, cap_style="flat"))
    parts = sorted(shapely.get_parts(left), key=lambda part: -part.area)
    offcuts = tuple(
        Offcut(name, number, rings(part)[0], _holes(part), float(part.area))
        for number, part in enumerate((part for part in parts if part.area >= LEAST_OFFCUT), 1)
    )
    area = float(whole.area)
    return Sawn(
        name, area, pieces, offcuts, area - sum(pieces.values()) - sum(offcut.area for offcut in offcuts)
    )


def _taken(file: ProjectFile, name: str, grain: float) -> Iterator[tuple[str, FacePair]]:
    """Every piece marked on a slab where it is sawn out; one of its own measures lies round its mark."""
    for piece, held in file.piece.items():
        if held.slab != name or held.mark is None:
            continue
        try:
            shape = as_sawn(file, piece)
        except ValueError:
            continue
        own = held.length is not None or held.width is not None
        mark = (held.mark.x, held.mark.y)
        yield piece, moved(shape.pair, shape.mark, mark, grain, False) if own else shape.pair


def wood_of(shape: SlabShape) -> BaseGeometry:
    """The region of a slab that is wood at both faces, its holes taken out."""
    region = polygon(shape.pair.upper)
    if shape.both_faces:
        region = region.intersection(polygon(shape.pair.lower))
    for hole in shape.pair.holes:
        region = region.difference(polygon(hole))
    return region


def marked_saws(file: ProjectFile, name: str) -> tuple[MarkedSaw, ...]:
    """The slab's saw lines in the order to saw them: across first, since a shorter board is lighter.

    Lines that trim one piece alone come last. A line that does not meet the slab is left out.
    """
    shape = slab_shape(name, file.slab[name])
    made = []
    for saw in shape.saws:
        region = polygon(shape.pair.upper)
        if saw.of is not None:
            try:
                held = as_sawn(file, saw.of)
            except ValueError:
                continue
            region = polygon(held.pair.outline(1.0)).buffer(1e-6)
        hit = region.intersection(LineString(_through(saw)))
        if hit.is_empty or hit.length <= 0:
            continue
        (ax, ay), (bx, by) = saw.line
        along = abs(bx - ax) >= abs(by - ay)
        ends = (_first(hit, 0 if along else 1), _last(hit, 0 if along else 1))
        made.append((saw.of is not None, along, MarkedSaw(saw.id, saw.of, ends, float(hit.length))))
    made.sort(key=lambda row: row[:2])
    return tuple(row[2] for row in made)


def _first(hit: BaseGeometry, axis: int) -> Crossing:
    point = min(shapely.get_coordinates(hit).tolist(), key=lambda held: held[axis])
    return Crossing(point[0], point[1])


def _last(hit: BaseGeometry, axis: int) -> Crossing:
    point = max(shapely.get_coordinates(hit).tolist(), key=lambda held: held[axis])
    return Crossing(point[0], point[1])


def _through(saw: Saw) -> tuple[Point, Point]:
    (ax, ay), (bx, by) = saw.line
    length = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5
    if length == 0:
        return saw.line
    dx, dy = (bx - ax) / length * REACH, (by - ay) / length * REACH
    return (ax - dx, ay - dy), (ax + dx, ay + dy)


def _holes(part: BaseGeometry) -> tuple[Ring, ...]:
    return tuple(
        tuple((float(x), float(y)) for x, y in inner.coords[:-1]) for inner in getattr(part, "interiors", ())
    )
