"""A form goes round its casting, its trim and its freeboard."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.form import fixings_along, form_parts

sizes = st.floats(0.05, 3)


def test_the_form_of_a_seat() -> None:
    # 1400 x 400 x 52 with 20 mm of trim and 10 mm of freeboard, of 18 mm board: 1440 x 440 inside.
    held = form_parts(1.4, 0.4, 0.052, 0.018, trim=0.02, freeboard=0.01, spacing=0.18)
    floor, long, short = held.parts
    assert (floor.length, floor.width, floor.count) == pytest.approx((1.476, 0.476, 1))
    assert (long.length, long.width, long.count) == pytest.approx((1.476, 0.062, 2))
    assert (short.length, short.width, short.count) == pytest.approx((0.44, 0.062, 2))
    # 1440 at 180: 8 spaces, 9 fixings; 440 at 180: 3 spaces, 4 fixings; both twice.
    assert held.fixings == 2 * 9 + 2 * 4
    assert held.seam == pytest.approx(2 * (1.44 + 0.44) + 4 * 0.062)


@given(sizes, sizes, st.floats(0.01, 0.3), st.floats(0.006, 0.04))
def test_the_walls_close_the_form_and_stand_on_its_floor(l: float, w: float, d: float, board: float) -> None:  # noqa: E741
    floor, long, short = form_parts(l, w, d, board).parts
    assert long.length == floor.length
    assert short.length + 2 * board == pytest.approx(floor.width)


@given(st.floats(0.001, 10), st.floats(0.01, 1))
def test_no_two_fixings_stand_farther_apart_than_asked(length: float, spacing: float) -> None:
    spaces = fixings_along(length, spacing) - 1
    assert length / spaces <= spacing * (1 + 1e-6)
    assert spaces == 1 or length / (spaces - 1) > spacing * (1 - 1e-6)


def test_a_bead_is_round_and_a_fillet_is_half_a_square() -> None:
    held = form_parts(1.0, 1.0, 0.05, 0.018, bead=0.006)
    assert held.sealant == pytest.approx(1.2 * held.seam * pi * 0.006**2 / 4)
    filled = form_parts(1.0, 1.0, 0.05, 0.018, fillet=0.01)
    assert filled.sealant == pytest.approx(1.2 * filled.seam * 0.01**2 / 2)


@pytest.mark.parametrize("wrong", [{"length": 0.0}, {"board": -0.01}, {"spacing": 0.0}, {"trim": -0.01}])
def test_a_form_of_nothing_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        form_parts(**{"length": 1.0, "width": 0.4, "depth": 0.05, "board": 0.018, **wrong})
