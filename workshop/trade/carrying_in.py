"""Whether a piece gets to its place: through a door, round a corner, up a stair, and which way to hold it.

Plane geometry on a box, lengths in metres and angles in radians. Walls stand upright, so a box that keeps its
tilt goes round a corner when its plan does, and when its height fits under the ceiling. `hands` is room at
each side of the box, in plan; nothing is added above or below it.

A rectangle of length p and thickness q turns from a corridor a wide into one b wide when
a sin t + b cos t - p sin t cos t >= q at every angle t of its turn: its long side touches both outer walls,
and the inner corner lies as far from that side as the left of it says. For q = 0 the longest p is
(a^(2/3) + b^(2/3))^(3/2), as any calculus text has it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, inf, pi, sin, sqrt
from typing import Final, Literal

__all__ = [
    "HANDS",
    "STEEPEST_STAIR",
    "Box",
    "Hold",
    "Move",
    "Way",
    "box",
    "longest_round",
    "round_corner",
    "round_landing",
    "through_door",
    "turning_room",
    "up_flight",
]

HANDS: Final = 0.03
"""m for the hands at each side of a piece: common practice, no source."""
STEEPEST_STAIR: Final = 42 * pi / 180
"""Pitch of the steepest private stair: Approved Document K (England, 2013), table 1.1, from memory."""

Hold = Literal["on edge", "flat", "on end", "leant over", "on edge, tilted", "flat, tilted"]
Move = Literal["straight", "turning", "sideways", "turning back", "backing out"]

_SAMPLES: Final = 45
_GOLDEN: Final = (5**0.5 - 1) / 2
_STEPS: Final = 42


@dataclass(frozen=True, slots=True)
class Box:
    """A piece by its three sides (m), the longest first."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True, slots=True)
class Way:
    """One way of holding a box at a place, and the room that it leaves (m, negative: too little).

    `long` and `short` are its plan, `height` is what it takes upright. `beside` is by how much its plan could
    be thicker, or longer where it goes sideways; `over` is left above it, None where nothing is above.
    """

    hold: Hold
    move: Move
    long: float
    short: float
    height: float
    beside: float
    over: float | None = None
    tilt: float | None = None
    """Of a box leant over its long edge, or with one end up, from the level or the upright (rad)."""
    angle: float | None = None
    """Of the turn where it is tightest (rad)."""
    angle_after: float | None = None
    """The same of the second turn of a landing."""

    @property
    def margin(self) -> float:
        """The lesser of the room beside it and above it."""
        return self.beside if self.over is None else min(self.beside, self.over)

    @property
    def fits(self) -> bool:
        """Whether it goes, if only just."""
        return self.margin >= -1e-9


Turn = Callable[..., Way]
"""Turns a box held in one way: hold, plan length, plan thickness, height, and its tilt if any."""


def box(*sides: float) -> Box:
    """A box of three sides in any order."""
    if len(sides) != 3 or any(not 0 < side < inf for side in sides):
        raise ValueError(f"The piece has the sides {sides} m; give three above zero.")
    return Box(*sorted(sides, reverse=True))


def turning_room(before: float, after: float, length: float) -> tuple[float, float]:
    """The greatest thickness of a rectangle of this length that turns from one corridor into the next.

    Also the angle at which it is tightest. Both corridors bound it, since the turn starts and ends in line
    with them.
    """
    _above_zero(before=before, after=after, length=length)
    return _least(lambda t: before * sin(t) + after * cos(t) - length * sin(t) * cos(t), 0.0, pi / 2)


def longest_round(before: float, after: float, thickness: float) -> tuple[float, float]:
    """The longest rectangle of this thickness that turns from one corridor into the next, and at what angle.

    0 where the thickness alone is more than a corridor is wide.
    """
    _above_zero(before=before, after=after)
    if not 0 <= thickness < min(before, after):
        return 0.0, 0.0
    least = 1e-6
    return _least(
        lambda t: (before * sin(t) + after * cos(t) - thickness) / (sin(t) * cos(t)), least, pi / 2 - least
    )


def through_door(piece: Box, width: float, height: float, hands: float = 0.0) -> Way:
    """Lengthways through a clear opening: on edge or flat, leant over only where neither goes."""
    _above_zero(width=width, height=height)

    def groups() -> Iterator[tuple[Way, ...]]:
        yield tuple(
            Way(hold, "straight", piece.length, short, high, width - short - 2 * hands, height - high)
            for hold, short, high in _upright_sections(piece)
        )

        def leant(tilt: float) -> Way:
            short = piece.width * sin(tilt) + piece.thickness * cos(tilt)
            high = piece.width * cos(tilt) + piece.thickness * sin(tilt)
            return Way(
                "leant over",
                "straight",
                piece.length,
                short,
                high,
                width - short - 2 * hands,
                height - high,
                tilt,
            )

        yield (leant(_best_tilt(leant)),)

    return _easiest(groups())


