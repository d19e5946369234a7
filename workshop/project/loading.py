"""A project from the text of its file, or everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path as FilePath
from typing import Any

from workshop.project.faults import FileFault, FileFaults
from workshop.project.formats import current
from workshop.project.lines import lines, where
from workshop.project.model import ProjectFile
from workshop.project.path import Path
from workshop.project.project import Project, from_document
from workshop.project.reading import loads


def load_text(text: str, name: str) -> Project:
    """The project that a file's text holds; raises FileFaults with every fault and its line.

    `name` is the file's name or path, for the messages.
    """
    try:
        path = FilePath(name)
        document = loads(text, path)
        if isinstance(document.get("format"), int):
            document = current(document, path, text)
    except FileFault as fault:
        raise FileFaults((fault,)) from fault

    # The scan is slower than reading the file, and only faults need it.
    @cache
    def numbered() -> Mapping[tuple[str | int, ...], int]:
        return lines(text)

    def line_of(path: Path) -> int:
        return where(numbered(), path)

    return from_document(document, name, line_of=line_of)


def validate(document: Mapping[str, Any]) -> ProjectFile:
    """The model of a document as parsed by tomllib; raises FileFaults with every fault, without lines."""
    return from_document(document, "").file
