"""Every action of the build screen, once: its key and words, and so its footer, palette and help lines.

Imports nothing of the screens, so that the command line can look through the keys of a settings file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Action:
    """`id` names the screen's method (`action_...`), `app.` before it the program's.

    `short` stands in the footer, empty: not there.
    """

    id: str
    key: str
    short: str
    words: str
    repeats: bool = False
    """A key that may be held down; others count a repeat within 300 ms as one press."""
    shown_as: str = ""
    least: int = 0
    """Left out of a footer that has no room for all: the highest first, 0 never."""

    @property
    def key_shown(self) -> str:
        """The key as the footer prints it."""
        return self.shown_as or self.key

    @property
    def name(self) -> str:
        """What the settings call it: `next-check`; for one of several like it the key it comes with: `up`."""
        return self.key if "(" in self.id else self.id.removeprefix("app.").replace("_", "-")

    def binding(self) -> Binding:
        """The key binding, with an id so that it can be given another key."""
        from textual.binding import Binding

        return Binding(self.key, self.id, self.words, id=self.name, show=False, tooltip=self.words)


THEME: Final = Action("app.theme", "d", "", "Next theme: dusk, daylight, contrast, terminal")


BUILD_ACTIONS: Final = (
    Action("cursor(-1)", "up", "", "One row up", True, "↑"),
    Action("cursor(1)", "down", "", "One row down", True, "↓"),
    Action("cursor(-10)", "pageup", "", "Ten rows up", True, "page up"),
    Action("cursor(10)", "pagedown", "", "Ten rows down", True, "page down"),
    Action("page(-1)", "left", "", "The slab, casting, lift or coat before", True, "←"),
    Action("page(1)", "right", "part", "The next slab, casting, lift or coat", True, "← →", least=1),
    Action(
        "section",
        "tab",
        "section",
        "The next part of the page: findings, to do, numbers, take care",
        True,
        least=3,
    ),
    Action(
        "next_check",
        "space",
        "done",
        "Do the check under the cursor, or the next one that waits for nothing",
    ),
    Action("press", "enter", "open", "Open a calculator, edit a value, do a check"),
    Action("go", "g", "stage", "Go to a stage: then its digit"),
    Action("edit", "e", "edit", "Edit the value under the cursor, in any unit", least=1),
    Action("how", "h", "how", "How a figure was worked out", least=4),
    Action("timer", "t", "timer", "Start or end the timer of the check under the cursor", least=1),
    Action("heard", "k", "heard", "Quiet the alarm that rings"),
    Action("accept", "a", "accept", "Accept the finding under the cursor, with a reason", least=5),
    Action("not_needed", "x", "", "The check under the cursor is not needed, with a reason"),
    Action(
        "weigh", "b", "weigh", "Weigh a batch; on a batch that is weighed, note it as mixed, then as in form"
    ),
    Action("poured", "p", "poured", "Log a lift as poured, and start its timers"),
    Action("reading", "r", "read", "Take a reading, the likeliest first"),
    Action("note", "n", "note", "Write a note into the journal"),
    Action("layout", "l", "layout", "Lay the pieces out in the form, to scale", least=2),
    Action("slabs", "s", "slabs", "Slabs: outlines, saw lines, pieces, and where a part fits", least=2),
    Action("journal", "j", "journal", "Everything that happened, to search, strike or correct", least=2),
    Action("so_far", "o", "", "What was done so far, what happened meanwhile, what comes next"),
    Action("copy_out", "c", "", "Write a copy out: a drawing to scale, full-size templates, the journal"),
    Action("refit", "f", "", "Fit the resin anew: take the logged peak of the open lift as a test pour"),
    Action("insert_lift", "i", "", "Insert a lift below the one open, on the lifts stage"),
    Action("next_open", "w", "what next", "Go to the next check that waits for nothing", least=1),
    Action(
        "across",
        "v",
        "across room",
        "The nearest deadline as large as there is room, for across the room",
        least=6,
    ),
    Action("undo", "u", "undo", "Take the last action back"),
    THEME,
    Action("keys", "question_mark", "keys", "All keys", shown_as="?"),
    Action("leave", "q", "leave", "Back to the list of projects, or out"),
)
