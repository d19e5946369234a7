"""The journal: everything that happened, to read, to search, to strike and to correct."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from datetime import datetime, tzinfo
from pathlib import Path
from typing import ClassVar, Final, Literal

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Label, Static

from workshop.journal import KINDS, Entry, NotInJournal, as_text, corrected, editable, entries, search, struck
from workshop.journal_entries import head_of
from workshop.project.project import Project
from workshop.stages import STAGES
from workshop.tui.actions import Action
from workshop.tui.journal_rows import LOOKS, JournalRow
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, clipped, line, plain, wrapped
from workshop.tui.reader import Reader
from workshop.tui.rows import Row, TextRow
from workshop.tui.scope_line import ScopeLine
from workshop.tui.worksheet import Worksheet

JOURNAL_ACTIONS: Final = (
    Action("cursor(-1)", "up", "", "One line up", True, "↑"),
    Action("cursor(1)", "down", "move", "One line down", True, "↑ ↓"),
    Action("cursor(-10)", "pageup", "", "Ten lines up", True, "page up"),
    Action("cursor(10)", "pagedown", "", "Ten lines down", True, "page down"),
    Action("cursor(-1000000)", "home", "", "To the first line", True),
    Action("cursor(1000000)", "end", "", "To the last line", True),
    Action("read", "enter", "read", "The whole line"),
    Action("search", "slash", "search", "Search while you type", shown_as="/"),
    Action("stage", "g", "stage", "Only one stage, the next one, all again"),
    Action("casting", "c", "casting", "Only one casting or slab, the next one, all again"),
    Action("kind", "k", "kind", "Only one kind of line, the next one, all again"),
    Action("strike", "s", "strike", "Strike the line under the cursor, with a reason"),
    Action("correct", "e", "correct", "Correct the line under the cursor"),
    Action("undo", "u", "undo", "Take the last action back"),
    Action("export", "x", "write out", "Write the lines shown into a text file beside the project"),
    Action("leave", "q", "back", "Back to the build"),
)

Mode = Literal["", "search", "strike", "correct"]


class JournalScreen(Screen[None]):
    """Every line in order, the newest at the bottom, where it opens."""

    CSS_PATH = "journal_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in JOURNAL_ACTIONS),
        Binding("escape", "back", "Back"),
    ]

    def __init__(
        self,
        project: Callable[[], Project],
        file: Path,
        zone: tzinfo | None,
        now: Callable[[], datetime],
        act: Callable[[str, Callable[[Project], Project]], str],
        undo: Callable[[], str],
        first: str = "",
    ) -> None:
        """`act` does a named action and returns why not, empty where it was done; `undo` says what it did.

        `first` is the key of the entry on which it opens, else it opens at the newest.
        """
        super().__init__()
        self._project, self._file, self._zone, self._now = project, file, zone, now
        self._act, self._undo, self._first = act, undo, first
        self._entries: tuple[Entry, ...] = ()
        self._shown: tuple[Entry, ...] = ()
        self._words, self._mode = "", ""
        self._stage: str | None = None
        self._casting: str | None = None
        self._kind: str | None = None

    def compose(self) -> ComposeResult:
        """Heading, lines, a field, keys."""
        yield ScopeLine(id="journal-head")
        yield Worksheet(id="journal")
        with Vertical(id="journal-field"):
            yield Label("", id="journal-label")
            yield Input(id="journal-input")
        yield Static("", id="message")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Open at the newest line."""
        self.query_one(KeyRow).show(JOURNAL_ACTIONS)
        self.query_one(Worksheet).focus()
        self._read()
        self._show(newest=True)
        if self._first:
            self.query_one(Worksheet).stand_on(f"entry:{self._first}")

    def _read(self) -> None:
        self._entries = entries(self._project())

    def _show(self, newest: bool = False) -> None:
        project = self._project()
        units = project.units
        self._shown = search(self._entries, self._words, self._stage, self._casting, self._kind, units)
        rows: tuple[Row, ...] = tuple(
            JournalRow(f"entry:{held.key}", entry=held, units=units, zone=self._zone) for held in self._shown
        )
        if not rows:
            words = "Nothing like that." if self._filters else "Nothing happened yet."
            rows = (TextRow("none", words, "dim", 0),)
        self.query_one(Worksheet).show(rows, rows[-1].key if newest else None)
        self._show_head()

    @property
    def _filters(self) -> list[str]:
        titles = {held.id: held.title for held in STAGES}
        held = [f"“{self._words}”"] if self._words else []
        held += [titles[self._stage]] if self._stage is not None else []
        return held + [text for text in (self._casting, self._kind) if text is not None]

    def _show_head(self) -> None:
        count = len(self._shown)
        only = ", ".join(self._filters)
        left = line(
            ("JOURNAL", "title"),
            (f"  {count} of {len(self._entries)}" if only else f"  {count} lines", "dim"),
            (f"  only {only}" if only else "", "amber"),
        )
        self.query_one(ScopeLine).show(left, ())

    # Moving

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.query_one(Worksheet).move(steps)

    def on_worksheet_pressed(self, event: Worksheet.Pressed) -> None:
        """A click on the line under the cursor reads it."""
        self.action_read()

    @property
    def _entry(self) -> Entry | None:
        row = self.query_one(Worksheet).row
        return row.entry if isinstance(row, JournalRow) else None

    def action_read(self) -> None:
        """The whole line, with its place in the file."""
        entry = self._entry
        if entry is None:
            return
        units, zone = self._project().units, self._zone
        when = "no time written"
        if entry.at is not None:
            here = entry.at.astimezone(zone)
            when = f"{here:%A} {here.day} {here:%B %Y, %H:%M}"
        sign, word, role = LOOKS[entry.kind]

        def lines(width: int) -> list[Line]:
            return [
                clipped(
                    line((f"{sign} {word}  ", role), (entry.subject, "tan"), (f"  {when}", "dim")), width
                ),
                (),
                *wrapped(entry.say(units), width),
                (),
                *wrapped(entry.key, width, "dim", indent=2, first=0),
            ]

        self.app.push_screen(Reader(lines))

    # Filtering

    def _next(self, known: list[str], held: str | None) -> str | None:
        """The one after in a cycle that ends with all."""
        return next(iter(known), None) if held is None else dict(itertools.pairwise(known)).get(held)

    def action_stage(self) -> None:
        """Only the lines of the next stage."""
        there = {entry.stage for entry in self._entries}
        self._stage = self._next([held.id for held in STAGES if held.id in there], self._stage)
        self._show(newest=True)

    def action_casting(self) -> None:
        """Only the lines of the next casting, slab or other thing."""
        there = dict.fromkeys(head for entry in self._entries if (head := head_of(entry.subject)))
        self._casting = self._next(sorted(there), self._casting)
        self._show(newest=True)

    def action_kind(self) -> None:
        """Only the next kind of line."""
        there = {entry.kind for entry in self._entries}
        self._kind = self._next([kind for kind in KINDS if kind in there], self._kind)
        self._show(newest=True)

    def action_search(self) -> None:
        """Search while typing."""
        self._ask("search", "Search: every word must stand there", self._words)

    # Changing

    def action_strike(self) -> None:
        """Strike the line under the cursor."""
        entry = self._entry
        if entry is None or entry.struck:
            self.say("Stand on a line that holds; a struck one stays struck.")
            return
        self._ask("strike", f"Why is it struck? {entry.say(self._project().units)}", "")

    def action_correct(self) -> None:
        """Correct the line under the cursor in a field under the list."""
        entry = self._entry
        if entry is None:
            return
        try:
            text = editable(self._project(), entry.key)
        except NotInJournal as error:
            self.say(str(error))
            return
        self._ask("correct", f"Correct: {entry.say(self._project().units)}", text)

    def action_undo(self) -> None:
        """Take the last action back."""
        self.say(self._undo())
        self._read()
        self._show()

    def _ask(self, mode: Mode, words: str, text: str) -> None:
        self._mode = mode
        self.query_one("#message", Static).set_class(False, "-shown")
        self.query_one("#journal-label", Label).update(Content(plain(words)))
        held = self.query_one("#journal-input", Input)
        with self.prevent(Input.Changed):
            held.value = text
        self.query_one("#journal-field").set_class(True, "-shown")
        held.action_end()
        self.set_focus(held)
        pairs = (("enter", "keep"), ("escape", "leave")) if mode != "search" else ()
        self.query_one(KeyRow).show_pairs(pairs or (("enter", "to the lines"), ("escape", "all lines again")))
        self.refresh_bindings()

    def _close_field(self) -> None:
        self._mode = ""
        self.query_one("#journal-field").set_class(False, "-shown")
        self.query_one(Worksheet).focus()
        self.query_one(KeyRow).show(JOURNAL_ACTIONS)
        self.refresh_bindings()

    def on_input_changed(self, event: Input.Changed) -> None:
        """A search follows while typing."""
        if self._mode == "search":
            self._words = event.value.strip()
            self._show(newest=True)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do what the field is for; where that cannot be, say why and stay."""
        event.stop()
        entry, typed, now = self._entry, event.value, self._now()
        if self._mode == "search" or entry is None:
            self._close_field()
            return
        if self._mode == "strike":
            if not typed.strip():
                self.say("A word on why, so that you know it later.")
                return
            fault = self._act("struck a line", lambda project: struck(project, entry.key, typed, now))
            said = "Struck. It stays in the journal as struck."
        else:
            fault = self._act("corrected a line", lambda project: corrected(project, entry.key, typed, now))
            said = "Corrected. What stood there stays as struck."
        if fault:
            self.say(fault)
            return
        self._close_field()
        self._read()
        self._show()
        self.say(said)

    def action_export(self) -> None:
        """Write the lines shown into a text file beside the project; a file that is there stays."""
        text = as_text(self._shown, self._project().units, self._zone)
        try:
            path = written(self._file, text)
        except OSError as error:
            self.say(f"Not written: {error.strerror or error}.")
            return
        self.say(f"{len(self._shown)} lines written to {path}")

    def say(self, text: str) -> None:
        """Words over the keys until the next ones."""
        message = self.query_one("#message", Static)
        message.update(Content(plain(text)))
        message.set_class(bool(text), "-shown")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While something is typed only the arrows and escape count."""
        return not self._mode or action in ("cursor", "back", "command_palette")

    def action_back(self) -> None:
        """Out of the field, else out of what is searched for, else back to the build."""
        if self._mode:
            if self._mode == "search":
                self._words = ""
                self._show(newest=True)
            self._close_field()
        elif self._filters:
            self._words, self._stage, self._casting, self._kind = "", None, None, None
            self._show(newest=True)
        else:
            self.dismiss(None)

    def action_leave(self) -> None:
        """Back to the build."""
        self.dismiss(None)


def written(project: Path, text: str) -> Path:
    """Write a journal beside its project file under a name that is free, and return it."""
    number = 1
    while True:
        path = project.with_name(f"{project.stem}-journal{f'-{number}' if number > 1 else ''}.txt")
        try:
            with path.open("x", encoding="utf-8") as file:
                file.writelines((text,))
        except FileExistsError:
            number += 1
            continue
        return path
