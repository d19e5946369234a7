"""Resin to mix for a form."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.resin_volume import resin_volume

fractions = st.floats(0, 0.2)
volumes = st.floats(1e-4, 0.05)


@given(volumes)
def test_without_losses_the_resin_is_the_room_left(form: float) -> None:
    assert resin_volume(form).total == form


@given(volumes, st.floats(0, 0.5), st.floats(0, 0.4), st.floats(0, 1e-3), fractions, fractions, fractions)
def test_the_parts_add_up(
    form: float, wood: float, stone: float, soak: float, shrinkage: float, residue: float, reserve: float
) -> None:
    r = resin_volume(form, wood * form, stone * form, soak, shrinkage, residue, reserve, 1100)
    assert r.cavity + r.wood + r.bed_solid == pytest.approx(form)
    assert r.total == pytest.approx(r.cavity + r.shrinkage + r.soak + r.residue + r.reserve)
    assert r.mass == pytest.approx(r.total * 1100)


@given(volumes, fractions, fractions)
def test_what_leaves_the_buckets_fills_the_cavity_when_cured(
    form: float, shrinkage: float, residue: float
) -> None:
    r = resin_volume(form, shrinkage=shrinkage, residue=residue)
    assert r.total * (1 - residue) == pytest.approx(r.poured)
    assert r.poured * (1 - shrinkage) == pytest.approx(r.cavity)


@given(volumes, fractions, fractions)
def test_every_loss_asks_for_more(form: float, smaller: float, more: float) -> None:
    larger = smaller + more
    assert resin_volume(form, residue=larger).total >= resin_volume(form, residue=smaller).total
    assert resin_volume(form, shrinkage=larger).total >= resin_volume(form, shrinkage=smaller).total
    assert resin_volume(form, reserve=larger).total >= resin_volume(form, reserve=smaller).total


def test_a_tray_half_full_of_wood() -> None:
    # 1000 x 400 x 50 mm is 20 L; with 10 L of wood and 2 L of stone, 8 L of resin are left, and a tenth in
    # hand.
    r = resin_volume(1.0 * 0.4 * 0.05, wood=0.010, bed_solid=0.002, reserve=0.10)
    assert r.cavity == pytest.approx(0.008)
    assert r.total == pytest.approx(0.0088)


def test_wood_that_overfills_the_form_is_refused() -> None:
    with pytest.raises(ValueError, match="form larger"):
        resin_volume(0.02, wood=0.015, bed_solid=0.006)


@pytest.mark.parametrize("part", ["wood", "bed_solid", "soak", "shrinkage", "residue", "reserve"])
def test_no_part_is_negative(part: str) -> None:
    with pytest.raises(ValueError, match="give a"):
        resin_volume(0.02, **{part: -0.001})
