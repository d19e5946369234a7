"""A slot that lets wood move past the bolt that holds it. Lengths in m."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Final

CLEARANCE: Final = 0.002
"""Room in a slot beyond bolt and swing: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot along the movement."""

    length: float
    bolt_place: float
    """From the end towards the fixed fastening to the middle of the bolt."""


def slot(swing: float, bolt: float, position: float = 0.5) -> Slot:
    """The slot for a `bolt` diameter in wood that swings by `swing` between its driest and its dampest.

    `position` says how far it stands between the two when the bolt is set: 0 at its driest, when it lies
    nearest to the fixed fastening, 1 at its dampest. Raises ValueError for a bolt not above zero, or a
    position outside.
    """
    if not (isfinite(bolt) and bolt > 0 and isfinite(swing)):
        raise ValueError(f"The bolt is {bolt * 1000:g} mm thick: give a diameter above zero.")
    if not 0 <= position <= 1:
        raise ValueError(f"The wood stands at {position:g} of its swing: give 0 for driest to 1 for dampest.")
    room = abs(swing)
    return Slot(bolt + room + CLEARANCE, bolt / 2 + CLEARANCE / 2 + position * room)
