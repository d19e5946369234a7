"""How far a piece can be moved one way until it comes to a wall, a trim line, a guide or another piece.

Lengths in m, places in the casting's coordinates.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.trade.face_pair import Ring

Way = Literal["left", "right", "near", "far"]

WAYS: Final[dict[Way, tuple[int, int]]] = {"left": (-1, 0), "right": (1, 0), "near": (0, -1), "far": (0, 1)}
STILL: Final = 3e-4
"""m: something this near is reached already."""


@dataclass(frozen=True, slots=True)
class Stop:
    """How far it is to something, and what it is."""

    distance: float
    what: str


def stops(held: CastingAsPlaced, piece: PlacedPiece, way: Way) -> tuple[Stop, ...]:
    """What lies in the way of a piece, the nearest first; what it touches already is left out."""
    found = [*_lines(held, piece, way)]
    for other in held.pieces:
        if other.id != piece.id:
            distance = travel(piece, other, way)
            if distance is not None:
                found.append(Stop(distance, other.id))
    return tuple(sorted((stop for stop in found if stop.distance > STILL), key=lambda stop: stop.distance))


def _lines(held: CastingAsPlaced, piece: PlacedPiece, way: Way) -> Iterator[Stop]:
    left, bottom, right, top = piece.extent
    along = way in ("left", "right")
    sign = sum(WAYS[way])
    front = {"left": left, "right": right, "near": bottom, "far": top}[way]
    size = held.length if along else held.width
    if size is not None:
        yield Stop(sign * ((size if sign > 0 else 0.0) - front), f"the {way} wall")
    if held.finished is not None:
        ends = held.finished[::2] if along else held.finished[1::2]
        for at in ends:
            yield Stop(sign * (at - front), "the trim line")
    for guide in held.held.guides:
        place = guide.x if along else guide.y
        if place is not None:
            yield Stop(sign * (place.value - front), f"guide {guide.id}")


def travel(piece: PlacedPiece, other: PlacedPiece, way: Way) -> float | None:
    """How far a piece goes until it touches another at either face; None where it goes past it."""
    found = []
    faces = {(True, True)} if piece.lower is None and other.lower is None else {(True, True), (False, False)}
    for upper, _also in faces:
        one = piece.upper if upper or piece.lower is None else piece.lower
        two = other.upper if upper or other.lower is None else other.lower
        found.append(_travel(_turned(one, way), _turned(two, way)))
    known = [distance for distance in found if distance is not None]
    return min(known, default=None)


def _turned(ring: Ring, way: Way) -> NDArray[np.float64]:
    """Across the way and along it."""
    dx, dy = WAYS[way]
    points = np.asarray(ring, dtype=np.float64)
    return np.column_stack((points[:, 0] * dy - points[:, 1] * dx, points[:, 0] * dx + points[:, 1] * dy))


def _travel(one: NDArray[np.float64], two: NDArray[np.float64]) -> float | None:
    ahead = _rays(one, two, 1.0)
    behind = _rays(two, one, -1.0)
    best = min(ahead, behind)
    return None if np.isinf(best) else float(best)


def _rays(points: NDArray[np.float64], ring: NDArray[np.float64], sign: float) -> float:
    """The shortest way from any of the points along the second axis to the ring."""
    following = np.roll(ring, -1, axis=0)
    x1, y1, x2, y2 = ring[:, 0], ring[:, 1], following[:, 0], following[:, 1]
    x, y = points[:, 0:1], points[:, 1:2]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (x - x1) / (x2 - x1)
        way = sign * (y1 + share * (y2 - y1) - y)
    hit = (share >= 0) & (share <= 1) & (way >= 0)
    return float(np.min(way, where=hit, initial=np.inf))
