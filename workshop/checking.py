"""What the stages say of a check, for actions on the record: the `Checklist` of `project.checking_off`."""

from __future__ import annotations

from collections.abc import Mapping

from workshop.plan import rested_on as values_rested_on
from workshop.project.checking_off import Checklist
from workshop.project.project import Project
from workshop.stages import CHECKS
from workshop.stages.checklist import Subject, subjects


class StageChecklist:
    """The checks of the nine stages."""

    def applies(self, project: Project, check: str, subject: str) -> bool:
        """Whether the check stands in the list of this subject."""
        held = CHECKS[check][1]
        place = _subject(project, check, subject)
        return place is not None and (held.applies is None or held.applies(project.file, place))

    def rested_on(self, project: Project, check: str, subject: str) -> Mapping[str, str]:
        """What the check rests on right now: key path to value."""
        place = _subject(project, check, subject)
        return {} if place is None else values_rested_on(project, CHECKS[check][1], place)

    def timer(self, project: Project, check: str, subject: str) -> tuple[str, str] | None:
        """Name and rule of the timer that the check starts; None where none, or its rule is not known."""
        held, place = CHECKS[check][1].timer, _subject(project, check, subject)
        rule = held.rule_for(project.file, place) if held is not None and place is not None else None
        return (held.id, rule) if held is not None and rule is not None else None


def _subject(project: Project, check: str, subject: str) -> Subject | None:
    return next(
        (held for held in subjects(project.file, CHECKS[check][1].over) if held.path == subject), None
    )


CHECKLIST: Checklist = StageChecklist()
"""What an action on the record is given."""
