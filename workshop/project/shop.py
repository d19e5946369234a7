"""The project as a whole, its shop and destination, who and what builds it, and what it costs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from workshop.project.fields import (
    AirTemperature,
    Amount,
    Angle,
    Day,
    Distance,
    Duration,
    FeedRate,
    Frequency,
    Height,
    Length,
    Mass,
    Modulus,
    Named,
    Pack,
    Price,
    Rate,
    Rotation,
    Row,
    Share,
    Text,
    Volume,
    Whole,
    Zone,
)
from workshop.project.hours import Days, Hours, QuietHours
from workshop.project.notation import Section

Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
DayName = Literal[
    "weekdays", "weekend", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"
]
DayKey = Annotated[str, Field(pattern=r"^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")]


class Head(Named):
    """What is built, in which units it is shown, and by when it is promised."""

    name: Text | None = None
    about: Text | None = None
    units: Literal["metric", "us"] | None = None
    inch_fraction: Literal[2, 4, 8, 16, 32, 64] | None = None
    """The finest fraction of an inch that is shown."""
    currency: Currency | None = None
    """ISO 4217 code of every price in the file."""
    seat_height: Length | None = None
    promised: Day | None = None


class Shop(Named):
    """The shop's climate, zone and hours."""

    zone: Zone | None = None
    temperature_low: AirTemperature | None = None
    """The night's low."""
    temperature_high: AirTemperature | None = None
    """The day's high."""
    humidity: Share | None = None
    hours: dict[DayName, Hours] = Field(default_factory=dict)
    """By day of the week; `weekdays` and `weekend` stand for days that are not named."""
    exceptions: dict[DayKey, Hours] = Field(default_factory=dict)
    """By date as text (2026-03-20)."""
    logger: Text | None = None
    """A CSV file beside the project that a temperature logger writes."""
    quiet: QuietHours | None = None
    """When no alarm rings."""


class WayIn(Row):
    """Something the piece must pass on its way to its place; `after` is the width beyond a corner."""

    kind: Literal["door", "corner", "stair"]
    width: Length | None = None
    height: Length | None = None
    after: Length | None = None
    length: Length | None = None


class Destination(Named):
    """Where the piece will stand, over the year."""

    temperature: AirTemperature | None = None
    humidity_low: Share | None = None
    humidity_high: Share | None = None
    way_in: tuple[WayIn, ...] = ()


class Person(Named):
    """Somebody who helps: what they can lift, and on which days."""

    lifting: Mass | None = None
    days: Days | None = None


class Tool(Named):
    """A saw, router, sled, scale or bucket: whichever of these keys it has."""

    depth_on_rail: Length | None = None
    depth_off_rail: Length | None = None
    kerf: Length | None = None
    cutter: Length | None = None
    flutes: Whole | None = None
    speed: Rotation | None = None
    stamped_speed: Rotation | None = None
    feed_rate: FeedRate | None = None
    per_pass: Length | None = None
    span: Length | None = None
    """Between the bearings of a sled."""
    tolerance: Length | None = None
    """How far its rails may lie apart in height."""
    load: Mass | None = None
    """What a sled carries in the middle of its span."""
    section: Section | None = None
    modulus: Modulus | None = None
    """Stiffness of a sled's tube, where it is not of steel."""
    resolution: Mass | None = None
    greatest: Mass | None = None
    volume: Volume | None = None
    fraction: Share | None = None
    """How full a bucket is filled."""


class SupplyPack(Pack):
    """A pack of gloves, discs, sealant and the like as sold."""

    size: Amount | None = None


class Supply(Named):
    """Something that is used up, other than resin, wood and light strip."""

    have: Amount | None = None
    packs: tuple[SupplyPack, ...] = ()


class Pricing(Named):
    """What an hour costs and what is added."""

    hourly: Price | None = None
    overhead: Rate | None = None
    reserve: Rate | None = None
    tax: Rate | None = None
    quoted: Price | None = None


class Carry(Named):
    """How the piece is lifted, for the NIOSH lifting equation."""

    people: Whole | None = None
    horizontal: Distance | None = None
    """From between the ankles to the hands."""
    vertical: Height | None = None
    """Hands above the floor where the lift starts."""
    travel: Height | None = None
    """How far the hands rise or sink."""
    twist: Angle | None = None
    frequency: Frequency | None = None
    duration: Duration | None = None
    grip: Literal["good", "fair", "poor"] | None = None
