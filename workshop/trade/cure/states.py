"""The states that a lift goes through, and when each is reached.

Times are s since the pour, one for each draw, infinite where a state is not reached within the horizon. The
rules are this project's (Flory and Stockmayer's gel apart): a window opens when the surface is past gel with
a margin, shuts when the surface has turned to glass, and the later states are steps of the glass transition.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from workshop.trade.cure.kinetics import Array, Resin, Values, conversion_at_tg, glass_transition
from workshop.trade.cure.layout import Layout
from workshop.trade.cure.march import Trajectory

__all__ = [
    "STATES",
    "Band",
    "State",
    "States",
    "Targets",
    "all_reached",
    "band",
    "first_time",
    "lower_tail",
    "states_of",
]

State = Literal["gel", "window_opens", "window_shuts", "demould", "machine", "finish"]
STATES: Final[tuple[State, ...]] = ("gel", "window_opens", "window_shuts", "demould", "machine", "finish")

SAMPLES: Final = 16
"""Looks at the fields between two steps when a state's moment is sought."""


@dataclass(frozen=True, slots=True)
class Targets:
    """What each state asks for."""

    gelled_volume: float = 0.95
    """Share of the lift's volume that must be past gel."""
    window_margin: float = 0.04
    """Conversion past gel at the surface that opens the window."""
    window_glass: float = 5.0
    """K that the surface's Tg may lie below the shop before the window shuts."""
    recoat: Values | None = None
    """The data sheet's recoat limit, s since the pour."""
    demould_margin: float = 10.0
    """K that Tg must lie above the shop, or above `demould_least` if that is warmer."""
    demould_least: float = 25.0
    demould_gap: float = 5.0
    """K that the casting may still differ from the shop."""
    machine_glass: float = 45.0
    """°C of Tg, or this much less than the resin's ultimate if that is lower."""
    machine_short: float = 8.0
    finish_glass: float = 47.0
    finish_short: float = 6.0

    def glass(self, state: State, shop: Values, resin: Resin) -> Array:
        """The Tg in °C that a state asks for in a shop of this temperature."""
        warm, ultimate = np.asarray(shop, dtype=float), np.asarray(resin.tg1, dtype=float)
        if state == "window_shuts":
            return np.asarray(warm - self.window_glass)
        if state == "demould":
            return np.asarray(np.maximum(warm, self.demould_least) + self.demould_margin)
        if state == "machine":
            return np.asarray(np.minimum(self.machine_glass, ultimate - self.machine_short) + 0 * warm)
        if state == "finish":
            return np.asarray(np.minimum(self.finish_glass, ultimate - self.finish_short) + 0 * warm)
        raise ValueError(f"The state {state} is not one of the glass transition; ask for a later one.")


@dataclass(frozen=True, slots=True, eq=False)
class States:
    """Seconds since the pour at which each state is reached, one for each draw; infinite for never."""

    gel: Array
    window_opens: Array
    window_shuts: Array
    demould: Array
    machine: Array
    finish: Array

    def of(self, state: State) -> Array:
        """The times of one state."""
        return np.asarray(getattr(self, state), dtype=float)

    def central(self, state: State) -> float | None:
        """The time of the first draw, which by custom is the central one; None for never."""
        value = float(self.of(state)[0])
        return value if np.isfinite(value) else None

    def reached(self) -> bool:
        """Whether every draw reaches every state."""
        return all(np.isfinite(self.of(state)).all() for state in STATES)


@dataclass(frozen=True, slots=True)
class Band:
    """The 10th, 50th and 90th percentile; None where that share of the draws gives no value."""

    low: float | None
    likely: float | None
    high: float | None


def band(values: Array) -> Band:
    """The band of a figure's draws; infinite draws count as later than all others."""
    ordered = np.sort(np.asarray(values, dtype=float))
    found: list[float | None] = []
    for share in (0.1, 0.5, 0.9):
        place = share * (ordered.size - 1)
        below = int(place)
        above = min(below + 1, ordered.size - 1)
        if np.isfinite(ordered[above]) or (place == below and np.isfinite(ordered[below])):
            step = ordered[above] - ordered[below] if above > below and np.isfinite(ordered[above]) else 0.0
            found.append(float(ordered[below] + (place - below) * step))
        else:
            found.append(None)
    return Band(*found)


def lower_tail(values: Array, weights: Array, share: float) -> Array:
    """The value that `share` of the weight lies below, along the last axis, straight between the cells."""
    order = np.argsort(values, axis=-1)
    ranked = np.take_along_axis(values, order, -1)
    mass = np.take_along_axis(np.broadcast_to(weights, values.shape), order, -1)
    total = np.cumsum(mass, -1)
    place = (total - mass / 2) / total[..., -1:]
    after = np.minimum((place < share).sum(-1, keepdims=True), values.shape[-1] - 1)
    before = np.maximum(after - 1, 0)
    x0, x1 = np.take_along_axis(place, before, -1), np.take_along_axis(place, after, -1)
    y0, y1 = np.take_along_axis(ranked, before, -1), np.take_along_axis(ranked, after, -1)
    part = np.clip((share - x0) / np.where(x1 > x0, x1 - x0, 1.0), 0.0, 1.0)
    return np.asarray((y0 + part * (y1 - y0))[..., 0], dtype=float)


