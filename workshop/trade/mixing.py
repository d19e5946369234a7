"""Two-part mixing: ratios by weight and volume, masses of part A and part B, tint, scale steps, wrong mixes.

A ratio is always A over B: 100 : 42.5 by weight is 2.3529.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


def _above_zero(name: str, value: float) -> None:
    if not (isfinite(value) and value > 0):
        raise ValueError(f"The {name} is {value:g}: give a value above zero.")


def ratio_by_weight(ratio_by_volume: float, density_a: float, density_b: float) -> float:
    """Return the ratio by weight of one by volume: r_weight = r_volume·ρ_A/ρ_B (densities in kg/m³)."""
    _above_zero("ratio by volume", ratio_by_volume)
    _above_zero("density of part A", density_a)
    _above_zero("density of part B", density_b)
    return ratio_by_volume * density_a / density_b


def ratio_by_volume(ratio_by_weight: float, density_a: float, density_b: float) -> float:
    """Return the ratio by volume of one by weight: r_volume = r_weight·ρ_B/ρ_A (densities in kg/m³)."""
    _above_zero("ratio by weight", ratio_by_weight)
    _above_zero("density of part A", density_a)
    _above_zero("density of part B", density_b)
    return ratio_by_weight * density_b / density_a


def mixed_density(ratio_by_weight: float, density_a: float, density_b: float) -> float:
    """Return the density of the liquid mix in kg/m³, the volumes of A and B taken to add up.

    ρ = (r + 1)/(r/ρ_A + 1/ρ_B) with r the ratio by weight.
    """
    _above_zero("ratio by weight", ratio_by_weight)
    _above_zero("density of part A", density_a)
    _above_zero("density of part B", density_b)
    return (ratio_by_weight + 1) / (ratio_by_weight / density_a + 1 / density_b)


def sheet_disagreement(
    stated_by_weight: float, stated_by_volume: float, density_a: float, density_b: float
) -> float:
    """Return how far a data sheet's two ratios lie apart, as a signed fraction.

    Stated ratio by weight over the one that follows from ratio by volume and densities, less 1.
    Positive: the ratio by weight asks for more A.
    """
    _above_zero("ratio by weight", stated_by_weight)
    return stated_by_weight / ratio_by_weight(stated_by_volume, density_a, density_b) - 1


@dataclass(frozen=True)
class Mix:
    """What to weigh for one mix. Tint lies on top: it is no part of `mass`, A or B."""

    ratio_by_weight: float
    mass: float
    """kg of A and B together."""
    mass_a: float
    mass_b: float
    tint: float
    """kg of tint, `tint_fraction` of the mass of A and B, added on top of it."""
    density: float | None
    """kg/m³ of the mix, None while a density is unknown; likewise the volumes in m³."""
    volume: float | None
    volume_a: float | None
    volume_b: float | None


def _densities(density_a: float | None, density_b: float | None) -> tuple[float, float] | None:
    return None if density_a is None or density_b is None else (density_a, density_b)


def weight_ratio(
    ratio: float, by: str, density_a: float | None = None, density_b: float | None = None
) -> float:
    """Return the ratio A : B by weight of a ratio stated `by` "weight" or "volume".

    Raises ValueError for any other word, or for a ratio by volume without both densities.
    """
    if by == "weight":
        _above_zero("ratio", ratio)
        return ratio
    if by != "volume":
        raise ValueError(f'A ratio goes by "weight" or "volume", not by "{by}": say which of the two.')
    known = _densities(density_a, density_b)
    if known is None:
        raise ValueError(
            "A ratio by volume needs the density of part A and of part B before it can be weighed."
        )
    return ratio_by_weight(ratio, *known)


def mix_of_mass(
    mass: float,
    ratio: float,
    by: str,
    density_a: float | None = None,
    density_b: float | None = None,
    tint_fraction: float = 0.0,
) -> Mix:
    """Split `mass` kg of A and B at `ratio` (A over B) `by` weight or volume.

    m_A = m·r/(r + 1), m_B = m/(r + 1) with r by weight. `tint_fraction` is of the mixed mass and comes on
    top. Raises ValueError for a mass or ratio not above zero, a tint outside 0..1, or a density that is
    missing.
    """
    _above_zero("mass", mass)
    if not 0 <= tint_fraction < 1:
        raise ValueError(
            f"The tint is {tint_fraction:g} of the mixed mass: give a fraction from 0 to below 1."
        )
    r = weight_ratio(ratio, by, density_a, density_b)
    mass_b = mass / (r + 1)
    mass_a = mass * r / (r + 1)
    known = _densities(density_a, density_b)
    if known is None:
        return Mix(r, mass, mass_a, mass_b, tint_fraction * mass, None, None, None, None)
    density = mixed_density(r, *known)
    return Mix(
        r,
        mass,
        mass_a,
        mass_b,
        tint_fraction * mass,
        density,
        mass / density,
        mass_a / known[0],
        mass_b / known[1],
    )


def mix_of_volume(
    volume: float,
    ratio: float,
    by: str,
    density_a: float | None,
    density_b: float | None,
    tint_fraction: float = 0.0,
) -> Mix:
    """Split `volume` m³ of mixed A and B; as `mix_of_mass`, but both densities are needed."""
    _above_zero("volume", volume)
    known = _densities(density_a, density_b)
    if known is None:
        raise ValueError("A mix by its volume needs the density of part A and of part B; or give its mass.")
    r = weight_ratio(ratio, by, density_a, density_b)
    return mix_of_mass(volume * mixed_density(r, *known), ratio, by, density_a, density_b, tint_fraction)


def smaller_part_steps(mass_a: float, mass_b: float, resolution: float) -> float:
    """Return in how many steps of the scale the smaller of parts A and B is weighed (all in kg).

    At least 100, so that one step is 1 % of it: common practice, no source.
    """
    _above_zero("scale's resolution", resolution)
    return min(mass_a, mass_b) / resolution


LEAST_SCALE_STEPS = 100
"""Least steps of the scale in the smaller part: common practice, no source."""
SHEET_DISAGREEMENT = 0.02
"""Past this a sheet's two ratios cannot both be right: common practice, no source."""
RATIO_AIM = 0.02
"""Ratio error to stay within: common practice, no source."""
RATIO_STOP = 0.05
"""Ratio error past which a mix is not poured: common practice, no source."""


