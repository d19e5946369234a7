"""Paper sizes, standard scales, and how metres of a thing become millimetres of paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from workshop.quantity import Units
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

INCH: Final = 25.4
"""mm."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper as it is fed, mm."""

    name: str
    width: float
    height: float


A4: Final = Paper("A4", 210.0, 297.0)
"""ISO 216."""
A3_LANDSCAPE: Final = Paper("A3", 420.0, 297.0)
"""ISO 216, its long side across."""
LETTER: Final = Paper("US letter", 8.5 * INCH, 11 * INCH)
"""ASME Y14.1, size A."""
TABLOID_LANDSCAPE: Final = Paper("11 x 17 in", 17 * INCH, 11 * INCH)
"""ASME Y14.1, size B, its long side across."""

SCALES: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
"""Full size and the reductions of ISO 5455:1979, clause 5.1, each by what it divides."""


def drawing_paper(units: Units) -> Paper:
    """What a drawing is made for."""
    return TABLOID_LANDSCAPE if units.system == "us" else A3_LANDSCAPE


def template_paper(units: Units) -> Paper:
    """What the printer in the house takes."""
    return LETTER if units.system == "us" else A4


def scale_for(length: float, height: float, wide: float, high: float) -> int | None:
    """The largest standard scale at which `length` by `height` m lie in `wide` by `high` mm.

    None where even the smallest does not.
    """
    for over in SCALES:
        if length * 1000 / over <= wide + 1e-9 and height * 1000 / over <= high + 1e-9:
            return over
    return None


@dataclass(frozen=True, slots=True)
class View:
    """A part of a sheet to one scale: the place (left, bottom) in m lies at (x, y) mm, y of paper down."""

    over: int
    left: float
    bottom: float
    x: float
    y: float

    def across(self, x: float) -> float:
        """A place along the thing, in mm from the paper's left edge."""
        return self.x + (x - self.left) * 1000 / self.over

    def down(self, y: float) -> float:
        """A height of the thing, in mm from the paper's upper edge."""
        return self.y - (y - self.bottom) * 1000 / self.over

    def at(self, point: Point) -> Point:
        """A place of the thing on the paper."""
        return self.across(point[0]), self.down(point[1])

    def ring(self, points: Iterable[Point]) -> Ring:
        """Many places on the paper."""
        return tuple(self.at(point) for point in points)

    def size(self, length: float) -> float:
        """A length in mm of paper."""
        return length * 1000 / self.over


def view_in(box: tuple[float, float, float, float], zone: tuple[float, float, float, float]) -> View | None:
    """A box of the thing (left, bottom, right, top in m) in the middle of a zone (the same in mm of paper).

    Of the zone, bottom lies further down the paper than top. None where no standard scale is small enough.
    """
    length, height = box[2] - box[0], box[3] - box[1]
    wide, high = zone[2] - zone[0], zone[1] - zone[3]
    over = scale_for(length, height, wide, high)
    if over is None:
        return None
    x = zone[0] + (wide - length * 1000 / over) / 2
    y = zone[1] - (high - height * 1000 / over) / 2
    return View(over, box[0], box[1], x, y)
