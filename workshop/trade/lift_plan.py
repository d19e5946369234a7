"""Lifts planned: the fewest that fill a form, each safe when hot, none too thin, what is buried covered.

Lengths in m, heights above the form floor, times in s, temperatures in °C.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise, product
from math import ceil
from typing import Final, Literal

from workshop.trade.lift_chain import Chain, ChainLift, Filling, followed, hot_peak, hot_peak_below
from workshop.trade.lift_depth import deepest

Why = Literal["base", "least", "buried", "most", "heat", "even"]
"""What sets a lift's height: it is the base lift, as thin as may be, covers what is buried, is as deep as the
sheet or as the heat allows, or has an even share of what is left."""
BASE: Final = 0.006
"""m of a base lift: common practice, no source."""
COVER: Final = 0.001
"""m that a lift reaches over what it covers, at the least: common practice, no source."""
EVEN: Final = 0.0005
"""m to which heights are rounded."""
MOST_LIFTS: Final = 24
NEAR: Final = 1e-9
ATTEMPTS: Final = 5
SPARE: Final = 0.3
"""K, by which the limit of the search is set lower still."""
WAYS: Final = 64
"""Ways round what is buried that are looked at for one number of lifts."""
TRIED: Final = 2
"""Of these, the most even ones that are followed."""


@dataclass(frozen=True, slots=True)
class Buried:
    """What must not stick out between two lifts, and the solid share of it where it takes up room."""

    low: float
    high: float
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Asked:
    """What the plan must hold."""

    total: float
    """Height of the rough casting."""
    limit: float
    """°C that the hot case may reach."""
    most: float
    """Depth of one lift at the most, whatever its heat: the sheet's."""
    least: float = 0.0
    base: float = BASE
    buried: tuple[Buried, ...] = ()


@dataclass(frozen=True, slots=True)
class PlannedLift:
    """One lift of the plan."""

    low: float
    high: float
    after: float
    """s after the lift below."""
    why: Why
    peak: float
    """Likely."""
    hot: float
    """In the hot case."""

    @property
    def depth(self) -> float:
        """How deep it is."""
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan and the chain of lifts it ends in."""

    lifts: tuple[PlannedLift, ...]
    chain: Chain

    def bare(self, asked: Asked) -> Buried | None:
        """What is buried but sticks out of a lift, because one lift may not be as deep as it is."""
        return next(
            (
                held
                for held in asked.buried
                for lift in self.lifts[:-1]
                if held.low + NEAR < lift.high <= held.high + NEAR
            ),
            None,
        )


@dataclass(frozen=True, slots=True)
class Site:
    """Where the lifts are poured: on what, how warm, and in how warm a shop at the most."""

    start: Chain
    """With the lifts below, none of them to be planned."""
    gap: float
    """s from the last of those to the first that is planned."""
    pour_temperature: float
    warmest: float
    wait: Callable[[Chain], float]
    """s from a chain's last lift to the next one."""

    @property
    def bottom(self) -> float:
        """How high the form is filled."""
        return sum(lift.depth for lift in self.start.lifts)

    def onto(self, chain: Chain, gap: float, low: float, depth: float, asked: Asked) -> Chain:
        """A chain with one more lift."""
        beds = tuple(
            Filling(max(0.0, held.low - low), held.high - low, held.share)
            for held in asked.buried
            if held.share > 0 and held.high > low and held.low < low + depth
        )
        return replace(chain, lifts=(*chain.lifts, ChainLift(depth, self.pour_temperature, gap, beds)))

    def hottest(self, chain: Chain, *, exact: bool = False) -> float:
        """The hot case of a chain's last lift, or of the resin below it where that gets hotter then."""
        warm = chain.at(self.warmest)
        hot = hot_peak(warm, exact=exact)
        return max(hot, hot_peak_below(warm, exact=exact)) if len(chain.lifts) > 1 else hot

    def safe(self, chain: Chain, limit: float) -> bool:
        """Whether the draw that stands for the hot case stays within a limit."""
        return self.hottest(chain) <= limit


def plan_lifts(site: Site, asked: Asked) -> Planned | None:
    """The fewest lifts that fill the form up to `asked.total`; None where no lift is safe.

    Lifts of one depth are tried first, the base lift apart, then lifts each as deep as its heat allows. One
    draw leads the search; where all draws together get hotter, it is made again for as much less.
    """
    limit = asked.limit
    for _attempt in range(ATTEMPTS):
        planned = _plan(site, replace(asked, limit=limit))
        if planned is None:
            return None
        over = max(lift.hot for lift in planned.lifts) - asked.limit
        if over <= 0:
            return planned
        limit -= over + SPARE
    return None


def _plan(site: Site, asked: Asked) -> Planned | None:
    base = _base(site, asked)
    if base is None:
        return None
    first = site.bottom + base
    rest = asked.total - first
    if rest <= NEAR:
        return _cured(site, asked, (asked.total,), base, "even")
    greedy: tuple[float, ...] | None = None
    count = max(1, ceil(rest / asked.most - NEAR))
    while count <= MOST_LIFTS:
        for tops in islice(_divisions(first, asked, count), TRIED):
            made = _cured(site, asked, _heights(first, base, tops), base, "even")
            if made is not None:
                return made
        if greedy is None:
            greedy = _greedy(site, asked, first, base)
            if not greedy:
                return None
        if len(greedy) <= count:
            made = _cured(site, asked, _heights(first, base, greedy), base, "heat")
            if made is not None:
                return made
        count = max(count + 1, len(greedy))
    return None