@dataclass(frozen=True)
class Correction:
    """A mix as weighed, and what brings it back to its ratio."""

    error: float
    """(A/B)/r - 1, a signed fraction: positive means too much A (B is short), negative A is short."""
    add_a: float
    """kg of A to add, 0 where A is not short."""
    add_b: float
    """kg of B to add, 0 where B is not short."""
    total: float
    """kg in the bucket after the correction."""


def correct(a: float, b: float, ratio: float) -> Correction:
    """Return what to add to `a` kg of A and `b` kg of B to reach `ratio` (A over B by weight).

    A short: add r·B - A of A. B short: add A/r - B of B. Raises ValueError unless all three are above zero.
    """
    _above_zero("mass of part A", a)
    _above_zero("mass of part B", b)
    _above_zero("ratio", ratio)
    add_a = max(0.0, ratio * b - a)
    add_b = max(0.0, a / ratio - b)
    return Correction(a / b / ratio - 1, add_a, add_b, a + b + add_a + add_b)


WATER = 1000.0
"""kg/m³, for a part of unknown density: resins are heavier, so that the volume errs on the safe side."""


def volume_of_parts(a: float, b: float, density_a: float = WATER, density_b: float = WATER) -> float:
    """Return the room in m³ that `a` kg of A and `b` kg of B take in a bucket, their volumes added up."""
    _above_zero("density of part A", density_a)
    _above_zero("density of part B", density_b)
    return a / density_a + b / density_b
