"""The shop's units against their definitions.

Sources: NIST Special Publication 811 (2008), appendix B, and NIST Handbook 44, appendix C, for the customary
units, which are exact by definition; tolerance 1e-9 of the value, for rounding in floating point. ASTM B258
for the American wire gauge: gauges 36 and 0000 are exact by definition (tolerance 1e-9); the others are
printed to 0.0001 in, which is the tolerance.
"""

import math

import pytest

from workshop.quantity import (
    AREA,
    BOARD_FEET,
    DENSITY,
    FORCE,
    LENGTH,
    MASS,
    TEMPERATURE,
    VOLUME,
    WIRE_SIZE,
    Kind,
    parse,
    registry,
)

EXACT = 1e-9


@pytest.mark.parametrize(
    ("typed", "kind", "defined"),
    [
        ("1 in", LENGTH, 0.0254),
        ("1 ft", LENGTH, 0.3048),
        ("1 yd", LENGTH, 0.9144),
        ("1 in²", AREA, 6.4516e-4),
        ("1 ft²", AREA, 0.09290304),
        ("1 in³", VOLUME, 16.387064e-6),
        ("231 in³", VOLUME, 3.785411784e-3),
        ("1 gal", VOLUME, 3.785411784e-3),
        ("1 qt", VOLUME, 0.946352946e-3),
        ("1 pt", VOLUME, 0.473176473e-3),
        ("1 fl oz", VOLUME, 29.5735295625e-6),
        ("1 board ft", VOLUME, 2.359737216e-3),
        ("144 in³", BOARD_FEET, 1.0),
        ("1 lb", MASS, 0.45359237),
        ("1 oz", MASS, 28.349523125e-3),
        ("16 oz", MASS, 0.45359237),
        ("1 lbf", FORCE, 4.4482216152605),
        ("1 lb/ft³", DENSITY, 0.45359237 / 0.3048**3),
        ("1 lb/gal", DENSITY, 0.45359237 / 3.785411784e-3),
        ("32 °F", TEMPERATURE, 0.0),
        ("212 °F", TEMPERATURE, 100.0),
        ("-40 °F", TEMPERATURE, -40.0),
        ("273.15 K", TEMPERATURE, 0.0),
    ],
)
def test_a_unit_is_what_it_is_defined_to_be(typed: str, kind: Kind, defined: float) -> None:
    assert parse(typed, kind) == pytest.approx(defined, rel=EXACT, abs=EXACT)


def test_a_pound_on_a_square_inch() -> None:
    # SP 811: 1 psi = 6.894757e3 Pa, printed to seven figures; tolerance half of the last.
    assert registry().Quantity(1.0, "psi").to("pascal").magnitude == pytest.approx(6894.757, abs=0.0005)


@pytest.mark.parametrize(
    ("gauge", "inches", "tolerance"),
    [
        ("AWG 36", 0.005, 0.005 * EXACT),
        ("AWG 4/0", 0.46, 0.46 * EXACT),
        ("AWG 1/0", 0.3249, 0.0001),
        ("AWG 12", 0.0808, 0.0001),
        ("AWG 14", 0.0641, 0.0001),
        ("AWG 16", 0.0508, 0.0001),
        ("AWG 18", 0.0403, 0.0001),
        ("AWG 22", 0.0253, 0.0001),
    ],
)
def test_a_wire_gauge_is_as_thick_as_the_standard_says(gauge: str, inches: float, tolerance: float) -> None:
    diameter = math.sqrt(4 / math.pi * parse(gauge, WIRE_SIZE))
    assert diameter / 0.0254 == pytest.approx(inches, abs=tolerance)
