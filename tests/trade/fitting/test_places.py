"""Where a wanted part fits: on the stock, with the margin that is stated, and found if it fits at all."""

import math
from random import Random

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.fitting.slabs import MM, box, laid, lies_inside, outlined_parts, region, slabs, turned_ring
from workshop.trade.fitting import Part, Ring, Stock, placed_ring, places, rectangle

LENGTHS = st.floats(0.1, 1.2)
WIDTHS = st.floats(0.03, 0.4)
SLACK = math.radians(4)


def noisy_fit(length: float, width: float, spare: float, random: Random) -> Ring:
    """An outline round a rectangle: jagged, with `spare` on each side where it comes nearest."""
    steps = 60
    along = [-spare + (length + 2 * spare) * n / steps for n in range(steps + 1)]
    lower = [(x, -spare - (n % 7 > 0) * random.uniform(0, 0.006)) for n, x in enumerate(along)]
    upper = [(x, width + spare + (n % 5 > 0) * random.uniform(0, 0.006)) for n, x in enumerate(along)]
    return (*lower, *reversed(upper))


@settings(deadline=None, derandomize=True, max_examples=20)
@given(slabs(), LENGTHS, WIDTHS)
def test_no_place_on_a_grid_is_better_by_a_millimetre(slab: Stock, length: float, width: float) -> None:
    found = places(rectangle("rail", length, width), [slab])
    whole = region(slab)
    x1, y1, x2, y2 = whole.bounds
    xs, ys = np.meshgrid(np.linspace(x1, x2 - length, 25), np.linspace(y1, y2 - width, 25))
    boxes = shapely.box(xs.ravel(), ys.ravel(), xs.ravel() + length, ys.ravel() + width)
    shapely.prepare(whole)
    boxes = boxes[shapely.covers(whole, boxes)]
    best = max(shapely.distance(boxes, whole.boundary), default=0.0)
    assert found or not len(boxes)
    assert best <= (found[0].margin if found else 0.0) + 1 * MM


@settings(deadline=None, derandomize=True, max_examples=20)
@given(slabs(), LENGTHS, WIDTHS)
def test_a_part_lies_on_its_slab_and_may_grow_by_its_margin_and_no_more(
    slab: Stock, length: float, width: float
) -> None:
    whole = region(slab)
    for place in places(rectangle("rail", length, width), [slab]):
        assert lies_inside(place)
        assert whole.buffer(1e-9).covers(laid(place).buffer(place.margin - 1e-8))
        assert not whole.covers(laid(place).buffer(place.margin + 0.1 * MM, quad_segs=32))


@settings(deadline=None, derandomize=True, max_examples=12)
@given(slabs(), outlined_parts())
def test_a_part_with_inner_corners_lies_on_its_slab(slab: Stock, part: Part) -> None:
    for place in places(part, [slab]):
        assert lies_inside(place)
        assert whole_margin(place.margin, laid(place), region(slab))


def whole_margin(margin: float, part: shapely.Polygon, whole: shapely.Geometry) -> bool:
    """Whether a margin is the part's true distance from the edge."""
    return abs(float(shapely.distance(part, shapely.boundary(whole))) - margin) < 1e-8


@settings(deadline=None, derandomize=True, max_examples=6)
@given(slabs(), LENGTHS, WIDTHS)
def test_a_part_whose_grain_may_run_off_stays_within_its_slack_and_is_never_worse_off(
    slab: Stock, length: float, width: float
) -> None:
    straight = places(rectangle("rail", length, width), [slab], most=1)
    slack = places(rectangle("rail", length, width, grain_slack=SLACK), [slab])
    for place in slack:
        assert lies_inside(place)
        assert min(abs(place.turn), math.pi - abs(place.turn)) <= SLACK + 1e-9
    if straight:
        assert slack[0].margin >= straight[0].margin - 0.2 * MM


@settings(deadline=None, derandomize=True, max_examples=15)
@given(st.floats(0.3, 2.0), st.floats(0.05, 0.5), st.floats(0.05, 0.25), st.randoms(use_true_random=False))
def test_a_fit_with_half_a_millimetre_to_spare_is_found_in_a_jagged_slab(
    length: float, width: float, spare: float, random: Random
) -> None:
    slab = Stock("slab", noisy_fit(length, width, spare * MM, random))
    found = places(rectangle("rail", length, width), [slab])
    assert found
    assert found[0].margin > 0.5 * spare * MM


@settings(deadline=None, derandomize=True, max_examples=8)
@given(
    st.floats(0.3, 2.0),
    st.floats(0.05, 0.3),
    st.floats(0.1, 0.25),
    st.floats(-3.9, 3.9),
    st.randoms(use_true_random=False),
)
def test_a_tight_fit_on_a_slab_that_lay_askew_is_found_within_the_slack(
    length: float, width: float, spare: float, askew: float, random: Random
) -> None:
    ring = turned_ring(noisy_fit(length, width, spare * MM, random), math.radians(askew))
    found = places(rectangle("rail", length, width, grain_slack=SLACK), [Stock("slab", ring)], most=1)
    assert found
    assert lies_inside(found[0])


def test_a_part_as_large_as_its_slab_fits_with_no_margin() -> None:
    found = places(rectangle("top", 1.2, 0.4), [Stock("slab", box(1.2, 0.4))])
    assert len(found) == 1
    assert found[0].margin == pytest.approx(0.0, abs=1e-9)
    assert (found[0].x, found[0].y) == pytest.approx((0.0, 0.0), abs=1e-8)


