"""Coming back: a page with what was done last, what happened meanwhile, and what comes next."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from workshop.figures import Level
from workshop.meanwhile import old
from workshop.quantity import Units
from workshop.returning import Return, Target
from workshop.returning import Row as ReturnRow
from workshop.tui.actions import Action
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, Span, line, wrapped
from workshop.tui.rows import LEVEL_LOOK, HeadingRow, Row, TextRow, can_stand_on
from workshop.tui.scope_line import ScopeLine
from workshop.tui.worksheet import Worksheet

RETURN_ACTIONS: Final = (
    Action("cursor(-1)", "up", "", "One row up", True, "↑"),
    Action("cursor(1)", "down", "move", "One row down", True, "↑ ↓"),
    Action("cursor(-10)", "pageup", "", "Ten rows up", True, "page up"),
    Action("cursor(10)", "pagedown", "", "Ten rows down", True, "page down"),
    Action("choose", "enter", "go there, or read it again", "Go to where the row leads"),
    Action("leave", "q", "to the build", "To the build"),
)

_READ_AGAIN: Final = "Read again"
_MARK: Final = 7
"""Cells for a sign and its word."""


@dataclass(frozen=True)
class BackRow(Row):
    """One row of the page."""

    held: ReturnRow = field(kw_only=True)
    units: Units = field(kw_only=True)
    reading: bool = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """A sign and word where it warns, and the sentence."""
        glyph, word, role = LEVEL_LOOK[self.held.level]
        word = "old" if self.reading else word
        mark = Span(f"{glyph} {word}".ljust(_MARK), role)
        if self.held.level is Level.NOTE:
            mark = Span("▸".ljust(_MARK), "dim")
        first, *rest = wrapped(self.held.say(self.units), width - _MARK)
        gap = Span(" " * _MARK)
        return [(mark, *first), *((gap, *more) for more in rest)]


class ReturnScreen(Screen[Target | None]):
    """Dismisses with where the row chosen leads, None for the build as it is."""

    CSS_PATH = "return_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in RETURN_ACTIONS),
        Binding("escape,o", "leave", "To the build"),
    ]

    def __init__(self, project: str, held: Return, units: Units) -> None:
        """`project` is its name."""
        super().__init__()
        self._project, self._return, self._units = project, held, units

    def compose(self) -> ComposeResult:
        """Heading, sections, keys."""
        yield ScopeLine(id="return-head")
        yield Worksheet(id="return")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Show the page from its top."""
        self.query_one(KeyRow).show(RETURN_ACTIONS)
        away = f"away for {old(self._return.away)}" if self._return.since is not None else "so far"
        self.query_one(ScopeLine).show(line((self._project, "strong"), (f"  {away}", "tan")), ())
        rows = self._rows()
        sheet = self.query_one(Worksheet)
        sheet.focus()
        sheet.show(rows)

    def renew(self, held: Return) -> None:
        """Show the page anew: more is known by now."""
        self._return = held
        self.query_one(Worksheet).show(self._rows())

    def _rows(self) -> tuple[Row, ...]:
        rows: list[Row] = []
        for title, held in self._return.sections:
            rows.append(HeadingRow(f"head:{title}", title.upper(), _MORE.get(title, "")))
            rows += [
                BackRow(f"{title}:{number}", held=row, units=self._units, reading=title == _READ_AGAIN)
                for number, row in enumerate(held)
            ]
        if not any(can_stand_on(row) for row in rows):
            rows.append(TextRow("none", "Nothing happened yet, and nothing waits.", "text", 0))
        return tuple(rows)

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.query_one(Worksheet).move(steps)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the row under the cursor goes there."""
        self.action_choose()

    def action_choose(self) -> None:
        """Go to where the row leads."""
        row = self.query_one(Worksheet).row
        self.dismiss(row.held.target if isinstance(row, BackRow) else None)

    def action_leave(self) -> None:
        """To the build."""
        self.dismiss(None)


_MORE: Final = {_READ_AGAIN: "enter types it anew"}