Margin = Callable[[Array], Array]
"""From fields, draws before entries, how far a state is passed: zero at its moment."""


def first_time(trajectory: Trajectory, margin: Margin) -> Array:
    """Seconds since the trajectory's start at which the margin first is zero or more; infinite for never."""
    time = trajectory.time - trajectory.time[0]
    passed = margin(trajectory.fields) >= 0.0
    never, at_once = ~passed.any(0), passed[0]
    if never.all() or time.shape[0] == 1:
        return np.where(at_once, 0.0, np.inf)
    step = np.maximum(passed.argmax(0), 1)
    part = np.linspace(0.0, 1.0, SAMPLES + 1)[:, None] * np.ones(time.shape[1])
    when, fields = trajectory.between(step, part)
    when = when - trajectory.time[0]
    there = margin(fields)
    # The last sample is the step itself, which passed; rounding must not lose it.
    there[-1] = np.maximum(there[-1], 0.0)
    after = np.maximum((there >= 0.0).argmax(0), 1)
    draws = np.arange(time.shape[1])
    t0, t1 = when[after - 1, draws], when[after, draws]
    m0, m1 = there[after - 1, draws], there[after, draws]
    share = np.clip(-m0 / np.where(m1 > m0, m1 - m0, 1.0), 0.0, 1.0)
    # Cure slows down as it goes: between two looks it is straighter against the time's logarithm.
    logarithmic = t0 > 0.0
    early = np.where(logarithmic, t0, 1.0)
    found = np.where(logarithmic, early * (np.maximum(t1, early) / early) ** share, t0 + share * (t1 - t0))
    return np.where(at_once, 0.0, np.where(never, np.inf, found))


def states_of(trajectory: Trajectory, place: Layout, resin: Resin, shop: Array, targets: Targets) -> States:
    """When the fresh lift reaches each state in a shop of these temperatures (°C, one for each draw or one).

    Demould and later states are asked of all resin in the form.
    """
    gel = np.asarray(resin.gel, dtype=float)
    glass0, glass1 = place.tg0[:, -place.across :], place.tg1[:, -place.across :]
    shut_glass = targets.glass("window_shuts", shop, resin)

    def gelled(fields: Array) -> Array:
        tail = lower_tail(place.fresh_conversion(fields), place.weights, 1 - targets.gelled_volume)
        return np.asarray(tail - gel)

    def opens(fields: Array) -> Array:
        return np.asarray(place.surface_conversion(fields).min(-1) - gel - targets.window_margin)

    def shuts(fields: Array) -> Array:
        surface = glass_transition(place.surface_conversion(fields), glass0, glass1)
        return np.asarray(surface.max(-1) - shut_glass)

    def fit(state: State) -> Margin:
        wanted = targets.glass(state, shop, resin)

        def margin(fields: Array) -> Array:
            glass = glass_transition(place.conversion(fields), place.tg0, place.tg1).min(-1)
            gap = np.abs(place.resin(fields) - shop[:, None]).max(-1)
            return np.asarray(np.minimum(glass - wanted, targets.demould_gap - gap))

        return margin

    shut = first_time(trajectory, shuts)
    if targets.recoat is not None:
        shut = np.minimum(shut, targets.recoat)
    demould = first_time(trajectory, fit("demould"))
    machine = np.maximum(demould, first_time(trajectory, fit("machine")))
    return States(
        first_time(trajectory, gelled),
        first_time(trajectory, opens),
        shut,
        demould,
        machine,
        np.maximum(machine, first_time(trajectory, fit("finish"))),
    )


def all_reached(
    place: Layout, resin: Resin, shop: Array, targets: Targets, draws: int, earliest: float
) -> Callable[[NDArray[np.intp], Array, Array], NDArray[np.bool_]]:
    """Asks whether nothing more is to come: every state reached, the casting near the shop."""
    wanted = np.maximum(
        np.maximum(targets.glass("finish", shop, resin), targets.glass("machine", shop, resin)),
        targets.glass("demould", shop, resin),
    )
    goal = conversion_at_tg(wanted[:, None], place.tg0, place.tg1)
    goal = np.maximum(goal, (np.asarray(resin.gel, dtype=float) + targets.window_margin).reshape(-1, 1))
    goal = np.broadcast_to(goal, (draws, place.tg0.shape[1])) + 1e-6
    mild = np.broadcast_to(shop, (draws,))
    # The gap that demould allows, less a little, so that the step at which it is met is well past it.
    gap = 0.8 * targets.demould_gap

    def settled(index: NDArray[np.intp], time: Array, fields: Array) -> NDArray[np.bool_]:
        cured = (place.conversion(fields) >= goal[index]).all(1)
        cool = np.abs(place.resin(fields) - mild[index, None]).max(1) <= gap
        return np.asarray(cured & cool & (time >= earliest))

    return settled
