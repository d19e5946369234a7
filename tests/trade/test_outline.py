"""What must hold for every slab, whatever its shape."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.outline import (
    Point,
    Station,
    contains,
    crosses_itself,
    outline_area,
    outline_volume,
    prismoid,
    simpson,
    station_outline,
    stations_area,
    stations_volume,
    trapezoid,
)

SIZES = st.floats(0.01, 5.0)
THICKNESSES = st.floats(0.005, 0.2)


@st.composite
def outlines(draw: st.DrawFn) -> list[Point]:
    """Star-shaped outlines: one radius for each of a few directions that go once round."""
    radii = draw(st.lists(SIZES, min_size=3, max_size=12))
    turn = 2 * math.pi / len(radii)
    return [(r * math.cos(turn * n), r * math.sin(turn * n)) for n, r in enumerate(radii)]


@st.composite
def faces(draw: st.DrawFn, bevel: bool = True) -> tuple[list[Station], list[Station]]:
    """An upper face read at stations and a lower one read at the same places."""
    along, upper, lower = 0.0, [], []
    for _ in range(draw(st.integers(2, 8))):
        along += draw(SIZES)
        left, right = draw(SIZES), draw(SIZES)
        upper.append(Station(along, left, right))
        lower.append(Station(along, left + draw(SIZES), right + draw(SIZES)) if bevel else upper[-1])
    return upper, lower


@settings(deadline=None, derandomize=True)
@given(outlines(), st.integers(0, 11))
def test_area_does_not_depend_on_the_corner_it_starts_from(outline: list[Point], start: int) -> None:
    start %= len(outline)
    turned = outline[start:] + outline[:start]
    assert outline_area(turned) == pytest.approx(outline_area(outline), rel=1e-9, abs=1e-12)
    assert outline_area(turned[::-1]) == pytest.approx(outline_area(outline), rel=1e-9, abs=1e-12)


@settings(deadline=None, derandomize=True)
@given(outlines(), st.floats(-100, 100), st.floats(-100, 100), st.floats(0, 2 * math.pi))
def test_area_stays_when_the_slab_is_moved_and_turned(
    outline: list[Point], dx: float, dy: float, turn: float
) -> None:
    cos, sin = math.cos(turn), math.sin(turn)
    moved = [(x * cos - y * sin + dx, x * sin + y * cos + dy) for x, y in outline]
    assert outline_area(moved) == pytest.approx(outline_area(outline), rel=1e-6, abs=1e-9)


@settings(deadline=None, derandomize=True)
@given(faces())
def test_stations_and_their_outline_have_one_area(pair: tuple[list[Station], list[Station]]) -> None:
    upper, _ = pair
    assert outline_area(station_outline(upper)) == pytest.approx(stations_area(upper), rel=1e-9)


@settings(deadline=None, derandomize=True)
@given(faces(bevel=False), THICKNESSES)
def test_between_equal_faces_the_volume_is_area_times_thickness(
    pair: tuple[list[Station], list[Station]], thickness: float
) -> None:
    upper, lower = pair
    slab = stations_volume(upper, thickness, lower=lower)
    assert slab.volume == pytest.approx(stations_area(upper) * thickness, rel=1e-12)


@settings(deadline=None, derandomize=True)
@given(faces(), THICKNESSES)
def test_between_unlike_faces_the_volume_lies_between_theirs(
    pair: tuple[list[Station], list[Station]], thickness: float
) -> None:
    upper, lower = pair
    slab = stations_volume(upper, thickness, lower=lower)
    assert slab.upper * thickness <= slab.volume <= slab.lower * thickness
    assert stations_volume(lower, thickness, lower=upper).volume == pytest.approx(slab.volume, rel=1e-9)


@settings(deadline=None, derandomize=True)
@given(outlines(), st.floats(0.1, 1.0), THICKNESSES)
def test_a_slab_that_tapers_evenly_is_a_frustum(outline: list[Point], taper: float, thickness: float) -> None:
    # The frustum of a pyramid, t/3 (A1 + A2 + sqrt(A1 A2)), which the prismoidal formula gives exactly.
    smaller = [(x * taper, y * taper) for x, y in outline]
    a, b = outline_area(outline), outline_area(smaller)
    slab = outline_volume(outline, thickness, lower=smaller)
    assert slab.volume == pytest.approx(thickness / 3 * (a + b + math.sqrt(a * b)), rel=1e-9)


@settings(deadline=None, derandomize=True)
@given(SIZES, SIZES, SIZES, SIZES)
def test_simpson_is_exact_for_a_cubic(a: float, b: float, c: float, d: float) -> None:
    ordinates = [a + b * x + c * x**2 + d * x**3 for x in (0.0, 1.0, 2.0)]
    assert simpson(ordinates, 1.0) == pytest.approx(2 * a + 2 * b + 8 / 3 * c + 4 * d, rel=1e-9)
    assert prismoid(ordinates[0], ordinates[1], ordinates[2], 2.0) == pytest.approx(
        simpson(ordinates, 1.0), rel=1e-12
    )


def test_a_hole_comes_off_both_faces() -> None:
    square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    hole = [(0.2, 0.2), (0.4, 0.2), (0.4, 0.4), (0.2, 0.4)]
    slab = outline_volume(square, 0.05, holes=[hole])
    assert slab.volume == pytest.approx((1 - 0.04) * 0.05, rel=1e-12)
    assert slab.holes == pytest.approx(0.04, rel=1e-12)


def test_holes_larger_than_the_slab_are_refused() -> None:
    square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    with pytest.raises(ValueError, match="measure the holes again"):
        outline_volume(square, 0.05, holes=[square])


def test_a_bow_tie_crosses_itself_and_a_square_does_not() -> None:
    assert crosses_itself([(0, 0), (1, 1), (1, 0), (0, 1)])
    assert not crosses_itself([(0, 0), (1, 0), (1, 1), (0, 1)])


def test_a_knot_lies_inside_or_outside_the_edge() -> None:
    edge = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 0.2), (0.0, 1.0)]
    assert contains(edge, (0.2, 0.5))
    assert not contains(edge, (1.0, 0.5))


@pytest.mark.parametrize(
    ("along", "ordinates", "complaint"),
    [
        ((0, 1, 1), (1, 1, 1), "put them in order"),
        ((0, 1), (1, 1, 1), "as many of each"),
        ((0,), (1,), "two at the least"),
    ],
)
def test_stations_out_of_order_are_refused(
    along: tuple[float, ...], ordinates: tuple[float, ...], complaint: str
) -> None:
    with pytest.raises(ValueError, match=complaint):
        trapezoid(along, ordinates)


def test_a_left_edge_beyond_the_right_one_is_refused() -> None:
    with pytest.raises(ValueError, match="read both distances again"):
        stations_area([Station(0, 0.1, 0.1), Station(1, -0.2, 0.1)])


def test_faces_read_at_other_places_are_refused() -> None:
    with pytest.raises(ValueError, match="same places along the tape"):
        stations_volume(
            [Station(0, 1, 1), Station(1, 1, 1)], 0.05, lower=[Station(0, 1, 1), Station(2, 1, 1)]
        )
