"""What the wood of a casting leaves for resin and stone, level by level, from real outlines.

A level is a height over the form floor. Areas in m², volumes in m³; every region is cut to the inside of the
form. Along the height the volumes are integrated by Simpson's rule between the heights at which something
begins or ends; a bevelled edge gives an area that is quadratic in height, for which that rule is exact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from itertools import combinations, pairwise
from math import hypot

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from workshop.layout.as_placed import BedPlace, CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.section_line import within
from workshop.trade.face_pair import Line, Ring

EMPTY = Polygon()
PANELS = 2
"""Simpson's panels between two heights: where a saw cut meets a bevel the area is not quite quadratic."""
INSIDE = 1e-10
"""m: the ends of an interval are read just inside it, since above its own thickness a piece is gone."""


@dataclass(frozen=True, slots=True)
class Level:
    """What fills a casting between two heights, in m³."""

    low: float
    high: float
    form: float
    wood: float
    stone: float
    """Solid stone of the beds, without the spaces between the stones."""
    resin: float
    """All that is neither."""


@dataclass(frozen=True, slots=True)
class Filler:
    """A bed as the volumes need it: where it lies, and how much of it is solid."""

    bed: BedPlace
    solid: float


@dataclass(frozen=True, eq=False)
class Room:
    """The inside of a form with the wood that stands in it."""

    length: float
    width: float
    pieces: tuple[PlacedPiece, ...]
    """Those whose thickness is known."""

    @cached_property
    def inside(self) -> Polygon:
        """The inside of the form."""
        return shapely.box(0.0, 0.0, self.length, self.width)

    def wood(self, height: float) -> BaseGeometry:
        """All wood at a height."""
        return _union(tuple(self._within(piece, height) for piece in self._standing(height)))

    def wood_area(self, height: float) -> float:
        """The area of the wood at a height, none of it counted twice where pieces overlap."""
        inner = (0.0, 0.0, self.length, self.width)
        return _area([_inside(inner, *_boxed(piece, height)) for piece in self._standing(height)])

    def free(self, height: float) -> BaseGeometry:
        """What is not wood at a height."""
        return self.inside.difference(self.wood(height))

    def free_area(self, height: float) -> float:
        """The area of resin and beds at a height."""
        return self.length * self.width - self.wood_area(height)

    def bed(self, bed: BedPlace, height: float) -> BaseGeometry:
        """Where a bed lies at a height: in its region, off the wood, its inset away from wood and form."""
        free = self.free(height)
        clear = free.buffer(-bed.inset, join_style="mitre") if bed.inset > 0 else free
        return clear if bed.points is None else clear.intersection(polygon(bed.points))

    def spans(self, region: BaseGeometry, line: Line) -> tuple[tuple[float, float], ...]:
        """Where a line through the form runs in a region, in m from where it enters the form."""
        run = within(line, (0.0, 0.0, self.length, self.width))
        if run is None:
            return ()
        (ax, ay), (bx, by) = line
        length = hypot(bx - ax, by - ay)
        dx, dy = (bx - ax) / length, (by - ay) / length
        start, end = ((ax + dx * at, ay + dy * at) for at in run)
        made = []
        for part in shapely.get_parts(region.intersection(LineString([start, end]))):
            if part.geom_type == "LineString" and part.length > 0:
                ends = [(x - start[0]) * dx + (y - start[1]) * dy for x, y in part.coords]
                made.append((min(ends), max(ends)))
        return tuple(sorted(made))

    def level(self, low: float, high: float, fillers: tuple[Filler, ...] = ()) -> Level:
        """What lies between two heights."""
        form = self.length * self.width * max(0.0, high - low)
        wood = self._integral(self.wood_area, low, high, fillers)
        stone = 0.0
        for filler in fillers:
            bed = filler.bed
            if bed.low is not None and bed.high is not None:
                bottom, top = max(low, bed.low), min(high, bed.high)
                stone += filler.solid * self._integral(partial(self._bed_area, bed), bottom, top, fillers)
        return Level(low, high, form, wood, stone, form - wood - stone)

    def _bed_area(self, bed: BedPlace, height: float) -> float:
        """The area of `bed`; in all of the resin by each piece grown by the inset, most of them known."""
        if bed.points is not None or bed.inset <= 0:
            return float(self.bed(bed, height).area)
        low, right, top = bed.inset, self.length - bed.inset, self.width - bed.inset
        if right <= low or top <= low:
            return 0.0
        inner = (low, low, right, top)
        grown = [_inside(inner, *_grown(piece, height, low)) for piece in self._standing(height)]
        return (right - low) * (top - low) - _area(grown)

    def _standing(self, height: float) -> Iterator[PlacedPiece]:
        return (piece for piece in self.pieces if piece.thickness and height <= piece.thickness + INSIDE / 2)

    def _within(self, piece: PlacedPiece, height: float) -> BaseGeometry:
        return _inside((0.0, 0.0, self.length, self.width), *_boxed(piece, height))[0]

    def _integral(
        self, area: Callable[[float], float], low: float, high: float, fillers: tuple[Filler, ...]
    ) -> float:
        if high <= low:
            return 0.0
        steps = {low, high}
        steps |= {piece.thickness for piece in self.pieces if piece.thickness}
        steps |= {at for filler in fillers for at in (filler.bed.low, filler.bed.high) if at is not None}
        total = 0.0
        for one, two in pairwise(sorted(step for step in steps if low <= step <= high)):
            part = (two - one) / PANELS / 2
            heights = [one + INSIDE, *(one + step * part for step in range(1, 2 * PANELS)), two - INSIDE]
            ends, *inner, last = (area(height) for height in heights)
            total += part / 3 * (ends + 4 * sum(inner[::2]) + 2 * sum(inner[1::2]) + last)
        return total


