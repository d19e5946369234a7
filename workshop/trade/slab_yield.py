"""What of a slab becomes pieces, what is left over, and what the saw takes. Areas in m²."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class SlabYield:
    """A slab's area by where it goes."""

    used: float
    left: float
    lost: float
    """Dust and slivers; below zero where more is taken out than the slab holds."""
    share: float
    """Used part of the slab, 0 to 1."""


def slab_yield(slab: float, pieces: Sequence[float], offcuts: Sequence[float]) -> SlabYield:
    """How a slab's area is shared between pieces, offcuts and dust.

    Raises ValueError where the slab has no area, or where a piece or offcut has less than none.
    """
    if not (isfinite(slab) and slab > 0):
        raise ValueError(f"The slab's area is {slab:g} m²: give one above zero.")
    if any(not isfinite(area) or area < 0 for area in (*pieces, *offcuts)):
        raise ValueError("A piece or offcut has an area below zero: give each as zero or more.")
    used, left = sum(pieces), sum(offcuts)
    return SlabYield(used, left, slab - used - left, used / slab)
