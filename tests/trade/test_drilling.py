"""A blind hole, and the screw in it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.drilling import blind_hole

lengths = st.floats(0, 0.05)


def test_a_hole_in_a_seat_of_45_mm_under_a_plate_of_5() -> None:
    # 45 less 8 kept and a point of 4: 33 at full width, the stop 37 above the tip, a screw of 38.
    held = blind_hole(0.045, through=0.005, keep=0.008, point=0.004)
    assert (held.depth, held.stop, held.longest_screw) == pytest.approx((0.033, 0.037, 0.038))


@given(st.floats(0.001, 0.1), lengths, lengths, lengths)
def test_what_is_to_stay_stays(part: float, through: float, keep: float, point: float) -> None:
    held = blind_hole(part, through, keep, point)
    assert held.depth >= 0
    assert held.depth == 0 or part - held.depth - point == pytest.approx(keep)
    assert held.longest_screw == pytest.approx(through + held.depth)


@pytest.mark.parametrize("wrong", [(0.0, 0.0), (0.045, -0.001)])
def test_a_hole_in_nothing_is_refused(wrong: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        blind_hole(*wrong)
