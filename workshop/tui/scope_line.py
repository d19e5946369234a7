"""The line over the open stage: its name, its part, and how many parts there are."""

from __future__ import annotations

from workshop.tui.lines import Line, spread
from workshop.tui.pane import Pane


class ScopeLine(Pane):
    """Which stage and which part of it is open."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._left: Line = ()
        self._right: Line = ()

    def show(self, left: Line, right: Line) -> None:
        """Show other words."""
        self._left, self._right = left, right
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """One line."""
        return [spread(self._left, self._right, width)]
