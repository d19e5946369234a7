"""Editing a value where it stands, with all that depends on it following."""

from __future__ import annotations

from typing import Any

from textual.content import Content
from textual.widgets import Input, Label

from workshop.desk import place_words
from workshop.plan import plan
from workshop.project import changes
from workshop.project.faults import FileFault, FileFaults
from workshop.project.path import NoSuchPlace, Path, spell
from workshop.project.project import Project
from workshop.quantity import Kind, Measure, typed_with_unit
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.build_base import in_short
from workshop.tui.build_moving import Moving
from workshop.tui.key_row import KeyRow
from workshop.tui.rows import (
    AnswerRow,
    FigureRow,
    FindingRow,
    InputRow,
    Row,
    editable,
)
from workshop.tui.worksheet import Worksheet


class Editing(Moving):
    """The field under the page, and what goes from it into the file."""

    def action_edit(self) -> None:
        """Edit the value under the cursor where it stands."""
        row = self.query_one(Worksheet).row
        target = self._target(row)
        if target is None:
            self.say(self._why_not(row))
            return
        path, kind = target
        held = self.opened.project.at(path)
        typed = (
            held.text
            if isinstance(held, Measure)
            else ""
            if held is None
            else str(changes.value_at(self.opened.project, path))
        )
        self._editing = (path, held.kind if isinstance(held, Measure) else kind)
        example = f", such as {kind.example}" if kind is not None else ""
        words = place_words(path)
        self.query_one("#editor-label", Label).update(Content(f"{words[:1].upper()}{words[1:]}{example}"))
        field = self.query_one("#editor-input", Input)
        self.query_one("#editor-fault", Label).set_class(False, "-shown")
        self._show_following()
        self.query_one("#editor").set_class(True, "-shown")
        with self.prevent(Input.Changed):
            field.value = typed
        field.action_end()
        field.action_select_all()
        self.set_focus(field)
        self.query_one(KeyRow).show_pairs(
            (("enter", "keep"), ("escape", "leave as it was"), ("empty", "unknown again"))
        )
        self.refresh_bindings()

    def _target(self, row: Row | None) -> tuple[Path, Kind | None] | None:
        """What `e` edits on a row: the place in the file and the kind of the value."""
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

    def _place_of(self, row: Row | None) -> tuple[Path, Kind | None] | None:
        if isinstance(row, InputRow) and row.path is not None:
            return row.path, row.answer.calculator.field(row.input).kind
        if isinstance(row, AnswerRow):
            for held in row.answer.calculator.fields:
                source = row.answer.sources.get(held.key)
                if source in row.answer.needs and source is not None and source.paths:
                    return source.paths[0], held.kind
        if isinstance(row, FindingRow) and row.planned.path is not None:
            return row.planned.path, None
        return None

    def on_input_changed(self, event: Input.Changed) -> None:
        """Everything follows while typing; a wrong value leaves the last good plan in place."""
        if self._editing is None or event.input.id != "editor-input":
            return
        event.stop()
        try:
            project = self._with_typed(self.opened.project, event.value)
        except (FileFaults, NoSuchPlace) as faults:
            self._fault(in_short(faults))
            return
        self._fault("")
        self._draft = plan(project, defer=True)
        if self._draft.pending:
            self.work_out(project)
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
            self._fault(in_short(faults))
            return
        self._close_editor()

    def _close_editor(self) -> None:
        self._editing = None
        self.query_one("#editor").set_class(False, "-shown")
        self.query_one(KeyRow).show(BUILD_ACTIONS)
        self.query_one(Worksheet).focus()
        self.refresh_bindings()
        self._replan()
