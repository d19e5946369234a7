"""Where a stack's temperatures and conversions lie in the row of numbers that the integrator steps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.river import River
from workshop.trade.cure.stack import Laid, Layers, Stack

__all__ = ["Layout", "layout", "pack", "unpack"]


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Temperatures by rows from the floor upwards, resin first in each row, then the resin's conversions."""

    rows: int
    columns: int
    floor: int
    """Rows of the floor."""
    across: int
    """Columns of resin."""
    lifts: tuple[slice, ...]
    """Each lift's rows of resin, counted above the floor."""
    line: int
    """The column in the resin's middle."""
    weights: Array
    """Volume of resin in each cell of the fresh lift, (draws or 1, cells)."""
    tg0: Array
    """°C in each cell of resin."""
    tg1: Array

    @property
    def warm(self) -> int:
        """How many entries are temperatures."""
        return self.rows * self.columns

    @property
    def fresh(self) -> int:
        """How many cells of resin lie below the fresh lift."""
        return int(self.lifts[-1].start) * self.across

    def grid(self, fields: Array) -> Array:
        """°C, (..., rows, columns)."""
        return fields[..., : self.warm].reshape(*fields.shape[:-1], self.rows, self.columns)

    def resin(self, fields: Array) -> Array:
        """°C of all cells of resin, (..., cells)."""
        if self.columns == 1:
            return fields[..., self.floor : self.warm]
        return self.grid(fields)[..., self.floor :, : self.across].reshape(*fields.shape[:-1], -1)

    def conversion(self, fields: Array) -> Array:
        """Of all cells of resin, (..., cells)."""
        return fields[..., self.warm :]

    def fresh_resin(self, fields: Array) -> Array:
        """°C of the fresh lift, (..., cells)."""
        return self.resin(fields)[..., self.fresh :]

    def fresh_conversion(self, fields: Array) -> Array:
        """Of the fresh lift, (..., cells)."""
        return fields[..., self.warm + self.fresh :]

    def surface_conversion(self, fields: Array) -> Array:
        """Of the cells that look up, (..., cells across)."""
        return fields[..., -self.across :]


def layout(parts: Layers, river: River | None) -> Layout:
    """The layout of a stack's cells."""
    rows = parts.widths.shape[1]
    across, wood = (1, 0) if river is None else (river.cells, river.wood_cells)
    fresh = parts.lifts[-1]
    volume = parts.widths[:, parts.inert :][:, fresh] * parts.reacting[:, fresh]
    widths = np.ones(1) if river is None else river.widths
    reacting = rows - parts.inert

    def each(values: Array) -> Array:
        return np.repeat(np.broadcast_to(values, (values.shape[0], reacting)), across, axis=1)

    return Layout(
        rows,
        across + wood,
        parts.inert,
        across,
        parts.lifts,
        0 if river is None or len(river.sides) == 1 else across // 2,
        (volume[:, :, None] * widths).reshape(volume.shape[0], -1),
        each(parts.law.tg0),
        each(parts.law.tg1),
    )


def pack(stack: Stack, place: Layout, draws: int) -> Array:
    """A stack's fields as (draws, entries)."""

    def wide(values: Array) -> Array:
        return np.broadcast_to(values, (draws, *values.shape[1:]))

    rows = [wide(stack.plates).reshape(draws, place.floor, place.columns)]
    for laid in stack.laid:
        resin = wide(laid.temperature).reshape(draws, -1, place.across)
        beside = [] if laid.beside is None else [wide(laid.beside)]
        rows.append(np.concatenate([resin, *beside], axis=2))
    grid = np.concatenate(rows, axis=1).reshape(draws, -1)
    return np.concatenate([grid, *(wide(laid.conversion).reshape(draws, -1) for laid in stack.laid)], axis=1)


def unpack(fields: Array, place: Layout, stack: Stack) -> tuple[Array, tuple[Laid, ...]]:
    """The floor's temperatures and the lifts with theirs, from (draws, entries)."""
    draws = fields.shape[0]
    grid = place.grid(fields)
    cured = place.conversion(fields).reshape(draws, -1, place.across)
    laid = []
    for one, rows in zip(stack.laid, place.lifts, strict=True):
        there = grid[:, place.floor + rows.start : place.floor + rows.stop]
        resin, done = there[:, :, : place.across], cured[:, rows]
        if stack.river is None:
            laid.append(Laid(one.lift, one.faces, resin[:, :, 0], done[:, :, 0]))
        else:
            laid.append(Laid(one.lift, one.faces, resin, done, there[:, :, place.across :]))
    plates = grid[:, : place.floor]
    return (plates[:, :, 0] if stack.river is None else plates), tuple(laid)
