"""The screen of one build: what runs, what is next, what is about to go wrong."""

from __future__ import annotations

import time
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Key, Resize
from textual.timer import Timer
from textual.widgets import Input, Label, Static
from textual.worker import Worker, WorkerState

from workshop.clock import Clock
from workshop.project.faults import FileFault
from workshop.project.hours import QuietHours
from workshop.settings import quiet_until
from workshop.standing import standing, timer_title
from workshop.tui.across_screen import AcrossScreen, across
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.build_logger import LOOK_EVERY, Logger
from workshop.tui.header_line import HeaderLine
from workshop.tui.key_row import KeyRow
from workshop.tui.keymap import key_of
from workshop.tui.lines import Line
from workshop.tui.quiet_line import QuietLine
from workshop.tui.rows import (
    AnswerRow,
    CheckRow,
    GroupRow,
    InputRow,
)
from workshop.tui.scope_line import ScopeLine
from workshop.tui.side_column import SideColumn
from workshop.tui.stage_rail import StageRail
from workshop.tui.timer_strip import TimerStrip
from workshop.tui.worksheet import Worksheet

RING_EVERY = 5.0
"""Seconds between two rings of an alarm that nobody has heard."""


class BuildScreen(Logger):
    """Stage rail, the open stage, what stands behind the row under the cursor, and the timers."""

    CSS_PATH = "build_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in BUILD_ACTIONS),
        *(Binding(str(digit), f"stage({digit})", id=f"stage-{digit}", show=False) for digit in range(1, 10)),
    ]

    def __init__(self, path: Path, clock: Clock, quiet: QuietHours | None = None) -> None:
        """Open a project file; `quiet` are the maker's own hours, where the shop has none."""
        super().__init__(path, clock)
        self._quiet = quiet
        self._minute = self._standing.now
        self._saving: Timer | None = None

    @property
    def quiet_until(self) -> str | None:
        """The time of day until which no alarm is heard; None where it is."""
        quiet = self.opened.project.file.shop.quiet or self._quiet
        return quiet_until(quiet, self.clock.now(), self.zone)

    def compose(self) -> ComposeResult:
        """Header, three columns, editor, timers, keys."""
        yield HeaderLine(id="header")
        with Horizontal(id="middle"):
            yield StageRail(id="rail")
            with Vertical(id="sheet"):
                yield ScopeLine(id="scope-line")
                yield Worksheet(id="worksheet")
                with Vertical(id="editor"):
                    yield Label("", id="editor-label")
                    yield Input(id="editor-input")
                    yield Label("", id="editor-follows")
                    yield Label("", id="editor-fault")
            yield SideColumn(id="side")
        yield Static("", id="message")
        yield QuietLine(id="quiet")
        yield TimerStrip(id="timers")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Show the project, then keep the time."""
        self.query_one(KeyRow).show(BUILD_ACTIONS)
        self._show()
        sheet = self.query_one(Worksheet)
        sheet.focus()
        self._stand_on_first()
        self._ticking = self.set_interval(1.0, self._tick)
        self._saving = self.set_interval(0.2, self._save_when_due, pause=not self.opened.unsaved)
        self._ring_if_due(at_once=True)
        self.call_after_refresh(self.work_out, self.opened.project)
        self.call_after_refresh(self.look_at_log)
        self.set_interval(LOOK_EVERY, self.look_at_log)

    def on_resize(self, event: Resize) -> None:
        """What stands behind the row is laid out anew for the new width."""
        self.call_after_refresh(self._show)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the row under the cursor is enter."""
        self.action_press()

    def _tick(self) -> None:
        """Once a second: the timers, and what the clock did while nobody looked."""
        slept = self.clock.gap()
        before = {timer.id for timer in self._standing.ringing}
        self._standing = standing(self._plan, self.clock.now(), self._states)
        if self._saving is not None and self.opened.unsaved:
            self._saving.resume()
        self.query_one(TimerStrip).show(self._standing, self.zone)
        new = [timer for timer in self._standing.ringing if timer.id not in before]
        # The header speaks of minutes.
        minute = self._standing.now.replace(second=0, microsecond=0)
        if new or minute != self._minute:
            self._minute = minute
            self._show_header()
        if self._said_until and time.monotonic() > self._said_until:
            self._said_until = 0.0
            self.query_one("#message", Static).set_class(False, "-shown")
        if slept:
            self._woken(slept.total_seconds())
        self._ring_if_due(at_once=bool(new))

    def _woken(self, seconds: float) -> None:
        ringing = self._standing.ringing
        missed = ", ".join(f"{timer_title(timer.timer).lower()} of {timer.subject}" for timer in ringing)
        if seconds < 0:
            self.say("The computer's clock was set back. Timers go by the clock as it is now.")
        elif missed:
            self.say(
                f"While the computer slept these rang: {missed}. {key_of(self.app, 'heard')} quiets them.", 60
            )
        self._show()

    def _ring_if_due(self, at_once: bool = False) -> None:
        """Ring what nobody has heard, again and again; in quiet hours only show it."""
        until = self.quiet_until if self._standing.ringing else None
        self.query_one(QuietLine).show(until)
        # Until all figures are there the bounds of a cure's states are not: its alarm waits for them.
        ringing = [
            timer
            for timer in self._standing.ringing
            if self._settled or timer.deadline is None or not timer.deadline.state
        ]
        if until is not None or not ringing:
            return
        if at_once or time.monotonic() - self._rang > RING_EVERY:
            self._rang = time.monotonic()
            self.app.bell()

    def _show_header(self) -> None:
        """Every action ends here: while something is unsaved, look out for the moment to save it."""
        super()._show_header()
        if self._saving is not None and self.opened.unsaved:
            self._saving.resume()

    def _save_when_due(self) -> None:
        if self.opened.due():
            self._save()
        elif not self.opened.unsaved and self._saving is not None:
            self._saving.pause()

    @work(thread=True, exclusive=True, exit_on_error=False, group="save")
    def _save(self) -> str:
        saved = self.opened.save()
        if saved is not None and saved.commented is not None:
            return f"Your file held comments, which are kept in {saved.commented.name}."
        return ""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A save has ended, or working out: say what came of it."""
        super().on_worker_state_changed(event)
        # One that was put off for a later one, since the project changed meanwhile, has not failed.
        if event.worker.group == "plan" and event.state is WorkerState.ERROR:
            self.figures_failed()
            self.say(f"The figures could not be worked out: {event.worker.error}", 30)
        if event.worker.group != "save" or not event.worker.is_finished:
            return
        error = event.worker.error
        if error is not None:
            if str(error) != self._save_fault:
                self.say(str(error), 30)
            self._save_fault = str(error)
        else:
            self._save_fault = ""
            if event.worker.result:
                self.say(str(event.worker.result), 20)
            if self.opened.project is not self._plan.project and not self.laying:
                self._replan()
        self._show_header()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a value is edited only the field's own keys count."""
        return self._editing is None or action in ("leave_field", "command_palette")

    def on_key(self, event: Key) -> None:
        """Any key but a digit ends the wait for one. Escape leaves a field."""
        if self._editing is not None:
            if event.key == "escape":
                event.stop()
                self._close_editor()
            return
        if self._going and event.key not in "123456789":
            self._gone()

    def action_press(self) -> None:
        """Open a calculator, edit a value, do a check, read a finding."""
        row = self.query_one(Worksheet).row
        if isinstance(row, AnswerRow):
            key = row.key.removeprefix("answer:")
            self._expanded = self._expanded ^ {key}
            self._show(row.key)
        elif isinstance(row, GroupRow):
            self._expanded = self._expanded ^ {row.key}
            self._show(row.key)
        elif isinstance(row, InputRow):
            self.action_edit()
        elif isinstance(row, CheckRow) and not row.check.settled:
            self.action_next_check()
        elif row is not None:
            self.action_how()

    def action_across(self) -> None:
        """The nearest deadline as large as the terminal allows."""

        def source(width: int, height: int) -> list[Line]:
            until = self.quiet_until if self._standing.ringing else None
            return across(self._plan, self._standing, self.zone, width, height, until)

        self.app.push_screen(AcrossScreen(source, self.action_heard))

    @work
    async def action_leave(self) -> None:
        """Save, and back to the list."""
        try:
            self.opened.close()
        except FileFault as fault:
            self.say(f"{fault} It stays open here until it can be saved.", 30)
            return
        self.dismiss(None)
