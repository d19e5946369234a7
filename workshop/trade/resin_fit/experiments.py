"""The cups and lifts that a sheet and its test pours tell of, followed for many sets of constants at once."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import ceil
from typing import Final

import numpy as np

from workshop.trade.cure.cup import CUP_FILM, Cup, cup
from workshop.trade.cure.kinetics import Array, Resin, Values, glass_transition
from workshop.trade.cure.march import Tolerance
from workshop.trade.cure.run import DAY, Run, cure
from workshop.trade.cure.stack import RAISED, Lift, empty_form, pour
from workshop.trade.cure.surroundings import Top, steady
from workshop.trade.resin_fit.parameters import Constants

__all__ = ["CupTest", "LiftTest", "Seen", "crest", "follow", "raised_lift"]

_QUICK: Final = Tolerance(0.1, 4e-3, 3e-3)
"""Some tenths of a kelvin at the peak: an eighth of what a sheet leaves open."""
_CELLS: Final = 18
_DEEPEST_CELL: Final = 0.003
_MOST_CELLS: Final = 40
_LONG: Final = 6 * DAY
"""s that a lift is followed for its peak and its gel."""


@dataclass(frozen=True, slots=True)
class CupTest:
    """A cup of `mass` (kg) at a temperature (°C)."""

    mass: float
    temperature: float


@dataclass(frozen=True, slots=True)
class LiftTest:
    """A lift of `depth` (m) in a wide form raised on battens, at a temperature (°C)."""

    depth: float
    temperature: float


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What became of every test, sets of constants last."""

    constants: Constants
    shift: Array
    """K added to every temperature, one for each set."""
    cups: Cup | None
    lifts: Run | None

    @property
    def sets(self) -> int:
        """How many sets of constants."""
        return int(self.shift.size)

    def of(self, test: int, values: Array) -> Array:
        """One test's share of an array with one value for each set of each test."""
        return values[..., test * self.sets : (test + 1) * self.sets]

    def least_glass(self, test: int, time: float) -> Array:
        """°C, the lowest glass transition in a lift at a time (s) since its pour."""
        assert self.lifts is not None
        place = self.lifts.place
        there = self.lifts.trajectory.at(time)
        least = self.of(test, place.fresh_conversion(there).min(-1))
        resin = self.constants.resin
        return glass_transition(least, resin.tg0, resin.tg1)


def follow(
    constants: Constants,
    shift: Array,
    cups: tuple[CupTest, ...],
    lifts: tuple[LiftTest, ...],
    keep: tuple[float, ...] = (),
) -> Seen:
    """Follow each test with each set of constants, all cups in one march and all lifts in another.

    `shift` are K added to every temperature, one for each set; `keep` are times (s) at which the lifts
    will be looked at.
    """
    sets = shift.size
    seen_cups = seen_lifts = None
    if cups:
        warm = _each([test.temperature for test in cups], sets) + np.tile(shift, len(cups))
        seen_cups = cup(
            _tiled(constants.resin, len(cups), sets),
            _each([test.mass for test in cups], sets),
            warm,
            film=CUP_FILM * np.tile(constants.film, len(cups)),
        )
    if lifts:
        warm = _each([test.temperature for test in lifts], sets) + np.tile(shift, len(lifts))
        seen_lifts = raised_lift(
            _tiled(constants.resin, len(lifts), sets),
            _each([test.depth for test in lifts], sets),
            warm,
            np.tile(constants.film, len(lifts)),
            keep,
        )
    return Seen(constants, shift, seen_cups, seen_lifts)


def raised_lift(
    resin: Resin, depth: Values, temperature: Values, film: Values, keep: tuple[float, ...] = ()
) -> Run:
    """A lift alone in a wide form on battens, all at one temperature (°C), `film` a factor on the films."""
    floor = replace(RAISED, film=np.asarray(RAISED.film) * film)
    cells = min(max(_CELLS, ceil(float(np.max(depth)) / _DEEPEST_CELL)), _MOST_CELLS)
    stack = pour(empty_form(floor, temperature), Lift(depth, resin, temperature), cells=cells)
    return cure(
        stack,
        steady(0.0, temperature),
        top=Top(np.asarray(film, dtype=float)),
        horizon=max(_LONG, 1.02 * max(keep, default=0.0)),
        keep=keep,
        tolerance=_QUICK,
    )


def crest(times: Array, values: Array) -> tuple[Array, Array]:
    """The top of the parabola through the highest step and its neighbours, and when: (steps, sets) each."""
    last, sets = values.shape[0] - 1, np.arange(values.shape[1])
    top = values.argmax(0)
    if last < 2:
        return values[top, sets], times[top, sets]
    at = np.clip(top, 1, last - 1)
    t0, t1, t2 = (times[at + shift, sets] for shift in (-1, 0, 1))
    y0, y1, y2 = (values[at + shift, sets] for shift in (-1, 0, 1))
    curved = (top == at) & (t1 > t0) & (t2 > t1)
    before, after = np.where(curved, t1 - t0, 1.0), np.where(curved, t2 - t1, 1.0)
    rise, fall = (y1 - y0) / before, (y2 - y1) / after
    bend = (rise - fall) / (before + after)
    slope = (rise * after + fall * before) / (before + after)
    curved &= bend > 0
    move = np.where(curved, slope / (2.0 * np.where(curved, bend, 1.0)), 0.0)
    move = np.clip(move, -before, after)
    high = np.where(curved, y1 + slope * move - bend * move * move, values[top, sets])
    return high, times[top, sets] + move


def _each(values: list[float], sets: int) -> Array:
    return np.repeat(np.asarray(values, dtype=float), sets)


def _tiled(resin: Resin, times: int, sets: int) -> Resin:
    """The resin's sets once for each test."""
    return Resin(
        **{
            field.name: np.tile(
                np.broadcast_to(np.asarray(getattr(resin, field.name), dtype=float), (sets,)), times
            )
            for field in fields(Resin)
        }
    )
