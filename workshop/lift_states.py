"""The states of the lifts as the cure model has them, in the words and with the bounds that timers go by."""

from __future__ import annotations

from datetime import timedelta
from types import MappingProxyType
from typing import Final

from workshop.figures import Figure, Result
from workshop.plan import Answer, Plan
from workshop.project.model import ProjectFile
from workshop.project.timers import NONE_KNOWN, LiftStates, States, cure_states

MODEL: Final = "lift-cure"
"""The calculator that follows a lift's cure."""


def lift_states(plan: Plan, before: LiftStates = NONE_KNOWN) -> LiftStates:
    """Every lift whose cure was followed, with its states.

    Times are the likely ones for gel and the window's opening; a window shuts early (see `window_of`), since
    in doubt one scuffs, and the form comes off at the late end of its band. While figures are still being
    worked out a lift keeps what was known of it `before`.
    """
    found = {}
    for answer in cure_answers(plan):
        if answer.pending and before.get(answer.subject):
            found[answer.subject] = before[answer.subject]
        elif answer.result is not None:
            states = _states(plan.project.file, answer.subject, answer.result, not answer.pending)
            if states:
                found[answer.subject] = states
    return MappingProxyType(found)


def not_yet(file: ProjectFile) -> LiftStates:
    """Lifts with running timers before any figure is there: none of their states is known yet.

    Until then their cure timers have no deadline, rather than the sheet's for some seconds.
    """
    return MappingProxyType({timer.of: () for timer in file.record.timer.values() if "/" in timer.of})


def window_of(result: Result) -> tuple[float | None, float | None]:
    """When a lift's window likely opens, and when it is safest taken to shut: s since the pour, or None.

    It shuts at the early end of its band. Where that lies before its likely opening, the two ends of the band
    belong to different shops; the window then stays open for as long as it does in the case that is soonest,
    since whoever pours on it has tried by touch that it is open.
    """
    opens, shuts = result.figure("window-opens"), result.figure("window-shuts")
    if shuts is None or opens is None or shuts.low is None:
        return None if opens is None else opens.value, None if shuts is None else shuts.value
    if shuts.low > opens.value or opens.low is None:
        return opens.value, shuts.low
    return opens.value, min(shuts.value, opens.value + max(0.0, shuts.low - opens.low))


def cure_answers(plan: Plan) -> tuple[Answer, ...]:
    """What the model said of each lift."""
    return tuple(
        answer
        for stage in plan.stages
        if stage.stage.id == "lifts"
        for answer in stage.answers
        if answer.calculator.id == MODEL
    )


def _states(file: ProjectFile, lift: str, result: Result, whole: bool) -> States:
    """The states. Before the band is there a window shuts when it likely does, and no demould is named."""
    gel, demould = result.figure("gel"), result.figure("demould")
    opens, shuts = window_of(result)
    found: list[tuple[str, float]] = []
    if gel is not None:
        found.append(("gel", gel.value))
    if opens is not None:
        found.append(("window open", opens))
    if shuts is not None:
        found.append(("window shut", shuts))
    if demould is not None and whole:
        found.append(("demould", demould.value if demould.high is None else demould.high))
        found += _full_cure(file, lift, demould)
    found.sort(key=lambda pair: pair[1])
    return tuple((state, timedelta(seconds=round(after))) for state, after in found)


def _full_cure(file: ProjectFile, lift: str, demould: Figure) -> list[tuple[str, float]]:
    """The sheet's full cure, later by as much as the demould is later than on the sheet."""
    sheet = {state: span.total_seconds() for state, span in cure_states(file, lift)}
    full, stated = sheet.get("full cure"), sheet.get("demould")
    last = demould.value if demould.high is None else demould.high
    if full is None:
        return []
    if stated is not None and full > stated:
        return [("full cure", full * max(1.0, last / stated))]
    return [("full cure", full)] if full > last else []
