"""Where a wanted part fits best, and by how much it fails to fit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import hypot

from workshop.trade.fitting.stock import Part, Placement, Stock
from workshop.trade.fitting.translations import APART, ground
from workshop.trade.fitting.turning import fits, spots

__all__ = ["Shortfall", "places", "shortfall"]

ACCURACY = 5e-4
"""A shortfall is found to this (m), and is never said too small."""
SHORTEST = 1e-3


@dataclass(frozen=True, slots=True)
class Shortfall:
    """By how much a part is too large for the stock that comes nearest to holding it."""

    stock: Stock | None
    """None where there is no stock at all."""
    along: float | None
    """Least shortening of its length alone with which it fits; None where no shortening is enough."""
    across: float | None
    """Least narrowing of its width alone with which it fits; None where no narrowing is enough."""

    @property
    def least(self) -> float | None:
        """The smaller of the two."""
        given = [short for short in (self.along, self.across) if short is not None]
        return min(given, default=None)


def places(
    part: Part, stocks: Sequence[Stock], *, margin_least: float = 0.0, most: int = 8
) -> tuple[Placement, ...]:
    """Up to `most` places where a part fits, the largest margin first.

    Two places on one stock lie more than 30 mm apart or lay the part another way. Raises ValueError where
    the margin is below zero or no place is asked for.
    """
    if margin_least < 0 or most < 1:
        raise ValueError(
            f"The search asks for {most} places with a margin of {margin_least:g} m; "
            "ask for one at the least, with a margin of zero or more."
        )
    found = [place for stock in stocks for place in spots(part, stock, most, margin_least)]
    found = [place for place in found if place.margin >= margin_least]
    found.sort(key=lambda place: -place.margin)
    kept: list[Placement] = []
    for place in found:
        if len(kept) == most:
            break
        if all(_differ(place, other) for other in kept):
            kept.append(place)
    return tuple(kept)


def shortfall(part: Part, stocks: Sequence[Stock]) -> Shortfall:
    """The stock on which a part needs the least change of one measure to fit, and how much of either.

    An outline is squeezed evenly along or across its grain. Both measures are zero on the first stock that
    holds the part as it is.
    """
    for stock in stocks:
        if fits(part, stock):
            return Shortfall(stock, 0.0, 0.0)
    # The largest first, so that most of the others are soon seen to be no nearer.
    largest = sorted(stocks, key=lambda stock: -ground(stock).region.area)
    nearest = Shortfall(largest[0] if largest else None, None, None)
    for stock in largest:
        least = nearest.least
        if least is not None and not any(_fits_less(part, stock, axis, least - ACCURACY) for axis in (0, 1)):
            continue
        here = Shortfall(stock, _short(part, stock, 0), _short(part, stock, 1))
        if here.least is not None and (least is None or here.least < least):
            nearest = here
    return nearest


def _short(part: Part, stock: Stock, axis: int) -> float | None:
    """Least shortening along one axis, between one that is too small and one that is enough."""
    enough = _extent(part, axis) - SHORTEST
    if enough <= 0 or not _fits_less(part, stock, axis, enough):
        return None
    return _bisected(lambda less: _fits_less(part, stock, axis, less), 0.0, enough)


def _bisected(holds: Callable[[float], bool], too_little: float, enough: float) -> float:
    while enough - too_little > ACCURACY / 2:
        middle = (too_little + enough) / 2
        if holds(middle):
            enough = middle
        else:
            too_little = middle
    return enough


def _fits_less(part: Part, stock: Stock, axis: int, less: float) -> bool:
    extent = _extent(part, axis)
    if not 0 <= less < extent:
        return False
    start = min(point[axis] for point in part.ring)
    scale = (extent - less) / extent
    ring = tuple(
        (start + (x - start) * scale, y) if axis == 0 else (x, start + (y - start) * scale)
        for x, y in part.ring
    )
    return fits(replace(part, ring=ring), stock)


def _extent(part: Part, axis: int) -> float:
    values = [point[axis] for point in part.ring]
    return max(values) - min(values)


def _differ(one: Placement, other: Placement) -> bool:
    if one.stock != other.stock or one.mirrored != other.mirrored:
        return True
    return hypot(one.x - other.x, one.y - other.y) > APART
