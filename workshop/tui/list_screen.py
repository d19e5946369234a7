"""The list of projects: what there is, how each stands, and what can be done with its file."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static
from textual.worker import WorkerFailed, get_current_worker

from workshop.clock import Clock
from workshop.project.faults import FileFault, FileFaults
from workshop.project.folder import Entry, entries
from workshop.project.shelving import archive, archived, duplicate, rename, restore, wrong_name
from workshop.project.starting import wrong_answer
from workshop.tui.ask import Ask
from workshop.tui.build_base import REPEAT
from workshop.tui.choose import ChoiceRow, Choose
from workshop.tui.first_plan import FirstPlan
from workshop.tui.glance import Glance, glance
from workshop.tui.key_row import KeyRow
from workshop.tui.keymap import in_force
from workshop.tui.lines import Line, line, plain, wrapped
from workshop.tui.list_actions import LIST_ACTIONS
from workshop.tui.new_project import Draft, NewProject
from workshop.tui.picture_pane import PicturePane
from workshop.tui.project_rows import Listed, ProjectRow, in_folder, project_rows
from workshop.tui.reader import Reader
from workshop.tui.worksheet import Worksheet

UNBUILT, BUILT = "unbuilt", "built"
"""The two ways to copy a project."""


class ListScreen(Screen[None]):
    """The projects of a folder, the last touched first."""

    CSS_PATH = "list_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [action.binding() for action in LIST_ACTIONS]

    @dataclass
    class Looked(Message):
        """A project was read and planned."""

        entry: Entry
        found: Glance

    def __init__(self, folder: Path, clock: Clock) -> None:
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (78, "-middling"), (110, "-wide")]
        self.folder, self.clock = folder, clock
        self._listed = Listed(folder)
        self._draft: Draft | None = None
        self._pressed: tuple[str, float] = ("", 0.0)

    def compose(self) -> ComposeResult:
        """Rows and the picture of the project under the cursor, words, keys."""
        with Horizontal(id="middle"):
            yield Worksheet(id="projects")
            yield PicturePane(id="picture")
        yield Static("", id="message")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Look into the folder."""
        self.query_one(KeyRow).show(LIST_ACTIONS)
        self.query_one(Worksheet).focus()
        self.set_interval(1.0, self._tick)
        self.look()

    def on_screen_resume(self) -> None:
        """Back from a build: it may have changed."""
        if self.is_mounted:
            self.look()

    def on_screen_suspend(self) -> None:
        """What is read for the list would only hold up the screen that is open now."""
        self.workers.cancel_group(self, "glance")

    # What there is

    def look(self, cursor: str | None = None) -> None:
        """Look into the folder: the heads now, the rest of each file one after another meanwhile."""
        try:
            found, hidden, fault = entries(self.folder), archived(self.folder), ""
        except FileFault as wrong:
            found, hidden, fault = (), (), str(wrong)
        known = {(entry.path, entry.touched) for entry in found}
        self._listed = replace(
            self._listed,
            entries=found,
            archived=hidden,
            fault=fault,
            glances={key: held for key, held in self._listed.glances.items() if key in known},
        )
        self._show(cursor)
        if self._listed.unread:
            self.call_after_refresh(self._glance, self._listed.unread)

    @work(thread=True, group="glance", exclusive=True, exit_on_error=False)
    def _glance(self, unread: tuple[Entry, ...]) -> None:
        worker = get_current_worker()
        for entry in unread:
            if worker.is_cancelled:
                return
            self.post_message(self.Looked(entry, glance(entry.path, self.clock.now())))

    def on_list_screen_looked(self, event: Looked) -> None:
        """One project more is known."""
        self._listed = self._listed.with_glance(event.entry, event.found)
        self._show()

    def _show(self, cursor: str | None = None) -> None:
        rows = project_rows(self._listed, self.clock.now())
        sheet = self.query_one(Worksheet)
        if cursor is not None or rows != sheet.rows:
            sheet.show(rows, cursor)
            self._show_picture()

    def _show_picture(self) -> None:
        row = self.query_one(Worksheet).row
        held = row.glance if isinstance(row, ProjectRow) else None
        self.query_one(PicturePane).show(held.picture if held is not None else None)

    def _tick(self) -> None:
        """Deadlines come nearer, and ring."""
        if self.is_current and any(
            isinstance(row, ProjectRow) and row.due for row in self.query_one(Worksheet).rows
        ):
            self._show()

    # Moving and opening

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.say("")
        self.query_one(Worksheet).move(steps)

    def on_worksheet_moved(self, event: Worksheet.Moved) -> None:
        """The picture is that of the project under the cursor."""
        self._show_picture()

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the row under the cursor opens it."""
        self.action_open()

    def action_open(self) -> None:
        """Open the project under the cursor."""
        row = self.query_one(Worksheet).row
        if isinstance(row, ProjectRow):
            self.say("")
            self._open(row.entry.path)

    def _open(self, path: Path) -> None:
        from workshop.tui.app import WorkshopApp

        if isinstance(self.app, WorkshopApp):
            self.app.open_file(path)

    def action_reload(self) -> None:
        """Look into the folder again."""
        self.say("")
        self.look()

    def action_archived(self) -> None:
        """Show what is archived, or hide it again."""
        if not self._bounced("archived"):
            self._listed = replace(self._listed, show_archived=not self._listed.show_archived)
            self._show()

    def action_keys(self) -> None:
        """All keys."""

        def lines(width: int) -> list[Line]:
            listed: list[Line] = [line(("KEYS", "title")), ()]
            for action in in_force(self.app, LIST_ACTIONS):
                first, *rest = wrapped(action.words, width - 11)
                listed.append((*line((action.key_shown.rjust(9), "key"), "  "), *first))
                listed += [(*line(" " * 11), *more) for more in rest]
            return listed

        self.app.push_screen(Reader(lines))

    # Files

    @work(group="ask", exclusive=True)
    async def action_new(self) -> None:
        """A few questions, a first plan, and the build."""
        made = await self.app.push_screen_wait(NewProject(self.folder, self.clock, self._draft))
        if isinstance(made, Draft):
            self._draft = made
            return
        self._draft = None
        self.look(f"project:{made.path.name}")
        if await self.app.push_screen_wait(FirstPlan(made)):
            self._open(made.path)

    @work(group="ask", exclusive=True)
    async def action_copy(self) -> None:
        """A second project like the one under the cursor."""
        entry = self._readable()
        if entry is None:
            return
        name: str | None = f"{plain(entry.name)} 2"
        wrong = ""
        while name is not None:
            about = f"A second project like {plain(entry.name)}"
            name = await self.app.push_screen_wait(Ask("What is the copy called?", about, name, wrong))
            wrong = wrong_name(name, self.folder) if name is not None else ""
            if not wrong:
                break
        if name is None:
            return
        choices = (
            ChoiceRow(UNBUILT, words="Without what was done", about="same plan, from the first check on"),
            ChoiceRow(
                BUILT, words="With what was done", about="checks, readings and running timers, which ring too"
            ),
        )
        chosen = await self.app.push_screen_wait(Choose("How much of it?", plain(name), choices))
        if chosen is not None:
            act = partial(duplicate, entry.path, self.folder, name, self.clock.now(), record=chosen == BUILT)
            made = await self._done(act)
            if made is not None:
                self.look(f"project:{made.name}")
                self.say(f"Copied into {made.name}.")

    @work(group="ask", exclusive=True)
    async def action_rename(self) -> None:
        """Another name for the project under the cursor."""
        entry = self._readable()
        if entry is None:
            return
        if entry.example:
            self.say("An example keeps its name. Copy it with c, and name the copy.")
            return
        name: str | None = plain(entry.name)
        wrong = ""
        while name is not None:
            about = f"Its file stays {plain(entry.path.name)}"
            name = await self.app.push_screen_wait(Ask("What is it called?", about, name, wrong))
            wrong = wrong_answer("name", name) if name is not None else ""
            if not wrong:
                break
        if name is not None and await self._done(partial(_renamed, entry.path, name, self.clock)) is not None:
            self.look()
            self.say(f"It is called {name.strip()} now.")

    @work(group="ask")
    async def action_archive(self) -> None:
        """Out of sight, or back."""
        if self._bounced("archive"):
            return
        row = self.query_one(Worksheet).row
        if not isinstance(row, ProjectRow):
            return
        act = restore if row.archived else archive
        made = await self._done(partial(act, row.entry.path, self.folder))
        if made is None:
            return
        if row.archived:
            self.look(f"project:{made.name}")
            self.say(f"{row.entry.name} is back, as {made.name}.")
        else:
            self.look()
            shown = "" if self._listed.show_archived else " s shows what is archived, z there brings it back."
            quiet = " Its timers do not ring from there." if row.due else ""
            self.say(f"{row.entry.name} went to {made.relative_to(self.folder)}.{quiet}{shown}")

    def _readable(self) -> Entry | None:
        """The project under the cursor; None, with the reason said, where its file cannot be read."""
        row = self.query_one(Worksheet).row
        if not isinstance(row, ProjectRow):
            return None
        fault = row.entry.fault or (row.glance.fault if row.glance is not None else None)
        if fault is not None:
            self.say(in_folder(fault))
            return None
        return row.entry

    async def _done(self, act: Callable[[], Path]) -> Path | None:
        """Work on files beside the screen; None, with the reason said, where it cannot be done."""
        worker = self.run_worker(act, thread=True, group="save", exit_on_error=False)
        try:
            return await worker.wait()
        except WorkerFailed as failed:
            if not isinstance(failed.error, FileFault | FileFaults):
                raise
            self.say(str(failed.error))
            return None

    def _bounced(self, action: str) -> bool:
        """Whether this press repeats the last one within a blink."""
        last, at = self._pressed
        moment = time.monotonic()
        self._pressed = (action, moment)
        return last == action and moment - at < REPEAT

    def say(self, text: str) -> None:
        """Words over the keys until the next key; the folder stands in the heading already."""
        message = self.query_one("#message", Static)
        shown = text.replace(f"{self.folder}{os.sep}", "").splitlines()
        message.update(Content("\n".join(map(plain, shown))))
        message.set_class(bool(text), "-shown")


def _renamed(path: Path, name: str, clock: Clock) -> Path:
    rename(path, name, clock.now())
    return path
