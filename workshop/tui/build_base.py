"""What every part of the build screen stands on: the open project, its plan, and showing both."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import tzinfo
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any, cast
from zoneinfo import ZoneInfo

from textual import work
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Static
from textual.worker import get_current_worker

from workshop.calculator import CalculatorInputs
from workshop.clock import Clock
from workshop.lift_states import MODEL, cure_answers, lift_states, not_yet
from workshop.moved_deadlines import moved_deadlines
from workshop.plan import Answer, Plan, StagePlan, plan
from workshop.project.checking_off import is_poured
from workshop.project.faults import FileFault, FileFaults
from workshop.project.opened import Opened
from workshop.project.path import NoSuchPlace, Path
from workshop.project.project import Project
from workshop.project.timers import NONE_KNOWN, LiftStates
from workshop.quantity import Kind
from workshop.standing import happening, standing
from workshop.tui.ask import Ask
from workshop.tui.cure_detail import lifts_lines, moves_lines
from workshop.tui.detail import detail
from workshop.tui.header_line import HeaderLine, Heading
from workshop.tui.lines import Line, line
from workshop.tui.reader import Reader
from workshop.tui.rows import (
    AnswerRow,
    InputRow,
    Row,
    Scope,
    rows,
    scope_for,
    scopes,
)
from workshop.tui.scope_line import ScopeLine
from workshop.tui.side_column import LiftBeside, SideColumn
from workshop.tui.stage_rail import StageRail
from workshop.tui.timer_strip import TimerStrip
from workshop.tui.worksheet import Worksheet

if TYPE_CHECKING:
    from workshop.cure_inputs import CureInputs
    from workshop.trade.lift_moves import Move

REPEAT = 0.3
"""Two presses of one key within this many seconds are one: a glove bounces."""

MOVED_FOR = 30.0
"""s for which a deadline that moved is said."""


class BuildBase(Screen[None]):
    """A project that is open, the page of it that is shown, and acting on it."""

    class WorkedOut(Message):
        """A worker has made the plan of a project."""

        def __init__(self, plan: Plan) -> None:
            super().__init__()
            self.plan = plan

    class LeversFound(Message):
        """A worker has found what moves a lift's hot peak most."""

        def __init__(self, inputs: CalculatorInputs, moves: tuple[Move, ...]) -> None:
            super().__init__()
            self.inputs, self.moves = inputs, moves

    def __init__(self, path: FilePath, clock: Clock) -> None:
        """Open a project file; raises FileFault or FileFaults."""
        super().__init__()
        widths = {0: "-slim", 70: "-middling", 100: "-wide", 120: "-broad", 160: "-vast"}
        self.HORIZONTAL_BREAKPOINTS = list(widths.items())
        self.VERTICAL_BREAKPOINTS = [(0, "-tiny"), (18, "-short"), (30, "-tall")]
        self.opened = Opened(path, clock.wall)
        self.clock = clock
        # Checks alone at first: the figures come once the screen is painted.
        self._plan = plan(self.opened.project, {})
        self._draft: Plan | None = None
        self._figured = False
        self._states: LiftStates = not_yet(self.opened.project.file)
        self._standing = standing(self._plan, clock.now(), self._states)
        self._whole: Plan | None = None
        self._settled = False
        self._said = ""
        self._moved, self._moved_until = "", 0.0
        self._levers: dict[CalculatorInputs, tuple[Move, ...]] = {}
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
        in_work = self._standing.subject
        if self._stage == self._standing.stage and in_work in by_path:
            return by_path[in_work]
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
        beside = self.query_one(SideColumn).display
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
        side = self.query_one(SideColumn)
        if side.display:
            project = self.plan.project
            width = side.width_of_words
            more = self._more(row, width)
            lines = detail(row, self._standing, project.units, self.zone, width, more)
            side.show(project, self._casting, lines, self.stage.stage.cautions, self._lift_beside)

    def _more(self, row: Row | None, width: int) -> list[Line]:
        """Beside the cure of a lift: all lifts of its casting, and what moves its peak most."""
        if not isinstance(row, AnswerRow | InputRow) or row.answer.calculator.id != MODEL:
            return []
        answer, units = row.answer, self.plan.project.units
        lines = lifts_lines(self.plan, answer.subject.partition("/")[0], width)
        if isinstance(row, AnswerRow) and answer.inputs is not None and answer.result is not None:
            found = self._levers.get(answer.inputs)
            if found is None and not answer.pending:
                self.find_levers(answer.inputs)
            lines += [(), *moves_lines(found, units, width)]
        return lines

    @work(thread=True, exclusive=True, exit_on_error=False, group="levers")
    def find_levers(self, inputs: CalculatorInputs) -> None:
        """What moves a lift's hot peak most: some seconds' work, done while its row is looked at."""
        from workshop.cure_course import levers_of
        from workshop.cure_inputs import CureInputs

        depth = getattr(inputs, "depth", None)
        if isinstance(inputs, CureInputs) and depth is not None:
            self.post_message(self.LeversFound(inputs, levers_of(inputs, depth)))

    def on_build_base_levers_found(self, event: LeversFound) -> None:
        """Show them where their row is still looked at."""
        event.stop()
        self._levers[event.inputs] = event.moves
        self._show_detail(self.query_one(Worksheet).row)
        if isinstance(self.app.screen, Reader):
            self.app.screen.renew()

    @property
    def _lift_beside(self) -> LiftBeside | None:
        """The lift whose page is open, with what its chart needs; None on other pages."""
        if self._stage != "lifts":
            return None
        path = self.scope.path
        answer = next((held for held in cure_answers(self.plan) if held.subject == path), None)
        if answer is None or answer.inputs is None or answer.result is None:
            return None
        file = self.plan.project.file
        casting, _, lift = path.partition("/")
        names = [held.id for held in file.casting[casting].lifts]
        poured = is_poured(file, path)
        return LiftBeside(
            path,
            cast("CureInputs", answer.inputs),
            getattr(answer.inputs, "depth", 0.0),
            not answer.pending,
            tuple(names[: names.index(lift)]),
            (self._standing.now - poured).total_seconds() if poured is not None else None,
        )

    @property
    def _casting(self) -> str:
        """The casting that is looked at: that of the page, else the one in work, else the first."""
        castings = self.opened.project.file.casting
        here = self.scope.path.split("/")[0]
        in_work = happening(self._plan, self._standing)[0]
        return next((id for id in (here, in_work, *castings) if id in castings), "")

    def say(self, text: str, seconds: float = 6.0) -> None:
        """Words over the timers for a while; a deadline that moved is said with them, lest it be missed."""
        self._said = text
        if self._moved:
            self._moved_until = self._moved_until or time.monotonic() + MOVED_FOR
            if time.monotonic() < self._moved_until:
                text, seconds = f"{text} {self._moved}".strip(), max(seconds, MOVED_FOR)
            else:
                self._moved = ""
        message = self.query_one("#message", Static)
        message.update(Content(text))
        message.set_class(True, "-shown")
        self._said_until = time.monotonic() + seconds

    @property
    def message(self) -> str:
        """What was said last."""
        return str(self.query_one("#message", Static).content)

    def act(self, name: str, action: Callable[[Project], Project], cursor: str | None = None) -> bool:
        """Do an action and show what follows; False, with the reason said, where it cannot be."""
        fault = self.tried(name, action, cursor)
        if fault:
            self.say(fault, 30)
        return not fault

    def tried(self, name: str, action: Callable[[Project], Project], cursor: str | None = None) -> str:
        """Do an action and show what follows; why not, where it cannot be, else nothing."""
        try:
            self.opened.act(name, action)
        except FileFaults as faults:
            return in_short(faults)
        except NoSuchPlace as gone:
            return f"{gone} is no longer in the file."
        except (FileFault, ValueError) as fault:
            return str(fault)
        self._replan(cursor)
        return ""

    def _replan(self, cursor: str | None = None) -> None:
        self._draft = None
        self._plan = plan(self.opened.project, defer=True)
        self._now_known()
        self._show(cursor)
        if self._plan.pending:
            self.work_out(self.opened.project)

    @work(thread=True, exclusive=True, exit_on_error=False, group="plan")
    def work_out(self, project: Project) -> None:
        """The figures of a project: first those that are there at once, then those that take long."""
        worker = get_current_worker()
        made = plan(project, defer=True)
        while not worker.is_cancelled:
            self.post_message(self.WorkedOut(made))
            if not made.pending:
                return
            made = plan(project)

    def on_build_base_worked_out(self, event: WorkedOut) -> None:
        """Show figures that came, unless the project has changed since they were asked for."""
        event.stop()
        made = event.plan
        if self._draft is not None and self._draft.project is made.project:
            self._draft = made
        elif self.opened.project is made.project:
            self._plan = made
        else:
            return
        self._now_known()
        self._show()
        if not self._figured:
            self._figured = True
            self.first_figures()

    def figures_failed(self) -> None:
        """Without figures the timers go by the resin's sheet."""
        if not self._settled:
            self._settled, self._states = True, NONE_KNOWN

    def _now_known(self) -> None:
        """Let the timers go by what is known of the lifts; say which deadline has moved, and why.

        While the figures of a lift are still to come its timers go by those it had.
        """
        now, before = self.clock.now(), self._states
        self._states = lift_states(self._plan, before)
        self._standing = standing(self._plan, now, self._states)
        if self._plan.pending:
            return
        if not self._settled:
            self._settled = True
            self.all_figures()
        last, self._whole = self._whole, self._plan
        if last is None or last.project is self._plan.project:
            return
        moved = moved_deadlines(last, self._plan, now)
        if moved:
            self._moved, self._moved_until = " ".join(moved), 0.0
            if self.app.screen is self:
                self.say(self._said if time.monotonic() < self._said_until else "")

    def first_figures(self) -> None:
        """What waits for the first figures."""

    def all_figures(self) -> None:
        """What waits until no figure is to come any more, for the first time."""

    def _bounced(self, action: str) -> bool:
        """Whether this press repeats the last one within a blink."""
        last, at = self._pressed
        moment = time.monotonic()
        self._pressed = (action, moment)
        return last == action and moment - at < REPEAT

    async def _asked(self, question: str, about: str, first: str, act: Callable[[str], bool]) -> bool:
        """Ask for a text and act on it; where that cannot be, ask again with the text still there."""
        text = await self.app.push_screen_wait(Ask(question, about, first))
        while text is not None and not act(text):
            why = self.message
            text = await self.app.push_screen_wait(Ask(question, about, text, why))
        return text is not None

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


def in_short(error: Exception) -> str:
    """What is wrong and how to mend it, without the file's name: the maker sees the field."""
    if isinstance(error, FileFaults):
        fault = error.faults[0]
        return f"{fault.what}; {fault.mend}" if fault.mend else fault.what
    return str(error)
