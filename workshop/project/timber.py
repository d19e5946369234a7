"""Slabs as bought and measured, and the pieces sawn out of them."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import StrictBool

from workshop.project.fields import Angle, Bare, Day, Id, Length, Named, Price, Row, Text, Volume
from workshop.project.notation import PlainPoint, Point, Ring

CuttingDirection = Literal["tangential", "radial", "between", "cross-cut"]
LengthUnit = Literal["mm", "cm", "m", "in", "ft"]

METRES: Final[dict[LengthUnit, float]] = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254, "ft": 0.3048}
"""Metres in each unit of bare numbers; the inch is exact (NIST SP 811)."""


class Station(Row):
    """A place along the tape, and how far the live edges lie left and right of it, in the slab's unit."""

    at: Bare
    left: Bare | None = None
    right: Bare | None = None
    lower_left: Bare | None = None
    lower_right: Bare | None = None


class SawLine(Row):
    """Where a slab is sawn: square to the tape at a place, from one point to another, or along an edge.

    Bare numbers count in the slab's unit.
    """

    id: Id
    square_at: Bare | None = None
    from_: PlainPoint | None = None
    to: PlainPoint | None = None
    edge: Literal["left", "right"] | None = None
    """The edge whose two ends the line runs parallel to, as the slab lay when measured."""
    offset: Bare | None = None
    """How far inside that edge."""
    of: Id | None = None
    """The one piece that the line trims; without it the saw goes through the whole slab."""


class Slab(Named):
    """A board as bought."""

    species: Text | None = None
    cutting_direction: CuttingDirection | None = None
    length: Length | None = None
    width: Length | None = None
    thickness: Length | None = None
    thinnest: Length | None = None
    """Thickness at the thinnest place."""
    price: Price | None = None
    bought: Day | None = None
    unit: LengthUnit | None = None
    """What the bare numbers of the stations, outlines and saw lines count."""
    stations: tuple[Station, ...] = ()
    outline: Ring | None = None
    """The upper face's outline, where it is not measured by stations."""
    lower_outline: Ring | None = None
    grain: Angle | None = None
    """Which way the grain runs, against the clock from the tape; along the tape where nothing is said."""
    holes: tuple[Ring, ...] = ()
    saw_lines: tuple[SawLine, ...] = ()

    def metres(self, number: float) -> float:
        """A bare number of this slab in m; millimetres where no unit is stated."""
        return number * METRES[self.unit or "mm"]


class Piece(Named):
    """A part sawn out of a slab, and where it lies in a casting.

    The measures of its own serve where no outline is known.
    """

    slab: Id | None = None
    mark: Point | None = None
    """A point of the slab inside the piece, along the tape and left (+) or right (-) of it."""
    casting: Id | None = None
    place: Point | None = None
    """Where the mark lies in the casting."""
    turn: Angle | None = None
    """How far the piece is turned about its mark, seen from above, against the clock."""
    flip: StrictBool | None = None
    """Whether it lies with its lower face up, turned over about the line of the tape through its mark."""
    length: Length | None = None
    width: Length | None = None
    thickness: Length | None = None
    wood_volume: Volume | None = None
