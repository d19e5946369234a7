"""A section across a river of resin: heat that goes down, up and sideways into the wood.

The Jacobian is factored into one factor along each direction and one for the reaction in each cell; the
integrator is of a kind that keeps its order with such a factorisation. Conduction along a direction is
diagonalised once for each kind of row or column.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from workshop.trade.cure.conduction import Cells, laplacian, lay
from workshop.trade.cure.kinetics import Array, Autocatalytic
from workshop.trade.cure.march import Linear, Solve
from workshop.trade.cure.river import River
from workshop.trade.cure.stack import Layers, Stack
from workshop.trade.cure.surroundings import Air, Top

__all__ = ["Section", "section"]

USUAL_FILM = 10.0
"""W/(m2 K) of the top in the factored Jacobian; the loss itself is not linearised."""

Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Rows or columns that are alike, and their conduction by its eigenvectors."""

    place: slice
    loss: Array
    """1/s, (draws, cells, cells): cooling of each cell for a kelvin of each."""
    values: Array
    """1/s, (draws, cells)."""
    into: Array
    out: Array

    def take(self, index: Index) -> _Lines:
        return _Lines(self.place, self.loss[index], self.values[index], self.into[index], self.out[index])


def _lines(place: slice, conductance: Array, capacity: Array) -> _Lines:
    """From W/K and J/K."""
    root = np.sqrt(capacity)
    even = conductance / (root[:, :, None] * root[:, None, :])
    values, vectors = np.linalg.eigh(even)
    return _Lines(
        place,
        conductance / capacity[:, :, None],
        np.maximum(values, 0.0),
        vectors.transpose(0, 2, 1) * root[:, None, :],
        vectors / root[:, :, None],
    )


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """A System: cells of floor and wood and, in the corner of the rows above the floor, of resin."""

    shape: tuple[int, int]
    floor: int
    """Rows of the floor."""
    across: int
    """Columns of the resin, which come first."""
    rows: tuple[_Lines, ...]
    columns: tuple[_Lines, ...]
    rise: Array
    """K, (draws, rows of resin, 1)."""
    law: Autocatalytic
    gain: Array
    """1/s by which each cell follows the air through floor and edges, (draws, rows, columns)."""
    top: Top
    top_scale: Array
    top_gain: Array
    """K m2/J of the uppermost row, (draws, columns)."""
    air: Air
    offset: Array

    @property
    def warm(self) -> int:
        """See System."""
        return self.shape[0] * self.shape[1]

    def _parts(self, fields: Array) -> tuple[Array, Array, Array]:
        """All temperatures, the resin's, and its conversions, as views."""
        draws = fields.shape[0]
        grid = fields[:, : self.warm].reshape(draws, *self.shape)
        resin = grid[:, self.floor :, : self.across]
        return grid, resin, fields[:, self.warm :].reshape(resin.shape)

    def _changes(self, fields: Array, grid: Array, air: Array, lost: Array, curing: Array) -> Array:
        changes = np.empty_like(fields)
        heat, resin, cured = self._parts(changes)
        np.multiply(self.gain, air[:, None, None], out=heat)
        for lines in self.rows:
            heat[:, lines.place] -= grid[:, lines.place] @ lines.loss.transpose(0, 2, 1)
        for lines in self.columns:
            heat[:, :, lines.place] -= lines.loss @ grid[:, :, lines.place]
        heat[:, -1] += self.top_gain * (USUAL_FILM * self.top_scale * grid[:, -1] - lost)
        cured[...] = curing
        resin += self.rise * curing
        return changes

    def _lost(self, grid: Array, air: Array) -> tuple[Array, Array]:
        return self.top.loss(grid[:, -1], air[:, None], self.top_scale)

    def rates(self, time: Array, fields: Array) -> Array:
        """See System."""
        air = self.air.at(time, self.offset)
        grid, resin, conversion = self._parts(fields)
        return self._changes(fields, grid, air, self._lost(grid, air)[0], self.law.rate(resin, conversion))

    def linearised(self, time: Array, fields: Array) -> Linear:
        """See System."""
        air = self.air.at(time, self.offset)
        grid, resin, conversion = self._parts(fields)
        curing, by_heat, by_conversion = self.law.slopes(resin, conversion)
        lost, top_slope = self._lost(grid, air)
        drift, rising = None, self.air.slope(time)
        if rising is not None:
            drift = np.zeros_like(fields)
            heat = self._parts(drift)[0]
            heat += self.gain * rising[:, None, None]
            heat[:, -1] += self.top_gain * top_slope * rising[:, None]

        def factor(shift: Array) -> Solve:
            ratio = 1.0 / shift[:, None]
            shifts = shift[:, None, None]
            rows = [1.0 / (1.0 + lines.values * ratio) for lines in self.rows]
            columns = [1.0 / (1.0 + lines.values * ratio) for lines in self.columns]
            # Conversion is local: put out exactly, it leaves heat alone to be factored.
            growth = np.minimum(by_conversion, 0.5 * shifts)
            local = 1.0 / (shifts - growth)
            coupling = self.rise * growth * local
            swell = 1.0 / np.maximum(1.0 - self.rise * by_heat * local, 0.3)

            def solve(right: Array) -> Array:
                moved = right * ratio
                heat, warmed, cured = self._parts(moved)
                warmed += coupling * cured
                warmed *= swell
                for lines, damp in zip(self.rows, rows, strict=True):
                    parts = heat[:, lines.place] @ lines.into.transpose(0, 2, 1)
                    parts *= damp[:, None, :]
                    heat[:, lines.place] = parts @ lines.out.transpose(0, 2, 1)
                for lines, damp in zip(self.columns, columns, strict=True):
                    parts = lines.into @ heat[:, :, lines.place]
                    parts *= damp[:, :, None]
                    heat[:, :, lines.place] = lines.out @ parts
                cured *= shifts
                cured += by_heat * warmed
                cured *= local
                return moved

            return solve

        return Linear(self._changes(fields, grid, air, lost, curing), drift, factor)

    def take(self, index: Index) -> Section:
        """See System."""
        return Section(
            self.shape,
            self.floor,
            self.across,
            tuple(lines.take(index) for lines in self.rows),
            tuple(lines.take(index) for lines in self.columns),
            self.rise[index],
            self.law.take(index),
            self.gain[index],
            self.top,
            self.top_scale[index],
            self.top_gain[index],
            self.air,
            self.offset[index],
        )


