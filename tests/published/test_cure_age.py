"""Cure age against the temperature adjusted age of concrete, whose form it shares.

Source: EN 1992-1-1:2004, Annex B, eq. B.10: sum of exp(13.65 - 4000/(273 + T)) dt; worked values from the
test suite of an open code of the fib. That is Arrhenius with E/R = 4000 K and a factor of 1 at 20.04 °C.
Tolerance 1e-3: the standard's 273 in place of 273.15 moves the factor by 5e-4 at 30 °C.
"""

from itertools import accumulate

import pytest

from workshop.trade.cure.age import cure_age
from workshop.trade.cure.kinetics import GAS

DAY = 86400.0
ACTIVATION = 4000.0 * GAS
REFERENCE = 4000.0 / 13.65 - 273.0


@pytest.mark.parametrize(
    ("days", "temperatures", "expected"),
    [
        ((1, 2, 1, 1, 1, 2), (19, 20, 20, 21, 22, 23), 8.37986781),
        ((7, 7), (20, 25), 15.7723),
        ((10,), (30,), 15.662),
    ],
)
def test_the_worked_values(days: tuple[int, ...], temperatures: tuple[int, ...], expected: float) -> None:
    starts = (0, *accumulate(days))
    readings = [
        (start * DAY, float(warm))
        for start, warm in zip(starts, (*temperatures, temperatures[-1]), strict=True)
    ]
    age = cure_age(readings, ACTIVATION, REFERENCE, interpolation="step") / DAY
    assert age == pytest.approx(expected, rel=1e-3)
