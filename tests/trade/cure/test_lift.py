"""What must hold for a lift, whatever its resin and depth."""

import os

import numpy as np
import pytest

from tests.trade.cure.resins import CLASSES, COATING, LAMINATING, MEDIUM, SLOW, lift
from workshop.trade.cure.kinetics import Resin
from workshop.trade.cure.march import Tolerance
from workshop.trade.cure.materials import GLASS, GRANITE, PARTICLEBOARD, Material
from workshop.trade.cure.run import DAY, cure, temperature_to_reach
from workshop.trade.cure.stack import FLAT_ON_BENCH, RAISED, Bed, Floor, Lift, Plate, empty_form, pour
from workshop.trade.cure.states import STATES, Targets
from workshop.trade.cure.surroundings import Top, log_air, night_and_day, steady

SEARCH = os.environ.get("HYPOTHESIS_PROFILE") == "search"
"""All depths in steps of 0.5 mm and all temperatures; takes some minutes."""
DEPTHS = np.arange(1.0, 120.25, 0.5 if SEARCH else 7.0) / 1000
SHOPS = tuple(map(float, range(5, 36, 1 if SEARCH else 10)))


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_a_lift_that_loses_nothing_warms_by_its_heat(name: str) -> None:
    resin = CLASSES[name]
    still = Plate(1e-6, Material(1.0, 1e-9, 1.0))
    form = empty_form(Floor((still,), film=0.0), 21.0)
    run = cure(pour(form, Lift(0.05, resin, 21.0)), steady(21.0), top=Top(film=0.0), horizon=3 * DAY)
    rise = float(resin.heat) / float(resin.cp) * run.mean_conversion[:, 0]
    assert run.surface[:, 0] - 21.0 == pytest.approx(rise, abs=1e-3)
    assert run.mean_conversion[-1, 0] > 0.99


@pytest.mark.parametrize("depth", [0.006, 0.025, 0.06])
def test_heat_released_is_heat_kept_and_heat_lost(depth: float) -> None:
    # Tolerance 0.1 % of the heat released.
    form = empty_form(RAISED, 21.0)
    exact = Tolerance(2e-3, 1e-4, 1e-4)
    run = cure(pour(form, Lift(depth, MEDIUM, 21.0)), steady(21.0), horizon=DAY, tolerance=exact)
    widths, inert, time = run.layers.widths[0], run.layers.inert, run.trajectory.time[:, 0]
    held = run.layers.heat_capacity[0] * widths
    half = float(widths[0] / run.layers.conductivity[0, 0] / 2)
    points, weights = np.polynomial.legendre.leggauss(4)
    lost = 0.0
    for step in range(1, len(time)):
        part = ((points + 1) / 2)[:, None]
        _, fields = run.trajectory.between(np.array([step]), part)
        warm = fields[:, 0, : len(widths)]
        top, _ = Top().loss(warm[:, -1], np.full(len(warm), 21.0), np.ones(1))
        bottom = (warm[:, 0] - 21.0) / (1 / 5.0 + half)
        lost += float(weights @ (top + bottom)) / 2 * (time[step] - time[step - 1])
    kept = float(held @ (run.place.grid(run.trajectory.fields)[-1, 0, :, 0] - 21.0))
    cured = run.place.conversion(run.trajectory.fields)[-1, 0]
    released = float(held[inert:] * run.layers.rise[0] @ cured)
    assert kept + lost == pytest.approx(released, rel=1e-3)


@pytest.mark.parametrize("shop", SHOPS)
@pytest.mark.parametrize("name", sorted(CLASSES))
def test_a_deeper_lift_is_hotter_at_every_depth_and_temperature(name: str, shop: float) -> None:
    # Past a runaway the peak levels off, where a front meets the form's end even above the adiabatic rise;
    # there a kelvin of the mesh's error may show.
    run = lift(CLASSES[name], DEPTHS, shop)
    peak = run.peak
    assert np.isfinite(peak).all()
    assert (peak >= shop - 1e-6).all()
    assert (peak <= shop + 1.4 * float(CLASSES[name].adiabatic_rise)).all()
    assert (np.diff(peak) > np.where(peak[1:] < 120.0, -0.05, -1.0)).all()
    assert np.isfinite(run.states.gel).all()


def test_the_classes_keep_their_order() -> None:
    # Own calculation, no outside check: a sanity test of the order only.
    peaks = [float(lift(resin, 0.05).peak[0]) for resin in (LAMINATING, COATING, MEDIUM, SLOW)]
    assert peaks == sorted(peaks, reverse=True)


def test_a_coat_of_6_mm_stays_cool_and_one_of_12_does_not() -> None:
    # Common practice, no source: flood coats of 3 to 6 mm.
    assert float(lift(COATING, 0.006).peak[0]) < 60.0 < float(lift(COATING, 0.012).peak[0])


