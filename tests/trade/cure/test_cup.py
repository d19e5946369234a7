"""A cup of mixed resin and a thin film: what data sheets state."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.cure.resins import CLASSES, COATING, LAMINATING, MEDIUM, SLOW
from workshop.trade.cure.cup import cup, cup_radius
from workshop.trade.cure.isothermal import film_conversion, film_time
from workshop.trade.cure.kinetics import Resin


def test_a_cup_of_fast_resin_comes_near_200_degrees() -> None:
    # Common practice: a trade safety note gives 204 °C for 100 g of a fast epoxy. Tolerance 30 K: no
    # constants come with it.
    for resin in (COATING, LAMINATING):
        assert float(cup(resin, 0.1, 25.0).peak[0]) == pytest.approx(204.0, abs=30.0)


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_more_resin_in_the_cup_is_hotter_and_sooner_done(name: str) -> None:
    run = cup(CLASSES[name], np.array([0.05, 0.1, 0.2, 0.5]), 25.0)
    assert (np.diff(run.peak) > 0).all()
    assert (np.diff(run.reaches(0.33)) < 0).all()


def test_a_film_of_resin_outlasts_its_cup() -> None:
    for resin in (COATING, MEDIUM, SLOW):
        assert float(cup(resin, 0.15, 25.0).reaches(0.33)[0]) < float(film_time(resin, 25.0, 0.33)[0])


def test_sets_of_constants_do_not_touch_each_other() -> None:
    rates = np.array([1.5e-4, 1.74e-4, 2.0e-4])
    together = cup(Resin(rates, 0.26, 372e3, 55.1e3, 58.0), 0.1, 25.0)
    for number, rate in enumerate(rates):
        alone = cup(Resin(float(rate), 0.26, 372e3, 55.1e3, 58.0), 0.1, 25.0)
        assert float(together.peak[number]) == pytest.approx(float(alone.peak[0]), abs=1e-6)
        assert float(together.reaches(0.32)[number]) == pytest.approx(float(alone.reaches(0.32)[0]), rel=1e-6)


def test_the_sphere_has_the_cup_volume_for_its_surface() -> None:
    volume = 1e-4
    wide = (4 * volume / np.pi) ** (1 / 3)
    assert float(cup_radius(volume)) / 3 == pytest.approx(volume / (1.5 * np.pi * wide**2))


@given(st.sampled_from(sorted(CLASSES)), st.floats(10.0, 40.0), st.floats(0.05, 0.9))
def test_a_film_takes_the_time_that_its_conversion_needs(name: str, warm: float, cured: float) -> None:
    taken = film_time(CLASSES[name], warm, cured)
    assert float(film_conversion(CLASSES[name], warm, taken)[0]) == pytest.approx(cured, abs=1e-6)


@given(st.sampled_from(sorted(CLASSES)), st.floats(10.0, 40.0), st.floats(0.05, 0.8), st.floats(0.01, 0.15))
def test_film_times_add_up(name: str, warm: float, cured: float, more: float) -> None:
    resin = CLASSES[name]
    parts = film_time(resin, warm, cured) + film_time(resin, warm, cured + more, cured)
    assert float(parts[0]) == pytest.approx(float(film_time(resin, warm, cured + more)[0]), rel=1e-4)


def test_a_cup_without_mass_is_refused() -> None:
    with pytest.raises(ValueError, match="mass is not above zero"):
        cup(SLOW, 0.0, 25.0)
