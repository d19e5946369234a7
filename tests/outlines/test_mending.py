"""What is mended in a drawn line, what is left out of it, and what is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.outlines import OutlineError
from workshop.outlines.drawing import OpenOutline, Ring
from workshop.outlines.joining import joined
from workshop.outlines.mending import mended
from workshop.trade.outline import Point, crosses_itself, outline_area

SQUARE: list[Point] = [(0, 0), (1, 0), (1, 1), (0, 1)]


def one(points: list[Point], *, closed: bool = True) -> tuple[Ring, str]:
    """The one ring that a line makes, and all that was done to it."""
    (ring,), notes = mended(points, closed=closed)
    return ring, " ".join(notes)


def test_a_sound_outline_stays_as_it_is() -> None:
    ring, notes = one(SQUARE)
    assert (list(ring), notes) == (SQUARE, "")


def test_a_first_point_repeated_at_the_end_closes_the_outline_without_a_word() -> None:
    ring, notes = one([*SQUARE, SQUARE[0]], closed=False)
    assert (list(ring), notes) == (SQUARE, "")


def test_repeated_points_are_dropped() -> None:
    ring, notes = one([p for p in SQUARE for _ in range(3)])
    assert list(ring) == SQUARE
    assert notes == "8 repeated points were dropped."


@pytest.mark.parametrize(("gap", "length"), [(0.0199, 4.0), (0.0015, 0.2)])
def test_a_small_gap_is_closed_and_the_note_says_how_wide_it_was(gap: float, length: float) -> None:
    side = length / 4
    ring, notes = one([(0, 0), (side, 0), (side, side), (0, side), (0, gap)], closed=False)
    assert outline_area(ring) == pytest.approx(side**2)
    assert f"open by {gap * 1000:.3g} mm" in notes


@pytest.mark.parametrize(("gap", "side"), [(0.021, 1.0), (0.0045, 0.05)])
def test_a_gap_of_20_mm_or_2_percent_of_the_length_is_left_open(gap: float, side: float) -> None:
    with pytest.raises(OpenOutline, match="open by"):
        mended([(0, 0), (side, 0), (side, side), (0, side), (0, gap)])


def test_a_small_loop_is_dropped_with_a_note() -> None:
    looped: list[Point] = [(0, 0), (1, 0), (1, 1), (0.51, 1), (0.49, 1.03), (0.51, 1.03), (0.49, 1), (0, 1)]
    ring, notes = one(looped)
    assert not crosses_itself(ring)
    assert outline_area(ring) == pytest.approx(1, abs=1e-3)
    assert "crossed itself at (500.0, 1015.0) mm" in notes and "dropped" in notes


def test_a_loop_on_the_inside_is_no_hole() -> None:
    looped: list[Point] = [(0, 0), (1, 0), (1, 1), (0.49, 1), (0.49, 0.97), (0.51, 0.97), (0.51, 1.0), (0, 1)]
    ring, notes = one([(x, y + 0.001 * (x == 0.51 and y == 1)) for x, y in looped])
    assert outline_area(ring) == pytest.approx(1, abs=2e-3)
    assert "dropped" in notes


def test_a_bow_tie_is_refused_with_the_place_where_it_crosses() -> None:
    with pytest.raises(OutlineError, match=r"crosses itself at \(500\.0, 500\.0\) mm"):
        mended([(0, 0), (1, 1), (1, 0), (0, 1)], closed=True)


@pytest.mark.parametrize(("share", "kept"), [(0.015, True), (0.025, False)])
def test_the_outline_is_the_part_with_98_percent_of_the_area(share: float, kept: bool) -> None:
    # Two triangles that meet in a point: their areas are as the squares of their heights.
    small = math.sqrt(share / (1 - share))
    tie: list[Point] = [(-1, 1), (1, 1), (-small, -small), (small, -small)]
    if kept:
        assert outline_area(one(tie)[0]) == pytest.approx(1)
    else:
        with pytest.raises(OutlineError, match="crosses itself"):
            mended(tie, closed=True)


def test_a_line_that_runs_out_round_a_hole_and_back_makes_the_outline_and_the_hole() -> None:
    hole: list[Point] = [(0.4, 0.4), (0.4, 0.6), (0.6, 0.6), (0.6, 0.4), (0.4, 0.4)]
    rings, notes = mended([*SQUARE, (0, 0), *hole, (0, 0)], closed=True)
    assert [outline_area(ring) for ring in rings] == [pytest.approx(1), pytest.approx(0.04)]
    assert notes == ()


@pytest.mark.parametrize("spike", [[(1.4, 0.5)], [(1.4, 0.5), (1.4, 0.50001)], [(1.4, 0.5), (1.2, 0.5)]])
def test_a_spike_is_removed(spike: list[Point]) -> None:
    ring, notes = one([(0, 0), (1, 0), (1, 0.5), *spike, (1, 0.50002), (1, 1), (0, 1)])
    assert max(x for x, _ in ring) == 1
    assert outline_area(ring) == pytest.approx(1)
    assert "thinner than 0.05 mm removed" in notes


def test_a_sharp_corner_is_no_spike() -> None:
    wedge: list[Point] = [(0, 0), (1, 0), (1, 0.02)]
    assert one(wedge) == (tuple(wedge), "")


def test_a_mark_is_left_out_with_a_note() -> None:
    rings, notes = mended([(0, 0), (0.01, 0), (0.01, 0.009)], closed=True)
    assert rings == ()
    assert notes == ("An outline at (0.0, 0.0) mm has only 45 mm² and was left out.",)
    assert len(mended([(0, 0), (0.01, 0), (0.01, 0.009)], closed=True, least_area=1e-5)[0]) == 1


def test_more_than_2000_points_are_simplified_to_within_a_twentieth_of_a_millimetre() -> None:
    turns = np.linspace(0, 2 * np.pi, 20_000, endpoint=False)
    radii = 0.3 + 0.02 * np.sin(9 * turns)
    line = np.column_stack([radii * np.cos(turns), radii * np.sin(turns)])
    (ring,), notes = mended(line, closed=True)
    assert len(ring) < 2000 and f"20000 points was simplified to {len(ring)}" in notes[0]
    # Whatever lies between two kept points lies within the tolerance of the side between them.
    places = [int(np.argmin(np.hypot(*(line - corner).T))) for corner in ring]
    for start, end in zip(places, [*places[1:], places[0] + len(line)], strict=True):
        between = line[np.arange(start, end + 1) % len(line)]
        side = between[-1] - between[0]
        away = np.abs(side[0] * (between - between[0])[:, 1] - side[1] * (between - between[0])[:, 0])
        assert float(away.max() / np.hypot(*side)) < 0.00005 + 1e-9


@given(
    st.lists(st.floats(0.05, 0.6), min_size=5, max_size=12),
    st.data(),
    st.permutations(range(5)),
)
def test_an_outline_cut_into_lines_in_any_order_is_joined_again(
    radii: list[float], data: st.DataObject, order: list[int]
) -> None:
    turn = 2 * math.pi / len(radii)
    ring = np.array([(r * math.cos(turn * n), r * math.sin(turn * n)) for n, r in enumerate(radii)])
    cuts = [0, 1, 2, 3, 4, len(radii)]
    lines = [np.vstack([ring, ring[:1]])[cuts[n] : cuts[n + 1] + 1] for n in order]
    turned = [line[::-1] if data.draw(st.booleans()) else line for line in lines]
    shaken = [line + data.draw(st.floats(-2e-5, 2e-5)) for line in turned]
    (chain,) = joined(shaken)
    (made,), notes = mended(chain)
    assert notes == ()
    assert outline_area(made) == pytest.approx(outline_area(ring.tolist()), abs=3 * 0.00005)


@given(st.lists(st.tuples(st.floats(-2, 2), st.floats(-2, 2)), max_size=12), st.booleans())
def test_whatever_is_drawn_comes_back_sound_or_is_refused(points: list[Point], closed: bool) -> None:
    try:
        rings, _ = mended(points, closed=closed)
    except OutlineError as refusal:
        assert str(refusal).endswith(".")
        return
    for ring in rings:
        assert not crosses_itself(ring)
        assert outline_area(ring) >= 1e-4 or len(rings) > 1
        assert len(set(ring)) == len(ring) >= 3
