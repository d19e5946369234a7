"""A casting's lifts poured one on the other, followed with all the heat that those below still hold and give.

Lengths in m, times in s, temperatures in °C. A run is cached by the lifts up to it, so that what is changed
in one lift leaves those below it as they are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

import numpy as np

from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.materials import GRANITE, wood
from workshop.trade.cure.river import NARROW, River, Side
from workshop.trade.cure.run import Run, cure
from workshop.trade.cure.stack import (
    CONCRETE_FLOOR,
    FLAT_ON_BENCH,
    RAISED,
    Bed,
    Floor,
    Lift,
    Stack,
    empty_form,
    pour,
)
from workshop.trade.cure.states import STATES, Band, State, Targets, band
from workshop.trade.cure.surroundings import Air, Top, log_air, steady
from workshop.trade.known_resin import Case, KnownResin
from workshop.trade.resin_fit import Draws

Under = Literal["battens", "bench", "concrete"]
FLOORS: Final[dict[Under, Floor]] = {
    "battens": RAISED,
    "bench": FLAT_ON_BENCH,
    "concrete": CONCRETE_FLOOR,
}
APART: Final = 7200.0
"""s between two readings of the shop that count: what it does in less, a lift hardly feels."""
BOARD: Final = 0.018
"""m of the floor's particleboard, where its thickness is not known."""


@dataclass(frozen=True, slots=True)
class Filling:
    """A bed between two heights above its lift's bottom, and the solid share of it."""

    low: float
    high: float
    share: float


@dataclass(frozen=True, slots=True)
class ChainLift:
    """A lift: its depth, how warm it is poured, how long after the one below it, and beds in it."""

    depth: float
    temperature: float
    after: float = 0.0
    beds: tuple[Filling, ...] = ()


@dataclass(frozen=True, slots=True)
class Banks:
    """The resin's width between wood of a specific gravity and moisture, and how wide that wood is."""

    width: float
    gravity: float = 0.6
    moisture: float = 0.1
    wood: float = 0.15


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop's air: what was logged, in s since the first pour, and the temperature after it."""

    temperature: float
    logged: tuple[tuple[float, float], ...] = ()

    def air(self, offset: float | Array = 0.0) -> Air:
        """The air as the cure takes it; soon after the last reading the shop is at its temperature."""
        if not self.logged:
            return steady(self.temperature, offset)
        kept = [self.logged[0]]
        for time, warm in self.logged[1:]:
            if time - kept[-1][0] >= APART:
                kept.append((time, warm))
        end = max(kept[-1][0], self.logged[-1][0]) + APART
        return log_air((*kept, (end, self.temperature)), offset)


