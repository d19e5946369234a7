"""What heat meets in a form: board, wood, stone, and resin filled with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from workshop.trade.cure.kinetics import KELVIN, Array, Values

__all__ = [
    "CONCRETE",
    "GLASS",
    "GRANITE",
    "PARTICLEBOARD",
    "Material",
    "maxwell_eucken",
    "wood",
    "wood_conductivity",
    "wood_heat_capacity",
]


@dataclass(frozen=True, slots=True)
class Material:
    """A solid: density in kg/m3, conductivity in W/(m K), heat capacity in J/(kg K)."""

    density: Values
    k: Values
    cp: Values

    def __post_init__(self) -> None:
        for name in ("density", "k", "cp"):
            if not np.all(np.asarray(getattr(self, name)) > 0):
                raise ValueError(f"A material's {name} is not above zero; give a value above zero.")


PARTICLEBOARD: Final = Material(680.0, 0.13, 1500.0)
"""From memory (ASHRAE Fundamentals 0.12 to 0.14 W/(m K))."""
GLASS: Final = Material(2500.0, 1.0, 800.0)
"""Soda-lime glass, from memory (Incropera table A.3)."""
GRANITE: Final = Material(2630.0, 2.79, 775.0)
"""From memory (Incropera table A.3, Barre granite)."""
CONCRETE: Final = Material(2300.0, 1.4, 880.0)
"""Stone mix, from memory (Incropera table A.3)."""


def wood_conductivity(gravity: float, moisture: float) -> float:
    """W/(m K) across the grain near 24 °C.

    `gravity` is the specific gravity at that moisture (dry mass over volume as it is), `moisture` a fraction
    of the dry mass. Wood Handbook, FPL-GTR-190 (2010), eq. 4-15, for a gravity above 0.3 and below 25 %.
    """
    if gravity <= 0:
        raise ValueError(f"The wood's specific gravity is {gravity:g}; give one above zero.")
    if not 0.0 <= moisture < 0.25:
        raise ValueError(
            f"The wood's moisture is {moisture * 100:g} %: the formula holds below 25 %, dry the wood first."
        )
    return gravity * (0.1941 + 0.004064 * 100.0 * moisture) + 0.01864


def wood_heat_capacity(temperature: float, moisture: float) -> float:
    """J/(kg K) at a temperature in °C and a moisture as a fraction.

    Wood Handbook, FPL-GTR-190 (2010), chapter 4, eq. 4-16a to 4-17.
    """
    if not 0.0 <= moisture < 0.25:
        raise ValueError(
            f"The wood's moisture is {moisture * 100:g} %: the formula holds below 25 %, dry the wood first."
        )
    absolute, percent = temperature + KELVIN, 100.0 * moisture
    dry = 0.1031 + 0.003867 * absolute
    bound = percent * (-0.06191 + 2.36e-4 * absolute - 1.33e-4 * percent)
    return 1000.0 * ((dry + 4.18 * moisture) / (1.0 + moisture) + bound)


def wood(gravity: float, moisture: float, temperature: float = 21.0) -> Material:
    """Wood of a specific gravity at a moisture (fraction) and about a temperature (°C), across the grain."""
    return Material(
        1000.0 * gravity * (1.0 + moisture),
        wood_conductivity(gravity, moisture),
        wood_heat_capacity(temperature, moisture),
    )


def maxwell_eucken(resin: Values, filler: Values, share: Values) -> Array:
    """Conductivity of a resin filled with a share of solid, W/(m K): Maxwell and Eucken, from memory.

    A lower bound above a share of one half.
    """
    kr, kf, phi = np.asarray(resin, dtype=float), np.asarray(filler, dtype=float), np.asarray(share)
    return np.asarray(kr * (kf + 2 * kr + 2 * phi * (kf - kr)) / (kf + 2 * kr - phi * (kf - kr)), dtype=float)
