"""Where a saw line enters and leaves a slab."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.face_pair import Line
from workshop.trade.saw_line import distance_off, distance_to, line_on_slab

SLAB = ((0.0, -0.1), (1.5, -0.1), (1.5, 0.1), (0.0, 0.1))
HOLE = ((0.5, -0.02), (0.6, -0.02), (0.6, 0.04), (0.5, 0.04))


@given(st.floats(0.01, 1.49), st.floats(-0.5, 0.5), st.floats(0.001, 1.0))
def test_square_across_it_runs_from_the_right_edge_to_the_left(at: float, start: float, run: float) -> None:
    held = line_on_slab(SLAB, ((at, start), (at, start + run)))
    assert held is not None
    assert held.start == pytest.approx((at, -0.1))
    assert held.end == pytest.approx((at, 0.1))
    assert held.length == pytest.approx(0.2)


@given(st.floats(-0.099, 0.099), st.floats(-0.099, 0.099))
def test_along_it_runs_from_the_tapes_zero_to_its_end(first: float, last: float) -> None:
    held = line_on_slab(SLAB, ((1.5, last), (0.0, first)))
    assert held is not None
    assert held.start == pytest.approx((0.0, first))
    assert held.end == pytest.approx((1.5, last))
    assert held.length == pytest.approx(math.hypot(1.5, last - first))


def test_a_line_that_does_not_run_on_ends_at_its_points() -> None:
    held = line_on_slab(SLAB, ((0.2, 0.05), (0.9, 0.05)), runs_on=False)
    assert held is not None
    assert held.start == pytest.approx((0.2, 0.05))
    assert held.end == pytest.approx((0.9, 0.05))


def test_a_hole_takes_its_part_of_the_cut_and_says_how_to_miss_it() -> None:
    held = line_on_slab(SLAB, ((0.0, 0.0), (1.5, 0.0)), (HOLE,))
    assert held is not None
    assert (held.length, held.in_holes) == pytest.approx((1.4, 0.1))
    # 20 mm to its right side, 40 mm to its left one.
    assert held.clear_of_holes == pytest.approx(0.02)
    moved = line_on_slab(SLAB, ((0.0, -0.021), (1.5, -0.021)), (HOLE,))
    assert moved is not None
    assert (moved.in_holes, moved.clear_of_holes) == (0, 0)


@given(st.floats(0.001, 1.0))
def test_a_line_that_misses_passes_by_so_much(by: float) -> None:
    line: Line = ((0.0, 0.1 + by), (1.0, 0.1 + by))
    assert line_on_slab(SLAB, line) is None
    assert distance_to(SLAB, line) == pytest.approx(by)
    assert distance_off(line, (0.7, 0.1)) == pytest.approx(by)


@pytest.mark.parametrize(
    ("outline", "line"),
    [(SLAB, ((0.2, 0.0), (0.2, 0.0))), (SLAB[:2], ((0.2, 0.0), (0.3, 0.0)))],
)
def test_what_is_no_line_and_no_outline_is_refused(
    outline: tuple[tuple[float, float], ...], line: Line
) -> None:
    with pytest.raises(ValueError, match="give"):
        line_on_slab(outline, line)
