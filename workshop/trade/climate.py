"""The water in the air: where it condenses."""

from __future__ import annotations

from math import isfinite, log
from typing import Final

MAGNUS_SLOPE: Final = 17.62
MAGNUS_BASE: Final = 243.12
"""Constants of the Magnus formula over water from -45 to 60 °C, in °C: Sonntag (1990)."""

LEAST_GAP: Final = 3.0
"""K that a surface should be warmer than the dew point when it is coated: common practice, no source."""


def dew_point(temperature: float, humidity: float) -> float:
    """The temperature in °C at which air of `temperature` (°C) and `humidity` (a fraction) gives up water.

    Magnus formula with Sonntag's constants (1990). Raises ValueError outside -45 to 60 °C, or for a humidity
    that is not above zero and at most one.
    """
    if not -45.0 <= temperature <= 60.0:
        raise ValueError(
            f"The air is at {temperature:g} °C: the Magnus formula holds from -45 °C to 60 °C, "
            "give such a value."
        )
    if not (isfinite(humidity) and 0.0 < humidity <= 1.0):
        raise ValueError(f"The humidity is {humidity * 100:g} %: give one above 0 % and up to 100 %.")
    gamma = log(humidity) + MAGNUS_SLOPE * temperature / (MAGNUS_BASE + temperature)
    return MAGNUS_BASE * gamma / (MAGNUS_SLOPE - gamma)
