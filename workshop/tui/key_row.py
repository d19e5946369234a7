"""The footer: the keys that do something here."""

from __future__ import annotations

from collections.abc import Iterable

from workshop.tui.actions import Action
from workshop.tui.keymap import in_force
from workshop.tui.lines import Line, Span, width_of
from workshop.tui.pane import Pane

_GAP = Span("  ")


class KeyRow(Pane):
    """Keys with one word each, in as many lines as the pane has; a message takes their place for a while."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._pairs: tuple[tuple[str, str], ...] = ()
        self._least: dict[tuple[str, str], int] = {}

    def show(self, actions: Iterable[Action]) -> None:
        """Show these actions by the keys that they have in this program."""
        held = in_force(self.app, actions)
        self._pairs = tuple((action.key_shown, action.short) for action in held if action.short)
        self._least = {(action.key_shown, action.short): action.least for action in held if action.least}
        self.refresh()

    def show_pairs(self, pairs: Iterable[tuple[str, str]]) -> None:
        """Show other keys, such as those of a field."""
        self._pairs = tuple(pairs)
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """The keys, broken between pairs; where there is no room for all the least of them give way."""
        pairs = list(self._pairs)
        lines = _broken(pairs, width)
        least = sorted((pair for pair in pairs if pair in self._least), key=lambda pair: -self._least[pair])
        for pair in least:
            if len(lines) <= height:
                break
            pairs.remove(pair)
            lines = _broken(pairs, width)
        return lines


def _broken(pairs: list[tuple[str, str]], width: int) -> list[Line]:
    lines: list[Line] = []
    held: Line = ()
    for key, word in pairs:
        pair = (Span(key, "key"), Span(f" {word}", "dim"))
        joined = (*held, _GAP, *pair) if held else pair
        if held and width_of(joined) > width:
            lines.append(held)
            joined = pair
        held = joined
    return [*lines, held]
