"""What moves a lift's hot peak most: each thing that a maker can change, changed by a plain step.

Lengths in m, times in s, temperatures in °C.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal, get_args

from workshop.trade.lift_chain import Chain, Under, course, hot_draw

Lever = Literal["shop", "pour", "depth", "under", "bed", "wait"]
"""What is changed: the shop, the resin as it goes in, the lift's depth, what the form stands on, the bed in
the lift, the wait after the lift below."""

WARMER: Final = 2.0
"""K by which shop and resin are changed."""
DEEPER: Final = 0.1
"""The part of a depth by which it is changed."""
LONGER: Final = 2.0
"""The factor by which a wait is changed."""


@dataclass(frozen=True, slots=True)
class Way:
    """One change: to what (SI; a word for what the form stands on; no bed is 0), and K of the hot peak."""

    to: float | Under
    change: float


@dataclass(frozen=True, slots=True)
class Move:
    """What one lever does to the hot peak."""

    lever: Lever
    ways: tuple[Way, ...]

    @property
    def most(self) -> float:
        """K, the greatest change either way."""
        return max(abs(way.change) for way in self.ways)


def moves(chain: Chain) -> Iterator[Move]:
    """Each lever of the last lift of a chain, one after the other, as they are worked out.

    The changes are this project's own steps: 2 K, a tenth of the depth, half and twice the wait, every
    other floor, and the lift without its bed.
    """
    draw = hot_draw(chain)
    base = _peak(chain, draw)
    for lever in get_args(Lever):
        ways = tuple(Way(to, _peak(changed, draw) - base) for to, changed in _changes(chain, lever))
        if ways:
            yield Move(lever, ways)


def ranked(found: Iterable[Move]) -> tuple[Move, ...]:
    """The levers that move most first."""
    return tuple(sorted(found, key=lambda move: -move.most))


def _peak(chain: Chain, draw: int) -> float:
    """The peak of one draw, °C: the one that stands for the hot case before anything is changed."""
    return float(course(chain, draw).peak[0])


def _changes(chain: Chain, lever: Lever) -> Iterator[tuple[float | Under, Chain]]:
    last = chain.lifts[-1]
    if lever == "shop":
        for shop in (chain.shop.temperature + WARMER, chain.shop.temperature - WARMER):
            yield shop, chain.at(shop)
    elif lever == "pour":
        for warm in (last.temperature + WARMER, last.temperature - WARMER):
            yield warm, chain.with_last(temperature=warm)
    elif lever == "depth":
        for depth in (last.depth * (1 + DEEPER), last.depth * (1 - DEEPER)):
            yield depth, chain.with_last(depth=depth)
    elif lever == "under":
        for floor in get_args(Under):
            if floor != chain.under:
                yield floor, replace(chain, under=floor)
    elif lever == "bed" and last.beds:
        yield 0.0, replace(chain, lifts=(*chain.lifts[:-1], replace(last, beds=())))
    elif lever == "wait" and len(chain.lifts) > 1:
        for wait in (last.after / LONGER, last.after * LONGER):
            yield wait, replace(chain, lifts=(*chain.lifts[:-1], replace(last, after=wait)))
