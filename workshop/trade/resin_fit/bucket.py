"""The heat of a bucket of a fitted resin: how long it can be poured, and how hot it gets."""

from __future__ import annotations

import numpy as np

from workshop.trade.cure.cup import CUP_FILM, Cup, cup
from workshop.trade.cure.states import Band, band
from workshop.trade.resin_fit.draws import Draws
from workshop.trade.resin_fit.experiments import crest
from workshop.trade.resin_fit.fitting import Fit

__all__ = ["bucket_peak", "pot_life_of"]


def pot_life_of(fit: Fit, mass: float, temperature: float) -> Band:
    """Seconds that a `mass` (kg) mixed at a temperature (°C) stays pourable in its bucket.

    None in the band for longer than three days. Raises ValueError for a mass not above zero.
    """
    draws = fit.draws()
    return band(_bucket(draws, mass, temperature).reaches(draws.pot_conversion))


def bucket_peak(fit: Fit, mass: float, temperature: float) -> Band:
    """°C that a `mass` (kg) left in its bucket comes to. Raises ValueError for a mass not above zero."""
    left = _bucket(fit.draws(), mass, temperature)
    return band(crest(left.times, left.hottest)[0])


def _bucket(draws: Draws, mass: float, temperature: float) -> Cup:
    return cup(draws.resin, mass, temperature + draws.shop, film=CUP_FILM * np.asarray(draws.film))
