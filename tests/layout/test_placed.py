"""Where a piece lies: its mark at its place, turned, turned over, as planned or as the record says."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.layout.boards import Layout, board, file_of, form, layouts
from workshop.layout.placed import (
    PlacedPiece,
    extent,
    free_spans,
    merged,
    placed_piece,
    placed_pieces,
    spans_at,
)

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 0.2), (0.0, 0.2))


def lying(more: str = "", record: str = "", right: float = 60) -> PlacedPiece:
    """A board of 1 m by 160 mm, 100 mm left of its mark and 60 mm right of it."""
    text = board("p1", 100, right, "700, 200 mm", lower=(110, right + 10)) + more + form(1400, 400) + record
    return placed_piece(file_of(text), "p1")


def test_a_board_lies_along_the_form_with_its_mark_at_its_place() -> None:
    assert extent(lying().upper) == pytest.approx((0.2, 0.14, 1.2, 0.30))
    assert lying().mark == (0.7, 0.2)


def test_turned_half_round_left_is_near() -> None:
    assert extent(lying('turn = "180°"\n').upper) == pytest.approx((0.2, 0.10, 1.2, 0.26))


def test_turned_a_quarter_against_the_clock_the_tape_runs_across() -> None:
    assert extent(lying('turn = "90°"\n').upper) == pytest.approx((0.6, -0.3, 0.76, 0.7))
    assert lying('turn = "90°"\n').grain == pytest.approx(math.pi / 2)


def test_turned_over_the_lower_face_is_up_and_left_is_near() -> None:
    held = lying("flip = true\n")
    assert extent(held.upper) == pytest.approx((0.2, 0.09, 1.2, 0.27))
    assert extent(held.lower or ()) == pytest.approx((0.2, 0.10, 1.2, 0.26))


def test_the_left_edge_is_left_as_the_slab_lay() -> None:
    for more, y in (("", 0.30), ('turn = "180°"\n', 0.10)):
        assert {round(at[1], 6) for at in lying(more).edge("left", 0.05)} == {y}
    # Turned over, the face that was below is up: 110 mm off the tape.
    assert {round(at[1], 6) for at in lying("flip = true\n").edge("left", 0.05)} == {0.09}


@given(st.floats(0.0, 0.05))
def test_the_edge_at_a_height_lies_on_the_bevel(height: float) -> None:
    (y,) = {round(at[1], 9) for at in lying().edge("left", height)}
    assert y == pytest.approx(0.2 + 0.110 - 0.010 * height / 0.05, abs=1e-8)


def test_the_record_stands_before_the_plan() -> None:
    held = lying(record='[record.placed.p1]\nplace = "700, 210 mm"\nturn = "0°"\n')
    assert extent(held.upper) == pytest.approx((0.2, 0.15, 1.2, 0.31))


@given(layouts())
def test_a_piece_has_the_area_it_was_sawn_with(layout: Layout) -> None:
    pieces, words = placed_pieces(layout.file, "seat")
    assert words == ()
    assert len(pieces) == len(layout.wood)
    for piece in pieces:
        left, bottom, right, top = piece.extent
        assert left <= piece.mark[0] <= right
        assert bottom <= piece.mark[1] <= top


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ('[piece.p1]\ncasting = "seat"\n', "Where p1 lies"),
        ('[piece.p1]\ncasting = "seat"\nplace = "0, 0 mm"\n', "shape of p1 is not known"),
        (board("p1", 90, 80, "0, 0 mm", 'saw-lines = [{ id = "s1", square-at = 2000 }]'), "p1"),
        (
            board("p1", 90, 80, "0, 0 mm", 'saw-lines = [{ id = "s1", square-at = 20 }]').replace(
                'mark = "500, 0 mm"\n', ""
            ),
            "needs a mark",
        ),
    ],
)
def test_what_is_not_known_of_a_piece_is_said(text: str, word: str) -> None:
    pieces, words = placed_pieces(file_of(text + form(1000, 400)), "seat")
    if "square-at = 2000" in text:
        # The line passes the slab, and the mark stands on the slab's side of it.
        assert len(pieces) == 1
        return
    assert pieces == ()
    assert len(words) == 1
    assert word in words[0]


# Spans across


def test_a_line_across_a_piece_is_wood_between_its_edges() -> None:
    assert spans_at(SQUARE, 0.5) == ((0.0, 0.2),)
    assert spans_at(SQUARE, 1.5) == ()
    forked = ((0.0, 0.0), (1.0, 0.0), (0.5, 0.1), (1.0, 0.2), (0.0, 0.2))
    assert [end for span in spans_at(forked, 0.75) for end in span] == pytest.approx([0.0, 0.05, 0.15, 0.2])


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)).map(sorted).map(tuple), max_size=6))
def test_spans_that_touch_are_one(spans: list[tuple[float, float]]) -> None:
    found = merged(spans)
    assert all(one[1] < two[0] for one, two in pairwise(found))
    assert all(any(low <= one[0] and one[1] <= high for low, high in found) for one in spans)


def test_what_wood_leaves_across_is_free() -> None:
    piece = lying()
    for height, ends in ((0.05, [0.0, 0.14, 0.30, 0.4]), (0.0, [0.0, 0.13, 0.31, 0.4])):
        spans = free_spans((piece,), 0.7, 0.4, height)
        assert [end for span in spans for end in span] == pytest.approx(ends)
    assert free_spans((piece,), 0.7, 0.4, 0.06) == ((0.0, 0.4),)
