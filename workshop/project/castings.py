"""A casting: its form, lifts, cuts, voids, and what is buried in it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from workshop.project.fields import (
    Day,
    Density,
    Distance,
    Duration,
    Force,
    Height,
    Id,
    Length,
    Loss,
    Named,
    Rate,
    Row,
    Share,
    Temperature,
    Volume,
    Whole,
    WireSize,
)
from workshop.project.notation import HolePlace, Point, Region, SheetSize

Face = Literal["upper", "lower"]


class Lift(Row):
    """One pour of resin in one go, up to a height above the form floor."""

    id: Id
    to: Length | None = None
    pour: Day | None = None
    """The day it is planned for."""
    after: Duration | None = None
    """How long after the lift below it is poured."""
    pour_temperature: Temperature | None = None
    """What the resin is to have as it goes in."""


class Guide(Row):
    """A line to lay pieces by, along the form at `y` or across it at `x`."""

    id: Id
    x: Height | None = None
    y: Height | None = None


class Cut(Row):
    """A path or plane that a tool will take through the casting."""

    id: Id
    kind: Literal["face pass", "trim line", "hole", "screw"] | None = None
    face: Face | None = None
    remove: Height | None = None
    x: Height | None = None
    y: Height | None = None
    from_: Point | None = None
    to: Point | None = None
    at: Point | None = None
    diameter: Length | None = None
    depth: Length | None = None


class Void(Row):
    """Pits, cracks and holes of one size, to be filled."""

    id: Id
    length: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    count: Whole | None = None


class Form(Named):
    """The box that resin is poured into, by its inner size."""

    length: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    trim: Height | None = None
    """What is cut off again at each side."""
    freeboard: Height | None = None
    """Wall above the last lift."""
    board: Length | None = None
    """Thickness of walls and floor."""
    bead: Length | None = None
    fillet: Length | None = None
    fixing_spacing: Length | None = None
    batten_spacing: Length | None = None
    sheet: SheetSize | None = None
    cartridge: Volume | None = None
    hold_down: Force | None = None
    """What one hold-down bears."""
    stands_on: Literal["battens", "bench", "concrete"] | None = None
    """What lies under the floor: air between battens, a bench top, or the shop's concrete."""


class Bed(Named):
    """Buried stone or glass between two heights."""

    region: Region | None = None
    inset: Height | None = None
    from_: Height | None = None
    to: Length | None = None
    stone_size: Length | None = None
    stone_density: Density | None = None
    packing: Share | None = None
    """Solid share of the bed, where it is known without a bucket test."""
    bulk: Volume | None = None
    """Stone filled loosely into the bucket of the test."""
    water: Volume | None = None
    """Water that then still went in."""


class LightRun(Named):
    """One length of light strip along a piece's edge, with its feed."""

    strip: Id | None = None
    piece: Id | None = None
    edge: Literal["left", "right"] | None = None
    height: Height | None = None
    length: Distance | None = None
    power_from: Literal["one-end", "both-ends"] | None = None
    cable: Id | None = None


class Cable(Named):
    """A cable from the casting to the supply, and the hole where it leaves the form."""

    size: WireSize | None = None
    length: Distance | None = None
    hole: HolePlace | None = None


class Casting(Named):
    """One form and all that is cast in it; the measures are those of the finished part."""

    length: Length | None = None
    width: Length | None = None
    thickness: Length | None = None
    show_face: Face | None = None
    resin: Id | None = None
    soak: Volume | None = None
    """Resin that the wood drinks."""
    residue: Loss | None = None
    """Share of what is mixed that stays in the buckets."""
    shrinkage: Loss | None = None
    reserve: Rate | None = None
    lifts: tuple[Lift, ...] = ()
    cuts: tuple[Cut, ...] = ()
    voids: tuple[Void, ...] = ()
    guides: tuple[Guide, ...] = ()
    form: Form = Field(default_factory=Form)
    bed: dict[Id, Bed] = Field(default_factory=dict)
    light_run: dict[Id, LightRun] = Field(default_factory=dict)
    cable: dict[Id, Cable] = Field(default_factory=dict)

    def lift(self, name: str) -> Lift | None:
        """The lift with this id, None where there is none."""
        return next((lift for lift in self.lifts if lift.id == name), None)
