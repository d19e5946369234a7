"""The dew point against psychrolib and printed values.

Source: psychrolib 2.5.0, whose equations are those of the ASHRAE Handbook, Fundamentals (2017), chapter 1;
the value of 25 °C at 80 % is printed in its documentation. The formula is Magnus's with the constants of
Sonntag (1990). Tolerance 0.02 K at the values listed, and 0.03 K anywhere between 10 and 30 °C and 40 and
90 % where the dew point lies above freezing: below it the handbook's is a frost point, over ice.
"""

import psychrolib  # type: ignore[import-untyped]
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workshop.trade.climate import dew_point

psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize(
    ("temperature", "humidity", "expected"),
    [
        (25.0, 0.80, 21.31),
        (20.0, 0.50, 9.27),
        (25.0, 0.50, 13.86),
        (15.0, 0.70, 9.58),
        (22.0, 0.45, 9.53),
        (30.0, 0.40, 14.94),
    ],
)
def test_the_dew_point_is_that_of_the_tables(temperature: float, humidity: float, expected: float) -> None:
    assert dew_point(temperature, humidity) == pytest.approx(expected, abs=0.02)


@given(st.floats(10, 30), st.floats(0.4, 0.9))
def test_the_magnus_formula_stays_with_the_full_equations(temperature: float, humidity: float) -> None:
    expected = psychrolib.GetTDewPointFromRelHum(temperature, humidity)
    assume(expected > 0.1)
    assert dew_point(temperature, humidity) == pytest.approx(expected, abs=0.03)
