"""A form and the lifts in it, from the floor upwards, with the temperature and the conversion of each cell.

A stack is a value: pouring and curing give new ones, so that a plan may keep the stack that any lift of a
chain was poured on. Heights in m, temperatures in °C, times in s on the stack's own clock.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import ceil
from typing import Final

import numpy as np

from workshop.trade.cure.conduction import graded
from workshop.trade.cure.kinetics import Array, Autocatalytic, Resin, Values
from workshop.trade.cure.materials import CONCRETE, PARTICLEBOARD, Material, maxwell_eucken
from workshop.trade.cure.river import River

__all__ = [
    "CONCRETE_FLOOR",
    "FLAT_ON_BENCH",
    "RAISED",
    "Bed",
    "Floor",
    "Laid",
    "Layers",
    "Lift",
    "Plate",
    "Stack",
    "empty_form",
    "layers",
    "pour",
]

CELLS: Final = 30
"""Of a fresh lift, besides its skin; a deep one that runs away has steeper fronts and takes more."""
MOST_CELLS: Final = 54
DEEPEST_CELL: Final = 0.0022
"""m on the average."""
SECTION_CELLS: Final = 17
"""The same in a section."""
OLDER_CELLS: Final = (14, 9, 6)
"""Of the lift below the fresh one, the next, and all beneath."""
SKIN: Final = 0.001
"""Share of a lift's depth that stands for its surface."""
PLATE_CELLS: Final = 10
PLATE_FACES: Final = 1.0 - (1.0 - np.linspace(0.0, 1.0, PLATE_CELLS + 1)) ** 1.25
"""Of a plate's cells, 0 below and 1 above: finest where the resin's heat comes in."""


@dataclass(frozen=True, slots=True)
class Plate:
    """A sheet that does not react: thickness in m."""

    thickness: Values
    material: Material


@dataclass(frozen=True, slots=True)
class Floor:
    """What a lift is poured on: plates from below upwards, and the film beneath the lowest, W/(m2 K)."""

    plates: tuple[Plate, ...] = (Plate(0.018, PARTICLEBOARD),)
    film: Values = 5.0

    @property
    def cells(self) -> int:
        """How many cells the plates take."""
        return PLATE_CELLS * len(self.plates)


RAISED: Final = Floor()
"""A form floor of 18 mm particleboard on battens: film 5 W/(m2 K), judgement."""
FLAT_ON_BENCH: Final = Floor(film=1.0)
"""The same flat on a bench: 1 W/(m2 K), judgement."""
CONCRETE_FLOOR: Final = Floor((Plate(0.1, CONCRETE), Plate(0.018, PARTICLEBOARD)), 1.0)
"""The same laid on a concrete slab, whose uppermost 100 mm take part."""


@dataclass(frozen=True, slots=True)
class Bed:
    """Stone, glass or the like in a lift, between two heights above the lift's own bottom (m)."""

    low: float
    high: float
    share: Values
    """Solid by volume: 0.55 for a loose bed, 0.64 at the densest."""
    material: Material

    def __post_init__(self) -> None:
        if not 0 <= self.low < self.high:
            raise ValueError(
                f"The bed reaches from {self.low:g} m to {self.high:g} m above the lift's bottom; give two "
                "heights that rise, the lower at zero or above."
            )
        if not np.all((np.asarray(self.share) >= 0) & (np.asarray(self.share) < 1)):
            raise ValueError(
                "The bed's share of solid does not lie between 0 and 1; 0.55 is usual when loose."
            )


@dataclass(frozen=True, slots=True)
class Lift:
    """One pour: its depth (m), its resin, and its temperature when poured (°C)."""

    depth: Values
    resin: Resin
    temperature: Values
    beds: tuple[Bed, ...] = ()

    def __post_init__(self) -> None:
        if not np.all(np.asarray(self.depth) > 0):
            raise ValueError("The lift's depth is not above zero; give a depth above zero.")


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A lift in the form with its fields, (draws, cells) or (draws, cells, cells across)."""

    lift: Lift
    faces: Array
    """Of the cells, 0 at the bottom and 1 at the top."""
    temperature: Array
    conversion: Array
    beside: Array | None = None
    """°C of the wood at the lift's height, (draws, cells, cells across): in a section only."""


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """A form, what lies in it, and the time on its clock."""

    floor: Floor
    plates: Array
    """°C of the floor's cells, (draws, cells), in a section (draws, cells, cells across)."""
    laid: tuple[Laid, ...] = ()
    time: float = 0.0
    river: River | None = None
    """The wood beside the resin; none for a form so wide that only its depth matters."""

    @property
    def depth(self) -> Values:
        """m of resin in all."""
        return sum((np.asarray(laid.lift.depth) for laid in self.laid), start=np.zeros(1))


