"""What differs between two states of a project, what a maker can do to one, and how it is undone.

An action is a function from a project to a new one. Undo inverts what the last action changed; where that
touches the record, the line is struck (kept under `record.journal.struck`) rather than erased.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Any, Final, NamedTuple
from zoneinfo import ZoneInfo

from workshop.project.ids import mentioned, next_free
from workshop.project.path import NoSuchPlace, Path, drop, find, put, spell
from workshop.project.project import Project
from workshop.project.timers import NONE_KNOWN, LiftStates, state_at


class Absent:
    """Stands for a value that is not there."""

    def __repr__(self) -> str:
        return "unknown"


ABSENT: Final = Absent()
LONGEST_QUOTED: Final = 60
"""Characters of a value that a journal line quotes; a longer one is an outline."""


class Change(NamedTuple):
    """One place whose value differs: the id path, the old value and the new one (ABSENT where none)."""

    path: Path
    old: Any
    new: Any


def changes(before: Mapping[str, Any], after: Mapping[str, Any], at: Path = ()) -> list[Change]:
    """Every place where two documents differ. A list whose rows came, went or moved counts as one change."""
    found: list[Change] = []
    for key in dict.fromkeys([*before, *after]):
        path = (*at, key)
        found += _differing(path, before.get(key, ABSENT), after.get(key, ABSENT))
    return found


def _differing(path: Path, old: Any, new: Any) -> list[Change]:
    if old is new or (type(old) is type(new) and old == new):
        return []
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        return changes(old, new, path)
    if isinstance(old, list) and isinstance(new, list):
        ids = _ids(old)
        if ids and ids == _ids(new):
            return [
                change
                for id, left, right in zip(ids, old, new, strict=True)
                for change in _differing((*path, id), left, right)
            ]
    return [Change(path, old, new)]


def _ids(rows: list[Any]) -> list[str]:
    ids = [row.get("id") for row in rows if isinstance(row, Mapping)]
    return [str(id) for id in ids] if len(ids) == len(rows) and all(ids) else []


def apply(document: Mapping[str, Any], wanted: list[Change]) -> dict[str, Any]:
    """A document with the changes made to it; a place that has gone is passed over."""
    made: Any = document
    for change in wanted:
        try:
            absent = isinstance(change.new, Absent)
            made = drop(made, change.path) if absent else put(made, change.path, change.new)
        except NoSuchPlace:
            continue
    return dict(made)


def inverse(wanted: list[Change]) -> list[Change]:
    """The changes that take the others back, last first."""
    return [Change(change.path, change.new, change.old) for change in reversed(wanted)]


def merged(base: Mapping[str, Any], ours: Mapping[str, Any], theirs: Mapping[str, Any]) -> dict[str, Any]:
    """What we changed since `base`, made to `theirs`: an outside edit survives, unless of the same place."""
    return apply(theirs, changes(base, ours))


# Actions


def local(project: Project, now: datetime) -> datetime:
    """A moment in the shop's own zone, as the file writes it."""
    zone = project.file.shop.zone if project.file.shop is not None else None
    where: tzinfo | None = ZoneInfo(zone) if zone is not None else None
    return now.astimezone(where).replace(microsecond=0)


def edited(project: Project, path: Path, text: Any, now: datetime) -> Project:
    """The project with a value typed at a place (None: unknown again), and a line in the journal."""
    before = _text(project, path)
    changed = project.without(path) if text is None else project.with_value(path, text)
    after = "unknown" if text is None else one_line(str(text))
    line = f"{stamp(project, now)} | {spell(path)} | {before} | {after}"
    return journalled(changed, "changes", line)


def stamp(project: Project, now: datetime) -> str:
    """A moment as the journal's lines begin with it."""
    return local(project, now).isoformat(sep=" ", timespec="seconds")


def value_at(project: Project, path: Path) -> Any:
    """What the file holds at a place, as parsed; None where nothing stands."""
    try:
        return find(project.document, path)
    except NoSuchPlace:
        return None


def _text(project: Project, path: Path) -> str:
    held = value_at(project, path)
    return "unknown" if held is None else one_line(str(held))


def one_line(text: str) -> str:
    """Text that fits a journal line: its columns are parted by bars and it ends with the line."""
    return re.sub(r"\s*[|\r\n]+\s*", " / ", text).strip()


def journalled(project: Project, column: str, line: str) -> Project:
    """The project with one more line in a column of its journal: `changes`, `photos`, `notes`, `struck`."""
    path: Path = ("record", "journal", column)
    try:
        lines = list(find(project.document, path))
    except NoSuchPlace:
        lines = []
    return project.with_value(path, [*lines, line])


