"""Checks as they are done, with the timers that they start, and what sort of thing a subject is."""

from __future__ import annotations

from collections.abc import Container, Mapping
from datetime import datetime
from typing import Final, Protocol

from workshop.project.changes import check_done, timer_ended, timer_started
from workshop.project.model import ProjectFile
from workshop.project.project import Project


class Checklist(Protocol):
    """What the stages say of a check; `workshop.checking` is one."""

    def applies(self, project: Project, check: str, subject: str) -> bool:
        """Whether the check stands in the list of this subject."""

    def rested_on(self, project: Project, check: str, subject: str) -> Mapping[str, str]:
        """What the check rests on right now: key path to value."""

    def timer(self, project: Project, check: str, subject: str) -> tuple[str, str] | None:
        """Name and rule of the timer that the check starts; None where none, or its rule is not known."""


# Checks and timers


def is_done(project: Project, stage: str, check: str, subject: str) -> datetime | None:
    """When a check was done or waived."""
    held = project.file.record.done.get(stage, {}).get(subject, {}).get(check)
    return held.at if held is not None else None


def checked_off(
    project: Project,
    stage: str,
    check: str,
    subject: str,
    now: datetime,
    checklist: Checklist,
    again: bool = False,
) -> Project:
    """The project with a check done and its timer running, where it applies and was not done before.

    With `again` one that was done is done anew.
    """
    done = is_done(project, stage, check, subject) is not None
    if (done and not again) or not checklist.applies(project, check, subject):
        return project
    made = check_done(project, stage, check, subject, now, checklist.rested_on(project, check, subject))
    return timer_begun(made, check, subject, now, checklist)


def timer_begun(
    project: Project, check: str, subject: str, now: datetime, checklist: Checklist, once: bool = False
) -> Project:
    """The project with the timer that a check starts; one that runs is not started again.

    With `once` neither is one that ran before and has ended.
    """
    held = checklist.timer(project, check, subject)
    if held is None or _runs(project.file, held[0], subject):
        return project
    if once and any(row.timer == held[0] for row in project.file.record.ended.get(subject, ())):
        return project
    return timer_started(project, *held, subject, now)


def _runs(file: ProjectFile, timer: str, subject: str) -> bool:
    return any(held.timer == timer and held.of == subject for held in file.record.timer.values())


def timers_ended(project: Project, timers: tuple[str, ...], subject: str, now: datetime) -> Project:
    """The project with those of a subject's running timers ended."""
    for id, held in project.file.record.timer.items():
        if held.timer in timers and held.of == subject:
            project = timer_ended(project, id, now)
    return project


# Subjects


def sort_of(file: ProjectFile, subject: str) -> str:
    """`lift`, `coat`, `cable`, `light run`, `bed`, `face`, `casting`, `slab`, `tool`, `shop` or `other`."""
    head, _, rest = subject.partition("/")
    casting = file.casting.get(head)
    if casting is None:
        known: dict[str, Container[str]] = {"slab": file.slab, "tool": file.tool, "shop": ("shop",)}
        return next((sort for sort, names in known.items() if head in names), "other")
    if not rest:
        return "casting"
    if casting.lift(rest) is not None:
        return "lift"
    if rest in ("upper", "lower"):
        return "face"
    for sort, names in (("cable", casting.cable), ("light run", casting.light_run), ("bed", casting.bed)):
        if rest in names:
            return sort
    return "coat" if any(coat.id == rest for coat in file.finish.coats) else "other"


POURED: Final = ("lifts", "poured")
"""Stage and id of the check that a lift is poured."""


def is_poured(file: ProjectFile, lift: str) -> datetime | None:
    """When a lift was poured, by its log or its check; the start of the epoch where only that it was."""
    held, check = file.record.poured.get(lift), file.record.done.get("lifts", {}).get(lift, {}).get("poured")
    if held is not None and held.at is not None:
        return held.at
    if check is not None and check.not_needed is None:
        return check.at
    return datetime.fromisoformat("1970-01-01T00:00:00+00:00") if held is not None else None


def next_lift(file: ProjectFile, casting: str) -> str | None:
    """The lowest lift of a casting that is not poured yet, as a subject."""
    held = file.casting.get(casting)
    lifts = [f"{casting}/{lift.id}" for lift in held.lifts] if held is not None else []
    return next((lift for lift in lifts if is_poured(file, lift) is None), None)