@dataclass(frozen=True, slots=True)
class Chain:
    """Lifts in a form, from its floor upwards."""

    resin: KnownResin
    lifts: tuple[ChainLift, ...]
    shop: Shop
    under: Under = "battens"
    board: float = BOARD
    banks: Banks | None = None
    """The wood beside the resin, where all lifts are to be followed as a section; see `narrow`."""
    recoat_limit: float | None = None
    """The sheet's, s after a pour."""

    @property
    def below(self) -> Chain:
        """The chain without its last lift."""
        return replace(self, lifts=self.lifts[:-1])

    @property
    def started(self) -> float:
        """When its last lift is poured, s after the first."""
        return sum(lift.after for lift in self.lifts[1:])

    def at(self, temperature: float) -> Chain:
        """The same in a shop of another temperature, what was logged kept."""
        return replace(self, shop=replace(self.shop, temperature=temperature))

    def with_last(self, depth: float | None = None, temperature: float | None = None) -> Chain:
        """The same with its last lift as deep, or poured as warm."""
        last = self.lifts[-1]
        last = replace(
            last,
            depth=last.depth if depth is None else depth,
            temperature=last.temperature if temperature is None else temperature,
        )
        return replace(self, lifts=(*self.lifts[:-1], last))


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure at the likeliest constants, with its likely band; None where it is never reached."""

    value: float | None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class LiftCure:
    """What becomes of the last lift of a chain; times are s since its pour."""

    peak: Spread
    peak_time: Spread
    states: dict[State, Spread]
    peak_below: float | None
    """The hottest that the resin beneath gets from this pour on, at the likeliest constants."""
    section: bool


def narrow(width: float, depths: Iterable[float]) -> bool:
    """Whether resin of a width is followed as a section: under six depths of its deepest lift."""
    return width < NARROW * max(depths, default=0.0)


def followed(chain: Chain) -> Run:
    """The last lift of a chain at the likeliest constants."""
    return _followed(chain, "central")


def lift_cure(chain: Chain, low: float | None = None, high: float | None = None) -> LiftCure:
    """The last lift's peak and states with their bands.

    In a shop that may be as cold as `low` and as warm as `high`, the band of the peak reaches from the cold
    to the hot case, early ends of times come from the warm shop and late ones from the cold. Of a section
    only the two draws that stand for the ends of the band are followed.
    """
    central = central_cure(chain)
    if not chain.resin.spread and low is None and high is None:
        return central
    cold = _ends(chain if low is None else chain.at(low))
    warm = cold if low == high else _ends(chain if high is None else chain.at(high))
    return LiftCure(
        Spread(central.peak.value, cold.peak.low, warm.peak.high),
        Spread(central.peak_time.value, warm.peak_time.low, cold.peak_time.high),
        {
            state: Spread(central.states[state].value, warm.states[state].low, cold.states[state].high)
            for state in STATES
        },
        central.peak_below,
        central.section,
    )


def central_cure(chain: Chain) -> LiftCure:
    """The same at the likeliest constants alone."""
    run = followed(chain)
    below = float(run.peak_below[0])
    return LiftCure(
        Spread(float(run.peak[0])),
        Spread(float(run.peak_time[0])),
        {state: Spread(run.states.central(state)) for state in STATES},
        below if np.isfinite(below) else None,
        chain.banks is not None,
    )


def hot_peak(chain: Chain) -> float:
    """The peak of the draw that stands for the hot case, °C."""
    return float(_followed(chain, "hot").peak[0])


def deepest(chain: Chain, limit: float, most: float, least: float = 0.001) -> float:
    """The greatest depth of the last lift whose hot case stays within a limit (°C), up to `most`.

    To a fifth of a millimetre; zero where even `least` is too much.
    """
    if hot_peak(chain.with_last(depth=most)) <= limit:
        return most
    if most <= least or hot_peak(chain.with_last(depth=least)) > limit:
        return 0.0
    low, high = least, most
    while high - low > 2e-4:
        middle = (low + high) / 2
        if hot_peak(chain.with_last(depth=middle)) <= limit:
            low = middle
        else:
            high = middle
    return low


def _ends(chain: Chain) -> LiftCure:
    """The band of one shop: by all draws, or by the two at its ends where the chain is a section."""
    if chain.banks is None and chain.resin.spread:
        run = _followed(chain, "all")
        states = {state: _spread(band(run.states.of(state))) for state in STATES}
        return LiftCure(_spread(band(run.peak)), _spread(band(run.peak_time)), states, None, False)
    runs = [_followed(chain, case) for case in ("cold", "hot")]

    def between(values: Iterable[float]) -> Spread:
        one, two = sorted(values)
        return Spread(None, one if np.isfinite(one) else None, two if np.isfinite(two) else None)

    return LiftCure(
        between(float(run.peak[0]) for run in runs),
        between(float(run.peak_time[0]) for run in runs),
        {state: between(float(run.states.of(state)[0]) for run in runs) for state in STATES},
        None,
        chain.banks is not None,
    )


def _spread(held: Band) -> Spread:
    return Spread(held.likely, held.low, held.high)


@lru_cache(maxsize=384)
def _followed(chain: Chain, case: Case) -> Run:
    stack = None
    if len(chain.lifts) > 1:
        stack = _followed(chain.below, case).stack_at(chain.lifts[-1].after)
    return _cured(chain, stack, chain.resin.draws(case))


def _cured(chain: Chain, stack: Stack | None, draws: Draws) -> Run:
    """Pour the last lift on a stack and cure it, for each draw."""
    lift = chain.lifts[-1]
    film = draws.film
    river = _river(chain)
    if stack is None:
        floor = FLOORS[chain.under]
        plates = (*floor.plates[:-1], replace(floor.plates[-1], thickness=chain.board))
        floor = replace(floor, plates=plates, film=np.asarray(floor.film) * film)
        stack = empty_form(floor, chain.shop.air().at(np.zeros(1), np.zeros(1)), river=river)
    beds = tuple(Bed(bed.low, min(bed.high, lift.depth), bed.share, GRANITE) for bed in lift.beds)
    wet = pour(
        stack,
        Lift(lift.depth, draws.resin, lift.temperature, tuple(bed for bed in beds if bed.high > bed.low)),
    )
    return cure(
        wet,
        chain.shop.air(draws.shop),
        top=Top(scale=film),
        targets=Targets(recoat=chain.recoat_limit),
    )


def _river(chain: Chain) -> River | None:
    banks = chain.banks
    if banks is None:
        return None
    material = wood(banks.gravity, min(banks.moisture, 0.24), chain.shop.temperature)
    return River(banks.width, (Side(material, banks.wood),))
