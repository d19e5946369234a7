"""A line of the record struck or corrected: what stood there stays under `record.journal.struck`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, Final

from workshop.project.changes import journalled, local, one_line, stamp, value_at
from workshop.project.journal import NoteLine
from workshop.project.path import Path, spell, unspell
from workshop.project.project import Project
from workshop.project.reading_kinds import READING_KINDS, WHERE

SEVERAL: Final = " + "
"""Between the places of an entry of the journal that stands for several rows."""

_BETWEEN: Final = "; "
_READ: Final = (*(key for key in READING_KINDS if key not in WHERE), *WHERE)
_WEIGHED: Final = ("a", "b", "tint")


class NotInJournal(ValueError):
    """What was named is not a line that can be struck or corrected; one sentence."""


def struck(project: Project, key: str, reason: str, now: datetime) -> Project:
    """The project without a line of its record; the line, and why it went, stay in the journal as struck.

    `key` is an entry's. Raises NotInJournal for what is no note, photograph, reading, batch, check, pour or
    place, or is not there any more.
    """
    # The last row first, so that the others keep their places.
    for path in sorted(_paths(project, key), key=_row, reverse=True):
        project = _kept(project, path, one_line(reason), now)
        rows = value_at(project, path[:-1])
        if isinstance(rows, list):
            left = [row for number, row in enumerate(rows) if number != path[-1]]
            project = project.with_value(path[:-1], left) if left else project.without(path[:-1])
        else:
            project = project.without(path)
    return project


def editable(project: Project, key: str) -> str:
    """The text of a line as it is typed anew: a note's words, `a 884 g; b 376 g`, a check's time.

    Raises NotInJournal for a line that cannot be corrected.
    """
    path = _single(project, key)
    return _form(path)[0](value_at(project, path))


def corrected(project: Project, key: str, new_text: str, now: datetime) -> Project:
    """The project with a note, reading, batch or check's time as typed anew; the old one stays as struck.

    Of a reading and a batch, `moisture 9.2 %; place 760, 0 mm` or a bare value for the first one. Raises
    NotInJournal for any other line or a text that cannot be read, FileFaults for a value that cannot stand.
    """
    path = _single(project, key)
    before = value_at(project, path)
    after = _form(path)[1](before, new_text)
    if isinstance(after, datetime):
        after = local(project, after)
    elif isinstance(after, Mapping) and isinstance(after.get("at"), datetime):
        after = {**after, "at": local(project, after["at"])}
    if after == before:
        return project
    made = _kept(project, path, "corrected", now)
    rows = value_at(made, path[:-1])
    if isinstance(rows, list):
        return made.with_value(
            path[:-1], [after if number == path[-1] else row for number, row in enumerate(rows)]
        )
    return made.with_value(path, after)


# Places


def _row(path: Path) -> int:
    return path[-1] if isinstance(path[-1], int) else 0


def _paths(project: Project, key: str) -> list[Path]:
    return [_known(project, unspell(part)) for part in key.split(SEVERAL)]


def _single(project: Project, key: str) -> Path:
    paths = _paths(project, key)
    if len(paths) > 1:
        raise NotInJournal("Several readings of one moment stand here: strike them and take them again.")
    return paths[0]


def _known(project: Project, path: Path) -> Path:
    match path:
        case ("record", "batch", _) | ("record", "batch", _, "mix-end" | "in-form"):
            pass
        case ("record", "done", _, _, _) | ("record", "poured" | "placed", _):
            pass
        case ("record", "readings", _, int()) | ("record", "journal", "notes" | "photos", int()):
            pass
        case _:
            raise NotInJournal(
                f"{spell(path)} cannot be struck: choose a note, a reading, a batch, a check or a pour."
            )
    if value_at(project, path) is None:
        raise NotInJournal(f"{spell(path)} is not there any more: open the journal anew.")
    return path


def _kept(project: Project, path: Path, reason: str, now: datetime) -> Project:
    """The project with what stands at a place kept under struck, and why."""
    place = path[:-1] if isinstance(path[-1], int) else path
    line = f"{stamp(project, now)} | {spell(place)} | {one_line(_words(value_at(project, path)))}"
    return journalled(project, "struck", f"{line} | {reason}" if reason else line)


def _words(held: Any) -> str:
    if isinstance(held, Mapping):
        return ", ".join(f"{key} {_words(inner)}" for key, inner in held.items())
    return str(held)


# How each sort of line is typed


def _note_text(held: Any) -> str:
    return NoteLine.read(held).said


def _note_typed(held: Any, text: str) -> Any:
    if not text.strip():
        raise NotInJournal("A note needs words: strike it where it should go.")
    note = NoteLine.read(held)
    return f"{note.at} | {note.subject} | {one_line(text)}"


def _check_text(held: Any) -> str:
    at = held["at"] if isinstance(held, Mapping) else held
    return str(at)


def _check_typed(held: Any, text: str) -> Any:
    try:
        at = datetime.fromisoformat(text.strip())
    except ValueError:
        raise NotInJournal(f"{text.strip()!r} is not a time: write one such as 2026-03-09 19:50.") from None
    before = held["at"] if isinstance(held, Mapping) else held
    if at.tzinfo is None:
        at = at.replace(tzinfo=before.tzinfo)
    return {**held, "at": at} if isinstance(held, Mapping) else at


def _row_text(keys: tuple[str, ...]) -> Callable[[Any], str]:
    return lambda held: _BETWEEN.join(f"{key} {held[key]}" for key in keys if key in held)


def _row_typed(keys: tuple[str, ...]) -> Callable[[Any, str], Any]:
    def typed(held: Any, text: str) -> Any:
        values = _values(text, keys, next((key for key in keys if key in held), keys[0]))
        if not set(values) - set(WHERE):
            raise NotInJournal(f"No value is left: write one such as {keys[0]} and its value, or strike it.")
        return {**{key: kept for key, kept in held.items() if key not in keys}, **values}

    return typed


def _values(text: str, keys: tuple[str, ...], main: str) -> dict[str, str]:
    values: dict[str, str] = {}
    for number, part in enumerate(part.strip() for part in text.split(_BETWEEN.strip()) if part.strip()):
        word, _, rest = part.partition(" ")
        if word in keys and rest.strip():
            values[word] = rest.strip()
        elif number == 0:
            values[main] = part
        else:
            raise NotInJournal(
                f"{part!r} begins with no key: write one of {', '.join(keys)}, then its value."
            )
    return values


def _form(path: Path) -> tuple[Callable[[Any], str], Callable[[Any, str], Any]]:
    match path:
        case ("record", "journal", "notes", _):
            return _note_text, _note_typed
        case ("record", "done", *_) | ("record", "batch", _, _):
            return _check_text, _check_typed
        case ("record", "readings", *_):
            return _row_text(_READ), _row_typed(_READ)
        case ("record", "batch", _):
            return _row_text(_WEIGHED), _row_typed(_WEIGHED)
    raise NotInJournal(f"{spell(path)} cannot be corrected here: strike it and log it again.")
