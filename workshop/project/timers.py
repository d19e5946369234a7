"""Timers by absolute time: a timer keeps its start and its rule, never a countdown.

A rule is text: `14 d`, `24 h`, `35 min` (one deadline); `10 25 45 min` (several); `5 15 30 60 min, then every
1 h until gel` (and on); `every 30 min`; `cure` (the states of the lift's resin). Sleep, restart and weeks
away change nothing, since a deadline is the start plus an offset.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final

from workshop.project.model import ProjectFile, RunningTimer
from workshop.quantity import DURATION, QuantityError, parse

CURE: Final = "cure"

States = tuple[tuple[str, timedelta], ...]
"""The states of a lift's resin in order, each with its offset from the pour."""
LiftStates = Mapping[str, States]
"""Those of lifts that are known better than by the sheet, by their paths (`seat/base`)."""
NONE_KNOWN: Final[LiftStates] = MappingProxyType({})

_LIST = re.compile(r"((?:\d+(?:\.\d+)?\s+)+)(s|min|h|d)")
_THEN = re.compile(r"(?:then\s+)?every\s+(.+?)(?:\s+until\s+([a-z][a-z -]*))?")


@dataclass(frozen=True, slots=True)
class Rule:
    """Offsets from the start, then a repeat. `until` names the state that ends a repeat."""

    offsets: tuple[timedelta, ...] = ()
    every: timedelta | None = None
    until: str | None = None
    cure: bool = False


@dataclass(frozen=True, slots=True)
class Deadline:
    """A moment at which a timer rings, and what it means where the rule names it."""

    at: datetime
    state: str = ""


@dataclass(frozen=True, slots=True)
class TimerState:
    """A running timer as it stands at a moment."""

    id: str
    timer: str
    subject: str
    started: datetime
    deadline: Deadline | None
    """The one that rings, else the next; None when nothing more will come."""
    ringing: bool
    reached: str
    """The last named state that was reached, such as `window open`."""
    last: bool
    """No deadline comes after this one."""

    def left(self, now: datetime) -> timedelta:
        """Time left, negative when late."""
        return (self.deadline.at - now) if self.deadline is not None else timedelta()


def parse_rule(text: str) -> Rule:
    """Read a rule; raises ValueError in one sentence with an example."""
    plain = text.strip().lower()
    if plain == CURE:
        return Rule(cure=True)
    head, comma, tail = plain.partition(",")
    if not comma and plain.startswith("every"):
        head, tail = "", plain
    offsets = _offsets(head.strip(), text) if head.strip() else ()
    if not tail.strip():
        if not offsets:
            raise _unread(text)
        return Rule(offsets)
    matched = _THEN.fullmatch(tail.strip())
    if matched is None:
        raise _unread(text)
    every = _span(matched.group(1), text)
    return Rule(offsets, every, matched.group(2))


def _offsets(head: str, text: str) -> tuple[timedelta, ...]:
    listed = _LIST.fullmatch(head)
    if listed is None:
        return (_span(head, text),)
    spans = tuple(_span(f"{number} {listed.group(2)}", text) for number in listed.group(1).split())
    if list(spans) != sorted(set(spans)):
        raise ValueError(f"the times in {text!r} do not rise: write them as 5 15 30 min")
    return spans


def _span(words: str, text: str) -> timedelta:
    try:
        seconds = round(parse(words, DURATION))
        if not 0 < seconds < 3_200_000_000:
            raise _unread(text)
        return timedelta(seconds=seconds)
    except (QuantityError, OverflowError):
        raise _unread(text) from None


def _unread(text: str) -> ValueError:
    return ValueError(
        f"{text!r} is no timer rule: write 24 h, or 5 15 30 min, or 5 min, then every 1 h until gel"
    )


def states_of(file: ProjectFile, subject: str, known: LiftStates = NONE_KNOWN) -> States:
    """The states of a lift: those that are known of it, else those on its resin's sheet.

    Known as empty, they are still to come.
    """
    return known[subject] if subject in known else cure_states(file, subject)


