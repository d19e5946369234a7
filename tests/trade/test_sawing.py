"""Pieces sawn out of slabs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.outline import outline_area
from workshop.trade.sawing import left_by, plain_piece, sawn_piece

BOARD = ((0.0, -0.1), (1.0, -0.1), (1.0, 0.1), (0.0, 0.1))
"""1000 x 200 mm, the tape down its middle."""


@given(st.floats(0.01, 0.99), st.floats(-1, 1), st.floats(-1, 1))
def test_a_saw_cut_parts_a_board_without_loss(at: float, lean_1: float, lean_2: float) -> None:
    line = ((at + lean_1, -1.0), (at + lean_2, 1.0))
    middle = at + (lean_1 + lean_2) / 2
    sides = [left_by(BOARD, line, (middle - 5, 0.0)), left_by(BOARD, line, (middle + 5, 0.0))]
    assert sum(outline_area(side) for side in sides if len(side) >= 3) == pytest.approx(0.2, abs=1e-9)


def test_a_board_cut_to_length() -> None:
    lines = (((0.1, 0.0), (0.1, 1.0)), ((0.9, 0.0), (0.9, 1.0)))
    piece = sawn_piece(BOARD, 0.05, lines=lines, mark=(0.5, 0.0))
    assert piece.area == pytest.approx(0.8 * 0.2)
    assert piece.volume == pytest.approx(0.8 * 0.2 * 0.05)
    assert piece.end_grain == pytest.approx(2 * 0.2 * 0.05)
    assert piece.edge == pytest.approx(2 * 0.8 * 0.05)


def test_a_piece_known_by_its_measures_is_as_large_as_the_same_sawn() -> None:
    plain, sawn = plain_piece(1.0, 0.2, 0.05), sawn_piece(BOARD, 0.05)
    for name in ("volume", "area", "end_grain", "edge", "thickness"):
        assert getattr(plain, name) == pytest.approx(getattr(sawn, name))


def test_only_a_hole_inside_the_piece_is_taken_off() -> None:
    hole = ((0.20, 0.0), (0.24, 0.0), (0.24, 0.05), (0.20, 0.05))
    line = (((0.5, -1.0), (0.5, 1.0)),)
    with_hole = sawn_piece(BOARD, 0.05, lines=line, mark=(0.2, -0.05), holes=(hole,))
    without = sawn_piece(BOARD, 0.05, lines=line, mark=(0.8, 0.0), holes=(hole,))
    assert without.volume - with_hole.volume == pytest.approx(0.04 * 0.05 * 0.05)


def test_a_bevelled_board_lies_between_its_faces() -> None:
    wider = tuple((x, 1.2 * y) for x, y in BOARD)
    piece = sawn_piece(BOARD, 0.05, wider)
    assert 0.2 * 0.05 < piece.volume < 0.24 * 0.05


def test_a_mark_on_a_saw_line_is_refused() -> None:
    with pytest.raises(ValueError, match="well inside"):
        sawn_piece(BOARD, 0.05, lines=(((0.5, 0.0), (0.5, 1.0)),), mark=(0.5, 0.05))
    with pytest.raises(ValueError, match="needs a mark"):
        sawn_piece(BOARD, 0.05, lines=(((0.5, 0.0), (0.5, 1.0)),))
    with pytest.raises(ValueError, match="leave nothing"):
        sawn_piece(BOARD, 0.05, lines=(((2.0, 0.0), (2.0, 1.0)),), mark=(3.0, 0.0))
