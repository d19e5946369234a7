"""A resin as far as it is known: by constants, or by its sheet and the pours that were logged.

SI units, temperatures in °C. Values that stand for one known resin are cached by what is known of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from workshop.trade.cure.kinetics import Array, Resin
from workshop.trade.cure.run import cure
from workshop.trade.cure.stack import RAISED, Lift, empty_form, pour
from workshop.trade.cure.surroundings import Top, steady
from workshop.trade.resin_fit import Draws, Fit, Pour, Sheet, fit

Case = Literal["central", "cold", "hot", "all"]
"""The likeliest resin, the ones that stand for the two ends of its band, or all that the sheet allows."""
DRAWS = 40
"""Resins that stand for the spread of what the sheet leaves open."""


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

    def draws(self, case: Case) -> Draws:
        """The draws of a case: the central one, the one in ten that is coldest or hottest, or all of them.

        Which draw is the cold and which the hot one is settled once, by the peak of a lift of 50 mm at 21 °C:
        a resin that runs hotter there runs hotter and sooner elsewhere too.
        """
        held = self.fitted
        if held is None:
            return Draws(_wide(self.central, 1), np.ones(1), np.zeros(1), np.ones(1))
        every = _draws(self.sheet, self.pours)
        if case == "all":
            return every
        if case == "central":
            return _some(every, (0,))
        ranked = _ranked(self.sheet, self.pours)
        tail = round(0.1 * (len(ranked) - 1))
        return _some(every, (ranked[tail if case == "cold" else -1 - tail],))


@lru_cache(maxsize=32)
def _ranked(sheet: Sheet, pours: tuple[Pour, ...]) -> tuple[int, ...]:
    draws = _draws(sheet, pours)
    stack = pour(empty_form(RAISED, 21.0), Lift(0.050, draws.resin, 21.0))
    run = cure(stack, steady(21.0, draws.shop), top=Top(scale=draws.film))
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
