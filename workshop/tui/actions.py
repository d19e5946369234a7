"""Every action of the build screen, once: its key and words, and so its footer, palette and help lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Action:
    """`id` names the screen's method (`action_...`); `short` stands in the footer, empty: not there."""

    id: str
    key: str
    short: str
    words: str
    repeats: bool = False
    """A key that may be held down; others count a repeat within 300 ms as one press."""
    shown_as: str = ""

    @property
    def key_shown(self) -> str:
        """The key as the footer prints it."""
        return self.shown_as or self.key

    def binding(self) -> Binding:
        """The key binding, with an id so that it can be remapped."""
        return Binding(self.key, self.id, self.words, id=self.id, show=False, tooltip=self.words)


BUILD_ACTIONS: Final = (
    Action("cursor(-1)", "up", "", "One row up", True, "↑"),
    Action("cursor(1)", "down", "", "One row down", True, "↓"),
    Action("cursor(-10)", "pageup", "", "Ten rows up", True, "page up"),
    Action("cursor(10)", "pagedown", "", "Ten rows down", True, "page down"),
    Action("page(-1)", "left", "", "The slab, casting, lift or coat before", True, "←"),
    Action("page(1)", "right", "part", "The next slab, casting, lift or coat", True, "← →"),
    Action(
        "section",
        "tab",
        "section",
        "The next part of the page: findings, to do, numbers, take care",
        True,
    ),
    Action(
        "next_check",
        "space",
        "done",
        "Do the check under the cursor, or the next one that waits for nothing",
    ),
    Action("press", "enter", "open", "Open a calculator, edit a value, do a check"),
    Action("go", "g", "stage", "Go to a stage: then its digit"),
    Action("edit", "e", "edit", "Edit the value under the cursor, in any unit"),
    Action("how", "h", "how", "How a figure was worked out"),
    Action("timer", "t", "timer", "Start or end the timer of the check under the cursor"),
    Action("heard", "k", "heard", "Quiet the alarm that rings"),
    Action("accept", "a", "accept", "Accept the finding under the cursor, with a reason"),
    Action("not_needed", "x", "", "The check under the cursor is not needed, with a reason"),
    Action("note", "n", "note", "Write a note into the journal"),
    Action("insert_lift", "i", "", "Insert a lift below the one open, on the lifts stage"),
    Action("next_open", "w", "what next", "Go to the next check that waits for nothing"),
    Action(
        "across", "v", "across room", "The nearest deadline as large as there is room, for across the room"
    ),
    Action("undo", "u", "undo", "Take the last action back"),
    Action("keys", "question_mark", "keys", "All keys", shown_as="?"),
    Action("leave", "q", "leave", "Back to the list of projects, or out"),
)
