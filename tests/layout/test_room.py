"""Form = wood + stone + resin, at every height and for every layout."""

from itertools import pairwise
from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.layout.boards import Layout, board, file_of, form, layouts, room
from workshop.layout.as_placed import BedPlace
from workshop.layout.placed import as_sawn
from workshop.layout.room import Filler
from workshop.trade.sawing import sawn_piece

BEVELLED = board("p1", 90, 90, "500, 100 mm", lower=(100, 100))
"""1 m long, 180 mm wide above and 200 mm below: a trapezium in section."""


@given(layouts())
def test_the_form_holds_its_wood_and_its_resin_and_nothing_else(layout: Layout) -> None:
    held = room(layout.file)
    level = held.level(0.0, layout.top)
    whole = held.length * held.width * layout.top
    assert level.form == pytest.approx(whole, rel=1e-12)
    assert level.wood == pytest.approx(sum(layout.wood), rel=1e-9)
    assert whole - sum(layout.wood) == pytest.approx(level.resin, rel=1e-9)


@given(layouts(), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4))
def test_lifts_together_are_the_whole_pour(layout: Layout, parts: list[float]) -> None:
    held = room(layout.file)
    heights = sorted({0.0, layout.top, *(part * layout.top for part in parts)})
    lifts = [held.level(low, high) for low, high in pairwise(heights)]
    assert sum(lift.resin for lift in lifts) == pytest.approx(held.level(0.0, layout.top).resin, rel=1e-9)


@given(st.floats(0.0, 0.049), st.floats(0.0005, 0.05))
def test_a_lift_beside_a_bevelled_edge_is_a_trapezium(low: float, depth: float) -> None:
    # Closed form: the board is 200 mm wide at the floor and 180 mm at 50 mm, even in between.
    high = min(0.05, low + depth)
    held = room(file_of(BEVELLED + form(1000, 300)))
    mean = 0.200 - 0.020 * (low + high) / 2 / 0.05
    resin = (0.300 - mean) * 1.0 * (high - low)
    assert held.level(low, high).resin == pytest.approx(resin, rel=1e-6)


@pytest.mark.parametrize("flip", [False, True])
def test_the_lower_lift_takes_less_where_the_board_is_wider_below(flip: bool) -> None:
    more = "flip = true\n" if flip else ""
    held = room(file_of(BEVELLED + more + form(1000, 300)))
    below, above = held.level(0.0, 0.025).resin, held.level(0.025, 0.05).resin
    wide, narrow = (0.300 - 0.195) * 0.025, (0.300 - 0.185) * 0.025
    assert (below, above) == pytest.approx((narrow, wide) if flip else (wide, narrow), rel=1e-6)


def test_above_a_thinner_piece_there_is_only_resin() -> None:
    thin = board("p2", 50, 50, "500, 250 mm").replace('"50 mm"', '"30 mm"')
    held = room(file_of(BEVELLED + thin + form(1000, 300)))
    assert held.wood_area(0.029) - held.wood_area(0.031) == pytest.approx(0.1, abs=1e-3)
    level = held.level(0.0, 0.06)
    assert level.wood == pytest.approx(0.190 * 0.05 + 0.1 * 0.03, rel=1e-9)
    assert held.level(0.05, 0.06).resin == pytest.approx(0.3 * 0.01, rel=1e-9)


def test_a_hole_in_the_wood_is_filled_with_resin() -> None:
    hole = 'holes = ["400, -10; 500, -10; 500, 10; 400, 10"]\n'
    whole = room(file_of(board("p1", 90, 90, "500, 100 mm") + form(1000, 300)))
    holed = room(file_of(board("p1", 90, 90, "500, 100 mm", hole) + form(1000, 300)))
    # 100 by 20 by 50 mm.
    more = holed.level(0.0, 0.05).resin - whole.level(0.0, 0.05).resin
    assert more == pytest.approx(0.1 * 0.02 * 0.05, rel=1e-9)


def test_a_hole_that_a_saw_line_opens_is_resin_as_far_as_it_is_left() -> None:
    lines = 'holes = ["0, -10; 100, -10; 100, 10; 0, 10"]\nsaw-lines = [{ id = "s1", square-at = 60 }]\n'
    held = room(file_of(board("p1", 90, 90, "500, 100 mm", lines) + form(1000, 300)))
    # 940 mm of board less the 40 mm of the hole that the line leaves.
    assert held.level(0.0, 0.05).wood == pytest.approx((0.94 * 0.18 - 0.04 * 0.02) * 0.05, rel=1e-9)


