"""Lifts poured one on another: the lift below keeps its heat and still reacts."""

import numpy as np
import pytest

from tests.trade.cure.resins import COATING, MEDIUM, SLOW
from workshop.trade.cure.kinetics import Resin
from workshop.trade.cure.materials import GRANITE, wood
from workshop.trade.cure.river import River, Side
from workshop.trade.cure.run import DAY, Run, cure
from workshop.trade.cure.stack import CONCRETE_FLOOR, RAISED, Bed, Lift, Stack, coarsened, empty_form, pour
from workshop.trade.cure.states import band
from workshop.trade.cure.surroundings import Top, steady

HOUR = 3600.0
SHOP = steady(21.0)


def first(depth: float, resin: Resin = SLOW, keep: tuple[float, ...] = ()) -> Run:
    return cure(pour(empty_form(RAISED, 21.0), Lift(depth, resin, 21.0)), SHOP, keep=keep)


def test_a_second_deep_lift_too_soon_is_far_hotter() -> None:
    below = first(0.05, keep=(6 * HOUR, 24 * HOUR, 96 * HOUR))
    peaks = [
        float(cure(pour(below.stack_at(wait), Lift(0.05, SLOW, 21.0)), SHOP).peak[0])
        for wait in (6 * HOUR, 24 * HOUR, 96 * HOUR)
    ]
    assert peaks[0] > peaks[1] + 10.0
    assert peaks[1] > peaks[2]


def test_a_stack_carried_forward_goes_on_as_if_never_stopped() -> None:
    whole = first(0.05)
    held = first(0.05, keep=(8 * HOUR,)).stack_at(8 * HOUR)
    rest = cure(held, SHOP)
    assert float(held.time) == 8 * HOUR
    assert float(rest.peak[0]) == pytest.approx(float(whole.peak[0]), abs=0.1)
    assert 8 * HOUR + float(rest.states.demould[0]) == pytest.approx(
        float(whole.states.demould[0]), rel=0.005
    )


def test_heat_and_conversion_stay_when_a_lift_is_put_on_fewer_cells() -> None:
    laid = first(0.05, keep=(8 * HOUR,)).stack_at(8 * HOUR).laid[0]
    fewer = coarsened(laid, 9)
    for before, after in (
        (laid.temperature, fewer.temperature),
        (laid.conversion, fewer.conversion),
    ):
        assert (before * np.diff(laid.faces)).sum() == pytest.approx(
            (after * np.diff(fewer.faces)).sum(), rel=1e-9
        )


def test_pouring_and_curing_leave_the_stack_as_it_was() -> None:
    form = empty_form(RAISED, 21.0)
    one = pour(form, Lift(0.03, MEDIUM, 21.0))
    before = one.laid[0].temperature.copy()
    run = cure(one, SHOP, keep=(DAY,))
    pour(run.stack_at(DAY), Lift(0.03, MEDIUM, 25.0))
    assert not form.laid and len(one.laid) == 1 and one.time == 0.0
    assert np.array_equal(one.laid[0].temperature, before)


def chain(resin: Resin, scale: float | np.ndarray = 1.0) -> Run:
    stack: Stack = empty_form(RAISED, 21.0)
    run: Run | None = None
    for depth, wait in ((0.02, 20 * HOUR), (0.02, 30 * HOUR), (0.015, 0.0)):
        if run is not None:
            stack = run.stack_at(run.horizon)
        run = cure(pour(stack, Lift(depth, resin, 21.0)), SHOP, top=Top(scale), horizon=wait or 60 * DAY)
    assert run is not None
    return run


def test_each_draw_of_a_band_is_what_it_would_be_alone() -> None:
    rates = np.array([3.8e-5, 4.13e-5, 4.6e-5])
    together = chain(Resin(rates, 0.39, 309e3, 54.1e3, 56.0), np.array([0.8, 1.0, 1.2]))
    for draw, (rate, scale) in enumerate(zip(rates, (0.8, 1.0, 1.2), strict=True)):
        alone = chain(Resin(float(rate), 0.39, 309e3, 54.1e3, 56.0), scale)
        assert float(together.peak[draw]) == pytest.approx(float(alone.peak[0]), abs=1e-6)
        assert float(together.states.demould[draw]) == pytest.approx(float(alone.states.demould[0]), rel=1e-6)


def test_a_band_counts_draws_that_never_get_there_as_last() -> None:
    some = band(np.array([1.0, 2.0, 3.0, 4.0, np.inf]))
    assert some.low == pytest.approx(1.4)
    assert some.likely == pytest.approx(3.0)
    assert some.high is None


def test_asking_beyond_the_horizon_is_refused() -> None:
    run = cure(pour(empty_form(RAISED, 21.0), Lift(0.02, MEDIUM, 21.0)), SHOP, horizon=DAY)
    with pytest.raises(ValueError, match="longer horizon"):
        run.stack_at(2 * DAY)


def test_a_coat_of_another_resin_on_a_cured_lift() -> None:
    base = first(0.03, MEDIUM, keep=(72 * HOUR,)).stack_at(72 * HOUR)
    coat = cure(pour(base, Lift(0.004, COATING, 21.0)), SHOP)
    alone = cure(pour(empty_form(RAISED, 21.0), Lift(0.004, COATING, 21.0)), SHOP)
    # Cured resin beneath takes in heat as the board does; neither coat runs away.
    assert 21.0 < float(coat.peak[0]) < 40.0 and float(alone.peak[0]) < 40.0
    assert float(coat.states.gel[0]) == pytest.approx(float(alone.states.gel[0]), rel=0.2)
    assert coat.states.demould[0] > 0.0


def test_concrete_below_and_a_bed_in_a_river() -> None:
    sides = (Side(wood(0.60, 0.09)),)
    peaks = []
    for floor, beds in (
        (RAISED, ()),
        (CONCRETE_FLOOR, ()),
        (RAISED, (Bed(0.0, 0.02, 0.55, GRANITE),)),
    ):
        form = empty_form(floor, 21.0, river=River(0.12, sides))
        peaks.append(float(cure(pour(form, Lift(0.04, MEDIUM, 21.0, beds)), SHOP).peak[0]))
    assert peaks[2] < peaks[0] - 5.0
    assert all(21.0 < peak < 120.0 for peak in peaks)
