"""What has happened: checks, timers, pours, batches, readings, the journal."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, Literal

from pydantic import Field, GetJsonSchemaHandler, StrictBool, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from workshop.project.castings import Face
from workshop.project.fields import (
    AirTemperature,
    Angle,
    Current,
    Distance,
    Duration,
    Height,
    Id,
    Length,
    Mass,
    Moisture,
    Moment,
    Named,
    Row,
    Share,
    Subject,
    Temperature,
    Text,
    Voltage,
    Volume,
    Weighed,
    Whole,
    Word,
)
from workshop.project.journal import ChangeLine, LoggedLine, NoteLine, PhotoLine, StruckLine
from workshop.project.notation import HolePlace, Point, Spot


class Done(Row):
    """A check that was done, or waived with a reason; in the file a time alone where nothing else is said."""

    at: Moment
    not_needed: Text | None = None
    """Why it was waived."""
    rested_on: dict[str, Text] = Field(default_factory=dict)
    """What the check rested on: key path to the value then."""
    note: Text | None = None

    @model_validator(mode="before")
    @classmethod
    def _time_alone(cls, value: Any) -> Any:
        return value if isinstance(value, Mapping | Done) else {"at": value}

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        table = handler.resolve_ref_schema(handler(schema))
        alone = {"type": "string", "format": "date-time", "examples": ["2026-02-14 09:40:00+01:00"]}
        whole = dict(table)
        table.clear()
        table.update({"description": whole.pop("description", ""), "anyOf": [alone, whole]})
        return table


class Accepted(Row):
    """A finding that was accepted: when, at which value and level, and why."""

    at: Moment
    value: Text | None = None
    level: Literal["note", "warn", "stop"] | None = None
    reason: Text | None = None
    note: Text | None = None


class RunningTimer(Named):
    """A timer that runs: a check's or alarm's name, the rule by which it rings, its subject and its start."""

    timer: Word
    rule: Text
    of: Subject
    started: Moment
    heard: Moment | None = None
    """Until when its alarms were heard."""


class EndedTimer(Row):
    """A timer that ran."""

    timer: Word
    from_: Moment
    to: Moment


class Placed(Named):
    """Where something was truly placed; the plan's own keys."""

    at: Moment | None = None
    height: Height | None = None
    length: Distance | None = None
    place: Point | None = None
    turn: Angle | None = None
    flip: StrictBool | None = None
    hole: HolePlace | None = None
    inset: Height | None = None
    from_: Height | None = None
    to: Length | None = None


class Poured(Named):
    """How far a lift was truly poured; the plan's own keys."""

    at: Moment | None = None
    to: Length | None = None
    resin_temperature: Temperature | None = None


class Batch(Named):
    """A batch as weighed, of a lift, a seal coat or a finish coat."""

    of: Subject
    a: Weighed | None = None
    b: Weighed | None = None
    tint: Weighed | None = None
    mix_start: Moment | None = None
    mix_end: Moment | None = None
    in_form: Moment | None = None


class Reading(Row):
    """Something measured, with its time."""

    at: Moment
    temperature: AirTemperature | None = None
    humidity: Share | None = None
    moisture: Moisture | None = None
    deep: Height | None = None
    """How deep the moisture meter's pins went."""
    place: Spot | None = None
    face: Face | None = None
    peak: Temperature | None = None
    gel: Duration | None = None
    """From mixing to gel."""
    depth: Height | None = None
    height: Height | None = None
    thickness: Length | None = None
    mass: Mass | None = None
    volume: Volume | None = None
    current: Current | None = None
    volts: Voltage | None = None


class Worked(Row):
    """Hours of a work clock; one without an end still runs."""

    subject: Subject
    start: Moment
    end: Moment | None = None


class Journal(Row):
    """What was changed, photographed, noted, and what of it was struck again."""

    changes: tuple[ChangeLine, ...] = ()
    photos: tuple[PhotoLine, ...] = ()
    notes: tuple[NoteLine, ...] = ()
    struck: tuple[StruckLine, ...] = ()


class Record(Row):
    """Everything that happened."""

    timers_started: Whole | None = None
    """How many timers were ever started, so that no id is used twice."""
    timer: dict[Id, RunningTimer] = Field(default_factory=dict)
    accepted: dict[Word, dict[Subject, Accepted]] = Field(default_factory=dict)
    """By rule, then by subject."""
    done: dict[Word, dict[Subject, dict[Word, Done]]] = Field(default_factory=dict)
    """By stage, then by subject, then by check."""
    placed: dict[Subject, Placed] = Field(default_factory=dict)
    poured: dict[Subject, Poured] = Field(default_factory=dict)
    batch: dict[Id, Batch] = Field(default_factory=dict)
    ended: dict[Subject, tuple[EndedTimer, ...]] = Field(default_factory=dict)
    readings: dict[Subject, tuple[Reading, ...]] = Field(default_factory=dict)
    logged: dict[Subject, tuple[LoggedLine, ...]] = Field(default_factory=dict)
    journal: Journal = Field(default_factory=Journal)
    worked: tuple[Worked, ...] = ()

    def batches_of(self, subject: str) -> tuple[Batch, ...]:
        """The batches as weighed for a subject, in file order."""
        return tuple(batch for batch in self.batch.values() if batch.of == subject)


def last_entry(record: Record) -> datetime | None:
    """The latest time that stands anywhere in the record, None where nothing happened."""
    return max(_times(record), default=None)


def _times(held: object) -> list[datetime]:
    if isinstance(held, datetime):
        return [held]
    if isinstance(held, date):
        return []
    if isinstance(held, Row):
        return [at for name in type(held).model_fields for at in _times(getattr(held, name))]
    if isinstance(held, Mapping):
        return [at for value in held.values() for at in _times(value)]
    if isinstance(held, tuple):
        return [at for value in held for at in _times(value)]
    at = getattr(held, "at", None)
    return [at] if isinstance(at, datetime) else []