@pytest.mark.parametrize(
    ("hole", "area"),
    # Open at the left edge, 90 mm off the tape; and a slot right across, none of its corners in the wood.
    [
        ("400, 80; 500, 80; 500, 120; 400, 120", 0.1 * 0.010),
        ("400, -99; 420, -99; 420, 99; 400, 99", 0.02 * 0.18),
    ],
)
def test_a_hole_that_opens_at_an_edge_is_resin_as_far_as_there_was_wood(hole: str, area: float) -> None:
    file = file_of(board("p1", 90, 90, "500, 100 mm", f'holes = ["{hole}"]') + form(1000, 300))
    wood = (0.180 - area) * 0.05
    assert room(file).level(0.0, 0.05).wood == pytest.approx(wood, rel=1e-9)
    assert sawn_piece(as_sawn(file, "p1").pair, 0.05).volume == pytest.approx(wood, rel=1e-9)


def test_wood_on_the_same_place_displaces_resin_once() -> None:
    two = board("p1", 90, 90, "500, 100 mm") + board("p2", 50, 50, "500, 200 mm")
    held = room(file_of(two + form(1000, 300)))
    # From 10 to 190 mm and from 150 to 250 mm across: 240 mm together.
    assert held.level(0.0, 0.05).wood == pytest.approx(0.240 * 0.05, rel=1e-9)


@given(st.floats(-0.4, 0.4), st.floats(-0.25, 0.25))
def test_a_piece_counts_as_far_as_it_lies_in_the_form(x: float, y: float) -> None:
    place = f"{round(500 + 1000 * x, 2)}, {round(150 + 1000 * y, 2)} mm"
    held = room(file_of(board("p1", 90, 90, place) + form(1000, 300)))
    along = 1.0 - abs(round(1000 * x, 2)) / 1000
    off = round(150 + 1000 * y, 2) / 1000
    across = max(0.0, min(0.300, off + 0.090) - max(0.0, off - 0.090))
    assert held.level(0.0, 0.05).wood == pytest.approx(along * across * 0.05, rel=1e-9, abs=1e-12)


@given(st.integers(-180, 180), st.booleans())
def test_wood_wholly_inside_stays_the_same_however_it_is_turned(turn: int, flip: bool) -> None:
    piece = board("p1", 90, 70, "1000, 1000 mm", lower=(100, 85))
    turned = f'turn = "{turn}°"\nflip = {str(flip).lower()}\n'
    held = room(file_of(piece + turned + form(2000, 2000)))
    # Prismoid: 160 mm above, 185 mm below.
    assert held.level(0.0, 0.05).wood == pytest.approx(0.1725 * 0.05, rel=1e-9)


@given(st.integers(0, 90))
def test_a_turned_board_takes_its_corners_with_it(turn: int) -> None:
    held = room(file_of(board("p1", 90, 90, "1000, 1000 mm") + f'turn = "{turn}°"\n' + form(2000, 2000)))
    left, bottom, right, top = held.pieces[0].extent
    angle = radians(turn)
    assert right - left == pytest.approx(cos(angle) + 0.18 * sin(angle), abs=1e-9)
    assert top - bottom == pytest.approx(sin(angle) + 0.18 * cos(angle), abs=1e-9)


def test_stone_lies_off_wood_and_form_by_its_inset() -> None:
    held = room(file_of(board("p1", 90, 90, "500, 100 mm") + form(1000, 300)))
    bed = BedPlace("slate", None, 0.012, 0.0, 0.05)
    level = held.level(0.0, 0.05, (Filler(bed, 0.5),))
    # Strips of 10 and 110 mm beside the board; the wider one loses 12 mm at each side and end.
    assert level.stone == pytest.approx(0.5 * (1.0 - 0.024) * (0.110 - 0.024) * 0.05, rel=1e-6)
    assert level.form == pytest.approx(level.wood + level.stone + level.resin, rel=1e-12)


def test_a_bed_in_a_region_keeps_off_the_wood_and_the_form_alone() -> None:
    held = room(file_of(board("p1", 90, 90, "500, 100 mm") + form(1000, 300)))
    # From 200 to 280 mm across, 10 mm off the wood and 20 mm off the wall; from 100 mm to the right wall.
    region = ((0.1, 0.2), (1.0, 0.2), (1.0, 0.28), (0.1, 0.28))
    stone = held.level(0.0, 0.05, (Filler(BedPlace("slate", region, 0.012, 0.0, 0.05), 1.0),)).stone
    assert stone == pytest.approx((0.9 - 0.012) * (0.280 - 0.202) * 0.05, rel=1e-6)


def test_a_bed_is_no_higher_than_it_is_filled() -> None:
    held = room(file_of(board("p1", 90, 90, "500, 100 mm") + form(1000, 300)))
    bed = BedPlace("slate", None, 0.0, 0.006, 0.024)
    whole = held.level(0.0, 0.05, (Filler(bed, 0.54),)).stone
    assert whole == pytest.approx(0.54 * 0.120 * 0.018, rel=1e-6)
    lifts = [held.level(low, high, (Filler(bed, 0.54),)).stone for low, high in ((0, 0.01), (0.01, 0.05))]
    assert sum(lifts) == pytest.approx(whole, rel=1e-9)
