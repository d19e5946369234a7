"""Every action of the slabs' screen, once. Imports nothing of the screens."""

from __future__ import annotations

from typing import Final

from workshop.tui.actions import THEME, Action

SLABS: Final = "slabs"
"""The id of the slabs' screen."""

# Names of its own, or the layout's, also for what the build has: a key chosen there must not clash here.
SLAB_ACTIONS: Final = (
    Action("move(0, 1)", "up", "", "Move the cursor, or the saw line in hand, away from you", True, "↑"),
    Action("move(0, -1)", "down", "", "Move it towards you", True, "↓"),
    Action("move(-1, 0)", "left", "", "Move it to the left", True, "←"),
    Action("move(1, 0)", "right", "move", "Move it to the right", True, "← ↑ ↓ →"),
    Action("page(-1)", "pageup", "", "The words beside the picture, further up", True, "page up"),
    Action("page(1)", "pagedown", "", "The words beside the picture, further down", True, "page down"),
    Action("fine", "f", "fine", "Small steps: 1 mm for 10; 1/16 in for 1/2"),
    Action("next_slab", "n", "next", "The next slab", least=1),
    Action("next_line", "tab", "line", "Take the next saw line in hand, after the last one the cursor"),
    Action("add_line", "a", "add line", "Add a saw line at the cursor: square, along an edge, by two points"),
    Action("drop_line", "x", "drop", "Drop the saw line in hand", least=1),
    Action("mark", "p", "piece", "Mark a piece at the cursor: what the saw lines leave round it"),
    Action("bring", "b", "outline", "Bring the outline of the slab in from a file"),
    Action("wanted", "w", "wanted", "Find where a wanted part fits, on every slab and offcut"),
    Action("together", "j", "all wanted", "Lay every wanted piece on the slabs together"),
    Action("take", "enter", "", "Take the place that is shown", shown_as="enter"),
    Action("stop", "space", "", "Stop the search and keep the best so far"),
    Action("zoom", "z", "zoom", "Larger about the cursor: 2 times, 4 times, all again", least=2),
    Action("numbers", "l", "list", "The slab in numbers, or the picture again", least=2),
    Action("take_back", "u", "undo", "Take the last action back"),
    THEME,
    Action("slab_keys", "question_mark", "keys", "All keys", shown_as="?"),
    Action("go_back", "q", "back", "Back to the build"),
)
