"""Lines to read over the screen: how a figure was worked out on a narrow terminal, all keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.screen import ModalScreen

from workshop.tui.lines import Line
from workshop.tui.pane import ScrollPane

MARGIN = 6
"""Lines that stay free above, below and inside the frame."""


class Reader(ModalScreen[None]):
    """Shows what `lines(width)` gives until it is left."""

    CSS_PATH = "reader.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,space,q,h,question_mark", "leave", "Leave"),
        Binding("up", "scroll(-1)", "Up"),
        Binding("down", "scroll(1)", "Down"),
    ]

    def __init__(self, lines: Callable[[int], list[Line]]) -> None:
        super().__init__()
        self._lines = lines

    def compose(self) -> ComposeResult:
        """One pane."""
        with Vertical(id="reader"):
            yield ScrollPane(id="reader-lines")

    def on_resize(self, event: Resize) -> None:
        """Lay the lines out for the width there is."""
        self.call_after_refresh(self._show)

    def renew(self) -> None:
        """Lay the lines out again: what they say has changed."""
        self._show()

    def _show(self) -> None:
        pane = self.query_one(ScrollPane)
        lines = self._lines(max(20, pane.scrollable_content_region.width))
        pane.styles.height = min(len(lines), max(3, self.size.height - MARGIN))
        pane.show(lines)

    def action_scroll(self, steps: int) -> None:
        """Scroll by lines."""
        self.query_one(ScrollPane).scroll_relative(y=steps, animate=False)

    def action_leave(self) -> None:
        """Back to the screen below."""
        self.dismiss(None)
