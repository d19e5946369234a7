"""A project at a glance, for the list: what is in work, what rings or comes next, what to do."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

from workshop.pictures.picture import Picture
from workshop.pictures.plan_view import plan_view
from workshop.plan import plan
from workshop.project.faults import FileFault, FileFaults
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.project.project import Project
from workshop.project.reading import read
from workshop.project.timers import NONE_KNOWN, LiftStates, state_at
from workshop.stages import STAGES
from workshop.standing import standing, timer_title
from workshop.tui.lines import Line, line
from workshop.tui.times import moment, span


@dataclass(frozen=True, slots=True)
class Glance:
    """What the list says of a project besides its head; with a fault it says that alone."""

    stage: str = ""
    next: str = ""
    picture: Picture | None = None
    """The plan of the casting in work."""
    file: ProjectFile | None = None
    states: LiftStates = field(default_factory=lambda: NONE_KNOWN)
    """What the cure model says of the lifts."""
    fault: FileFault | None = None

    @property
    def zone(self) -> tzinfo | None:
        """The shop's time zone, None for the system's."""
        named = self.file.shop.zone if self.file is not None else None
        return ZoneInfo(named) if named is not None else None


def glance(path: Path, now: datetime) -> Glance:
    """The whole file read and planned; what is wrong with it is part of the answer."""
    try:
        return glance_of(load_text(read(path).text, path.name), now)
    except FileFaults as faults:
        return Glance(fault=faults.faults[0])
    except FileFault as fault:
        return Glance(fault=fault)


def glance_of(project: Project, now: datetime) -> Glance:
    """What is in work, and the next check that waits for nothing."""
    planned = plan(project, defer=True)
    held = standing(planned, now)
    file = project.file
    numbers = {stage.id: number for number, stage in enumerate(STAGES, 1)}
    title = planned.stage(held.stage).stage.title
    where = _where(file, held.subject)
    casting = held.subject.partition("/")[0]
    picture = plan_view(file, casting if casting in file.casting else next(iter(file.casting), ""))
    if all(check.settled for stage in planned.stages for check in stage.checks):
        return Glance("every check is done", "", picture, file, held.states)
    return Glance(
        f"{numbers[held.stage]} {title}{', ' if where else ''}{where}",
        held.next[0].check.text if held.next else "",
        picture,
        file,
        held.states,
    )


def _where(file: ProjectFile, subject: str) -> str:
    """`seat lift 2 of 3`."""
    casting, _, part = subject.partition("/")
    if casting == "project":
        return ""
    lifts = [lift.id for lift in file.casting[casting].lifts] if casting in file.casting else []
    if part in lifts:
        return f"{casting} lift {lifts.index(part) + 1} of {len(lifts)}"
    return f"{casting} {part}".strip()


def deadline(held: Glance, now: datetime) -> Line:
    """The timer that rings, else the next deadline, with its clock time; nothing where no timer runs."""
    if held.file is None:
        return ()
    running = held.file.record.timer.items()
    states = [state_at(held.file, id, timer, now, held.states) for id, timer in running]
    states = [state for state in states if state.deadline is not None]
    if not states:
        return ()
    first = min(states, key=lambda state: (not state.ringing, state.left(now)))
    assert first.deadline is not None
    name = first.deadline.state or timer_title(first.timer)
    name = name[:1].upper() + name[1:]
    when = moment(first.deadline.at, now, held.zone)
    if not first.ringing:
        return line((f"{name} ", "dim"), (when, "text"), (f", in {span(first.left(now))}", "dim"))
    others = sum(state.ringing for state in states) - 1
    more = f", {others} more" if others else ""
    return line(("■ LATE, rings ", "red"), (f"{name} {when}{more}", "strong"))
