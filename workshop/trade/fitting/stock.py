"""Wanted parts, the slabs and offcuts they may be sawn from, and where a part lies on one.

Lengths in metres, angles in radians counter-clockwise. On a stock x runs along the grain, as a tape lies; on
a part x runs along the part's own grain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, isfinite, pi, sin

import numpy as np
import shapely
from numpy.typing import NDArray

from workshop.trade.outline import Point

__all__ = [
    "Floats",
    "Part",
    "Placement",
    "Ring",
    "Stock",
    "part_region",
    "placed_ring",
    "rectangle",
    "turned",
]

Ring = tuple[Point, ...]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Part:
    """A wanted part as an outline with x along its grain.

    Raises ValueError where the outline encloses no area or crosses itself, or the slack is not an angle.
    """

    id: str
    ring: Ring
    grain_slack: float | None = 0.0
    """How far its grain may run off the slab's, rad; None where the direction does not matter."""
    may_mirror: bool = False

    def __post_init__(self) -> None:
        _checked(self.ring, f"The outline of part {self.id!r}")
        if self.grain_slack is not None and not 0 <= self.grain_slack < float("inf"):
            raise ValueError(
                f"The grain slack of part {self.id!r} is {self.grain_slack:g}; "
                "give an angle of zero or more, or none for any direction."
            )


@dataclass(frozen=True, slots=True)
class Stock:
    """A slab or an offcut: the region on which a whole part must lie, less the holes.

    With bevelled live edges the region is what both faces have in common. Raises ValueError where an outline
    encloses no area or crosses itself.
    """

    id: str
    ring: Ring
    holes: tuple[Ring, ...] = ()
    kerf: float = 0.0
    """Width of the saw line by which this stock is sawn: parts on it lie at least so far apart."""

    def __post_init__(self) -> None:
        _checked(self.ring, f"The outline of stock {self.id!r}")
        for hole in self.holes:
            _checked(hole, f"A hole in stock {self.id!r}")
        if not 0 <= self.kerf < float("inf"):
            raise ValueError(f"The kerf of stock {self.id!r} is {self.kerf:g} m; give zero or more.")


@dataclass(frozen=True, slots=True)
class Placement:
    """A part laid on a stock: mirrored about its own x axis first, then turned, then moved."""

    part: Part
    stock: Stock
    x: float
    """Where the part's own origin lies on the stock."""
    y: float
    turn: float
    mirrored: bool
    margin: float
    """The greatest distance by which the part may still grow on all sides: its clearance from the edge."""


def rectangle(
    id: str, length: float, width: float, *, grain_slack: float | None = 0.0, may_mirror: bool = False
) -> Part:
    """A rectangular part, `length` along its grain, its origin in one corner.

    Raises ValueError where a measure is not above zero.
    """
    if not (0 < length < float("inf") and 0 < width < float("inf")):
        raise ValueError(
            f"Part {id!r} measures {length:g} by {width:g} m; give a length and a width above zero."
        )
    ring = ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))
    return Part(id, ring, grain_slack, may_mirror)


def placed_ring(part: Part, placement: Placement) -> Ring:
    """The outline of a part where a placement puts it.

    Another outline than the placed one may be given, such as the finished one inside a roughed-out blank,
    as long as both have one origin.
    """
    points = turned(np.asarray(part.ring), placement.turn, placement.mirrored)
    return tuple((float(x) + placement.x, float(y) + placement.y) for x, y in points)


def turned(points: Floats, turn: float, mirrored: bool) -> Floats:
    """Points mirrored about the x axis where asked, then turned about the origin."""
    flip = -1.0 if mirrored else 1.0
    rotation = np.array([[cos(turn), sin(turn)], [-sin(turn) * flip, cos(turn) * flip]])
    return np.asarray(points @ rotation, dtype=np.float64)


def half_turn(turn: float) -> float:
    """An angle brought between minus and plus half a turn; half a turn itself counts as plus."""
    brought = (turn + pi) % (2 * pi) - pi
    return pi if brought < -pi + 1e-9 else brought


@lru_cache(maxsize=128)
def part_region(ring: Ring) -> shapely.Polygon:
    """The polygon inside a ring."""
    return shapely.Polygon(ring)


def _checked(ring: Sequence[Point], name: str) -> None:
    if len(ring) < 3:
        raise ValueError(f"{name} has {len(ring)} points; give at least three.")
    if not all(isfinite(x) and isfinite(y) for x, y in ring):
        raise ValueError(f"{name} has a point that is no number; give both its distances.")
    region = shapely.Polygon(ring)
    if not region.is_valid:
        raise ValueError(f"{name} crosses or touches itself; put its points in order round the edge.")
    if region.area <= 0:
        raise ValueError(f"{name} encloses no area; look at its points again.")
