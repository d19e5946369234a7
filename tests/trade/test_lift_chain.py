"""Lifts on one another: what is below stays as it was, heat adds up, and wood beside it takes some away."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.cure.kinetics import Resin
from workshop.trade.known_resin import KnownResin
from workshop.trade.lift_chain import (
    Banks,
    Chain,
    ChainLift,
    Shop,
    central_cure,
    followed,
    hot_peak,
    lift_cure,
    narrow,
)
from workshop.trade.lift_depth import deepest, warmest_shop
from workshop.trade.resin_fit import Sheet

HOUR = 3600.0
SLOW = KnownResin(constants=Resin(3e-5, 0.4, 300e3, 55e3, 55.0))
FAST = KnownResin(constants=Resin(2e-4, 0.3, 350e3, 55e3, 60.0))
SHEET = KnownResin(Sheet("slow-casting", pot_life=10800.0, pot_mass=3.0, rated_depth=0.05))


def chain(*depths: float, resin: KnownResin = SLOW, shop: float = 21.0, after: float = 24 * HOUR) -> Chain:
    lifts = tuple(ChainLift(depth, shop, after if number else 0.0) for number, depth in enumerate(depths))
    return Chain(resin, lifts, Shop(shop))


def test_changing_the_third_lift_keeps_the_first_two() -> None:
    three = chain(0.006, 0.02, 0.02)
    first, second = followed(three.below.below), followed(three.below)
    followed(three)
    other = three.with_last(depth=0.025)
    followed(other)
    assert followed(other.below) is second
    assert followed(other.below.below) is first
    assert followed(other) is not followed(three)


@settings(max_examples=8)
@given(st.floats(0.005, 0.06), st.floats(15, 26), st.floats(0.5, 4))
def test_a_hotter_shop_gives_a_hotter_peak(depth: float, shop: float, more: float) -> None:
    def peak(temperature: float) -> float:
        value = central_cure(chain(depth, shop=temperature)).peak.value
        assert value is not None
        return value

    assert peak(shop + more) > peak(shop)


def test_a_second_deep_lift_soon_after_the_first_gets_tens_of_kelvins_hotter() -> None:
    # The design's reason to carry the heat of the lifts below forward; here 50 mm of a slow resin on 50 mm.
    def peak(hours: float) -> float:
        value = central_cure(chain(0.05, 0.05, after=hours * HOUR)).peak.value
        assert value is not None
        return value

    assert peak(6) > peak(24) + 20


def test_a_narrow_channel_stays_cooler_than_a_wide_form() -> None:
    wide = chain(0.05)
    channels = [replace(wide, banks=Banks(width)) for width in (0.05, 0.1, 0.2)]
    peaks = [float(followed(held).peak[0]) for held in (*channels, wide)]
    assert peaks == sorted(peaks)
    assert peaks[0] < peaks[-1] - 5


def test_a_channel_under_six_depths_is_narrow() -> None:
    assert narrow(0.11, [0.006, 0.023])
    assert not narrow(0.15, [0.006, 0.023])


def test_a_board_flat_on_the_bench_or_on_concrete_changes_the_peak() -> None:
    peaks = {
        under: float(followed(replace(chain(0.05), under=under)).peak[0])
        for under in ("battens", "bench", "concrete")
    }
    assert len({round(peak, 1) for peak in peaks.values()}) == 3
    assert peaks["concrete"] < peaks["battens"]


def test_in_a_shop_with_a_high_and_a_low_the_band_holds_both_ends() -> None:
    held = lift_cure(chain(0.03), 18.0, 24.0)
    cold, warm = (central_cure(chain(0.03).at(shop)) for shop in (18.0, 24.0))
    assert held.peak.low == cold.peak.value
    assert held.peak.high == warm.peak.value
    assert held.states["demould"].high == cold.states["demould"].value
    assert held.states["gel"].low == warm.states["gel"].value


def test_the_band_of_a_channel_holds_its_likely_course() -> None:
    held = lift_cure(replace(chain(0.03, resin=SHEET), banks=Banks(0.1)), 19.0, 23.0)
    for spread in (held.peak, held.states["gel"], held.states["window_opens"], held.states["window_shuts"]):
        assert spread.low is not None and spread.value is not None and spread.high is not None
        assert spread.low < spread.value < spread.high


def test_which_draw_is_the_hot_one_depends_on_the_depth() -> None:
    # A thin lift is hot for its speed, a thick one for its heat: the one draw is within 6 K of all of them.
    medium = KnownResin(Sheet("medium-casting"))
    for depth in (0.006, 0.01, 0.05):
        held = chain(depth, resin=medium)
        assert hot_peak(held, exact=False) == pytest.approx(hot_peak(held), abs=6.0)


@pytest.mark.parametrize("limit", [40.0, 60.0])
@pytest.mark.parametrize("resin", [SHEET, FAST], ids=["sheet", "constants"])
def test_the_deepest_lift_is_just_within_the_limit(resin: KnownResin, limit: float) -> None:
    held = chain(0.05, resin=resin)
    depth = deepest(held, limit, 0.12)
    assert 0 < depth < 0.12
    assert hot_peak(held.with_last(depth=depth)) <= limit
    assert hot_peak(held.with_last(depth=depth + 0.001)) > limit


def test_a_depth_is_no_more_than_asked_for_and_none_where_the_least_is_too_much() -> None:
    assert deepest(chain(0.05), 200.0, 0.03) == 0.03
    assert deepest(chain(0.05, resin=FAST, shop=28.0), 30.0, 0.08, 0.02) == 0.0


def test_the_warmest_shop_is_just_within_the_limit() -> None:
    held = chain(0.035, shop=28.0)
    shop = warmest_shop(held, 60.0)
    assert shop is not None
    assert hot_peak(held.at(shop).with_last(temperature=shop)) <= 60.0
    assert hot_peak(held.at(shop + 1).with_last(temperature=shop + 1)) > 60.0
    assert warmest_shop(chain(0.06, resin=FAST), 40.0) is None


def test_a_thin_lift_on_a_hot_one_can_be_followed() -> None:
    hot = KnownResin(Sheet("fast-coating"))
    thin = chain(0.004, 0.001, resin=hot, after=HOUR)
    assert float(followed(thin).peak[0]) > 21.0


def test_what_the_shop_read_moves_the_cure() -> None:
    plain = chain(0.02)
    read = replace(plain, shop=Shop(21.0, ((0.0, 27.0), (6 * HOUR, 27.0), (12 * HOUR, 26.0))))
    assert float(followed(read).peak[0]) > float(followed(plain).peak[0])


def test_no_window_stays_open_past_the_recoat_limit_on_the_sheet() -> None:
    limit = 20 * HOUR
    held = replace(chain(0.02, resin=SHEET), banks=Banks(0.1), recoat_limit=limit)
    shuts = lift_cure(held, 17.0, 21.0).states["window_shuts"]
    assert shuts.value == limit
    assert shuts.low is not None and shuts.low <= limit
    assert shuts.high == limit