def noted(project: Project, subject: str, text: str, now: datetime) -> Project:
    """The project with a note in its journal."""
    return journalled(project, "notes", f"{stamp(project, now)} | {subject} | {one_line(text)}")


def noted_changes(project: Project, before: Mapping[str, Any], now: datetime) -> Project:
    """The project with a journal line for each value of the plan that differs from an earlier document.

    Of a list whose rows have ids, one for each row that came, went or changed.
    """
    made = project
    for change in changes(before, project.document):
        if change.path[0] != "record":
            for path, old, new in _row_by_row(change):
                made = journalled(
                    made,
                    "changes",
                    f"{stamp(project, now)} | {spell(path)} | {_quoted(old)} | {_quoted(new)}",
                )
    return made


def _row_by_row(change: Change) -> list[Change]:
    """A change of a list as changes of its rows, where every row has an id."""
    old = [] if isinstance(change.old, Absent) else change.old
    new = [] if isinstance(change.new, Absent) else change.new
    if not isinstance(old, list) or not isinstance(new, list):
        return [change]
    before = dict(zip(_ids(old), old, strict=False))
    after = dict(zip(_ids(new), new, strict=False))
    if len(before) != len(old) or len(after) != len(new):
        return [change]
    return [
        Change((*change.path, id), before.get(id, ABSENT), after.get(id, ABSENT))
        for id in dict.fromkeys([*before, *after])
        if before.get(id) != after.get(id)
    ]


def _quoted(value: Any) -> str:
    """A value as a journal line quotes it; an outline by the number of its points."""
    if isinstance(value, Absent):
        return "unknown"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        named = [
            str(row.get("id", row.get("at", "row"))) if isinstance(row, Mapping) else _quoted(row)
            for row in value
        ]
        return one_line(", ".join(named)) or "none"
    if isinstance(value, Mapping):
        return one_line(", ".join(f"{key} {held}" for key, held in value.items() if key != "id"))
    text = one_line(str(value))
    return text if len(text) <= LONGEST_QUOTED else f"an outline of {text.count(';') + 1} points"


def check_done(
    project: Project,
    stage: str,
    check: str,
    subject: str,
    now: datetime,
    rested_on: Mapping[str, str] | None = None,
) -> Project:
    """The project with a check done, and the values it rested on where there are any."""
    at = local(project, now)
    value: Any = {"at": at, "rested-on": dict(rested_on)} if rested_on else at
    return project.with_value(("record", "done", stage, subject, check), value)


def check_waived(
    project: Project, stage: str, check: str, subject: str, reason: str, now: datetime
) -> Project:
    """The project with a check accepted as not needed."""
    return project.with_value(
        ("record", "done", stage, subject, check),
        {"at": local(project, now), "not-needed": one_line(reason)},
    )


def check_struck(project: Project, stage: str, check: str, subject: str, now: datetime) -> Project:
    """The project with a check open again; that it was done stays in the journal as struck."""
    path: Path = ("record", "done", stage, subject, check)
    line = f"{stamp(project, now)} | {spell(path)} | {_text(project, path)}"
    return journalled(project.without(path), "struck", line)


def finding_accepted(
    project: Project,
    rule: str,
    subject: str,
    reason: str,
    now: datetime,
    value: str | None = None,
    level: str | None = None,
) -> Project:
    """The project with a finding accepted for a reason, at the value and level it has now."""
    row: dict[str, Any] = {"at": local(project, now)}
    if value is not None:
        row["value"] = value
    if level is not None:
        row["level"] = level
    return project.with_value(("record", "accepted", rule, subject), {**row, "reason": one_line(reason)})


def timer_started(project: Project, timer: str, rule: str, subject: str, now: datetime) -> Project:
    """The project with one more running timer; its id is the next that was never used."""
    number = project.file.record.timers_started or 0
    for id in project.file.record.timer:
        number = max(number, int(id[1:]) if id[1:].isdigit() else 0)
    row = {"timer": timer, "rule": rule, "of": subject, "started": local(project, now)}
    return project.with_value(("record", "timers-started"), number + 1).with_value(
        ("record", "timer", f"t{number + 1}"), row
    )


def timer_ended(project: Project, id: str, now: datetime) -> Project:
    """The project with a running timer ended: it becomes a row under `record.ended`."""
    timer = project.file.record.timer[id]
    path: Path = ("record", "ended", timer.of)
    try:
        rows = list(find(project.document, path))
    except NoSuchPlace:
        rows = []
    row = {"timer": timer.timer, "from": timer.started, "to": local(project, now)}
    return project.without(("record", "timer", id)).with_value(path, [*rows, row])


