"""The file that a temperature logger writes: read as CSV, its new readings taken into the record.

One row a reading: a time (ISO 8601, or day.month.year; a date and a time of day may stand in two columns) and
a temperature in °C, or in °F where its heading says so. The columns are found by their headings; without
headings the first is the time and the next number the temperature.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from typing import Final

from workshop.project.changes import stamp
from workshop.project.project import Project

MOST_BYTES: Final = 20_000_000
LONGEST_LINE: Final = 200
"""Readings that one line of the record holds."""
COLDEST, WARMEST = -40.0, 80.0
"""°C between which a shop's reading lies; anything else is a fault of the logger."""
_TIME: Final = re.compile(r"time|date|zeit|datum|stamp", re.IGNORECASE)
_WARM: Final = re.compile(r"temp|°\s*[cf]|celsius|fahrenheit", re.IGNORECASE)
_FAHRENHEIT: Final = re.compile(r"°\s*f|\(\s*f\s*\)|fahrenheit|_f\b|\bf$", re.IGNORECASE)
_FORMS: Final = ("%d.%m.%Y %H:%M:%S", "%d.%m.%Y %H:%M", "%Y/%m/%d %H:%M:%S", "%Y/%m/%d %H:%M")


class LoggerFileError(ValueError):
    """A file that cannot be read as a logger's: one sentence with the line, and how to mend it."""


@dataclass(frozen=True, slots=True)
class _Columns:
    times: tuple[int, ...]
    warm: int
    fahrenheit: bool


def read_log(data: bytes, name: str, zone: tzinfo | None) -> tuple[tuple[datetime, float], ...]:
    """The readings of a logger's file in order of time: when, and °C.

    Times without an offset are those of `zone` (UTC where that is None). A last line that is still being
    written is passed over. Raises LoggerFileError.
    """
    if len(data) > MOST_BYTES:
        raise LoggerFileError(f"{name} is larger than 20 MB: give the logger a new file.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    whole = text if text.endswith("\n") or not text else text[: text.rfind("\n") + 1]
    rows = list(_rows(whole))
    if not rows:
        return ()
    columns, rest = _columns(rows, name)
    found: dict[datetime, float] = {}
    for number, row in rest:
        reading = _reading(row, columns, number, name, zone)
        if reading is not None:
            found[reading[0]] = reading[1]
    return tuple(sorted(found.items()))


def log_taken(project: Project, readings: Sequence[tuple[datetime, float]]) -> Project:
    """The project with the readings that are newer than those it has, as lines of its record.

    Itself where there is nothing new.
    """
    lines = project.file.record.logged.get("shop", ())
    known = [at for line in lines if line.quantity == "temperature" for at, _value in line.readings()]
    last = max(known, default=None)
    new = [(at, value) for at, value in readings if last is None or at > last]
    if not new:
        return project
    texts = [line.text for line in lines] + [_line(project, stretch) for stretch in _stretches(new)]
    return project.with_value(("record", "logged", "shop"), texts)


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    sample = text[:2000]
    separator = max(";\t,", key=sample.count)
    for number, row in enumerate(csv.reader(io.StringIO(text), delimiter=separator), 1):
        cells = [cell.strip() for cell in row]
        if any(cells):
            yield number, cells


def _columns(rows: list[tuple[int, list[str]]], name: str) -> tuple[_Columns, list[tuple[int, list[str]]]]:
    for place, (_number, row) in enumerate(rows[:40]):
        times = tuple(at for at, cell in enumerate(row) if _TIME.search(cell) and _number_in(cell) is None)
        warm = [at for at, cell in enumerate(row) if _WARM.search(cell) and at not in times]
        if times and warm:
            return _Columns(times[:2], warm[0], bool(_FAHRENHEIT.search(row[warm[0]]))), rows[place + 1 :]
    first = rows[0][1]
    if len(first) < 2 or _moment(first[0], None) is None:
        raise LoggerFileError(
            f"{name}, line {rows[0][0]}: there is no time and temperature; head the columns with "
            "time and temperature (°C)."
        )
    warm = [at for at, cell in enumerate(first) if at and _number_in(cell) is not None]
    if not warm:
        raise LoggerFileError(f"{name}, line {rows[0][0]}: there is no temperature beside the time.")
    return _Columns((0,), warm[0], False), rows


def _reading(
    row: list[str], columns: _Columns, number: int, name: str, zone: tzinfo | None
) -> tuple[datetime, float] | None:
    """A row's reading; None where the logger left the temperature out."""
    if len(row) <= max(*columns.times, columns.warm):
        return None
    said = " ".join(row[at] for at in columns.times)
    at = _moment(said, zone)
    if at is None:
        raise LoggerFileError(
            f"{name}, line {number}: {said[:40]!r} is no time; let the logger write it as 2026-03-09 17:40."
        )
    value = _number_in(row[columns.warm])
    if value is None:
        return None
    value = (value - 32) / 1.8 if columns.fahrenheit else value
    return (at, value) if COLDEST <= value <= WARMEST else None


def _moment(text: str, zone: tzinfo | None) -> datetime | None:
    plain = text.strip()
    found: datetime | None = None
    try:
        found = datetime.fromisoformat(plain)
    except ValueError:
        for form in _FORMS:
            try:
                found = datetime.strptime(plain, form)
                break
            except ValueError:
                continue
    if found is None:
        return None
    return found.replace(tzinfo=zone or UTC) if found.tzinfo is None else found


def _number_in(cell: str) -> float | None:
    plain = re.sub(r"\s*°?\s*[CF]$", "", cell.strip(), flags=re.IGNORECASE).replace(",", ".")
    try:
        return float(plain)
    except ValueError:
        return None


def _stretches(
    readings: Sequence[tuple[datetime, float]],
) -> Iterator[tuple[timedelta, list[tuple[datetime, float]]]]:
    """Readings evenly spaced, as long as they stay so."""
    stretch: list[tuple[datetime, float]] = []
    every = timedelta(minutes=10)
    for one, two in pairwise([*readings, None]):
        assert one is not None
        stretch.append(one)
        gap = None if two is None else two[0] - one[0]
        even = len(stretch) == 1 or gap == every
        if gap is not None and even and len(stretch) < LONGEST_LINE and gap <= timedelta(days=1):
            every = gap
            continue
        yield every, stretch
        stretch, every = [], timedelta(minutes=10)


def _line(project: Project, stretch: tuple[timedelta, list[tuple[datetime, float]]]) -> str:
    every, readings = stretch
    seconds = every.total_seconds()
    span = f"{seconds / 60:g} min" if seconds % 60 == 0 else f"{seconds:g} s"
    values = " ".join(f"{value:.1f}" for _at, value in readings)
    return f"{stamp(project, readings[0][0])} | every {span} | temperature | {values} °C"
