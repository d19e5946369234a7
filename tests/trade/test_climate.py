"""Where the air's water condenses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.climate import dew_point


@given(st.floats(-20, 60), st.floats(0.05, 1.0))
def test_air_gives_up_water_no_warmer_than_it_is(temperature: float, humidity: float) -> None:
    assert dew_point(temperature, humidity) <= temperature + 1e-9


@given(st.floats(-20, 60))
def test_in_wet_air_the_dew_point_is_its_temperature(temperature: float) -> None:
    assert dew_point(temperature, 1.0) == pytest.approx(temperature, abs=1e-9)


@given(st.floats(-20, 59), st.floats(0.05, 0.98), st.floats(0.001, 0.02))
def test_damper_or_warmer_air_has_a_higher_dew_point(
    temperature: float, humidity: float, more: float
) -> None:
    assert dew_point(temperature, humidity + more) > dew_point(temperature, humidity)
    assert dew_point(temperature + 1, humidity) > dew_point(temperature, humidity)


@pytest.mark.parametrize(("temperature", "humidity"), [(-46, 0.5), (61, 0.5), (20, 0.0), (20, 1.01)])
def test_air_that_cannot_be_is_refused(temperature: float, humidity: float) -> None:
    with pytest.raises(ValueError, match="give"):
        dew_point(temperature, humidity)
