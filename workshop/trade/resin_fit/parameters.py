"""The unknowns of a resin as one row of numbers, and what its class says of them beforehand."""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import Final

import numpy as np

from workshop.reference.resin_classes import ResinClass
from workshop.trade.cure.kinetics import Array, Resin

__all__ = ["PARAMETERS", "Constants", "constants", "prior_mean", "prior_sd"]

PARAMETERS: Final = (
    "ln k25",
    "ln kappa",
    "heat",
    "activation",
    "pot conversion",
    "tg1",
    "ln cp",
    "ln k",
    "ln film",
)
"""k25 in 1/s, heat in J/kg, activation in J/mol, tg1 in °C, cp in J/(kg K), k in W/(m K)."""

_LEAST_HEAT: Final = 80e3
_LEAST_ACTIVATION: Final = 25e3
_LEAST_TG: Final = 20.0
_MOST_OF_GEL: Final = 0.97
"""Share of the conversion at gel that a pot may have reached when it can no longer be poured."""
_LEAST_POT: Final = 0.02


@dataclass(frozen=True, slots=True, eq=False)
class Constants:
    """Sets of constants, every array of shape (sets,)."""

    resin: Resin
    pot_conversion: Array
    film: Array
    """Factor on the films."""


def prior_mean(kind: ResinClass) -> Array:
    """What the class says of each parameter."""
    return np.array(
        [
            log(kind.rate.mean),
            log(kind.kappa.mean),
            kind.heat.mean,
            kind.activation.mean,
            kind.pot_conversion.mean,
            kind.tg1.mean,
            log(kind.cp.mean),
            log(kind.k.mean),
            log(kind.film.mean),
        ]
    )


def prior_sd(kind: ResinClass) -> Array:
    """How far each parameter may lie off what the class says."""
    spreads = (
        kind.rate,
        kind.kappa,
        kind.heat,
        kind.activation,
        kind.pot_conversion,
        kind.tg1,
        kind.cp,
        kind.k,
        kind.film,
    )
    return np.array([spread.sd for spread in spreads])


def constants(rows: Array, gel: float, density: float) -> Constants:
    """The constants of rows of parameters, (sets, parameters), held inside what a resin can be."""
    rate, kappa, heat, activation, pot, tg1, cp, k, film = np.atleast_2d(rows).T
    resin = Resin(
        np.exp(rate),
        np.exp(kappa),
        np.maximum(heat, _LEAST_HEAT),
        np.maximum(activation, _LEAST_ACTIVATION),
        np.maximum(tg1, _LEAST_TG),
        gel=gel,
        density=density,
        cp=np.exp(cp),
        k=np.exp(k),
    )
    return Constants(resin, np.clip(pot, _LEAST_POT, _MOST_OF_GEL * gel), np.exp(film))