def empty_form(floor: Floor, temperature: Values, *, river: River | None = None, time: float = 0.0) -> Stack:
    """An empty form whose floor has this temperature (°C); with a `river` it is followed as a section."""
    warm = np.atleast_1d(np.asarray(temperature, dtype=float))
    across = () if river is None else (river.cells + river.wood_cells,)
    return Stack(floor, _even(warm, (floor.cells, *across)), (), time, river)


def pour(stack: Stack, lift: Lift, *, wood: Values | None = None, cells: int | None = None) -> Stack:
    """The stack with a fresh lift on top; older lifts keep their fields, on fewer cells.

    In a section the wood beside the lift has the temperature `wood` (°C), else that of the poured resin.
    """
    older = tuple(
        coarsened(laid, OLDER_CELLS[min(depth, len(OLDER_CELLS) - 1)])
        for depth, laid in zip(range(len(stack.laid) - 1, -1, -1), stack.laid, strict=True)
    )
    river = stack.river
    if cells is None:
        cells = SECTION_CELLS
        if river is None:
            cells = min(max(CELLS, ceil(float(np.max(lift.depth)) / DEEPEST_CELL)), MOST_CELLS)
    faces = graded(cells, SKIN)
    warm = np.atleast_1d(np.asarray(lift.temperature, dtype=float))
    shape = (len(faces) - 1,) if river is None else (len(faces) - 1, river.cells)
    beside = None
    if river is not None:
        still = warm if wood is None else np.atleast_1d(np.asarray(wood, dtype=float))
        beside = _even(still, (len(faces) - 1, river.wood_cells))
    fresh = Laid(lift, faces, _even(warm, shape), np.zeros((1, *shape)), beside)
    return replace(stack, laid=(*older, fresh))


def _even(values: Array, shape: tuple[int, ...]) -> Array:
    return np.array(
        np.broadcast_to(values.reshape(-1, *([1] * len(shape))), (values.size, *shape)), dtype=float
    )


@lru_cache(maxsize=64)
def _shares(old: bytes, new: int) -> Array:
    """How much of each old cell, as a share of the depth, lies in each of `new` cells."""
    before = np.frombuffer(old)
    after = graded(new)
    low = np.maximum(before[None, :-1], after[:-1, None])
    high = np.minimum(before[None, 1:], after[1:, None])
    return np.asarray(np.maximum(high - low, 0.0), dtype=float)


def coarsened(laid: Laid, cells: int) -> Laid:
    """The lift on fewer cells: means by volume, weighted by heat capacity for the temperature."""
    if len(laid.faces) - 1 <= cells:
        return laid
    shares = _shares(np.ascontiguousarray(laid.faces).tobytes(), cells)
    parts = _mixture(laid)
    # A section's fields carry one axis more, across the resin.
    across = laid.temperature.ndim == 3
    held = parts.heat_capacity[:, :, None] if across else parts.heat_capacity
    reacting = parts.reacting[:, :, None] if across else parts.reacting
    form = "nm,dm...->dn..."
    weight = np.asarray(np.einsum(form, shares, held))
    warm = np.einsum(form, shares, held * laid.temperature) / weight
    cured = np.einsum(form, shares, reacting * laid.conversion) / np.einsum(form, shares, reacting)
    beside = laid.beside
    if beside is not None:
        beside = np.einsum(form, shares, beside) / shares.sum(1)[:, None]
    return Laid(laid.lift, graded(cells), warm, cured, beside)


@dataclass(frozen=True, slots=True, eq=False)
class Layers:
    """Cells of plates and lifts from below upwards, (draws, cells): what conducts and what reacts."""

    widths: Array
    conductivity: Array
    heat_capacity: Array
    """J/(m3 K)."""
    rise: Array
    """K for the whole conversion, reacting cells alone."""
    reacting: Array
    """Share of resin by volume, reacting cells alone."""
    law: Autocatalytic
    inert: int
    lifts: tuple[slice, ...]
    """Where each lift's cells lie among the reacting ones."""


