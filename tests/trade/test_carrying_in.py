"""What must hold for every piece and every way in: geometry, no outside source."""

import math
from collections.abc import Callable
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.carrying_in import (
    STEEPEST_STAIR,
    Box,
    Way,
    box,
    longest_round,
    round_corner,
    round_landing,
    through_door,
    turning_room,
    up_flight,
)
from workshop.trade.passages import Obstacle, Passage, passages

WIDTHS = st.floats(0.5, 3.0)
HEIGHTS = st.floats(1.5, 3.5)
MORE = st.floats(0.0, 1.0)
EXACT = 1e-6


@st.composite
def pieces(draw: st.DrawFn) -> Box:
    """Castings as they come: up to 4 m long, 1.5 m wide, 150 mm thick."""
    return box(draw(st.floats(0.3, 4.0)), draw(st.floats(0.1, 1.5)), draw(st.floats(0.02, 0.15)))


def longer(piece: Box, by: float) -> Box:
    return box(piece.length + by, piece.width, piece.thickness)


Carry = Callable[[Box, float, float], Way]
CARRIES: tuple[Carry, ...] = (
    lambda piece, a, b: through_door(piece, a, b),
    lambda piece, a, b: round_corner(piece, a, b),
    lambda piece, a, b: round_corner(piece, a, b, 2.4),
    lambda piece, a, b: round_landing(piece, a, a, b),
    lambda piece, a, b: round_landing(piece, a, a, b, 2.2),
    lambda piece, a, b: up_flight(piece, a, b, STEEPEST_STAIR),
)
everywhere = pytest.mark.parametrize(
    "carry", CARRIES, ids=["door", "corner", "ceiling", "back", "low", "flight"]
)


@everywhere
@settings(deadline=None, derandomize=True, max_examples=40)
@given(piece=pieces(), a=WIDTHS, b=WIDTHS, more=MORE)
def test_a_longer_piece_never_goes_where_a_shorter_one_does_not(
    carry: Carry, piece: Box, a: float, b: float, more: float
) -> None:
    if carry(longer(piece, more), a, b).fits:
        assert carry(piece, a, b).margin > -EXACT


@everywhere
@settings(deadline=None, derandomize=True, max_examples=40)
@given(piece=pieces(), a=WIDTHS, b=WIDTHS, more=MORE)
def test_more_room_never_keeps_a_piece_out(carry: Carry, piece: Box, a: float, b: float, more: float) -> None:
    if carry(piece, a, b).fits:
        assert carry(piece, a + more, b).margin > -EXACT
        assert carry(piece, a, b + more).margin > -EXACT


@everywhere
@settings(deadline=None, derandomize=True, max_examples=40)
@given(piece=pieces(), a=WIDTHS, b=WIDTHS)
def test_what_lacks_least_lacks_less_with_more_room(carry: Carry, piece: Box, a: float, b: float) -> None:
    narrow, wide = carry(piece, a, b), carry(piece, a + 0.1, b + 0.1)
    if not wide.fits:
        assert wide.margin >= narrow.margin - EXACT


@settings(deadline=None, derandomize=True)
@given(pieces(), WIDTHS, WIDTHS, HEIGHTS)
def test_a_corner_is_the_same_from_either_side(piece: Box, a: float, b: float, ceiling: float) -> None:
    there, back = round_corner(piece, a, b, ceiling), round_corner(piece, b, a, ceiling)
    assert there.margin == pytest.approx(back.margin, abs=EXACT)


@settings(deadline=None, derandomize=True)
@given(pieces(), WIDTHS, WIDTHS)
def test_a_ceiling_leaves_no_piece_out_that_went_without_one(piece: Box, a: float, b: float) -> None:
    level = round_corner(piece, a, b)
    if level.fits and max(level.height, piece.width) < 2.4:
        assert round_corner(piece, a, b, 2.4).fits


