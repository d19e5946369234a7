"""By how much the deadline of a running cure has moved between two plans, and why, a sentence each."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta, tzinfo
from typing import Any, Final
from zoneinfo import ZoneInfo

from workshop.lift_states import cure_answers, lift_states
from workshop.plan import Answer, Plan
from workshop.project.timers import LiftStates, deadlines, parse_rule
from workshop.quantity import DURATION, TEMPERATURE, TEMPERATURE_STEP, Units, show

LEAST: Final = timedelta(minutes=15)
"""A deadline that moves by less is not worth a word."""
SMALLEST: Final = 0.05
"""K; a shop nearer to what was planned is said to be as planned."""
NEVER: Final = frozenset({"measured_peak", "limit", "least_depth", "least_temperature"})
"""Inputs that move no deadline."""


def moved_deadlines(
    before: Plan, after: Plan, now: datetime, states: tuple[LiftStates, LiftStates] | None = None
) -> tuple[str, ...]:
    """A sentence for each running cure timer whose next deadline moved by more than a quarter of an hour.

    The next deadline is the one after the state reached at `now`, by the plan before. `states` are those that
    the timers went by, where they are not simply the plans' own.
    """
    known, new = states if states is not None else (lift_states(before), lift_states(after))
    file = after.project.file
    zone = ZoneInfo(file.shop.zone) if file.shop.zone is not None else None
    said = []
    for id, timer in file.record.timer.items():
        running = before.project.file.record.timer.get(id)
        if running is None or not parse_rule(timer.rule).cure or timer.of not in known or timer.of not in new:
            continue
        old = {held.state: held.at for held in deadlines(before.project.file, running, known)}
        came = {held.state: held.at for held in deadlines(file, timer, new)}
        state = next((state for state, at in old.items() if at > now and state in came), None)
        if state is None or abs(came[state] - old[state]) <= LEAST:
            continue
        what = f"{state[:1].upper()}{state[1:]} of {timer.of}"
        later = came[state] - old[state]
        span = show(abs(later).total_seconds(), DURATION, after.project.units)
        why = _why(_answer(before, timer.of), _answer(after, timer.of), after.project.units)
        said.append(
            f"{what} moves from {_moment(old[state], now, zone)} to {_moment(came[state], now, zone)}, "
            f"{span} {'later' if later > timedelta() else 'earlier'}{why}."
        )
    return tuple(said)


def _answer(plan: Plan, lift: str) -> Answer | None:
    return next((answer for answer in cure_answers(plan) if answer.subject == lift), None)


def _moment(at: datetime, now: datetime, zone: tzinfo | None) -> str:
    here = at.astimezone(zone)
    far = abs(at - now) > timedelta(days=6)
    return f"{here.day} {here:%b %H:%M}" if far else f"{here:%a %H:%M}"


def _why(before: Answer | None, after: Answer | None, units: Units) -> str:
    """The reason, after a colon; empty where no single one is known."""
    if before is None or after is None or before.inputs is None or after.inputs is None:
        return ""
    old, new = before.inputs.model_dump(), after.inputs.model_dump()
    read = _read_since(old, new)
    if read is not None:
        return f": the shop was {show(read, TEMPERATURE, units)}, {_against(read, old, units)}"
    changed = [key for key in new if key not in NEVER and key != "shop_log" and new[key] != old.get(key)]
    if not changed:
        return ": a reading of the shop was taken back" if old["shop_log"] != new["shop_log"] else ""
    return ": " + ", ".join(_changed(after, key, old[key], new[key], units) for key in changed[:2])


def _read_since(old: Mapping[str, Any], new: Mapping[str, Any]) -> float | None:
    """What the shop was read at since, the last of it; None where nothing was read."""
    before = {row[0]: row[1] for row in old["shop_log"]}
    rows = [(time, warm) for time, warm in new["shop_log"] if before.get(time) != warm]
    return max(rows)[1] if rows else None


def _against(read: float, old: Mapping[str, Any], units: Units) -> str:
    gap = read - old["temperature"]
    if abs(gap) < SMALLEST:
        return "as planned"
    step = show(abs(gap), TEMPERATURE_STEP, units)
    return f"{step} {'warmer' if gap > 0 else 'colder'} than planned"


def _changed(answer: Answer, key: str, old: Any, new: Any, units: Units) -> str:
    field = next(held for held in answer.calculator.fields if held.name == key)
    if key in ("resin", "below", "bed", "below_temperatures"):
        return f"{field.title} changed" if key != "resin" else "what is known of the resin changed"
    if old is None or new is None:
        return f"{field.title} is now {'unknown' if new is None else _said(field.kind, new, units)}"
    return f"{field.title} is now {_said(field.kind, new, units)}, not {_said(field.kind, old, units)}"


def _said(kind: Any, value: Any, units: Units) -> str:
    return str(value) if kind is None else show(value, kind, units)
