"""What the screens of the layout and of the slabs share: an arrow's step, zoom, and words over the keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Final, TypeVar

from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from workshop.project.faults import FileFault, FileFaults
from workshop.project.opened import Opened
from workshop.project.path import NoSuchPlace
from workshop.project.project import Project
from workshop.quantity import Units
from workshop.tui.actions import Action
from workshop.tui.build_base import in_short
from workshop.tui.keymap import in_force
from workshop.tui.lines import Line, line, width_of, wrapped
from workshop.tui.reader import Reader

ZOOMS: Final = (1, 2, 4)
Shown = TypeVar("Shown", bound=Widget)


class DrawingBase(Screen[None]):
    """A drawing on which keys move something, and that tells what follows."""

    AUTO_FOCUS = ""
    """Nothing has the focus: words that scroll would take the arrows for themselves."""

    def __init__(
        self,
        opened: Opened,
        now: Callable[[], datetime],
        bounced: Callable[[str], bool],
        *,
        id: str,
    ) -> None:
        """`bounced` says whether an action repeats itself within a blink."""
        super().__init__(id=id)
        self.opened = opened
        self._now, self._bounced = now, bounced
        self._since, self._before = opened.done, opened.project.document
        self._fine = False
        self._zoom = 1

    @property
    def units(self) -> Units:
        """How this project shows its quantities."""
        return self.opened.project.units

    @property
    def step(self) -> float:
        """m a press of an arrow moves what is in hand."""
        if self.units.system == "metric":
            return 0.001 if self._fine else 0.01
        return 0.0254 / (16 if self._fine else 2)

    @staticmethod
    def _unfocused(pane: Shown) -> Shown:
        """A pane that only the screen's own keys scroll, also where the mouse was on it."""
        pane.can_focus = False
        return pane

    def show_all(self) -> None:
        """Everything, from the project as it is."""
        raise NotImplementedError

    def _show_head(self) -> None:
        raise NotImplementedError

    def tried(self, name: str, action: Callable[[Project], Project]) -> bool:
        """Do a named action and show what follows; where it cannot be, say why."""
        self.quiet()
        try:
            self.opened.act(name, action)
        except FileFaults as faults:
            self.say(in_short(faults))
        except (FileFault, ValueError) as fault:
            self.say(str(fault))
        except NoSuchPlace as gone:
            self.say(f"{gone} is no longer in the file.")
        else:
            self.show_all()
            return True
        return False

    def say(self, text: str) -> None:
        """Words over the keys until the next key."""
        message = self.query_one("#message", Static)
        message.update(Content(text))
        message.set_class(bool(text), "-shown")

    def quiet(self) -> None:
        """No words any more."""
        message = self.query_one("#message", Static)
        if message.has_class("-shown"):
            message.set_class(False, "-shown")

    def show_keys(self, title: str, actions: Sequence[Action]) -> None:
        """Every key of the screen and what it does, to read."""

        def lines(width: int) -> list[Line]:
            listed: list[Line] = [line((title, "title")), ()]
            for action in in_force(self.app, tuple(actions)):
                first, *rest = wrapped(action.words, width - 11)
                listed.append((*line((action.key_shown.rjust(9), "key"), "  "), *first))
                listed += [(*line(" " * 11), *more) for more in rest]
            return listed

        self.app.push_screen(Reader(lines))

    def taken_back(self) -> str:
        """Take the last action back: its name, empty where nothing was."""
        if self._bounced("take_back"):
            return ""
        try:
            name = self.opened.undo(self._now())
        except IndexError:
            self.say("Nothing to take back since you opened this project.")
            return ""
        if self.opened.done < self._since:
            self._since, self._before = self.opened.done, self.opened.project.document
        return name

    def action_fine(self) -> None:
        """Small steps, or large ones again."""
        self._fine = not self._fine
        self.quiet()
        self._show_head()

    def action_zoom(self) -> None:
        """Larger, or all again."""
        self._zoom = ZOOMS[(ZOOMS.index(self._zoom) + 1) % len(ZOOMS)]
        self.quiet()
        self.show_all()


def beside_title(left: Line, rights: Sequence[Line], width: int) -> Line:
    """The first of several right sides, the longest first, that leaves a title its room; else none."""
    room = width - width_of(left) - 1
    return next((right for right in rights if width_of(right) <= room), ())
