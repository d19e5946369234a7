"""How fast a resin cures: the rate law, the glass transition, and what the four figures of a film are.

Rate: dalpha/dt = fd k (kappa + alpha) (1 - alpha)^2, autocatalytic with the orders 1 and 2 (Kamal and
Sourour, Polym. Eng. Sci. 13 (1973) 59; orders after Horie and others, J. Polym. Sci. A-1 8 (1970) 1357, from
memory); k = k25 exp(-E/R (1/T - 1/298.15 K)); fd slows the cure as the resin turns to glass (logistic, after
Chern and Poehlein 1987, from memory; written on the glass transition and with both constants by this
project); Tg after DiBenedetto.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "DIFFUSION_SHIFT",
    "DIFFUSION_WIDTH",
    "GAS",
    "GEL",
    "KELVIN",
    "LAMBDA",
    "Array",
    "Autocatalytic",
    "Inert",
    "Law",
    "Resin",
    "Values",
    "conversion_at_tg",
    "glass_transition",
]

Array = NDArray[np.float64]
Values = float | Array
"""One value, or one for each draw of an ensemble, of shape (draws,)."""

GAS: Final = 8.314462618
"""Gas constant, J/(mol K)."""
KELVIN: Final = 273.15
REFERENCE: Final = 298.15
"""K, the temperature at which k25 holds."""
LAMBDA: Final = 0.45
"""DiBenedetto's ratio of heat capacity steps: 0.3 to 0.6, from memory."""
DIFFUSION_SHIFT: Final = 10.0
"""K by which Tg may lie above the temperature before diffusion halves the rate: this project's choice."""
DIFFUSION_WIDTH: Final = 6.0
"""K over which the rate then falls by e: this project's choice."""
GEL: Final = 0.58
"""Conversion at gel: Flory and Stockmayer's 1/sqrt(3) for an epoxide with a diamine."""


@dataclass(frozen=True, slots=True)
class Resin:
    """A resin's constants at its stated mix; each may be an array with one value for each draw."""

    k25: Values
    """Rate at 25 °C, 1/s."""
    kappa: Values
    """Share of the rate that needs no product of the reaction."""
    heat: Values
    """Heat of the whole reaction, J/kg."""
    activation: Values
    """Activation energy, J/mol."""
    tg1: Values
    """Glass transition when fully cured, °C."""
    tg0: Values = -45.0
    """Glass transition of the fresh mix, °C."""
    gel: Values = GEL
    """Conversion at gel."""
    density: Values = 1100.0
    """kg/m3, mixed."""
    cp: Values = 2000.0
    """J/(kg K)."""
    k: Values = 0.20
    """Thermal conductivity, W/(m K)."""

    def __post_init__(self) -> None:
        for name in ("k25", "kappa", "heat", "activation", "density", "cp", "k"):
            if not np.all(np.asarray(getattr(self, name)) > 0):
                raise ValueError(f"The resin's {name} is not above zero; give a value above zero.")
        if not np.all((np.asarray(self.gel) > 0) & (np.asarray(self.gel) < 1)):
            raise ValueError(
                "The resin's conversion at gel does not lie between 0 and 1; about 0.58 is usual."
            )
        if not np.all(np.asarray(self.tg1) > np.asarray(self.tg0)):
            raise ValueError(
                "The resin's tg1 does not lie above its tg0; the cured resin turns to glass at a higher "
                "temperature than the fresh mix."
            )

    @property
    def draws(self) -> int:
        """How many draws the constants stand for; 1 where all are single values."""
        return max(np.size(getattr(self, name)) for name in self.__slots__)

    @property
    def adiabatic_rise(self) -> Values:
        """K by which the resin would warm if it cured fully and lost no heat."""
        return np.asarray(np.asarray(self.heat) / np.asarray(self.cp), dtype=float)


class Law(Protocol):
    """A rate of conversion on an array of cells, draws first."""

    def rate(self, temperature: Array, conversion: Array) -> Array:
        """Conversion gained in a second, at temperatures in °C."""
        ...

    def slopes(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array]:
        """The same, and how it changes with a kelvin and with conversion."""
        ...

    def take(self, index: NDArray[np.intp]) -> Law:
        """The law of these draws alone."""
        ...


def _of_draws(values: Array, index: NDArray[np.intp]) -> Array:
    return values if values.shape[0] == 1 else values[index]


