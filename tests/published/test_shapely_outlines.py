"""Areas, insides, crossings and volumes of outlines against an independent library of plane geometry.

Source: shapely 2.2 over GEOS, whose polygon area, containment and validity are its own work; 1,000 random
outlines with a fixed seed. Tolerances: areas 1e-12 relative; inside or not, crossing or not: the same answer.
"""

import cmath
import random

import pytest
import shapely
from shapely import affinity

from workshop.trade.outline import Point, contains, crosses_itself, outline_area, prismoid

COUNT = 1000


def star(draw: random.Random, corners: int) -> list[Point]:
    """Corners once round a middle, at random distances: an outline that does not cross itself."""
    turns = sorted(draw.uniform(0, 6.283) for _ in range(corners))
    middle = complex(draw.uniform(-5, 5), draw.uniform(-5, 5))
    points = [middle + draw.uniform(0.1, 2) * cmath.exp(1j * turn) for turn in turns]
    return [(point.real, point.imag) for point in points]


def scribble(draw: random.Random, corners: int) -> list[Point]:
    """Corners anywhere, so that the sides mostly cross."""
    return [(draw.uniform(0, 1), draw.uniform(0, 1)) for _ in range(corners)]


def outlines(seed: int) -> list[list[Point]]:
    draw = random.Random(seed)
    return [(star if n % 2 else scribble)(draw, draw.randint(3, 12)) for n in range(COUNT)]


def test_crossings() -> None:
    crossed = 0
    for outline in outlines(1):
        expected = not shapely.LinearRing(outline).is_simple
        assert crosses_itself(outline) is expected, outline
        crossed += expected
    assert 200 < crossed < 500


def test_areas() -> None:
    compared = 0
    for outline in outlines(2):
        polygon = shapely.Polygon(outline)
        if polygon.is_valid:
            assert outline_area(outline) == pytest.approx(polygon.area, rel=1e-12)
            compared += 1
    assert compared > 500


def test_insides() -> None:
    draw = random.Random(3)
    inside = 0
    for outline in outlines(4):
        polygon = shapely.Polygon(outline)
        if not polygon.is_valid:
            continue
        left, low, right, high = polygon.bounds
        for _ in range(10):
            point = (draw.uniform(left, right), draw.uniform(low, high))
            expected = bool(polygon.contains(shapely.Point(point)))
            assert contains(outline, point) is expected
            inside += expected
    assert inside > 1000


def test_the_prismoid_of_a_tapering_slab() -> None:
    # A slab whose faces are one outline at two scales is a cone cut off; its volume is the integral of the
    # section's area, here summed by Gauss's rule of two points, exact for areas of the second degree.
    draw = random.Random(5)
    compared = 0
    for outline in outlines(6):
        polygon = shapely.Polygon(outline)
        if not polygon.is_valid:
            continue
        first, last, thick = draw.uniform(0.2, 2), draw.uniform(0.2, 2), draw.uniform(0.01, 0.2)

        def section(part: float, held: shapely.Polygon = polygon, a: float = first, b: float = last) -> float:
            scale = a + (b - a) * part
            return float(affinity.scale(held, scale, scale, origin=(0, 0)).area)

        expected = thick / 2 * (section(0.5 - 3**-0.5 / 2) + section(0.5 + 3**-0.5 / 2))
        got = prismoid(section(0), section(0.5), section(1), thick)
        assert got == pytest.approx(expected, rel=1e-12)
        compared += 1
    assert compared > 500
