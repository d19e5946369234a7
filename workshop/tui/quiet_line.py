"""The line over the timers that says why nothing is heard."""

from __future__ import annotations

from workshop.tui.lines import Line, line
from workshop.tui.pane import Pane


class QuietLine(Pane):
    """Stands there only while an alarm would ring and quiet hours keep it still."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._until = ""

    def show(self, until: str | None) -> None:
        """Show until when it is quiet; None where the alarm may be heard, or where there is none."""
        self.set_class(until is not None, "-shown")
        if until is not None and until != self._until:
            self._until = until
            self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """One line."""
        return [line((f"quiet until {self._until}", "amber"), ("  The alarm shows and is not heard.", "dim"))]