def section(stack: Stack, river: River, parts: Layers, top: Top, air: Air) -> Section:
    """The system of a stack between its sides of wood."""
    draws, rows = parts.widths.shape
    resin, wood = river.cells, river.wood_cells
    floor = parts.inert
    material = [side.material for side in river.sides]
    conductivity = np.empty((draws, rows, resin + wood))
    capacity = np.empty_like(conductivity)
    conductivity[:] = parts.conductivity[:, :, None]
    capacity[:] = parts.heat_capacity[:, :, None]
    each = wood // len(river.sides)
    for number, one in enumerate(material):
        there = slice(resin + number * each, resin + (number + 1) * each)
        conductivity[:, floor:, there] = np.reshape(one.k, (-1, 1, 1))
        capacity[:, floor:, there] = np.reshape(np.asarray(one.density) * np.asarray(one.cp), (-1, 1, 1))
    order, widths = _across(river)
    gain = np.zeros_like(conductivity)
    row_lines = []
    for start, end in pairwise(_changes_of_row(conductivity, capacity)):
        row = order[0]
        cells = lay(np.repeat(widths[None], draws, axis=0), conductivity[:, start][:, row])
        lost, ends = _edges(cells, river)
        held = capacity[:, start][:, row] * widths
        back = np.argsort(row)
        row_lines.append(_lines(slice(start, end), lost[:, back][:, :, back], held[:, back]))
        gain[:, start:end] += (ends / held)[:, back][:, None, :]
    column_lines = []
    film = np.broadcast_to(np.asarray(stack.floor.film, dtype=float), (draws,))
    scale = np.broadcast_to(np.asarray(top.scale, dtype=float), (draws,))
    starts = [0, resin, *(resin + each * (n + 1) for n in range(len(material)))]
    for start, end in pairwise(starts):
        cells = lay(parts.widths, conductivity[:, :, start])
        held = capacity[:, :, start] * parts.widths
        lost = laplacian(cells)
        below = np.where(film > 0, 1.0 / (1.0 / np.maximum(film, 1e-12) + cells.first_half), 0.0)
        lost[:, 0, 0] += below
        lost[:, -1, -1] += USUAL_FILM * scale
        column_lines.append(_lines(slice(start, end), lost, held))
        gain[:, 0, start:end] += (below / held[:, 0])[:, None]
    law = Autocatalytic(
        *(getattr(parts.law, n)[:, :, None] for n in ("log_rate", "kelvins", "kappa", "tg0", "tg1"))
    )
    return Section(
        (rows, resin + wood),
        floor,
        resin,
        tuple(row_lines),
        tuple(column_lines),
        parts.rise[:, :, None],
        law,
        gain,
        top,
        scale[:, None],
        1.0 / (capacity[:, -1] * parts.widths[:, -1:]),
        air,
        np.broadcast_to(np.asarray(air.offset, dtype=float), (draws,)),
    )


def _across(river: River) -> tuple[tuple[Index], Array]:
    """The grid's columns (resin first) as they lie from left to right, and their widths in that order."""
    resin = np.arange(river.cells)
    each = river.wood_cells // len(river.sides)
    if len(river.sides) == 1:
        order = np.concatenate((resin, river.cells + np.arange(each)))
        return (order,), np.concatenate((river.widths, river.sides[0].widths))
    left = river.cells + np.arange(each)[::-1]
    right = river.cells + each + np.arange(each)
    return (np.concatenate((left, resin, right)),), np.concatenate(
        (river.sides[0].widths[::-1], river.widths, river.sides[-1].widths)
    )


def _edges(cells: Cells, river: River) -> tuple[Array, Array]:
    """Conduction along a row with its outer edges, and the W/K from each cell to the air."""
    lost = laplacian(cells)
    ends = np.zeros_like(cells.volume)
    last = river.sides[-1].edge
    if last:
        ends[:, -1] = 1.0 / (1.0 / last + cells.last_half)
    if len(river.sides) == 2 and river.sides[0].edge:
        ends[:, 0] = 1.0 / (1.0 / river.sides[0].edge + cells.first_half)
    diagonal = np.arange(ends.shape[1])
    lost[:, diagonal, diagonal] += ends
    return lost, ends


def _changes_of_row(conductivity: Array, capacity: Array) -> list[int]:
    """Where rows that are alike begin, and the end of all."""
    rows = conductivity.shape[1]
    unlike = [
        row
        for row in range(1, rows)
        if not (
            np.array_equal(conductivity[:, row], conductivity[:, row - 1])
            and np.array_equal(capacity[:, row], capacity[:, row - 1])
        )
    ]
    return [0, *unlike, rows]