def room_of(held: CastingAsPlaced) -> Room | None:
    """The room in a casting's form; None while its inner size is not known."""
    if held.length is None or held.width is None:
        return None
    return Room(held.length, held.width, tuple(piece for piece in held.pieces if piece.thickness))


@lru_cache(maxsize=2048)
def section(piece: PlacedPiece, height: float) -> BaseGeometry:
    """The wood of a piece at a height over the form floor, its holes open."""
    return at_share(piece, piece.share_at(height))


@lru_cache(maxsize=2048)
def at_share(piece: PlacedPiece, share: float) -> BaseGeometry:
    """The wood of a piece at a share of its thickness, its holes open."""
    region = polygon(piece.outline(share))
    for hole in piece.holes:
        region = region.difference(polygon(hole))
    # Distances between wavy edges are found much faster so.
    shapely.prepare(region)
    return region


Box = tuple[float, float, float, float]
Boxed = tuple[BaseGeometry, Box]
"""A region, and the box round it; that round nothing is not a number."""


@lru_cache(maxsize=2048)
def _boxed(piece: PlacedPiece, height: float) -> Boxed:
    region = section(piece, height)
    return region, region.bounds


@lru_cache(maxsize=2048)
def _grown(piece: PlacedPiece, height: float, by: float) -> Boxed:
    region = section(piece, height).buffer(by, join_style="mitre")
    return region, region.bounds


def _inside(inner: Box, region: BaseGeometry, box: Box) -> Boxed:
    """The part of a region in a box."""
    if inner[0] <= box[0] and inner[1] <= box[1] and box[2] <= inner[2] and box[3] <= inner[3]:
        return region, box
    if region.is_empty:
        return region, box
    left = region.intersection(shapely.box(*inner))
    return left, left.bounds


def _area(regions: list[Boxed]) -> float:
    """The area of regions together, those united first that may overlap."""
    bound: set[int] = set()
    for (one, (_, a)), (two, (_, b)) in combinations(enumerate(regions), 2):
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            bound |= {one, two}
    loose = sum(region.area for number, (region, _) in enumerate(regions) if number not in bound)
    together = tuple(regions[number][0] for number in sorted(bound))
    return float(loose + (_union(together).area if together else 0.0))


def polygon(ring: Ring) -> BaseGeometry:
    """A ring as a region, mended where it touches or crosses itself."""
    if len(ring) < 3:
        return EMPTY
    made: BaseGeometry = shapely.polygons(ring)
    if made.is_valid:
        return made
    parts = shapely.get_parts(shapely.make_valid(made))
    return _union(tuple(part for part in parts if part.area > 0))


def _union(regions: tuple[BaseGeometry, ...]) -> BaseGeometry:
    return regions[0] if len(regions) == 1 else shapely.union_all(regions) if regions else EMPTY
