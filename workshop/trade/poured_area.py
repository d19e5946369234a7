"""The surface of a pour from what went in and how far it rose. SI units."""

from __future__ import annotations

from math import isfinite


def poured_area(volume: float, rise: float) -> float:
    """Mean free area (m²) between two levels: a volume (m³) over its rise (m), by the displaced volume.

    Raises ValueError unless both are above zero.
    """
    if not (isfinite(volume) and isfinite(rise) and volume > 0 and rise > 0):
        raise ValueError(
            f"{volume * 1000:g} L rose {rise * 1000:g} mm: give a volume and a rise, both above zero."
        )
    return volume / rise


def area_correction(measured: float, planned: float) -> float:
    """By what the volume of a later lift is multiplied: the measured free area over the planned one (m²).

    Raises ValueError unless both are above zero.
    """
    if not (isfinite(measured) and isfinite(planned) and measured > 0 and planned > 0):
        raise ValueError(
            f"A measured area of {measured:g} m² and a planned one of {planned:g} m²: give both above zero."
        )
    return measured / planned
