"""Largest squares and rectangles in simple figures: they fit just under their size and not just over it.

Sources: worked problems of elementary geometry as public collections print them. "Biggest square that can be
inscribed within an equilateral triangle": side a / (1 + 2 / sqrt 3), which is 2 sqrt 3 - 3 = 0.4641 of the
triangle's. "Largest square that can be inscribed within a hexagon": 1.268 of the hexagon's side, which is
3 - sqrt 3. Half a right triangle's area for its largest rectangle: the same kind of problem, by the
derivative, and for any triangle from memory. A rectangle laid askew in another: W. B. Carver, solution to
problem E 1225, American Mathematical Monthly 64 (1957), from memory. Tolerance: 1/2000 of the size either
way, twice that where the part must be turned into a single direction.
"""

import math

import pytest

from workshop.trade.fitting import Ring, Stock, places, rectangle

UNDER, OVER = 1 - 1 / 2000, 1 + 1 / 2000


def polygon(corners: int, turn: float = 0.0) -> Ring:
    """A regular polygon with sides of 1 m."""
    radius = 0.5 / math.sin(math.pi / corners)
    angles = [turn + 2 * math.pi * n / corners for n in range(corners)]
    return tuple((radius * math.cos(angle), radius * math.sin(angle)) for angle in angles)


def fits(ring: Ring, length: float, width: float, grain_slack: float | None) -> bool:
    """Whether a rectangle fits into a figure."""
    part = rectangle("part", length, width, grain_slack=grain_slack)
    return bool(places(part, [Stock("figure", ring)], most=1))


@pytest.mark.parametrize("side", [0.1, 0.5, 0.999])
def test_a_square_in_a_square_may_grow_by_half_of_what_it_lacks(side: float) -> None:
    # By hand: (1 - s) / 2. Tolerance 0.1 mm, the accuracy of the search.
    unit = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    (best, *_) = places(rectangle("part", side, side), [Stock("figure", unit)])
    assert best.margin == pytest.approx((1 - side) / 2, abs=1e-4)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
@pytest.mark.parametrize(("base", "height"), [(1.0, 1.0), (2.0, 0.6)])
def test_the_largest_rectangle_in_a_right_triangle_has_half_its_area(
    share: float, base: float, height: float
) -> None:
    # A rectangle of length k a in the right angle reaches the long side at the width (1 - k) b, so its area
    # is 2 k (1 - k) of the triangle's: half of it where k is a half, and less elsewhere.
    triangle = ((0.0, 0.0), (base, 0.0), (0.0, height))
    assert fits(triangle, share * base * UNDER, (1 - share) * height * UNDER, 0.0)
    assert not fits(triangle, share * base * OVER, (1 - share) * height * OVER, 0.0)
    half = base * height / 4
    length = share * base
    assert fits(triangle, length * UNDER, half / length * UNDER, 0.0) is (share == 0.5)


@pytest.mark.parametrize("length", [0.4, 0.5])
def test_no_rectangle_of_more_than_half_the_area_fits_into_a_triangle_in_any_direction(length: float) -> None:
    triangle = polygon(3, 0.3)
    area = math.sqrt(3) / 4
    assert not fits(triangle, length, area / 2 / length * 1.005, None)
    assert fits(triangle, 0.5 * UNDER**2, area * UNDER**2, None)


@pytest.mark.parametrize("turn", [0.0, 0.4])
def test_the_largest_square_in_an_equilateral_triangle(turn: float) -> None:
    side = 2 * math.sqrt(3) - 3
    assert fits(polygon(3, turn), side * UNDER**2, side * UNDER**2, None)
    assert not fits(polygon(3, turn), side * OVER, side * OVER, None)


def test_the_square_stands_on_the_base_of_the_triangle() -> None:
    side = 2 * math.sqrt(3) - 3
    upright = ((0.0, 0.0), (1.0, 0.0), (0.5, math.sqrt(3) / 2))
    assert fits(upright, side * UNDER, side * UNDER, 0.0)
    assert not fits(upright, side * OVER, side * OVER, 0.0)


@pytest.mark.parametrize("turn", [0.0, 0.4])
def test_the_largest_square_in_a_regular_hexagon(turn: float) -> None:
    side = 3 - math.sqrt(3)
    assert fits(polygon(6, turn), side * UNDER**2, side * UNDER**2, None)
    assert not fits(polygon(6, turn), side * OVER, side * OVER, None)


@pytest.mark.parametrize(("long", "short", "outer"), [(1.2, 0.1, 1.0), (1.1, 0.25, 1.0), (2.02, 0.1, 2.0)])
def test_a_rectangle_longer_than_another_fits_into_it_askew(long: float, short: float, outer: float) -> None:
    # Carver: p x q with p > a fits into a x b where
    # b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2).
    squares = long**2 + short**2
    width = (2 * long * short * outer + (long**2 - short**2) * math.sqrt(squares - outer**2)) / squares

    def around(width: float) -> Ring:
        return ((0.0, 0.0), (outer, 0.0), (outer, width), (0.0, width))

    assert fits(around(width * (1 + 1 / 1000)), long, short, None)
    assert not fits(around(width * (1 - 1 / 1000)), long, short, None)
