"""Wood and water: equilibrium moisture, specific gravity, density, and how far a board moves.

Source, unless a function says otherwise: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010;
the same in FPL-GTR-282, 2021), chapters 4 and 13. Moisture and humidity are fractions (0.12 is 12 % of the
oven-dry mass).
"""

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "COEFFICIENT_RANGE",
    "EMC_TEMPERATURES",
    "FIBRE_SATURATION",
    "BoardMovement",
    "CuttingDirection",
    "DimensionalChange",
    "EmcCoefficients",
    "SpecificGravity",
    "basic_specific_gravity",
    "board_movement",
    "density",
    "dimensional_change",
    "emc_coefficients",
    "equilibrium_moisture",
    "moisture_content",
    "oven_dry_specific_gravity",
    "specific_gravity",
]

CuttingDirection = Literal["tangential", "radial", "between", "cross-cut"]
"""How a slab was sawn from the log; a cross-cut is a round, which moves both ways."""

FIBRE_SATURATION = 0.30
"""Moisture above which wood no longer swells (Wood Handbook, ch. 4 and the conditions of eq. 13-3)."""

COEFFICIENT_RANGE = (0.06, 0.14)
"""Moistures between which the coefficients of dimensional change hold (eq. 13-2 and table 13-5)."""

EMC_TEMPERATURES = (-1.1, 132.2)
"""Coldest and warmest row of the handbook's table of equilibrium moisture, degrees C (table 4-2)."""

# 6 % arrives as 0.06 or as 0.060000000000000005 from arithmetic on percents; both are the end of the range.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class EmcCoefficients:
    """The four temperature terms of eq. 4-5: `w` and the sorption terms `k`, `k1` and `k2`."""

    w: float
    k: float
    k1: float
    k2: float


@dataclass(frozen=True, slots=True)
class SpecificGravity:
    """Oven-dry mass on the volume at one moisture, against water, with what it was derived from."""

    value: float
    basic: float
    """Oven-dry mass on the green volume."""
    shrinkage: float
    """Volumetric shrinkage from green to this moisture, as a fraction of the green volume."""


@dataclass(frozen=True, slots=True)
class DimensionalChange:
    """How far one dimension moves, in metres and signed: negative where it shrinks."""

    change: float
    equation: Literal["13-2", "13-3"]
    moisture_from: float
    """The moisture counted from: what was given, and fibre saturation at the most."""
    moisture_to: float
    """The moisture counted to: what was given, and fibre saturation at the most."""
    ratio: float
    """What the equation used: the coefficient (13-2) or the total shrinkage (13-3), of fractions."""


@dataclass(frozen=True, slots=True)
class BoardMovement:
    """How far a board's width moves by its cutting direction; a direction that plays no part is None."""

    cutting_direction: CuttingDirection
    tangential: DimensionalChange | None
    radial: DimensionalChange | None

    @property
    def change(self) -> float | None:
        """The change of the width in metres: the mean of both where sawn between, None for a round."""
        if self.cutting_direction == "cross-cut":
            return None
        changes = [moved.change for moved in (self.tangential, self.radial) if moved is not None]
        return sum(changes) / len(changes)


def moisture_content(wet_mass: float, oven_dry_mass: float) -> float:
    """Moisture on the oven-dry mass, by a sample weighed before and after the oven (kg; eq. 4-2)."""
    if oven_dry_mass <= 0:
        raise ValueError(f"The oven-dry mass is {oven_dry_mass:g} kg; give one above zero.")
    if wet_mass < oven_dry_mass:
        raise ValueError(
            f"The sample weighs less wet ({wet_mass:g} kg) than dry ({oven_dry_mass:g} kg); swap the two."
        )
    return (wet_mass - oven_dry_mass) / oven_dry_mass


def emc_coefficients(temperature: float) -> EmcCoefficients:
    """The temperature terms of eq. 4-5 in its metric form; `temperature` in degrees C."""
    return EmcCoefficients(
        w=349 + 1.29 * temperature + 0.0135 * temperature**2,
        k=0.805 + 0.000736 * temperature - 0.00000273 * temperature**2,
        k1=6.27 - 0.00938 * temperature - 0.000303 * temperature**2,
        k2=1.91 + 0.0407 * temperature - 0.000293 * temperature**2,
    )


def equilibrium_moisture(temperature: float, humidity: float) -> float:
    """The moisture that wood settles at in air of this temperature (degrees C) and humidity (0 to 1).

    Wood Handbook eq. 4-5, metric form. The table that it reproduces runs over EMC_TEMPERATURES.
    """
    if not 0 <= humidity <= 1:
        raise ValueError(f"The relative humidity is {humidity:.0%}; give one from 0 % to 100 %.")
    at = emc_coefficients(temperature)
    kh = at.k * humidity
    bound = at.k1 * kh + at.k1 * at.k2 * kh**2
    return 18 / at.w * (kh / (1 - kh) + (bound + at.k1 * at.k2 * kh**2) / (1 + bound))


