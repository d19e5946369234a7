"""What happened, in order: to read, to search, to export, and to strike or correct."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, tzinfo

from workshop.journal_entries import KINDS, Entry, entries, head_of
from workshop.quantity import METRIC, Units
from workshop.stages import STAGES
from workshop.striking import SEVERAL, NotInJournal, corrected, editable, struck

__all__ = [
    "KINDS",
    "SEVERAL",
    "Entry",
    "NotInJournal",
    "as_text",
    "corrected",
    "editable",
    "entries",
    "last_done",
    "search",
    "struck",
]


def search(
    found: Iterable[Entry],
    words: str = "",
    stage: str | None = None,
    casting: str | None = None,
    kind: str | None = None,
    units: Units = METRIC,
) -> tuple[Entry, ...]:
    """The entries that hold every word, in what happened, subject, kind, or the stage's title.

    `stage`, `casting` (the thing at the head of the subject) and `kind` keep only theirs.
    """
    wanted = words.casefold().split()
    titles = {held.id: held.title for held in STAGES}
    kept = []
    for entry in found:
        if stage is not None and entry.stage != stage:
            continue
        if casting is not None and head_of(entry.subject) != casting:
            continue
        if kind is not None and entry.kind != kind:
            continue
        said = " ".join((entry.say(units), entry.subject, entry.kind, titles.get(entry.stage, ""))).casefold()
        if all(word in said for word in wanted):
            kept.append(entry)
    return tuple(kept)


def as_text(found: Iterable[Entry], units: Units = METRIC, zone: tzinfo | None = None) -> str:
    """The entries to read or to print: a heading for each day, a line for each entry, nothing cut short."""
    lines: list[str] = []
    day = ""
    for entry in found:
        here = entry.at.astimezone(zone) if entry.at is not None else None
        heading = f"{here:%A} {here.day} {here:%B %Y}" if here is not None else "No time written"
        if heading != day:
            lines += ["", heading] if lines else [heading]
            day = heading
        clock = f"{here:%H:%M}" if here is not None else "  -  "
        lines.append(
            f"  {clock}  {entry.subject or '-'}: {_MARK.get(entry.kind, '')}{_printable(entry.say(units))}"
        )
    return "\n".join(lines) + "\n" if lines else "Nothing happened yet.\n"


_MARK = {"check": "done: ", "note": "note: ", "photo": "photo: ", "change": "changed: "}


def _printable(text: str) -> str:
    return "".join(sign if sign.isprintable() else "·" for sign in text)


def last_done(found: Iterable[Entry], now: datetime) -> Entry | None:
    """The last thing that happened before a moment, struck lines and timers that merely ran left out."""
    known = [
        entry
        for entry in found
        if entry.at is not None
        and entry.at <= now
        and not entry.struck
        and entry.kind not in ("timer", "logged")
    ]
    return known[-1] if known else None
