"""A lift's resin in equal batches, and how long one can be worked."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite
from typing import Final

USABLE_SHARE: Final = 0.5
"""Of the pot life, in which a mix still flows and wets: common practice, no source."""
HALVES_PER: Final = 10.0
"""K by which it is warmer when the pot life has halved: common practice, no source."""
SHEET_TEMPERATURE: Final = 20.0
"""°C that a pot life is taken to be stated at where its sheet does not say: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Batches:
    """Equal batches."""

    batches: int
    each: float
    """kg."""


def equal_batches(mass: float, largest: float | None = None) -> Batches:
    """The fewest equal batches of a `mass` in kg with none over `largest`; one where there is no limit.

    Raises ValueError for a mass below zero or a limit not above it.
    """
    if not (isfinite(mass) and mass >= 0):
        raise ValueError(f"The mass is {mass:g} kg: give zero or more.")
    if largest is not None and not largest > 0:
        raise ValueError(f"The largest batch is {largest:g} kg: give a bucket that holds something.")
    if mass == 0:
        return Batches(0, 0.0)
    batches = 1 if largest is None else max(1, ceil(mass / largest - 1e-9))
    return Batches(batches, mass / batches)


def usable_time(
    pot_life: float, temperature: float | None = None, pot_temperature: float | None = None
) -> float:
    """Seconds from mixing in which a batch can be poured, of a `pot_life` in s stated at `pot_temperature`.

    Half the pot life, and half of that again for each 10 K warmer (°C) than the sheet's temperature, which is
    taken as 20 °C where it is not known. Never more than half the pot life: a cold bucket warms itself as
    soon as it is mixed. Raises ValueError for a pot life not above zero.
    """
    if not (isfinite(pot_life) and pot_life > 0):
        raise ValueError(f"The pot life is {pot_life:g} s: give one above zero.")
    if temperature is None:
        return USABLE_SHARE * pot_life
    stated = SHEET_TEMPERATURE if pot_temperature is None else pot_temperature
    return float(USABLE_SHARE * pot_life * min(1.0, 2 ** ((stated - temperature) / HALVES_PER)))
