"""The places and turns of one part on one stock, over all the directions that its grain may take.

Branch and bound over the angle: where a part fits turned by some angle of an interval, the part shrunk by as
much as its farthest point sweeps on the way from the middle of the interval fits turned by the middle, and
with no less clearance. So an interval is dropped only where nothing in it can fit or be better.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import count
from math import ceil, inf, pi, sin

import numpy as np
import shapely

from workshop.trade.fitting.stock import (
    Floats,
    Part,
    Placement,
    Ring,
    Stock,
    half_turn,
    part_region,
    turned,
)
from workshop.trade.fitting.translations import (
    TOUCH,
    Bounds,
    clearance,
    convex_pieces,
    deepest,
    depth,
    free_moves,
    ground,
    shrunk,
)

__all__ = ["Pose", "fits", "poses", "spots"]

STEP = pi / 12
"""Widest interval that the search starts with: 15 degrees."""

_FINEST = 5e-5
"""Intervals in which the farthest point sweeps less than this (m) are not halved again."""
_FINEST_ANY = 1e-4
_ROUGH = 4e-3
_FEW = 9
"""Outlines of up to so many points are not made coarser."""
_LOOKS_WITHOUT = 150
"""How many intervals are looked into at most until a place is found, and after."""
_LOOKS_WITH = 20


@dataclass(frozen=True, slots=True)
class Pose:
    """One way to lay a part: mirrored or not, within so much of a turn."""

    mirrored: bool
    turn: float
    either_way: float = 0.0


def poses(part: Part) -> tuple[Pose, ...]:
    """The ways to lay a part, less those that look like another because the part is symmetric."""
    same_turned, same_mirrored = _symmetry(part.ring)
    mirrors = (False, True) if part.may_mirror and not same_mirrored else (False,)
    if part.grain_slack is None or part.grain_slack >= pi / 2:
        whole = pi if same_turned else 2 * pi
        steps = round(whole / STEP)
        turns = [step * STEP for step in range(steps)]
        return tuple(Pose(mirror, turn, STEP / 2) for mirror in mirrors for turn in turns)
    bases = (0.0,) if same_turned else (0.0, pi)
    steps = max(1, ceil(2 * part.grain_slack / STEP))
    half = part.grain_slack / steps
    return tuple(
        Pose(mirror, base - part.grain_slack + (2 * step + 1) * half, half)
        for mirror in mirrors
        for base in bases
        for step in range(steps)
    )


def spots(part: Part, stock: Stock, most: int, margin_least: float = 0.0) -> list[Placement]:
    """Places of a part on a stock: some for the best turn each way round, one for others looked at."""
    blank = _blank(part.ring)
    ways = poses(part)
    if all(pose.either_way == 0 for pose in ways):
        return [place for pose in ways for place in _exactly(part, stock, blank, pose, None, most)]
    found = list(_looks(part, stock, margin_least))
    if most == 1:
        return found
    turns = {
        (place.mirrored, place.turn)
        for place in found
        if not any(_alike(place, other) and other.margin > place.margin for other in found)
    }
    for mirrored, turn in sorted(turns):
        found.extend(_exactly(part, stock, blank, Pose(mirrored, turn), None, most))
    return found


def fits(part: Part, stock: Stock) -> bool:
    """Whether a part can be laid on a stock at all."""
    ways = poses(part)
    if any(pose.either_way > 0 for pose in ways):
        return next(_looks(part, stock, 0.0, any_place=True), None) is not None
    blank = _blank(part.ring)
    return any(_fits_as(blank, stock, pose) for pose in ways)


def _fits_as(blank: _Blank, stock: Stock, pose: Pose) -> bool:
    """Whether a part fits at one turn, settled on a coarser outline of the stock where that is enough."""
    rough = ground(stock, _ROUGH)
    less = blank.laid(pose, _ROUGH, _ROUGH)
    window = None
    if less:
        moves = free_moves(less, rough)
        if not moves:
            return False
        if free_moves(blank.laid(pose, -_ROUGH), rough):
            return True
        window = _window(moves)
    return bool(free_moves(blank.laid(pose, TOUCH), ground(stock), window))


@dataclass(frozen=True, slots=True)
class _Blank:
    """A part's outline about the middle of its smallest enclosing circle."""

    region: shapely.Polygon
    middle: Floats
    reach: float

    def sweep(self, pose: Pose) -> float:
        """How far the farthest point moves between the middle of a pose and its ends."""
        return 2 * self.reach * sin(min(pi, pose.either_way) / 2)

    def laid(self, pose: Pose, by: float, coarseness: float = 0.0) -> tuple[Floats, ...]:
        """Its convex pieces shrunk and turned, with a coarseness from no more than the shrunk outline."""
        return tuple(
            turned(piece, pose.turn, pose.mirrored) for piece in _pieces(self.region, by, coarseness)
        )

    def placed(self, part: Part, stock: Stock, pose: Pose, move: tuple[float, float]) -> Placement:
        """The placement with this middle on a place of the stock."""
        points = turned(shapely.get_coordinates(shrunk(self.region, TOUCH)), pose.turn, pose.mirrored)
        margin = clearance(shapely.Polygon(points + move), ground(stock)) - TOUCH
        x, y = np.asarray(move) - turned(self.middle, pose.turn, pose.mirrored)
        return Placement(
            part, stock, float(x), float(y), half_turn(pose.turn), pose.mirrored, max(0.0, margin)
        )


