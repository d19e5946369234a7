"""Wood held down in liquid resin."""

from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.buoyancy import STANDARD_GRAVITY, hold_down

densities = st.floats(300, 1500)
volumes = st.floats(1e-5, 0.5)


@given(volumes, densities)
def test_wood_as_dense_as_resin_hangs_free(volume: float, density: float) -> None:
    held = hold_down(volume, density, density, each=10)
    assert held.float_force == pytest.approx(0, abs=1e-9)
    assert held.hold_downs == 0


@given(volumes, densities, densities, st.floats(0, 1))
def test_it_floats_where_the_resin_displaced_weighs_more(
    v: float, wood: float, resin: float, part: float
) -> None:
    held = hold_down(v, wood, resin, each=10, submerged=part)
    assert (held.float_force > 0) == (held.buoyancy > held.weight)
    assert held.float_force == pytest.approx(held.buoyancy - held.weight)


@given(volumes, st.floats(300, 900), st.floats(1000, 1200), st.floats(1, 200), st.floats(1, 4))
def test_the_hold_downs_carry_the_float_force_with_safety_and_not_one_is_idle(
    v: float, wood: float, resin: float, each: float, safety: float
) -> None:
    held = hold_down(v, wood, resin, each, safety=safety)
    assert held.hold_downs * each >= safety * held.float_force * (1 - 1e-6)
    assert (held.hold_downs - 1) * each < safety * held.float_force


def test_a_litre_of_wood_at_half_the_density_of_water_in_a_resin_like_water() -> None:
    # 1 L displaces 1 kg, weighs half a kg: half a kilogram-force upward.
    held = hold_down(0.001, 500, 1000, each=1.0, safety=1)
    assert held.float_force == pytest.approx(0.5 * STANDARD_GRAVITY)
    assert held.hold_downs == ceil(0.5 * STANDARD_GRAVITY)


def test_a_light_piece_barely_wet_still_rests_on_the_floor() -> None:
    held = hold_down(0.01, 690, 1100, each=50, submerged=0.3)
    assert held.float_force < 0
    assert held.hold_downs == 0


def test_the_safety_factor_is_not_in_the_float_force() -> None:
    assert hold_down(0.01, 690, 1100, 50, safety=1).float_force == hold_down(0.01, 690, 1100, 50).float_force


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((0.0, 690, 1100, 50), "volume"),
        ((0.01, 0, 1100, 50), "wood density"),
        ((0.01, 690, -1, 50), "resin density"),
        ((0.01, 690, 1100, 0), "hold-down"),
    ],
)
def test_impossible_pieces_are_refused(arguments: tuple[float, float, float, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        hold_down(*arguments)


def test_more_than_the_whole_cannot_be_submerged() -> None:
    with pytest.raises(ValueError, match="from 0 to 1"):
        hold_down(0.01, 690, 1100, 50, submerged=1.2)
