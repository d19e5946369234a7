"""A note: free text, or one of the phrases that a maker writes again and again."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key, Resize
from textual.widgets import Input, Label

from workshop.tui.ask import Ask
from workshop.tui.lines import Line, Span, clipped, plain
from workshop.tui.pane import ScrollPane

LETTERS = "abcdefghijklmnopqrstuvwxyz"
MARGIN = 11
"""Lines that stay free above, below and inside the frame."""


class NoteScreen(Ask):
    """Asks for a note. The arrows go down to the phrases, of which enter or its letter puts one in."""

    CSS_PATH: ClassVar[list[str]] = ["ask.tcss", "note_screen.tcss"]  # type: ignore[assignment]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "phrase(1)", "The next phrase"),
        Binding("up", "phrase(-1)", "The phrase before, and back to the text"),
        Binding("enter", "insert", "Put the phrase in"),
    ]

    def __init__(self, about: str, phrases: tuple[str, ...], first: str = "", hint: str = "") -> None:
        """`phrases` come likeliest first."""
        super().__init__("Note", about, first, hint)
        self._phrases = phrases
        self._at: int | None = None

    def compose(self) -> ComposeResult:
        """The field, the phrases under it, keys."""
        with Vertical(id="ask"):
            yield Label(Content(self._question), classes="question")
            yield Label(Content(plain(self._about)), classes="about")
            yield Input(self._first, id="answer", select_on_focus=False)
            yield ScrollPane(id="phrases")
            yield Label("", classes="hint", id="note-keys")

    def on_mount(self) -> None:
        """Stand in the field."""
        self.query_one("#phrases", ScrollPane).can_focus = False
        self.set_focus(self.query_one(Input))

    def on_resize(self, event: Resize) -> None:
        """Lay the phrases out for the room there is."""
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        pane = self.query_one("#phrases", ScrollPane)
        width = max(20, pane.scrollable_content_region.width)
        lines: list[Line] = []
        for number, (letter, text) in enumerate(zip(LETTERS, self._phrases, strict=False)):
            here = number == self._at
            mark = Span("▐ " if here else "  ", "teal")
            sign = Span("· ", "dim") if self._at is None else Span(f"{letter} ", "key")
            lines.append(clipped((mark, sign, Span(text, "strong" if here else "text")), width))
        pane.styles.height = min(len(lines), max(2, self.size.height - MARGIN))
        pane.show(lines)
        if self._at is not None:
            pane.scroll_to(y=max(0, self._at - 2), animate=False)
        keys = "enter keeps it   ↓ phrases   escape leaves"
        if self._at is not None:
            keys = "its letter or enter puts it in   ↑ to the text   escape leaves"
        self.query_one("#note-keys", Label).update(Content(self._hint or keys))

    def action_phrase(self, steps: int) -> None:
        """Go down to the phrases, through them, and back up to the text."""
        if not self._phrases:
            return
        place = (-1 if self._at is None else self._at) + steps
        if place < 0:
            self._to_text()
            return
        self._at = min(place, len(self._phrases) - 1)
        self.set_focus(None)
        self._show()

    def _to_text(self) -> None:
        self._at = None
        self.set_focus(self.query_one(Input))
        self._show()

    def on_key(self, event: Key) -> None:
        """Among the phrases a letter puts its phrase in."""
        if self._at is None or event.character is None or not event.is_printable:
            return
        event.stop()
        place = LETTERS.find(event.character)
        if 0 <= place < len(self._phrases):
            self._put(self._phrases[place])

    def action_insert(self) -> None:
        """Put the phrase under the cursor into the text."""
        if self._at is not None:
            self._put(self._phrases[self._at])

    def _put(self, phrase: str) -> None:
        field = self.query_one(Input)
        field.value = f"{field.value.rstrip()} {phrase}".strip()
        self._to_text()
        field.action_end()
