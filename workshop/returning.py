"""Coming back to a project: what was done last, what happened meanwhile, and what that means now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final
from zoneinfo import ZoneInfo

from workshop.figures import Level, phrase
from workshop.journal import Entry, entries, last_done
from workshop.meanwhile import Row, Target, stale_readings, timers_meanwhile
from workshop.plan import CheckState, Plan
from workshop.project.checking_off import is_poured
from workshop.project.model import ProjectFile
from workshop.project.timers import LiftStates, parse_rule, states_of
from workshop.quantity import DURATION, Amount, Units
from workshop.stages import CHECKS
from workshop.standing import Standing
from workshop.stock import moisture_drift, resin_ages, to_buy

__all__ = ["AWAY", "Return", "Row", "Target", "coming_back"]

AWAY: Final = timedelta(hours=18)
"""Away for longer than this and the page is shown: more than a night between two evenings."""


@dataclass(frozen=True, slots=True)
class Return:
    """What a maker sees on coming back, by section."""

    since: datetime | None
    away: timedelta
    last: Row | None
    timers: tuple[Row, ...]
    readings: tuple[Row, ...]
    resin: tuple[Row, ...]
    moisture: tuple[Row, ...]
    next: tuple[Row, ...]
    buy: tuple[Row, ...]
    some_ended: bool = False
    """Whether a timer ended meanwhile, or a state of a cure was reached."""

    @property
    def applies(self) -> bool:
        """Whether the page is worth showing: away for more than 18 h, or some timer ended meanwhile."""
        return self.since is not None and (self.away > AWAY or self.some_ended)

    @property
    def sections(self) -> tuple[tuple[str, tuple[Row, ...]], ...]:
        """Title and rows of each section that has any, in the order of the page."""
        held = (
            ("Last", (self.last,) if self.last is not None else ()),
            ("While you were away", self.timers),
            ("Read again", self.readings),
            ("Resin", self.resin),
            ("Moisture", self.moisture),
            ("Next", self.next),
            ("Buy first", self.buy),
        )
        return tuple((title, rows) for title, rows in held if rows)


def coming_back(plan: Plan, standing: Standing, since: datetime | None, now: datetime) -> Return:
    """What a maker should know on coming back at `now`.

    `since` is when the project was last seen; None takes the last thing in its record.
    """
    file = plan.project.file
    known = entries(plan.project)
    last = last_done(known, now)
    past = [entry.at for entry in known if entry.at is not None and entry.at <= now]
    seen = since if since is not None else max(past, default=None)
    away = max(now - seen, timedelta()) if seen is not None else timedelta()
    zone = ZoneInfo(file.shop.zone) if file.shop.zone is not None else None
    rang = tuple(timers_meanwhile(file, seen, now, standing.states)) if seen is not None else ()
    ahead = [check for check in standing.next if not _past(file, check, now, standing.states)]
    return Return(
        seen,
        away,
        _last(last, plan.project.units, zone) if last is not None else None,
        tuple(row for row, _ in rang),
        tuple(stale_readings(file, now)),
        tuple(resin_ages(plan, now)),
        tuple(moisture_drift(plan)),
        tuple(_action(file, check) for check in ahead[:3]),
        tuple(to_buy(plan)),
        any(ended for _, ended in rang),
    )


def _last(entry: Entry, units: Units, zone: tzinfo | None) -> Row:
    assert entry.at is not None
    here = entry.at.astimezone(zone)
    text = f"{here:%a} {here.day} {here:%b} {here:%H:%M}, {entry.subject}: {entry.say(units)}"
    return Row(text, Level.NOTE, Target(entry.stage, entry.subject, entry.key))


_WHILE_LIQUID: Final = ("bubbles-passed", "leak-watched")
_IN_WINDOW: Final = ("window-open", "window-used")


def _past(file: ProjectFile, held: CheckState, now: datetime, known: LiftStates) -> bool:
    """Whether it is too late for a check: the lift is no longer liquid, or its window has shut.

    Where the resin's sheet says nothing a lift counts as liquid for a day: common practice, no source.
    """
    if held.check.id not in (*_WHILE_LIQUID, *_IN_WINDOW):
        return False
    poured = is_poured(file, held.subject.path)
    if poured is None:
        return False
    states = states_of(file, held.subject.path, known)
    if held.check.id in _IN_WINDOW:
        shut = dict(states).get("window shut")
        return shut is not None and now > poured + shut
    return now > poured + (states[0][1] if states else timedelta(days=1))


def _action(file: ProjectFile, held: CheckState) -> Row:
    stage = CHECKS[held.check.id][0].id
    needs = _needs(file, held)
    text = f"{held.check.text}, {held.subject.path}"
    target = Target(stage, held.subject.path, held.key)
    if needs is None:
        return Row(text, Level.NOTE, target)
    return Row(
        phrase("{what}: takes {span}", what=text, span=Amount(needs.total_seconds(), DURATION)),
        Level.NOTE,
        target,
    )


def _needs(file: ProjectFile, held: CheckState) -> timedelta | None:
    """How long what the check starts runs, where its rule says; a repeat without an end says nothing."""
    timer = held.check.timer
    text = timer.rule_for(file, held.subject) if timer is not None else None
    rule = parse_rule(text) if text is not None else None
    return rule.offsets[-1] if rule is not None and rule.offsets and rule.every is None else None
