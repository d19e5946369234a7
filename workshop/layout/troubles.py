"""What is wrong with how pieces lie in a form: they overlap, stick out, or leave a gap too narrow for resin.

Lengths in m, areas in m², places in the casting's coordinates.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import hypot
from typing import Final, Literal

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.room import at_share
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

Kind = Literal["overlap", "outside", "narrow"]
Wall = Literal["left", "right", "near", "far"]

LEAST_GAP: Final = 0.003
"""m: a gap that resin still runs into, where its sheet says no more (common practice, no source)."""
SEAM: Final = 0.0003
"""m: wood this near to wood or wall touches it."""
SLIGHT: Final = 1e-6
"""m²: pieces that overlap by no more lie against each other."""
SHARES: Final = (1.0, 0.0)
"""The faces at which pieces are compared: between them the edges are straight."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing wrong: of which pieces, where, by how much, and the region to show."""

    kind: Kind
    pieces: tuple[str, ...]
    amount: float
    """How far they overlap or stick out, or how wide the gap is."""
    at: Point
    wall: Wall | None = None
    region: tuple[Ring, ...] = ()


@dataclass(frozen=True, slots=True)
class Gap:
    """The narrowest resin between two pieces, or between a piece and a wall, and where."""

    pieces: tuple[str, ...]
    wall: Wall | None
    width: float
    at: Point


def troubles(held: CastingAsPlaced, least_gap: float = LEAST_GAP) -> tuple[Trouble, ...]:
    """Everything wrong with a casting's pieces, the worst kind first."""
    found = [*_overlaps(held.pieces)]
    if held.length is not None and held.width is not None:
        found += _outside(held.pieces, held.length, held.width)
    close = [pair for pair in combinations(held.pieces, 2) if _box_gap(*pair) < least_gap]
    found += [
        Trouble("narrow", gap.pieces, gap.width, gap.at, gap.wall)
        for gap in (*_between_pieces(close), *_beside_walls(held, held.pieces))
        if SEAM < gap.width < least_gap
    ]
    return tuple(found)


def gaps(held: CastingAsPlaced) -> tuple[Gap, ...]:
    """The narrowest place between any two pieces, and between each piece and each wall, over both faces."""
    return (*_between_pieces(combinations(held.pieces, 2)), *_beside_walls(held, held.pieces))


def gaps_of(held: CastingAsPlaced, piece: str, most: int = 4) -> tuple[Gap, ...]:
    """The narrowest places round one piece: to its `most` nearest neighbours, and to each wall."""
    own = [one for one in held.pieces if one.id == piece]
    others = [one for one in held.pieces if one.id != piece]
    near = sorted(others, key=lambda other: _box_gap(own[0], other))[:most] if own else []
    found = sorted(_between_pieces((own[0], other) for other in near), key=lambda gap: gap.width)
    return (*found, *_beside_walls(held, tuple(own)))


def _between_pieces(pairs: Iterable[tuple[PlacedPiece, PlacedPiece]]) -> Iterator[Gap]:
    for one, two in pairs:
        gap = _gap(one, two)
        if gap is not None:
            yield Gap((one.id, two.id), None, *gap)


def _beside_walls(held: CastingAsPlaced, pieces: tuple[PlacedPiece, ...]) -> Iterator[Gap]:
    if held.length is None or held.width is None:
        return
    for piece in pieces:
        for wall, gap in _wall_gaps(piece, held.length, held.width):
            yield Gap((piece.id,), wall, *gap)


@lru_cache(maxsize=4096)
def _gap(one: PlacedPiece, two: PlacedPiece) -> tuple[float, Point] | None:
    return _narrowest([*_side_by_side(one, two)])


@lru_cache(maxsize=1024)
def _wall_gaps(
    piece: PlacedPiece, length: float, width: float
) -> tuple[tuple[Wall, tuple[float, Point]], ...]:
    found = (
        (wall, _narrowest([(at_share(piece, share), line) for share in SHARES]))
        for wall, line in _walls(length, width).items()
    )
    return tuple((wall, gap) for wall, gap in found if gap is not None)


