"""Names for rows that a hand-written file leaves without one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from typing import Any, Final

from workshop.project.path import Path, put

CASTING_ROWS: Final = {"lifts": "l", "cuts": "c", "voids": "v", "guides": "g"}
"""Rows of a casting that have an id, and the letter of those that are given one."""

TOP_TABLES: Final = ("person", "tool", "slab", "piece", "resin", "light-strip", "casting", "fixing", "supply")
"""Tables of named tables at the top of the file."""

CASTING_TABLES: Final = ("bed", "light-run", "cable")


def with_ids(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """The same document, in which every row that needs an id has one.

    A new id is the next free number of its letter: none that stands in the file or in its record, so that a
    record of a row that is gone is never taken for the new one's.
    """
    lacking = tuple(_lacking(document))
    if not lacking:
        return document
    used: set[str] = set(mentioned(document))
    for path, rows, prefix in lacking:
        named = []
        for row in rows:
            if isinstance(row, dict) and "id" not in row:
                fresh = next_free(prefix, used)
                used.add(fresh)
                row = {"id": fresh, **row}
            named.append(row)
        document = put(document, path, named)
    return document


def next_free(prefix: str, used: Set[str]) -> str:
    """The prefix with the number after the highest in use."""
    numbers = [
        int(name[len(prefix) :])
        for name in used
        if name.startswith(prefix) and len(name) <= len(prefix) + 9 and name[len(prefix) :].isdecimal()
    ]
    return f"{prefix}{max(numbers, default=0) + 1}"


def _lacking(document: Mapping[str, Any]) -> Iterator[tuple[Path, list[Any], str]]:
    for slab, table in _tables(document, "slab"):
        yield from _rows(("slab", slab, "saw-lines"), table.get("saw-lines"), "s")
    for casting, table in _tables(document, "casting"):
        for key, letter in CASTING_ROWS.items():
            yield from _rows(("casting", casting, key), table.get(key), letter)
    finish = document.get("finish")
    if isinstance(finish, Mapping):
        yield from _rows(("finish", "coats"), finish.get("coats"), "coat-")


def _tables(document: Mapping[str, Any], key: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    tables = document.get(key)
    if isinstance(tables, Mapping):
        for name, table in tables.items():
            if isinstance(table, Mapping):
                yield name, table


def _rows(path: Path, rows: object, prefix: str) -> Iterator[tuple[Path, list[Any], str]]:
    if isinstance(rows, list) and any(isinstance(row, dict) and "id" not in row for row in rows):
        yield path, rows, prefix


def mentioned(document: Mapping[str, Any]) -> Iterator[str]:
    """Every id that stands in the plan or in a subject of the record."""
    for key in TOP_TABLES:
        for name, table in _tables(document, key):
            yield name
            for rows in ("saw-lines", *CASTING_ROWS):
                yield from ids_of(table.get(rows))
            for inner in CASTING_TABLES:
                held = table.get(inner)
                if isinstance(held, Mapping):
                    yield from held
    finish = document.get("finish")
    if isinstance(finish, Mapping):
        yield from ids_of(finish.get("coats"))
    record = document.get("record")
    if isinstance(record, Mapping):
        for subject in _subjects(record):
            yield from subject.split("/")


def ids_of(rows: object) -> Iterator[str]:
    """The ids of a list's rows, in order."""
    if isinstance(rows, list):
        for row in rows:
            if isinstance(row, Mapping) and isinstance(row.get("id"), str):
                yield row["id"]


def _subjects(record: Mapping[str, Any]) -> Iterator[str]:
    for key in ("placed", "poured", "ended", "readings", "logged"):
        held = record.get(key)
        if isinstance(held, Mapping):
            yield from held
    for key in ("done", "accepted"):
        held = record.get(key)
        for inner in held.values() if isinstance(held, Mapping) else ():
            if isinstance(inner, Mapping):
                yield from inner
    for key in ("batch", "timer"):
        for _, table in _tables(record, key):
            if isinstance(table.get("of"), str):
                yield table["of"]
