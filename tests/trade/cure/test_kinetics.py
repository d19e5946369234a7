"""What must hold for the rate of cure and the glass transition."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.cure.resins import CLASSES, MEDIUM
from workshop.trade.cure.kinetics import Autocatalytic, Resin, conversion_at_tg, glass_transition

CONVERSIONS = st.floats(0.001, 0.995)
TEMPERATURES = st.floats(0.0, 250.0)


def law(resin: Resin) -> Autocatalytic:
    return Autocatalytic.of(resin)


@given(st.sampled_from(sorted(CLASSES)), TEMPERATURES, CONVERSIONS)
def test_the_slopes_are_those_of_the_rate(name: str, warm: float, cured: float) -> None:
    rates = law(CLASSES[name])
    at, alpha, small = np.array([[warm]]), np.array([[cured]]), 1e-5
    rate, by_heat, by_conversion = rates.slopes(at, alpha)
    assert rate == pytest.approx(rates.rate(at, alpha), rel=1e-12)
    heated = (rates.rate(at + small, alpha) - rates.rate(at - small, alpha)) / (2 * small)
    assert by_heat == pytest.approx(heated, rel=1e-5, abs=1e-16)
    step = small * (1.0 - cured)
    further = (rates.rate(at, alpha + step) - rates.rate(at, alpha - step)) / (2 * step)
    assert by_conversion == pytest.approx(further, rel=1e-4, abs=1e-3 * float(rate.item()))


@given(CONVERSIONS, st.floats(30.0, 90.0))
def test_a_conversion_and_its_glass_transition_give_each_other(cured: float, ultimate: float) -> None:
    glass = glass_transition(cured, -45.0, ultimate)
    assert -45.0 < float(glass) < ultimate
    assert float(conversion_at_tg(float(glass), -45.0, ultimate)) == pytest.approx(cured, rel=1e-9)


@given(st.sampled_from(sorted(CLASSES)), st.floats(10.0, 30.0))
def test_the_rate_about_doubles_for_ten_kelvin(name: str, warm: float) -> None:
    # Common practice, no source: pot life halves for each 10 K. Before glass plays a part.
    rates, fresh = law(CLASSES[name]), np.array([[0.05]])
    ratio = rates.rate(np.array([[warm + 10.0]]), fresh) / rates.rate(np.array([[warm]]), fresh)
    assert 1.8 < float(ratio.item()) < 2.4


@pytest.mark.parametrize(("activation", "ratio"), [(50e3, 1.97), (55e3, 2.11), (60e3, 2.25)])
def test_the_rate_from_20_to_30_degrees(activation: float, ratio: float) -> None:
    # Arrhenius by hand, to the two digits written here.
    rates = law(Resin(1e-4, 0.3, 3e5, activation, 400.0, tg0=-400.0))
    fresh = np.array([[0.0]])
    assert float((rates.rate(np.array([[30.0]]), fresh) / rates.rate(np.array([[20.0]]), fresh)).item()) == (
        pytest.approx(ratio, abs=0.006)
    )


def test_a_fully_cured_resin_stands_still() -> None:
    assert law(MEDIUM).rate(np.array([[80.0]]), np.array([[1.0]])).item() == 0.0


def test_a_constant_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="k25 is not above zero"):
        Resin(0.0, 0.3, 3e5, 55e3, 50.0)
    with pytest.raises(ValueError, match="tg1 does not lie above"):
        Resin(1e-4, 0.3, 3e5, 55e3, -60.0)
