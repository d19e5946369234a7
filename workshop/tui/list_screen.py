"""The list of projects: what there is to open."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from workshop.clock import Clock
from workshop.project.faults import FileFault
from workshop.project.folder import Entry, entries
from workshop.tui.actions import Action
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, line, spread, wrapped
from workshop.tui.rows import HeadingRow, Row, TextRow
from workshop.tui.times import ago
from workshop.tui.worksheet import Worksheet

LIST_ACTIONS = (
    Action("cursor(-1)", "up", "", "One row up", True, "↑"),
    Action("cursor(1)", "down", "move", "One row down", True, "↑ ↓"),
    Action("open", "enter", "open", "Open the project"),
    Action("reload", "r", "look again", "Look into the folder again"),
    Action("app.quit", "q", "leave", "Leave the program"),
)


@dataclass(frozen=True)
class ProjectRow(Row):
    """One project file."""

    entry: Entry = field(kw_only=True)
    now: datetime = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Name and when it was last touched; the file, or what is wrong with it."""
        held = self.entry
        touched = ago(self.now - held.touched) if held.touched is not None else ""
        word = "  example, opened as a copy" if held.example else ""
        head = spread(line((held.name, "strong"), (word, "tan")), line((touched, "dim")), width)
        if held.fault is not None:
            return [head, *wrapped(str(held.fault), width, "amber", indent=2), ()]
        return [head, line((f"  {held.path.name}", "dim")), ()]


class ListScreen(Screen[None]):
    """The projects of a folder, the last touched first."""

    CSS_PATH = "list_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [action.binding() for action in LIST_ACTIONS]

    def __init__(self, folder: Path, clock: Clock) -> None:
        super().__init__()
        self.folder, self.clock = folder, clock

    def compose(self) -> ComposeResult:
        """Heading, rows, keys."""
        with Vertical(id="list"):
            yield Worksheet(id="projects")
        yield Static("", id="message")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Look into the folder."""
        self.query_one(KeyRow).show(LIST_ACTIONS)
        self.query_one(Worksheet).focus()
        self.action_reload()

    def on_screen_resume(self) -> None:
        """Back from a build: it may have changed."""
        if self.is_mounted:
            self.action_reload()

    def action_reload(self) -> None:
        """Look into the folder again."""
        rows: list[Row] = [HeadingRow("head", "PROJECTS", str(self.folder)), TextRow("gap", "")]
        try:
            found = entries(self.folder)
        except FileFault as fault:
            found = ()
            rows.append(TextRow("fault", str(fault), "amber", 0))
        rows += [
            ProjectRow(f"project:{entry.path.name}", entry=entry, now=self.clock.now()) for entry in found
        ]
        if not found:
            rows.append(
                TextRow("none", "No project here yet. Leave with q and type: workshop new NAME", "text", 0)
            )
        self.query_one(Worksheet).show(tuple(rows))

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.query_one(Worksheet).move(steps)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the row under the cursor opens it."""
        self.action_open()

    def action_open(self) -> None:
        """Open the project under the cursor."""
        from workshop.tui.app import WorkshopApp

        row = self.query_one(Worksheet).row
        if isinstance(row, ProjectRow) and isinstance(self.app, WorkshopApp):
            self.app.open_file(row.entry.path)

    def say(self, text: str) -> None:
        """Words over the keys until the next ones."""
        message = self.query_one("#message", Static)
        message.update(Content(text))
        message.set_class(bool(text), "-shown")