def round_corner(
    piece: Box,
    before: float,
    after: float,
    height: float | None = None,
    hands: float = 0.0,
    *,
    tilting: bool = True,
) -> Way:
    """From a corridor into the next: level, then on end, then tilted, whichever is the first to go.

    Without the height of its ceiling it stays level. `tilting=False` leaves the tilted ways out.
    """
    _above_zero(before=before, after=after)

    def turn(hold: Hold, long: float, short: float, high: float, tilt: float | None = None) -> Way:
        over = None if height is None else height - high
        room, angle = turning_room(before, after, long + 2 * hands)
        turned = Way(hold, "turning", long, short, high, room - short - 2 * hands, over, tilt, angle)
        shifted = min(max(before, after) - long, min(before, after) - short) - 2 * hands
        if shifted > turned.beside:
            return Way(hold, "sideways", long, short, high, shifted, over, tilt)
        return turned

    return _easiest(_standing_groups(piece, height, turn, tilting))


def round_landing(
    piece: Box,
    before: float,
    after: float,
    landing: float,
    height: float | None = None,
    hands: float = 0.0,
    *,
    tilting: bool = True,
) -> Way:
    """Right back on a landing of this length, from a flight into the one beside it.

    The landing is as wide as both flights. The piece turns twice and lies along the landing in between, or
    goes onto it whole, moves over and backs out.
    """
    _above_zero(before=before, after=after, landing=landing)

    def turn(hold: Hold, long: float, short: float, high: float, tilt: float | None = None) -> Way:
        over = None if height is None else height - high
        first, angle = turning_room(before, landing, long + 2 * hands)
        second, angle_after = turning_room(landing, after, long + 2 * hands)
        # Its diagonal stays clear of the far wall while it turns.
        along = sqrt(max((before + after) ** 2 - (short + 2 * hands) ** 2, 0.0)) - long
        beside = min(first - short, second - short, along) - 2 * hands
        backed = min(landing - long, min(before, after) - short) - 2 * hands
        if backed > beside:
            return Way(hold, "backing out", long, short, high, backed, over, tilt)
        return Way(hold, "turning back", long, short, high, beside, over, tilt, angle, angle_after)

    return _easiest(_standing_groups(piece, height, turn, tilting))


def up_flight(piece: Box, width: float, headroom: float, pitch: float, hands: float = 0.0) -> Way:
    """Lengthways up a straight flight, along its slope; headroom is upright above the nosings."""
    _above_zero(width=width, headroom=headroom)
    if not 0 <= pitch < pi / 2:
        raise ValueError(f"The stair rises at {pitch:g} rad; give its pitch from 0 to under pi/2.")
    square = headroom * cos(pitch)
    return _easiest(
        iter(
            (
                tuple(
                    Way(hold, "straight", piece.length, short, high, width - short - 2 * hands, square - high)
                    for hold, short, high in _upright_sections(piece)
                ),
            )
        )
    )


def _standing_groups(
    piece: Box, height: float | None, turn: Turn, tilting: bool
) -> Iterator[tuple[Way, ...]]:
    yield tuple(turn(hold, piece.length, short, high) for hold, short, high in _upright_sections(piece))
    if height is None:
        return
    yield (turn("on end", piece.width, piece.thickness, piece.length),)
    if tilting:
        yield (
            _tilted("on edge, tilted", piece.length, piece.width, piece.thickness, turn),
            _tilted("flat, tilted", piece.length, piece.thickness, piece.width, turn),
        )


def _tilted(hold: Hold, length: float, rising: float, short: float, turn: Turn) -> Way:
    """One end up: `rising` is the side that tilts with the length."""

    def at(tilt: float) -> Way:
        return turn(
            hold,
            length * cos(tilt) + rising * sin(tilt),
            short,
            length * sin(tilt) + rising * cos(tilt),
            tilt,
        )

    return at(_best_tilt(at))


def _best_tilt(way: Callable[[float], Way]) -> float:
    return _least(lambda tilt: -way(tilt).margin, 0.0, pi / 2)[1]


def _upright_sections(piece: Box) -> tuple[tuple[Hold, float, float], ...]:
    """How wide and how high it is, carried level and lengthways."""
    return (("on edge", piece.thickness, piece.width), ("flat", piece.width, piece.thickness))


def _easiest(groups: Iterator[Sequence[Way]]) -> Way:
    """Of the first group that goes the roomiest; where none goes, the one that lacks least."""
    tried: list[Way] = []
    for group in groups:
        roomiest = max(group, key=lambda way: way.margin)
        if roomiest.fits:
            return roomiest
        tried.append(roomiest)
    return max(tried, key=lambda way: way.margin)


def _least(function: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """The least value of a smooth function and where it lies: samples, then the golden section."""
    step = (high - low) / _SAMPLES
    places = [low + step * number for number in range(_SAMPLES)] + [high]
    value, best = min((function(place), place) for place in places)
    left, right = max(low, best - step), min(high, best + step)
    inner, outer = right - _GOLDEN * (right - left), left + _GOLDEN * (right - left)
    at_inner, at_outer = function(inner), function(outer)
    for _ in range(_STEPS):
        if at_inner <= at_outer:
            right, outer, at_outer = outer, inner, at_inner
            inner = right - _GOLDEN * (right - left)
            at_inner = function(inner)
        else:
            left, inner, at_inner = inner, outer, at_outer
            outer = left + _GOLDEN * (right - left)
            at_outer = function(outer)
    return min((value, best), (at_inner, inner), (at_outer, outer))


def _above_zero(**lengths: float) -> None:
    for name, length in lengths.items():
        if not 0 < length < inf:
            raise ValueError(f"The {name} is {length:g} m; give it above zero.")
