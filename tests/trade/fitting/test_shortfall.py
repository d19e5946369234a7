"""By how much a part fails to fit, against what can be worked out by hand."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.trade.fitting.slabs import MM, box, slabs
from workshop.trade.fitting import Part, Stock, places, rectangle, shortfall

EXACT = 0.5 * MM


@settings(deadline=None, derandomize=True, max_examples=12)
@given(st.floats(0.3, 2.0), st.floats(0.05, 0.5), st.floats(0.01, 0.5))
def test_a_part_too_long_for_a_rectangle_lacks_the_difference(
    length: float, width: float, over: float
) -> None:
    short = shortfall(rectangle("rail", length + over, width), [Stock("slab", box(length, width))])
    assert short.along == pytest.approx(over, abs=EXACT)
    assert short.along is not None and short.along >= over - 1e-6
    assert short.across is None


@settings(deadline=None, derandomize=True, max_examples=12)
@given(
    st.floats(0.8, 2.0), st.floats(0.2, 0.5), st.floats(0.2, 0.9), st.floats(0.3, 0.95), st.floats(0.3, 0.99)
)
def test_on_a_slab_that_tapers_either_measure_gives_way_by_the_taper(
    length: float, wide: float, taper: float, part_length: float, part_width: float
) -> None:
    # The slab narrows evenly from `wide` at the near end, so a part pushed against that end fits where the
    # slab is as wide as the part at the part's far end: width there = wide - (wide - narrow) x / length.
    narrow = wide * taper
    slab = Stock("slab", ((0, 0), (length, 0), (length, narrow), (0, wide)))
    along, across = part_length * length, part_width * wide
    there = wide - (wide - narrow) * part_length
    assume(across > there + 1 * MM)
    short = shortfall(rectangle("rail", along, across), [slab])
    assert short.along == pytest.approx(along - length * (wide - across) / (wide - narrow), abs=EXACT)
    assert short.across == pytest.approx(across - there, abs=EXACT)


@settings(deadline=None, derandomize=True, max_examples=10)
@given(slabs(), st.floats(0.3, 2.5), st.floats(0.1, 0.8))
def test_a_part_made_smaller_by_its_shortfall_fits_and_by_a_millimetre_less_does_not(
    slab: Stock, length: float, width: float
) -> None:
    short = shortfall(rectangle("top", length, width), [slab])
    if short.along:
        assert places(rectangle("top", length - short.along, width), [slab], most=1)
        if short.along > 1 * MM:
            assert not places(rectangle("top", length - short.along + 1 * MM, width), [slab], most=1)
    if short.across:
        assert places(rectangle("top", length, width - short.across), [slab], most=1)


def test_the_slab_that_lacks_least_is_named() -> None:
    stocks = [Stock("a", box(1.0, 0.2)), Stock("b", box(1.08, 0.2)), Stock("c", box(1.05, 0.2))]
    short = shortfall(rectangle("rail", 1.2, 0.2), stocks)
    assert short.stock is stocks[1]
    assert short.along == short.least == pytest.approx(0.12, abs=EXACT)


def test_a_part_that_fits_lacks_nothing() -> None:
    short = shortfall(rectangle("rail", 0.9, 0.1), [Stock("a", box(0.5, 0.2)), Stock("b", box(1.0, 0.2))])
    assert short.stock is not None and short.stock.id == "b"
    assert short.along == short.across == 0


def test_a_part_too_large_both_ways_has_no_single_shortfall() -> None:
    short = shortfall(rectangle("top", 2.0, 1.0), [Stock("a", box(1.0, 0.2))])
    assert (short.along, short.across, short.least) == (None, None, None)


def test_without_stock_there_is_nothing_to_compare_with() -> None:
    assert shortfall(rectangle("top", 2.0, 1.0), []).stock is None


def test_a_slab_that_lay_askew_is_used_to_its_full_length_where_the_grain_may_follow() -> None:
    tilt = math.radians(3)
    cos, sin = math.cos(tilt), math.sin(tilt)
    slab = Stock("slab", tuple((x * cos - y * sin, x * sin + y * cos) for x, y in box(1.0, 0.2)))
    short = shortfall(rectangle("rail", 1.1, 0.2, grain_slack=math.radians(4)), [slab])
    # Wherever the turn is not exact, a part as wide as the slab loses a little of its length.
    assert short.along == pytest.approx(0.1, abs=2 * MM)


def test_an_outline_is_squeezed_along_its_grain() -> None:
    triangle = Part("gusset", ((0, 0), (0.6, 0), (0, 0.2)))
    short = shortfall(triangle, [Stock("slab", ((0, 0), (0.5, 0), (0, 0.2)))])
    assert short.along == pytest.approx(0.1, abs=EXACT)
