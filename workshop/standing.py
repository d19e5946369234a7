"""How a project stands at a moment: timers, the last shop reading, what is in work, what comes next."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from workshop.lift_states import lift_states
from workshop.plan import CheckState, Plan, StagePlan
from workshop.project.timers import NONE_KNOWN, LiftStates, TimerState, parse_rule, state_at
from workshop.stages import CHECKS
from workshop.stages.checklist import Subject


@dataclass(frozen=True, slots=True)
class ShopReading:
    """The last reading of the shop's air."""

    at: datetime
    temperature: float | None
    humidity: float | None

    def age(self, now: datetime) -> timedelta:
        """How old it is."""
        return now - self.at


@dataclass(frozen=True, slots=True)
class Standing:
    """What depends on the moment. Timers come with those that ring first, then by deadline."""

    now: datetime
    timers: tuple[TimerState, ...]
    shop: ShopReading | None
    stage: str
    """The stage in work: that of the last check done, or the first with an open check."""
    subject: str
    """The subject of the last check done in that stage, or the first with an open one."""
    next: tuple[CheckState, ...]
    """The next checks that wait for nothing, those of the subject in work first."""
    states: LiftStates = field(default_factory=lambda: NONE_KNOWN)
    """What the cure model says of the lifts, on which the timers run."""

    @property
    def ringing(self) -> tuple[TimerState, ...]:
        """The timers that ring until they are heard."""
        return tuple(timer for timer in self.timers if timer.ringing)


def timer_title(timer: str) -> str:
    """What a timer is called: by the check that starts it, else its own id in words."""
    for _stage, check in CHECKS.values():
        if check.timer is not None and check.timer.id == timer:
            return check.timer.title
    return timer.replace("-", " ")


CURE_WORDS = {"": "liquid", "gel": "gelled", "demould": "fit to leave the form", "full cure": "cured through"}
"""How a lift is that has reached a state; nothing reached yet is liquid."""
CURE_ACTIONS = {
    "gel": "it no longer flows",
    "window open": "the next lift may follow",
    "window shut": "from now on scuff before the next lift",
    "demould": "the form may come off",
    "full cure": "ready to be worked and finished",
}


def at_zero(timer: str, state: str = "") -> str:
    """What to do when a timer rings; a cure timer's word depends on the state reached."""
    if state in CURE_ACTIONS:
        return CURE_ACTIONS[state]
    for _stage, check in CHECKS.values():
        if check.timer is not None and check.timer.id == timer:
            return check.timer.at_zero
    return "look at it"


def standing(plan: Plan, now: datetime, states: LiftStates | None = None) -> Standing:
    """How the project stands at a moment.

    `states` are the lifts' where those of the plan are not to count, as while figures are still to come.
    """
    stage, subject = in_work(plan)
    file = plan.project.file
    known = lift_states(plan) if states is None else states
    timers = [state_at(file, id, timer, now, known) for id, timer in file.record.timer.items()]
    far = now + timedelta(days=100000)
    timers.sort(key=lambda held: (not held.ringing, held.deadline.at if held.deadline is not None else far))
    return Standing(now, tuple(timers), _shop(plan), stage.stage.id, subject, _next(stage, subject), known)


def _shop(plan: Plan) -> ShopReading | None:
    readings = plan.project.file.record.readings.get("shop", ())
    known = [row for row in readings if row.temperature is not None or row.humidity is not None]
    if not known:
        return None
    last = max(known, key=lambda row: row.at)
    return ShopReading(
        last.at,
        last.temperature.value if last.temperature is not None else None,
        last.humidity.value if last.humidity is not None else None,
    )


def in_work(plan: Plan) -> tuple[StagePlan, str]:
    """The stage and subject in work."""
    done = [
        (check.done, held, check.subject)
        for held in plan.stages
        for check in held.checks
        if check.done is not None
    ]
    if done:
        _at, stage, last = max(done, key=lambda row: row[0])
        if any(not check.settled for check in stage.checks):
            return stage, scope_of(last)
    for held in plan.stages:
        for check in held.checks:
            if not check.settled:
                return held, scope_of(check.subject)
    return plan.stages[-1], "project"


def scope_of(subject: Subject) -> str:
    """The subject under which a checklist shows this one: a batch stands with its lift."""
    return "/".join(subject.path.split("/")[:2])


def _next(stage: StagePlan, subject: str) -> tuple[CheckState, ...]:
    ready = [check for check in stage.checks if not check.settled and not check.waits_for]
    return tuple(sorted(ready, key=lambda check: scope_of(check.subject) != subject))


def happening(plan: Plan, now: Standing) -> tuple[str, str]:
    """The casting in work and what is happening to it, for the header: ("seat", "lift 2 of 3, curing")."""
    file = plan.project.file
    for timer in now.timers:
        if parse_rule(file.record.timer[timer.id].rule).cure:
            casting, _, lift = timer.subject.partition("/")
            held = file.casting.get(casting)
            numbers = {row.id: number for number, row in enumerate(held.lifts, 1)} if held is not None else {}
            if held is not None and lift in numbers:
                what = CURE_WORDS.get(timer.reached, timer.reached) if timer.reached else "curing"
                return casting, f"lift {numbers[lift]} of {len(held.lifts)}, {what}"
    stage = plan.stage(now.stage)
    casting, _, rest = now.subject.partition("/")
    title = stage.stage.title.lower()
    return ("" if casting == "project" else casting), f"{title}, {rest}" if rest else title
