"""A resin as far as it is known: by constants, or by its sheet and the pours that were logged.

SI units, temperatures in °C. Values that stand for one known resin are cached by what is known of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import Final, Literal

import numpy as np

from workshop.trade.cure.kinetics import Array, Resin
from workshop.trade.cure.states import Band
from workshop.trade.resin_fit import Draws, Fit, Pour, Sheet, fit, pot_life_of
from workshop.trade.resin_fit.experiments import raised_lift

DRAWS: Final = 40
"""Resins that stand for the spread of what the sheet leaves open."""
RANKED_AT: Final = (0.004, 0.006, 0.009, 0.013, 0.02, 0.03, 0.045, 0.07, 0.1, 0.15)
"""m, depths at which the draws are put in order of their peaks."""
RANKED_EACH: Final = 5.0
"""K between two shops at which they are."""


@dataclass(frozen=True, slots=True)
class KnownResin:
    """What is known of a resin: either its constants, or a sheet with logged pours."""

    sheet: Sheet | None = None
    pours: tuple[Pour, ...] = ()
    constants: Resin | None = None
    """Single values; then nothing of the sheet counts, and there is no spread."""

    @property
    def fitted(self) -> Fit | None:
        """The fit of its sheet; None where the constants are given."""
        return None if self.constants is not None or self.sheet is None else _fit(self.sheet, self.pours)

    @property
    def central(self) -> Resin:
        """The likeliest constants. Raises ValueError where neither constants nor sheet are known."""
        if self.constants is not None:
            return self.constants
        held = self.fitted
        if held is None:
            raise ValueError("Nothing is known of the resin; give its class, its sheet or its constants.")
        return held.central

    @property
    def spread(self) -> bool:
        """Whether the constants are uncertain."""
        return self.constants is None

    def draws(self, which: Literal["central", "all"] | int) -> Draws:
        """The draws to follow: the central one, all of them, or one by its number."""
        held = self.fitted
        if held is None:
            return Draws(_wide(self.central, 1), np.ones(1), np.zeros(1), np.ones(1))
        every = _draws(self.sheet, self.pours)
        if which == "all":
            return every
        return _some(every, (0 if which == "central" else which,))

    def end(self, case: Literal["cold", "hot"], depth: float, temperature: float) -> int:
        """The number of the draw that stands for the cold or the hot end of the band.

        One in ten is colder, or hotter, as a lone lift of about this depth (m) and temperature (°C).
        The depth matters: which resin runs hot in a thin lift is a matter of its speed, in a thick one of
        its heat.
        """
        if not self.spread:
            return 0
        near = min(RANKED_AT, key=lambda held: abs(log(held / depth)))
        ranked = _ranked(self.sheet, self.pours, near, RANKED_EACH * round(temperature / RANKED_EACH))
        tail = round(0.1 * (len(ranked) - 1))
        return ranked[tail if case == "cold" else -1 - tail]

    def pot_life(self, mass: float, temperature: float) -> Band | None:
        """Seconds that a `mass` (kg) mixed at a temperature (°C) can be poured, by the heat of its bucket.

        None where the constants alone are known, which do not say at what conversion a pot life ends.
        """
        held = self.fitted
        return None if held is None else _pot_life(held, mass, temperature)


@lru_cache(maxsize=256)
def _pot_life(held: Fit, mass: float, temperature: float) -> Band:
    return pot_life_of(held, mass, temperature)


@lru_cache(maxsize=256)
def _ranked(sheet: Sheet, pours: tuple[Pour, ...], depth: float, temperature: float) -> tuple[int, ...]:
    draws = _draws(sheet, pours)
    run = raised_lift(draws.resin, depth, temperature + draws.shop, draws.film)
    return tuple(int(number) for number in np.argsort(run.peak))


@lru_cache(maxsize=32)
def _fit(sheet: Sheet, pours: tuple[Pour, ...]) -> Fit:
    return fit(sheet, pours)


@lru_cache(maxsize=32)
def _draws(sheet: Sheet, pours: tuple[Pour, ...]) -> Draws:
    return _fit(sheet, pours).draws(DRAWS)


def _wide(resin: Resin, count: int) -> Resin:
    def wide(value: float | Array) -> Array:
        return np.broadcast_to(np.atleast_1d(np.asarray(value, dtype=float)), (count,)).copy()

    return Resin(**{name: wide(getattr(resin, name)) for name in Resin.__slots__})


def _some(draws: Draws, numbers: tuple[int, ...]) -> Draws:
    """Some draws of an ensemble alone."""

    def pick(value: float | Array) -> Array:
        held = np.atleast_1d(np.asarray(value, dtype=float))
        return np.asarray(held[[min(number, held.size - 1) for number in numbers]])

    resin = Resin(**{name: pick(getattr(draws.resin, name)) for name in Resin.__slots__})
    return Draws(resin, pick(draws.pot_conversion), pick(draws.shop), pick(draws.film))
