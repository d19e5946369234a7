"""The resin of a lift against the water that the same pieces displace.

Source: Archimedes, On Floating Bodies, book I (from memory): a body held under water pushes away its own
volume of it. So the water that brings a form with its pieces to a level, and the pieces' volume below that
level, are together the form up to there; and with the pieces taken out the level falls by their volume over
the form's area. The pieces' volume is worked out here from the tape readings alone: in each of many thin
strips across, the wood reaches from the right reading to the left one, straight from station to station and
from face to face. No polygon is used. Tolerance: 1e-4 of the volume, of which the strips take most, since a
strip is read in its middle.
"""

from itertools import pairwise

import pytest

from tests.examples import example
from workshop.layout.as_placed import casting_as_placed
from workshop.layout.room import Room, room_of
from workshop.trade.outline import outline_area

BENCH = example("tarn-bench").file
THICK = 0.052
STRIPS = 2880
"""Of 0.5 mm each, over the 1440 mm of the form."""
SLICES = 24


def read(slab: str, along: float, share: float) -> tuple[float, float]:
    """Left and right reading of a slab (m) at a place along its tape and a share of its thickness."""
    rows = BENCH.slab[slab].stations
    for one, two in pairwise(rows):
        if one.at <= along * 1000 <= two.at:
            part = (along * 1000 - one.at) / (two.at - one.at)
            sides = []
            for name in ("left", "right"):
                upper = (1 - part) * getattr(one, name) + part * getattr(two, name)
                lower = (1 - part) * getattr(one, f"lower_{name}") + part * getattr(two, f"lower_{name}")
                sides.append(((1 - share) * lower + share * upper) / 1000)
            return sides[0], sides[1]
    raise AssertionError(f"{along} m lies beyond the stations of {slab}")


def wood_below(height: float) -> float:
    """The wood of both pieces in the seat under a level, in m³, strip by strip.

    Both are set down 20 mm to the left of where they lay along their tapes. p1 is sawn off 100 mm right of
    its tape, which lies 100 mm across the form; p2 70 mm left of its own, at 370 mm. p1 has a hole.
    """
    hole = BENCH.slab["ash-wide"].holes[0]
    total = -outline_area([(x / 1000, y / 1000) for x, y in hole.points]) * height
    step, slice_ = 1.440 / STRIPS, height / SLICES
    for strip in range(STRIPS):
        along = 0.020 + (strip + 0.5) * step
        for number in range(SLICES):
            share = (number + 0.5) * slice_ / THICK
            left, right = read("ash-wide", along, share)
            total += (left + min(right, 0.100)) * step * slice_
            left, right = read("ash-narrow", along, share)
            total += (min(left, 0.070) + right) * step * slice_
    return total


def seat() -> Room:
    held = casting_as_placed(BENCH, "seat")
    assert held is not None
    found = room_of(held)
    assert found is not None
    return found


@pytest.mark.parametrize("level", [0.006, 0.029, 0.052])
def test_water_and_the_wood_under_it_fill_the_form_up_to_the_level(level: float) -> None:
    water = seat().level(0.0, level).resin
    assert water + wood_below(level) == pytest.approx(1.440 * 0.440 * level, rel=1e-4)


def test_between_two_levels_the_water_poured_is_what_the_wood_leaves() -> None:
    low, high = 0.006, 0.029
    wood = wood_below(high) - wood_below(low)
    assert seat().level(low, high).resin == pytest.approx(1.440 * 0.440 * (high - low) - wood, rel=1e-4)


def test_with_the_pieces_out_the_level_falls_by_their_volume_over_the_forms_area() -> None:
    level = 0.052
    water = seat().level(0.0, level).resin
    fallen = level - water / (1.440 * 0.440)
    assert fallen == pytest.approx(wood_below(level) / (1.440 * 0.440), rel=1e-4)


def test_a_little_more_water_rises_over_the_free_area_alone() -> None:
    # 0.1 mm about 20 mm: what was poured over what it rose is the area that is not wood there.
    held = seat()
    poured = held.level(0.01995, 0.02005).resin
    assert poured / 0.0001 == pytest.approx(held.free_area(0.02), rel=1e-6)
