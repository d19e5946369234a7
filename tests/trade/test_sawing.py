"""Pieces sawn out of slabs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.face_pair import FacePair, Line, Ring, clipped, side_of
from workshop.trade.outline import Point, outline_area
from workshop.trade.sawing import SawnPiece, plain_piece, sawn_piece

BOARD = ((0.0, -0.1), (1.0, -0.1), (1.0, 0.1), (0.0, 0.1))
"""1000 x 200 mm, the tape down its middle."""


def sawn(*lines: Line, mark: Point, holes: tuple[Ring, ...] = (), lower: Ring = BOARD) -> SawnPiece:
    """The piece of the board round a mark, 50 mm thick."""
    sides = tuple(side_of(line, mark) for line in lines)
    return sawn_piece(FacePair(lower, BOARD, sides, holes), 0.05)


def across(at: float) -> Line:
    return (at, 0.0), (at, 1.0)


@given(st.floats(0.01, 0.99), st.floats(-1, 1), st.floats(-1, 1))
def test_a_saw_cut_parts_a_board_without_loss(at: float, lean_1: float, lean_2: float) -> None:
    line = ((at + lean_1, -1.0), (at + lean_2, 1.0))
    middle = at + (lean_1 + lean_2) / 2
    sides = [clipped(BOARD, [side_of(line, (middle + off, 0.0))]) for off in (-5, 5)]
    assert sum(outline_area(side) for side in sides if len(side) >= 3) == pytest.approx(0.2, abs=1e-9)


def test_a_board_cut_to_length() -> None:
    piece = sawn(across(0.1), across(0.9), mark=(0.5, 0.0))
    assert piece.area == pytest.approx(0.8 * 0.2)
    assert piece.volume == pytest.approx(0.8 * 0.2 * 0.05)
    assert piece.end_grain == pytest.approx(2 * 0.2 * 0.05)
    assert piece.edge == pytest.approx(2 * 0.8 * 0.05)


def test_a_kerf_comes_off_the_piece_that_it_is_taken_from() -> None:
    side = side_of(across(0.5), (0.2, 0.0), 0.001)
    assert outline_area(clipped(BOARD, [side])) == pytest.approx(0.499 * 0.2)


def test_a_piece_known_by_its_measures_is_as_large_as_the_same_sawn() -> None:
    plain, piece = plain_piece(1.0, 0.2, 0.05), sawn(mark=(0.5, 0.0))
    for name in ("volume", "area", "end_grain", "edge", "thickness"):
        assert getattr(plain, name) == pytest.approx(getattr(piece, name))


def test_only_a_hole_inside_the_piece_is_taken_off() -> None:
    hole = ((0.20, 0.0), (0.24, 0.0), (0.24, 0.05), (0.20, 0.05))
    with_hole = sawn(across(0.5), mark=(0.2, -0.05), holes=(hole,))
    without = sawn(across(0.5), mark=(0.8, 0.0), holes=(hole,))
    assert without.volume - with_hole.volume == pytest.approx(0.04 * 0.05 * 0.05)


def test_a_bevelled_board_lies_between_its_faces() -> None:
    piece = sawn(mark=(0.5, 0.0), lower=tuple((x, 1.2 * y) for x, y in BOARD))
    assert 0.2 * 0.05 < piece.volume < 0.24 * 0.05


def test_a_mark_on_a_saw_line_is_refused() -> None:
    with pytest.raises(ValueError, match="well inside"):
        sawn(across(0.5), mark=(0.5, 0.05))
    with pytest.raises(ValueError, match="leave nothing"):
        sawn(across(2.0), mark=(3.0, 0.0))
