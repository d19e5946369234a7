"""Stepping temperature and conversion through time, each draw of an ensemble with steps of its own length.

Linearly implicit Runge-Kutta methods: ROS4 of order 4 where the Jacobian is exact (Hairer and Wanner, Solving
Ordinary Differential Equations II, section IV.7, the L-stable set), ROS34PW2 of order 3 where it is factored
only approximately (Rang and Angermann, BIT 45 (2005) 761). Both keep linear invariants, so that heat neither
appears nor vanishes whatever the step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

from workshop.trade.cure.kinetics import Array

__all__ = ["ROS4", "ROS34PW2", "Linear", "System", "Tableau", "Tolerance", "Trajectory", "march"]

Solve = Callable[[Array], Array]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Tableau:
    """A Rosenbrock method in the form that needs no products with the Jacobian."""

    gamma: float
    a: tuple[Array, ...]
    """Empty where a stage reuses the rates of the one before."""
    c: tuple[Array, ...]
    weights: tuple[float, ...]
    error: tuple[float, ...]
    when: tuple[float, ...]
    drift: tuple[float, ...]
    order: int
    """Of the estimate's step control: one above the embedded method's."""

    @property
    def ends(self) -> Array:
        """Weights and error as one matrix."""
        return np.array([self.weights, self.error])


ROS4: Final = Tableau(
    0.57282,
    tuple(map(np.array, ((), (2.0,), (1.867943637803922, 0.2344449711399156), ()))),
    tuple(
        map(
            np.array,
            (
                (),
                (-7.137615036412310,),
                (2.580708087951457, 0.6515950076447975),
                (-2.137148994382534, -0.3214669691237626, -0.6949742501781779),
            ),
        )
    ),
    (2.255570073418735, 0.2870493262186792, 0.4353179431840180, 1.093502252409163),
    (-0.2815431932141155, -0.07276199124938920, -0.1082196201495311, -1.093502252409163),
    (0.0, 1.14564, 0.6552168638155900, 0.6552168638155900),
    (0.57282, -1.769193891319233, 0.7592633437920482, -0.1049021087100450),
    4,
)
"""The fourth stage reuses the third one's rates."""


def _transformed(
    a: list[list[float]], gamma: list[list[float]], b: list[float], lower: list[float], order: int
) -> Tableau:
    stages = np.asarray(a)
    full = np.asarray(gamma)
    inverse = np.linalg.inv(full)
    moved, mixed = stages @ inverse, np.diag(1 / np.diag(full)) - inverse
    count = len(b)
    return Tableau(
        float(full[0, 0]),
        tuple(moved[i, :i] for i in range(count)),
        tuple(mixed[i, :i] for i in range(count)),
        tuple(map(float, np.asarray(b) @ inverse)),
        tuple(map(float, (np.asarray(b) - np.asarray(lower)) @ inverse)),
        tuple(map(float, stages.sum(1))),
        tuple(map(float, full.sum(1))),
        order,
    )


_G: Final = 0.435866521508459
ROS34PW2: Final = _transformed(
    [
        [0, 0, 0, 0],
        [0.87173304301691801, 0, 0, 0],
        [0.84457060015369423, -0.11299064236484185, 0, 0],
        [0, 0, 1, 0],
    ],
    [
        [_G, 0, 0, 0],
        [-0.87173304301691801, _G, 0, 0],
        [-0.90338057013044082, 0.054180672388095326, _G, 0],
        [0.24212380706095346, -1.2232505839045147, 0.54526025533510214, _G],
    ],
    [0.24212380706095346, -1.2232505839045147, 1.5452602553351020, _G],
    [0.37810903145819369, -0.096042292212423178, 0.5, 0.2179332607542295],
    3,
)


@dataclass(frozen=True, slots=True, eq=False)
class Linear:
    """Rates at some fields, and the Jacobian there as a solver."""

    rates: Array
    drift: Array | None
    """How the rates change with a second at standing fields; None for not at all."""
    factor: Callable[[Array], Solve]
    """From a shift in 1/s for each draw, a function that solves (shift - Jacobian) u = right side."""