def _heights(first: float, base: float, inner: Sequence[float]) -> tuple[float, ...]:
    return (first, *inner) if base > 0 else tuple(inner)


def _base(site: Site, asked: Asked) -> float | None:
    """The base lift's depth, zero where one lies there already; None where none is safe."""
    rest = asked.total - site.bottom
    if site.start.lifts:
        return 0.0
    base = max(asked.base, asked.least)
    if rest - base < max(asked.least, COVER) - NEAR:
        base = rest
    held = _blocked(base, asked) if base < rest else None
    if held is not None:
        base = held.low if held.low >= max(asked.least, COVER) else held.high + COVER
    base = min(base, rest, asked.most)
    chain = site.onto(site.start, 0.0, 0.0, base, asked)
    if not site.safe(chain, asked.limit):
        least = min(max(asked.least, COVER), base)
        base = deepest(chain.at(site.warmest), asked.limit, base, least, exact=False)
    return base if base > 0 and base >= asked.least - NEAR else None


def _blocked(height: float, asked: Asked) -> Buried | None:
    """What a lift that ends at this height would leave sticking out, of what one lift can cover at all."""
    return next(
        (
            held
            for held in asked.buried
            if held.low + NEAR < height <= held.high + NEAR
            and held.high + COVER - held.low <= asked.most + NEAR
        ),
        None,
    )


def _divisions(first: float, asked: Asked, count: int) -> Iterator[tuple[float, ...]]:
    """Tops of `count` lifts over a height, as even as what is buried allows, the most even first."""
    step = (asked.total - first) / count
    choices: list[tuple[float, ...]] = []
    for number in range(1, count):
        exact = first + number * step
        top = round(exact / EVEN) * EVEN
        held = _blocked(top, asked)
        choices.append((top, exact) if held is None else (held.low, held.high + COVER))
    found = []
    for tops in islice(product(*choices), WAYS):
        heights = (first, *tops, asked.total)
        depths = [high - low for low, high in pairwise(heights)]
        if min(depths) < max(asked.least, COVER) - NEAR or max(depths) > asked.most + NEAR:
            continue
        if not any(_blocked(top, asked) for top in tops):
            found.append((round(max(depths) / EVEN), tops, heights[1:]))
    # Of ways equally even, those in whole steps come first.
    found.sort(key=lambda held: (held[0], sum(abs(top / EVEN - round(top / EVEN)) for top in held[1])))
    yield from (heights for _depth, _tops, heights in found)


def _greedy(site: Site, asked: Asked, first: float, base: float) -> tuple[float, ...]:
    """Tops of lifts each as deep as it may be; empty where one cannot be poured at all."""
    chain, gap, low = site.start, site.gap, site.bottom
    if base > 0:
        chain = site.onto(chain, 0.0, 0.0, base, asked)
        gap, low = site.wait(chain), first
    tops: list[float] = []
    least = max(asked.least, COVER)
    while asked.total - low > NEAR:
        left = min(asked.most, asked.total - low)
        wet = site.onto(chain, gap, low, left, asked)
        depth = deepest(wet.at(site.warmest), asked.limit, left, min(least, left), exact=False)
        if depth <= 0 or len(tops) >= MOST_LIFTS:
            return ()
        top = low + depth
        held = _blocked(top, asked) if asked.total - top > NEAR else None
        if held is not None and held.low - low >= least:
            top = held.low
        if NEAR < asked.total - top < least:
            top = max(asked.total - least, low + min(least, depth))
        chain = site.onto(chain, gap, low, top - low, asked)
        tops.append(top)
        if asked.total - top > NEAR:
            gap = site.wait(chain)
        low = top
    return tuple(tops)


def _cured(site: Site, asked: Asked, heights: Sequence[float], base: float, why: Why) -> Planned | None:
    """The lifts with their times and peaks; None where one of them is not safe."""
    chain, gap, low = site.start, site.gap, site.bottom
    chains = []
    for number, high in enumerate(heights):
        chain = site.onto(chain, gap if chain.lifts else 0.0, low, high - low, asked)
        if not site.safe(chain, asked.limit):
            return None
        chains.append(chain)
        if number + 1 < len(heights):
            gap = site.wait(chain)
        low = high
    lows = (site.bottom, *heights)
    lifts = [
        PlannedLift(
            low,
            high,
            held.lifts[-1].after,
            _why(asked, low, high, number == 0 and base > 0, why),
            float(followed(held).peak[0]),
            site.hottest(held, exact=True),
        )
        for number, (low, high, held) in enumerate(zip(lows, heights, chains, strict=False))
    ]
    return Planned(tuple(lifts), chain)


def _why(asked: Asked, low: float, high: float, is_base: bool, why: Why) -> Why:
    if is_base:
        return "least" if asked.least > asked.base else "base"
    if high < asked.total - NEAR and any(
        abs(high - edge) < NEAR for held in asked.buried for edge in (held.low, held.high + COVER)
    ):
        return "buried"
    if high - low > asked.most - EVEN:
        return "most"
    return "even" if high > asked.total - NEAR and why == "heat" else why
