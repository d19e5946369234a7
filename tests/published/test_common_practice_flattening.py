"""Facts of sawing, levelling, drilling and fastening, each `common practice, no source`."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.calculator import calculate
from workshop.calculators import rail_level
from workshop.trade.batches import usable_time
from workshop.trade.drilling import blind_hole
from workshop.trade.finish import flood_coat
from workshop.trade.saw_reach import saw_reach
from workshop.trade.slots import slot

INCH = 0.0254


@pytest.mark.parametrize(("apart", "wrong"), [("0.031", False), ("0.033", True)])
def test_the_rails_of_a_sled_agree_within_a_thirty_second_of_an_inch(apart: str, wrong: bool) -> None:
    # common practice, no source: 1/32 in. Tolerance 0.001 in, either side.
    made = calculate(rail_level.CALCULATOR, {"heights": f'["4 in", "{4 + float(apart)} in"]'})
    assert bool(made.result.findings) is wrong


def test_a_saw_that_reaches_less_than_the_slab_on_its_rail_finishes_the_cut_in_a_second_pass_off_it() -> None:
    # common practice, no source: a rail costs the saw about 1/8 in of its depth.
    held = saw_reach(thickness=2 * INCH, on_rail=1.9375 * INCH, off_rail=2.0625 * INCH)
    assert [one.stand for one in held.passes] == ["on the rail", "off the rail"]
    assert {one.face for one in held.passes} == {"upper"}
    assert held.left_standing == pytest.approx(INCH / 16)
    assert held.unreached == 0


@given(st.floats(0.01, 0.1), st.floats(0, 0.02), st.floats(0, 0.02), st.floats(0, 0.01))
def test_a_flag_on_the_bit_keeps_a_pilot_hole_from_coming_out_at_the_face(
    part: float, through: float, keep: float, point: float
) -> None:
    # common practice, no source: the flag stands so far above the tip that something is left of the part.
    held = blind_hole(part, through, keep, point)
    assert held.stop <= max(0.0, part - keep) + 1e-12
    assert held.longest_screw - through <= max(0.0, part - keep) + 1e-12


@given(st.floats(-0.02, 0.02), st.floats(0.003, 0.02))
def test_bolt_holes_in_a_steel_frame_are_drilled_larger_than_the_bolt(movement: float, bolt: float) -> None:
    # common practice, no source: 2 mm larger even where nothing moves.
    assert slot(movement, bolt).length >= bolt + 0.002 - 1e-12


def test_ten_kelvin_warmer_halves_the_time_in_the_bucket() -> None:
    # common practice, no source. Exact by the rule.
    assert usable_time(3600, 33, 23) == pytest.approx(usable_time(3600, 23, 23) / 2)
    assert usable_time(3600, 23, 23) == pytest.approx(1800)


def test_an_eighth_of_an_inch_is_one_flood_coat_of_a_gallon_to_some_twelve_square_feet() -> None:
    # common practice, no source: 1 gal over 12 to 13 ft2 at 1/8 in. Tolerance: that range.
    gallon, foot = 3.785411784e-3, 12 * INCH
    held = flood_coat(area=12.5 * foot**2, thickness=INCH / 8)
    assert held.coats == 1
    assert 12 / 13 < held.volume / gallon < 13 / 12
