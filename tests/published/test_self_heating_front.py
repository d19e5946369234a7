"""A front of reaction that heats its own way through a thin layer: source and conduction at their hardest.

Source: Liu, Zakoworotny, Geubelle and Kumar, 1-D frontal polymerization solver report, University of Illinois
(2023): 1.5149 mm/s on cells of 20 um, 1.57 mm/s refined. Here cells of
12.5 um, a shorter layer whose hot end stays hot while it is watched (0.7 s of the source's 1 s) and a looser
integrator, so as to take a second: tolerance 3 % of the refined speed, and 0.1 K of the adiabatic plateau,
T0 + H/cp (1 - a0) = 236.56 °C from 20 °C.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from workshop.trade.cure.column import Column, column
from workshop.trade.cure.conduction import lay
from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.march import Tolerance, march
from workshop.trade.cure.surroundings import Top, steady

CELL, CELLS = 12.5e-6, 96
K, DENSITY, CP, HEAT = 0.15, 980.0, 1600.0, 3.5e5
HOT, FIRST = 236.6, 0.01


class Frontal:
    """A exp(-E/RT) (1 - a)^n a^m / (1 + exp(C (a - ac)))."""

    def _rate(self, temperature: Array, conversion: Array) -> Array:
        speed = 8.55e15 * np.exp(-1.1075e5 / 8.314 / (np.maximum(temperature, -100.0) + 273.15))
        a = np.clip(conversion, 1e-6, 1.0)
        return np.asarray(speed * (1 - a) ** 1.72 * a**0.77 / (1 + np.exp(14.48 * (a - 0.41))))

    def rate(self, temperature: Array, conversion: Array) -> Array:
        return self._rate(temperature, conversion)

    def slopes(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array]:
        rate = self._rate(temperature, conversion)
        by_heat = rate * 1.1075e5 / 8.314 / (temperature + 273.15) ** 2
        a = np.clip(conversion, 1e-6, 1.0 - 1e-6)
        slow = np.exp(14.48 * (a - 0.41))
        return rate, by_heat, rate * (0.77 / a - 1.72 / (1 - a) - 14.48 * slow / (1 + slow))

    def take(self, index: NDArray[np.intp]) -> Frontal:
        return self


def layer(film: float) -> Column:
    one = np.ones((1, CELLS))
    return column(
        lay(CELL * one, K * one),
        DENSITY * CP * one,
        HEAT / CP * one,
        Frontal(),
        under=np.full(1, film),
        top=Top(film=0.0),
        air=steady(HOT),
    )


def test_the_front_runs_at_its_speed() -> None:
    fields = np.concatenate([np.full((1, CELLS), 20.0), np.full((1, CELLS), FIRST)], axis=1)
    loose = Tolerance(5.0, 1e-2, 1e-1, first_step=1e-4)
    run = march(layer(1e9), fields, start=0.0, end=0.7, tolerance=loose)
    # The front pulses as it goes: its speed is that of the line through all its places.
    even = np.linspace(0.15, 0.68, 400)
    places = np.interp(even, run.time[:, 0], (run.fields[:, 0, CELLS:] > 0.5).sum(1) * CELL)
    assert places[-1] < 0.95 * CELL * CELLS
    assert np.polyfit(even, places, 1)[0] == pytest.approx(1.57e-3, rel=0.03)


def test_a_layer_that_loses_nothing_ends_at_the_plateau() -> None:
    # Alight all at once, from 100 °C: its end is the start's heat and the reaction's, 236.56 + 80 °C.
    fields = np.concatenate([np.full((1, CELLS), 100.0), np.full((1, CELLS), FIRST)], axis=1)
    run = march(layer(0.0), fields, start=0.0, end=600.0)
    assert run.fields[-1, 0, :CELLS] == pytest.approx(236.56 + 80.0, abs=0.1)
