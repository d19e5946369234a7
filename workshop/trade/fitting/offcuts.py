"""What is left of a stock when the parts are sawn out of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from workshop.trade.fitting.stock import Placement, Ring, Stock, placed_ring
from workshop.trade.fitting.translations import ground, outline_of, polygons, shrunk

__all__ = ["Offcut", "remainder", "usable", "yield_share"]

LEAST_WIDTH = 0.05
"""Narrower than this (m) nothing is kept (common practice, no source)."""
LEAST_AREA = 0.005
"""Smaller than this (m2) nothing is kept (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Offcut:
    """A region that is left, with the holes in it."""

    ring: Ring
    holes: tuple[Ring, ...]
    area: float


def remainder(
    stock: Stock,
    placements: Sequence[Placement],
    kerf: float,
    *,
    least_width: float = LEAST_WIDTH,
    least_area: float = LEAST_AREA,
) -> tuple[Offcut, ...]:
    """The offcuts of a stock, the largest first, without what is too narrow or too small to keep.

    Each part takes a strip as wide as the saw line, `kerf` or the stock's own if that is wider, round itself.
    Placements on other stocks are passed over. Raises ValueError where a measure is below zero.
    """
    if min(kerf, least_width, least_area) < 0:
        raise ValueError(
            f"The kerf is {kerf:g} m and the least offcut {least_width:g} m wide with {least_area:g} m2; "
            "give zero or more for each."
        )
    parts = [
        shapely.Polygon(placed_ring(place.part, place)) for place in placements if place.stock.id == stock.id
    ]
    left = usable(ground(stock).region, parts, max(kerf, stock.kerf), least_width)
    found = [
        Offcut(*outline_of(polygon), area=float(polygon.area))
        for polygon in left
        if polygon.area >= least_area
    ]
    return tuple(sorted(found, key=lambda offcut: -offcut.area))


def usable(
    region: BaseGeometry, parts: Iterable[BaseGeometry], kerf: float, least_width: float
) -> list[shapely.Polygon]:
    """What parts and the saw leave of a region wherever it is wide enough."""
    taken = [shrunk(part, -kerf) for part in parts]
    left = shapely.difference(region, shapely.union_all(taken)) if taken else region
    if least_width > 0:
        half = least_width / 2
        core = shrunk(left, half)
        # Grown back a hair further, so that the strip next to a straight edge is kept whole.
        grown = shrunk(core, -half * (1 + 1e-6))
        left = shapely.intersection(left, grown)
    return polygons(left)


def yield_share(stock: Stock, placements: Sequence[Placement]) -> float:
    """Share of a stock's area that ends up in the parts placed on it."""
    taken = sum(shapely.Polygon(place.part.ring).area for place in placements if place.stock.id == stock.id)
    return float(taken / ground(stock).region.area)
