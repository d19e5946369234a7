"""The numbers along a plan's near and left side: round lengths, as far apart as there is room for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil, floor
from typing import Final

from workshop.quantity import Units

INCH: Final = 0.0254
STEPS: Final[Mapping[str, tuple[float, ...]]] = {
    "metric": tuple(size * 10**power for power in (-3, -2, -1, 0) for size in (1.0, 2.0, 5.0)),
    "us": tuple(INCH * inches for inches in (0.25, 0.5, 1, 2, 3, 6, 12, 24, 48)),
}
"""m between two numbers."""
SIDE: Final = 6
"""Cells that the numbers at the left take with their ticks."""


def numbers(low: float, high: float, least: float, units: Units) -> Iterator[tuple[float, str]]:
    """Places between two ends that lie at least `least` m apart, each with its number."""
    steps = STEPS[units.system]
    step = next((step for step in steps if step >= least), steps[-1])
    for count in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1):
        yield count * step, numbered(count * step, units)


def numbered(value: float, units: Units) -> str:
    """A length on a ruler, in mm or in inches with their quarters."""
    if units.system == "metric":
        return str(round(value * 1000))
    inches = value / INCH
    text = f"{inches:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def unit(units: Units) -> str:
    """What the numbers count."""
    return "mm" if units.system == "metric" else "in"