def _looks(part: Part, stock: Stock, margin_least: float, any_place: bool = False) -> Iterator[Placement]:
    """The best placement at one turn after another, until no other turn can bring a much better margin."""
    blank = _blank(part.ring)
    waiting: list[tuple[float, int, Pose, Bounds | None]] = []
    order = count()
    best = -inf
    for pose in poses(replace(part, grain_slack=0.0)):
        for place in _exactly(part, stock, blank, pose, None, 1, any_place):
            best = max(best, place.margin)
            yield place
    for pose in poses(part):
        _wait(waiting, next(order), blank, stock, pose, None)
    finest = _FINEST_ANY if any_place else _FINEST
    looks_with = _LOOKS_WITH if len(part.ring) <= _FEW else _LOOKS_WITH // 3
    looks = 0
    while waiting:
        bound, _, pose, window = heapq.heappop(waiting)
        worth = max(best + max(2e-4, 0.05 * best), margin_least)
        if -bound <= worth or looks >= (looks_with if best >= margin_least else _LOOKS_WITHOUT):
            break
        looks += 1
        # Where the part itself fits turned by the middle, the shrunk one has a clearance of its sweep.
        if -bound >= blank.sweep(pose):
            for place in _exactly(part, stock, blank, pose, window, 1, any_place):
                best = max(best, place.margin)
                yield place
        half = pose.either_way / 2
        if 2 * blank.reach * half > finest:
            for turn in (pose.turn - half, pose.turn + half):
                _wait(waiting, next(order), blank, stock, Pose(pose.mirrored, turn, half), window)


def _wait(
    waiting: list[tuple[float, int, Pose, Bounds | None]],
    turn: int,
    blank: _Blank,
    stock: Stock,
    pose: Pose,
    window: Bounds | None,
) -> None:
    """Put an interval among those to look into, unless nothing in it can fit.

    The window holds all moves of the wider interval that this one is half of.
    """
    if pose.either_way == 0:
        return
    sweep = blank.sweep(pose)
    coarseness = _round_down(sweep)
    pieces = blank.laid(pose, sweep + coarseness, coarseness)
    if not pieces:
        # Shrunk to nothing the part says nothing about the interval.
        heapq.heappush(waiting, (-inf, turn, pose, window))
        return
    moves = free_moves(pieces, ground(stock, coarseness), window)
    if moves:
        heapq.heappush(waiting, (-depth(moves, max(1e-4, sweep / 8)), turn, pose, _window(moves)))


def _window(moves: list[shapely.Polygon]) -> Bounds:
    """Bounds that hold all moves, with some width even where they have none."""
    x1, y1, x2, y2 = (float(bound) for bound in shapely.total_bounds(np.array(moves)))
    return x1 - 1e-6, y1 - 1e-6, x2 + 1e-6, y2 + 1e-6


def _exactly(
    part: Part,
    stock: Stock,
    blank: _Blank,
    pose: Pose,
    window: Bounds | None,
    most: int,
    any_place: bool = False,
) -> list[Placement]:
    """Placements at the turn in the middle of a pose."""
    moves = free_moves(blank.laid(pose, TOUCH), ground(stock), window)
    return [
        blank.placed(part, stock, pose, move)
        for move in deepest(moves, most, accuracy=0.1 if any_place else 1e-4)
    ]


def _alike(one: Placement, other: Placement) -> bool:
    """Whether two placements lay the part about the same way round."""
    apart = half_turn(one.turn - other.turn)
    return one.mirrored == other.mirrored and abs(apart) < pi / 4


def _round_down(coarseness: float) -> float:
    """A coarseness among few, so that the coarser outlines of a stock are made once."""
    steps = [1e-2, 4e-3, 1.5e-3, 6e-4]
    return next((step for step in steps if step <= coarseness), 0.0)


@lru_cache(maxsize=128)
def _blank(ring: Ring) -> _Blank:
    points = np.asarray(ring)
    circle = shapely.minimum_bounding_circle(shapely.multipoints(points))
    middle = shapely.get_coordinates(shapely.centroid(circle))[0]
    reach = float(np.hypot(*(points - middle).T).max())
    return _Blank(shapely.Polygon(points - middle), middle, reach)


@lru_cache(maxsize=512)
def _pieces(region: shapely.Polygon, by: float, coarseness: float) -> tuple[Floats, ...]:
    if coarseness == 0 or len(region.exterior.coords) <= _FEW:
        return convex_pieces(shrunk(region, by))
    return convex_pieces(shapely.simplify(shrunk(region, by + coarseness), coarseness))


@lru_cache(maxsize=128)
def _symmetry(ring: Ring) -> tuple[bool, bool]:
    """Whether an outline looks the same after half a turn, and mirrored (in either direction)."""
    points = np.asarray(ring)
    centre = shapely.get_coordinates(shapely.centroid(part_region(ring)))[0]
    plain = shapely.Polygon(points - centre)

    def same(turn: float, mirrored: bool) -> bool:
        other = shapely.Polygon(turned(points - centre, turn, mirrored))
        return bool(shapely.hausdorff_distance(plain.exterior, other.exterior) < 1e-9)

    return same(pi, False), same(0.0, True) or same(pi, True)
