"""The screen of one build: what runs, what is next, what is about to go wrong."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import tzinfo
from pathlib import Path as FilePath
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Key, Resize
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input, Label, Static
from textual.worker import Worker

from workshop.clock import Clock
from workshop.plan import Answer, Plan, PlannedFinding, StagePlan, plan, rested_on
from workshop.project import changes
from workshop.project.faults import FileFault, FileFaults
from workshop.project.opened import Opened
from workshop.project.path import NoSuchPlace, Path, spell
from workshop.project.project import Project
from workshop.quantity import Kind, Measure, show, typed_with_unit
from workshop.stages.checklist import Over
from workshop.standing import happening, standing, timer_title
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.ask import Ask
from workshop.tui.detail import detail
from workshop.tui.header_line import HeaderLine, Heading
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, line, spread, wrapped
from workshop.tui.pane import Pane, ScrollPane
from workshop.tui.reader import Reader
from workshop.tui.rows import (
    AcceptedRow,
    AnswerRow,
    CheckRow,
    FigureRow,
    FindingRow,
    GroupRow,
    HeadingRow,
    InputRow,
    Row,
    Scope,
    can_stand_on,
    editable,
    rows,
    scope_for,
    scopes,
)
from workshop.tui.stage_rail import StageRail
from workshop.tui.timer_strip import TimerStrip
from workshop.tui.times import span
from workshop.tui.worksheet import Worksheet

REPEAT = 0.3
"""Two presses of one key within this many seconds are one: a glove bounces."""
RING_EVERY = 5.0


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


class BuildScreen(Screen[None]):
    """Stage rail, the open stage, what stands behind the row under the cursor, and the timers."""

    CSS_PATH = "build_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in BUILD_ACTIONS),
        *(Binding(str(digit), f"stage({digit})", id=f"stage-{digit}", show=False) for digit in range(1, 10)),
    ]

    def __init__(self, path: FilePath, clock: Clock) -> None:
        """Open a project file; raises FileFault or FileFaults."""
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (70, "-middling"), (100, "-wide"), (160, "-vast")]
        self.VERTICAL_BREAKPOINTS = [(0, "-tiny"), (18, "-short"), (30, "-tall")]
        self.opened = Opened(path, clock.wall)
        self.clock = clock
        self._plan = plan(self.opened.project)
        self._draft: Plan | None = None
        self._standing = standing(self._plan, clock.now())
        self._stage = self._standing.stage
        self._scope: dict[str, str] = {self._stage: self._standing.subject}
        self._expanded: frozenset[str] = frozenset()
        self._editing: tuple[Path, Kind | None] | None = None
        self._going = False
        self._pressed: tuple[str, float] = ("", 0.0)
        self._rang = 0.0
        self._save_fault = ""
        self._said_until = 0.0
        self._ticking: Timer | None = None

    # What is shown

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
            yield ScrollPane(id="detail")
        yield Static("", id="message")
        yield TimerStrip(id="timers")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Show the project, then keep the time."""
        self.query_one(KeyRow).show(BUILD_ACTIONS)
        self._show()
        sheet = self.query_one(Worksheet)
        sheet.focus()
        first = next(
            (
                row.key
                for row in sheet.rows
                if isinstance(row, CheckRow) and not row.check.settled and row.ready
            ),
            None,
        )
        if first is not None:
            sheet.stand_on(first)
        self._ticking = self.set_interval(1.0, self._tick)
        self.set_interval(0.2, self._save_when_due)
        if self._standing.ringing:
            self._ring()

    @property
    def plan(self) -> Plan:
        """The plan shown: that of a value half typed, where one is being edited."""
        return self._draft or self._plan

    @property
    def zone(self) -> tzinfo | None:
        """The shop's time zone, None for the system's."""
        shop = self.opened.project.file.shop
        return ZoneInfo(shop.zone) if shop is not None and shop.zone is not None else None

    @property
    def stage(self) -> StagePlan:
        """The open stage."""
        return self.plan.stage(self._stage)

    @property
    def scope(self) -> Scope:
        """The part of the stage that is open."""
        known = scopes(self.stage)
        wanted = self._scope.get(self._stage, "")
        by_path = {scope.path: scope for scope in known}
        if wanted in by_path:
            return by_path[wanted]
        casting = happening(self._plan, self._standing)[0]
        unfinished = [scope for scope in known if scope.done < scope.total] or list(known)
        return next((scope for scope in unfinished if scope.path.split("/")[0] == casting), unfinished[0])

    def _show(self, cursor: str | None = None) -> None:
        """Everything, from the plan and the moment."""
        shown, now = self.plan, self._standing
        self.query_one(StageRail).show(shown, self._stage, self._going)
        stage, scope = self.stage, self.scope
        known = scopes(stage)
        place = [held.path for held in known].index(scope.path) + 1
        left = line((stage.stage.title.upper(), "title"), (f"  {scope.title}", "tan"))
        right = line((f"◂ {place} of {len(known)} ▸", "dim")) if len(known) > 1 else ()
        self.query_one(ScopeLine).show(left, right)
        beside = self.query_one("#detail").display
        listed = rows(stage, now, scope, shown.project, self.zone, self._expanded, cautions=not beside)
        self.query_one(Worksheet).show(listed, cursor)
        self.query_one(TimerStrip).show(now, self.zone)
        self._show_header()

    def _show_header(self) -> None:
        now = self._standing
        project = self.opened.project
        casting, what = happening(self._plan, now)
        if self._save_fault:
            saved: tuple[str, Any] = ("NOT SAVED", "red")
        elif self.opened.unsaved:
            saved = ("saving", "dim")
        else:
            saved = ("saved", "green")
        age = now.shop.age(now.now) if now.shop is not None else now.now - now.now
        self.query_one(HeaderLine).show(
            Heading(
                project.file.project.name or self.opened.path.stem,
                casting,
                what,
                now.shop,
                age,
                project.units,
                *saved,
            )
        )

    def _show_detail(self, row: Row | None) -> None:
        pane = self.query_one("#detail", ScrollPane)
        if pane.display:
            width = max(20, pane.scrollable_content_region.width)
            lines = detail(row, self._standing, self.plan.project.units, self.zone, width)
            cautions = self.stage.stage.cautions
            care = [shown for text in cautions for shown in wrapped(text, width, "dim", indent=2, first=0)]
            pane.show([*lines, (), (), line(("TAKE CARE", "title")), *care])

    def on_resize(self, event: Resize) -> None:
        """What stands behind the row is laid out anew for the new width."""
        self.call_after_refresh(self._show)

    def on_worksheet_moved(self, event: Worksheet.Moved) -> None:
        """Show what stands behind the row."""
        self._show_detail(event.row)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the row under the cursor is enter."""
        self.action_press()

    def on_stage_rail_chosen(self, event: StageRail.Chosen) -> None:
        """A click on a stage opens it."""
        self._open_stage(event.number)

    def say(self, text: str, seconds: float = 6.0) -> None:
        """Words over the timers for a while."""
        message = self.query_one("#message", Static)
        message.update(Content(text))
        message.set_class(True, "-shown")
        self._said_until = time.monotonic() + seconds

    # Time

    def _tick(self) -> None:
        """Once a second: the timers, and what the clock did while nobody looked."""
        slept = self.clock.gap()
        before = {timer.id for timer in self._standing.ringing}
        self._standing = standing(self._plan, self.clock.now())
        self.query_one(TimerStrip).show(self._standing, self.zone)
        self._show_header()
        if self._said_until and time.monotonic() > self._said_until:
            self._said_until = 0.0
            self.query_one("#message", Static).set_class(False, "-shown")
        if slept:
            self._woken(slept.total_seconds())
        new = [timer for timer in self._standing.ringing if timer.id not in before]
        if new or (self._standing.ringing and time.monotonic() - self._rang > RING_EVERY):
            self._ring()

    def _woken(self, seconds: float) -> None:
        ringing = self._standing.ringing
        missed = ", ".join(f"{timer_title(timer.timer).lower()} of {timer.subject}" for timer in ringing)
        if seconds < 0:
            self.say("The computer's clock was set back. Timers go by the clock as it is now.")
        elif missed:
            self.say(f"While the computer slept these rang: {missed}. k quiets them.", 60)
        self._show()

    def _ring(self) -> None:
        self._rang = time.monotonic()
        self.app.bell()

    # Saving

    def _save_when_due(self) -> None:
        if self.opened.due():
            self._save()

    @work(thread=True, exclusive=True, exit_on_error=False, group="save")
    def _save(self) -> str:
        saved = self.opened.save()
        if saved is not None and saved.commented is not None:
            return f"Your file held comments, which are kept in {saved.commented.name}."
        return ""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A save has ended: say what came of it."""
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
            if self.opened.project is not self._plan.project:
                self._replan()
        self._show_header()

    # Doing

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While a value is edited only the field's own keys count."""
        return self._editing is None or action in ("leave_field", "command_palette")

    def _bounced(self, action: str) -> bool:
        """Whether this press repeats the last one within a blink."""
        last, at = self._pressed
        moment = time.monotonic()
        self._pressed = (action, moment)
        return last == action and moment - at < REPEAT

    def act(self, name: str, action: Callable[[Project], Project], cursor: str | None = None) -> bool:
        """Do an action and show what follows; False, with the reason said, where it cannot be."""
        try:
            self.opened.act(name, action)
        except FileFaults as faults:
            self.say(_in_short(faults))
            return False
        except FileFault as fault:
            self.say(str(fault), 30)
            return False
        except NoSuchPlace as gone:
            self.say(f"{gone} is no longer in the file.")
            return False
        self._replan(cursor)
        return True

    def _replan(self, cursor: str | None = None) -> None:
        self._draft = None
        self._plan = plan(self.opened.project)
        self._standing = standing(self._plan, self.clock.now())
        self._show(cursor)

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.query_one(Worksheet).move(steps)

    def action_section(self) -> None:
        """Move the cursor to the next part of the page: findings, to do, numbers, take care."""
        sheet = self.query_one(Worksheet)
        listed = list(sheet.rows)
        heads = [number for number, row in enumerate(listed) if isinstance(row, HeadingRow)]
        here = listed.index(sheet.row) if sheet.row is not None else 0
        start = next((head for head in heads if head > here), -1)
        after = next((row for row in listed[start + 1 :] if can_stand_on(row)), None)
        if after is not None:
            sheet.stand_on(after.key)

    def action_page(self, steps: int) -> None:
        """Open another part of the stage."""
        known = scopes(self.stage)
        place = [held.path for held in known].index(self.scope.path)
        self._scope[self._stage] = known[(place + steps) % len(known)].path
        self._show()
        self.query_one(Worksheet).scroll_home(animate=False)
        self._stand_on_first()

    def _stand_on_first(self) -> None:
        """The cursor goes to the first open check, else to the top."""
        sheet = self.query_one(Worksheet)
        open_checks = [row for row in sheet.rows if isinstance(row, CheckRow) and not row.check.settled]
        ready = [row for row in open_checks if row.ready] or open_checks
        if ready:
            sheet.stand_on(ready[0].key)

    def action_go(self) -> None:
        """The next digit opens a stage."""
        self._going = True
        self.query_one(StageRail).show(self.plan, self._stage, True)
        self.say("Which stage? Press its digit, 1 to 9.")

    def on_key(self, event: Key) -> None:
        """Any key but a digit ends the wait for one. Escape leaves a field."""
        if self._editing is not None:
            if event.key == "escape":
                event.stop()
                self._close_editor()
            return
        if self._going and event.key not in "123456789":
            self._gone()

    def _gone(self) -> None:
        self._going = False
        self.query_one("#message", Static).set_class(False, "-shown")
        self.query_one(StageRail).show(self.plan, self._stage)

    def action_stage(self, number: int) -> None:
        """A digit after g opens a stage; any other digit does nothing.

        A binding like g's own, so that the two are dealt with in order however fast they come.
        """
        if self._going:
            self._gone()
            self._open_stage(number - 1)

    def _open_stage(self, number: int) -> None:
        self._going = False
        self._stage = self.plan.stages[number].stage.id
        self._show()
        self.query_one(Worksheet).scroll_home(animate=False)
        self._stand_on_first()

    def show_subject(self, stage: str, subject: str, cursor: str | None = None) -> None:
        """Open the page of a stage on which a subject stands."""
        self._stage = stage
        self._scope[stage] = scope_for(subject, scopes(self.stage))
        self._show(cursor)

    def show_figure(self, stage: str, answer: Answer, figure: str) -> None:
        """Open a calculator and stand on one of its figures."""
        key = f"{answer.calculator.id}@{answer.subject}"
        self._expanded |= {key}
        self.show_subject(stage, answer.subject, f"figure:{key}:{figure}")

    def action_next_check(self) -> None:
        """Do the check under the cursor, else the next one that waits for nothing."""
        if self._bounced("next_check"):
            return
        row = self.query_one(Worksheet).row
        if isinstance(row, CheckRow) and not row.check.settled:
            self._do(row)
            return
        if isinstance(row, CheckRow) and row.check.again:
            self._do(row)
            return
        ready = [
            held
            for held in self.query_one(Worksheet).rows
            if isinstance(held, CheckRow) and held.ready and not held.check.settled
        ]
        if ready:
            self.query_one(Worksheet).stand_on(ready[0].key)
            self.say("Space once more does this check.", 3)
        else:
            self.say("Nothing here waits to be done. w goes to what is next.")

    def _do(self, row: CheckRow) -> None:
        check, stage, now = row.check, self.stage.stage.id, self.clock.now()
        values = rested_on(self.opened.project, check.check, check.subject)
        timer = check.check.timer
        rule = timer.rule_for(self.opened.project.file, check.subject) if timer is not None else None

        def done(project: Project) -> Project:
            made = changes.check_done(project, stage, check.check.id, check.subject.path, now, values)
            if timer is not None and rule is not None and not self._runs(timer.id, check.subject.path):
                made = changes.timer_started(made, timer.id, rule, check.subject.path, now)
            return made

        following = self._following(row)
        if self.act(f"done: {check.check.text}", done, following):
            if timer is not None and rule is not None:
                self.say(f"{timer.title}: {rule}, from now.")
            elif timer is not None:
                self.say(f"{timer.title}: the time is not known yet, so no timer runs.")
            elif check.waits_for:
                self.say("Done, though something before it is still open.")

    def _following(self, row: CheckRow) -> str | None:
        """The check on which the cursor stands next: the one below, if it is open."""
        listed = [held for held in self.query_one(Worksheet).rows if isinstance(held, CheckRow)]
        place = [held.key for held in listed].index(row.key)
        return next((held.key for held in listed[place + 1 :] if not held.check.settled), None)

    def _runs(self, timer: str, subject: str) -> bool:
        return any(held.timer == timer and held.subject == subject for held in self._standing.timers)

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

    def action_how(self) -> None:
        """How a figure was worked out, or what stands behind the row."""
        row = self.query_one(Worksheet).row
        if row is None:
            return
        now, units, zone = self._standing, self.plan.project.units, self.zone
        if isinstance(row, AnswerRow) and row.answer.result is not None:
            answer = row.answer
            figures = [
                FigureRow(
                    f"figure:{row.key}:{figure.id}",
                    title=figure.title,
                    value="",
                    answer=answer,
                    figure=figure.id,
                )
                for figure in row.answer.result.figures
            ]

            def lines(width: int) -> list[Line]:
                return [
                    shown for figure in figures for shown in (*detail(figure, now, units, zone, width), ())
                ]
        else:

            def lines(width: int) -> list[Line]:
                return detail(row, now, units, zone, width)

        self.app.push_screen(Reader(lines))

    def action_timer(self) -> None:
        """Start or end the timer of the check under the cursor."""
        if self._bounced("timer"):
            return
        row = self.query_one(Worksheet).row
        if not isinstance(row, CheckRow) or row.check.check.timer is None:
            self.say("Stand on a check that has a timer: it says so at its right.")
            return
        spec, subject, now = row.check.check.timer, row.check.subject, self.clock.now()
        running = next(
            (
                held
                for held in self._standing.timers
                if held.timer == spec.id and held.subject == subject.path
            ),
            None,
        )
        if running is not None:
            if self.act(
                f"ended: {spec.title}", lambda project: changes.timer_ended(project, running.id, now)
            ):
                self.say(f"{spec.title} ended after {span(now - running.started)}.")
            return
        rule = spec.rule_for(self.opened.project.file, subject)
        if rule is None:
            self.say(f"{spec.title}: its time is not known yet. Enter it with the numbers below.")
            return
        if self.act(
            f"started: {spec.title}",
            lambda project: changes.timer_started(project, spec.id, rule, subject.path, now),
        ):
            self.say(f"{spec.title}: {rule}, from now.")

    def action_heard(self) -> None:
        """Quiet the first alarm that rings."""
        if self._bounced("heard"):
            return
        ringing = self._standing.ringing
        if not ringing:
            self.say("Nothing rings.")
            return
        first, now = ringing[0], self.clock.now()
        self.act(
            f"heard: {timer_title(first.timer)}", lambda project: changes.timer_heard(project, first.id, now)
        )

    def action_accept(self) -> None:
        """Accept the finding under the cursor, with a reason."""
        row = self.query_one(Worksheet).row
        if not isinstance(row, FindingRow | AcceptedRow):
            self.say("Stand on a finding to accept it.")
            return
        self._accept(row.same if isinstance(row, FindingRow) else (row.planned,))

    @work
    async def _accept(self, same: tuple[PlannedFinding, ...]) -> None:
        finding = same[0].finding
        units = self.opened.project.units

        def accept(reason: str) -> bool:
            now = self.clock.now()

            def accepted(project: Project) -> Project:
                for planned in same:
                    held = planned.finding
                    value = show(held.value.value, held.value.kind, units) if held.value is not None else None
                    project = changes.finding_accepted(
                        project, held.rule, planned.subject, reason, now, value, held.level.value
                    )
                return project

            return self.act("accepted a finding", accepted)

        await self._asked("Why is this all right?", finding.text.say(units), same[0].reason, accept)

    def action_not_needed(self) -> None:
        """Waive the check under the cursor."""
        row = self.query_one(Worksheet).row
        if isinstance(row, CheckRow) and not row.check.settled:
            self._waive(row)
        else:
            self.say("Stand on an open check that is not needed.")

    @work
    async def _waive(self, row: CheckRow) -> None:
        check, stage = row.check, self.stage.stage.id

        def waive(reason: str) -> bool:
            return self.act(
                f"not needed: {check.check.text}",
                lambda project: changes.check_waived(
                    project, stage, check.check.id, check.subject.path, reason, self.clock.now()
                ),
                self._following(row),
            )

        await self._asked("Why is it not needed?", check.check.text, "", waive)

    @work
    async def action_note(self) -> None:
        """Write a note about what is open."""
        subject = self.scope.path

        def note(text: str) -> bool:
            return self.act("note", lambda project: changes.noted(project, subject, text, self.clock.now()))

        if await self._asked("Note", f"about {subject}", "", note):
            self.say("Noted.")

    async def _asked(self, question: str, about: str, first: str, act: Callable[[str], bool]) -> bool:
        """Ask for a text and act on it; where that cannot be, ask again with the text still there."""
        text = await self.app.push_screen_wait(Ask(question, about, first))
        while text is not None and not act(text):
            why = str(self.query_one("#message", Static).content)
            text = await self.app.push_screen_wait(Ask(question, about, text, why))
        return text is not None

    def action_insert_lift(self) -> None:
        """Insert a lift below the one that is open."""
        if self._bounced("insert_lift"):
            return
        casting, lift = self._lift_here()
        if not casting:
            self.say("Go to a lift first: g 4, then left or right.")
            return
        before = {held.id for held in self.opened.project.file.casting[casting].lifts}
        if self.act("inserted a lift", lambda project: changes.lift_inserted(project, casting, lift)):
            held = self.opened.project.file.casting[casting].lifts
            new = next(row.id for row in held if row.id not in before)
            self.show_subject("lifts", f"{casting}/{new}")
            self.say("A lift was put in. Edit the height it goes to, under Numbers.")

    def _lift_here(self) -> tuple[str, str | None]:
        """The casting and lift that are open; the first casting without lifts where a build has none yet."""
        for check in self.stage.checks:
            if check.subject.path == self.scope.path and check.subject.over is Over.LIFT:
                return check.subject.casting, self.scope.path.rsplit("/", 1)[-1]
        castings = self.opened.project.file.casting
        bare = [id for id, held in castings.items() if not held.lifts]
        return (bare[0], None) if self._stage == "lifts" and bare else ("", None)

    def action_next_open(self) -> None:
        """Go to the next check that waits for nothing."""
        self._standing = standing(self._plan, self.clock.now())
        if not self._standing.next:
            self.say("Nothing waits to be done.")
            return
        check = self._standing.next[0]
        self.show_subject(self._standing.stage, check.subject.path, f"check:{check.key}")

    def action_undo(self) -> None:
        """Take the last action back."""
        if self._bounced("undo"):
            return
        try:
            name = self.opened.undo(self.clock.now())
        except IndexError:
            self.say("Nothing to take back since you opened this project.")
            return
        self._replan()
        self.say(f"Taken back: {name}.")

    def action_keys(self) -> None:
        """All keys."""

        def lines(width: int) -> list[Line]:
            listed: list[Line] = [line(("KEYS", "title")), ()]
            listed += [
                line((action.key_shown.rjust(9), "key"), f"  {action.words}") for action in BUILD_ACTIONS
            ]
            return [*listed, (), line(("    ctrl+p", "key"), "  Every action and every figure by name")]

        self.app.push_screen(Reader(lines))

    @work
    async def action_leave(self) -> None:
        """Save, and back to the list."""
        try:
            self.opened.close()
        except FileFault as fault:
            self.say(f"{fault} It stays open here until it can be saved.", 30)
            return
        self.dismiss(None)

    # Editing

    def action_edit(self) -> None:
        """Edit the value under the cursor where it stands."""
        row = self.query_one(Worksheet).row
        target = self._target(row)
        if target is None:
            self.say(self._why_not(row))
            return
        path, kind, title = target
        held = self.opened.project.at(path)
        typed = (
            held.text
            if isinstance(held, Measure)
            else ""
            if held is None
            else str(changes.value_at(self.opened.project, path))
        )
        self._editing = (path, held.kind if isinstance(held, Measure) else kind)
        place = spell(path)
        example = f", such as {kind.example}" if kind is not None else ""
        self.query_one("#editor-label", Label).update(Content(f"{title}  ·  {place}{example}"))
        field = self.query_one("#editor-input", Input)
        self.query_one("#editor-fault", Label).set_class(False, "-shown")
        self._show_following()
        self.query_one("#editor").set_class(True, "-shown")
        with self.prevent(Input.Changed):
            field.value = typed
        field.action_end()
        field.action_select_all()
        field.focus()
        self.query_one(KeyRow).show_pairs(
            (("enter", "keep"), ("escape", "leave as it was"), ("empty", "unknown again"))
        )
        self.refresh_bindings()

    def _target(self, row: Row | None) -> tuple[Path, Kind | None, str] | None:
        """What `e` edits on a row: the place in the file, the kind of the value, and its name."""
        found = self._place_of(row)
        return found if found is not None and editable(self.opened.project, found[0]) else None

    def _why_not(self, row: Row | None) -> str:
        """Why nothing is edited on this row, and where the value is."""
        found = self._place_of(row)
        if found is not None:
            return f"This rests on {spell(found[0])}, a list that you edit in the file itself."
        if isinstance(row, InputRow | FigureRow):
            return "This is worked out, not entered. Stand on a value marked ›."
        return "Stand on a calculator and press enter to see its values."

    def _place_of(self, row: Row | None) -> tuple[Path, Kind | None, str] | None:
        if isinstance(row, InputRow) and row.path is not None:
            return row.path, row.answer.calculator.field(row.input).kind, row.title
        if isinstance(row, AnswerRow):
            for held in row.answer.calculator.fields:
                source = row.answer.sources.get(held.key)
                if source in row.answer.needs and source is not None and source.paths:
                    return source.paths[0], held.kind, held.title
        if isinstance(row, FindingRow) and row.planned.path is not None:
            return row.planned.path, None, "the value this hangs on"
        return None

    def on_input_changed(self, event: Input.Changed) -> None:
        """Everything follows while typing; a wrong value leaves the last good plan in place."""
        if self._editing is None or event.input.id != "editor-input":
            return
        event.stop()
        try:
            project = self._with_typed(self.opened.project, event.value)
        except (FileFaults, NoSuchPlace) as faults:
            self._fault(_in_short(faults))
            return
        self._fault("")
        self._draft = plan(project)
        self._show()
        self._show_following()

    def _with_typed(self, project: Project, typed: str) -> Project:
        assert self._editing is not None
        path, kind = self._editing
        if not typed.strip():
            return project.without(path) if project.at(path) is not None else project
        return project.with_value(path, self._text(typed, path, kind))

    def _text(self, typed: str, path: Path, kind: Kind | None) -> Any:
        """What goes into the file: the text as typed, bare digits with the unit that was shown."""
        held = self.opened.project.at(path)
        if kind is None:
            return typed.strip()
        value = held.value if isinstance(held, Measure) else None
        if isinstance(held, Measure) and typed.strip() == held.text:
            return changes.value_at(self.opened.project, path)
        return typed_with_unit(typed, value, kind, self.opened.project.units)

    def _show_following(self) -> None:
        """Under the field the calculator's first figures, which lie out of sight on a small terminal."""
        row, units = self.query_one(Worksheet).row, self.plan.project.units
        result = row.answer.result if isinstance(row, InputRow | AnswerRow) else None
        figures = result.figures[:2] if result is not None else ()
        text = "   ".join(f"{figure.title} {figure.text(units)}" for figure in figures)
        self.query_one("#editor-follows", Label).update(Content(text and f"→ {text}"))

    def _fault(self, text: str) -> None:
        label = self.query_one("#editor-fault", Label)
        label.update(Content(text))
        label.set_class(bool(text), "-shown")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep the value, or say what is wrong and stay."""
        if self._editing is None or event.input.id != "editor-input":
            return
        event.stop()
        path, kind = self._editing
        typed = event.value.strip()
        text = self._text(typed, path, kind) if typed else None
        if text is None and self.opened.project.at(path) is None:
            self._close_editor()
            return
        try:
            self.opened.act(
                f"edit of {path[-1]}", lambda project: changes.edited(project, path, text, self.clock.now())
            )
        except (FileFaults, FileFault, NoSuchPlace) as faults:
            self._fault(_in_short(faults))
            return
        self._close_editor()

    def _close_editor(self) -> None:
        self._editing = None
        self.query_one("#editor").set_class(False, "-shown")
        self.query_one(KeyRow).show(BUILD_ACTIONS)
        self.query_one(Worksheet).focus()
        self.refresh_bindings()
        self._replan()


def _in_short(error: Exception) -> str:
    """What is wrong and how to mend it, without the file's name: the maker sees the field."""
    if isinstance(error, FileFaults):
        fault = error.faults[0]
        return f"{fault.what}; {fault.mend}" if fault.mend else fault.what
    return str(error)
