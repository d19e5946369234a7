"""Litres over millimetres are an area."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.poured_area import area_correction, poured_area

ABOVE = st.floats(1e-4, 0.1)


def test_a_litre_that_rises_ten_millimetres_has_a_tenth_of_a_square_metre() -> None:
    assert poured_area(0.001, 0.010) == pytest.approx(0.1)


@given(ABOVE, ABOVE, st.floats(1.0, 2.0))
def test_what_takes_more_is_corrected_by_as_much(volume: float, rise: float, more: float) -> None:
    drawn = poured_area(volume, rise)
    assert area_correction(poured_area(volume * more, rise), drawn) == pytest.approx(more)
    assert area_correction(poured_area(volume, rise * more), drawn) == pytest.approx(1 / more)


@pytest.mark.parametrize(("one", "two"), [(0.0, 0.01), (0.001, 0.0), (float("nan"), 0.01), (-0.001, 0.01)])
def test_nothing_poured_has_no_area(one: float, two: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        poured_area(one, two)
    with pytest.raises(ValueError, match="above zero"):
        area_correction(one, two)