@dataclass(frozen=True, slots=True, eq=False)
class Autocatalytic:
    """The rate law of this project on an array of cells; each constant broadcasts against the cells."""

    log_rate: Array
    """ln of the rate's factor before the Arrhenius term, k in 1/s."""
    kelvins: Array
    """Activation energy over the gas constant, K."""
    kappa: Array
    tg0: Array
    tg1: Array

    @classmethod
    def of(cls, resin: Resin, dimensions: int = 1) -> Autocatalytic:
        """The law of one resin on cells of so many dimensions."""
        shape = (-1, *([1] * dimensions))
        kelvins = np.asarray(resin.activation, dtype=float).reshape(shape) / GAS
        return cls(
            np.log(np.asarray(resin.k25, dtype=float)).reshape(shape) + kelvins / REFERENCE,
            kelvins,
            np.asarray(resin.kappa, dtype=float).reshape(shape),
            np.asarray(resin.tg0, dtype=float).reshape(shape),
            np.asarray(resin.tg1, dtype=float).reshape(shape),
        )

    def _terms(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array, Array]:
        # Trial stages of the integrator may leave the physical range; the law must stay finite there.
        warm = np.minimum(np.maximum(temperature, -100.0), 700.0)
        alpha = np.minimum(np.maximum(conversion, 0.0), 1.0)
        left = 1.0 - alpha
        stretch = 1.0 / (1.0 - (1.0 - LAMBDA) * alpha)
        glass = (self.tg0 - DIFFUSION_SHIFT - warm + (self.tg1 - self.tg0) * LAMBDA * alpha * stretch) / (
            DIFFUSION_WIDTH
        )
        return warm, left, stretch, np.exp(glass)

    def rate(self, temperature: Array, conversion: Array) -> Array:
        """See Law."""
        warm, left, _, slow = self._terms(temperature, conversion)
        speed = np.exp(self.log_rate - self.kelvins / (warm + KELVIN))
        return speed * (self.kappa + 1.0 - left) * (left * left) / (1.0 + slow)

    def slopes(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array]:
        """See Law."""
        warm, left, stretch, slow = self._terms(temperature, conversion)
        absolute = warm + KELVIN
        held = slow / ((1.0 + slow) * DIFFUSION_WIDTH)
        base = np.exp(self.log_rate - self.kelvins / absolute) * left / (1.0 + slow)
        auto = self.kappa + 1.0 - left
        rate = base * left * auto
        glass = (self.tg1 - self.tg0) * LAMBDA * stretch * stretch
        by_heat = rate * (self.kelvins / (absolute * absolute) + held)
        return rate, by_heat, base * (left - 2.0 * auto) - rate * held * glass

    def take(self, index: NDArray[np.intp]) -> Autocatalytic:
        """See Law."""
        return Autocatalytic(
            *(_of_draws(v, index) for v in (self.log_rate, self.kelvins, self.kappa, self.tg0, self.tg1))
        )


@dataclass(frozen=True, slots=True)
class Inert:
    """No reaction."""

    def rate(self, temperature: Array, conversion: Array) -> Array:
        """See Law."""
        return np.zeros_like(conversion)

    def slopes(self, temperature: Array, conversion: Array) -> tuple[Array, Array, Array]:
        """See Law."""
        return np.zeros_like(conversion), np.zeros_like(conversion), np.zeros_like(conversion)

    def take(self, index: NDArray[np.intp]) -> Inert:
        """See Law."""
        return self


def glass_transition(conversion: Values, tg0: Values, tg1: Values) -> Array:
    """Tg in °C at a conversion: DiBenedetto's equation in Pascault and Williams's form (1990)."""
    alpha = np.asarray(conversion, dtype=float)
    grown = LAMBDA * alpha / (1.0 - (1.0 - LAMBDA) * alpha)
    return np.asarray(tg0 + (np.asarray(tg1) - tg0) * grown, dtype=float)


def conversion_at_tg(tg: Values, tg0: Values, tg1: Values) -> Array:
    """The conversion at which the glass transition reaches `tg` (°C); above 1 where the resin never does."""
    grown = (np.asarray(tg, dtype=float) - tg0) / (np.asarray(tg1) - tg0)
    return np.asarray(grown / (LAMBDA + (1.0 - LAMBDA) * grown), dtype=float)
