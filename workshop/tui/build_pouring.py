"""Weighing batches and pouring lifts."""

from __future__ import annotations

from textual import work

from workshop.checking import CHECKLIST
from workshop.project.checking_off import next_lift, sort_of
from workshop.project.doing import (
    STARTED_BY_POURING,
    batch_corrected,
    batch_times,
    batch_weighed,
    next_batch,
    poured,
)
from workshop.project.project import Project
from workshop.project.weighing import USABLE_TIMERS, weighing_of
from workshop.stages.checklist import Over
from workshop.standing import timer_title
from workshop.to_weigh import batches_of, step_of, to_weigh
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.build_editing import Editing
from workshop.tui.keymap import in_force
from workshop.tui.poured_screen import PouredScreen
from workshop.tui.rows import CheckRow, GroupRow
from workshop.tui.times import moment, span
from workshop.tui.weigh_screen import WeighScreen, as_weighed, planned_words
from workshop.tui.worksheet import Worksheet


class Pouring(Editing):
    """The keys of a pour: weigh, mixed, in form, poured."""

    def key_of(self, action: str) -> str:
        """The key of an action as the settings have it."""
        return next(held.key_shown for held in in_force(self.app, BUILD_ACTIONS) if held.id == action)

    def stand_on_check(self, key: str) -> None:
        """Put the cursor on a check of the page, opening the group in which it is folded away."""
        sheet = self.query_one(Worksheet)
        row = f"check:{key}"
        if not any(held.key == row for held in sheet.rows):
            try:
                _stage, check = self._plan.check(key)
            except KeyError:
                return
            folded = [held for held in sheet.rows if isinstance(held, GroupRow) and not held.open]
            own = check.subject.path.rsplit("/", 1)[-1]
            for held in folded:
                batch = held.title.endswith(f" batch {own}")
                if batch if check.subject.over is Over.BATCH else held.title == check.check.group:
                    self._expanded = self._expanded ^ {held.key}
            self._show(row)
        sheet.stand_on(row)

    # Batches

    def action_weigh(self) -> None:
        """Weigh a batch, put one right that is off, or note what comes next with the one under the cursor."""
        if self._bounced("weigh"):
            return
        of = self._weighed_here
        if not of:
            self.say("Go to a lift, a seal coat or a finish coat first: what is open is not weighed.")
            return
        batch = self._batch_here(of)
        step = step_of(self.opened.project, batch) if batch else ""
        if step in ("mixed", "in form"):
            self._note_time(of, batch, step == "mixed")
        else:
            self._weigh(of, batch if step == "correct" else "")

    @property
    def _weighed_here(self) -> str:
        """What a batch would be of: the part of the stage that is open, where one is weighed for it."""
        of, stage = self.scope.path, self._stage
        weighing = weighing_of(self.opened.project.file, of)
        return of if weighing is not None and weighing.stage == stage else ""

    def _batch_here(self, of: str) -> str:
        """The batch under the cursor, else the last one where something is still to be done with it.

        A lift may have several batches on the way: there only one that is off is put before the next.
        """
        row, project = self.query_one(Worksheet).row, self.opened.project
        if isinstance(row, CheckRow) and row.check.subject.over is Over.BATCH:
            return row.check.subject.path.rsplit("/", 1)[-1]
        last = next(reversed(batches_of(project, of)), "")
        step = step_of(project, last) if last else ""
        weighing = weighing_of(project.file, of)
        each = weighing is not None and weighing.each
        return last if step and (step == "correct" or not each) else ""

    @work
    async def _weigh(self, of: str, batch: str) -> None:
        """Ask for A and B; those of a batch that is off, where one is named."""
        project, first, fault = self.opened.project, ("", ""), ""
        held = project.file.record.batch[batch] if batch else None
        if held is not None and held.a is not None and held.b is not None:
            first = (held.a.text, held.b.text)
            title = f"Batch {batch} of {of} is off its ratio"
            about = "Weigh in what is short, then type what is in the bucket now."
        else:
            wanted = to_weigh(self._plan, of)
            count = f" of {max(wanted.planned, wanted.number)}" if wanted.planned else ""
            title = f"Weigh {of}, batch {wanted.number}{count}"
            about = planned_words(wanted, project.units)
        was = first
        while True:
            start = 1 if fault and not batch else 0
            typed = await self.app.push_screen_wait(
                WeighScreen(project, of, title, about, first, self._bounced, fault, start)
            )
            if typed is None:
                return
            if batch and typed == was:
                self._note_time(of, batch, True, "as it is, off its ratio")
                return
            fault = self._weighed(of, batch, typed[0], typed[1])
            if not fault:
                return
            first = (typed[0], typed[1])

    def _weighed(self, of: str, batch: str, a: str, b: str) -> str:
        """Log a batch as weighed, or its new weights; why not, where it cannot be."""
        units, now = self.opened.project.units, self.clock.now()
        a, b = as_weighed(a, units), as_weighed(b, units)
        id = batch or next_batch(self.opened.project)

        def weighed(project: Project) -> Project:
            if batch:
                return batch_corrected(project, batch, a, b, now, CHECKLIST)
            return batch_weighed(project, of, a, b, now, CHECKLIST)

        fault = self.tried(f"{'corrected' if batch else 'weighed'} batch {id}", weighed)
        if fault:
            return fault
        step = step_of(self.opened.project, id)
        weighing = weighing_of(self.opened.project.file, of)
        if weighing is not None and weighing.each:
            check = "ratio-shown-good" if step == "correct" else "mixed"
            self.stand_on_check(f"{check}@{of}/{id}")
        key = self.key_of("weigh")
        ahead = {
            "correct": f"Off its ratio: {key} puts it right.",
            "mixed": f"Mix it, scraping walls and bottom; {key} notes when it is mixed.",
            "in form": f"{key} notes when it is in the form.",
        }
        self.say(f"Batch {id}: A {a}, B {b}. {ahead.get(step, '')}{self._usable(of, id)}".strip(), 20)
        return ""

    def _usable(self, of: str, batch: str) -> str:
        """How long a batch can still be used, where its timer runs."""
        timers = [
            timer
            for timer in self._standing.timers
            if timer.timer in USABLE_TIMERS and timer.subject in (of, f"{of}/{batch}")
        ]
        deadline = timers[0].deadline if timers else None
        return f" Usable until {moment(deadline.at, self._standing.now, self.zone)}." if deadline else ""

    def _note_time(self, of: str, batch: str, mixed: bool, how: str = "") -> None:
        now, before = self.clock.now(), self.query_one(Worksheet).row

        def noted(project: Project) -> Project:
            if mixed:
                return batch_times(project, batch, mix_end=now)
            return batch_times(project, batch, in_form=now)

        word = "mixed" if mixed else "in form"
        if not self.act(f"batch {batch} {word}", noted):
            return
        check = "bucket-changed" if mixed else "cup-sample-kept"
        if isinstance(before, CheckRow) and before.check.subject.over is Over.BATCH:
            self.stand_on_check(f"{check}@{of}/{batch}")
        said = f"Batch {batch} {word}{f' {how}' if how else ''} at {moment(now, now, self.zone)}."
        ahead = step_of(self.opened.project, batch) == "in form"
        held = self.opened.project.file.record.batch[batch]
        if mixed and ahead:
            said += f" {self.key_of('weigh')} on it notes when it is in the form.{self._usable(of, batch)}"
        elif held.mix_start is not None:
            said += f" {span(now - held.mix_start)} after weighing."
        self.say(said, 20)

    # Pouring

    def action_poured(self) -> None:
        """Log a lift as poured."""
        if self._bounced("poured"):
            return
        file = self.opened.project.file
        lift: str | None = self.scope.path
        if lift is None or sort_of(file, lift) != "lift":
            lift = next_lift(file, self._casting)
        if lift is None:
            self.say("No lift is left to pour. Go to a lift first: g 4, then left or right.")
            return
        self._pour(lift)

    @work
    async def _pour(self, lift: str) -> None:
        project = self.opened.project
        casting, _, name = lift.partition("/")
        planned = project.file.casting[casting].lift(name)
        logged = project.file.record.poured.get(lift)
        to = logged.to if logged is not None and logged.to is not None else planned.to if planned else None
        warm = logged.resin_temperature if logged is not None else None
        first = (to.text if to is not None else "", warm.text if warm is not None else "")
        about = "Height above the form floor. Leave empty what you do not know."
        if logged is not None and logged.at is not None:
            now = self.clock.now()
            about = f"Logged at {moment(logged.at, now, self.zone)}: put it right. {about}"
        starts = [CHECKLIST.timer(project, check, lift) for check in STARTED_BY_POURING]
        names = " · ".join(timer_title(held[0]).lower() for held in starts if held is not None)
        start = f"Starts: {names}" if logged is None and names else ""
        fault = ""
        while True:
            screen = PouredScreen(project, f"{lift} is poured", about, first, start, self._bounced, fault)
            typed = await self.app.push_screen_wait(screen)
            if typed is None:
                return
            height, warmth = screen.as_typed(typed)
            fault = self._log_poured(lift, height or None, warmth or None)
            if not fault:
                return
            first = (typed[0], typed[1])

    def _log_poured(self, lift: str, to: str | None, warm: str | None) -> str:
        now, before = self.clock.now(), set(self.opened.project.file.record.timer)
        fault = self.tried(f"poured {lift}", lambda project: poured(project, lift, to, warm, now, CHECKLIST))
        if fault:
            return fault
        self.show_subject("lifts", lift)
        self._stand_on_first()
        timers = self.opened.project.file.record.timer
        running = [timer_title(held.timer).lower() for id, held in timers.items() if id not in before]
        said = f"{lift} poured{f' to {to}' if to else ''}."
        said += f" Now running: {', '.join(running)}." if running else ""
        self.say(said, 20)
        return ""
