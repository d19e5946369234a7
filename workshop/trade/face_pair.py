"""A board between two faces that may differ, sawn by upright cuts: its outline at any height.

Lengths in m, x along the tape (the grain), y to its left. Between two corners that answer each other the edge
is straight, so that a bevelled live edge is a ruled surface and the volume prismoidal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import cos, dist, hypot, sin

from workshop.trade.outline import Outline, Point, outline_area

Ring = tuple[Point, ...]
Line = tuple[Point, Point]
"""Two points of a straight cut, which runs on to both ends of the board."""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of an upright cut: the points with `a*x + b*y >= c`, (a, b) of length one."""

    a: float
    b: float
    c: float

    def distance(self, point: Point) -> float:
        """How far inside a point lies; negative outside."""
        return self.a * point[0] + self.b * point[1] - self.c


@dataclass(frozen=True, slots=True)
class FacePair:
    """Two faces with as many corners, each below its partner, and what is sawn off them."""

    lower: Ring
    upper: Ring
    sides: tuple[Side, ...] = ()
    holes: tuple[Ring, ...] = ()
    """Holes and pockets, which go straight through."""

    def outline(self, share: float) -> Ring:
        """The outline at a share of the thickness from the lower face; empty where nothing is left."""
        return clipped(between(self.lower, self.upper, share), self.sides)

    def open_holes(self) -> tuple[Ring, ...]:
        """The holes as the cuts leave them."""
        left = (clipped(hole, self.sides) for hole in self.holes)
        return tuple(hole for hole in left if len(hole) > 2 and outline_area(hole) > 1e-9)


def between(lower: Outline, upper: Outline, share: float) -> Ring:
    """The ring at a share of the way from one to the other."""
    if share == 1.0 or lower is upper:
        return tuple(upper)
    if share == 0.0:
        return tuple(lower)
    rest = 1 - share
    return tuple(
        (rest * x1 + share * x2, rest * y1 + share * y2)
        for (x1, y1), (x2, y2) in zip(lower, upper, strict=True)
    )


def side_of(line: Line, mark: Point, shift: float = 0.0) -> Side:
    """The side of a saw line on which a mark lies, `shift` m further in for half a kerf.

    Raises ValueError where the line has no direction or runs through the mark.
    """
    (ax, ay), (bx, by) = line
    along = hypot(bx - ax, by - ay)
    if along == 0:
        raise ValueError("A saw line starts and ends in one point: give two different ones.")
    a, b = -(by - ay) / along, (bx - ax) / along
    c = a * ax + b * ay
    inside = a * mark[0] + b * mark[1] - c
    if abs(inside) < 1e-9:
        raise ValueError("A saw line runs through the mark of a piece: put the mark well inside the piece.")
    if inside < 0:
        a, b, c = -a, -b, -c
    return Side(a, b, c + shift)


def clipped(ring: Outline, sides: Sequence[Side]) -> Ring:
    """The part of a ring on the inner side of every cut (Sutherland and Hodgman's clipping).

    A ring that a cut parts in two comes back as one, its parts joined along the cut by a seam without area.
    """
    kept = list(ring)
    for side in sides:
        if not kept:
            break
        a, b, c = side.a, side.b, side.c
        depths = [a * x + b * y - c for x, y in kept]
        if min(depths) >= 0:
            continue
        made: list[Point] = []
        before, deep_before = kept[-1], depths[-1]
        for here, deep in zip(kept, depths, strict=True):
            if (deep_before < 0) != (deep < 0):
                part = deep_before / (deep_before - deep)
                made.append(
                    (before[0] + part * (here[0] - before[0]), before[1] + part * (here[1] - before[1]))
                )
            if deep >= 0:
                made.append(here)
            before, deep_before = here, deep
        kept = made
    return tuple(kept)


def paired(lower: Outline, upper: Outline) -> tuple[Ring, Ring]:
    """Two outlines with as many corners, those that answer each other in the same place of the ring.

    Outlines with as many corners, each near its partner, are taken as they are. Otherwise both are walked
    round the same way from the corner that lies nearest the upper outline's first, and each gains a corner
    where the other has one at the same share of its length.
    """
    if len(lower) == len(upper) and _answer(lower, upper):
        return tuple(lower), tuple(upper)
    below, above = _counter_clockwise(lower), _counter_clockwise(upper)
    first = min(range(len(below)), key=lambda number: dist(below[number], above[0]))
    below = (*below[first:], *below[:first])
    one, two = _shares(below), _shares(above)
    every = _merged([*one[:-1], *two[:-1]])
    return _at(below, one, every), _at(above, two, every)


def moved(pair: FacePair, mark: Point, place: Point, turn: float, flip: bool) -> FacePair:
    """A board with its mark set down at a place, turned (rad, against the clock) about it.

    Flipped, it is first turned over about the line of the tape through the mark, so that its lower face lies
    up and what lay to the left of the tape lies to the right.
    """
    c, s = cos(turn), sin(turn)
    over = -1.0 if flip else 1.0
    mx, my = mark
    px, py = place

    def ring(points: Outline) -> Ring:
        made = []
        for x, y in points:
            along, across = x - mx, over * (y - my)
            made.append((px + c * along - s * across, py + s * along + c * across))
        return tuple(made)

    def side(held: Side) -> Side:
        a, b = c * held.a - s * over * held.b, s * held.a + c * over * held.b
        return Side(a, b, a * px + b * py - held.distance(mark))

    lower, upper = (pair.upper, pair.lower) if flip else (pair.lower, pair.upper)
    above = ring(upper)
    return FacePair(
        above if lower is upper else ring(lower),
        above,
        tuple(side(held) for held in pair.sides),
        tuple(ring(hole) for hole in pair.holes),
    )


def _answer(lower: Outline, upper: Outline) -> bool:
    """Whether corners in the same place of two rings are partners: no other start brings them far nearer.

    Otherwise one was traced the other way round, or from another corner.
    """
    if (_counter_clockwise(lower) == tuple(lower)) != (_counter_clockwise(upper) == tuple(upper)):
        return False
    apart = [
        sum(dist(below, above) for below, above in zip([*lower[first:], *lower[:first]], upper, strict=True))
        for first in range(len(lower))
    ]
    return apart[0] <= 2 * min(apart) + 1e-9


def _counter_clockwise(ring: Outline) -> Ring:
    doubled = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True))
    return tuple(ring) if doubled >= 0 else tuple(reversed(ring))


def _shares(ring: Ring) -> list[float]:
    steps = list(accumulate(dist(one, two) for one, two in pairwise([*ring, ring[0]])))
    return [0.0, *(step / steps[-1] for step in steps)]


def _merged(shares: list[float]) -> list[float]:
    made: list[float] = []
    for share in sorted(shares):
        if not made or share - made[-1] > 1e-9:
            made.append(share)
    return made


def _at(ring: Ring, shares: list[float], wanted: list[float]) -> Ring:
    closed = [*ring, ring[0]]
    made, place = [], 0
    for share in wanted:
        while shares[place + 1] < share - 1e-12:
            place += 1
        length = shares[place + 1] - shares[place]
        part = (share - shares[place]) / length if length > 0 else 0.0
        (x1, y1), (x2, y2) = closed[place], closed[place + 1]
        made.append((x1 + part * (x2 - x1), y1 + part * (y2 - y1)))
    return tuple(made)
