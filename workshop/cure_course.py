"""The course of a lift's cure over time and through its thickness, as a chart needs it.

Plain numbers: times in s since the pour, temperatures in °C, heights in m above the lift's bottom.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from workshop.cure_inputs import CureInputs, chain_of, limit_of
from workshop.trade.cure.run import Run
from workshop.trade.cure.states import State
from workshop.trade.lift_chain import Chain, course, hot_peak
from workshop.trade.lift_moves import Move, moves, ranked

SAMPLES: Final = 400
"""Looks at a course, evenly over the time that is shown."""
ROOM: Final = 1.12
"""How much more time is shown than until the window shuts."""
SHOWN: Final[tuple[State, ...]] = ("gel", "window_opens", "window_shuts", "demould")

Series = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Level:
    """Something that the profile goes through: from its bottom to its top, and what it is."""

    low: float
    high: float
    what: str
    """`board`, `below` (a lift beneath) or `lift`."""


@dataclass(frozen=True, slots=True)
class Profile:
    """Temperatures through the thickness at the peak, from the floor upwards."""

    heights: Series
    warm: Series
    levels: tuple[Level, ...]
    shop: float


@dataclass(frozen=True, slots=True)
class Course:
    """The hottest place of a lift and its conversion against time, with the band and what it may reach."""

    until: float
    """The time shown, s; the series stand evenly from 0 to it."""
    hottest: Series
    conversion: Series
    peak: float
    peak_time: float
    states: tuple[tuple[State, float], ...]
    """Those that are reached, at the likeliest constants."""
    limit: float
    profile: Profile
    cold: Series = ()
    hot: Series = ()
    """The band, where it was asked for."""
    hot_peak: float | None = None

    def state(self, state: State) -> float | None:
        """When a state is likely reached, s since the pour."""
        return dict(self.states).get(state)


@lru_cache(maxsize=64)
def course_of(inputs: CureInputs, depth: float, band: bool = False) -> Course:
    """The course of a lift, with the cold and the hot case where the band is asked for.

    The cold case is the slowest likely resin in the coldest shop, the hot case the fastest in the warmest.
    Raises InputError as the calculator does.
    """
    chain = chain_of(inputs, depth)
    run = course(chain)
    states = tuple((state, at) for state in SHOWN if (at := run.states.central(state)) is not None)
    until = _until(dict(states), float(run.peak_time[0]))
    times = np.linspace(0.0, until, SAMPLES)
    cold: Series = ()
    hot: Series = ()
    hottest = None
    if band and _uncertain(inputs, chain):
        low = chain if inputs.temperature_low is None else chain.at(inputs.temperature_low)
        high = chain if inputs.temperature_high is None else chain.at(inputs.temperature_high)
        cold, hot = _hottest(course(low, "cold"), times), _hottest(course(high, "hot"), times)
        hottest = hot_peak(high)
    return Course(
        until,
        _hottest(run, times),
        tuple(np.interp(times, run.times[:, 0], run.mean_conversion[:, 0]).tolist()),
        float(run.peak[0]),
        float(run.peak_time[0]),
        states,
        limit_of(inputs),
        _profile(run, chain),
        cold,
        hot,
        hottest,
    )


def levers_of(inputs: CureInputs, depth: float) -> tuple[Move, ...]:
    """What moves the lift's hot peak most, in the warmest shop; raises InputError."""
    return _levers(inputs, depth)


@lru_cache(maxsize=64)
def _levers(inputs: CureInputs, depth: float) -> tuple[Move, ...]:
    chain = chain_of(inputs, depth)
    warm = chain if inputs.temperature_high is None else chain.at(inputs.temperature_high)
    return ranked(moves(warm))


def _uncertain(inputs: CureInputs, chain: Chain) -> bool:
    shop = (inputs.temperature_low, inputs.temperature_high)
    return chain.resin.spread or any(bound is not None for bound in shop)


def _until(states: dict[State, float], peak: float) -> float:
    """Until the window has shut, and to the demould where that is not far."""
    last = max((states[state] for state in SHOWN[:3] if state in states), default=86400.0)
    until = max(last, 3 * peak) * ROOM
    demould = states.get("demould")
    return demould * ROOM if demould is not None and demould < 1.6 * until else until


def _hottest(run: Run, times: np.typing.NDArray[np.float64]) -> Series:
    return tuple(np.interp(times, run.times[:, 0], run.hottest[:, 0]).tolist())


def _profile(run: Run, chain: Chain) -> Profile:
    heights, warm = run.profile()
    bottom = -sum(lift.depth for lift in chain.below.lifts)
    levels = [Level(bottom - chain.board, bottom, "board")]
    low = bottom
    for lift in chain.below.lifts:
        levels.append(Level(low, low + lift.depth, "below"))
        low += lift.depth
    levels.append(Level(0.0, chain.lifts[-1].depth, "lift"))
    inside = heights >= bottom - chain.board
    shop = float(run.air.at(np.asarray([run.stack.time + run.peak_time[0]]), np.zeros(1))[0])
    return Profile(
        tuple(np.asarray(heights)[inside].tolist()),
        tuple(np.asarray(warm)[inside].tolist()),
        tuple(levels),
        shop,
    )
