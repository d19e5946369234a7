"""The rows of the readings that may be taken: what was last read, and what stands in their fields."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from workshop.likeliest import Wanted
from workshop.tui.lines import Line, Role, Span, clipped, line, spread, width_of
from workshop.tui.rows import Row

PLACED = ("moisture", "depth", "height", "thickness")
"""Readings that are taken at several places of one thing."""


def fields_of(key: str) -> tuple[str, ...]:
    """The fields of a kind of reading: its value, and where it was taken where that is asked."""
    if key == "moisture":
        return ("value", "place", "deep")
    return ("value", "place") if key in PLACED else ("value",)


@dataclass(frozen=True)
class ReadingRow(Row):
    """One reading that may be taken: what was last read, and what stands in its fields now."""

    wanted: Wanted = field(kw_only=True)
    age: str = field(kw_only=True)
    shown: Mapping[str, tuple[str, bool]] = field(kw_only=True)
    """By field: its text, and whether it was touched."""
    active: str = field(kw_only=True, default="")
    """The field in which the maker stands, empty where on another row."""
    column: int = field(kw_only=True, default=10)
    """Cells for the subject."""

    def lines(self, width: int) -> list[Line]:
        """What is read of what, its value, and how old the last one is; a second line for where."""
        held = self.wanted
        column = min(self.column, width // 4)
        subject = clipped(line((held.subject, "tan")), column)
        title = line((held.title, "strong" if self.active else "text"))
        left = clipped((*subject, Span(" " * (column + 2 - width_of(subject))), *title), width - 26)
        room = max(12, min(column + 25, width - 26))
        value = (*left, Span(" " * max(1, room + 1 - width_of(left))), *self._field("value", "—"))
        lines = [spread(value, line((self.age, "dim")), width)]
        if self.active:
            for where, word in (("place", "at "), ("deep", "pins ")):
                if where in self.shown:
                    words = word.rjust(room + 1)
                    lines.append(clipped((Span(words, "dim"), *self._field(where, "any place")), width))
        return lines

    def _field(self, name: str, empty: str) -> Line:
        text, touched = self.shown[name]
        if self.active != name:
            role: Role = "teal" if touched else "text" if self.active else "dim"
            return line((text or ("" if touched else empty), role))
        if touched:
            return line((text, "strong"), ("█", "key"))
        return line(("◂ ", "key"), (text or empty, "strong"), (" ▸", "key"))


@dataclass(frozen=True)
class MoreRow(Row):
    """Every other reading of what is open."""

    subject: str = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """What enter does."""
        return [clipped(line(("▸ ", "key"), (f"every other reading of {self.subject}", "text")), width)]
