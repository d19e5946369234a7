"""Two-part mixing."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workshop.trade.mixing import (
    correct,
    mix_of_mass,
    mix_of_volume,
    mixed_density,
    ratio_by_volume,
    ratio_by_weight,
    sheet_disagreement,
    smaller_part_steps,
    volume_of_parts,
)

ratios = st.floats(0.2, 20)
densities = st.floats(800, 1600)
masses = st.floats(0.01, 50)


@given(ratios, densities, densities)
def test_a_ratio_converted_there_and_back_is_the_same(ratio: float, a: float, b: float) -> None:
    assert ratio_by_volume(ratio_by_weight(ratio, a, b), a, b) == pytest.approx(ratio)


@given(ratios, densities)
def test_parts_of_equal_density_have_one_ratio(ratio: float, density: float) -> None:
    assert ratio_by_weight(ratio, density, density) == pytest.approx(ratio)
    assert mixed_density(ratio, density, density) == pytest.approx(density)


@given(ratios, densities, densities)
def test_the_mix_is_no_denser_than_its_denser_part(ratio: float, a: float, b: float) -> None:
    assert min(a, b) * (1 - 1e-9) <= mixed_density(ratio, a, b) <= max(a, b) * (1 + 1e-9)


@given(masses, ratios, st.sampled_from(["weight", "volume"]), densities, densities, st.floats(0, 0.05))
def test_masses_and_volumes_of_the_parts_add_up(
    mass: float, ratio: float, by: str, a: float, b: float, tint: float
) -> None:
    mix = mix_of_mass(mass, ratio, by, a, b, tint)
    assert mix.mass_a + mix.mass_b == pytest.approx(mass)
    assert mix.volume_a is not None and mix.volume_b is not None
    assert mix.volume_a + mix.volume_b == pytest.approx(mix.volume)
    by_chosen = mix.mass_a / mix.mass_b if by == "weight" else mix.volume_a / mix.volume_b
    assert by_chosen == pytest.approx(ratio)
    assert mix.tint == pytest.approx(tint * mass)


@given(st.floats(1e-5, 0.1), ratios, st.sampled_from(["weight", "volume"]), densities, densities)
def test_a_mix_by_volume_fills_that_volume(volume: float, ratio: float, by: str, a: float, b: float) -> None:
    assert mix_of_volume(volume, ratio, by, a, b).volume == pytest.approx(volume)


def test_two_to_one_by_volume_on_a_mix_card() -> None:
    # Three litres at 2 : 1: two of A at 1.15 kg/L and one of B at 0.98 kg/L.
    mix = mix_of_volume(0.003, 2, "volume", 1150, 980)
    assert mix.mass_a == pytest.approx(2.30)
    assert mix.mass_b == pytest.approx(0.98)


def test_without_densities_a_mix_by_weight_has_masses_and_no_volumes() -> None:
    mix = mix_of_mass(1.425, 100 / 42.5, "weight")
    assert (mix.mass_a, mix.mass_b) == pytest.approx((1.0, 0.425))
    assert mix.volume is None and mix.volume_a is None and mix.density is None


def test_a_ratio_by_volume_is_not_weighed_without_densities() -> None:
    with pytest.raises(ValueError, match="density of part A"):
        mix_of_mass(1, 2, "volume")
    with pytest.raises(ValueError, match="or give its mass"):
        mix_of_volume(0.001, 2, "weight", None, 980)


def test_a_ratio_says_whether_it_is_by_weight_or_volume() -> None:
    with pytest.raises(ValueError, match="say which"):
        mix_of_mass(1, 2, "parts")


def test_tint_lies_on_top_of_the_mix() -> None:
    plain, tinted = mix_of_mass(1, 2, "weight"), mix_of_mass(1, 2, "weight", tint_fraction=0.02)
    assert tinted.tint == pytest.approx(0.02)
    assert (tinted.mass_a, tinted.mass_b) == (plain.mass_a, plain.mass_b)


@given(ratios, densities, densities)
def test_a_sheet_that_agrees_with_itself(ratio: float, a: float, b: float) -> None:
    assert sheet_disagreement(ratio * a / b, ratio, a, b) == pytest.approx(0, abs=1e-9)


def test_a_sheet_that_copied_one_ratio_for_both_disagrees_by_the_densities() -> None:
    assert sheet_disagreement(2, 2, 1150, 1000) == pytest.approx(1 / 1.15 - 1)


def test_scale_steps_of_the_smaller_part() -> None:
    assert smaller_part_steps(0.3, 0.1, 0.001) == pytest.approx(100)


@given(masses, masses, ratios)
def test_correcting_a_wrong_mix_restores_its_ratio(a: float, b: float, ratio: float) -> None:
    fix = correct(a, b, ratio)
    assert (a + fix.add_a) / (b + fix.add_b) == pytest.approx(ratio)
    assert fix.total == pytest.approx(a + b + fix.add_a + fix.add_b)


@given(masses, masses, ratios)
def test_only_the_part_that_is_short_is_added(a: float, b: float, ratio: float) -> None:
    fix = correct(a, b, ratio)
    assume(abs(fix.error) > 1e-9)
    assert (fix.add_a > 0) == (fix.error < 0)
    assert (fix.add_b > 0) == (fix.error > 0)


def test_ten_percent_too_little_hardener() -> None:
    # 2 : 1 by weight, 1000 g of A want 500 g of B and got 450 g.
    fix = correct(1.0, 0.45, 2)
    assert fix.add_b == pytest.approx(0.05)
    assert fix.add_a == 0
    assert fix.error == pytest.approx(1 / 0.9 - 1)
    assert fix.total == pytest.approx(1.5)


@given(masses, ratios, densities, densities)
def test_a_mix_takes_as_much_room_as_its_parts(mass: float, ratio: float, a: float, b: float) -> None:
    mix = mix_of_mass(mass, ratio, "weight", a, b)
    assert volume_of_parts(mix.mass_a, mix.mass_b, a, b) == pytest.approx(mix.volume)


def test_parts_of_unknown_density_are_taken_to_be_as_light_as_water() -> None:
    assert volume_of_parts(0.8, 0.4) == pytest.approx(0.0012)


@pytest.mark.parametrize(("a", "b", "ratio"), [(0, 1, 2), (1, 0, 2), (1, 1, 0)])
def test_an_empty_part_is_no_mix(a: float, b: float, ratio: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        correct(a, b, ratio)
