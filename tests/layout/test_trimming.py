"""The saw lines by which a piece ends at the walls, and what it could be sawn out of."""

from __future__ import annotations

import pytest

from tests.examples import example
from tests.layout.boards import seat
from workshop.layout.trimming import offers, trim_lines
from workshop.layout.troubles import troubles
from workshop.project import laying
from workshop.project.project import Project

BENCH = example("tarn-bench")


def trimmed(project: Project, name: str) -> Project:
    """The project with a piece trimmed to its form."""
    made = seat(project.file)
    piece = next(held for held in made.pieces if held.id == name)
    return laying.trimmed(project, name, trim_lines(project.file, made, piece))


def outside(project: Project, name: str) -> list[float]:
    """How far a piece sticks out of the form."""
    return [
        held.amount for held in troubles(seat(project.file)) if held.kind == "outside" and name in held.pieces
    ]


@pytest.mark.parametrize(("turn", "flip"), [(0.0, False), (0.2, False), (-0.15, True), (3.3, True)])
def test_a_trimmed_piece_ends_at_the_walls_however_it_lies(turn: float, flip: bool) -> None:
    laid = laying.turned_to(laying.moved(BENCH, "p1", 0.05, 0.06), "p1", turn)
    laid = laying.flipped(laid, "p1") if flip else laid
    assert outside(laid, "p1")[0] > 0.02
    assert outside(trimmed(laid, "p1"), "p1") == []


def test_trimming_leaves_the_other_pieces_alone() -> None:
    laid = laying.moved(BENCH, "p1", 0.05, 0.0)
    before = {held.id: held.upper for held in seat(laid.file).pieces}
    after = {held.id: held.upper for held in seat(trimmed(laid, "p1").file).pieces}
    assert after["p2"] == before["p2"] and after["p1"] != before["p1"]


def test_a_piece_inside_the_form_needs_no_line() -> None:
    made = seat(BENCH.file)
    assert trim_lines(BENCH.file, made, made.pieces[0]) == ()


def test_a_mark_outside_the_form_says_so() -> None:
    laid = laying.placed_at(BENCH, "p1", (-0.05, 0.1))
    made = seat(laid.file)
    with pytest.raises(ValueError, match="mark of p1 lies outside the form"):
        trim_lines(laid.file, made, made.pieces[0])


def test_only_wood_as_long_as_the_piece_is_offered() -> None:
    assert offers(BENCH.file, "p1") == ()
    spare = {"length": "1500 mm", "width": "210 mm", "thickness": "52 mm"}
    more = BENCH.with_value(("slab", "spare"), spare).with_value(
        ("slab", "short"), {**spare, "length": "1 m"}
    )
    found = offers(more.file, "p1")
    assert [offer.offcut.slab for offer in found] == ["spare"]
    assert (found[0].length, found[0].width) == pytest.approx((1.5, 0.21))
