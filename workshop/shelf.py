"""Resin on the shelf: whether it is still within its dates on a given day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from workshop.figures import Level
from workshop.project.materials import Resin
from workshop.project.model import ProjectFile

SOON: Final = 30
"""Days before its date at which a resin is named: common practice, no source."""
OPENED_LONG: Final = 180
"""Days after which an opened resin of unknown shelf life is tried first: common practice, no source."""

_DAY: Final = 86400.0
_TRY: Final = "try a 50 g cup before you pour, or buy fresh"


@dataclass(frozen=True, slots=True)
class ResinDate:
    """A resin that is past a date, or soon will be: what is the matter, and the way out."""

    resin: str
    level: Level
    text: str
    remedy: str


def resin_dates(file: ProjectFile, today: date) -> tuple[ResinDate, ...]:
    """Every resin past its best-before date, or opened longer ago than it keeps; and those that soon are.

    A resin past its date is a warning and one within 30 days of it a note, the gravest first.
    """
    found = [held for name, resin in file.resin.items() for held in _of(name, resin, today)]
    return tuple(sorted(found, key=lambda held: -held.level.rank))


def _of(name: str, resin: Resin, today: date) -> Iterator[ResinDate]:
    if resin.best_before is not None:
        left = (resin.best_before - today).days
        if left < 0:
            yield ResinDate(name, Level.WARN, f"{_days(-left)} past its date", _TRY)
        elif left <= SOON:
            yield ResinDate(name, Level.NOTE, f"{_days(left)} left to its date", f"pour it in {_days(left)}")
    if resin.opened is None:
        return
    opened = (today - resin.opened).days
    if resin.shelf_life is None:
        if opened > OPENED_LONG:
            yield ResinDate(name, Level.NOTE, f"opened {_days(opened)} ago", f"look for crystals; {_TRY}")
        return
    left = int(resin.shelf_life.value // _DAY) - opened
    if left < 0:
        yield ResinDate(
            name, Level.WARN, f"opened {_days(opened)} ago, {_days(-left)} longer than it keeps", _TRY
        )
    elif left <= SOON:
        yield ResinDate(
            name, Level.NOTE, f"keeps {_days(left)} more once opened", f"pour it in {_days(left)}"
        )


def _days(days: int) -> str:
    return f"{days} day" if days == 1 else f"{days} days"
