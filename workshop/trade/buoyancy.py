"""Hold-down of wood in liquid resin: how hard a piece floats and how many hold-downs keep it under."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite

STANDARD_GRAVITY = 9.80665
"""m/s², the standard acceleration of free fall (SI Brochure; ISO 80000-3)."""


@dataclass(frozen=True)
class HoldDown:
    """The forces on one piece in one lift."""

    buoyancy: float
    """N, weight of the resin displaced, acting upward at the centre of the submerged volume."""
    weight: float
    """N, weight of the piece."""
    float_force: float
    """N, buoyancy less weight, without safety. Negative: the piece sinks by that much."""
    hold_downs: int
    """How many hold-downs carry the float force times the safety factor; 0 where the piece sinks."""


def float_force(
    volume: float, wood_density: float, resin_density: float, submerged: float = 1.0
) -> tuple[float, float]:
    """Return (buoyancy, weight) in N of a piece of `volume` m³ in liquid resin.

    `submerged` is the fraction (0..1) of the volume that lies under the surface of the lift; densities in
    kg/m³. Archimedes' principle: buoyancy = ρ_resin·submerged·volume·g, weight = ρ_wood·volume·g. Raises
    ValueError for a volume or density that is not above zero or a fraction outside 0..1.
    """
    for name, value in (("volume", volume), ("wood density", wood_density), ("resin density", resin_density)):
        if not (isfinite(value) and value > 0):
            raise ValueError(f"The {name} is {value:g}: give a value above zero.")
    if not 0 <= submerged <= 1:
        raise ValueError(f"The submerged part is {submerged:g}: give a fraction from 0 to 1.")
    return (
        resin_density * submerged * volume * STANDARD_GRAVITY,
        wood_density * volume * STANDARD_GRAVITY,
    )


def hold_down(
    volume: float,
    wood_density: float,
    resin_density: float,
    each: float,
    submerged: float = 1.0,
    safety: float = 2.0,
) -> HoldDown:
    """Return the float force of a piece and the number of hold-downs that keep it down.

    `each` is the force in N that one hold-down carries, `safety` the factor on the float force (2: common
    practice, no source). Raises ValueError for `each` not above zero or a safety factor under 1.
    """
    if not (isfinite(each) and each > 0):
        raise ValueError(f"A hold-down carries {each:g} N: give a force above zero.")
    if not safety >= 1:
        raise ValueError(f"The safety factor is {safety:g}: give 1 or more.")
    buoyancy, weight = float_force(volume, wood_density, resin_density, submerged)
    net = buoyancy - weight
    return HoldDown(buoyancy, weight, net, max(0, ceil(safety * net / each - 1e-9)))
