"""Several parts laid together on slabs and offcuts, so that the most are placed and the least is spoilt.

Parts are laid one after another, each as far into a corner of a stock as the exact set of its free moves
lets it (bottom-left placement, here by vertices of the free set); the order, the corners and which stock
comes first are then changed at random, and a change is kept where it is no worse.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import pi
from random import Random

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from workshop.trade.fitting.offcuts import LEAST_WIDTH, usable
from workshop.trade.fitting.places import Shortfall, shortfall
from workshop.trade.fitting.stock import (
    Floats,
    Part,
    Placement,
    Ring,
    Stock,
    half_turn,
    part_region,
    placed_ring,
    turned,
)
from workshop.trade.fitting.translations import (
    TOUCH,
    clearance,
    convex_pieces,
    free_moves,
    ground,
    outline_of,
    polygons,
    shrunk,
)
from workshop.trade.fitting.turning import poses

__all__ = ["Nest", "Unplaced", "nested"]

Progress = Callable[[float, "Nest"], bool]

CORNERS = (
    (1.0, 0.1),
    (1.0, -0.1),
    (-1.0, 0.1),
    (-1.0, -0.1),
    (0.1, 1.0),
    (0.1, -1.0),
    (1.0, 1.0),
    (-1.0, 1.0),
)
"""Directions away from the corner into which parts are pushed."""

_COARSE = 2e-3
_PATIENCE = 30
"""Changes without a better result, after which the search starts anew from another order."""


@dataclass(frozen=True, slots=True)
class Unplaced:
    """A part that found no place beside the others."""

    part: Part
    shortfall: Shortfall | None
    """By how much it is too large for what the others leave, its stock being one such piece under the name
    of the stock it is left of; None while the search still runs."""


@dataclass(frozen=True, slots=True)
class Nest:
    """Parts laid together without overlap."""

    placements: tuple[Placement, ...]
    unplaced: tuple[Unplaced, ...]
    remainder: float
    """m2 of the largest usable piece left of each stock, together."""

    @property
    def stocks(self) -> tuple[str, ...]:
        """The stocks that are sawn into, in the order of their names."""
        return tuple(sorted({place.stock.id for place in self.placements}))


def nested(
    parts: Sequence[Part],
    stocks: Sequence[Stock],
    *,
    kerf: float = 0.0,
    gap: float = 0.0,
    progress: Progress | None = None,
    seconds: float = 5.0,
    seed: int = 0,
    rounds: int | None = None,
    clock: Callable[[], float] = time.monotonic,
) -> Nest:
    """A good joint placement: the most parts, then the fewest stocks, then the largest usable remainder.

    Parts lie as far apart as the widest of `kerf`, `gap` and the stock's own kerf. `progress` is told the
    share of the time that is done and the best so far, and ends the search by answering False. With `rounds`
    that many arrangements are tried whatever the time, so that one seed always gives one answer. The first
    arrangement is always finished, and the shortfalls are measured after the time is up. Raises ValueError
    where two parts or two stocks share an id, or a measure is below zero.
    """
    if min(kerf, gap, seconds) < 0 or (rounds is not None and rounds < 1):
        raise ValueError(
            f"The kerf is {kerf:g} m, the gap {gap:g} m and the time {seconds:g} s, rounds {rounds}; "
            "give zero or more for each and one round at the least."
        )
    for kind, ids in (("parts", [p.id for p in parts]), ("stocks", [s.id for s in stocks])):
        twice = sorted({id for id in ids if ids.count(id) > 1})
        if twice:
            raise ValueError(f"Two {kind} are called {twice[0]!r}; give each its own id.")
    bench = _Bench(parts, stocks, max(kerf, gap))
    start, random = clock(), Random(seed)

    def share(done: int) -> float:
        spent = done / rounds if rounds is not None else (clock() - start) / seconds if seconds else 1.0
        return min(1.0, spent)

    plan = bench.first_plan()
    current = best = bench.laid(plan)
    done, fruitless, going = 1, 0, True
    while going:
        now = share(done)
        if progress is not None:
            going = progress(now, bench.nest(best))
        if not going or now >= 1 or not parts or not stocks:
            break
        trial = bench.shuffled(random) if fruitless >= _PATIENCE else bench.changed(plan, current, random)
        result = bench.laid(trial)
        done += 1
        fresh, fruitless = fruitless >= _PATIENCE, fruitless + 1
        if fresh or result.merit >= current.merit:
            if fresh or result.merit > current.merit:
                fruitless = 0
            plan, current = trial, result
        if result.merit > best.merit:
            best = result
    return bench.nest(best, measured=True)


@dataclass(frozen=True, slots=True)
class _Plan:
    """In which order parts are laid, on which stock first, and into which corner of each."""

    parts: tuple[int, ...]
    stocks: tuple[int, ...]
    corners: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Laid:
    """Part, stock, pose and move of each part that was placed."""

    places: tuple[tuple[int, int, _Way, float, float], ...]
    merit: tuple[int, int, float]
    """Parts placed, stocks used (fewer is higher), area of the largest pieces left."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A part's outline lying mirrored or not at a turn, about its own origin."""

    ring: Ring
    mirrored: bool
    turn: float


