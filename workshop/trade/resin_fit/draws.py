"""An ensemble of resins that a sheet allows: the same every time, spread evenly through the odds."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

import numpy as np

from workshop.trade.cure.kinetics import Array, Resin
from workshop.trade.resin_fit.parameters import constants

__all__ = ["COUNT", "Draws", "drawn"]

COUNT: Final = 40
_SEED: Final = 2471
_SHOP: Final = 1.0
"""K, the standard deviation of a shop's temperature from what its thermometer says: judgement."""
_WIDER: Final = 1.35
"""Factor on the fit's standard deviations: the normal approximation cuts the tails off, the film of the shop
is not that of the laboratory, and forty draws find their outer tenths a little too far in. Judgement, chosen
so that resins which nobody told the fit of stay inside their band in four cases of five."""


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Equally likely cases, the first of them the central one; every array of shape (count,)."""

    resin: Resin
    pot_conversion: Array
    """Conversion at which the pot life ends."""
    shop: Array
    """K that the shop differs by from its reading."""
    film: Array
    """Factor on every film."""


def _normals(count: int, width: int) -> Array:
    """A Latin hypercube of standard normal values, (count, width), each column centred."""
    random = np.random.default_rng(_SEED)
    quantile = NormalDist().inv_cdf
    strata = np.array([quantile((number + 0.5) / count) for number in range(count)])
    table = np.stack([strata[random.permutation(count)] for _ in range(width)], axis=1)
    # Chance correlation between columns would tilt the band: taken out, then the strata put back by rank.
    if count > width + 1:
        straight = table @ np.linalg.inv(np.linalg.cholesky(np.corrcoef(table.T))).T
        table = strata[straight.argsort(axis=0).argsort(axis=0)]
    return np.asarray(table)


def drawn(mean: Array, covariance: Array, gel: float, density: float, count: int) -> Draws:
    """`count` draws of parameters with this mean and covariance."""
    if count < 1:
        raise ValueError(f"The ensemble is asked for {count} draws; ask for one at the least.")
    width = len(mean)
    odds = np.zeros((count, width + 1))
    if count > 1:
        odds[1:] = _normals(count - 1, width + 1)
    values, vectors = np.linalg.eigh(covariance / np.outer(_scale(covariance), _scale(covariance)))
    root = vectors * np.sqrt(np.maximum(values, 0.0)) @ vectors.T * _scale(covariance)[:, None]
    one = constants(mean + _WIDER * odds[:, :width] @ root.T, gel, density)
    wide = {
        name: np.array(np.broadcast_to(np.asarray(getattr(one.resin, name), dtype=float), (count,)))
        for name in Resin.__slots__
    }
    return Draws(Resin(**wide), one.pot_conversion, _SHOP * odds[:, width], one.film)


def _scale(covariance: Array) -> Array:
    return np.sqrt(np.diag(covariance))
