"""Surfacing on a sled."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.flattening import chip_load, habitual_speed, lanes, rim_speed, sled_passes

widths = st.floats(0.02, 1.5)
cutters = st.floats(0.012, 0.08)
overlaps = st.floats(0, 0.8)


@given(widths, cutters, overlaps)
def test_the_lanes_cover_the_width_and_not_one_is_idle(width: float, cutter: float, overlap: float) -> None:
    count = lanes(width, cutter, overlap)
    step = cutter * (1 - overlap)
    assert cutter + (count - 1) * step >= width * (1 - 1e-6)
    if count > 1:
        assert cutter + (count - 2) * step < width


@given(cutters, overlaps)
def test_a_cutter_as_wide_as_the_work_takes_one_lane(cutter: float, overlap: float) -> None:
    assert lanes(cutter, cutter, overlap) == 1
    assert lanes(cutter / 2, cutter, overlap) == 1


def test_lanes_of_a_bench_seat() -> None:
    # 400 mm with a 50 mm cutter, half overlapping: 350/25 = 14 steps after the first lane.
    assert lanes(0.400, 0.050, 0.5) == 15


def test_a_seat_taken_down_in_three_passes() -> None:
    # 15 lanes of 1.4 m, three passes of 1 mm: 63 m in the cut, 21 min at 3 m/min, times 1.4.
    face = sled_passes(1.4, 0.4, 0.050, 0.003, 0.001, 3 / 60, 0.5)
    assert face.passes == 3
    assert face.path == pytest.approx(63)
    assert face.cutting_time == pytest.approx(21 * 60)
    assert face.time == pytest.approx(1.4 * 21 * 60)
    assert face.chip_volume == pytest.approx(1.68e-3)


@given(st.floats(1e-4, 0.02), st.floats(1e-4, 0.005))
def test_no_pass_is_deeper_than_allowed(removal: float, per_pass: float) -> None:
    passes = sled_passes(1, 0.3, 0.05, removal, per_pass, 0.05).passes
    assert removal / passes <= per_pass * (1 + 1e-6)


def test_rim_speed_of_one_metre_round() -> None:
    # a rim one metre round, once a second
    assert rim_speed(1 / 3.141592653589793, 1) == pytest.approx(1)


def test_chip_load_of_a_slow_cutter() -> None:
    # 3.6 m/min over 12000 rpm and 2 flutes: 0.15 mm a tooth.
    assert chip_load(3.6 / 60, 12000 / 60, 2) == pytest.approx(0.00015)


def test_larger_cutters_run_slower_by_habit() -> None:
    # common practice: up to 1 in 24000 rpm, 1-2 in 18000, 2-2.5 in 16000, 3 in and over 12000 or less.
    speeds = [habitual_speed(d * 0.0254) * 60 for d in (0.5, 1, 1.5, 2, 2.25, 2.5, 3, 4)]
    assert speeds == pytest.approx([24000, 24000, 18000, 18000, 16000, 16000, 12000, 12000])


def test_an_overlap_of_the_whole_cutter_never_ends() -> None:
    with pytest.raises(ValueError, match="below 1"):
        lanes(0.4, 0.05, 1.0)
    with pytest.raises(ValueError, match="feed rate"):
        sled_passes(1, 0.3, 0.05, 0.001, 0.001, 0)
