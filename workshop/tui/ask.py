"""One line of text, asked for over the screen: a reason, a note."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Label


class Ask(ModalScreen[str | None]):
    """Asks one thing; dismisses with the text, or None when left."""

    CSS_PATH = "ask.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "Leave")]

    def __init__(self, question: str, about: str, first: str = "", hint: str = "") -> None:
        super().__init__()
        self._question, self._about, self._first, self._hint = question, about, first, hint

    def compose(self) -> ComposeResult:
        """Question, what it is about, the field."""
        with Vertical(id="ask"):
            yield Label(Content(self._question), classes="question")
            if self._about:
                yield Label(Content(self._about), classes="about")
            yield Input(self._first, id="answer")
            yield Label(Content(self._hint or "enter keeps it   escape leaves"), classes="hint")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Done; an empty answer is no answer."""
        event.stop()
        self.dismiss(event.value.strip() or None)

    def action_leave(self) -> None:
        """Leave without an answer."""
        self.dismiss(None)