@settings(deadline=None, derandomize=True)
@given(pieces(), WIDTHS, WIDTHS, st.floats(0.0, 0.1))
def test_hands_take_their_room_at_both_sides_of_a_door(piece: Box, a: float, b: float, hands: float) -> None:
    gripped = through_door(piece, a, b, hands)
    bare = through_door(piece, a - 2 * hands, b)
    assert gripped.margin == pytest.approx(bare.margin, abs=EXACT)


@settings(deadline=None, derandomize=True)
@given(pieces(), WIDTHS, WIDTHS, st.floats(0.0, 0.1))
def test_hands_round_a_corner_are_a_larger_piece(piece: Box, a: float, b: float, hands: float) -> None:
    gripped = round_corner(piece, a, b, hands=hands)
    room = turning_room(a, b, gripped.long + 2 * hands)[0] - gripped.short - 2 * hands
    slide = min(max(a, b) - gripped.long, min(a, b) - gripped.short) - 2 * hands
    assert gripped.margin == pytest.approx(max(room, slide), abs=EXACT)


@settings(deadline=None, derandomize=True)
@given(WIDTHS, WIDTHS, st.floats(0.0, 0.4))
def test_the_longest_piece_leaves_no_room_and_its_room_no_length(
    a: float, b: float, thickness: float
) -> None:
    longest, _ = longest_round(a, b, thickness)
    assert turning_room(a, b, longest)[0] == pytest.approx(thickness, abs=1e-5)


def test_a_piece_may_be_measured_in_any_order() -> None:
    held = {box(*sides) for sides in permutations((1.4, 0.4, 0.045))}
    assert held == {Box(1.4, 0.4, 0.045)}


def test_a_bench_seat_goes_through_a_door_on_edge() -> None:
    # 860 - 45 - 2 * 30 beside it, 1980 - 400 above it.
    way = through_door(box(1.4, 0.4, 0.045), 0.86, 1.98, 0.03)
    assert way.hold == "on edge"
    assert way.beside == pytest.approx(0.755)
    assert way.over == pytest.approx(1.58)


def test_a_wide_top_goes_flat_through_a_wide_low_hatch() -> None:
    way = through_door(box(2.0, 0.9, 0.04), 1.0, 0.5)
    assert way.hold == "flat"
    assert way.margin == pytest.approx(0.1)


def test_a_top_higher_than_the_door_is_leant_over() -> None:
    way = through_door(box(2.4, 2.05, 0.03), 0.9, 2.0)
    assert way.hold == "leant over"
    assert way.fits
    assert not through_door(box(2.4, 2.25, 0.03), 0.9, 2.0).fits


def test_a_short_piece_goes_sideways_round_a_narrow_corner() -> None:
    # 0.9 by 0.9: it cannot turn in corridors of 0.95, where 0.95 sqrt(2) - 0.9/2 = 0.893, and need not.
    way = round_corner(box(0.9, 0.9, 0.9), 0.95, 0.95)
    assert way.move == "sideways"
    assert way.margin == pytest.approx(0.05)
    assert turning_room(0.95, 0.95, 0.9)[0] == pytest.approx(0.8935, abs=1e-4)


def test_a_long_piece_is_stood_on_end_before_it_is_tilted() -> None:
    assert round_corner(box(2.3, 0.5, 0.05), 0.8, 0.7, 2.4).hold == "on end"
    assert not round_corner(box(2.3, 0.5, 0.05), 0.8, 0.7).fits


def test_a_piece_longer_than_the_ceiling_is_tilted_under_it() -> None:
    # Level it is too long, and it is longer than the ceiling is high.
    piece = box(2.6, 0.2, 0.05)
    assert not round_corner(piece, 0.8, 0.8).fits
    assert not round_corner(piece, 0.8, 0.8, 2.4, tilting=False).fits
    way = round_corner(piece, 0.8, 0.8, 2.4)
    assert way.fits
    assert way.tilt is not None
    assert way.height < 2.4
    assert way.long < piece.length


