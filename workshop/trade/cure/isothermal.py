"""Resin that stays at one temperature: a thin film, or a cured casting held warm."""

from __future__ import annotations

from typing import Final

import numpy as np

from workshop.trade.cure.kinetics import Array, Autocatalytic, Resin, Values

__all__ = ["film_conversion", "film_time"]

PANELS: Final = 8
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def film_time(resin: Resin, temperature: Values, conversion: Values, start: Values = 0.0) -> Array:
    """Seconds that resin at a temperature (°C) takes from the conversion `start` to `conversion`.

    All may be arrays of one shape. The set time of a thin film is this to `resin.gel`. Infinite for a
    conversion of 1 or more, zero where it is reached already.
    """
    warm, goal, begin = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, dtype=float)) for v in (temperature, conversion, start))
    )
    # With u = 1/(1 - alpha) the integrand loses its pole: dt = du / (k fd (kappa + alpha)).
    reached = goal <= begin
    end = 1.0 / (1.0 - np.minimum(np.where(reached, begin, goal), 1.0 - 1e-9))
    first = 1.0 / (1.0 - begin)
    edges = first[:, None] * (end / first)[:, None] ** np.linspace(0.0, 1.0, PANELS + 1)
    middle, half = (edges[:, 1:] + edges[:, :-1]) / 2, (edges[:, 1:] - edges[:, :-1]) / 2
    u = (middle[:, :, None] + half[:, :, None] * _NODES).reshape(len(goal), -1)
    weight = (half[:, :, None] * _WEIGHTS).reshape(len(goal), -1)
    alpha = 1.0 - 1.0 / u
    speed = Autocatalytic.of(resin).rate(warm[:, None], alpha) * u * u
    time = (weight / np.maximum(speed, 1e-300)).sum(1)
    return np.where(reached, 0.0, np.where(goal >= 1.0, np.inf, time))


def film_conversion(resin: Resin, temperature: Values, time: Values, start: float = 0.0) -> Array:
    """The conversion that resin at a temperature (°C) reaches in a time (s)."""
    draws = max(resin.draws, int(np.size(temperature)), int(np.size(time)))
    low, high = np.full(draws, start), np.full(draws, 1.0 - 1e-9)
    for _ in range(50):
        middle = (low + high) / 2
        late = film_time(resin, temperature, middle, start) > time
        low, high = np.where(late, low, middle), np.where(late, middle, high)
    return np.asarray((low + high) / 2, dtype=float)
