"""A resin's constants from its data sheet and test pours, with how far they may be off.

Damped Gauss-Newton on the parameters, each in standard deviations of what the class of resin says beforehand;
the covariance is the usual inverse of the normal matrix at the fit (Laplace's approximation).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from workshop.reference.resin_classes import resin_class
from workshop.trade.cure.kinetics import Array, Resin
from workshop.trade.resin_fit.draws import COUNT, Draws, drawn
from workshop.trade.resin_fit.evidence import Evidence, evidence
from workshop.trade.resin_fit.experiments import Seen, follow
from workshop.trade.resin_fit.parameters import PARAMETERS, constants, prior_mean, prior_sd
from workshop.trade.resin_fit.residuals import Residual, assumptions, residuals
from workshop.trade.resin_fit.sheet import Pour, Sheet, checked

__all__ = ["Fit", "fit", "prior"]

_STEP: Final = 0.2
"""Of a standard deviation, for the differences: well above the solver's own noise."""
_LONGEST: Final = 1.5
"""Standard deviations that a step may take one parameter."""
_FARTHEST: Final = 4.0
"""Standard deviations from what the class says beyond which no parameter goes."""
_ENOUGH: Final = 0.02
"""A step that promises less in the sum of squares is not taken."""
_MOST_LOOKS: Final = 6


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A resin as its sheet and its test pours have it."""

    central: Resin
    """The likeliest constants."""
    pot_conversion: float
    """Conversion at which the pot life ends."""
    mean: Array
    """Of the parameters, in the order and units of `PARAMETERS`."""
    covariance: Array
    residuals: tuple[Residual, ...]
    """One for each stated figure."""
    assumed: tuple[str, ...]
    """What was taken from the class of resin for want of the sheet, a sentence each."""
    indicative: bool
    """Whether the class's cure is only roughly the model's: polyester."""

    def draws(self, count: int = COUNT) -> Draws:
        """An ensemble of `count` equally likely resins, the same every time, the central one first."""
        gel, density = float(np.ravel(self.central.gel)[0]), float(np.ravel(self.central.density)[0])
        return drawn(self.mean, self.covariance, gel, density, count)


def fit(sheet: Sheet, pours: Sequence[Pour] = ()) -> Fit:
    """The constants that a data sheet and logged test pours make likeliest, with their covariance.

    A sheet whose figures contradict each other is fitted between them, and the residuals say so. Raises
    ValueError in one sentence for a sheet that cannot be used: an unknown class, a figure that is no figure,
    or a pot life without its mass (ASTM D2471).
    """
    return _fit(sheet, tuple(pours))


def prior(resin_class: str) -> Fit:
    """What the class of resin alone says. Raises ValueError for an unknown class."""
    return fit(Sheet(resin_class))


@lru_cache(maxsize=64)
def _fit(sheet: Sheet, pours: tuple[Pour, ...]) -> Fit:
    checked(sheet, pours)
    kind = resin_class(sheet.resin_class)
    stated = evidence(sheet, pours, kind)
    density = kind.density if sheet.density is None else sheet.density
    mean, sd = prior_mean(kind), prior_sd(kind)
    found = _settled(stated, mean, sd, kind.gel, density)
    central = constants(mean + sd * found.place, kind.gel, density)
    return Fit(
        _single(central.resin),
        float(central.pot_conversion[0]),
        mean + sd * found.place,
        found.covariance * np.outer(sd, sd),
        residuals(stated, found.seen, found.off, found.slopes, found.covariance, sheet, kind)
        if found.seen is not None
        else (),
        assumptions(sheet, kind),
        kind.indicative,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A place in the parameters, in standard deviations from the prior, and what is seen from there."""

    place: Array
    off: Array
    """The observations' residuals in their standard deviations."""
    slopes: Array
    covariance: Array
    seen: Seen | None


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """The model against the observations at a place, and how it changes with each parameter."""

    seen: Seen
    values: Array
    """Model less stated, on the scale of the comparison."""
    by_parameter: Array
    spread: Array
    """Standard deviations."""
    only_above: NDArray[np.bool_]

    def off(self, spread: Array) -> Array:
        """Residuals in given standard deviations."""
        plain = self.values / spread
        return np.where(self.only_above, np.maximum(plain, 0.0), plain)

    def slopes(self, spread: Array) -> Array:
        """How these residuals change with each parameter."""
        idle = self.only_above & (self.values <= 0.0)
        return np.where(idle[:, None], 0.0, self.by_parameter / spread[:, None])


def _look(stated: Evidence, place: Array, mean: Array, sd: Array, gel: float, density: float) -> _Look:
    """All cups and all lifts at the place, with each parameter moved, and a kelvin warmer."""
    width = len(place)
    rows = np.tile(place, (width + 2, 1))
    # Towards the prior, so that the look never leaves what a resin can be.
    moves = np.where(place > 0.0, -_STEP, _STEP)
    rows[1 : width + 1] += np.diag(moves)
    shift = np.zeros(width + 2)
    shift[-1] = 1.0
    ahead = constants(mean + sd * rows, gel, density)
    seen = follow(ahead, shift, stated.cups, stated.lifts, stated.keep)
    values, slopes, spreads = [], [], []
    for one in stated.observations:
        there, spread = one.measure(seen)
        own = float(np.ravel(spread)[0])
        # Near the depth at which a lift runs away a kelvin counts for more than the reading.
        warmer = one.kelvins * float(there[-1] - there[0])
        values.append(float(there[0]) - one.goal)
        slopes.append((there[1 : width + 1] - there[0]) / moves)
        spreads.append(float(np.hypot(own, warmer)))
    return _Look(
        seen,
        np.array(values),
        np.array(slopes),
        np.array(spreads),
        np.array([one.only_above for one in stated.observations]),
    )


def _settled(stated: Evidence, mean: Array, sd: Array, gel: float, density: float) -> _Found:
    width = len(PARAMETERS)
    place = np.zeros(width)
    if not stated.observations:
        return _Found(place, np.zeros(0), np.zeros((0, width)), np.eye(width), None)
    here = _look(stated, place, mean, sd, gel, density)
    damping = 0.0
    for _ in range(_MOST_LOOKS):
        off, slopes = here.off(here.spread), here.slopes(here.spread)
        normal, pull = slopes.T @ slopes + np.eye(width), slopes.T @ off + place
        step = -np.linalg.solve(normal + damping * np.diag(np.diag(normal)), pull)
        step *= min(1.0, _LONGEST / max(float(np.abs(step).max()), 1e-12))
        step = np.clip(place + step, -_FARTHEST, _FARTHEST) - place
        promised = -(2 * step @ pull + step @ normal @ step)
        if promised < _ENOUGH * (1.0 + off @ off):
            break
        try:
            there = _look(stated, place + step, mean, sd, gel, density)
        except ArithmeticError:
            damping = 4.0 * damping + 1.0
            continue
        before = off @ off + place @ place
        moved = there.off(here.spread)
        gained = before - moved @ moved - (place + step) @ (place + step)
        if gained > 0.0:
            place, here = place + step, there
            damping = 0.0 if gained > 0.5 * promised else damping
        else:
            damping = 4.0 * damping + 1.0
    off, slopes = here.off(here.spread), here.slopes(here.spread)
    covariance = np.asarray(np.linalg.inv(slopes.T @ slopes + np.eye(width)), dtype=float)
    return _Found(place, off, slopes, covariance, here.seen)


def _single(resin: Resin) -> Resin:
    return Resin(**{name: float(np.ravel(getattr(resin, name))[0]) for name in Resin.__slots__})
