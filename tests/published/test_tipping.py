"""Tipping by static equilibrium: arithmetic of statics, no outside source; tolerance 1 % of the load."""

import pytest

from workshop.trade.buoyancy import STANDARD_GRAVITY
from workshop.trade.stability import edge_load, tipping_push


def test_a_table_of_50_kg_tips_under_150_kg_on_its_edge() -> None:
    # Arithmetic of statics: centre of gravity 300 mm inside the legs, load 100 mm outside: 150 kg.
    assert edge_load(50, 0.3, 0.1) / STANDARD_GRAVITY == pytest.approx(150, rel=0.01)


def test_a_push_as_high_as_the_centre_of_gravity_lies_inside_takes_the_whole_weight() -> None:
    # Arithmetic of statics: both levers alike. Exact.
    assert tipping_push(50, 0.3, 0.3) == pytest.approx(50 * STANDARD_GRAVITY)