class System(Protocol):
    """Temperatures and conversions that change with time: fields of shape (draws, entries).

    The first `warm` entries of a draw are temperatures in °C, the others conversions.
    """

    @property
    def warm(self) -> int:
        """How many entries are temperatures."""
        ...

    def rates(self, time: Array, fields: Array) -> Array:
        """The change of each entry in a second."""
        ...

    def linearised(self, time: Array, fields: Array) -> Linear:
        """The rates with what they change by."""
        ...

    def take(self, index: Index) -> System:
        """The system of these draws alone."""
        ...


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What a step may be wrong by."""

    temperature: float = 0.05
    """K."""
    relative: float = 2e-3
    """Of the temperature's change since the start."""
    conversion: float = 1e-3
    """Of the conversion still to come, so that the long end is as true as the peak."""
    first_step: float = 20.0
    """s."""


LATE: Final = 0.03
"""Share still to come below which the tolerance shrinks no further."""
USUAL: Final = Tolerance()


@dataclass(frozen=True, slots=True, eq=False)
class Trajectory:
    """Every step of every draw: time (steps, draws), fields and their rates (steps, draws, entries).

    A draw that ended earlier repeats its last step.
    """

    time: Array
    fields: Array
    rates: Array

    def between(self, step: Index, part: Array) -> tuple[Array, Array]:
        """Time and fields at a part (0 to 1) of the way from step - 1 to step, for each draw.

        `part` may lead with further axes before the draws. A cubic with the rates at both ends as its slopes,
        held monotone (Fritsch and Carlson 1980): where heat moves faster than a step the rates overstate.
        """
        draws = np.arange(self.time.shape[1])
        t0, t1 = self.time[step - 1, draws], self.time[step, draws]
        long = t1 - t0
        s, span = part[..., None], long[:, None]
        y0, y1 = self.fields[step - 1, draws], self.fields[step, draws]
        risen = y1 - y0
        most = 3.0 * np.abs(risen)
        sense = np.sign(risen)
        f0, f1 = (
            sense * np.clip(sense * self.rates[row, draws] * span, 0.0, most) for row in (step - 1, step)
        )
        u = 1 - s
        fields = u * u * ((1 + 2 * s) * y0 + s * f0) + s * s * ((3 - 2 * s) * y1 - u * f1)
        return np.asarray(t0 + part * long), fields

    def at(self, time: float) -> Array:
        """The fields of every draw at a time in s; held outside the span."""
        last = self.time.shape[0] - 1
        if last == 0:
            return np.asarray(self.fields[0])
        step = np.clip((self.time < time).sum(0), 1, last)
        draws = np.arange(self.time.shape[1])
        t0, t1 = self.time[step - 1, draws], self.time[step, draws]
        part = np.clip((time - t0) / np.where(t1 > t0, t1 - t0, 1.0), 0.0, 1.0)
        return self.between(step, part)[1]


def _step(
    system: System, tableau: Tableau, time: Array, step: Array, fields: Array, linear: Linear
) -> tuple[Array, Array]:
    """The fields after a step and their estimated errors."""
    solve = linear.factor(1.0 / (tableau.gamma * step))
    drift = linear.drift
    inverse = (1.0 / step)[:, None]
    found = np.empty((len(tableau.weights), *fields.shape))
    flat = found.reshape(len(found), -1)
    fresh = linear.rates
    for stage in range(len(found)):
        if tableau.a[stage].size:
            there = fields + (tableau.a[stage] @ flat[:stage]).reshape(fields.shape)
            fresh = system.rates(time + tableau.when[stage] * step, there)
        right = fresh
        if stage:
            right = fresh + inverse * (tableau.c[stage] @ flat[:stage]).reshape(fields.shape)
        if drift is not None:
            right = right + (tableau.drift[stage] * step)[:, None] * drift
        found[stage] = solve(right)
    moved, wrong = (tableau.ends @ flat).reshape(2, *fields.shape)
    return fields + moved, wrong


