"""What happened while nobody was there, and what grew old: timers and readings, and what each means now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final

from workshop.figures import Level, Phrase, phrase
from workshop.likeliest import last_reading
from workshop.project.checking_off import is_poured, next_lift
from workshop.project.model import ProjectFile
from workshop.project.timers import NONE_KNOWN, Deadline, LiftStates, deadlines, parse_rule, state_at
from workshop.quantity import Amount, Units
from workshop.stages import CHECKS
from workshop.standing import at_zero, timer_title


@dataclass(frozen=True, slots=True)
class Target:
    """Where a row leads: stage, subject, and the key of a check (`lid-on@seat/base`) or of a reading."""

    stage: str
    subject: str
    key: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the page."""

    text: Phrase | str
    level: Level
    target: Target

    def say(self, units: Units) -> str:
        """The line in the given units."""
        return self.text if isinstance(self.text, str) else self.text.say(units)


def ago(span: timedelta) -> str:
    """`40 min ago`, `3 h ago`, `19 days ago`: whole hours or days, as one says it."""
    return f"{old(span)} ago"


def old(span: timedelta) -> str:
    """`40 min`, `3 h`, `1 day`, `19 days`."""
    minutes = int(max(span, timedelta()).total_seconds() // 60)
    if minutes < 120:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return f"{minutes // 60} h"
    return f"{minutes // 1440} days"


# Timers

_MEANS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "gel": "it no longer flows; the leak watch is over",
        "window open": "the next lift may follow",
        "window shut": "scuff first, P120, wipe, dry",
        "demould": "the form may come off once the centre is hard",
        "full cure": "it can be worked and finished",
        "leak-watch": "look under the form and read a depth stick",
        "bubbles": "too late to pass them; mark craters for the fill",
        "pot-life": "what is left in the bucket is waste; never pour it",
        "seal-pot-life": "what is left in the cup is waste",
        "mix": "a batch that stood is not poured; mix a fresh one",
        "seal-mix": "a cup that stood is not used; mix a fresh one",
        "seal-recoat": "dry patches now need a scuff before they are coated again",
        "seal-window": "scuff first, P120, wipe, dry",
        "flash-off": "dry; the wood may go in",
        "sealant-cure": "cured through; test with water",
        "open-time": "excess left on is hard now; scuff it off before the next coat",
        "second-wipe": "too late to wipe; rub it down before the next coat",
        "moisture-again": "read the moisture again",
        "acclimatise": "weigh it; steady means ready",
        "fire-watch": "feel for heat before you do anything else",
    }
)
"""What it means now that a timer, or a state of the cure, ended while nobody was there: common practice, no
source. The window's scuff is the seal coat's rule too. Other timers say what they say when they ring."""


_REACHED: Final[Mapping[str, str]] = MappingProxyType(
    {
        "gel": "gelled",
        "window open": "window opened",
        "demould": "demould reached",
        "full cure": "full cure reached",
        "seal-window": "seal coat's window shut",
    }
)
"""How it is said that a state was reached; else a timer ended, or rang."""


def timers_meanwhile(
    file: ProjectFile, since: datetime, now: datetime, known: LiftStates = NONE_KNOWN
) -> Iterator[tuple[Row, bool]]:
    """Timers that ended, reached a state or rang after `since`, the latest first, and whether each ended.

    `known` are the states of lifts that are followed by the cure model.
    """
    found: list[tuple[datetime, Row, bool]] = []
    for id, timer in file.record.timer.items():
        if parse_rule(timer.rule).cure:
            states = [held for held in deadlines(file, timer, known) if since < held.at <= now]
            found += ((at, row, True) for at, row in _cure(file, timer.of, states, now))
            continue
        state = state_at(file, id, timer, now, known)
        rang = state.deadline.at if state.ringing and state.deadline is not None else now
        if not since < rang or not state.ringing:
            continue
        said = _MEANS.get(timer.timer, at_zero(timer.timer)) if state.last else at_zero(timer.timer)
        what = f"{timer_title(timer.timer).lower()} {'ended' if state.last else 'rang'}"
        text = f"{timer.of}: {_REACHED.get(timer.timer, what)} {ago(now - rang)}: {_small(said)}"
        level = Level.WARN if timer.timer in ("seal-window", "pot-life", "fire-watch") else Level.NOTE
        found.append((rang, Row(text, level, Target(*_of_timer(timer.timer, timer.of))), state.last))
    found.sort(key=lambda row: row[0], reverse=True)
    yield from ((row, ended) for _, row, ended in found)


