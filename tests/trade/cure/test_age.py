"""What must hold for the cure age, whatever the readings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.cure.resins import SLOW
from workshop.trade.cure.age import Interpolation, cure_age, glass_age, rate_ratio, time_left
from workshop.trade.cure.isothermal import film_time

HOUR = 3600.0
WARMTHS = st.lists(st.floats(10.0, 35.0), min_size=2, max_size=12)


def hourly(warmths: list[float]) -> list[tuple[float, float]]:
    return [(number * HOUR, warm) for number, warm in enumerate(warmths)]


@given(st.floats(10.0, 35.0), st.integers(1, 48))
def test_at_the_reference_the_age_is_the_clock(reference: float, hours: int) -> None:
    readings = [(0.0, reference), (hours * HOUR, reference)]
    assert cure_age(readings, 55e3, reference) == pytest.approx(hours * HOUR, rel=1e-9)


@given(WARMTHS, st.integers(0, 10))
def test_ages_of_parts_add_up(warmths: list[float], cut: int) -> None:
    readings = hourly(warmths)
    split = min(cut, len(readings) - 2) or 1
    if split >= len(readings) - 1:
        return
    parts = cure_age(readings[: split + 1], 55e3, 25.0) + cure_age(readings[split:], 55e3, 25.0)
    assert parts == pytest.approx(cure_age(readings, 55e3, 25.0), rel=1e-9)


@given(WARMTHS)
def test_a_warmer_shop_is_older(warmths: list[float]) -> None:
    warmer = [warm + 1.0 for warm in warmths]
    ways: tuple[Interpolation, ...] = ("linear", "step")
    for way in ways:
        cool = cure_age(hourly(warmths), 55e3, 25.0, interpolation=way)
        assert cure_age(hourly(warmer), 55e3, 25.0, interpolation=way) > cool


def test_nothing_is_credited_below_the_least_temperature() -> None:
    assert cure_age([(0.0, 8.0), (HOUR, 9.0)], 55e3, 25.0, least=10.0) == 0.0
    # From 5 to 15 °C in two hours: only the second hour counts, as if it were alone.
    rising = cure_age([(0.0, 5.0), (2 * HOUR, 15.0)], 55e3, 25.0, least=10.0)
    assert rising == pytest.approx(cure_age([(HOUR, 10.0), (2 * HOUR, 15.0)], 55e3, 25.0), rel=1e-6)


def test_nothing_is_credited_once_the_resin_is_glass() -> None:
    limit = glass_age(SLOW, 21.0, 21.0)
    month = [(0.0, 21.0), (30 * 24 * HOUR, 21.0)]
    held = cure_age(month, 53.4e3, 21.0, most=lambda warm: glass_age(SLOW, warm, 21.0))
    assert held == pytest.approx(limit, abs=1800.0)
    # The real film takes longer to that point: diffusion slows it before.
    alpha = 0.9134
    assert float(film_time(SLOW, 21.0, alpha)[0]) > limit


@given(st.floats(10.0, 35.0), st.floats(HOUR, 100 * HOUR))
def test_the_time_left_brings_the_age_that_is_left(warm: float, left: float) -> None:
    clock = time_left(left, warm, 55e3, 25.0)
    assert cure_age([(0.0, warm), (clock, warm)], 55e3, 25.0) == pytest.approx(left, rel=1e-9)


@pytest.mark.parametrize(("activation", "ratio"), [(50e3, 1.97), (55e3, 2.11), (60e3, 2.25)])
def test_ten_kelvin_about_double_the_age(activation: float, ratio: float) -> None:
    # Arrhenius by hand from 20 to 30 °C, to the two digits written here.
    assert rate_ratio(30.0, activation, 20.0) == pytest.approx(ratio, abs=0.006)


def test_readings_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="put the readings in order"):
        cure_age([(HOUR, 20.0), (0.0, 21.0)], 55e3, 25.0)
    with pytest.raises(ValueError, match="two at the least"):
        cure_age([(0.0, 20.0)], 55e3, 25.0)
