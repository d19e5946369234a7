"""Rails for a sled: how far they lie apart in height, and what brings them level. Lengths in m."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

RAIL_TOLERANCE: Final = 0.0254 / 32
"""Rails agree within 1/32 in: common practice, no source."""


@dataclass(frozen=True, slots=True)
class RailLevel:
    """Heights of the rails put right."""

    height_range: float
    """Between the highest and the lowest point."""
    shims: tuple[float, ...]
    """Under each point, none below zero, which brings it up to the highest."""


def rail_level(heights: Sequence[float]) -> RailLevel:
    """What points at these heights above one level datum need under them.

    Raises ValueError where fewer than two are given, or one is not a number.
    """
    if len(heights) < 2:
        raise ValueError("One height says nothing about level: read the rails at two places at least.")
    if not all(isfinite(height) for height in heights):
        raise ValueError("A height is not a number: read it again.")
    highest = max(heights)
    return RailLevel(highest - min(heights), tuple(highest - height for height in heights))
