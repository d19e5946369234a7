"""Places in a project file: key paths in which a row of a list is named by its id, never by its position."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

Path = tuple[str | int, ...]
"""Keys from the top of the file; a list's row is its `id`, or its position where rows have none."""


class NoSuchPlace(LookupError):
    """Nothing stands at this path."""


def spell(path: Path) -> str:
    """`casting.seat.lifts.strip.to`, as the journal writes it."""
    return ".".join(
        f'"{part}"' if isinstance(part, str) and ("/" in part or "." in part) else str(part) for part in path
    )


def row(rows: Sequence[Any], name: str | int) -> int:
    """The position of the row with this id (or of this position); raises NoSuchPlace."""
    if isinstance(name, int):
        if 0 <= name < len(rows):
            return name
        raise NoSuchPlace(str(name))
    for position, held in enumerate(rows):
        if isinstance(held, Mapping) and held.get("id") == name:
            return position
    raise NoSuchPlace(name)


def find(document: Any, path: Path) -> Any:
    """What stands at the path in a document as parsed; raises NoSuchPlace."""
    held = document
    for part in path:
        if isinstance(held, Mapping) and part in held:
            held = held[part]
        elif isinstance(held, list):
            held = held[row(held, part)]
        else:
            raise NoSuchPlace(spell(path))
    return held


def put(document: Any, path: Path, value: Any) -> Any:
    """A new document with the value at the path; tables on the way are made, lists are not."""
    if not path:
        return value
    part, rest = path[0], path[1:]
    if isinstance(document, list):
        position = row(document, part)
        return [*document[:position], put(document[position], rest, value), *document[position + 1 :]]
    held: Mapping[str | int, Any] = document if isinstance(document, Mapping) else {}
    return {**held, part: put(held.get(part, {}), rest, value)}


def drop(document: Any, path: Path) -> Any:
    """A new document without what stands at the path, and without the tables that this leaves empty."""
    part, rest = path[0], path[1:]
    if isinstance(document, list):
        position = row(document, part)
        if not rest:
            return [*document[:position], *document[position + 1 :]]
        return [*document[:position], drop(document[position], rest), *document[position + 1 :]]
    if not isinstance(document, Mapping) or part not in document:
        raise NoSuchPlace(spell(path))
    if not rest:
        return {key: held for key, held in document.items() if key != part}
    inner = drop(document[part], rest)
    if isinstance(inner, dict) and not inner:
        return {key: held for key, held in document.items() if key != part}
    return {**document, part: inner}


def unspell(text: str) -> Path:
    """The path that `spell` wrote; digits alone are a position."""
    parts = re.findall(r'"([^"]*)"|([^."]+)', text)
    return tuple(quoted or (int(plain) if plain.isdigit() else plain) for quoted, plain in parts)
