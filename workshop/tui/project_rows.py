"""The rows of the list of projects: a project at a glance, and what is said between them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

from workshop.project.faults import FileFault
from workshop.project.folder import Entry
from workshop.tui.glance import Glance, deadline
from workshop.tui.lines import Line, Role, Span, line, spread, width_of, wrapped
from workshop.tui.rows import HeadingRow, Row, TextRow
from workshop.tui.times import span


@dataclass(frozen=True)
class ProjectRow(Row):
    """One project file. `glance` is None until the whole file was read."""

    entry: Entry = field(kw_only=True)
    touched: str = field(kw_only=True)
    archived: bool = field(kw_only=True)
    glance: Glance | None = field(kw_only=True)
    due: Line = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Name and when it was last touched; what is in work and its deadline; what to do next."""
        word = "  archived" if self.archived else ""
        if self.entry.example:
            word += "  example, opened as a copy"
        name: Role = "dim" if self.archived else "strong"
        tag: Role = "dim" if self.archived else "tan"
        head = spread(line((self.entry.name, name), (word, tag)), line((self.touched, "dim")), width)
        fault = self.entry.fault or (self.glance.fault if self.glance is not None else None)
        if fault is not None:
            return [head, *wrapped(in_folder(fault), width, "dim" if self.archived else "amber", indent=2)]
        if self.archived:
            return [head]
        if self.glance is None:
            return [head, line(("  reading", "dim")), ()]
        stage = line((f"  {self.glance.stage}", "teal"))
        shown = [head]
        if width_of(stage) + 2 + width_of(self.due) <= width:
            shown.append(spread(stage, self.due, width))
        else:
            shown += [spread(stage, (), width), spread(line("  ", *self.due), (), width)]
        if self.glance.next:
            first, *rest = wrapped(self.glance.next, width - 8)
            shown += [(*line(("  next: ", "dim")), *first), *((Span(" " * 8), *more) for more in rest)]
        return shown


def in_folder(fault: FileFault) -> str:
    """What is wrong with a file of the folder, without repeating the folder."""
    return str(FileFault(Path(fault.path.name), fault.line, fault.field, fault.what, fault.mend))


@dataclass(frozen=True, slots=True)
class Listed:
    """What the list knows."""

    folder: Path
    entries: tuple[Entry, ...] = ()
    archived: tuple[Entry, ...] = ()
    show_archived: bool = False
    glances: dict[tuple[Path, datetime | None], Glance] = field(default_factory=dict)
    fault: str = ""

    def glance(self, entry: Entry) -> Glance | None:
        """What is known of a project as it was last written."""
        return self.glances.get((entry.path, entry.touched))

    def with_glance(self, entry: Entry, found: Glance) -> Listed:
        """The same, knowing one project more."""
        return replace(self, glances={**self.glances, (entry.path, entry.touched): found})

    @property
    def unread(self) -> tuple[Entry, ...]:
        """Projects that were not looked at yet."""
        return tuple(entry for entry in self.entries if entry.fault is None and self.glance(entry) is None)


def project_rows(listed: Listed, now: datetime) -> tuple[Row, ...]:
    """The rows of the list; a gap between two projects belongs to neither."""
    rows: list[Row] = [HeadingRow("head", "PROJECTS", str(listed.folder))]
    if listed.fault:
        rows += [TextRow("fault-gap", ""), TextRow("fault", listed.fault, "amber", 0)]
    for entry in listed.entries:
        rows += [TextRow(f"gap:{entry.path.name}", ""), _row(listed, entry, now)]
    if not listed.entries and not listed.fault:
        words = "No project here. Press n to begin one: a few questions, each may stay open."
        rows += [TextRow("none-gap", ""), TextRow("none", words, "text", 0)]
    if listed.show_archived:
        rows += [TextRow("archive-gap", ""), HeadingRow("archive", "ARCHIVED", "z brings one back")]
        if not listed.archived:
            rows.append(TextRow("archive-none", "Nothing is archived.", "dim", 0))
        rows += [_row(listed, entry, now, archived=True) for entry in listed.archived]
    return tuple(rows)


def _touched(length: timedelta) -> str:
    """`touched 11 h ago`, no finer than it matters here."""
    if length < timedelta(minutes=1):
        return "touched just now"
    number, unit, *_ = span(length).split()
    return f"touched {number} {unit} ago"


def _row(listed: Listed, entry: Entry, now: datetime, *, archived: bool = False) -> ProjectRow:
    held = None if archived else listed.glance(entry)
    return ProjectRow(
        f"{'archived' if archived else 'project'}:{entry.path.name}",
        entry=entry,
        touched=_touched(now - entry.touched) if entry.touched is not None else "",
        archived=archived,
        glance=held,
        # An example's dates lie long back: its timers ring in the copy, not here.
        due=deadline(held, now) if held is not None and not entry.example else (),
    )
