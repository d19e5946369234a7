"""What is wrong with how pieces lie in a form: they overlap, stick out, or leave a gap too narrow for resin.

Lengths in m, areas in m², places in the casting's coordinates.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
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
    found += [
        Trouble("narrow", gap.pieces, gap.width, gap.at, gap.wall)
        for gap in gaps(held)
        if SEAM < gap.width < least_gap
    ]
    return tuple(found)


def gaps(held: CastingAsPlaced) -> tuple[Gap, ...]:
    """The narrowest place between any two pieces, and between each piece and each wall, over both faces."""
    found: list[Gap] = []
    for one, two in combinations(held.pieces, 2):
        gap = _narrowest([(at_share(one, share), at_share(two, share)) for share in SHARES])
        if gap is not None:
            found.append(Gap((one.id, two.id), None, *gap))
    if held.length is not None and held.width is not None:
        for piece in held.pieces:
            for wall, line in _walls(held.length, held.width).items():
                gap = _narrowest([(at_share(piece, share), line) for share in SHARES])
                if gap is not None:
                    found.append(Gap((piece.id,), wall, *gap))
    return tuple(found)


def _narrowest(pairs: list[tuple[BaseGeometry, BaseGeometry]]) -> tuple[float, Point] | None:
    best: tuple[float, Point] | None = None
    for one, two in pairs:
        if one.is_empty or two.is_empty:
            continue
        width = float(one.distance(two))
        if best is None or width < best[0]:
            a, b = nearest_points(one, two)
            best = (width, ((a.x + b.x) / 2, (a.y + b.y) / 2))
    return best


def _walls(length: float, width: float) -> dict[Wall, LineString]:
    return {
        "left": LineString([(0, 0), (0, width)]),
        "right": LineString([(length, 0), (length, width)]),
        "near": LineString([(0, 0), (length, 0)]),
        "far": LineString([(0, width), (length, width)]),
    }


def _overlaps(pieces: tuple[PlacedPiece, ...]) -> Iterator[Trouble]:
    for one, two in combinations(pieces, 2):
        if not _near(one, two):
            continue
        worst = max(
            (at_share(one, share).intersection(at_share(two, share)) for share in SHARES),
            key=lambda region: float(region.area),
        )
        if worst.area > SLIGHT:
            middle = worst.representative_point()
            yield Trouble(
                "overlap", (one.id, two.id), _depth(worst), (middle.x, middle.y), None, rings(worst)
            )


def _depth(region: BaseGeometry) -> float:
    """How far two pieces reach into each other: the short side of the smallest box round the overlap."""
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
