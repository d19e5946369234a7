"""What a project can be written as, by name: one entry a kind."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Final
from zoneinfo import ZoneInfo

from workshop.journal import as_text, entries
from workshop.project.project import Project


@dataclass(frozen=True, slots=True)
class Export:
    """One kind: its title, the ending of its file, and how it is made of a project at a moment."""

    title: str
    ending: str
    make: Callable[[Project, datetime], bytes]


def _journal(project: Project, now: datetime) -> bytes:
    zone = project.file.shop.zone
    name = " ".join((project.file.project.name or "A project without a name").split())
    text = as_text(entries(project), project.units, ZoneInfo(zone) if zone is not None else None)
    name = "".join(sign if sign.isprintable() else "·" for sign in name)
    return f"{name}: journal\n\n{text}".encode("utf-8", "replace")


def _drawing(project: Project, now: datetime) -> bytes:
    from workshop.sheets.drawing import drawing

    return drawing(project, now)


def _templates(project: Project, now: datetime) -> bytes:
    from workshop.sheets.templates import templates

    return templates(project, now)


EXPORTS: Final[Mapping[str, Export]] = MappingProxyType(
    {
        "journal": Export("Journal", ".txt", _journal),
        "drawing": Export("Drawing to scale", ".svg", _drawing),
        "templates": Export("Templates at full size", ".html", _templates),
    }
)
"""By the word after `--as`."""
