"""Screws pulled out of wood.

Source: AWC National Design Specification for Wood Construction, 2012, 2015 and 2018, table 12.2A (11.2A
before): lag screws in side grain, pounds for each inch of thread, specific gravity oven-dry. Tolerance 0.5
lb/in: the table is printed in whole pounds.
"""

import pytest

from workshop.trade.fasteners import (
    INCH,
    POUND_FORCE,
    allowable_withdrawal,
    lag_root_diameter,
    lead_hole,
    ultimate_withdrawal,
    wood_screw_diameter,
)

DIAMETERS = (0.25, 0.3125, 0.375, 0.4375, 0.5, 0.625, 0.75, 0.875, 1, 1.125, 1.25)

TABLE_12_2A = {
    0.73: (397, 469, 538, 604, 668, 789, 905, 1016, 1123, 1226, 1327),
    0.71: (381, 450, 516, 579, 640, 757, 868, 974, 1077, 1176, 1273),
    0.67: (349, 413, 473, 531, 587, 694, 796, 893, 987, 1078, 1167),
    0.58: (281, 332, 381, 428, 473, 559, 641, 719, 795, 869, 940),
    0.55: (260, 307, 352, 395, 437, 516, 592, 664, 734, 802, 868),
    0.50: (225, 266, 305, 342, 378, 447, 513, 576, 636, 695, 752),
    0.47: (205, 242, 278, 312, 345, 408, 467, 525, 580, 634, 686),
    0.43: (179, 212, 243, 273, 302, 357, 409, 459, 508, 554, 600),
    0.42: (173, 205, 235, 264, 291, 344, 395, 443, 490, 535, 579),
    0.31: (110, 130, 149, 167, 185, 218, 250, 281, 311, 339, 367),
}


@pytest.mark.parametrize("specific_gravity", TABLE_12_2A)
def test_a_lag_screw_holds_what_the_table_prints(specific_gravity: float) -> None:
    for inches, printed in zip(DIAMETERS, TABLE_12_2A[specific_gravity], strict=True):
        held = allowable_withdrawal("lag", specific_gravity, inches * INCH, INCH).force / POUND_FORCE
        assert held == pytest.approx(printed, abs=0.5), f"{inches} in"


def test_a_number_10_wood_screw_in_spruce() -> None:
    # Worked example of a public engineering reference page: G 0.45, 0.190 in, 109 lb/in (109.65 before it
    # was cut off); tolerance 0.7 lb/in.
    held = allowable_withdrawal("wood", 0.45, wood_screw_diameter(10), INCH).force / POUND_FORCE
    assert held == pytest.approx(109, abs=0.7)


def test_end_grain_holds_three_quarters_of_a_lag_screw_and_nothing_of_a_wood_screw() -> None:
    # NDS 2018 sec. 12.2.1 (C_eg = 0.75) and 12.2.2 (no wood screw in withdrawal from end grain).
    side = allowable_withdrawal("lag", 0.55, 0.5 * INCH, 0.05)
    end = allowable_withdrawal("lag", 0.55, 0.5 * INCH, 0.05, "end")
    assert end.force == pytest.approx(0.75 * side.force, rel=1e-12)
    assert allowable_withdrawal("wood", 0.55, 0.006, 0.03, "end").force == 0.0


@pytest.mark.parametrize(("kind", "pounds", "power"), [("lag", 8100, (1.5, 0.75)), ("wood", 15700, (2, 1))])
def test_the_handbooks_two_unit_forms_of_the_ultimate_load_agree(
    kind: str, pounds: float, power: tuple[float, float]
) -> None:
    # Wood Handbook FPL-GTR-190, eq. 8-10 and 8-14, both forms from memory: 8100 and 15,700 in pounds and
    # inches against 125.4 and 108.25 in N and mm; tolerance 0.1 %, the rounding of the constants.
    g, inches = 0.6, 0.375
    held = ultimate_withdrawal(kind, g, inches * INCH, 2 * INCH).force / POUND_FORCE  # type: ignore[arg-type]
    assert held == pytest.approx(pounds * g ** power[0] * inches ** power[1] * 2, rel=1e-3)


@pytest.mark.parametrize(
    ("specific_gravity", "least", "greatest"), [(0.67, 0.65, 0.85), (0.60, 0.60, 0.75), (0.50, 0.40, 0.70)]
)
def test_lead_holes_of_lag_screws(specific_gravity: float, least: float, greatest: float) -> None:
    # From memory: NDS 2018 sec. 12.1.4.2, shares of the shank diameter; the shank hole is the shank's own
    # size.
    hole = lead_hole("lag", specific_gravity, 0.010)
    assert (hole.least, hole.greatest) == pytest.approx((least * 0.010, greatest * 0.010), rel=1e-12)
    assert hole.least < hole.thread < hole.greatest
    assert hole.shank == pytest.approx(0.010, rel=1e-12)


@pytest.mark.parametrize(("specific_gravity", "share"), [(0.67, 0.90), (0.60, 0.70), (0.50, 0.0)])
def test_lead_holes_of_wood_screws(specific_gravity: float, share: float) -> None:
    # From memory: NDS 2018 sec. 12.1.5.2, shares of the root diameter, 0.152 in for a number 10 (table L3,
    # from memory); no hole is required up to a specific gravity of 0.5.
    hole = lead_hole("wood", specific_gravity, 0.190 * INCH)
    assert hole.thread == pytest.approx(share * 0.152 * INCH, rel=1e-9)


@pytest.mark.parametrize(("inches", "root"), [(0.25, 0.173), (0.3125, 0.227), (0.5, 0.371), (1, 0.780)])
def test_root_diameters_of_lag_screws(inches: float, root: float) -> None:
    # ASME B18.2.1, hex lag screws; exact.
    assert lag_root_diameter(inches * INCH) == pytest.approx(root * INCH, rel=1e-12)


def test_a_metric_lag_screw_has_no_inch_root() -> None:
    assert lag_root_diameter(0.008) is None


@pytest.mark.parametrize(("gauge", "millimetres"), [(4, 2.84), (8, 4.17), (12, 5.49), (18, 7.47)])
def test_gauges_of_wood_screws(gauge: int, millimetres: float) -> None:
    # Wood Handbook FPL-GTR-190, table 8-9 (p. 8-12); tolerance 0.01 mm, as the table prints both units
    # rounded.
    assert wood_screw_diameter(gauge) == pytest.approx(millimetres / 1000, abs=0.01e-3)
