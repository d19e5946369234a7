"""A few fields in one column, asked for over the screen, with words that follow while typing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Resize
from textual.screen import ModalScreen
from textual.widgets import Input, Label

from workshop.tui.lines import Line, plain, wrapped
from workshop.tui.pane import ScrollPane

Typed = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its id and name, and what stands in it at first."""

    id: str
    name: str
    first: str = ""


class FieldsScreen(ModalScreen[Typed | None]):
    """Dismisses with what stands in the fields, or None when left. Enter goes from field to field."""

    CSS_PATH = "fields_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave"),
        # Dealt with before the field sees them, so that what is typed in one breath stands where it should.
        Binding("enter", "enter", "The next field, and from the last one keep it", priority=True),
        Binding("tab,down", "field(1)", "The next field", priority=True),
        Binding("shift+tab,up", "field(-1)", "The field before", priority=True),
    ]

    def __init__(
        self,
        title: str,
        about: str,
        fields: tuple[Field, ...],
        bounced: Callable[[str], bool],
        fault: str = "",
        start: int = 0,
    ) -> None:
        """`bounced` tells whether a press repeats the last one within a blink; `start` is the first field."""
        super().__init__()
        self._title, self._about, self._fields = title, about, fields
        self._bounced, self._fault, self._start = bounced, fault, start

    def compose(self) -> ComposeResult:
        """Title, what it is about, the fields, what follows, keys."""
        with Vertical(id="fields"):
            yield Label(Content(plain(self._title)), classes="question")
            if self._about:
                yield Label(Content(plain(self._about)), classes="about")
            for held in self._fields:
                with Horizontal(classes="field"):
                    yield Label(Content(held.name), classes="name")
                    yield Input(held.first, id=held.id)
            yield ScrollPane(id="follows")
            yield Label(Content("enter goes on and keeps it   escape leaves"), classes="hint")

    def on_mount(self) -> None:
        """Stand in the first field, or where the maker is wanted."""
        self.query_one("#follows", ScrollPane).can_focus = False
        self.set_focus(self._inputs[self._start])

    @property
    def _inputs(self) -> list[Input]:
        return [self.query_one(f"#{held.id}", Input) for held in self._fields]

    @property
    def typed(self) -> Typed:
        """What stands in the fields."""
        return tuple(field.value.strip() for field in self._inputs)

    def follows(self, typed: Typed, width: int) -> list[Line]:
        """What follows from the fields as they are."""
        raise NotImplementedError

    def kept(self, typed: Typed) -> str:
        """Why the fields cannot be kept as they are yet, empty where they can."""
        raise NotImplementedError

    def on_resize(self, event: Resize) -> None:
        """Lay the words out for the width there is."""
        self.call_after_refresh(self.show_follows)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Everything follows while typing."""
        event.stop()
        self._fault = ""
        self.show_follows()

    def show_follows(self) -> None:
        """Show what follows, and under it what is wrong."""
        pane = self.query_one("#follows", ScrollPane)
        width = max(20, pane.scrollable_content_region.width)
        lines = self.follows(self.typed, width)
        if self._fault:
            lines = [*lines, *wrapped(self._fault, width, "amber")]
        pane.styles.height = max(1, len(lines))
        pane.show(lines)

    def action_enter(self) -> None:
        """The next field; from the last one it is kept, or what is wrong is said."""
        if self._bounced("field-enter"):
            return
        fields = self._inputs
        place = self._place
        if place + 1 < len(fields):
            self.set_focus(fields[place + 1])
        else:
            # After the signs that are still on their way into the field.
            fields[place].call_later(self._keep)

    def _keep(self) -> None:
        typed = self.typed
        self._fault = self.kept(typed)
        if self._fault:
            self.show_follows()
        else:
            self.dismiss(typed)

    @property
    def _place(self) -> int:
        return next((number for number, held in enumerate(self._inputs) if held.has_focus), 0)

    def action_field(self, steps: int) -> None:
        """Go to another field."""
        fields = self._inputs
        self.set_focus(fields[(self._place + steps) % len(fields)])

    def action_leave(self) -> None:
        """Leave, and nothing is kept."""
        self.dismiss(None)
