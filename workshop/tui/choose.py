"""One of a few answers, asked for over the screen."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.events import Resize
from textual.screen import ModalScreen
from textual.widgets import Label

from workshop.tui.lines import Line, wrapped
from workshop.tui.rows import Row
from workshop.tui.worksheet import Worksheet


@dataclass(frozen=True)
class ChoiceRow(Row):
    """One answer and what it means."""

    words: str = field(kw_only=True)
    about: str = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """The answer, and under it what it means."""
        return [*wrapped(self.words, width, "strong"), *wrapped(self.about, width, "dim", indent=2)]


class Choose(ModalScreen[str | None]):
    """Asks which; dismisses with the key of the answer, or None when left."""

    CSS_PATH = "choose.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "leave", "Leave"),
        Binding("up", "cursor(-1)", "Up"),
        Binding("down", "cursor(1)", "Down"),
        Binding("enter,space", "take", "Take"),
    ]

    def __init__(self, question: str, about: str, choices: tuple[ChoiceRow, ...]) -> None:
        super().__init__()
        self._question, self._about, self._choices = question, about, choices

    def compose(self) -> ComposeResult:
        """Question, what it is about, the answers."""
        with Vertical(id="ask"):
            yield Label(Content(self._question), classes="question")
            yield Label(Content(self._about), classes="about")
            yield Worksheet(id="choices")
            yield Label(Content("↑ ↓ move   enter takes it   escape leaves"), classes="hint")

    def on_mount(self) -> None:
        """The first answer is under the cursor."""
        self.query_one(Worksheet).focus()

    def on_resize(self, event: Resize) -> None:
        """Lay the answers out for the width there is."""
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        sheet = self.query_one(Worksheet)
        width = max(10, sheet.scrollable_content_region.width - 2)
        sheet.styles.height = sum(len(row.lines(width)) for row in self._choices)
        sheet.show(self._choices)

    def action_cursor(self, steps: int) -> None:
        """Move to another answer."""
        self.query_one(Worksheet).move(steps)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the answer under the cursor takes it."""
        event.stop()
        self.action_take()

    def action_take(self) -> None:
        """Take the answer under the cursor."""
        row = self.query_one(Worksheet).row
        if row is not None:
            self.dismiss(row.key)

    def action_leave(self) -> None:
        """Leave without an answer."""
        self.dismiss(None)
