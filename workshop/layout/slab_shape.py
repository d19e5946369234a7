"""A project's slab as a shape: both faces, holes and saw lines. Lengths in m, x along the tape, y left of it.

Every function raises ValueError with a sentence where something is not known or cannot be.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import hypot

import shapely
from shapely import LinearRing, Polygon

from workshop.project.model import ProjectFile, SawLine, Slab
from workshop.trade.face_pair import FacePair, Line, Ring, Side, paired, side_of
from workshop.trade.outline import Point, Station, station_outline


@dataclass(frozen=True, slots=True)
class Saw:
    """A saw line of a slab, and the one piece that it trims where it does not go through all of it."""

    id: str
    line: Line
    of: str | None


@dataclass(frozen=True, slots=True)
class SlabShape:
    """A slab as it was measured."""

    name: str
    pair: FacePair
    """Both faces, the lower like the upper where it is not measured, and the holes."""
    both_faces: bool
    """Whether the lower face was measured."""
    thickness: float | None
    grain: float
    """Radians against the clock from the tape."""
    saws: tuple[Saw, ...]


def slab_shape(name: str, slab: Slab) -> SlabShape:
    """The shape of a slab; raises ValueError where it is not measured."""
    return _shape(name, slab)


@lru_cache(maxsize=256)
def _shape(name: str, slab: Slab) -> SlabShape:
    upper, lower = _faces(name, slab)
    for face, ring in (("upper", upper), ("lower", lower)):
        if ring is not None and not LinearRing(ring).is_simple:
            raise ValueError(f"The outline of the {face} face of {name} crosses itself: measure it again.")
    below, above = (upper, upper) if lower is None else paired(lower, upper)
    holes = tuple(_metres(slab, hole.points) for hole in slab.holes)
    thickness = slab.thickness.value if slab.thickness else None
    grain = slab.grain.value if slab.grain else 0.0
    saws = tuple(_saws(slab, upper))
    return SlabShape(name, FacePair(below, above, (), holes), lower is not None, thickness, grain, saws)


def kerf_of(file: ProjectFile) -> float:
    """What the shop's saw takes away, m; 0 while it is not known."""
    return next((tool.kerf.value for tool in file.tool.values() if tool.kerf is not None), 0.0)


def marks_on(file: ProjectFile, slab: str) -> dict[str, Point]:
    """The marks of the pieces that are sawn out of a slab."""
    return {
        name: (piece.mark.x, piece.mark.y)
        for name, piece in file.piece.items()
        if piece.slab == slab and piece.mark is not None and piece.length is None and piece.width is None
    }


def sides_round(
    shape: SlabShape, piece: str, mark: Point, marks: dict[str, Point], kerf: float
) -> tuple[Side, ...]:
    """The cuts that a piece is sawn out by: the saw lines that go through the slab, and its own.

    The kerf lies in what is left over; where pieces lie on both sides of a line, it is taken half from each.
    """
    sides = []
    for saw in shape.saws:
        if saw.of is not None and saw.of != piece:
            continue
        side = side_of(saw.line, mark)
        if saw.of is None and any(side.distance(other) < 0 for name, other in marks.items() if name != piece):
            side = side_of(saw.line, mark, kerf / 2)
        sides.append(side)
    return tuple(sides)


def _faces(name: str, slab: Slab) -> tuple[Ring, Ring | None]:
    if slab.stations:
        rows = slab.stations
        if len(rows) < 2 or any(row.left is None or row.right is None for row in rows):
            raise ValueError(f"{name} is not measured at both edges.")
        at = slab.metres
        upper = [Station(at(row.at), at(row.left or 0.0), at(row.right or 0.0)) for row in rows]
        if any(row.lower_left is None or row.lower_right is None for row in rows):
            return station_outline(upper), None
        lower = [Station(at(row.at), at(row.lower_left or 0.0), at(row.lower_right or 0.0)) for row in rows]
        return station_outline(upper), station_outline(lower)
    if slab.outline is not None:
        other = slab.lower_outline
        return _metres(slab, slab.outline.points), None if other is None else _metres(slab, other.points)
    if slab.length is None or slab.width is None:
        raise ValueError(f"{name} is not measured.")
    length, half = slab.length.value, slab.width.value / 2
    return ((0.0, -half), (length, -half), (length, half), (0.0, half)), None


def _metres(slab: Slab, points: Ring) -> Ring:
    return tuple((slab.metres(x), slab.metres(y)) for x, y in points)


def _saws(slab: Slab, upper: Ring) -> Iterator[Saw]:
    for row in slab.saw_lines:
        line = _line(slab, row, upper)
        if line is not None:
            yield Saw(row.id, line, row.of)


def _line(slab: Slab, row: SawLine, upper: Ring) -> Line | None:
    if row.square_at is not None:
        at = slab.metres(row.square_at)
        return (at, 0.0), (at, 1.0)
    if row.from_ is not None and row.to is not None:
        start = (slab.metres(row.from_.x), slab.metres(row.from_.y))
        return start, (slab.metres(row.to.x), slab.metres(row.to.y))
    if row.edge is not None and row.offset is not None:
        return beside_edge(upper, row.edge, slab.metres(row.offset))
    return None


def beside_edge(outline: Ring, edge: str, offset: float) -> Line:
    """The line parallel to the chord between an edge's two ends, `offset` m inside it."""
    over = 1.0 if edge == "left" else -1.0
    ends = [x for x, _ in outline]
    start, end = (
        max((over * y for x, y in outline if abs(x - at) < 1e-3), default=0.0) * over
        for at in (min(ends), max(ends))
    )
    along, rise = max(ends) - min(ends), end - start
    length = hypot(along, rise)
    # Inside lies to the right of the left edge and to the left of the right one.
    dx, dy = over * rise / length * offset, -over * along / length * offset
    return (min(ends) + dx, start + dy), (max(ends) + dx, end + dy)


def holes_inside(pair: FacePair) -> tuple[Ring, ...]:
    """The holes that open in the wood that is left, as the cuts leave them."""
    middle = pair.outline(0.5)
    holes = pair.open_holes()
    if len(middle) < 3 or not holes:
        return ()
    wood = shapely.make_valid(Polygon(middle))
    return tuple(hole for hole in holes if shapely.make_valid(Polygon(hole)).intersection(wood).area > 1e-9)