def cure_states(file: ProjectFile, subject: str) -> States:
    """The states of a lift's resin in order, each with its offset from the pour by the resin's own sheet.

    The sheet's times hold at the sheet's temperature; a colder shop is later. Empty where the sheet says
    nothing.
    """
    casting, _, _lift = subject.partition("/")
    held = file.casting.get(casting)
    resin = file.resin.get(held.resin) if held is not None and held.resin is not None else None
    if resin is None:
        return ()
    stated = (
        ("window open", resin.recoat_from),
        ("window shut", resin.recoat_limit),
        ("demould", resin.demould_time),
        ("full cure", resin.full_cure),
    )
    found = [(state, timedelta(seconds=round(span.value))) for state, span in stated if span is not None]
    return tuple(sorted(found, key=lambda pair: pair[1]))


def deadlines(file: ProjectFile, timer: RunningTimer, known: LiftStates = NONE_KNOWN) -> Iterator[Deadline]:
    """Every deadline of a timer in order; a repeat without a known end goes on for ever.

    `known` are the states of lifts that are followed by the cure model; the sheet stands in for the others.
    """
    rule = parse_rule(timer.rule)
    if rule.cure:
        for state, offset in states_of(file, timer.of, known):
            yield Deadline(timer.started + offset, state)
        return
    for offset in rule.offsets:
        yield Deadline(timer.started + offset)
    if rule.every is None:
        return
    end = _end_of_repeat(file, timer, rule, known)
    at = timer.started + (rule.offsets[-1] if rule.offsets else timedelta()) + rule.every
    while end is None or at <= end:
        yield Deadline(at)
        at += rule.every


def _end_of_repeat(file: ProjectFile, timer: RunningTimer, rule: Rule, known: LiftStates) -> datetime | None:
    """When a repeat ends: at gel, for which the sheet's first cure state stands in, being the later one."""
    states = states_of(file, timer.of, known) if rule.until else ()
    return timer.started + dict(states).get(rule.until or "", states[0][1]) if states else None


def state_at(
    file: ProjectFile, id: str, timer: RunningTimer, now: datetime, known: LiftStates = NONE_KNOWN
) -> TimerState:
    """How a running timer stands: the latest deadline not yet heard rings, else the next one counts down.

    `known` are the states of lifts that are followed by the cure model; the sheet stands in for the others.
    """
    # Heard at a time that is yet to come: the clock was set back. Rather ring twice than not at all.
    heard = timer.heard if timer.heard is not None and timer.started < timer.heard <= now else timer.started
    ringing: Deadline | None = None
    coming: Deadline | None = None
    reached, more = "", False
    for deadline in _near(file, timer, heard, now, known):
        if deadline.at <= now:
            reached = deadline.state or reached
            if deadline.at > heard:
                ringing = deadline
        elif coming is None:
            coming = deadline
        else:
            more = True
            break
    if ringing is not None:
        return TimerState(id, timer.timer, timer.of, timer.started, ringing, True, reached, coming is None)
    return TimerState(id, timer.timer, timer.of, timer.started, coming, False, reached, not more)


def _near(
    file: ProjectFile, timer: RunningTimer, heard: datetime, now: datetime, known: LiftStates
) -> Iterator[Deadline]:
    """The deadlines, leaping over those of a repeat that were heard long ago."""
    rule = parse_rule(timer.rule)
    if rule.every is None:
        yield from deadlines(file, timer, known)
        return
    for offset in rule.offsets:
        yield Deadline(timer.started + offset)
    end = _end_of_repeat(file, timer, rule, known)
    base = timer.started + (rule.offsets[-1] if rule.offsets else timedelta())
    # The last two before now are enough: an older one is either heard or told by the newest.
    steps = max(1, (now - base) // rule.every - 1)
    if end is not None and end < now:
        steps = max(1, min(steps, (end - base) // rule.every))
    for step in range(steps, steps + 5):
        at = base + step * rule.every
        if end is not None and at > end:
            return
        yield Deadline(at)
