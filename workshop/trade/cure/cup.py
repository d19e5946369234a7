"""A cup or a bucket of mixed resin: how long it can be poured, and how hot it gets.

The cup is followed as a sphere with the same volume for its surface, of resin that does not move.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from workshop.trade.cure.column import column
from workshop.trade.cure.conduction import Shape, lay
from workshop.trade.cure.kinetics import Array, Autocatalytic, Resin, Values
from workshop.trade.cure.march import Tolerance, Trajectory, march
from workshop.trade.cure.states import first_time
from workshop.trade.cure.surroundings import Top, steady

__all__ = ["CUP_FILM", "Cup", "cup", "cup_radius"]

CUP_FILM: Final = 9.0
"""W/(m2 K) from a thin cup to still air: judgement."""
CELLS: Final = 10
HORIZON: Final = 3 * 86400.0
PATIENCE: Final = Tolerance(0.2, 8e-3, 5e-3)
DONE: Final = 0.75
"""Conversion at the outside after which nothing more is asked of a cup."""


@dataclass(frozen=True, slots=True, eq=False)
class Cup:
    """What became of a cup, for each set of constants; times are s since mixing."""

    trajectory: Trajectory
    weights: Array

    @property
    def hottest(self) -> Array:
        """°C, (steps, sets)."""
        return np.asarray(self.trajectory.fields[..., :CELLS].max(-1))

    @property
    def mean(self) -> Array:
        """°C, the mean of the resin, (steps, sets)."""
        return np.asarray(self.trajectory.fields[..., :CELLS] @ self.weights)

    @property
    def times(self) -> Array:
        """s, (steps, sets)."""
        return self.trajectory.time

    @property
    def peak(self) -> Array:
        """°C, one for each set."""
        return np.asarray(self.hottest.max(0))

    @property
    def peak_time(self) -> Array:
        """s, one for each set."""
        return np.asarray(self.times[self.hottest.argmax(0), np.arange(self.times.shape[1])])

    def reaches(self, conversion: Values) -> Array:
        """s until the mean conversion reaches a value: the pot life, with the value at which it ends.

        Infinite where it does not within three days.
        """
        goal = np.asarray(conversion, dtype=float)

        def margin(fields: Array) -> Array:
            return np.asarray(fields[..., CELLS:] @ self.weights - goal)

        return first_time(self.trajectory, margin)


def cup_radius(volume: Values) -> Array:
    """m of the sphere that loses heat as does a full cup as wide as high, of a `volume` (m3)."""
    # Three times the cup's volume over its whole surface is half its width.
    return np.asarray((np.asarray(volume, dtype=float) * 4.0 / np.pi) ** (1.0 / 3.0) / 2.0)


def cup(
    resin: Resin, mass: Values, temperature: Values, *, air: Values | None = None, film: Values = CUP_FILM
) -> Cup:
    """Follow a cup of `mass` (kg) mixed at a temperature (°C) in air of `air` (°C, else the same).

    Every value may be an array with one entry for each set of constants.
    """
    if not np.all(np.asarray(mass) > 0):
        raise ValueError("The cup's mass is not above zero; weigh what is mixed.")
    surround = temperature if air is None else air
    values = (mass, temperature, surround, film)
    sets = max(resin.draws, *(int(np.size(v)) for v in values))

    def wide(value: Values) -> Array:
        return np.array(np.broadcast_to(np.asarray(value, dtype=float), (sets,)))

    radius = cup_radius(wide(mass) / wide(resin.density))
    share = np.diff(1.0 - (1.0 - np.linspace(0.0, 1.0, CELLS + 1)) ** 1.3)
    cells = lay(radius[:, None] * share, wide(resin.k)[:, None] * np.ones(CELLS), Shape.SPHERE)
    held = wide(resin.density) * wide(resin.cp)
    system = column(
        cells,
        held[:, None] * np.ones(CELLS),
        (wide(resin.heat) / wide(resin.cp))[:, None] * np.ones(CELLS),
        Autocatalytic.of(resin),
        under=np.zeros(sets),
        top=Top(film=1.0, scale=wide(film)),
        air=steady(0.0, wide(surround)),
    )
    fields = np.concatenate(
        [np.repeat(wide(temperature)[:, None], CELLS, axis=1), np.zeros((sets, CELLS))], axis=1
    )
    outside = wide(surround)

    def settled(index: NDArray[np.intp], time: Array, there: Array) -> NDArray[np.bool_]:
        cool = there[:, :CELLS].max(1) - outside[index] < 0.5 * (there[:, :CELLS].max(1) + 1.0)
        return np.asarray((there[:, CELLS:].min(1) > DONE) & cool)

    trajectory = march(system, fields, start=0.0, end=HORIZON, tolerance=PATIENCE, settled=settled)
    volume = cells.volume[0] / cells.volume[0].sum()
    return Cup(trajectory, volume)
