"""The rows of the journal: a line for each thing that happened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import tzinfo
from types import MappingProxyType
from typing import Final

from workshop.journal import Entry
from workshop.quantity import Units
from workshop.tui.lines import Line, Role, clipped, line
from workshop.tui.rows import Row

LOOKS: Final[Mapping[str, tuple[str, str, Role]]] = MappingProxyType(
    {
        "check": ("■", "done", "green"),
        "not needed": ("◇", "waived", "dim"),
        "batch": ("◆", "batch", "teal"),
        "poured": ("▼", "poured", "teal"),
        "placed": ("▣", "placed", "tan"),
        "reading": ("●", "reading", "text"),
        "logged": ("∙", "logger", "dim"),
        "timer": ("▸", "timer", "dim"),
        "accepted": ("◇", "accepted", "amber"),
        "note": ("▪", "note", "amber"),
        "photo": ("▫", "photo", "amber"),
        "change": ("↔", "change", "tan"),
        "work": ("◷", "work", "dim"),
        "struck": ("╳", "struck", "red"),
    }
)

_SIGNS = 11
"""Cells for a kind's sign and word."""


@dataclass(frozen=True)
class JournalRow(Row):
    """One line of the journal."""

    entry: Entry = field(kw_only=True)
    units: Units = field(kw_only=True)
    zone: tzinfo | None = field(kw_only=True)

    @property
    def height(self) -> int:
        """One line, so that ten thousand of them are laid out as they come into sight."""
        return 1

    def lines(self, width: int) -> list[Line]:
        """Time, kind, subject, what happened."""
        held = self.entry
        sign, word, role = LOOKS[held.kind]
        when = "no time".ljust(12)
        if held.at is not None:
            here = held.at.astimezone(self.zone)
            when = f"{here.day:>2} {here:%b %H:%M}".ljust(12)
        subject = _column(held.subject or "-", max(8, min(16, width // 6)))
        said: Role = "dim" if held.struck or held.kind in ("timer", "logged", "work") else "text"
        return [
            clipped(
                line(
                    (when, "dim"),
                    (f" {sign} {word}".ljust(_SIGNS), role),
                    (f"{subject} ", "tan"),
                    (held.say(self.units), said),
                ),
                width,
            )
        ]


def _column(text: str, width: int) -> str:
    cut = clipped(line(text), width)
    shown = "".join(part.text for part in cut)
    return shown + " " * (width - sum(len(part.text) for part in cut))
