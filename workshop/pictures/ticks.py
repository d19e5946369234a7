"""Round numbers along the axes of charts, in the project's units, with their words."""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from workshop.pictures.picture import Tick, Ticks, bare
from workshop.quantity import TEMPERATURE, Units, show

HOURS: Final = (1, 2, 3, 6, 12, 24, 48, 120, 240, 480)
"""Steps along time, h."""
DEGREES: Final = (1, 2, 5, 10, 20, 50, 100)
"""Steps of a temperature, °C or °F."""
LENGTHS: Final = {"metric": (0.005, 0.01, 0.02, 0.05, 0.1), "us": (0.00635, 0.0127, 0.0254, 0.0508)}
"""Steps of a height, m."""


def times(until: float) -> Ticks:
    """Hours from 0 to `until` s; whole days from four days on."""
    made = []
    for step in HOURS:
        if until / 3600 / step <= 40:
            hours = range(0, floor(until / 3600) + 1, step)
            days = until >= 4 * 86400 and step % 24 == 0
            made.append(
                tuple(Tick(hour * 3600.0, f"{hour // 24} d" if days else f"{hour} h") for hour in hours)
            )
    return tuple(made)


def temperatures(low: float, high: float, units: Units, unit: bool = False) -> Ticks:
    """Degrees between two temperatures (°C); with `unit` the first has its unit."""
    us = units.system == "us"
    first, last = (low * 1.8 + 32, high * 1.8 + 32) if us else (low, high)
    made = []
    for step in DEGREES:
        if (last - first) / step <= 40:
            rows = []
            for number in range(ceil(first / step - 1e-9), floor(last / step + 1e-9) + 1):
                shown = number * step
                text = f"{shown} °{'F' if us else 'C'}" if unit else f"{shown}°"
                rows.append(Tick((shown - 32) / 1.8 if us else float(shown), text))
            made.append(tuple(rows))
    return tuple(made)


def whole_degrees(value: float, units: Units) -> str:
    """A temperature (°C) to a whole degree of the project's own."""
    if units.system == "us":
        return show((round(value * 1.8 + 32) - 32) / 1.8, TEMPERATURE, units)
    return show(round(value), TEMPERATURE, units)


def shares() -> Ticks:
    """Per cent from 0 to 1."""
    return tuple(
        tuple(Tick(part / 100, f"{part}%") for part in range(0, 101, step)) for step in (10, 25, 50, 100)
    )


def heights(low: float, high: float, units: Units) -> Ticks:
    """Heights (m) above the form floor at `low`."""
    made = []
    for step in LENGTHS[units.system]:
        count = floor((high - low) / step + 1e-9)
        if count <= 40:
            made.append(
                tuple(Tick(low + n * step, bare(n * step, units) if n else "0") for n in range(count + 1))
            )
    return tuple(made)
