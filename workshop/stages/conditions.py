"""Where a check applies: only in castings with lights, beds or cables, or only in some lifts of a casting.

What is not known yet counts as present, so that a check is shown rather than missed.
"""

from __future__ import annotations

from workshop.project.model import Casting, ProjectFile
from workshop.stages.checklist import Over, Subject


def has_lights(file: ProjectFile, subject: Subject) -> bool:
    """A light run lies in the subject's casting, or in any casting where the subject is the project."""
    return any(bool(casting.light_run) for casting in _castings(file, subject))


def has_cable(file: ProjectFile, subject: Subject) -> bool:
    """A cable leaves the casting; a light run whose cable is not drawn yet has one too."""
    return any(bool(casting.cable or casting.light_run) for casting in _castings(file, subject))


def has_buried_things(file: ProjectFile, subject: Subject) -> bool:
    """The casting holds something that no cutter may meet: bed, light run or cable."""
    return any(
        bool(casting.bed or casting.light_run or casting.cable) for casting in _castings(file, subject)
    )


def lift_covers_lights(file: ProjectFile, subject: Subject) -> bool:
    """The lift covers a light run of its casting: the last chance to fix and seal the strip."""
    span = _lift_span(file, subject)
    for casting in _castings(file, subject):
        for run in casting.light_run.values():
            if span is None or run.height is None or span[0] <= run.height.value < span[1]:
                return True
    return False


def lift_meets_bed(file: ProjectFile, subject: Subject) -> bool:
    """The lift flows into a bed of its casting."""
    span = _lift_span(file, subject)
    for casting in _castings(file, subject):
        for bed in casting.bed.values():
            if span is None or bed.from_ is None or bed.to is None:
                return True
            if span[0] < bed.to.value and span[1] > bed.from_.value:
                return True
    return False


def lift_on_lift(file: ProjectFile, subject: Subject) -> bool:
    """The lift goes on cured resin: every lift but the base lift."""
    return any(
        _is_lift(subject, lift.id) for casting in _castings(file, subject) for lift in casting.lifts[1:]
    )


def lift_below_lift(file: ProjectFile, subject: Subject) -> bool:
    """Another lift follows on top of this one."""
    return any(
        _is_lift(subject, lift.id) for casting in _castings(file, subject) for lift in casting.lifts[:-1]
    )


def last_lift(file: ProjectFile, subject: Subject) -> bool:
    """The lift is the top one, after which the casting leaves the form."""
    return not lift_below_lift(file, subject)


def has_fixings(file: ProjectFile, subject: Subject) -> bool:
    """Screws or inserts go into the casting; where no fixing is drawn yet, they may go into any."""
    return not file.fixing or any(held.casting in (None, subject.casting) for held in file.fixing.values())


def has_frame(file: ProjectFile, _subject: Subject) -> bool:
    """The project stands on legs, which a wall shelf does not."""
    return bool(file.frame.legs or file.frame.kind)


def holes_near_buried_things(file: ProjectFile, subject: Subject) -> bool:
    """Holes go into a casting that holds something no cutter may meet."""
    return has_fixings(file, subject) and has_buried_things(file, subject)


def _castings(file: ProjectFile, subject: Subject) -> tuple[Casting, ...]:
    if subject.over is Over.PROJECT:
        return tuple(file.casting.values())
    held = file.casting.get(subject.casting)
    return () if held is None else (held,)


def _is_lift(subject: Subject, lift: str) -> bool:
    return subject.path == f"{subject.casting}/{lift}"


def _lift_span(file: ProjectFile, subject: Subject) -> tuple[float, float] | None:
    """Heights in m between which the lift lies as planned, from the form floor; None where not known."""
    bottom: float | None = 0.0
    for casting in _castings(file, subject):
        for lift in casting.lifts:
            top = lift.to.value if lift.to is not None else None
            if _is_lift(subject, lift.id):
                return None if bottom is None or top is None else (bottom, top)
            bottom = top
    return None
