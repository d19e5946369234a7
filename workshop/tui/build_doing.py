"""Doing: checks, timers, findings and lifts."""

from __future__ import annotations

from textual import work

from workshop.checking import CHECKLIST
from workshop.plan import PlannedFinding
from workshop.project import changes
from workshop.project.checking_off import checked_off
from workshop.project.project import Project
from workshop.quantity import show
from workshop.stages.checklist import Over
from workshop.standing import timer_title
from workshop.tui.build_logging import Logging, fulfilled_by
from workshop.tui.rows import (
    AcceptedRow,
    CheckRow,
    FindingRow,
)
from workshop.tui.times import span
from workshop.tui.worksheet import Worksheet


class Doing(Logging):
    """The keys that write into the record at once."""

    _offered = ""
    """The check for which a key was offered last."""

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
            self.say(f"Nothing here waits to be done. {self.key_of('next_open')} goes to what is next.")

    def _do(self, row: CheckRow) -> None:
        check, stage, now = row.check, self.stage.stage.id, self.clock.now()
        if self._offers(row):
            return
        timer, subject = check.check.timer, check.subject.path

        def done(project: Project) -> Project:
            return checked_off(project, stage, check.check.id, subject, now, CHECKLIST, again=True)

        following = self._following(row)
        if self.act(f"done: {check.check.text}", done, following):
            held = CHECKLIST.timer(self.opened.project, check.check.id, subject)
            if timer is not None and held is not None:
                self.say(f"{timer.title}: {held[1]}, from now.")
            elif timer is not None:
                self.say(f"{timer.title}: the time is not known yet, so no timer runs.")
            elif check.waits_for:
                self.say("Done, though something before it is still open.")

    def _offers(self, row: CheckRow) -> bool:
        """Offer the key that logs what a check asks for, once; the next space ticks it plainly."""
        action, what = fulfilled_by(row.check.check.id)
        offered, self._offered = self._offered, row.key
        if not action or row.check.settled or offered == row.key:
            return False
        self.say(f"{self.key_of(action)} {what} and ticks this. Space once more only ticks it.", 12)
        return True

    def _following(self, row: CheckRow) -> str | None:
        """The check on which the cursor stands next: the one below, if it is open."""
        listed = [held for held in self.query_one(Worksheet).rows if isinstance(held, CheckRow)]
        place = [held.key for held in listed].index(row.key)
        return next((held.key for held in listed[place + 1 :] if not held.check.settled), None)

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
            f"heard: {timer_title(first.timer)}",
            lambda project: changes.timer_heard(project, first.id, now, self._states),
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
