"""Facts of the bench, each `common practice, no source`: what a maker would expect of the numbers."""

from itertools import pairwise

import pytest

from workshop.trade.abrasives import grit, grit_steps, sequence
from workshop.trade.buoyancy import hold_down
from workshop.trade.finish import finish_coat
from workshop.trade.flattening import rim_speed, sled_passes

INCH = 0.0254
FOOT = 12 * INCH


@pytest.mark.parametrize("passes", [2, 3])
def test_flattening_a_desk_top_takes_most_of_a_day(passes: int) -> None:
    # common practice, no source: a 1 1/2 in cutter moved over by 1 in a lane, about 1/16 in a pass, two or
    # three passes a face, takes most of a day on a desk top. Assumed here: a top of 5 x 2 1/2 ft, both faces,
    # pushed by hand at 1 m/min, which is slow, as hand feed in hardwood is. Tolerance: 3 to 10 h of machine
    # time.
    face = sled_passes(
        length=5 * FOOT,
        width=2.5 * FOOT,
        cutter=1.5 * INCH,
        removal=passes * INCH / 16,
        per_pass=INCH / 16,
        feed_rate=1 / 60,
        overlap=1 / 3,
    )
    assert face.step == pytest.approx(1 * INCH)
    assert face.passes == passes
    assert 3 * 3600 < 2 * face.time < 10 * 3600


def test_wood_goes_from_80_over_120_to_220_before_a_hardwax_oil() -> None:
    # common practice, no source. The sequence has steps of up to 1.84 in grain size, so it passes a rule of
    # 1.9 ...
    assert [g.name for g in sequence(grit("P80"), grit("P220"), 1.9)] == ["P80", "P120", "P220"]


def test_the_default_step_puts_one_more_grit_before_220() -> None:
    # ... and the stricter default of 1.65 puts P180 between.
    steps = grit_steps(grit("P80"), grit("P220"), "wood")
    assert [s.grit.name for s in steps] == ["P80", "P120", "P180", "P220"]


def test_habitual_grits_lie_near_one_and_two_thirds_apart() -> None:
    # common practice, no source: 80-120-180-240-320-400, about 1.5 a step. Tolerance 1.2 to 1.65.
    sizes = [grit(f"P{n}").size for n in (80, 120, 180, 240, 320, 400)]
    assert all(1.2 < coarse / fine < 1.65 for coarse, fine in pairwise(sizes))


def test_a_two_part_hardwax_oil_is_mixed_three_to_one() -> None:
    # common practice, no source: a quarter of it is hardener. Exact.
    coat = finish_coat(area=2.0, coverage=24_000, ratio_by_volume=3.0)
    assert coat.part_a == pytest.approx(3 * coat.part_b)
    assert coat.part_b == pytest.approx(coat.amount / 4)


@pytest.mark.parametrize("wood", [400, 560, 690, 800])
def test_a_slab_floats_in_resin(wood: float) -> None:
    # common practice, no source: an ash, walnut or oak slab held under by nothing comes up; air-dry timbers
    # of the shop weigh 400 to 800 kg/m3, casting resin about 1100.
    held = hold_down(volume=0.01, wood_density=wood, resin_density=1100, each=50)
    assert held.float_force > 0
    assert held.hold_downs >= 1


def test_a_three_inch_cutter_does_not_run_at_full_router_speed() -> None:
    # 76.2 mm at 24000 rpm is 95.8 m/s, at 10000 rpm 39.9 m/s: plain arithmetic of v = pi*D*n. Tolerance 0.1
    # m/s.
    assert rim_speed(0.0762, 24000 / 60) == pytest.approx(95.8, abs=0.1)
    assert rim_speed(0.0762, 10000 / 60) == pytest.approx(39.9, abs=0.1)
