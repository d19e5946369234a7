"""The view for across the room: the nearest deadline as large as the terminal allows, and little else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import tzinfo
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from workshop.figures import Level
from workshop.plan import Plan
from workshop.quantity import PERCENT, TEMPERATURE, Units, show
from workshop.standing import Standing, at_zero, timer_title
from workshop.tui.lines import Line, Role, Span, clipped, line, width_of, wrapped
from workshop.tui.pane import Pane
from workshop.tui.tall_digits import digits, largest
from workshop.tui.times import ago, countdown, moment


def across(
    plan: Plan, now: Standing, zone: tzinfo | None, width: int, height: int, quiet: str | None = None
) -> list[Line]:
    """The lines of the view: stop, timer, digits, what to do at zero, the second timer, the shop.

    `quiet` is the time of day until which the alarm is not heard.
    """
    units = plan.project.units
    top = _stop(plan, units, width)
    foot = _foot(now, units, zone, width)
    if quiet is not None:
        foot = [clipped(line((f" quiet until {quiet}", "amber")), width), *foot]
    timers = [timer for timer in now.timers if timer.deadline is not None]
    if not timers or timers[0].deadline is None:
        middle = [_centred(line(("No timer runs", "strong")), width)]
    else:
        first, deadline = timers[0], timers[0].deadline
        role: Role = "red" if first.ringing else "strong"
        name = deadline.state or timer_title(first.timer)
        when = moment(deadline.at, now.now, zone)
        late = "LATE since" if first.ringing else "at"
        text = countdown(first.left(now.now))
        room = height - len(top) - len(foot) - 4
        rows = digits(text, largest(text, width - 4, max(3, room)))
        middle = [
            _centred(line((name[:1].upper() + name[1:], "strong"), (f"  {first.subject}", "tan")), width),
            (),
            *(_centred((Span(row, role),), width) for row in rows),
            (),
            _centred(
                line(
                    (f"{late} {when}: ", role if first.ringing else "dim"),
                    at_zero(first.timer, deadline.state),
                ),
                width,
            ),
        ]
    gap = max(0, height - len(top) - len(middle) - len(foot))
    return [*top, *([()] * (gap // 2)), *middle, *([()] * (gap - gap // 2)), *foot]


def _stop(plan: Plan, units: Units, width: int) -> list[Line]:
    stops = [held for held in plan.findings if held.finding.level is Level.STOP and not held.accepted]
    if not stops:
        return []
    text = f"■ STOP  {stops[0].subject}: {stops[0].finding.text.say(units)}"
    return wrapped(text, width - 2, "red", indent=1)


def _foot(now: Standing, units: Units, zone: tzinfo | None, width: int) -> list[Line]:
    lines: list[Line] = []
    for timer in [held for held in now.timers if held.deadline is not None][1:2]:
        assert timer.deadline is not None
        name = timer.deadline.state or timer_title(timer.timer)
        role: Role = "red" if timer.ringing else "text"
        lines.append(
            line(
                (f" {countdown(timer.left(now.now))}  ", role),
                (f"{name}  {timer.subject}", "text"),
                (f"  at {moment(timer.deadline.at, now.now, zone)}", "dim"),
            )
        )
    if now.shop is None:
        lines.append(line((" shop not read yet", "dim")))
    else:
        warm = "" if now.shop.temperature is None else show(now.shop.temperature, TEMPERATURE, units)
        damp = "" if now.shop.humidity is None else show(now.shop.humidity, PERCENT, units)
        lines.append(line((f" shop {warm} {damp}", "text"), (f"  read {ago(now.shop.age(now.now))}", "dim")))
    return [clipped(held, width) for held in lines]


def _centred(spans: Line, width: int) -> Line:
    cut = clipped(spans, width)
    return (Span(" " * max(0, (width - width_of(cut)) // 2)), *cut)


class AcrossPane(Pane):
    """Draws what `source` says now."""

    def __init__(self, source: Callable[[int, int], list[Line]]) -> None:
        super().__init__()
        self._source = source

    def content(self, width: int, height: int) -> list[Line]:
        """The view at this size."""
        return self._source(width, height)


class AcrossScreen(Screen[None]):
    """Stands over the build until any of its keys is pressed; the build below goes on keeping the time."""

    CSS_PATH = "across_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,space", "leave", "Back"),
        Binding("q", "leave", "Back", id="leave"),
        Binding("v", "leave", "Back", id="across"),
        Binding("k", "heard", "Quiet the alarm", id="heard"),
    ]

    def __init__(self, source: Callable[[int, int], list[Line]], heard: Callable[[], None]) -> None:
        super().__init__()
        self._source, self._heard = source, heard

    def compose(self) -> ComposeResult:
        """One pane."""
        yield AcrossPane(self._source)

    def on_mount(self) -> None:
        """Repaint once a second."""
        self.set_interval(1.0, self.query_one(AcrossPane).refresh)

    def action_heard(self) -> None:
        """Quiet the alarm that rings."""
        self._heard()
        self.query_one(AcrossPane).refresh()

    def action_leave(self) -> None:
        """Back to the build."""
        self.dismiss(None)
