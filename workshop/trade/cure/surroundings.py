"""The air of the shop over time, and how a surface gives its heat to it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from workshop.trade.cure.kinetics import KELVIN, Array, Values

__all__ = ["BOLTZMANN", "EMISSIVITY", "Air", "Top", "log_air", "night_and_day", "steady"]

BOLTZMANN: Final = 5.670374e-8
"""Stefan and Boltzmann's constant, W/(m2 K4)."""
EMISSIVITY: Final = 0.9
"""Of resin and wood."""
WARM_FACE: Final = 1.52
"""Natural convection above a face warmer than the air: h = 1.52 dT^(1/3), from memory (air form of
McAdams's turbulent correlation)."""
COLD_FACE: Final = 0.8
"""Above a face colder than the air: h = 0.8 dT^(1/4), from memory (0.59 (dT/L)^(1/4) at L = 0.3 m)."""
SHORTEST_LOOK: Final = 1800.0
"""s; changes of a logged temperature that are shorter may be stepped over once nothing else happens."""


@dataclass(frozen=True, slots=True)
class Air:
    """The shop's temperature against time, in s since the stack's clock started, and °C.

    `times` and `temperatures` are logged readings, straight between them and held before and after; one
    reading alone is a steady shop. `swing` adds a sine (half the way from low to high) of `period`, highest
    at `warmest`. `offset` is one value for each draw, added throughout.
    """

    times: tuple[float, ...]
    temperatures: tuple[float, ...]
    swing: float = 0.0
    warmest: float = 0.0
    period: float = 86400.0
    offset: Values = 0.0

    def __post_init__(self) -> None:
        if not self.times or len(self.times) != len(self.temperatures):
            raise ValueError(
                f"There are {len(self.times)} times and {len(self.temperatures)} temperatures of the air; "
                "give as many of each, one at the least."
            )
        if any(later <= earlier for earlier, later in pairwise(self.times)):
            raise ValueError("The times of the air's readings do not rise; put them in order, each once.")

    @property
    def draws(self) -> int:
        """How many draws the offsets stand for."""
        return int(np.size(self.offset))

    @property
    def shop(self) -> Array:
        """The temperature in °C that stands for the shop in the states: the mean over the readings' span."""
        if len(self.times) == 1:
            mean = self.temperatures[0]
        else:
            x, y = np.asarray(self.times), np.asarray(self.temperatures)
            mean = float(np.sum(np.diff(x) * (y[1:] + y[:-1]) / 2) / (x[-1] - x[0]))
        return np.atleast_1d(np.asarray(mean + np.asarray(self.offset), dtype=float))

    @property
    def longest_step(self) -> float:
        """s; the longest step that still sees every change."""
        longest = self.period / 8 if self.swing else float("inf")
        if len(self.times) > 1:
            longest = min(longest, max(SHORTEST_LOOK, float(np.diff(self.times).min())))
        return longest

    @property
    def calm(self) -> float:
        """s on the stack's clock after which the air changes no more; infinite where it swings."""
        return float("inf") if self.swing else self.times[-1]

    def at(self, time: Array, offset: Array) -> Array:
        """°C at the times of the draws, with the offsets of these draws."""
        if len(self.times) == 1 and not self.swing:
            return offset + self.temperatures[0]
        warm = offset + np.interp(time, self.times, self.temperatures)
        if self.swing:
            warm = warm + self.swing * np.cos(2 * np.pi * (time - self.warmest) / self.period)
        return np.asarray(warm, dtype=float)

    def slope(self, time: Array) -> Array | None:
        """K/s at the times of the draws; None where the shop is steady."""
        if len(self.times) == 1 and not self.swing:
            return None
        slope = np.zeros_like(time)
        if len(self.times) > 1:
            x, y = np.asarray(self.times), np.asarray(self.temperatures)
            rises = np.concatenate(([0.0], np.diff(y) / np.diff(x), [0.0]))
            slope = slope + rises[np.searchsorted(x, time, side="right")]
        if self.swing:
            turn = 2 * np.pi / self.period
            slope = slope - self.swing * turn * np.sin(turn * (time - self.warmest))
        return np.asarray(slope, dtype=float)


def steady(temperature: float, offset: Values = 0.0) -> Air:
    """A shop that keeps its temperature (°C)."""
    return Air((0.0,), (temperature,), offset=offset)


def night_and_day(low: float, high: float, warmest: float, offset: Values = 0.0) -> Air:
    """A shop that swings between the night's `low` and the day's `high` (°C), highest at `warmest` (s)."""
    if high < low:
        raise ValueError(f"The day's high {high:g} °C lies below the night's low {low:g} °C; swap them.")
    return Air((0.0,), ((low + high) / 2,), swing=(high - low) / 2, warmest=warmest, offset=offset)


def log_air(readings: tuple[tuple[float, float], ...], offset: Values = 0.0) -> Air:
    """A logged shop: (time in s, temperature in °C), straight between the readings, held after the last."""
    return Air(tuple(t for t, _ in readings), tuple(c for _, c in readings), offset=offset)


@dataclass(frozen=True, slots=True)
class Top:
    """The face that looks up: radiation and natural convection, or a plain film where `film` is given.

    `scale` multiplies either loss: 1 for the natural face in still air.
    """

    scale: Values = 1.0
    film: float | None = None
    """W/(m2 K); 0 is a face that loses nothing."""

    def loss(self, surface: Array, air: Array, scale: Array) -> tuple[Array, Array]:
        """W/m2 given off at these temperatures (°C), and how it changes with a kelvin of the surface."""
        gap = surface - air
        if self.film is not None:
            return self.film * scale * gap, self.film * scale + 0.0 * gap
        if gap.size == 1:
            one, slope = _natural(float(surface.item()), float(air.item()))
            return scale * one, scale * slope
        hot, cold = surface + KELVIN, air + KELVIN
        size = np.abs(gap)
        warm = gap > 0
        carried = np.where(warm, WARM_FACE * np.cbrt(size), COLD_FACE * np.sqrt(np.sqrt(size)))
        cube = hot * hot * hot
        cold2 = cold * cold
        loss = EMISSIVITY * BOLTZMANN * (cube * hot - cold2 * cold2) + carried * gap
        slope = 4 * EMISSIVITY * BOLTZMANN * cube + carried * np.where(warm, 4 / 3, 5 / 4)
        return scale * loss, scale * slope


def _natural(surface: float, air: float) -> tuple[float, float]:
    """The same for one draw, several times faster than on arrays of one value."""
    gap, hot, cold = surface - air, surface + KELVIN, air + KELVIN
    carried = WARM_FACE * gap ** (1 / 3) if gap > 0 else COLD_FACE * (-gap) ** 0.25
    radiated = EMISSIVITY * BOLTZMANN
    return (
        radiated * (hot**4 - cold**4) + carried * gap,
        4 * radiated * hot**3 + carried * (4 / 3 if gap > 0 else 5 / 4),
    )
