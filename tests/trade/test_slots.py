"""A slot holds its bolt through the whole year."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.slots import CLEARANCE, slot

swings, bolts, parts = st.floats(-0.02, 0.02), st.floats(0.003, 0.02), st.floats(0, 1)


@given(swings, bolts, parts, parts)
def test_the_bolt_stays_in_its_slot_in_every_season(
    swing: float, bolt: float, set_at: float, now: float
) -> None:
    # Set at one season it wanders with the wood to another, and half the clearance stays at either end.
    held = slot(swing, bolt, set_at)
    middle = held.bolt_place + (now - set_at) * abs(swing)
    assert middle - bolt / 2 >= CLEARANCE / 2 - 1e-12
    assert held.length - middle - bolt / 2 >= CLEARANCE / 2 - 1e-12


@given(swings, bolts)
def test_in_the_middle_of_the_year_the_bolt_stands_in_the_middle(swing: float, bolt: float) -> None:
    held = slot(swing, bolt)
    assert held.bolt_place == pytest.approx(held.length / 2)


@pytest.mark.parametrize("wrong", [(0.003, 0.0, 0.5), (0.003, 0.006, 1.1), (0.003, 0.006, -0.1)])
def test_what_cannot_be_is_refused(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        slot(*wrong)
