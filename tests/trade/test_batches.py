"""A lift in equal batches, each of which is poured in time."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.batches import equal_batches, usable_time


@given(st.floats(0.01, 500), st.floats(0.1, 20))
def test_batches_are_alike_fit_the_bucket_and_are_as_few_as_can_be(mass: float, largest: float) -> None:
    held = equal_batches(mass, largest)
    assert held.batches * held.each == pytest.approx(mass)
    assert held.each <= largest * (1 + 1e-6)
    assert held.batches == 1 or mass / (held.batches - 1) > largest


def test_without_a_bucket_there_is_one_batch_and_without_resin_none() -> None:
    assert equal_batches(6.2).batches == 1
    assert equal_batches(0.0).batches == 0


@given(st.floats(60, 86400), st.floats(0, 30), st.floats(5, 40))
def test_ten_kelvin_warmer_halve_the_time(life: float, warmer: float, sheet: float) -> None:
    t = sheet + warmer
    assert usable_time(life, t + 10, sheet) == pytest.approx(usable_time(life, t, sheet) / 2)
    assert usable_time(life, sheet, sheet) == pytest.approx(life / 2)


@given(st.floats(60, 86400), st.floats(-10, 40), st.floats(5, 40))
def test_a_cold_shop_never_lengthens_the_time_on_the_sheet(life: float, t: float, sheet: float) -> None:
    assert usable_time(life, t, sheet) <= life / 2


def test_without_a_temperature_the_sheet_counts_as_it_stands_and_at_20_degrees() -> None:
    assert usable_time(3600, None, 23) == usable_time(3600) == usable_time(3600, 20) == 1800
    assert usable_time(3600, 30) == 900


@pytest.mark.parametrize(("mass", "largest"), [(-1.0, None), (1.0, 0.0)])
def test_what_cannot_be_mixed_is_refused(mass: float, largest: float | None) -> None:
    with pytest.raises(ValueError, match="give"):
        equal_batches(mass, largest)
    with pytest.raises(ValueError, match="give"):
        usable_time(0)
