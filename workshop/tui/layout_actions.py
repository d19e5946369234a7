"""Every action of the layout screen, once. Imports nothing of the screens."""

from __future__ import annotations

from typing import Final

from workshop.tui.actions import THEME, Action

LAYOUT: Final = "layout"
"""The id of the layout's screen."""

# Names of its own also for what the build has: a key chosen for the build must not clash with a letter here.
LAYOUT_ACTIONS: Final = (
    Action("move(0, 1)", "up", "", "Move the piece, or the cursor, away from you", True, "↑"),
    Action("move(0, -1)", "down", "", "Move it towards you", True, "↓"),
    Action("move(-1, 0)", "left", "", "Move it to the left", True, "←"),
    Action("move(1, 0)", "right", "move", "Move it to the right", True, "← ↑ ↓ →"),
    Action("fine", "f", "fine", "Small steps: 1 mm for 10, 1° for 15; 1/16 in for 1/2"),
    Action("next_piece", "n", "next", "Take the next piece in hand"),
    Action(
        "turn_left",
        "comma",
        "",
        "Turn the piece, or with the cursor the section, against the clock",
        True,
        ",",
    ),
    Action(
        "turn_right",
        "full_stop",
        "turn",
        "Turn the piece, or with the cursor the section, with the clock",
        True,
        ", .",
    ),
    Action("turn_over", "o", "over", "Turn the piece over about the line of its tape"),
    Action("snap", "s", "snap", "Move the piece on, the way it went last, until it touches something"),
    Action("trim", "t", "trim", "Draw saw lines so that the piece ends at the walls of the form"),
    Action("send", "m", "send", "Lay the piece into another casting", least=2),
    Action("swap", "x", "swap", "Saw the piece out of an offcut or another slab", least=2),
    Action("next_casting", "c", "casting", "The next casting", least=1),
    Action("zoom", "z", "zoom", "Larger about the piece or the cursor: 2 times, 4 times, all again"),
    Action("cut_view", "v", "section", "A section across, along, none", least=1),
    Action("pointing", "k", "cursor", "Arrows move a cursor that tells where it stands, or the piece again"),
    Action("set_down", "enter", "", "Set the piece down with its mark at the cursor"),
    Action("guide", "g", "guide", "A guide along the form at the cursor, then across, then none", least=3),
    Action("numbers", "l", "list", "Pieces as a list with their numbers, or the picture again"),
    Action("scroll(-4)", "pageup", "", "The words beside the picture upwards", True, "page up"),
    Action("scroll(4)", "pagedown", "", "The words beside the picture downwards", True, "page down"),
    Action("take_back", "u", "undo", "Take the last action back"),
    THEME,
    Action("layout_keys", "question_mark", "keys", "All keys", shown_as="?"),
    Action("go_back", "q", "back", "Back to the build"),
)
