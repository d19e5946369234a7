"""What stands on the way in as a row of passages: each a piece's way through, its formula, what would go.

Lengths in metres, angles in radians. The geometry is that of `carrying_in`; the names in a formula are w the
clear width, a and b the widths before and after a turn, d the landing, h the height, r the pitch, s the room
for hands, L, W and T the sides of the piece, f its tilt, t and u the angles of its turns.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import floor
from typing import Final, Literal

from workshop.trade.carrying_in import (
    Box,
    Way,
    box,
    longest_round,
    round_corner,
    round_landing,
    through_door,
    up_flight,
)

__all__ = ["BESIDE", "Obstacle", "Passage", "Shape", "over_formula", "passages", "sizes_formula"]

Kind = Literal["door", "corner", "stair"]
Shape = Literal["door", "corner", "flight", "landing"]

_Carry = Callable[[Box, float, bool], Way]
_FINEST: Final = 1e-6
"""m, to which the greatest size that goes is sought."""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A door, corner or stair: its clear width, and what else is known of it.

    `after` is the width beyond its turn, `landing` the length of a landing on which a stair turns right back.
    A stair with neither is straight, one with `after` alone makes a quarter turn.
    """

    kind: Kind
    width: float
    height: float | None = None
    after: float | None = None
    landing: float | None = None

    @property
    def beyond(self) -> float:
        """The width after the turn, as before it where it is not known."""
        return self.after or self.width


@dataclass(frozen=True, slots=True)
class Passage:
    """A part of an obstacle that a piece passes in one hold, and the best way found for it."""

    shape: Shape
    obstacle: Obstacle
    piece: Box
    hands: float
    carry: _Carry
    way: Way

    @property
    def turns(self) -> bool:
        """Whether the length of the piece matters here."""
        return self.shape in ("corner", "landing")

    def without_hands(self) -> Way:
        """The best way where nobody holds it by its sides."""
        return self.carry(self.piece, 0.0, True)

    def longest(self) -> tuple[float, float] | None:
        """The longest piece of the same section, held level as found, that goes round a corner.

        Also the angle at which the turn is tightest; None where no length goes, or at anything else.
        """
        if self.shape != "corner" or self.way.hold not in ("on edge", "flat"):
            return None
        before, after = self.obstacle.width, self.obstacle.beyond
        turning, angle = longest_round(before, after, self.way.short + 2 * self.hands)
        if turning <= 0:
            return None
        return max(turning, before, after) - 2 * self.hands, angle

    def length_that_goes(self) -> float | None:
        """The greatest length (whole mm) at which it goes untilted with hands on it; None where none does."""
        piece = self.piece
        return self._greatest(
            piece.width, piece.length, lambda length: box(length, piece.width, piece.thickness)
        )

    def width_that_goes(self) -> float | None:
        """The same for its width."""
        piece = self.piece
        return self._greatest(
            piece.thickness, piece.width, lambda width: box(piece.length, width, piece.thickness)
        )

    def _greatest(self, least: float, most: float, cut: Callable[[float], Box]) -> float | None:
        if not self.carry(cut(least), self.hands, False).fits:
            return None
        while most - least > _FINEST:
            middle = (least + most) / 2
            least, most = (
                (middle, most) if self.carry(cut(middle), self.hands, False).fits else (least, middle)
            )
        return floor((least + _FINEST) * 1000) / 1000


def passages(obstacle: Obstacle, piece: Box, hands: float, pitch: float) -> tuple[Passage, ...]:
    """A door or a corner is one passage, a stair its flight and, where it turns, its landing."""
    return tuple(
        Passage(shape, obstacle, piece, hands, carry, carry(piece, hands, True))
        for shape, carry in _carries(obstacle, pitch)
    )


def _carries(obstacle: Obstacle, pitch: float) -> Iterator[tuple[Shape, _Carry]]:
    width, height, beyond, landing = obstacle.width, obstacle.height, obstacle.beyond, obstacle.landing

    def turn(piece: Box, hands: float, tilting: bool) -> Way:
        return round_corner(piece, width, beyond, height, hands, tilting=tilting)

    if obstacle.kind == "corner":
        yield "corner", turn
        return
    if height is None:
        raise ValueError(f"The {obstacle.kind} has no height; measure it.")
    if obstacle.kind == "door":
        yield "door", lambda piece, hands, _: through_door(piece, width, height, hands)
        return
    yield "flight", lambda piece, hands, _: up_flight(piece, width, height, pitch, hands)
    if landing is not None:
        yield (
            "landing",
            lambda piece, hands, tilting: round_landing(
                piece, width, beyond, landing, height, hands, tilting=tilting
            ),
        )
    elif obstacle.after is not None:
        yield "corner", turn


BESIDE: Final[Mapping[str, str]] = {
    "straight": "w - q - 2*s",
    "turning": "a*sin(t) + b*cos(t) - (p + 2*s)*sin(t)*cos(t) - q - 2*s",
    "sideways": "min(max(a, b) - p, min(a, b) - q) - 2*s",
    "turning back": "min(a*sin(t) + d*cos(t) - (p + 2*s)*sin(t)*cos(t) - q, "
    "d*sin(u) + b*cos(u) - (p + 2*s)*sin(u)*cos(u) - q, sqrt(max((a + b)**2 - (q + 2*s)**2, 0)) - p) - 2*s",
    "backing out": "min(d - p, min(a, b) - q) - 2*s",
}
"""The room beside a piece by how it moves: p and q its plan."""


def over_formula(shape: Shape) -> str:
    """The room above a piece that is z high."""
    return "h*cos(r) - z" if shape == "flight" else "h - z"


def sizes_formula(way: Way) -> Mapping[str, str]:
    """What p, q or z come to where it is held at a slant; those that are sides of the piece are not in it."""
    match way.hold:
        case "leant over":
            return {"q": "W*sin(f) + T*cos(f)", "z": "W*cos(f) + T*sin(f)"}
        case "on edge, tilted":
            return {"p": "L*cos(f) + W*sin(f)", "z": "L*sin(f) + W*cos(f)"}
        case "flat, tilted":
            return {"p": "L*cos(f) + T*sin(f)", "z": "L*sin(f) + T*cos(f)"}
        case _:
            return {}
