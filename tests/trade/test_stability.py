"""Tipping follows its levers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.buoyancy import STANDARD_GRAVITY
from workshop.trade.stability import edge_load, tipping_push

masses, levers = st.floats(1, 300), st.floats(0.01, 2)


@given(masses, levers, levers)
def test_load_and_weight_balance_about_the_feet(mass: float, inside: float, outside: float) -> None:
    assert edge_load(mass, inside, outside) * outside == pytest.approx(mass * STANDARD_GRAVITY * inside)
    assert tipping_push(mass, inside, outside) == pytest.approx(edge_load(mass, inside, outside))


@given(masses, levers, levers)
def test_wider_feet_stand_firmer(mass: float, inside: float, outside: float) -> None:
    assert edge_load(mass, 2 * inside, outside) > edge_load(mass, inside, outside)


@pytest.mark.parametrize("wrong", [(0, 0.3, 0.1), (50, 0, 0.1), (50, 0.3, 0)])
def test_a_lever_of_nothing_is_refused(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        edge_load(*wrong)
