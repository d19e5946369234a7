"""Cure age: how long a resin would have cured at its reference temperature to be as far as it is.

ASTM C1074's equivalent age with Arrhenius weighting (the age of concrete, whose idea is taken over): the sum
over the readings of exp(-E/R (1/T - 1/T_ref)) dt.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import ceil, exp
from typing import Final, Literal

import numpy as np

from workshop.trade.cure.kinetics import DIFFUSION_SHIFT, GAS, KELVIN, Resin, conversion_at_tg

__all__ = ["Interpolation", "cure_age", "glass_age", "rate_ratio", "time_left"]

Interpolation = Literal["linear", "step"]
LONGEST: Final = 1800.0
"""s of a stretch over which the rate's curve is integrated at once."""
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


def rate_ratio(temperature: float, activation: float, reference: float) -> float:
    """How much faster the cure goes at a temperature than at the reference, both °C, activation in J/mol."""
    return exp(-activation / GAS * (1.0 / (temperature + KELVIN) - 1.0 / (reference + KELVIN)))


def cure_age(
    readings: Sequence[tuple[float, float]],
    activation: float,
    reference: float,
    *,
    least: float | None = None,
    interpolation: Interpolation = "linear",
    most: Callable[[float], float] | None = None,
) -> float:
    """Cure age in s of readings (time in s, temperature in °C) in order of time.

    Between readings the temperature runs straight (`linear`), or stays at each until the next (`step`). Below
    `least` (°C) nothing is credited. `most` gives the greatest age that a temperature can bring the resin to
    before it turns to glass (`glass_age`): past it nothing is credited either.
    """
    if len(readings) < 2:
        raise ValueError(f"There are {len(readings)} readings; the age needs two at the least.")
    if activation <= 0:
        raise ValueError(f"The activation energy is {activation:g} J/mol; give one above zero.")
    age = 0.0
    for (t0, c0), (t1, c1) in pairwise(readings):
        if t1 < t0:
            raise ValueError(
                f"The reading at {t1:g} s comes after the one at {t0:g} s; put the readings in order."
            )
        end = c0 if interpolation == "step" else c1
        for begin, stop in _credited(c0, end, least):
            pieces = max(1, ceil((stop - begin) * (t1 - t0) / LONGEST))
            width = (stop - begin) / pieces
            for piece in range(pieces):
                middle = begin + (piece + 0.5) * width
                if most is not None and age >= most(c0 + middle * (end - c0)):
                    continue
                for node, weight in zip(_NODES, _WEIGHTS, strict=True):
                    warm = c0 + (middle + 0.5 * width * float(node)) * (end - c0)
                    age += 0.5 * float(weight) * width * (t1 - t0) * rate_ratio(warm, activation, reference)
    return age


def _credited(first: float, last: float, least: float | None) -> list[tuple[float, float]]:
    """The parts of the way from one temperature to another, straight, that lie at `least` or above."""
    if least is None or min(first, last) >= least:
        return [(0.0, 1.0)]
    if max(first, last) < least:
        return []
    crossing = (least - first) / (last - first)
    return [(crossing, 1.0)] if last > first else [(0.0, crossing)]


def time_left(age: float, temperature: float, activation: float, reference: float) -> float:
    """Seconds on the clock that an `age` (s) still to come takes at a temperature (°C)."""
    return age / rate_ratio(temperature, activation, reference)


def glass_age(resin: Resin, temperature: float, reference: float) -> float:
    """The greatest cure age in s that resin kept at a temperature (°C) reaches before it turns to glass.

    Glass is taken where diffusion halves the rate; the age is that at the reference temperature of the same
    rate law without diffusion. Infinite where the resin never turns to glass at that temperature.
    """
    alpha = float(np.ravel(conversion_at_tg(temperature + DIFFUSION_SHIFT, resin.tg0, resin.tg1))[0])
    if alpha >= 1.0:
        return float("inf")
    if alpha <= 0.0:
        return 0.0
    kappa, k25 = (float(np.ravel(v)[0]) for v in (resin.kappa, resin.k25))
    activation = float(np.ravel(resin.activation)[0])
    # The rate law integrated by partial fractions.
    whole = 1.0 + kappa
    progress = np.log((kappa + alpha) / (kappa * (1.0 - alpha))) / whole**2
    progress += (1.0 / (1.0 - alpha) - 1.0) / whole
    return float(progress / (k25 * rate_ratio(reference, activation, 25.0)))
