"""Which readings are most likely wanted now, so that the first one offered is mostly the right one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from types import MappingProxyType
from typing import Final

from workshop.plan import CheckState, Plan
from workshop.project.checking_off import next_lift, sort_of
from workshop.project.doing import FULFILMENTS, Fulfilment, place_of
from workshop.project.model import ProjectFile, Reading
from workshop.project.reading_kinds import READING_KINDS, step_of
from workshop.quantity import Kind, Measure
from workshop.standing import Standing, scope_of

AIR_KEPT: Final = timedelta(hours=2)
"""A shop reading older than this is wanted again where the air decides: common practice, no source."""

_BY_AIR: Final = ("form", "seal-coat", "lifts", "fill", "finish")
"""Stages in which the shop's air decides."""

_BY_TIMER: Final[Mapping[str, str]] = MappingProxyType(
    {
        "leak-watch": "depth",
        "moisture-again": "moisture",
        "acclimatise": "mass",
        "rest": "thickness",
        "second-rest": "thickness",
        "lights-run": "temperature",
    }
)
"""What a timer asks to be read of its subject."""

_USUAL: Final[Mapping[str, tuple[tuple[str, str], ...]]] = MappingProxyType(
    {
        "stock-prep": (("slab", "moisture"), ("slab", "mass")),
        "form": (("casting", "depth"),),
        "seal-coat": (("slab", "moisture"),),
        "lifts": (
            ("lift", "depth"),
            ("lift", "peak"),
            ("lift", "gel"),
            ("cable", "current"),
            ("casting", "depth"),
        ),
        "flattening": (("casting", "thickness"), ("tool", "height"), ("cable", "current")),
        "fill": (("cable", "current"),),
        "assembly": (("cable", "current"), ("cable", "temperature"), ("casting", "mass")),
    }
)
"""What is read in a stage besides: the sort of subject and the key."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A reading that is likely wanted: where, what, and the last value to nudge from."""

    subject: str
    key: str
    title: str
    kind: Kind
    last: str
    """The last value as typed, empty where there is none."""
    place: str
    """Where the last one was taken, empty where that was not said."""
    step: float
    """How far one press of an arrow moves it, in SI."""
    step_text: str
    """The same in the units shown."""


def likeliest(plan: Plan, standing: Standing) -> tuple[Wanted, ...]:
    """The readings most likely wanted at this moment, the likeliest first.

    What rings, then the air where the stage goes by it and its reading is old, then what open checks of the
    subject in work ask for, then what timers watch, then what other checks of the stage ask for, then what
    the stage usually reads, then the air.
    """
    wanted = dict.fromkeys(
        (subject, key)
        for subject, key in (
            *_rung(standing, ringing=True),
            *_old_air(standing),
            *_asked(plan, standing, here=True),
            *_rung(standing, ringing=False),
            *_asked(plan, standing, here=False),
            *_usual(plan, standing),
            ("shop", "temperature"),
            ("shop", "humidity"),
        )
    )
    return tuple(wanted_at(plan, subject, key) for subject, key in wanted)


def _rung(standing: Standing, ringing: bool) -> Iterator[tuple[str, str]]:
    for timer in standing.timers:
        if timer.ringing is ringing and timer.timer in _BY_TIMER:
            yield timer.subject, _BY_TIMER[timer.timer]


def _old_air(standing: Standing) -> Iterator[tuple[str, str]]:
    if standing.stage in _BY_AIR and (standing.shop is None or standing.shop.age(standing.now) > AIR_KEPT):
        yield "shop", "temperature"
        yield "shop", "humidity"


def _asked(plan: Plan, standing: Standing, here: bool) -> Iterator[tuple[str, str]]:
    """What open checks of the stage in work ask to be read, those that wait for nothing first.

    `here` are those of the subject in work, which wait for nothing.
    """
    held = plan.stage(standing.stage)
    waiting = [check for check in held.checks if not check.settled and check not in standing.next]
    ready = [check for check in standing.next if not here or scope_of(check.subject) == standing.subject]
    for check in ready if here else (*ready, *waiting):
        for row in FULFILMENTS:
            if row.check == check.check.id and row.stage == standing.stage:
                yield from ((subject, row.key) for subject in _read_on(plan.project.file, row, check))


def _read_on(file: ProjectFile, row: Fulfilment, check: CheckState) -> Iterator[str]:
    """The subjects on which a check's readings are taken: first those that were read before."""
    casting = check.subject.casting
    near = [check.subject.path, casting]
    if casting in file.casting:
        near += [
            f"{casting}/{name}" for name in (*file.casting[casting].cable, *file.casting[casting].light_run)
        ]
    near += file.tool
    found = [
        subject
        for subject in dict.fromkeys(near)
        if subject and sort_of(file, subject) in row.on and place_of(file, row, subject) == check.subject.path
    ]
    read = [s for s in found if any(getattr(r, row.key) is not None for r in file.record.readings.get(s, ()))]
    order = {sort: number for number, sort in enumerate(row.on)}
    found.sort(key=lambda subject: (subject not in read, order[sort_of(file, subject)]))
    # A cable carries the current of all its runs: one of them is enough.
    yield from found[:1]


def _usual(plan: Plan, standing: Standing) -> Iterator[tuple[str, str]]:
    file = plan.project.file
    for sort, key in _USUAL.get(standing.stage, ()):
        for subject in _of_sort(file, standing, sort):
            yield subject, key


def _of_sort(file: ProjectFile, standing: Standing, sort: str) -> tuple[str, ...]:
    head = standing.subject.partition("/")[0]
    castings = (head,) if head in file.casting else tuple(file.casting)
    match sort:
        case "slab":
            return (head,) if head in file.slab else tuple(file.slab)
        case "casting":
            return castings
        case "tool":
            return tuple(tool for tool, held in file.tool.items() if held.span is not None)
        case "lift":
            if standing.subject != head and sort_of(file, standing.subject) == "lift":
                return (standing.subject,)
            return tuple(lift for casting in castings if (lift := next_lift(file, casting)) is not None)
        case _:
            return tuple(f"{casting}/{name}" for casting in castings for name in file.casting[casting].cable)


def wanted_at(plan: Plan, subject: str, key: str) -> Wanted:
    """One kind of reading of one subject, with the last value to nudge from."""
    held, units = READING_KINDS[key], plan.project.units
    last = last_reading(plan.project.file, subject, key)
    value: Measure | None = getattr(last, key) if last is not None else None
    text = value.text if value is not None else ""
    place = last.place.text if last is not None and last.place is not None else ""
    step, said = step_of(text, held.kind, units, key)
    return Wanted(subject, key, held.title, held.kind, text, place, step, said)


def last_reading(file: ProjectFile, subject: str, key: str) -> Reading | None:
    """The latest reading of a subject that holds this key."""
    known = [row for row in file.record.readings.get(subject, ()) if getattr(row, key) is not None]
    return max(known, key=lambda row: row.at, default=None)
