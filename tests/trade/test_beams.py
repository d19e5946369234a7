"""Tube and beams by their own symmetries; the tables are in tests/published."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.beams import frame_mass, sag_under_point_load, tube

widths = st.floats(0.02, 0.1)


@given(widths, widths, st.floats(0.001, 0.004))
def test_a_tube_is_stiffer_standing_than_lying(one: float, other: float, wall: float) -> None:
    standing, lying = (
        tube(min(one, other), max(one, other), wall),
        tube(max(one, other), min(one, other), wall),
    )
    assert standing.inertia >= lying.inertia * (1 - 1e-9)
    assert standing.area == pytest.approx(lying.area)


@given(st.floats(1, 1000), st.floats(0.1, 3), st.floats(1e-9, 1e-5))
def test_twice_the_span_sags_eight_times_as_far(force: float, span: float, inertia: float) -> None:
    once = sag_under_point_load(force, span, 210e9, inertia)
    assert sag_under_point_load(force, 2 * span, 210e9, inertia) == pytest.approx(8 * once)


def test_a_closed_frame_has_two_uprights_and_two_rails() -> None:
    held = tube(0.06, 0.04, 0.003)
    assert frame_mass(0.36, 0.39, held, density=1000) == pytest.approx(2 * 0.75 * held.area * 1000)


@pytest.mark.parametrize("sizes", [(0.0, 0.04, 0.002), (0.04, 0.04, 0.011), (0.04, 0.04, -0.001)])
def test_a_tube_that_cannot_be_is_refused(sizes: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        tube(*sizes)


def test_a_beam_without_stiffness_is_refused() -> None:
    with pytest.raises(ValueError, match="give all three"):
        sag_under_point_load(10, 1, 0, 1e-8)
