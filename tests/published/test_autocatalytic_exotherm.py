"""Another autocatalytic rate law, kept at 25 °C and left to warm itself, by this project's integrator.

Source: the affinity model after Cervera, Oliver and Prato, J. Eng. Mech. 125(9) (1999) 1018, with the
constants and the values printed in the test suite of an open finite-element code. Tolerance 2 %.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from workshop.trade.cure.column import column
from workshop.trade.cure.conduction import lay
from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.march import Tolerance, Trajectory, march
from workshop.trade.cure.surroundings import Top, steady


class Affinity:
    """da/dt = B1 (B2/D + a)(D - a) exp(-eta a/D) exp(E/R (1/298.15 - 1/T))."""

    def rate(self, temperature: Array, conversion: Array) -> Array:
        speed = np.exp(38300.0 / 8.314 * (1 / 298.15 - 1 / (temperature + 273.15)))
        left = np.maximum(0.85 - conversion, 0.0)
        return np.asarray(
            3.51861e-4 * (8.0e-6 / 0.85 + conversion) * left * np.exp(-7.4 * conversion / 0.85) * speed
        )

    def slopes(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array]:
        rate = self.rate(temperature, conversion)
        by_heat = rate * 38300.0 / 8.314 / (temperature + 273.15) ** 2
        by_conversion = (self.rate(temperature, conversion + 1e-7) - rate) / 1e-7
        return rate, by_heat, by_conversion

    def take(self, index: NDArray[np.intp]) -> Affinity:
        return self


def alone(rise: float, end: float) -> Trajectory:
    """One body that loses nothing and warms by `rise` for the whole reaction."""
    one = np.ones((1, 2))
    system = column(
        lay(0.01 * one, one),
        2e6 * one,
        rise * one,
        Affinity(),
        under=np.zeros(1),
        top=Top(film=0.0),
        air=steady(25.0),
    )
    start = np.array([[25.0, 25.0, 0.0, 0.0]])
    return march(
        system, start, start=0.0, end=end, tolerance=Tolerance(0.01, 1e-4, 1e-5), marks=(36000.0, 64800.0)
    )


def test_kept_at_25_degrees() -> None:
    run = alone(0.0, 208800.0)
    assert run.at(36000.0)[0, 2] == pytest.approx(0.10718, rel=0.02)
    assert run.at(208800.0)[0, 2] == pytest.approx(0.520334, rel=0.02)


def test_left_to_warm_itself() -> None:
    run = alone(509e3 * 400.0 / (2458.0 * 870.0), 97200.0)
    assert run.at(64800.0)[0, 0] == pytest.approx(74.122, rel=0.02)
    assert run.at(97200.0)[0, 0] == pytest.approx(85.938, rel=0.02)
