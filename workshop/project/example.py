"""Examples: a project file with `example = true` is never written, opening it makes a copy to work in.

The copy's dates are moved, all by one shift, so that the last entry of its record lies an hour back.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from datetime import date, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from workshop.project.faults import FileFault
from workshop.project.folder import head, made_folder
from workshop.project.formats import Document
from workshop.project.loading import load_text
from workshop.project.model import last_entry
from workshop.project.project import Project
from workshop.project.reading import read
from workshop.project.store import Store

BACK: Final = timedelta(hours=1)
"""How long ago the last entry of a copy was made."""

_LINES: Final = (("record", "journal"), ("record", "logged"))
"""Where texts are lines that hold dates."""

_DAY = "[0-9]{4}-[0-9]{2}-[0-9]{2}"
_CLOCK = r"[0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?:Z|[+-][0-9]{2}:[0-9]{2})"
_DATED = re.compile(rf"(?<![\w-])({_DAY})(?:([ T])({_CLOCK}))?(?![\w-])")


class Shift:
    """One move of every date and time of a document; intervals between times stay as they are."""

    def __init__(self, by: timedelta, zone: tzinfo | None) -> None:
        self.by = by
        self.days = timedelta(days=round(by / timedelta(days=1)))
        self._zone = zone

    def moment(self, at: datetime) -> datetime:
        """A time moved, to the whole second, with the offset that the zone has then (its own without a zone).

        Raises OverflowError beyond the years 1 to 9999.
        """
        moved = at.replace(microsecond=0) + self.by
        if self._zone is None:
            return moved
        offset = moved.astimezone(self._zone).utcoffset() or timedelta()
        # TOML knows offsets to the minute; a zone's local mean time, before there were zones, has seconds.
        return moved.astimezone(timezone(timedelta(minutes=round(offset / timedelta(minutes=1)))))

    def day(self, on: date) -> date:
        """A day moved by the whole number of days nearest to the shift; raises OverflowError."""
        return on + self.days

    def text(self, held: str) -> str:
        """A text with every date and time in it moved."""
        return _DATED.sub(self._moved, held)

    def _moved(self, found: re.Match[str]) -> str:
        day, parting, clock = found.groups()
        try:
            if clock is None:
                return self.day(date.fromisoformat(day)).isoformat()
            return self.moment(datetime.fromisoformat(f"{day}T{clock}")).isoformat(sep=parting)
        except ValueError:
            return found.group()


def copy_of_example(project: Project, now: datetime) -> Document:
    """The document of a copy to work in: no example any more, its dates moved up to `now`.

    The latest time under `record` comes to lie exactly one hour before `now`, to the second; where nothing is
    recorded nothing moves. Raises OverflowError where a date would leave the years 1 to 9999.
    """
    document = {key: held for key, held in project.document.items() if key != "example"}
    last = last_entry(project.file.record)
    if last is None:
        return document
    named = project.file.shop.zone
    shift = Shift(
        now.replace(microsecond=0) - BACK - last.replace(microsecond=0),
        ZoneInfo(named) if named is not None else None,
    )
    moved: Document = _moved(document, (), shift)
    return moved


def _moved(held: Any, at: tuple[str, ...], shift: Shift) -> Any:
    if isinstance(held, datetime):
        return shift.moment(held)
    if isinstance(held, date):
        return shift.day(held)
    if isinstance(held, dict):
        named = _key_mover(at, shift)
        return {named(key): _moved(inner, (*at, key), shift) for key, inner in held.items()}
    if isinstance(held, list):
        return [_moved(inner, at, shift) for inner in held]
    if isinstance(held, str) and (at[:2] in _LINES or "rested-on" in at[:-1]):
        return shift.text(held)
    return held


def _key_mover(at: tuple[str, ...], shift: Shift) -> Callable[[str], str]:
    """Keys hold days in the calendar of the shop, and in the places of what a check rested on."""
    if at == ("shop", "exceptions") or at[-1:] == ("rested-on",):
        return shift.text
    return lambda key: key


def open_path(path: Path, folder: Path, now: datetime) -> Path:
    """The file to work in: `path`, or for an example its copy in the projects folder, made if need be.

    Raises FileFault or FileFaults; an example is not written, nor is a copy that is there already.
    """
    if head(path).get("example") is not True:
        return path
    copy = folder / f"my-{path.name}"
    if os.path.lexists(copy):
        return copy
    try:
        document = copy_of_example(load_text(read(path).text, path.name), now)
    except OverflowError:
        what = "its dates cannot be moved up to the present without leaving the years 1 to 9999"
        raise FileFault(path, None, "", what, "mend the date that is far from the others") from None
    made_folder(folder)
    with Store(copy, now=lambda: now, new=True) as store:
        store.save(document)
    return copy
