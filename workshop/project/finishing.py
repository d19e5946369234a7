"""What is done to all castings alike: seal coat, flattening, abrasives, finish; and what bears them."""

from __future__ import annotations

from typing import Literal

from workshop.project.fields import (
    Duration,
    Factor,
    Force,
    Height,
    Id,
    Length,
    LiquidDensity,
    Mass,
    Named,
    Pack,
    Ratio,
    Row,
    Share,
    Text,
    Volume,
    Whole,
)
from workshop.project.notation import Coverage, LengthRange, Point, Section


class SealCoat(Named):
    """The thin coat that shuts the wood before a lift."""

    resin: Id | None = None
    edge_coverage: Coverage | None = None
    face_coverage: Coverage | None = None
    end_grain_coverage: Coverage | None = None


class Flattening(Named):
    """How the sled's lanes lie."""

    overlap: Share | None = None


class AbrasiveSchedule(Named):
    """Grits from the first to the last of each material, in a named grading system."""

    grading: Text | None = None
    start: Text | None = None
    wood_end: Text | None = None
    resin_end: Text | None = None
    max_step: Factor | None = None
    """Greatest ratio of grain sizes from one grit to the next."""
    disc: Length | None = None


class Coat(Row):
    """One coat of the finish."""

    id: Id
    coverage: Coverage | None = None


class FinishPack(Pack):
    """A tin of the finish as sold."""

    size: Volume | None = None


class Finish(Named):
    """The finish, listed once and laid on each casting."""

    kind: Text | None = None
    coverage: Coverage | None = None
    thickness: Length | None = None
    """Of a finish that is flooded on, all coats together."""
    ratio_by_weight: Ratio | None = None
    ratio_by_volume: Ratio | None = None
    density_a: LiquidDensity | None = None
    density_b: LiquidDensity | None = None
    open_time: Duration | None = None
    reach: Length | None = None
    """How far one person wipes from the edge."""
    coats: tuple[Coat, ...] = ()
    have: Volume | None = None
    packs: tuple[FinishPack, ...] = ()


class Frame(Named):
    """The legs: what they are, of which tube, on which feet."""

    kind: Text | None = None
    legs: tuple[Id, ...] = ()
    section: Section | None = None
    width: Length | None = None
    height: Length | None = None
    foot_range: LengthRange | None = None
    load: Mass | None = None
    """What is put on the piece."""
    sideways: Force | None = None
    target: Length | None = None
    """The most that the top may sway."""


class Fixing(Named):
    """Screws of one kind that hold a leg to a casting."""

    casting: Id | None = None
    leg: Id | None = None
    kind: Literal["wood screw", "lag screw", "insert", "bolt"] | None = None
    diameter: Length | None = None
    length: Length | None = None
    through: Height | None = None
    """What the screw passes before the wood."""
    thread_in_wood: Length | None = None
    grain: Literal["side", "end"] | None = None
    keep: Height | None = None
    """Least material left beyond the hole."""
    point: Height | None = None
    """Length of the drill's point."""
    places: tuple[Point, ...] = ()
    count: Whole | None = None
    """How many there are, where their places are not known."""
