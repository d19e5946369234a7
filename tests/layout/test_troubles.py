"""Pieces that overlap, stick out, or leave a gap that resin does not run into."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.layout.boards import Layout, board, file_of, form, layouts, seat
from workshop.layout.troubles import SEAM, Gap, Trouble, gaps, troubles

NEAR = board("p1", 80, 80, "500, 80 mm")
"""From the near wall to 160 mm across."""


def found(text: str, least_gap: float = 0.003) -> tuple[Trouble, ...]:
    return troubles(seat(file_of(text)), least_gap)


def kinds(*text: str) -> set[tuple[str, tuple[str, ...]]]:
    return {(trouble.kind, trouble.pieces) for trouble in found("".join(text) + form(1000, 400))}


def gap_between(text: str, *pieces: str) -> Gap:
    every = gaps(seat(file_of(text + form(1000, 400))))
    return next(gap for gap in every if gap.pieces == pieces and gap.wall is None)


def far(off: float, more: str = "", **lower: tuple[float, float]) -> str:
    """A second board of 160 mm whose near edge lies so far (mm) off the first one."""
    return board("p2", 80, 80, f"500, {round(240 + off, 4)} mm", more, **lower)


def test_boards_side_by_side_and_inside_are_no_trouble() -> None:
    assert kinds(NEAR, far(0)) == set()
    assert kinds(NEAR, far(50)) == set()


@given(layouts())
def test_pieces_far_apart_are_no_trouble(layout: Layout) -> None:
    assert troubles(seat(layout.file)) == ()


@given(st.integers(1, 100))
def test_what_overlaps_is_found_with_how_far(by: int) -> None:
    (trouble,) = found(NEAR + far(-by) + form(1000, 400))
    assert (trouble.kind, trouble.pieces) == ("overlap", ("p1", "p2"))
    assert trouble.amount == pytest.approx(by / 1000, rel=1e-6)
    assert 0.160 - by / 1000 <= trouble.at[1] <= 0.160


def test_bevels_that_cross_at_the_floor_overlap_though_the_upper_faces_do_not() -> None:
    bevelled = far(10, lower=(95, 95))
    assert gap_between(NEAR + bevelled, "p1", "p2").width == 0
    (trouble,) = found(NEAR + bevelled + form(1000, 410))
    assert trouble.kind == "overlap"
    assert trouble.amount == pytest.approx(0.005, rel=1e-6)


@given(st.integers(4, 100))
def test_what_sticks_out_is_found_with_its_wall(by: int) -> None:
    (trouble,) = found(board("p1", 80, 80, f"500, {round(320 + by / 10, 1)} mm") + form(1000, 400))
    assert (trouble.kind, trouble.pieces, trouble.wall) == ("outside", ("p1",), "far")
    assert trouble.amount == pytest.approx(by / 10_000, rel=1e-6)


def test_a_lower_edge_that_sticks_out_is_found_too() -> None:
    (trouble,) = found(board("p1", 80, 80, "500, 80 mm", lower=(80, 92)) + form(1000, 400))
    assert (trouble.kind, trouble.wall) == ("outside", "near")
    assert trouble.amount == pytest.approx(0.012)


@pytest.mark.parametrize(("off", "kind"), [(0.0, None), (0.2, None), (2.0, "narrow"), (3.1, None)])
def test_a_gap_is_closed_or_wide_enough_or_narrow(off: float, kind: str | None) -> None:
    assert {held for held, _ in kinds(NEAR, far(off))} == ({kind} if kind else set())


def test_the_resins_sheet_says_what_is_narrow() -> None:
    text = NEAR + far(5) + form(1000, 400)
    assert found(text) == ()
    (trouble,) = found(text, 0.006)
    assert trouble.amount == pytest.approx(0.005)
    assert trouble.at[1] == pytest.approx(0.1625)


def test_a_gap_to_the_wall_counts_as_one_between_pieces_does() -> None:
    (trouble,) = found(NEAR + form(1000, 162))
    assert (trouble.kind, trouble.pieces, trouble.wall) == ("narrow", ("p1",), "far")
    assert trouble.amount == pytest.approx(0.002)


@given(st.integers(0, 300), st.integers(0, 60))
def test_the_narrowest_gap_is_at_the_face_where_the_edges_come_nearest(off: int, bevel: int) -> None:
    text = NEAR + far(off, lower=(80 + bevel, 80 + bevel))
    assert gap_between(text, "p1", "p2").width == pytest.approx(max(0, off - bevel) / 1000, abs=1e-9)


def test_unlike_thick_boards_are_compared_at_the_same_heights() -> None:
    # From floor to upper face, 50 mm up, the thick one draws back from 160 to 120 mm across; the thin one
    # ends at 25 mm, where the thick one has drawn back by half of that only.
    thick = board("p1", 40, 80, "500, 80 mm", lower=(80, 80))
    thin = board("p2", 80, 70, "500, 240 mm", lower=(80, 30)).replace('"50 mm"', '"25 mm"')
    # At the floor 160 and 210 mm, at 25 mm 140 and 170 mm.
    assert gap_between(thick + thin, "p1", "p2").width == pytest.approx(0.030, abs=1e-9)
    over = thin.replace("right = 70", "right = 105")
    (trouble,) = found(thick + over + form(1000, 400))
    assert trouble.amount == pytest.approx(0.005, rel=1e-6)


def test_walls_are_only_compared_where_the_form_is_known() -> None:
    lonely = seat(file_of(NEAR + "[casting.seat]\n"))
    assert troubles(lonely) == ()
    assert gaps(lonely) == ()
    assert SEAM < 0.003