@dataclass(slots=True)
class _Bench:
    """The parts and stocks of one search, with what was worked out about them so far."""

    parts: Sequence[Part]
    stocks: Sequence[Stock]
    apart: float
    free: dict[tuple[_Way, int], BaseGeometry] = field(default_factory=dict)
    beside: dict[tuple[_Way, _Way, float], BaseGeometry] = field(default_factory=dict)
    pieces: dict[tuple[_Way, float], tuple[Floats, ...]] = field(default_factory=dict)
    regions: dict[_Way, shapely.Polygon] = field(default_factory=dict)
    whole: dict[int, float] = field(default_factory=dict)

    def first_plan(self) -> _Plan:
        """Largest part first on the largest stock, all towards the near end."""
        sizes = [part_region(part.ring).area for part in self.parts]
        areas = [ground(stock).region.area for stock in self.stocks]
        order = tuple(sorted(range(len(sizes)), key=lambda n: -sizes[n]))
        return _Plan(order, tuple(sorted(range(len(areas)), key=lambda n: -areas[n])), (0,) * len(areas))

    def shuffled(self, random: Random) -> _Plan:
        """A plan near largest-first, with stocks and corners by chance."""
        first = self.first_plan()
        sizes = [part_region(part.ring).area for part in self.parts]
        weights = {n: sizes[n] * random.uniform(0.4, 1.0) for n in first.parts}
        stocks = random.sample(first.stocks, len(first.stocks))
        corners = tuple(random.randrange(len(CORNERS)) for _ in first.corners)
        return _Plan(tuple(sorted(first.parts, key=lambda n: -weights[n])), tuple(stocks), corners)

    def changed(self, plan: _Plan, laid: _Laid, random: Random) -> _Plan:
        """A plan with one thing changed: a part moved, two exchanged, a corner or the first stock."""
        order, stocks, corners = list(plan.parts), list(plan.stocks), list(plan.corners)
        left_out = sorted(set(order) - {place[0] for place in laid.places})
        which = random.random()
        if left_out and which < 0.4:
            part = random.choice(left_out)
            order.remove(part)
            order.insert(random.randrange(len(order) + 1), part)
        elif which < 0.65 and len(order) > 1:
            one, two = random.sample(range(len(order)), 2)
            order[one], order[two] = order[two], order[one]
        elif which < 0.8 and len(stocks) > 1:
            one, two = random.sample(range(len(stocks)), 2)
            stocks[one], stocks[two] = stocks[two], stocks[one]
        else:
            corners[random.randrange(len(corners))] = random.randrange(len(CORNERS))
        return _Plan(tuple(order), tuple(stocks), tuple(corners))

    def laid(self, plan: _Plan) -> _Laid:
        """Lay the parts in the plan's order, each on the first stock that takes it."""
        on: dict[int, list[tuple[_Way, float, float]]] = {}
        places = []
        for part in plan.parts:
            for stock in plan.stocks:
                spot = self._spot(part, stock, on.get(stock, []), CORNERS[plan.corners[stock]])
                if spot is not None:
                    on.setdefault(stock, []).append(spot)
                    places.append((part, stock, *spot))
                    break
        left = sum(self._left(stock, on.get(stock, [])) for stock in range(len(self.stocks)))
        return _Laid(tuple(places), (len(places), -len(on), round(left, 9)))

    def nest(self, laid: _Laid, measured: bool = False) -> Nest:
        """The placements of a result, and the unplaced parts with their shortfalls where asked."""
        placements = []
        for number, stock, way, x, y in laid.places:
            part, on = self.parts[number], self.stocks[stock]
            place = Placement(part, on, x, y, way.turn, way.mirrored, 0.0)
            margin = clearance(shapely.Polygon(placed_ring(part, place)), ground(on))
            placements.append(Placement(part, on, x, y, way.turn, way.mirrored, max(0.0, margin - TOUCH)))
        placed = {place[0] for place in laid.places}
        missing = [part for number, part in enumerate(self.parts) if number not in placed]
        short: dict[tuple[Ring, float | None, bool], Shortfall] = {}
        if measured and missing:
            rest = self._rest(placements, min(part_region(part.ring).area for part in missing) / 4)
            for part in missing:
                kind = (part.ring, part.grain_slack, part.may_mirror)
                if kind not in short:
                    short[kind] = shortfall(part, rest)
        unplaced = tuple(
            Unplaced(part, short.get((part.ring, part.grain_slack, part.may_mirror))) for part in missing
        )
        return Nest(tuple(placements), unplaced, laid.merit[2])

    def _spot(
        self, number: int, stock: int, lying: Sequence[tuple[_Way, float, float]], away: tuple[float, float]
    ) -> tuple[_Way, float, float] | None:
        """The place furthest into a corner, over the ways in which the part may lie."""
        apart = max(self.apart, self.stocks[stock].kerf)
        best: tuple[float, _Way, float, float] | None = None
        for ways in _ways(self.parts[number]):
            for way in ways:
                free = self._free(way, stock)
                if lying and not free.is_empty:
                    barred = [_moved(self._beside(other, way, apart), x, y) for other, x, y in lying]
                    free = shapely.difference(free, shapely.union_all(barred))
                moves = shapely.get_coordinates(polygons(free))
                if not len(moves):
                    continue
                low, high = self._extent(way)
                near = [low[n] if away[n] > 0 else high[n] for n in (0, 1)]
                depths = (moves + near) @ away
                least = int(np.argmin(depths))
                if best is None or depths[least] < best[0] - 1e-9:
                    best = (float(depths[least]), way, float(moves[least, 0]), float(moves[least, 1]))
            if best is not None:
                return best[1:]
        return None

    def _free(self, way: _Way, stock: int) -> BaseGeometry:
        key = (way, stock)
        if key not in self.free:
            moves = free_moves(self._pieces(way, -TOUCH), ground(self.stocks[stock]))
            self.free[key] = shapely.multipolygons(moves) if moves else shapely.MultiPolygon()
        return self.free[key]

    def _beside(self, lying: _Way, way: _Way, apart: float) -> BaseGeometry:
        """The moves by which a part comes too near to another that lies at the origin."""
        key = (lying, way, apart)
        if key not in self.beside:
            sums = [
                shapely.convex_hull(shapely.multipoints((a[:, None] - b).reshape(-1, 2)))
                for a in self._pieces(lying, apart)
                for b in self._pieces(way, -TOUCH)
            ]
            self.beside[key] = shapely.union_all(np.asarray(sums, dtype=object))
        return self.beside[key]

    def _pieces(self, way: _Way, grown: float) -> tuple[Floats, ...]:
        key = (way, grown)
        if key not in self.pieces:
            self.pieces[key] = convex_pieces(shrunk(self._region(way), -grown))
        return self.pieces[key]

    def _region(self, way: _Way) -> shapely.Polygon:
        if way not in self.regions:
            self.regions[way] = shapely.Polygon(turned(np.asarray(way.ring), way.turn, way.mirrored))
        return self.regions[way]

    def _extent(self, way: _Way) -> tuple[tuple[float, float], tuple[float, float]]:
        x1, y1, x2, y2 = self._region(way).bounds
        return (x1, y1), (x2, y2)

    def _left(self, stock: int, lying: Sequence[tuple[_Way, float, float]]) -> float:
        """Area of the largest usable piece that is left of a stock."""
        if not lying and stock in self.whole:
            return self.whole[stock]
        parts = [_moved(self._region(way), x, y) for way, x, y in lying]
        apart = max(self.apart, self.stocks[stock].kerf)
        pieces = usable(ground(self.stocks[stock], _COARSE).region, parts, apart, LEAST_WIDTH)
        area = max((float(piece.area) for piece in pieces), default=0.0)
        if not lying:
            self.whole[stock] = area
        return area

    def _rest(self, placements: Sequence[Placement], least: float) -> list[Stock]:
        """The pieces that the placements leave of each stock, as large as `least` and under its name."""
        rest = []
        for stock in self.stocks:
            parts = [shapely.Polygon(placed_ring(p.part, p)) for p in placements if p.stock.id == stock.id]
            pieces = usable(ground(stock).region, parts, max(self.apart, stock.kerf), 0.0)
            for polygon in pieces:
                if polygon.area >= least:
                    rest.append(Stock(stock.id, *outline_of(polygon), kerf=stock.kerf))
        return rest


def _ways(part: Part) -> list[list[_Way]]:
    """Ways to lay a part, those along the grain first; the others are for where none of them fits."""
    along, off = [], []
    for pose in poses(replace(part, grain_slack=0.0)):
        along.append(_Way(part.ring, pose.mirrored, half_turn(pose.turn)))
        if part.grain_slack is None:
            along.append(_Way(part.ring, pose.mirrored, half_turn(pose.turn + pi / 2)))
        elif part.grain_slack > 0:
            for share in (-1.0, -0.5, 0.5, 1.0):
                off.append(_Way(part.ring, pose.mirrored, half_turn(pose.turn + share * part.grain_slack)))
    return [along, off] if off else [along]


def _moved(geometry: BaseGeometry, x: float, y: float) -> BaseGeometry:
    moved = shapely.transform(geometry, lambda points: np.add(points, (x, y)))
    assert isinstance(moved, BaseGeometry)
    return moved
