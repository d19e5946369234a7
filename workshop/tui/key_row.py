"""The footer: the keys that do something here."""

from __future__ import annotations

from collections.abc import Iterable

from workshop.tui.actions import Action
from workshop.tui.lines import Line, Span, width_of
from workshop.tui.pane import Pane

_GAP = Span("  ")


class KeyRow(Pane):
    """Keys with one word each, in as many lines as the pane has; a message takes their place for a while."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._pairs: tuple[tuple[str, str], ...] = ()

    def show(self, actions: Iterable[Action]) -> None:
        """Show these actions' keys."""
        self._pairs = tuple((action.key_shown, action.short) for action in actions if action.short)
        self.refresh()

    def show_pairs(self, pairs: Iterable[tuple[str, str]]) -> None:
        """Show other keys, such as those of a field."""
        self._pairs = tuple(pairs)
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """The keys, broken between pairs."""
        lines: list[Line] = []
        held: Line = ()
        for key, word in self._pairs:
            pair = (Span(key, "key"), Span(f" {word}", "dim"))
            joined = (*held, Span("  "), *pair) if held else pair
            if held and width_of(joined) > width:
                lines.append(held)
                joined = pair
            held = joined
        return [*lines, held]