def _side_by_side(one: PlacedPiece, two: PlacedPiece) -> Iterator[tuple[BaseGeometry, BaseGeometry]]:
    """Both pieces as high as the thinner one reaches, and at the form floor."""
    shares = (1.0, 1.0)
    if one.thickness and two.thickness:
        top = min(one.thickness, two.thickness)
        shares = (one.share_at(top), two.share_at(top))
    yield at_share(one, shares[0]), at_share(two, shares[1])
    yield at_share(one, 0.0), at_share(two, 0.0)


def _box_gap(one: PlacedPiece, two: PlacedPiece) -> float:
    """How far the boxes round two pieces lie apart: their wood is no nearer."""
    a, b = one.extent, two.extent
    return hypot(max(0.0, a[0] - b[2], b[0] - a[2]), max(0.0, a[1] - b[3], b[1] - a[3]))


def _narrowest(pairs: list[tuple[BaseGeometry, BaseGeometry]]) -> tuple[float, Point] | None:
    found = [(float(one.distance(two)), one, two) for one, two in pairs if not (one.is_empty or two.is_empty)]
    if not found:
        return None
    width, one, two = min(found, key=lambda held: held[0])
    a, b = nearest_points(one, two)
    return width, ((a.x + b.x) / 2, (a.y + b.y) / 2)


def _walls(length: float, width: float) -> dict[Wall, LineString]:
    return {
        "left": LineString([(0, 0), (0, width)]),
        "right": LineString([(length, 0), (length, width)]),
        "near": LineString([(0, 0), (length, 0)]),
        "far": LineString([(0, width), (length, width)]),
    }


def _overlaps(pieces: tuple[PlacedPiece, ...]) -> Iterator[Trouble]:
    for one, two in combinations(pieces, 2):
        found = _overlap(one, two) if _near(one, two) else None
        if found is not None:
            yield found


@lru_cache(maxsize=4096)
def _overlap(one: PlacedPiece, two: PlacedPiece) -> Trouble | None:
    worst = max(
        (here.intersection(there) for here, there in _side_by_side(one, two)),
        key=lambda region: float(region.area),
    )
    if worst.area <= SLIGHT:
        return None
    middle = worst.representative_point()
    return Trouble("overlap", (one.id, two.id), _depth(worst), (middle.x, middle.y), None, rings(worst))


def _depth(region: BaseGeometry) -> float:
    """How far two pieces reach into each other: the short side of the smallest box round each overlap."""
    return max(_short_side(part) for part in shapely.get_parts(region))


def _short_side(region: BaseGeometry) -> float:
    box = region.minimum_rotated_rectangle
    corners = list(box.exterior.coords) if hasattr(box, "exterior") else []
    if len(corners) < 4:
        return 0.0
    sides = (
        shapely.Point(corners[0]).distance(shapely.Point(corners[1])),
        shapely.Point(corners[1]).distance(shapely.Point(corners[2])),
    )
    return float(min(sides))


def _outside(pieces: tuple[PlacedPiece, ...], length: float, width: float) -> Iterator[Trouble]:
    form = shapely.box(0.0, 0.0, length, width)
    for piece in pieces:
        left, bottom, right, top = piece.extent
        beyond: dict[Wall, float] = {
            "left": -left,
            "right": right - length,
            "near": -bottom,
            "far": top - width,
        }
        wall = max(beyond, key=lambda name: beyond[name])
        if beyond[wall] > SEAM:
            face = max(SHARES, key=lambda share: float(at_share(piece, share).difference(form).area))
            out = at_share(piece, face).difference(form)
            middle = out.representative_point() if not out.is_empty else shapely.Point(left, bottom)
            yield Trouble("outside", (piece.id,), beyond[wall], (middle.x, middle.y), wall, rings(out))


def _near(one: PlacedPiece, two: PlacedPiece) -> bool:
    a, b = one.extent, two.extent
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def rings(region: BaseGeometry) -> tuple[Ring, ...]:
    """The outer rings of a region."""
    return tuple(
        tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1])
        for part in shapely.get_parts(region)
        if part.geom_type == "Polygon" and not part.is_empty
    )