@dataclass(frozen=True, slots=True, eq=False)
class _Mixture:
    widths: Array
    conductivity: Array
    heat_capacity: Array
    rise: Array
    reacting: Array


def _column(values: Values) -> Array:
    return np.atleast_1d(np.asarray(values, dtype=float))[:, None]


def _mixture(laid: Laid) -> _Mixture:
    lift, resin = laid.lift, laid.lift.resin
    widths = _column(lift.depth) * np.diff(laid.faces)[None, :]
    low, high = _column(lift.depth) * laid.faces[None, :-1], _column(lift.depth) * laid.faces[None, 1:]
    held = _column(np.asarray(resin.density) * np.asarray(resin.cp)) + 0 * widths
    conductivity = _column(resin.k) + 0 * widths
    solid = np.zeros_like(widths)
    for bed in lift.beds:
        overlap = np.maximum(np.minimum(high, bed.high) - np.maximum(low, bed.low), 0.0) / (high - low)
        share = overlap * _column(bed.share)
        stone = bed.material
        held = held + share * (
            _column(np.asarray(stone.density) * np.asarray(stone.cp))
            - _column(np.asarray(resin.density) * np.asarray(resin.cp))
        )
        conductivity = maxwell_eucken(conductivity, _column(stone.k), share)
        solid = solid + share
    reacting = 1.0 - solid
    rise = reacting * _column(np.asarray(resin.density) * np.asarray(resin.heat)) / held
    return _Mixture(widths, conductivity, held, rise, reacting)


def _wide(parts: list[Array], draws: int, counts: list[int]) -> Array:
    return np.concatenate(
        [np.broadcast_to(part, (draws, count)) for part, count in zip(parts, counts, strict=True)], axis=1
    )


def layers(stack: Stack, draws: int) -> Layers:
    """The cells of a stack, each value for each of so many draws."""
    parts = [_mixture(laid) for laid in stack.laid]
    counts = [len(laid.faces) - 1 for laid in stack.laid]
    plates = stack.floor.plates
    plate_counts = [PLATE_CELLS] * len(plates)
    everything = plate_counts + counts
    laws = [Autocatalytic.of(laid.lift.resin) for laid in stack.laid]
    law = laws[0]
    if any(laid.lift.resin is not stack.laid[0].lift.resin for laid in stack.laid):
        law = Autocatalytic(
            *(
                _wide([getattr(one, name) for one in laws], draws, counts)
                for name in ("log_rate", "kelvins", "kappa", "tg0", "tg1")
            )
        )
    ends = np.cumsum([0, *counts])
    return Layers(
        _wide(
            [_column(p.thickness) * np.diff(PLATE_FACES) for p in plates] + [p.widths for p in parts],
            draws,
            everything,
        ),
        _wide([_column(p.material.k) for p in plates] + [p.conductivity for p in parts], draws, everything),
        _wide(
            [_column(np.asarray(p.material.density) * np.asarray(p.material.cp)) for p in plates]
            + [p.heat_capacity for p in parts],
            draws,
            everything,
        ),
        _wide([p.rise for p in parts], draws, counts),
        _wide([p.reacting for p in parts], draws, counts),
        law,
        sum(plate_counts),
        tuple(slice(int(a), int(b)) for a, b in pairwise(ends)),
    )


def draws_of(stack: Stack) -> int:
    """How many draws a stack stands for: the greatest number of values that any entry carries."""
    sizes = [stack.plates.shape[0], int(np.size(stack.floor.film))]
    for plate in stack.floor.plates:
        sizes += [np.size(v) for v in (plate.thickness, plate.material.k, plate.material.cp)]
    for laid in stack.laid:
        lift = laid.lift
        sizes += [lift.resin.draws, np.size(lift.depth), np.size(lift.temperature)]
        sizes += [laid.temperature.shape[0], laid.conversion.shape[0]]
        sizes += [np.size(v) for bed in lift.beds for v in (bed.share, bed.material.k, bed.material.cp)]
    return int(max(sizes))
