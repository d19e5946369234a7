"""Resin on the shelf: whether it is still within its dates on a given day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from workshop.figures import Level, Phrase, phrase
from workshop.project.materials import Resin
from workshop.project.model import ProjectFile
from workshop.quantity import DURATION, Amount

SOON: Final = 30
"""Days before a date at which it is worth a word."""


@dataclass(frozen=True, slots=True)
class ResinDate:
    """A resin that is past a date, or soon will be."""

    resin: str
    level: Level
    text: Phrase
    remedy: Phrase


def resin_dates(file: ProjectFile, today: date) -> tuple[ResinDate, ...]:
    """Every resin past its best-before date, or opened longer ago than it keeps; and those that soon are.

    A resin past its date is a warning and one within 30 days of it a note, the gravest first.
    """
    found = [held for name, resin in file.resin.items() for held in _of(name, resin, today)]
    return tuple(sorted(found, key=lambda held: -held.level.rank))


def _of(name: str, resin: Resin, today: date) -> Iterator[ResinDate]:
    for ends, what, since in _ends(resin):
        left = (ends - today).days
        if left > SOON:
            continue
        if left < 0:
            yield ResinDate(
                name,
                Level.WARN,
                phrase(f"{{resin}} is past {what} by {{over}}{since}.", resin=name, over=_days(-left)),
                phrase(
                    "Mix a cup of 50 g and try its hardness after a day, or buy fresh resin for the "
                    "next lift."
                ),
            )
        else:
            yield ResinDate(
                name,
                Level.NOTE,
                phrase(f"{{resin}} reaches {what} on {ends.isoformat()}{since}.", resin=name),
                phrase(f"Pour it until {ends.isoformat()}, and buy no more of this lot than you pour."),
            )


def _ends(resin: Resin) -> Iterator[tuple[date, str, str]]:
    """The last days on which it is good, what each is called, and since when it counts."""
    if resin.best_before is not None:
        yield resin.best_before, "its best-before date", ""
    if resin.opened is not None and resin.shelf_life is not None:
        ends = resin.opened + timedelta(seconds=resin.shelf_life.value)
        yield ends, "what it keeps once opened", f", opened {resin.opened.isoformat()}"


def _days(count: int) -> Amount:
    return Amount(count * 86400.0, DURATION)
