"""A board between two faces: its outline at any height, sawn, turned over and set down."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.face_pair import FacePair, Ring, between, clipped, moved, paired, side_of
from workshop.trade.outline import Point, outline_area
from workshop.trade.sawing import sawn_piece

SQUARE: Ring = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.2), (0.0, 0.2))
WIDER: Ring = ((0.0, -0.02), (1.0, -0.02), (1.0, 0.23), (0.0, 0.23))
PLACES = st.floats(-2.0, 2.0)
TURNS = st.floats(-math.pi, math.pi)


def rings_close(one: Ring, two: Ring) -> None:
    assert len(one) == len(two)
    for a, b in zip(one, two, strict=True):
        assert a == pytest.approx(b, abs=1e-9)


@st.composite
def boards(draw: st.DrawFn) -> FacePair:
    """Wavy faces, the lower one wider, with a cut square across near each end."""
    places = [0.0, 0.3, 0.6, 0.9, 1.2]
    offs = st.floats(0.05, 0.12)
    upper = [(x, -draw(offs)) for x in places] + [(x, draw(offs)) for x in reversed(places)]
    lower = [(x, y + math.copysign(draw(st.floats(0, 0.03)), y)) for x, y in upper]
    cuts = tuple(side_of(((x, 0.0), (x, 1.0)), (0.6, 0.0)) for x in (0.05, 1.1))
    return FacePair(tuple(lower), tuple(upper), cuts, (((0.5, 0.0), (0.55, 0.01), (0.5, 0.02)),))


@given(st.floats(0.0, 1.0))
def test_a_bevelled_edge_is_straight_from_face_to_face(share: float) -> None:
    near = between(WIDER, SQUARE, share)[0]
    assert near == pytest.approx((0.0, -0.02 * (1 - share)), abs=1e-12)


@given(boards(), PLACES, PLACES, TURNS, st.booleans())
def test_a_board_stays_as_large_wherever_it_lies(
    board: FacePair, x: float, y: float, turn: float, flip: bool
) -> None:
    laid = moved(board, (0.6, 0.0), (x, y), turn, flip)
    assert sawn_piece(laid, 0.05).volume == pytest.approx(sawn_piece(board, 0.05).volume, rel=1e-9)
    faces = [outline_area(board.outline(share)) for share in (0.0, 1.0)]
    found = [outline_area(laid.outline(share)) for share in ((1.0, 0.0) if flip else (0.0, 1.0))]
    assert found == pytest.approx(faces, rel=1e-9)


@given(boards(), PLACES, PLACES, TURNS)
def test_turned_over_twice_a_board_lies_as_before(board: FacePair, x: float, y: float, turn: float) -> None:
    mark, place = (0.6, 0.0), (x, y)
    back = moved(moved(board, mark, place, turn, True), place, mark, turn, True)
    for share in (0.0, 0.5, 1.0):
        rings_close(back.outline(share), board.outline(share))
    rings_close(back.open_holes()[0], board.open_holes()[0])


@given(boards(), TURNS)
def test_turned_there_and_back_a_board_lies_as_before(board: FacePair, turn: float) -> None:
    mark = (0.6, 0.0)
    back = moved(moved(board, mark, mark, turn, False), mark, mark, -turn, False)
    for share in (0.0, 0.5, 1.0):
        rings_close(back.outline(share), board.outline(share))


def test_turned_over_the_lower_face_lies_up_and_left_is_right() -> None:
    laid = moved(FacePair(WIDER, SQUARE), (0.5, 0.1), (0.5, 0.1), 0.0, True)
    # The lower face reached 0.13 m to the left of the mark and 0.12 m to the right.
    ys = [y for _, y in laid.upper]
    assert (min(ys), max(ys)) == pytest.approx((0.1 - 0.13, 0.1 + 0.12))


def test_the_mark_says_which_side_of_a_saw_line_is_kept() -> None:
    line = ((0.3, 0.0), (0.3, 1.0))
    left, right = (side_of(line, mark) for mark in ((0.1, 0.1), (0.8, 0.1)))
    assert outline_area(clipped(SQUARE, [left])) == pytest.approx(0.3 * 0.2)
    assert outline_area(clipped(SQUARE, [right])) == pytest.approx(0.7 * 0.2)
    assert clipped(SQUARE, [side_of(((2.0, 0.0), (2.0, 1.0)), (3.0, 0.0))]) == ()


def test_half_a_kerf_is_taken_off_the_side_of_the_mark() -> None:
    line = ((0.3, 0.0), (0.3, 1.0))
    sides = [side_of(line, mark, 0.001) for mark in ((0.1, 0.1), (0.8, 0.1))]
    areas = [outline_area(clipped(SQUARE, [side])) for side in sides]
    assert sum(areas) == pytest.approx(0.2 - 0.002 * 0.2)


@pytest.mark.parametrize("line", [((0.1, 0.1), (0.1, 0.1)), ((0.0, 0.1), (1.0, 0.1))])
def test_a_line_without_direction_or_through_the_mark_cuts_nothing(line: tuple[Point, Point]) -> None:
    with pytest.raises(ValueError, match=r"give two different ones|well inside the piece"):
        side_of(line, (0.5, 0.1))


# Faces with unlike corners


def midway(lower: Ring, upper: Ring) -> float:
    return outline_area(between(*paired(lower, upper), 0.5))


def test_more_corners_on_straight_edges_change_nothing() -> None:
    more = ((0.0, -0.02), (0.2, -0.02), (0.75, -0.02), *WIDER[1:3], (0.4, 0.23), (0.0, 0.23))
    assert midway(more, SQUARE) == pytest.approx(0.225, rel=0.02)
    below, above = paired(more, SQUARE)
    assert len(below) == len(above)
    assert outline_area(below) == pytest.approx(0.25, rel=1e-12)
    assert outline_area(above) == pytest.approx(0.20, rel=1e-12)


@given(st.integers(5, 40), st.integers(5, 40), st.floats(0.2, 1.0))
def test_rounds_of_unlike_corners_have_a_round_between_them(one: int, two: int, radius: float) -> None:
    def round_(corners: int, r: float) -> Ring:
        turns = [2 * math.pi * number / corners for number in range(corners)]
        return tuple((r * math.cos(turn), r * math.sin(turn)) for turn in turns)

    lower, upper = round_(one, radius), round_(two, radius + 0.02)
    below, above = paired(lower, upper)
    least, most = sorted(outline_area(ring) for ring in (lower, upper))
    assert outline_area(below) == pytest.approx(outline_area(lower), rel=1e-9)
    assert outline_area(above) == pytest.approx(outline_area(upper), rel=1e-9)
    assert 0.98 * least <= outline_area(between(below, above, 0.5)) <= 1.02 * most


@pytest.mark.parametrize("first", range(4))
@pytest.mark.parametrize("reverse", [False, True])
def test_a_face_may_be_traced_from_any_corner_and_either_way(first: int, reverse: bool) -> None:
    other = (*WIDER[first:], *WIDER[:first])
    other = other[::-1] if reverse else other
    assert midway(other, SQUARE) == pytest.approx(0.225, rel=0.01)


def test_faces_whose_corners_answer_each_other_are_taken_as_they_are() -> None:
    assert paired(WIDER, SQUARE) == (WIDER, SQUARE)
