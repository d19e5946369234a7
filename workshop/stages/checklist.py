"""What a stage is made of: checks with prerequisites and timers, and the cautions that stand over it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from workshop.project.model import ProjectFile
from workshop.project.path import Path
from workshop.trade import abrasives


class Over(StrEnum):
    """What a check is repeated for."""

    PROJECT = "project"
    SLAB = "slab"
    CASTING = "casting"
    LIFT = "lift"
    BATCH = "batch"
    COAT = "coat"
    GRIT = "grit"
    FACE = "face"
    LEG = "leg"


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing a check or a calculator is about: `seat/strip`. `casting` is "" outside castings."""

    path: str
    over: Over
    casting: str = ""
    title: str = ""


Applies = Callable[[ProjectFile, Subject], bool]
RuleSource = Callable[[ProjectFile, Subject], str | None]
RestsOn = Callable[[ProjectFile, Subject], tuple[Path, ...]]


@dataclass(frozen=True, slots=True)
class TimerSpec:
    """A timer that a check starts when it is done.

    `rule` is the text of its deadlines (the grammar of `project.timers`), or a function that takes it from
    the project, such as the pot life on the resin's sheet; None from that function means not known yet.
    """

    id: str
    title: str
    rule: str | RuleSource
    at_zero: str

    def rule_for(self, file: ProjectFile, subject: Subject) -> str | None:
        """The rule's text for this subject, or None where the project does not say."""
        return self.rule if isinstance(self.rule, str) else self.rule(file, subject)


@dataclass(frozen=True, slots=True)
class Check:
    """One line of a checklist. `after` are ids of checks that come first; they order and warn, never block.

    `rests_on` are the places in the file whose change asks for the check again.
    """

    id: str
    text: str
    over: Over
    after: tuple[str, ...] = ()
    timer: TimerSpec | None = None
    group: str = ""
    applies: Applies | None = None
    rests_on: RestsOn | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """One of the nine stages. Cautions defer to the sheet of the product, local codes and licensed trades."""

    id: str
    title: str
    purpose: str
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]


def grits(file: ProjectFile) -> tuple[str, ...]:
    """The grades of the project's abrasive schedule, coarse to fine; none where it is not known yet."""
    schedule = file.abrasive_schedule
    ends = () if schedule is None else (schedule.resin_end, schedule.wood_end)
    if schedule is None or schedule.start is None or not any(ends):
        return ()
    try:
        start = abrasives.grit(schedule.start)
        finest = min((abrasives.grit(end) for end in ends if end is not None), key=lambda grade: grade.size)
        return tuple(grade.name for grade in abrasives.sequence(start, finest))
    except ValueError:
        return ()


def subjects(file: ProjectFile, over: Over) -> Iterator[Subject]:
    """Every subject of this sort in the project, in the order of the file."""
    if over is Over.PROJECT:
        yield Subject("project", over, title=file.project.name or "the whole build")
    elif over is Over.SLAB:
        for slab in file.slab:
            yield Subject(slab, over, title=slab)
    elif over is Over.LEG:
        for leg in file.frame.legs if file.frame is not None else ():
            yield Subject(leg, over, title=leg)
    else:
        for casting in file.casting:
            yield from _in_casting(file, casting, over)


def _in_casting(file: ProjectFile, casting: str, over: Over) -> Iterator[Subject]:
    held = file.casting[casting]
    match over:
        case Over.CASTING:
            yield Subject(casting, over, casting, casting)
        case Over.FACE:
            for face in ("upper", "lower"):
                yield Subject(f"{casting}/{face}", over, casting, f"{casting}, {face} face")
        case Over.LIFT:
            for number, lift in enumerate(held.lifts, 1):
                yield Subject(
                    f"{casting}/{lift.id}", over, casting, f"{casting} lift {number} of {len(held.lifts)}"
                )
        case Over.BATCH:
            for lift in held.lifts:
                subject = f"{casting}/{lift.id}"
                for batch, weighed in file.record.batch.items():
                    if weighed.of == subject:
                        yield Subject(f"{subject}/{batch}", over, casting, f"{subject} batch {batch}")
        case Over.COAT:
            for coat in file.finish.coats if file.finish is not None else ():
                yield Subject(f"{casting}/{coat.id}", over, casting, f"{casting} coat {coat.id}")
        case Over.GRIT:
            for grit in grits(file):
                yield Subject(f"{casting}/{grit.lower()}", over, casting, f"{casting} {grit}")
        case _:
            raise AssertionError(over)