def timer_heard(project: Project, id: str, now: datetime, known: LiftStates = NONE_KNOWN) -> Project:
    """The project with a ringing timer acknowledged; one that has no further deadline ends.

    `known` are the states of lifts that are followed by the cure model.
    """
    state = state_at(project.file, id, project.file.record.timer[id], now, known)
    if state.ringing and state.last:
        return timer_ended(project, id, now)
    return project.with_value(("record", "timer", id, "heard"), local(project, now))


def lift_inserted(project: Project, casting: str, before: str | None = None) -> Project:
    """The project with one more lift, below the one named (or on top). Its id is the next free one."""
    rows = list(project.document["casting"][casting].get("lifts", []))
    row = {"id": next_free("l", set(mentioned(project.document)))}
    place = len(rows) if before is None else next(n for n, held in enumerate(rows) if held["id"] == before)
    return project.with_value(("casting", casting, "lifts"), [*rows[:place], row, *rows[place:]])


# Undo


@dataclass(frozen=True)
class Step:
    """One action that was done: its name, and what it changed."""

    name: str
    changed: tuple[Change, ...]


@dataclass(frozen=True)
class History:
    """The actions of this sitting, newest last."""

    steps: tuple[Step, ...] = ()

    def after(self, name: str, before: Project, after: Project) -> History:
        """The history with one more action; nothing changed adds nothing."""
        changed = tuple(changes(before.document, after.document))
        return History((*self.steps, Step(name, changed))) if changed else self

    def folded(self, since: int, name: str) -> History:
        """The history with its actions from the number `since` on as one; no such action changes nothing."""
        changed = tuple(change for step in self.steps[since:] for change in step.changed)
        return History((*self.steps[:since], Step(name, changed))) if changed else self

    def undone(self, project: Project, now: datetime) -> tuple[History, Project, str]:
        """One action less, the project without it, and its name; raises IndexError where there is none."""
        step = self.steps[-1]
        design = [change for change in inverse(list(step.changed)) if change.path[0] != "record"]
        document = apply(project.document, design)
        struck: list[str] = []
        leaves = [leaf for whole in step.changed for leaf in _leaves(whole)]
        for change in reversed(leaves):
            if change.path[:2] == ("record", "journal"):
                document, lines = _without_lines(document, change)
                struck += lines
            elif change.path[0] == "record" and change.path != _COUNTER:
                document = apply(document, inverse([change]))
                struck += [f"{spell(change.path)} | {row}" for row in _came(change)]
        restored = project.with_document(document)
        for line in struck:
            restored = journalled(restored, "struck", f"{stamp(project, now)} | {line}")
        return History(self.steps[:-1]), restored, step.name


def _leaves(change: Change) -> list[Change]:
    """A change of the record row by row, also where the record or one of its tables came or went whole."""
    if change.path[0] == "record" and len(change.path) <= 2:
        old = {} if isinstance(change.old, Absent) else change.old
        new = {} if isinstance(change.new, Absent) else change.new
        if isinstance(old, Mapping) and isinstance(new, Mapping):
            return [leaf for inner in changes(old, new, change.path) for leaf in _leaves(inner)]
    return [change]


def _without_lines(document: Mapping[str, Any], change: Change) -> tuple[dict[str, Any], list[str]]:
    """A document without the journal lines that a change added, and those lines; lines it took come back.

    Struck lines stay.
    """
    if change.path == ("record", "journal", "struck"):
        return dict(document), []
    old = change.old if isinstance(change.old, list) else []
    new = change.new if isinstance(change.new, list) else []
    added, taken = _beyond(new, old), _beyond(old, new)
    try:
        left = list(find(document, change.path))
    except NoSuchPlace:
        left = []
    for line in added:
        if line in left:
            del left[len(left) - 1 - left[::-1].index(line)]
    for line in taken:
        left.insert(old.index(line), line)
    if left:
        return dict(put(document, change.path, left)), added
    return apply(document, [Change(change.path, new, ABSENT)]), added


def _beyond(lines: list[Any], others: list[Any]) -> list[Any]:
    """The lines that the others do not hold, each as often as it stands there more often."""
    spare = list(others)
    left = []
    for line in lines:
        if line in spare:
            spare.remove(line)
        else:
            left.append(line)
    return left


def _came(change: Change) -> list[str]:
    """What a change of the record brought, in words: of a list only the rows that were not there before."""
    if isinstance(change.new, list) and isinstance(change.old, list):
        return [one_line(str(_plain(row))) for row in _beyond(change.new, change.old)]
    return [one_line(str(_plain(change.new)))]


_COUNTER: Final[Path] = ("record", "timers-started")


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return ", ".join(f"{key} {_plain(held)}" for key, held in value.items())
    if isinstance(value, list):
        return "; ".join(str(_plain(held)) for held in value)
    return value