def basic_specific_gravity(at_12_percent: float, shrinkage_volumetric: float) -> float:
    """Specific gravity on the green volume, from the one at 12 % moisture and the total volumetric shrinkage.

    The relation Gx = Gb / (1 - Sx), Sx = S0 (1 - x / 30 %) of eq. 4-11 and 4-12, solved for Gb.
    """
    _check_wood(at_12_percent, shrinkage_volumetric)
    return at_12_percent * (1 - _shrinkage_at(shrinkage_volumetric, 0.12))


def specific_gravity(at_12_percent: float, shrinkage_volumetric: float, moisture: float) -> SpecificGravity:
    """Specific gravity on the volume at `moisture`, from the one at 12 % and the volumetric shrinkage."""
    _check_moisture(moisture)
    basic = basic_specific_gravity(at_12_percent, shrinkage_volumetric)
    shrinkage = _shrinkage_at(shrinkage_volumetric, moisture)
    return SpecificGravity(value=basic / (1 - shrinkage), basic=basic, shrinkage=shrinkage)


def oven_dry_specific_gravity(at_12_percent: float, shrinkage_volumetric: float) -> float:
    """Specific gravity on the oven-dry volume, which the rules for screws are written in."""
    return specific_gravity(at_12_percent, shrinkage_volumetric, 0.0).value


def density(specific_gravity: float, moisture: float) -> float:
    """Density in kg/m3 of wood whose specific gravity on the volume at `moisture` is given (eq. 4-7)."""
    _check_moisture(moisture)
    return 1000 * specific_gravity * (1 + moisture)


def dimensional_change(
    dimension: float,
    moisture_from: float,
    moisture_to: float,
    *,
    shrinkage: float,
    coefficient: float | None = None,
) -> DimensionalChange:
    """How far a dimension (m, as it is at `moisture_from`) moves when the wood goes to `moisture_to`.

    Eq. 13-2 with the coefficient where both moistures lie in COEFFICIENT_RANGE, else eq. 13-3 with the total
    shrinkage for the whole change; 13-3 also where no coefficient is known. Nothing moves above fibre
    saturation. `coefficient` and `shrinkage` are ratios of fractions, as in
    `workshop.reference.species.Species`.
    """
    _check_moisture(moisture_from)
    _check_moisture(moisture_to)
    if dimension < 0:
        raise ValueError(f"The dimension is {dimension:g} m; give one of zero or more.")
    if not 0 < shrinkage < 1:
        raise ValueError(f"The total shrinkage is {shrinkage:g}; give a fraction between 0 and 1.")
    start = min(moisture_from, FIBRE_SATURATION)
    end = min(moisture_to, FIBRE_SATURATION)
    if coefficient is not None and _coefficients_hold(start) and _coefficients_hold(end):
        return DimensionalChange(dimension * coefficient * (end - start), "13-2", start, end, coefficient)
    change = dimension * (end - start) / (FIBRE_SATURATION / shrinkage - FIBRE_SATURATION + start)
    return DimensionalChange(change, "13-3", start, end, shrinkage)


def board_movement(
    width: float,
    cutting_direction: CuttingDirection,
    moisture_from: float,
    moisture_to: float,
    *,
    shrinkage_radial: float,
    shrinkage_tangential: float,
    change_radial: float | None = None,
    change_tangential: float | None = None,
) -> BoardMovement:
    """How far a board of this width (m) moves between two moistures, by the way it was sawn from the log.

    A round (`cross-cut`) moves its whole width by either direction at once, which is what splits it.
    """
    tangential = radial = None
    if cutting_direction != "radial":
        tangential = dimensional_change(
            width, moisture_from, moisture_to, shrinkage=shrinkage_tangential, coefficient=change_tangential
        )
    if cutting_direction != "tangential":
        radial = dimensional_change(
            width, moisture_from, moisture_to, shrinkage=shrinkage_radial, coefficient=change_radial
        )
    return BoardMovement(cutting_direction, tangential, radial)


def _shrinkage_at(total: float, moisture: float) -> float:
    return total * max(0.0, 1 - moisture / FIBRE_SATURATION)


def _coefficients_hold(moisture: float) -> bool:
    low, high = COEFFICIENT_RANGE
    return low - _ROUNDING <= moisture <= high + _ROUNDING


def _check_moisture(moisture: float) -> None:
    if moisture < 0:
        raise ValueError(f"The moisture is {moisture:.1%}; give one of 0 % or more.")


def _check_wood(specific_gravity: float, shrinkage: float) -> None:
    if specific_gravity <= 0:
        raise ValueError(f"The specific gravity is {specific_gravity:g}; give one above zero.")
    if not 0 <= shrinkage < 1:
        raise ValueError(
            f"The volumetric shrinkage is {shrinkage:g}; give a fraction of at least 0 and below 1."
        )