@dataclass(slots=True, eq=False)
class _Kept:
    """The steps of the draws as they are taken, put in order at the end."""

    draws: int
    rows: list[tuple[Index, Array, Array, Array]]

    def trajectory(self) -> Trajectory:
        if self.draws == 1:
            return Trajectory(
                np.array([row[1] for row in self.rows]),
                np.array([row[2] for row in self.rows]),
                np.array([row[3] for row in self.rows]),
            )
        counts = np.zeros(self.draws, dtype=np.intp)
        for index, *_ in self.rows:
            counts[index] += 1
        steps = int(counts.max())
        entries = self.rows[0][2].shape[1]
        time = np.empty((steps, self.draws))
        fields, rates = np.empty((steps, self.draws, entries)), np.empty((steps, self.draws, entries))
        place = np.zeros(self.draws, dtype=np.intp)
        for index, when, there, changing in self.rows:
            row = place[index]
            time[row, index], fields[row, index], rates[row, index] = when, there, changing
            place[index] += 1
        for draw in np.flatnonzero(counts < steps):
            end = counts[draw]
            time[end:, draw] = time[end - 1, draw]
            fields[end:, draw] = fields[end - 1, draw]
            rates[end:, draw] = rates[end - 1, draw]
        return Trajectory(time, fields, rates)


LONGEST: Final = 1 / 12
"""Of the whole span, the longest step."""


def march(
    system: System,
    fields: Array,
    *,
    start: float,
    end: float,
    tableau: Tableau = ROS4,
    tolerance: Tolerance = USUAL,
    longest: float = float("inf"),
    calm: float = float("inf"),
    marks: tuple[float, ...] = (),
    settled: Callable[[Index, Array, Array], NDArray[np.bool_]] | None = None,
) -> Trajectory:
    """Take every draw from `start` to `end` (s), or until `settled` says that it may stop.

    No step that begins before `calm` is longer than `longest` (s), and one ends on each of the `marks` (s).
    `settled` is asked now and then with the draws' numbers, times and fields. Raises ArithmeticError where a
    step can no longer be made small enough, which means that the inputs lie outside all reason.
    """
    draws, entries = fields.shape
    alive: Index = np.arange(draws)
    time = np.full(draws, float(start))
    step = np.full(draws, min(tolerance.first_step, max(end - start, 1e-9)))
    warm = system.warm
    origin = fields[:, :warm]
    linear = system.linearised(time, fields)
    kept = _Kept(draws, [(alive, time, fields, linear.rates)])
    shortest = 1e-12 * max(1.0, end - start)
    scale = np.empty((draws, entries))
    halts = np.array([*sorted(mark for mark in marks if start < mark < end), end])
    turn = 0
    while alive.size:
        turn += 1
        room = halts[np.searchsorted(halts, time, side="right").clip(max=halts.size - 1)] - time
        # A step that would leave a sliver before a mark is shared with it.
        wanted = np.minimum(step, np.where(time < calm, longest, LONGEST * (end - start)))
        step = np.where(wanted >= room, room, np.where(wanted > 0.6 * room, 0.55 * room, wanted))
        after, wrong = _step(system, tableau, time, step, fields, linear)
        moved = np.abs(after[:, :warm] - origin).max(1)
        scale[:, :warm] = (tolerance.temperature + tolerance.relative * moved)[:, None]
        scale[:, warm:] = np.maximum(1.0 - after[:, warm:], LATE) * tolerance.conversion
        off = np.abs(wrong / scale).max(1)
        off = np.where(np.isfinite(off), off, 1e9)
        good = off <= 1.0
        factor = np.minimum(np.maximum(0.9 * np.maximum(off, 1e-12) ** (-1.0 / tableau.order), 0.2), 6.0)
        if good.all():
            time, fields, step = time + step, after, step * factor
            linear = system.linearised(time, fields)
            kept.rows.append((alive, time, fields, linear.rates))
        else:
            if np.any(~good & (step <= shortest)):
                raise ArithmeticError(
                    "The cure cannot be followed with these values; check the resin's constants and depth."
                )
            if good.any():
                time = np.where(good, time + step, time)
                fields = np.where(good[:, None], after, fields)
                linear = system.linearised(time, fields)
                kept.rows.append((alive[good], time[good], fields[good], linear.rates[good]))
            step = step * np.where(good, factor, np.minimum(factor, 0.5))
        ended = time >= end - shortest
        if settled is not None and turn % 4 == 0:
            ended |= settled(alive, time, fields) & good
        if ended.any():
            on = np.flatnonzero(~ended)
            alive, time, step, origin = alive[on], time[on], step[on], origin[on]
            fields, scale = fields[on], scale[on]
            if on.size:
                system = system.take(on)
                linear = system.linearised(time, fields)
    return kept.trajectory()
