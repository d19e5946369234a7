"""Slabs for the tests of fitting: noisy, tapered, with knots."""

import math

import shapely
from hypothesis import strategies as st

from workshop.trade.fitting import Part, Placement, Ring, Stock, placed_ring

MM = 1e-3


def box(length: float, width: float, x: float = 0.0, y: float = 0.0) -> Ring:
    """A rectangle with its lower left corner at x, y."""
    return ((x, y), (x + length, y), (x + length, y + width), (x, y + width))


def turned_ring(ring: Ring, turn: float) -> Ring:
    """A ring turned about the origin."""
    cos, sin = math.cos(turn), math.sin(turn)
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in ring)


def region(stock: Stock) -> shapely.Polygon | shapely.MultiPolygon:
    """A stock less its holes."""
    holes = shapely.union_all([shapely.Polygon(hole) for hole in stock.holes])
    whole = shapely.difference(shapely.Polygon(stock.ring), holes)
    assert isinstance(whole, shapely.Polygon | shapely.MultiPolygon)
    return whole


def laid(place: Placement) -> shapely.Polygon:
    """The part where it lies."""
    return shapely.Polygon(placed_ring(place.part, place))


def lies_inside(place: Placement) -> bool:
    """Whether the part lies on its stock, but for rounding."""
    return bool(region(place.stock).buffer(1e-9).covers(laid(place)))


@st.composite
def slabs(draw: st.DrawFn, id: str = "slab") -> Stock:
    """A slab read at stations, its edges wavy, with up to two square knots that may break its edge."""
    length = draw(st.floats(0.8, 2.5))
    count = draw(st.integers(3, 14))
    lefts = draw(st.lists(st.floats(0.08, 0.4), min_size=count, max_size=count))
    rights = draw(st.lists(st.floats(0.08, 0.4), min_size=count, max_size=count))
    along = [length * n / (count - 1) for n in range(count)]
    lower = [(x, -right) for x, right in zip(along, rights, strict=True)]
    upper = [(x, left) for x, left in zip(along, lefts, strict=True)]
    knots = draw(st.lists(st.tuples(st.floats(0.1, 0.9), st.floats(-0.3, 0.2)), max_size=2))
    holes = tuple(box(0.06, 0.04, x * length, y) for x, y in knots)
    return Stock(id, (*lower, *reversed(upper)), holes)


@st.composite
def outlined_parts(draw: st.DrawFn) -> Part:
    """A part with an outline, often with inner corners."""
    radii = draw(st.lists(st.floats(0.03, 0.3), min_size=3, max_size=9))
    step = 2 * math.pi / len(radii)
    ring = tuple((r * math.cos(step * n), r * math.sin(step * n)) for n, r in enumerate(radii))
    return Part("outlined", ring, 0.0, draw(st.booleans()))
