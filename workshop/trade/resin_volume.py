"""Resin to mix for a form: the room left in it, what soaks away, shrinks, stays behind or is held back."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True)
class ResinVolume:
    """Every part of the resin to mix, in m³; the parts add up to `total`."""

    form: float
    """Room in the form up to the resin's surface."""
    wood: float
    """Wood below that surface."""
    bed_solid: float
    """Solid stone of the bed, without the spaces between the stones."""
    cavity: float
    """Cured resin wanted: form less wood less stone."""
    shrinkage: float
    """Liquid resin that the cavity takes beyond its own volume, since resin shrinks as it cures."""
    soak: float
    """Resin that wood and stone drink."""
    poured: float
    """Liquid resin that leaves the buckets: cavity, shrinkage and soak."""
    residue: float
    """Resin that stays in buckets and on sticks."""
    reserve: float
    """Resin kept at hand for a leak or a miscount."""
    total: float
    mass: float | None
    """kg of `total`; None while the density is unknown."""


def resin_volume(
    form: float,
    wood: float = 0.0,
    bed_solid: float = 0.0,
    soak: float = 0.0,
    shrinkage: float = 0.0,
    residue: float = 0.0,
    reserve: float = 0.0,
    density: float | None = None,
) -> ResinVolume:
    """Return the resin to mix for a form of `form` m³ up to the resin's surface.

    `wood`, `bed_solid` and `soak` are volumes in m³. `shrinkage` is the fraction of its liquid volume that
    resin loses as it cures, so that a cavity V takes V/(1 - shrinkage). `residue` is the fraction of what is
    mixed that stays in the buckets, so that P poured takes P/(1 - residue) mixed (2 to 3 %: common practice,
    no source). `reserve` is a fraction of that, on top. `density` is that of the liquid mix in kg/m³. Raises
    ValueError for a negative part, a fraction outside 0..1, or wood and stone that overfill the form.
    """
    for name, value in (("form", form), ("wood", wood), ("stone", bed_solid), ("soak", soak)):
        if not (isfinite(value) and value >= 0):
            raise ValueError(f"The {name} has {value:g} m³: give a volume of zero or more.")
    for name, value in (("shrinkage", shrinkage), ("residue", residue)):
        if not 0 <= value < 1:
            raise ValueError(f"The {name} is {value:g}: give a fraction from 0 to below 1.")
    if not (isfinite(reserve) and reserve >= 0):
        raise ValueError(f"The reserve is {reserve:g}: give a fraction of zero or more.")
    if density is not None and not (isfinite(density) and density > 0):
        raise ValueError(f"The resin's density is {density:g} kg/m³: give a value above zero.")
    cavity = form - wood - bed_solid
    if cavity < 0:
        raise ValueError(
            f"Wood and stone take {wood + bed_solid:g} m³ of a form of {form:g} m³: "
            "make the form larger or the wood and stone less."
        )
    shrunk = cavity * shrinkage / (1 - shrinkage)
    poured = cavity + shrunk + soak
    left = poured * residue / (1 - residue)
    kept = (poured + left) * reserve
    total = poured + left + kept
    return ResinVolume(
        form,
        wood,
        bed_solid,
        cavity,
        shrunk,
        soak,
        poured,
        left,
        kept,
        total,
        None if density is None else total * density,
    )
