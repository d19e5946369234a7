"""A row of cells that conduct, react, and lose heat at both ends: what the integrator steps through time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workshop.trade.cure.conduction import Cells, laplacian
from workshop.trade.cure.kinetics import Array, Law
from workshop.trade.cure.march import Linear, Solve
from workshop.trade.cure.surroundings import Air, Top

__all__ = ["Column", "column"]


@dataclass(frozen=True, slots=True, eq=False)
class Column:
    """A System: inert cells first, reacting ones after them up to the top."""

    link: Array
    inverse_capacity: Array
    """K per joule of each cell."""
    conduction: Array
    """1/s, (draws, cells, cells), with the linear losses of both ends."""
    inert: int
    rise: Array
    """K of a reacting cell for its whole conversion."""
    law: Law
    under: Array
    """W/K from the first cell to the air."""
    over: Array
    """W/K from the last cell to the air where the top is a plain film."""
    top: Top
    top_scale: Array
    top_area: Array
    air: Air
    offset: Array

    @property
    def warm(self) -> int:
        """See System."""
        return int(self.inverse_capacity.shape[1])

    def _changes(self, fields: Array, air: Array, lost: Array, curing: Array) -> Array:
        warm = self.warm
        temperature = fields[:, :warm]
        flow = self.link * (temperature[:, 1:] - temperature[:, :-1])
        changes = np.empty_like(fields)
        heat = changes[:, :warm]
        heat[:, :-1] = flow
        heat[:, -1] = -lost
        heat[:, 1:] -= flow
        heat[:, 0] -= self.under * (temperature[:, 0] - air)
        heat *= self.inverse_capacity
        changes[:, warm:] = curing
        heat[:, self.inert :] += self.rise * curing
        return changes

    def _lost(self, fields: Array, air: Array) -> tuple[Array, Array]:
        """W from the top, and how that changes with a kelvin."""
        surface = fields[:, self.warm - 1]
        if self.top.film is not None:
            return self.over * (surface - air), self.over
        lost, slope = self.top.loss(surface, air, self.top_scale)
        return self.top_area * lost, self.top_area * slope

    def rates(self, time: Array, fields: Array) -> Array:
        """See System."""
        air = self.air.at(time, self.offset)
        curing = self.law.rate(fields[:, self.inert : self.warm], fields[:, self.warm :])
        return self._changes(fields, air, self._lost(fields, air)[0], curing)

    def linearised(self, time: Array, fields: Array) -> Linear:
        """See System."""
        warm, inert = self.warm, self.inert
        air = self.air.at(time, self.offset)
        curing, by_heat, by_conversion = self.law.slopes(fields[:, inert:warm], fields[:, warm:])
        lost, top_slope = self._lost(fields, air)
        drift, rising = None, self.air.slope(time)
        if rising is not None:
            drift = np.zeros_like(fields)
            drift[:, 0] += self.under * rising * self.inverse_capacity[:, 0]
            drift[:, warm - 1] += top_slope * rising * self.inverse_capacity[:, -1]

        def factor(shift: Array) -> Solve:
            shifts = shift[:, None]
            # Conversion is local, so that it is put out of the system cell by cell. A step that outruns the
            # reaction's own growth is refused for its error; the bounds keep the matrix sound until then.
            growth = np.minimum(by_conversion, 0.5 * shifts)
            local = 1.0 / (shifts - growth)
            coupling = self.rise * growth * local
            matrix = self.conduction.copy()
            diagonal = matrix.reshape(matrix.shape[0], -1)[:, :: warm + 1]
            diagonal += shifts
            diagonal[:, inert:] -= np.minimum(self.rise * by_heat * shifts * local, 0.7 * shifts)
            if self.top.film is None:
                diagonal[:, -1] += top_slope * self.inverse_capacity[:, -1]
            inverse = np.linalg.inv(matrix)

            def solve(right: Array) -> Array:
                moved = right.copy()
                moved[:, inert:warm] += coupling * right[:, warm:]
                moved[:, :warm] = (inverse @ moved[:, :warm, None])[:, :, 0]
                moved[:, warm:] += by_heat * moved[:, inert:warm]
                moved[:, warm:] *= local
                return moved

            return solve

        return Linear(self._changes(fields, air, lost, curing), drift, factor)

    def take(self, index: NDArray[np.intp]) -> Column:
        """See System."""
        return Column(
            self.link[index],
            self.inverse_capacity[index],
            self.conduction[index],
            self.inert,
            self.rise[index],
            self.law.take(index),
            self.under[index],
            self.over[index],
            self.top,
            self.top_scale[index],
            self.top_area[index],
            self.air,
            self.offset[index],
        )


def column(
    cells: Cells,
    heat_capacity: Array,
    rise: Array,
    law: Law,
    *,
    inert: int = 0,
    under: Array,
    top: Top,
    air: Air,
) -> Column:
    """The system of a row of cells.

    `heat_capacity` in J/(m3 K) for each cell, `rise` in K for the whole conversion of each reacting cell,
    `under` the film below the first cell, W/(m2 K), one for each draw.
    """
    draws, count = cells.volume.shape
    inverse = 1.0 / (heat_capacity * cells.volume)
    below = np.where(under > 0, cells.first_area / (1.0 / np.maximum(under, 1e-12) + cells.first_half), 0.0)
    scale = np.broadcast_to(np.asarray(top.scale, dtype=float), (draws,))
    over = np.zeros(draws)
    if top.film:
        over = cells.last_area / (1.0 / (top.film * scale) + cells.last_half)
    matrix = laplacian(cells)
    matrix[:, 0, 0] += below
    matrix[:, -1, -1] += over
    matrix *= inverse[:, :, None]
    return Column(
        cells.link,
        inverse,
        matrix,
        inert,
        np.broadcast_to(rise, (draws, count - inert)),
        law,
        below,
        over,
        top,
        scale,
        cells.last_area,
        air,
        np.broadcast_to(np.asarray(air.offset, dtype=float), (draws,)),
    )
