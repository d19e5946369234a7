"""The lines of the journal and of a logger: columns of free text, parted by ` | `."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar, Final, Self

from workshop.project.notation import BadValue, Written
from workshop.quantity import (
    CURRENT,
    DURATION,
    LENGTH,
    MASS,
    PERCENT,
    TEMPERATURE,
    VOLTAGE,
    Kind,
    QuantityError,
    parse,
)

LOGGED: Final[dict[str, Kind]] = {
    "temperature": TEMPERATURE,
    "humidity": PERCENT,
    "moisture": PERCENT,
    "depth": LENGTH,
    "height": LENGTH,
    "mass": MASS,
    "current": CURRENT,
    "volts": VOLTAGE,
}
"""What a logger may have read, and in which kind."""

_NEVER = datetime.min


def line(*columns: object) -> str:
    """A line of the journal; a time is written to the second, a line break in a text becomes a space."""
    said = [
        str(column.replace(microsecond=0)) if isinstance(column, datetime) else str(column)
        for column in columns
    ]
    return " | ".join(
        " ".join(part.splitlines()).strip() if "\n" in part or "\r" in part else part.strip() for part in said
    )


def _columns(form: type[Written], text: str, count: int) -> tuple[datetime, list[str]]:
    """The time and the `count` columns after it; the last one may itself hold bars."""
    first, *rest = (part.strip() for part in text.split("|", count))
    if len(rest) != count:
        form.refuse(text)
    try:
        at = datetime.fromisoformat(first)
    except ValueError:
        raise BadValue(
            f"{text.strip()!r} does not begin with a time", f"write one such as {form.EXAMPLE}"
        ) from None
    if at.tzinfo is None:
        raise BadValue(
            f"the time of {text.strip()!r} has no offset from UTC", f"write one such as {form.EXAMPLE}"
        )
    return at, rest


@dataclass(frozen=True, slots=True)
class NoteLine(Written):
    """A note on a subject; `said` is what was noted."""

    at: datetime = _NEVER
    subject: str = ""
    said: str = ""
    FORM: ClassVar[str] = "a note: time | subject | text"
    EXAMPLE: ClassVar[str] = "2026-03-04 19:30:00+01:00 | seat | Gap as drawn."

    @classmethod
    def read(cls, text: str) -> Self:
        """`time | subject | text`."""
        at, (subject, said) = _columns(cls, text, 2)
        return cls(text, at, subject, said)


@dataclass(frozen=True, slots=True)
class PhotoLine(Written):
    """A photograph of a subject: its file and what it shows."""

    at: datetime = _NEVER
    subject: str = ""
    file: str = ""
    said: str = ""
    FORM: ClassVar[str] = "a photograph: time | subject | file | text"
    EXAMPLE: ClassVar[str] = "2026-03-04 19:25:00+01:00 | seat | photos/dry-fit.jpg | Dry fit"

    @classmethod
    def read(cls, text: str) -> Self:
        """`time | subject | file | text`; the text may be left out with its bar."""
        if text.count("|") == 2:
            at, (subject, file) = _columns(cls, text, 2)
            return cls(text, at, subject, file)
        at, (subject, file, said) = _columns(cls, text, 3)
        return cls(text, at, subject, file, said)


@dataclass(frozen=True, slots=True)
class ChangeLine(Written):
    """A change of the plan: its key path as spelled, the value before and after, empty where absent."""

    at: datetime = _NEVER
    path: str = ""
    old: str = ""
    new: str = ""
    FORM: ClassVar[str] = "a change: time | key | before | after"
    EXAMPLE: ClassVar[str] = "2026-03-08 19:10:00+01:00 | casting.seat.lifts.strip.to | 31 mm | 29 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`time | key path | before | after`."""
        at, (path, old, new) = _columns(cls, text, 3)
        return cls(text, at, path, old, new)


@dataclass(frozen=True, slots=True)
class StruckLine(Written):
    """A line of the record that was struck: where it stood, and what it said."""

    at: datetime = _NEVER
    path: str = ""
    said: str = ""
    FORM: ClassVar[str] = "a struck line: time | key | what stood there"
    EXAMPLE: ClassVar[str] = "2026-03-09 19:50:00+01:00 | record.batch.b3.a | 885 g"

    @classmethod
    def read(cls, text: str) -> Self:
        """`time | key path | what stood there`."""
        at, (path, said) = _columns(cls, text, 2)
        return cls(text, at, path, said)


_EVERY = re.compile(r"every\s+(.+)")
_SERIES = re.compile(r"((?:[-−+]?\d+(?:\.\d+)?\s+)*[-−+]?\d+(?:\.\d+)?)\s*([^\d\s].*)?")


@dataclass(frozen=True, slots=True)
class LoggedLine(Written):
    """A stretch of a logger's readings: `every` in s, `values` in SI, the first of them read at `at`."""

    at: datetime = _NEVER
    every: float = 0.0
    quantity: str = ""
    values: tuple[float, ...] = ()
    FORM: ClassVar[str] = "a stretch of readings: time | every span | quantity | values unit"
    EXAMPLE: ClassVar[str] = "2026-03-09 17:00:00+01:00 | every 10 min | temperature | 16.4 16.6 °C"

    @classmethod
    def read(cls, text: str) -> Self:
        """`time | every span | quantity | value value … unit`."""
        at, (span, quantity, series) = _columns(cls, text, 3)
        every, held, kind = _EVERY.fullmatch(span), _SERIES.fullmatch(series), LOGGED.get(quantity)
        if every is None or held is None:
            cls.refuse(text)
        if kind is None:
            raise BadValue(
                f"{quantity!r} is nothing that a logger reads here", f"write one of {', '.join(LOGGED)}"
            )
        seconds = parse(every.group(1), DURATION)
        if not 0 < seconds <= 366 * 86400:
            cls.refuse(text)
        unit = held.group(2) or ""
        try:
            values = tuple(parse(f"{number} {unit}".rstrip(), kind) for number in held.group(1).split())
        except QuantityError:
            cls.refuse(text)
        try:
            _ = at + timedelta(seconds=seconds) * len(values)
        except OverflowError:
            cls.refuse(text)
        return cls(text, at, seconds, quantity, values)

    @property
    def kind(self) -> Kind:
        """The kind of the values."""
        return LOGGED[self.quantity]

    def readings(self) -> tuple[tuple[datetime, float], ...]:
        """Each value with its time."""
        step = timedelta(seconds=self.every)
        return tuple((self.at + number * step, value) for number, value in enumerate(self.values))
