"""What happens in the shop, as actions on a project's record: weigh, mix, pour, read.

Each is a function from a project to a new one. A check that an action fulfils is marked done with it, and its
timer starts; what a check rests on and which timer it starts is told by the `Checklist` that is passed in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from workshop.project.changes import local
from workshop.project.checking_off import (
    POURED,
    Checklist,
    checked_off,
    is_done,
    is_poured,
    next_lift,
    sort_of,
    timer_begun,
    timers_ended,
)
from workshop.project.model import ProjectFile, Reading
from workshop.project.path import NoSuchPlace, Path, find
from workshop.project.project import Project
from workshop.project.reading_kinds import READING_KINDS, WHERE, nudged, step_of
from workshop.project.weighing import (
    MIX_TIMERS,
    USABLE_TIMERS,
    Verdict,
    batch_corrected,
    batch_times,
    batch_weighed,
    next_batch,
    ratio_verdict,
)

__all__ = [
    "FULFILMENTS",
    "READING_KINDS",
    "STARTED_BY_POURING",
    "Checklist",
    "Fulfilment",
    "Verdict",
    "batch_corrected",
    "batch_times",
    "batch_weighed",
    "checked_off",
    "next_batch",
    "next_lift",
    "nudged",
    "place_of",
    "poured",
    "ratio_verdict",
    "reading_taken",
    "step_of",
]

# Pouring

STARTED_BY_POURING: Final = ("poured", "leak-watched", "bubbles-passed")
"""Checks whose timers start together when a lift is poured: cure, leak watch and bubbles."""


def poured(
    project: Project,
    lift: str,
    to: str | None,
    resin_temperature: str | None,
    now: datetime,
    checklist: Checklist,
) -> Project:
    """The project with a lift poured: how far, how warm, the check done, and its three timers running.

    None is not known. A lift that was logged before keeps its time, and no timer starts twice. The usable
    time of its batches ends: they are in the form.
    """
    path: Path = ("record", "poured", lift)
    row = dict(_table(project, path))
    for key, text in (("to", to), ("resin-temperature", resin_temperature)):
        if text is not None and text.strip():
            row[key] = text.strip()
    made = project.with_value(path, {**row, "at": row.get("at", local(project, now))})
    made = checked_off(made, *POURED, lift, now, checklist)
    for check in STARTED_BY_POURING:
        made = timer_begun(made, check, lift, now, checklist, once=True)
    for batch, held in made.file.record.batch.items():
        if held.of == lift:
            made = timers_ended(made, (*MIX_TIMERS, *USABLE_TIMERS), f"{lift}/{batch}", now)
    return made


def _table(project: Project, path: Path) -> Mapping[str, Any]:
    try:
        held = find(project.document, path)
    except NoSuchPlace:
        return {}
    return held if isinstance(held, Mapping) else {}


# Readings


@dataclass(frozen=True, slots=True)
class Fulfilment:
    """A check that readings of one key fulfil.

    `on` are sorts of subjects they are read on, `at` the subject of the check as seen from there: `same`, its
    `casting`, the casting's `next lift`, the `next flattened` casting (for the sled's rails), or the
    `project`. So many `readings` make it done, taken within a
    day at different places. `after` is a check (stage and id, of the same subject or of the casting) that was
    done at least `apart` before.
    """

    stage: str
    check: str
    key: str
    on: tuple[str, ...]
    at: str = "same"
    readings: int = 1
    after: tuple[str, str] | None = None
    apart: timedelta = timedelta()


_LIGHTS = ("cable", "light run", "casting")
_FORTNIGHT = timedelta(days=13)
"""A fortnight less the day by which a maker comes early."""

FULFILMENTS: Final = (
    Fulfilment("stock-prep", "moisture-read", "moisture", ("slab",), readings=3),
    Fulfilment(
        "stock-prep",
        "moisture-read-again",
        "moisture",
        ("slab",),
        readings=3,
        after=("stock-prep", "moisture-read"),
        apart=_FORTNIGHT,
    ),
    # Three points make a plane.
    Fulfilment("form", "level-both-ways", "depth", ("casting",), readings=3),
    Fulfilment(
        "lifts",
        "level-read-again",
        "depth",
        ("casting",),
        "next lift",
        readings=3,
        after=("form", "level-both-ways"),
        apart=timedelta(hours=4),
    ),
    Fulfilment("lifts", "lights-tested", "current", _LIGHTS, "next lift"),
    Fulfilment("lifts", "depth-read", "depth", ("lift",), after=POURED),
    Fulfilment("lifts", "peak-logged", "peak", ("lift",), after=POURED),
    Fulfilment(
        "flattening", "lights-out-of-form", "current", _LIGHTS, "casting", after=("flattening", "walls-off")
    ),
    Fulfilment(
        "flattening", "lights-after-trim", "current", _LIGHTS, "casting", after=("flattening", "trimmed")
    ),
    Fulfilment(
        "fill", "lights-after-fill", "current", _LIGHTS, "casting", after=("flattening", "lights-after-trim")
    ),
    Fulfilment(
        "flattening",
        "grid-read",
        "thickness",
        ("casting",),
        readings=3,
        after=("flattening", "walls-off"),
    ),
    Fulfilment("flattening", "rails-level", "height", ("casting",), readings=3),
    Fulfilment("flattening", "rails-level", "height", ("tool",), "next flattened", readings=3),
    Fulfilment(
        "assembly",
        "run-temperature-read",
        "temperature",
        ("cable", "light run", "other"),
        "project",
        after=("assembly", "lights-run"),
    ),
)
"""First come first: one reading fulfils at most one check for each key."""


def reading_taken(
    project: Project, subject: str, values: Mapping[str, str], now: datetime, checklist: Checklist
) -> Project:
    """The project with a reading of a subject, as typed; checks that it fulfils are done with it.

    `values` by key: those of `READING_KINDS`, and `place` and `face`. Raises ValueError where nothing was
    read, FileFaults where a value cannot be read.
    """
    typed = {key: text.strip() for key, text in values.items() if text.strip()}
    if not set(typed) - set(WHERE):
        raise ValueError("Nothing was read: type a value, such as 17.5 °C.")
    order = [*(key for key in READING_KINDS if key not in WHERE), *WHERE]
    row = {key: typed[key] for key in sorted(typed, key=lambda key: order.index(key) if key in order else 99)}
    path: Path = ("record", "readings", subject)
    try:
        rows = list(find(project.document, path))
    except NoSuchPlace:
        rows = []
    made = project.with_value(path, [*rows, {"at": local(project, now), **row}])
    for key in typed:
        if key not in WHERE:
            for stage, check, of in _fulfilled(made, subject, key, now, checklist):
                made = checked_off(made, stage, check, of, now, checklist)
    return made


def place_of(file: ProjectFile, held: Fulfilment, subject: str) -> str | None:
    """The subject of a check that a reading of `subject` fulfils, None where there is none."""
    if sort_of(file, subject) not in held.on:
        return None
    casting = subject.partition("/")[0]
    match held.at:
        case "next lift":
            return next_lift(file, casting)
        case "casting":
            return casting
        case "next flattened":
            cast = [name for name, row in file.casting.items() if row.lifts and next_lift(file, name) is None]
            done = file.record.done.get(held.stage, {})
            return next((name for name in cast if held.check not in done.get(name, {})), None)
        case "project":
            return "project"
    return subject


def _fulfilled(
    project: Project, subject: str, key: str, now: datetime, checklist: Checklist
) -> Iterator[tuple[str, str, str]]:
    """The first open check that a reading of this key fulfils."""
    for held in FULFILMENTS:
        of = place_of(project.file, held, subject) if held.key == key else None
        if of is None or is_done(project, held.stage, held.check, of) is not None:
            continue
        since = _since(project, held, of, now)
        if since is None or not checklist.applies(project, held.check, of):
            continue
        if len(_places(project.file.record.readings.get(subject, ()), key, since, now)) >= held.readings:
            yield held.stage, held.check, of
        return


def _since(project: Project, held: Fulfilment, of: str, now: datetime) -> datetime | None:
    """From when readings count; None where it is too early for them."""
    since = [now - timedelta(days=1)]
    if held.after is not None:
        done = [
            at
            for place in (of, of.partition("/")[0])
            if (at := is_done(project, *held.after, place)) is not None
        ]
        if held.after == POURED and (at := is_poured(project.file, of)) is not None:
            done.append(at)
        if not done or max(done) + held.apart > now:
            return None
        since.append(max(done) + held.apart)
    if held.at == "next lift":
        casting = of.partition("/")[0]
        below = [f"{casting}/{row.id}" for row in project.file.casting[casting].lifts]
        since += [at for row in below[: below.index(of)] if (at := is_poured(project.file, row)) is not None]
    return max(since)


def _places(rows: tuple[Reading, ...], key: str, since: datetime, now: datetime) -> set[tuple[str, ...]]:
    """Where readings of a key were taken since; one without a place counts by itself."""
    return {
        (row.place.text if row.place is not None else f"#{number}", str(row.face), str(row.deep))
        for number, row in enumerate(rows)
        if since <= row.at <= now and getattr(row, key) is not None
    }
