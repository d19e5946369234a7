"""How far a piece goes one way until it touches something."""

from __future__ import annotations

import pytest

from tests.layout.boards import board, file_of, form, seat
from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.snapping import Way, stops, travel


def held(more: str = "", turn: str = "") -> CastingAsPlaced:
    """Two boards of 1 m by 100 mm in a form of 1400 by 500: their near edges at 50 and 300 mm."""
    boards = board("p1", 50, 50, "700, 100 mm") + board("p2", 50, 50, "700, 350 mm")
    if turn:
        boards = boards.replace("[piece.p1]", f'[piece.p1]\nturn = "{turn}"')
    return seat(file_of(boards + form(1400, 500) + more))


def piece(made: CastingAsPlaced, name: str = "p1") -> PlacedPiece:
    """One of the pieces."""
    return next(one for one in made.pieces if one.id == name)


@pytest.mark.parametrize(
    ("way", "found"),
    [
        ("near", [(0.05, "the near wall")]),
        ("left", [(0.2, "the left wall")]),
        ("right", [(0.2, "the right wall")]),
        ("far", [(0.15, "p2"), (0.35, "the far wall")]),
    ],
)
def test_walls_and_neighbours_stop_a_piece_the_nearest_first(
    way: Way, found: list[tuple[float, str]]
) -> None:
    made = held()
    assert [(round(stop.distance, 9), stop.what) for stop in stops(made, piece(made), way)] == found


def test_guides_and_trim_lines_stop_it_too() -> None:
    lines = """
[casting.seat]
guides = [{ id = "g1", y = "180 mm" }, { id = "g2", x = "150 mm" }]
cuts = [
    { id = "c1", kind = "trim line", x = "20 mm" },
    { id = "c2", kind = "trim line", x = "1380 mm" },
    { id = "c3", kind = "trim line", y = "30 mm" },
    { id = "c4", kind = "trim line", y = "470 mm" },
]
"""
    made = held(lines)
    found = [(round(stop.distance, 6), stop.what) for stop in stops(made, piece(made), "near")]
    assert found == [(0.02, "the trim line"), (0.05, "the near wall")]
    assert stops(made, piece(made), "far")[0].what == "guide g1"
    assert [stop.what for stop in stops(made, piece(made), "left")] == [
        "guide g2",
        "the trim line",
        "the left wall",
    ]


def test_what_it_touches_already_is_passed_over() -> None:
    made = seat(file_of(board("p1", 50, 50, "700, 50 mm") + form(1400, 500)))
    assert stops(made, piece(made), "near") == ()


def test_a_piece_that_goes_past_another_is_not_stopped_by_it() -> None:
    made = held()
    assert travel(piece(made), piece(made, "p2"), "right") is None
    assert travel(piece(made), piece(made, "p2"), "near") is None


def test_the_face_that_reaches_farther_touches_first() -> None:
    made = seat(
        file_of(
            board("p1", 50, 50, "700, 100 mm", lower=(60, 50))
            + board("p2", 50, 50, "700, 350 mm")
            + form(1400, 500)
        )
    )
    assert travel(piece(made), piece(made, "p2"), "far") == pytest.approx(0.14)


def test_a_corner_of_a_turned_piece_touches_with_its_tip() -> None:
    made = held(turn="10°")
    one, two = piece(made), piece(made, "p2")
    distance = travel(one, two, "far")
    assert distance == pytest.approx(0.3 - max(y for _, y in one.upper))
