"""A new project from a few questions, one at a time; each may stay open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import ClassVar, Final

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Input, Label
from textual.worker import WorkerFailed

from workshop.brought import Brought, brought
from workshop.clock import Clock
from workshop.plan import Plan, plan
from workshop.project.faults import FileFault, FileFaults
from workshop.project.folder import path_for
from workshop.project.questions import QUESTIONS, Question
from workshop.project.shelving import begin, wrong_name
from workshop.project.starting import new_document, with_own, wrong_answer
from workshop.settings import settings_path
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, Role, clipped, line, wrapped
from workshop.tui.pane import ScrollPane
from workshop.tui.scope_line import ScopeLine

ASKED: Final = (Question("name", "Name of the project", "Tarn bench", ("project", "name")), *QUESTIONS)
"""In the order in which they are asked."""

AROUND: Final = 8
"""Lines of the page besides answers, example and fault."""
WIDTH: Final = 84
"""Cells that the page takes at most."""
COLUMN: Final = 36
"""Cells of the questions beside their answers."""


@dataclass(frozen=True, slots=True)
class Draft:
    """Answers as far as they were typed, and the question that is open."""

    answers: Mapping[str, str]
    place: int = 0

    @property
    def question(self) -> Question:
        """The open one."""
        return ASKED[self.place]

    def typed(self, text: str) -> Draft:
        """The same with the open question's answer."""
        return replace(self, answers={**self.answers, self.question.key: text})

    def moved(self, steps: int) -> Draft:
        """Another question open, within the first and the last."""
        return replace(self, place=max(0, min(len(ASKED) - 1, self.place + steps)))


@dataclass(frozen=True, slots=True)
class Made:
    """A new project's file and what follows from it."""

    path: Path
    plan: Plan


def make(folder: Path, draft: Draft, own: Brought, clock: Clock) -> Made:
    """Write the project that the answers make, and plan it; raises FileFault."""
    name = draft.answers["name"].strip()
    path = path_for(folder, name)
    document = with_own(new_document(draft.answers), own.tables)
    return Made(path, plan(begin(document, path, clock.now())))


def answered(draft: Draft, width: int) -> list[Line]:
    """A line for each question before the open one, with its answer."""
    lines: list[Line] = []
    for question in ASKED[: draft.place]:
        text = draft.answers.get(question.key, "").strip()
        title = question.asks.ljust(min(COLUMN, width // 2 + 8))
        answer: tuple[str, Role] = (text, "text") if text else ("not known yet", "dim")
        lines.append(clipped(line((title, "dim"), answer), width))
    return lines


class NewProject(Screen[Draft | Made]):
    """Asks, makes the file, and dismisses with it; left before that, with the answers so far."""

    CSS_PATH = "new_project.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave; the answers stay"),
        Binding("up", "back", "The question before"),
    ]

    def __init__(self, folder: Path, clock: Clock, draft: Draft | None = None) -> None:
        super().__init__()
        self._folder, self._clock = folder, clock
        self._own = Brought()
        self._first_fault = ""
        try:
            self._own = brought(settings_path())
        except FileFaults as faults:
            self._first_fault = f"Your settings are not used here: {faults.faults[0]}"
        self._draft = draft if draft is not None else Draft(self._own.answers)

    def compose(self) -> ComposeResult:
        """Heading, answers so far, the question, keys."""
        with Vertical(id="new"):
            yield ScopeLine(id="heading")
            yield ScrollPane(id="answers")
            yield Label("", id="question")
            yield Input(id="answer")
            yield Label("", id="example")
            yield Label("", id="fault")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Ask."""
        self._ask()
        self._say(self._first_fault)

    def on_resize(self, event: Resize) -> None:
        """Keep the question in sight."""
        self._show_answers()

    def _show_answers(self) -> None:
        """Those so far; the last of them where the question needs the room."""
        pane = self.query_one(ScrollPane)
        width = max(20, min(self.size.width, WIDTH) - 4)
        below = [text for held in ("#example", "#fault") for text in self._words(held).splitlines()]
        room = self.size.height - AROUND - sum(len(wrapped(text, width)) for text in below)
        height = max(0, min(self._draft.place, room))
        pane.styles.height = height
        pane.show(answered(self._draft, width)[-height:] if height else [])

    def _words(self, label: str) -> str:
        return str(self.query_one(label, Label).content)

    def _ask(self) -> None:
        draft, question = self._draft, self._draft.question
        right = line((f"question {draft.place + 1} of {len(ASKED)}", "dim"))
        self.query_one(ScopeLine).show(line(("NEW PROJECT", "title")), right)
        self.query_one("#question", Label).update(Content(question.asks))
        needed = "its file is called so too" if question.key == "name" else "enter alone: not known yet"
        self.query_one("#example", Label).update(Content(f"such as {question.example}\n{needed}"))
        field = self.query_one(Input)
        field.value = draft.answers.get(question.key, "")
        field.disabled = False
        field.focus()
        field.action_select_all()
        keys = [("enter", "next" if draft.place + 1 < len(ASKED) else "make it")]
        keys += [("↑", "back")] * (draft.place > 0)
        self.query_one(KeyRow).show_pairs([*keys, ("escape", "leave, the answers stay")])
        self._say("")

    def _say(self, text: str) -> None:
        fault = self.query_one("#fault", Label)
        fault.update(Content(text))
        fault.set_class(bool(text), "-shown")
        self._show_answers()

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was wrong is being mended."""
        if event.value != self._draft.answers.get(self._draft.question.key, ""):
            self._say("")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """An answer, or none yet: on to the next question, or to the first plan."""
        event.stop()
        self._draft = self._draft.typed(event.value)
        key = self._draft.question.key
        wrong = wrong_name(event.value, self._folder) if key == "name" else wrong_answer(key, event.value)
        if wrong:
            self._say(wrong)
        elif self._draft.place + 1 < len(ASKED):
            self._draft = self._draft.moved(1)
            self._ask()
        else:
            self.query_one(Input).disabled = True
            self._make()

    @work(group="make", exclusive=True)
    async def _make(self) -> None:
        act = partial(make, self._folder, self._draft, self._own, self._clock)
        worker = self.run_worker(act, thread=True, group="save", exit_on_error=False)
        try:
            made: Made = await worker.wait()
        except WorkerFailed as failed:
            if not isinstance(failed.error, FileFault):
                raise
            self._ask()
            self._say(str(failed.error))
            return
        self.dismiss(made)

    def action_back(self) -> None:
        """The question before, its answer still there."""
        field = self.query_one(Input)
        if not field.disabled:
            self._draft = self._draft.typed(field.value).moved(-1)
            self._ask()

    def action_leave(self) -> None:
        """Back to the list with nothing lost."""
        field = self.query_one(Input)
        if not field.disabled:
            self.dismiss(self._draft.typed(field.value))
