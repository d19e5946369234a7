"""Every action of the list of projects, once. Imports nothing of the screens."""

from __future__ import annotations

from typing import Final

from workshop.tui.actions import THEME, Action

LIST_ACTIONS: Final = (
    Action("cursor(-1)", "up", "", "One project up", True, "↑"),
    Action("cursor(1)", "down", "", "One project down", True, "↓"),
    Action("cursor(-10)", "pageup", "", "Ten projects up", True, "page up"),
    Action("cursor(10)", "pagedown", "", "Ten projects down", True, "page down"),
    Action("open", "enter", "open", "Open the project; of an example, a copy to work in"),
    Action("new", "n", "new", "Begin a new project with a few questions"),
    Action("copy", "c", "copy", "Make a second project like this one, with or without what was done"),
    Action("rename", "m", "rename", "Give the project another name; its file keeps the one it has"),
    Action("archive", "z", "archive", "Put the project out of sight; on an archived one, bring it back"),
    Action("archived", "s", "archived", "Show what is archived, or hide it again"),
    Action("reload", "r", "look again", "Look into the folder again", least=True),
    THEME,
    Action("keys", "question_mark", "keys", "All keys", shown_as="?"),
    Action("app.quit", "q", "leave", "Leave the program"),
)
