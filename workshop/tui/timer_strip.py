"""The running timers along the bottom in tall digits, those that ring first."""

from __future__ import annotations

from datetime import tzinfo

from workshop.project.timers import TimerState
from workshop.standing import CURE_WORDS, Standing, at_zero, timer_title
from workshop.tui.lines import Line, Role, Span, clipped, line, spread, width_of
from workshop.tui.pane import Pane
from workshop.tui.tall_digits import tall
from workshop.tui.times import countdown, moment

CARD = 34
"""The least width of one timer in cells."""


class TimerStrip(Pane):
    """Name, tall digits, and the clock time on which each deadline falls."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._standing: Standing | None = None
        self._zone: tzinfo | None = None

    def show(self, standing: Standing, zone: tzinfo | None) -> None:
        """Show the timers as they stand; with none the strip is one line."""
        self.set_class(not any(timer.deadline for timer in standing.timers), "-idle")
        self._standing, self._zone = standing, zone
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """Cards side by side; those that find no room are counted."""
        if self._standing is None:
            return []
        timers = [timer for timer in self._standing.timers if timer.deadline is not None]
        if not timers:
            return [line(("No timer runs.", "dim"), ("  A check with a timer starts it.", "dim"))]
        room = max(1, width // CARD)
        shown = timers[:room]
        size = width // max(1, min(room, max(len(shown), 1)))
        size = min(size, 48)
        cards = [self._card(timer, size - 4, height) for timer in shown]
        lines: list[Line] = []
        for row in range(height):
            spans: list[Span] = []
            for card, timer in zip(cards, shown, strict=True):
                role: Role = "red" if timer.ringing else "teal"
                text = clipped(card[row] if row < len(card) else (), size - 4)
                gap = size - 2 - width_of(text)
                spans += [Span("▌ " if row < len(card) else "  ", role), *text, Span(" " * max(0, gap))]
            lines.append(tuple(spans))
        if len(timers) > len(shown) and lines:
            more = f"+{len(timers) - len(shown)} more"
            lines[-1] = (*clipped(lines[-1], width - len(more) - 1), Span(" "), Span(more, "dim"))
        return lines

    def _card(self, timer: TimerState, width: int, height: int) -> list[Line]:
        assert self._standing is not None and timer.deadline is not None
        left = timer.left(self._standing.now)
        name = timer.deadline.state or timer_title(timer.timer)
        role: Role = "red" if timer.ringing else "strong"
        when = moment(timer.deadline.at, self._standing.now, self._zone)
        said = (Span("LATE, rings", "red"),) if timer.ringing else line((f"at {when}", "dim"))
        action = at_zero(timer.timer, timer.deadline.state)
        about = action if timer.ringing and height < 5 else timer.subject
        head = spread(line((name[:1].upper() + name[1:], "text"), (f"  {about}", "dim")), said, width)
        then = f"then {action[:1].lower()}{action[1:]}"
        if timer.deadline.state:
            then = f"{CURE_WORDS.get(timer.reached, timer.reached)} now, {then}"
        foot = line((f"since {when}: {action}" if timer.ringing else then, "dim"))
        digits = countdown(left)
        if height < 4:
            return [
                spread(line((digits, role), f" {name}", (f"  {timer.subject}", "dim")), said, width),
                foot,
            ]
        return [head, *((Span(row, role),) for row in tall(digits)), foot]
