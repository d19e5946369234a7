"""The one line at the top: project, casting, what is happening, the shop's air, whether all is saved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from workshop.quantity import PERCENT, TEMPERATURE, Units, show
from workshop.standing import ShopReading
from workshop.tui.lines import Line, Role, line, spread, width_of
from workshop.tui.pane import Pane
from workshop.tui.times import ago

STALE = timedelta(hours=12)
"""A shop reading older than this is shown in amber: a night lies between."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What the header line says."""

    project: str
    casting: str
    happening: str
    shop: ShopReading | None
    age: timedelta
    units: Units
    saved: str
    saved_role: Role


class HeaderLine(Pane):
    """Drops its least words first where the terminal is narrow."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._heading: Heading | None = None

    def show(self, heading: Heading) -> None:
        """Show other words."""
        self._heading = heading
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """The line at this width."""
        held = self._heading
        if held is None:
            return []
        left = line(
            (held.project, "strong"),
            (f"  {held.casting}" if held.casting else "", "tan"),
            (f"  {held.happening}", "dim"),
        )
        saved = line((held.saved, held.saved_role))
        for right in (self._shop(held, True), self._shop(held, False)):
            whole = (*right, *line("   "), *saved) if right else saved
            if width_of(left) + width_of(whole) + 2 <= width:
                return [spread(left, whole, width)]
        return [spread(left, (*self._shop(held, False), *line("  "), *saved), width)]

    def _shop(self, held: Heading, whole: bool) -> Line:
        if held.shop is None:
            return line(("shop not read yet", "dim"))
        stale: Role = "amber" if held.age > STALE else "dim"
        warm = (
            show(held.shop.temperature, TEMPERATURE, held.units) if held.shop.temperature is not None else ""
        )
        damp = show(held.shop.humidity, PERCENT, held.units) if held.shop.humidity is not None else ""
        parts = [("shop ", "dim"), (warm, "text"), (" " + damp, "text")]
        if whole:
            parts.append((f"  {ago(held.age)}", stale))
        elif held.age > STALE:
            parts.append((" old", "amber"))
        return line(*parts)  # type: ignore[arg-type]