def test_a_part_larger_by_a_hair_does_not_fit() -> None:
    assert places(rectangle("top", 1.2001, 0.4), [Stock("slab", box(1.2, 0.4))]) == ()


def test_the_roomiest_slab_comes_first() -> None:
    small, large = Stock("small", box(1.0, 0.3)), Stock("large", box(1.2, 0.5))
    found = places(rectangle("rail", 0.9, 0.2), [small, large])
    assert found[0].stock is large
    assert found[0].margin == pytest.approx(0.15, abs=0.2 * MM)
    assert {place.stock.id for place in found} == {"small", "large"}
    assert [p.margin for p in found] == sorted((p.margin for p in found), reverse=True)


def test_two_places_on_one_slab_are_well_apart() -> None:
    found = places(rectangle("block", 0.2, 0.1), [Stock("slab", box(2.0, 0.3))])
    assert len(found) == 8
    for n, one in enumerate(found):
        assert all(math.hypot(one.x - other.x, one.y - other.y) > 30 * MM for other in found[:n])


def test_places_below_the_least_margin_are_left_out() -> None:
    slab = Stock("slab", box(1.0, 0.3))
    assert places(rectangle("rail", 0.9, 0.25), [slab], margin_least=0.02)
    assert places(rectangle("rail", 0.9, 0.25), [slab], margin_least=0.03) == ()


def test_a_part_keeps_clear_of_a_knot() -> None:
    slab = Stock("slab", box(2.0, 0.4), holes=(box(0.1, 0.4, 0.9, 0.0),))
    assert places(rectangle("rail", 1.01, 0.1), [slab]) == ()
    assert {place.x < 0.9 for place in places(rectangle("rail", 0.8, 0.1), [slab])} == {True, False}


def test_a_part_is_not_laid_in_a_hole_or_beside_the_slab() -> None:
    frame = Stock("frame", box(1.0, 1.0), holes=(box(0.9, 0.9, 0.05, 0.05),))
    assert places(rectangle("block", 0.2, 0.2), [frame]) == ()
    hooked = Stock("hook", ((0, 0), (1, 0), (1, 1), (0.95, 1), (0.95, 0.05), (0, 0.05)))
    assert places(rectangle("block", 0.2, 0.2), [hooked]) == ()


def test_a_wedge_is_turned_end_for_end_where_it_must() -> None:
    wedge = Part("wedge", ((0.0, 0.0), (0.8, 0.0), (0.8, 0.1), (0.0, 0.3)))
    other_end = Stock("slab", tuple((0.8 - x, 0.3 - y) for x, y in wedge.ring))
    (found,) = places(wedge, [other_end])
    assert found.turn == pytest.approx(math.pi)
    assert lies_inside(found)


def test_a_wedge_is_turned_over_only_where_it_may_be() -> None:
    ring = ((0.0, 0.0), (0.8, 0.0), (0.8, 0.1), (0.0, 0.3))
    face_down = Stock("slab", tuple((x, -y) for x, y in ring))
    assert places(Part("wedge", ring), [face_down]) == ()
    (found,) = places(Part("wedge", ring, may_mirror=True), [face_down])
    assert found.mirrored
    assert lies_inside(found)


def test_a_bracket_fits_into_a_bracket_shaped_offcut() -> None:
    bracket = Part("bracket", ((0, 0), (0.5, 0), (0.5, 0.1), (0.1, 0.1), (0.1, 0.4), (0, 0.4)))
    around = shapely.Polygon(bracket.ring).buffer(1 * MM, join_style="mitre")
    offcut = Stock("offcut", tuple((x, y) for x, y in around.exterior.coords[:-1]))
    found = places(bracket, [offcut])
    assert found[0].margin == pytest.approx(1 * MM, abs=0.1 * MM)


def test_a_part_across_the_grain_fits_only_where_its_direction_does_not_matter() -> None:
    slab = Stock("slab", box(0.3, 1.0))
    assert places(rectangle("rail", 0.9, 0.2), [slab]) == ()
    found = places(rectangle("rail", 0.9, 0.2, grain_slack=None), [slab])
    assert abs(math.sin(found[0].turn)) == pytest.approx(1.0, abs=1e-3)
    assert found[0].margin == pytest.approx(0.05, abs=1 * MM)


def test_another_outline_follows_a_placement() -> None:
    slab = Stock("slab", box(1.0, 0.4))
    blank = rectangle("blank", 0.9, 0.3)
    (place, *_) = places(blank, [slab])
    finished = Part("finished", box(0.88, 0.28, 0.01, 0.01))
    assert laid(place).covers(shapely.Polygon(placed_ring(finished, place)))


@pytest.mark.parametrize(("margin", "most"), [(-0.001, 8), (0.0, 0)])
def test_a_search_for_nothing_is_refused(margin: float, most: int) -> None:
    with pytest.raises(ValueError, match="one at the least"):
        places(rectangle("rail", 1, 0.1), [], margin_least=margin, most=most)


def test_outlines_that_enclose_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="at least three"):
        Part("p", ((0, 0), (1, 0)))
    with pytest.raises(ValueError, match="crosses or touches itself"):
        Stock("s", ((0, 0), (1, 1), (1, 0), (0, 1)))
    with pytest.raises(ValueError, match="above zero"):
        rectangle("p", 1.0, 0.0)
    with pytest.raises(ValueError, match="zero or more"):
        Stock("s", box(1, 1), kerf=-0.001)
    with pytest.raises(ValueError, match="angle of zero or more"):
        rectangle("p", 1.0, 0.1, grain_slack=-0.1)
    with pytest.raises(ValueError, match="no number"):
        Part("p", ((0, 0), (1, 0), (math.nan, 1)))
