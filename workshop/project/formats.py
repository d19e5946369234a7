"""The number of the file's format: refusing a newer one, bringing an older one up to date."""

from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any

from workshop.project.faults import FileFault
from workshop.project.lines import lines, where

Document = dict[str, Any]
Migration = Callable[[Document], Document]

FORMAT = 2


def _only_more_keys(document: Document) -> Document:
    """Format 2 only adds keys: for saw lines, flipped pieces, guides, what a form stands on, lift times."""
    return document


# Entry n turns a document of format n + 1 into one of format n + 2; FORMAT is one more than their number.
MIGRATIONS: tuple[Migration, ...] = (_only_more_keys,)


def current(
    document: Document, path: Path, text: str, *, migrations: tuple[Migration, ...] = MIGRATIONS
) -> Document:
    """`document` in the newest format; itself where it is so already, else a migrated copy.

    Raises FileFault for a format that is missing, no format number, or newer than this program. Nothing is
    written: the store keeps a dated copy of the older file when the migrated document is first saved.
    """
    newest = len(migrations) + 1
    if "format" not in document:
        raise FileFault(path, 1, "format", "no format is given", f"put format = {newest} on the first line")
    number = document["format"]
    line = where(lines(text), ("format",))
    if not isinstance(number, int) or isinstance(number, bool) or number < 1:
        raise FileFault(
            path, line, "format", "the format is not a whole number from 1", f"write format = {newest}"
        )
    if number > newest:
        raise FileFault(
            path,
            line,
            "format",
            f"the file has format {number} and this program reads up to {newest}",
            "open it with a newer version of this program",
        )
    if number == newest:
        return document
    migrated = deepcopy(document)
    for migration in migrations[number - 1 :]:
        migrated = migration(migrated)
    return {**migrated, "format": newest}
