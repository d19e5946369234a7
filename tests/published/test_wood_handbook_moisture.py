"""Equilibrium moisture against the Wood Handbook's printed table.

Source: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010; the same in FPL-GTR-282, 2021),
table 4-2 (p. 4-4): moisture in percent at relative humidities of 5, 10 ... 95 %, one row for each
temperature. Tolerance 0.066 % moisture: the table is printed to 0.1 %, and its cells were worked out in
degrees F with an equation of their own.
"""

import pytest

from workshop.trade.timber import equilibrium_moisture, moisture_content

TOLERANCE = 0.066e-2

ROWS = {
    30: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3",
    40: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3",
    50: "1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3",
    70: "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9",
    90: "1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3",
    100: "1.2 2.3 3.3 4.2 5.0 5.8 6.5 7.2 7.9 8.7 9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9",
    120: "1.1 2.1 3.0 3.9 4.7 5.4 6.1 6.8 7.5 8.2 8.9 9.7 10.6 11.7 12.9 14.4 16.2 18.6 22.0",
}


@pytest.mark.parametrize("fahrenheit", ROWS)
def test_wood_settles_at_the_printed_moisture(fahrenheit: int) -> None:
    temperature = (fahrenheit - 32) / 1.8
    for step, printed in enumerate(ROWS[fahrenheit].split(), start=1):
        computed = equilibrium_moisture(temperature, step * 0.05)
        assert computed == pytest.approx(float(printed) / 100, abs=TOLERANCE), f"{fahrenheit} F, {5 * step} %"


@pytest.mark.parametrize(
    ("temperature", "humidity", "percent"),
    [(20, 0.50, 9.27), (20, 0.75, 14.45), (20, 0.85, 18.00), (20, 0.95, 23.94)],
)
def test_equation_4_5_worked_by_hand(temperature: float, humidity: float, percent: float) -> None:
    # Own arithmetic with eq. 4-5, not an outside check: it holds the metric constants to 0.005 % moisture.
    assert equilibrium_moisture(temperature, humidity) == pytest.approx(percent / 100, abs=0.005e-2)


def test_moisture_is_counted_on_the_oven_dry_mass() -> None:
    # Eq. 4-2, p. 4-1: 1150 g wet and 1000 g dry is 15 %; exact.
    assert moisture_content(1.150, 1.000) == pytest.approx(0.15, abs=1e-12)
