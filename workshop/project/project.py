"""A project as one value: the document as it stands in the file, and the model made of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from workshop.project.faults import FileFault, FileFaults
from workshop.project.fields import Row
from workshop.project.ids import with_ids
from workshop.project.lines import spelled
from workshop.project.model import ProjectFile
from workshop.project.path import Path, drop, put
from workshop.project.reading import dumps
from workshop.project.validation import Read, checked, keys_of
from workshop.quantity import Units


@dataclass(frozen=True)
class Project:
    """A valid project. `document` is as parsed, its order and text kept; `file` is its model."""

    document: Mapping[str, Any]
    file: ProjectFile
    name: str = field(default="", compare=False)
    """The file's name, for messages."""

    @property
    def units(self) -> Units:
        """How this project shows its quantities."""
        return self.file.units

    def at(self, path: Path) -> Any:
        """The model's value at a key path (keys as in the file, rows by id), None where nothing stands."""
        held: Any = self.file
        for part in path:
            held = _inside(held, part)
            if held is None:
                return None
        return held

    def with_value(self, path: Path, value: Any) -> Project:
        """The project with a value of the document changed.

        Raises FileFaults where the value cannot stand there, NoSuchPlace where a list has no such row.
        """
        return self.with_document(put(self.document, path, value))

    def without(self, path: Path) -> Project:
        """The project without what stands at the path; raises NoSuchPlace or FileFaults."""
        return self.with_document(drop(self.document, path))

    def with_document(self, document: Mapping[str, Any]) -> Project:
        """The project of another state of its document, the record kept last; raises FileFaults."""
        if "record" in document and list(document)[-1] != "record":
            document = {
                **{key: held for key, held in document.items() if key != "record"},
                "record": document["record"],
            }
        return from_document(document, self.name, before=self)


def from_document(
    document: Mapping[str, Any],
    name: str,
    *,
    before: Project | None = None,
    line_of: Callable[[Path], int] | None = None,
) -> Project:
    """The project of a document as parsed; raises FileFaults with all that is wrong.

    `before` is an earlier state of the same project, of which unchanged tables are kept; `line_of` gives the
    line of a key path, where the document was read from a text.
    """
    whole = with_ids(document)
    file, wrong = checked(whole, Read(before.document, before.file) if before else None)
    if not wrong:
        return Project(whole, file, name)
    placed = [(line_of(held.path) if line_of else None, held) for held in wrong]
    placed.sort(key=lambda pair: pair[0] or 0)
    raise FileFaults(
        tuple(
            FileFault(FilePath(name), line, spelled(by_id(whole, held.path)), held.what, held.mend)
            for line, held in placed
        )
    )


def by_id(document: Mapping[str, Any], path: Path) -> Path:
    """A key path whose list rows stand by position, with the ids of those rows that have one."""
    held: Any = document
    named: list[str | int] = []
    for part in path:
        inside: Any = None
        name = part
        if isinstance(held, Mapping):
            inside = held.get(part)
        elif isinstance(held, list) and isinstance(part, int) and part < len(held):
            inside = held[part]
            if isinstance(inside, Mapping) and isinstance(inside.get("id"), str):
                name = inside["id"]
        named.append(name)
        held = inside
    return tuple(named)


def _inside(held: Any, part: str | int) -> Any:
    if isinstance(held, Row):
        name = keys_of(type(held)).get(str(part))
        return getattr(held, name) if name is not None and name in held.model_fields_set else None
    if isinstance(held, Mapping):
        return held.get(part)
    if isinstance(held, tuple):
        if isinstance(part, int):
            return held[part] if 0 <= part < len(held) else None
        return next((row for row in held if getattr(row, "id", None) == part), None)
    return None


def dump(project: Project) -> str:
    """The text of a project's file."""
    return dumps(dict(project.document))
