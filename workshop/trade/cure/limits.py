"""Where the model of the cure holds: shown with every result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = ["COLDEST", "CURE_LIMITS", "WARMEST", "Limit"]

COLDEST: Final = 15.0
"""°C of the shop below which the model is not trusted."""
WARMEST: Final = 30.0


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of validity, in words, with its bounds where it has numbers."""

    text: str
    low: float | None = None
    high: float | None = None


CURE_LIMITS: Final = (
    Limit("A shop between 15 and 30 °C.", COLDEST, WARMEST),
    Limit("Epoxy at its stated mix, unfilled or evenly filled."),
    Limit("A lift from 1 to 120 mm deep.", 0.001, 0.120),
    Limit("The resin stands still: no convection in the liquid, no boiling."),
    Limit("The absolute peak of a thick casting is not yet validated against a published measurement."),
)