def _cure(
    file: ProjectFile, lift: str, states: list[Deadline], now: datetime
) -> Iterator[tuple[datetime, Row]]:
    """One row for what a lift's cure means now: its window while a lift is to follow, else its last state."""
    by_name = {held.state: held for held in states}
    if not by_name:
        return
    follows = _lift_above(file, lift)
    if follows is not None and "window shut" in by_name:
        held = by_name["window shut"]
        yield (
            held.at,
            Row(
                f"{lift}: window shut {ago(now - held.at)}: {_MEANS['window shut']}",
                Level.WARN,
                Target("lifts", follows, f"surface-ready@{follows}"),
            ),
        )
        return
    name, held = list(by_name.items())[-1]
    if name.startswith("window") and follows is None:
        return
    key = {"window open": "window-open", "demould": "left-until-demould"}.get(name, "")
    yield (
        held.at,
        Row(
            f"{lift}: {_REACHED.get(name, name)} {ago(now - held.at)}: {_MEANS.get(name, name)}",
            Level.NOTE,
            Target("lifts", lift, f"{key}@{lift}" if key else ""),
        ),
    )


def _lift_above(file: ProjectFile, lift: str) -> str | None:
    """The lift that goes on this one, where it is not poured yet."""
    casting, _, name = lift.partition("/")
    held = file.casting.get(casting)
    names = [row.id for row in held.lifts] if held is not None else []
    if name not in names[:-1]:
        return None
    above = f"{casting}/{names[names.index(name) + 1]}"
    return above if is_poured(file, above) is None else None


def _of_timer(timer: str, subject: str) -> tuple[str, str, str]:
    for stage, check in CHECKS.values():
        if check.timer is not None and check.timer.id == timer:
            return stage.id, subject, f"{check.id}@{subject}"
    return "", subject, ""


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


# Readings


SHOP_KEPT: Final = timedelta(hours=12)
MOISTURE_KEPT: Final = timedelta(days=14)
LEVEL_KEPT: Final = timedelta(days=3)
CURRENT_KEPT: Final = timedelta(days=14)
"""How long a reading is trusted: common practice, no source. Wood is read again a fortnight later."""


def stale_readings(file: ProjectFile, now: datetime) -> Iterator[Row]:
    """Readings that the next steps rest on and that have grown old."""
    for key in ("temperature", "humidity"):
        yield from _old(file, "shop", key, key, SHOP_KEPT, now, Target("lifts", "shop", key))
    for slab in file.slab:
        castings = {piece.casting for piece in file.piece.values() if piece.slab == slab and piece.casting}
        if not castings or any(next_lift(file, casting) is not None for casting in castings):
            yield from _old(
                file, slab, "moisture", "moisture", MOISTURE_KEPT, now, Target("stock-prep", slab, "moisture")
            )
    for casting, held in file.casting.items():
        lift = next_lift(file, casting)
        if lift is None:
            continue
        yield from _old(
            file, casting, "depth", "the form's level", LEVEL_KEPT, now, Target("lifts", casting, "depth")
        )
        for cable in (*held.cable, *held.light_run):
            yield from _old(
                file,
                f"{casting}/{cable}",
                "current",
                "current drawn",
                CURRENT_KEPT,
                now,
                Target("lifts", f"{casting}/{cable}", "current"),
            )


def _old(
    file: ProjectFile, subject: str, key: str, title: str, kept: timedelta, now: datetime, target: Target
) -> Iterator[Row]:
    last = last_reading(file, subject, key)
    if last is None or now - last.at <= kept:
        return
    value = getattr(last, key)
    yield Row(
        phrase(
            "{subject}: {title} reading {old} old, last {last}: read again",
            subject=subject,
            title=title,
            old=old(now - last.at),
            last=Amount(value.value, value.kind),
        ),
        Level.WARN if now - last.at > 2 * kept else Level.NOTE,
        target,
    )