def test_a_stair_takes_its_headroom_square_to_the_slope() -> None:
    # Headroom of 2 m at 60 degrees is 1 m square to it; 0.9 m goes on edge, 1.1 m does not.
    pitch = math.pi / 3
    assert up_flight(box(3.0, 0.9, 0.05), 0.8, 2.0, pitch).over == pytest.approx(0.1)
    assert not up_flight(box(3.0, 1.1, 0.05), 0.8, 2.0, pitch).fits


def test_a_short_piece_backs_out_of_a_landing_and_a_long_one_turns_on_it() -> None:
    # 1.1 m is no shorter than both flights of 0.55 m are wide, and the landing is 1.2 m long.
    assert round_landing(box(1.1, 0.5, 0.5), 0.55, 0.55, 1.2).move == "backing out"
    assert round_landing(box(1.5, 0.05, 0.05), 0.9, 0.9, 0.9).move == "turning back"
    # Longer than both flights are wide together.
    assert not round_landing(box(1.9, 0.05, 0.05), 0.9, 0.9, 0.9).fits


def parts(piece: Box, obstacle: Obstacle) -> tuple[Passage, ...]:
    return passages(obstacle, piece, 0.0, 0.6)


@pytest.mark.parametrize(
    ("obstacle", "shapes"),
    [
        (Obstacle("door", 0.9, 2.0), ["door"]),
        (Obstacle("corner", 0.9, after=0.8), ["corner"]),
        (Obstacle("stair", 0.9, 2.0), ["flight"]),
        (Obstacle("stair", 0.9, 2.0, after=0.8), ["flight", "corner"]),
        (Obstacle("stair", 0.9, 2.0, landing=1.0), ["flight", "landing"]),
    ],
)
def test_a_stair_is_a_flight_and_the_turn_that_it_makes(obstacle: Obstacle, shapes: list[str]) -> None:
    assert [passage.shape for passage in parts(box(1.0, 0.3, 0.05), obstacle)] == shapes


@settings(deadline=None, derandomize=True, max_examples=40)
@given(pieces(), WIDTHS, WIDTHS)
def test_cut_to_the_length_it_is_said_to_go_at_it_goes(piece: Box, a: float, b: float) -> None:
    (corner,) = parts(piece, Obstacle("corner", a, after=b))
    kept = corner.length_that_goes()
    if corner.way.fits or kept is None:
        return
    # In whole millimetres: at the length it goes, a millimetre and a bit longer it does not.
    assert round_corner(box(kept, piece.width, piece.thickness), a, b).margin > -2e-6
    assert not round_corner(box(kept + 1.1e-3, piece.width, piece.thickness), a, b).fits


@settings(deadline=None, derandomize=True, max_examples=40)
@given(pieces(), st.floats(0.3, 1.0), st.floats(0.3, 1.0))
def test_cut_to_the_width_it_is_said_to_go_at_it_goes(piece: Box, a: float, b: float) -> None:
    (door,) = parts(piece, Obstacle("door", a, b))
    kept = door.width_that_goes()
    if door.way.fits or kept is None:
        return
    assert through_door(box(piece.length, kept, piece.thickness), a, b).margin > -2e-6


@pytest.mark.parametrize(
    ("wrong", "complaint"),
    [
        (lambda: box(1.0, 0.0, 0.1), "three above zero"),
        (lambda: box(1.0, 0.1), "three above zero"),
        (lambda: through_door(box(1, 1, 1), 0.0, 2.0), "width is 0 m"),
        (lambda: round_corner(box(1, 1, 1), 1.0, -1.0), "after is -1 m"),
        (lambda: up_flight(box(1, 1, 1), 1.0, 2.0, 2.0), "give its pitch"),
        (lambda: passages(Obstacle("door", 0.9), box(1, 1, 1), 0.0, 0.6), "no height; measure it"),
    ],
)
def test_what_cannot_be_measured_is_refused(wrong: Callable[[], object], complaint: str) -> None:
    with pytest.raises(ValueError, match=complaint):
        wrong()
