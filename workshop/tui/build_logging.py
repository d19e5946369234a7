"""Readings, notes, the journal, and coming back to all of it."""

from __future__ import annotations

from collections.abc import Mapping

from textual import work

from workshop.checking import CHECKLIST
from workshop.likeliest import likeliest
from workshop.plan import plan
from workshop.project import changes
from workshop.project.doing import (
    FULFILMENTS,
    reading_taken,
)
from workshop.project.path import unspell
from workshop.project.project import Project
from workshop.project.reading_kinds import READING_KINDS
from workshop.project.weighing import WEIGHINGS
from workshop.returning import Target, coming_back
from workshop.stages import CHECKS
from workshop.stages.canned_notes import canned
from workshop.standing import standing
from workshop.tui.build_pouring import Pouring
from workshop.tui.journal_screen import JournalScreen
from workshop.tui.note_screen import NoteScreen
from workshop.tui.reading_screen import ReadingScreen
from workshop.tui.return_screen import ReturnScreen

_WEIGHED = frozenset(check for held in WEIGHINGS.values() for check in (*held.weighed, *held.good))
_READ = frozenset(held.check for held in FULFILMENTS)


def fulfilled_by(check: str) -> tuple[str, str]:
    """The key that logs what a check asks for and ticks it, and what it does; empty where none does."""
    if check in _WEIGHED:
        return "weigh", "weighs the batch"
    if check == "poured":
        return "poured", "logs how far it was poured"
    return ("reading", "takes the reading") if check in _READ else ("", "")


class Logging(Pouring):
    """The keys that ask for what happened."""

    # Readings

    def action_reading(self) -> None:
        """Take a reading."""
        if not self._bounced("reading"):
            self._read()

    @work
    async def _read(self, first: tuple[str, str] | None = None) -> None:
        self._standing = standing(self._plan, self.clock.now(), self._states)
        screen = ReadingScreen(
            lambda: self._plan,
            likeliest(self._plan, self._standing),
            self.scope.path,
            self.clock.now,
            self._take,
            self._bounced,
            first,
        )
        said = await self.app.push_screen_wait(screen)
        if said:
            self.say(said, 12)

    def _take(self, subject: str, values: Mapping[str, str]) -> tuple[bool, str]:
        """Log a reading; whether it was, and what was read and fulfilled or what is wrong."""
        now, before = self.clock.now(), self.opened.project
        fault = self.tried(
            f"reading of {subject}",
            lambda project: reading_taken(project, subject, values, now, CHECKLIST),
        )
        if fault:
            return False, fault
        read = ", ".join(text for key, text in values.items() if key in READING_KINDS and key != "deep")
        place = values.get("place", "")
        said = f"Read: {subject} {read}{f' at {place}' if place else ''}."
        done = newly_done(before, self.opened.project)
        return True, f"{said} Done with it: {'; '.join(done)}." if done else said

    # Notes and the journal

    @work
    async def action_note(self) -> None:
        """Write a note about what is open."""
        subject, phrases = self.scope.path, canned(self.stage.stage.id)
        typed, hint = "", ""
        while True:
            screen = NoteScreen(f"about {subject}", phrases, typed, hint)
            text = await self.app.push_screen_wait(screen)
            if text is None:
                return
            typed, now = text, self.clock.now()
            hint = self.tried("note", lambda project: changes.noted(project, subject, typed, now))  # noqa: B023
            if not hint:
                self.say("Noted.")
                return

    def action_journal(self) -> None:
        """Everything that happened."""
        self._show_journal()

    def _show_journal(self, first: str = "") -> None:
        def undone() -> str:
            self.action_undo()
            return self.message

        opened = self.opened
        self.app.push_screen(
            JournalScreen(
                lambda: opened.project, opened.path, self.zone, self.clock.now, self.tried, undone, first
            )
        )

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

    # Coming back

    def action_so_far(self) -> None:
        """What was done last, what happened meanwhile, what comes next."""
        self._so_far(always=True)

    def first_figures(self) -> None:
        """After days away the build opens with what happened meanwhile."""
        self._so_far()

    def all_figures(self) -> None:
        """The page of what happened meanwhile says what is known by now, where it still stands."""
        if isinstance(self.app.screen, ReturnScreen):
            now = self.clock.now()
            self.app.screen.renew(coming_back(self._plan, standing(self._plan, now, self._states), None, now))

    def _so_far(self, always: bool = False) -> None:
        now = self.clock.now()
        made = coming_back(self._plan, standing(self._plan, now, self._states), None, now)
        if not always and not made.applies:
            return
        name = self.opened.project.file.project.name or self.opened.path.stem
        self.app.push_screen(ReturnScreen(name, made, self.opened.project.units), self._go_to)

    def _go_to(self, target: Target | None) -> None:
        """Go to where a row of the page leads."""
        if target is None:
            return
        if target.key in READING_KINDS:
            if target.stage:
                self.show_subject(target.stage, target.subject)
            self._read((target.subject, target.key))
            return
        if not target.stage:
            self._show_journal(target.key)
            return
        self.show_subject(target.stage, target.subject)
        self._stand_on_first()
        key = target.key
        if key.startswith("record.done."):
            _record, _done, _stage, subject, check, *_ = unspell(key)
            key = f"{check}@{subject}"
        if "@" in key:
            self.stand_on_check(key)


def newly_done(before: Project, after: Project) -> list[str]:
    """The words of the checks that are done after and were not before."""
    made = []
    for stage in plan(after, defer=True).stages:
        for check in stage.checks:
            held = before.file.record.done.get(stage.stage.id, {}).get(check.subject.path, {})
            if check.settled and check.check.id not in held:
                made.append(CHECKS[check.check.id][1].text)
    return made
