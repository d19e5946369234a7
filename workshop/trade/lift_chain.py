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
from workshop.trade.known_resin import KnownResin
from workshop.trade.resin_fit import Draws

Under = Literal["battens", "bench", "concrete"]
Case = Literal["central", "cold", "hot"]
"""The likeliest resin, or the ones that stand for the two ends of its band."""
FLOORS: Final[dict[Under, Floor]] = {
    "battens": RAISED,
    "bench": FLAT_ON_BENCH,
    "concrete": CONCRETE_FLOOR,
}
APART: Final = 7200.0
"""s of which all readings of the shop count as their mean: what it does in less, a lift hardly feels."""
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
        groups: list[list[tuple[float, float]]] = []
        for reading in self.logged:
            if not groups or reading[0] - groups[-1][0][0] >= APART:
                groups.append([])
            groups[-1].append(reading)
        kept = [(group[0][0], sum(warm for _time, warm in group) / len(group)) for group in groups]
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


def course(chain: Chain, case: Case | int = "central") -> Run:
    """The last lift of a chain at the likeliest constants, at an end of the band, or with one draw."""
    if isinstance(case, int):
        return _followed(chain, case)
    return followed(chain) if case == "central" else _end(chain, case)


def hot_draw(chain: Chain) -> int:
    """The number of the draw that stands for a chain's hot case; another depth or shop may have another."""
    return chain.resin.end("hot", chain.lifts[-1].depth, chain.shop.temperature)


def lift_cure(chain: Chain, low: float | None = None, high: float | None = None) -> LiftCure:
    """The last lift's peak and states with their bands.

    In a shop that may be as cold as `low` and as warm as `high`, the band of the peak reaches from the cold
    to the hot case, early ends of times come from the warm shop and late ones from the cold. Of a section
    only the two draws at the ends of the peak's band are followed; its times spread as those of a lone lift
    in a wide form.
    """
    central = central_cure(chain)
    if not chain.resin.spread and low is None and high is None:
        return central
    cold, warm = (chain if bound is None else chain.at(bound) for bound in (low, high))
    if chain.banks is None or not chain.resin.spread:
        early, late = _ends(warm), _ends(cold)
        return LiftCure(
            Spread(central.peak.value, late.peak.low, early.peak.high),
            Spread(central.peak_time.value, early.peak_time.low, late.peak_time.high),
            {
                state: Spread(central.states[state].value, early.states[state].low, late.states[state].high)
                for state in STATES
            },
            central.peak_below,
            False,
        )
    early, late = central_cure(warm), central_cure(cold)
    alone = replace(
        chain,
        lifts=(replace(chain.lifts[-1], after=0.0),),
        banks=None,
        recoat_limit=None,
        shop=Shop(chain.shop.temperature),
    )
    spread, likely = _ends(alone), central_cure(alone)
    return LiftCure(
        Spread(central.peak.value, float(_end(cold, "cold").peak[0]), float(_end(warm, "hot").peak[0])),
        _scaled(central.peak_time, early.peak_time, late.peak_time, spread.peak_time, likely.peak_time),
        {
            state: _no_later(
                _scaled(
                    central.states[state],
                    early.states[state],
                    late.states[state],
                    spread.states[state],
                    likely.states[state],
                ),
                chain.recoat_limit if state == "window_shuts" else None,
            )
            for state in STATES
        },
        central.peak_below,
        True,
    )


def _no_later(held: Spread, bound: float | None) -> Spread:
    if bound is None:
        return held
    return Spread(*(None if end is None else min(end, bound) for end in (held.value, held.low, held.high)))


def _scaled(held: Spread, early: Spread, late: Spread, spread: Spread, likely: Spread) -> Spread:
    """A time from that in the warm shop to that in the cold one, each as far off as `spread` off `likely`."""

    def part(end: float | None, value: float | None) -> float | None:
        return None if end is None or not value or not likely.value else value * end / likely.value

    return Spread(held.value, part(spread.low, early.value), part(spread.high, late.value))


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


def hot_peak(chain: Chain, *, exact: bool = True) -> float:
    """The peak of the hot case, °C: what nine in ten draws stay under, or of a section its hot draw.

    In a wide form all draws are followed, since no one of them is the hot one everywhere; what is not `exact`
    goes by one draw there too, which is quick and mostly within 2 K.
    """
    if not exact or chain.banks is not None or not chain.resin.spread:
        return float(_end(chain, "hot").peak[0])
    return _tenth(_followed(chain, "all").peak)


def hot_peak_below(chain: Chain, *, exact: bool = True) -> float:
    """The hottest, °C, that the resin beneath gets in the hot case from the last pour on."""
    if not exact or chain.banks is not None or not chain.resin.spread:
        return float(_end(chain, "hot").peak_below[0])
    return _tenth(_followed(chain, "all").peak_below)


def _tenth(values: Array) -> float:
    high = band(values).high
    return float("inf") if high is None else high


def _ends(chain: Chain) -> LiftCure:
    """The band of one shop by all draws, or what constants without a spread give."""
    run = _followed(chain, "all" if chain.resin.spread else "central")
    states = {state: _spread(band(run.states.of(state))) for state in STATES}
    return LiftCure(_spread(band(run.peak)), _spread(band(run.peak_time)), states, None, False)


def _spread(held: Band) -> Spread:
    return Spread(held.likely, held.low, held.high)


def _end(chain: Chain, case: Literal["cold", "hot"]) -> Run:
    """The run with the draw that stands for one end of the band."""
    return _followed(chain, chain.resin.end(case, chain.lifts[-1].depth, chain.shop.temperature))


@lru_cache(maxsize=512)
def _followed(chain: Chain, which: Literal["central", "all"] | int) -> Run:
    stack = None
    if len(chain.lifts) > 1:
        stack = _followed(chain.below, which).stack_at(chain.lifts[-1].after)
    return _cured(chain, stack, chain.resin.draws(which))


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
    beds = tuple(
        Bed(bed.low, min(bed.high, lift.depth), bed.share, GRANITE)
        for bed in lift.beds
        if bed.low < min(bed.high, lift.depth)
    )
    wet = pour(
        stack,
        Lift(lift.depth, draws.resin, lift.temperature, beds),
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