def test_a_better_insulating_form_is_hotter_and_feels_thickness_less() -> None:
    # J. Mater. Sci.: Mater. Med. 15 (2004) 85, abstract: measured on an acrylic; here the order alone.
    foam = Floor((Plate(0.05, Material(30.0, 0.03, 1400.0)),))
    plastic = Floor((Plate(0.05, Material(2200.0, 0.25, 1000.0)),))
    hot = [float(lift(COATING, depth, floor=foam).peak[0]) for depth in (0.006, 0.04)]
    cool = [float(lift(COATING, depth, floor=plastic).peak[0]) for depth in (0.006, 0.04)]
    assert hot[0] > cool[0] and hot[1] > cool[1]
    assert hot[1] - hot[0] < cool[1] - cool[0]


def test_a_form_flat_on_the_bench_is_hotter() -> None:
    assert float(lift(MEDIUM, 0.03, floor=FLAT_ON_BENCH).peak[0]) > float(lift(MEDIUM, 0.03).peak[0])


@pytest.mark.parametrize("stone", [GRANITE, GLASS])
def test_a_bed_takes_heat_in_and_gives_less(stone: Material) -> None:
    bare, filled = lift(MEDIUM, 0.03), lift(MEDIUM, 0.03, beds=(Bed(0.0, 0.02, 0.55, stone),))
    assert float(filled.peak[0]) < float(bare.peak[0]) - 5.0


@pytest.mark.parametrize("name", sorted(CLASSES))
@pytest.mark.parametrize("depth", [0.006, 0.02])
def test_states_come_in_their_order(name: str, depth: float) -> None:
    states = lift(CLASSES[name], depth).states
    later = [float(states.of(state)[0]) for state in STATES if state not in ("window_opens", "window_shuts")]
    assert later == sorted(later)
    assert states.central("gel") is not None


def test_gel_does_not_depend_on_the_cells() -> None:
    stack = empty_form(RAISED, 21.0)
    found = [
        float(cure(pour(stack, Lift(0.05, SLOW, 21.0), cells=cells), steady(21.0)).states.gel[0])
        for cells in (15, 30, 60)
    ]
    assert found == pytest.approx([found[-1]] * 3, rel=0.005)


def test_a_recoat_limit_shuts_the_window_earlier() -> None:
    stack = pour(empty_form(RAISED, 21.0), Lift(0.01, SLOW, 21.0))
    plain = cure(stack, steady(21.0)).states
    limited = cure(stack, steady(21.0), targets=Targets(recoat=20 * 3600.0)).states
    assert plain.window_shuts[0] > 20 * 3600.0 == limited.window_shuts[0]


def test_a_cold_thin_lift_never_hardens_and_says_what_would_do_it() -> None:
    run = lift(SLOW, 0.008, 8.0)
    assert run.states.central("demould") is None
    after = run.temperature_for("demould", within=14 * DAY)
    assert after is not None and after > 8.0
    warm = temperature_to_reach(SLOW, "demould", shop=8.0, within=14 * DAY)
    assert warm is not None and after < warm < 45.0
    # Kept there from the start it does get there in the time.
    held = lift(SLOW, 0.008, warm)
    assert held.states.central("demould") is not None
    assert float(held.states.demould[0]) <= 14 * DAY * 1.05


def test_what_no_warmth_can_reach_is_none() -> None:
    soft = Resin(2e-5, 0.4, 2.6e5, 53e3, 20.0)
    assert temperature_to_reach(soft, "demould", shop=15.0) is None


def test_a_warm_day_hurries_and_a_cold_night_slows() -> None:
    stack = pour(empty_form(RAISED, 21.0), Lift(0.02, MEDIUM, 21.0))
    plain = cure(stack, steady(21.0))
    swinging = cure(stack, night_and_day(17.0, 25.0, warmest=4 * 3600.0))
    warmer = cure(stack, log_air(((0.0, 21.0), (3600.0, 26.0), (DAY, 26.0))))
    assert float(plain.peak[0]) < float(swinging.peak[0]) < float(warmer.peak[0])
    assert float(warmer.states.gel[0]) < float(plain.states.gel[0])


def test_a_log_that_does_not_move_is_a_steady_shop() -> None:
    stack = pour(empty_form(RAISED, 21.0), Lift(0.02, MEDIUM, 21.0))
    flat = cure(stack, log_air(((0.0, 21.0), (3600.0, 21.0), (DAY, 21.0))), horizon=10 * DAY)
    plain = cure(stack, steady(21.0), horizon=10 * DAY)
    assert float(flat.peak[0]) == pytest.approx(float(plain.peak[0]), abs=0.05)
    assert float(flat.states.demould[0]) == pytest.approx(float(plain.states.demould[0]), rel=0.01)


def test_an_empty_form_and_an_impossible_lift_are_refused() -> None:
    with pytest.raises(ValueError, match="pour a lift first"):
        cure(empty_form(RAISED, 21.0), steady(21.0))
    with pytest.raises(ValueError, match="depth is not above zero"):
        Lift(0.0, MEDIUM, 21.0)
    with pytest.raises(ValueError, match="two heights that rise"):
        Bed(0.02, 0.01, 0.5, PARTICLEBOARD)
