"""The program on the screen: one theme, the list of projects, one open build."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.screen import Screen

from workshop.clock import Clock
from workshop.project.example import open_path
from workshop.project.faults import FileFault, FileFaults
from workshop.tui.build_screen import BuildScreen
from workshop.tui.list_screen import ListScreen
from workshop.tui.palette import FigureSearch, action_commands
from workshop.tui.theme import DUSK


class WorkshopApp(App[None]):
    """Opens a project file, or the list of those in a folder."""

    CSS_PATH = "app.tcss"
    TITLE = "workshop"
    ENABLE_COMMAND_PALETTE = True
    COMMANDS: ClassVar = {action_commands, lambda: FigureSearch}

    def __init__(self, folder: Path, file: Path | None, clock: Clock) -> None:
        """`file` is opened at once; a fault of it is raised here, before the screen changes."""
        super().__init__()
        self.folder, self.clock = folder, clock
        self._first = self._build(file) if file is not None else None
        self.register_theme(DUSK)
        self.theme = DUSK.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our colour names, so that a style sheet finds them whatever the theme."""
        return dict(DUSK.variables)

    def on_mount(self) -> None:
        """Show what was asked for; the list stands behind it."""
        self.push_screen(ListScreen(self.folder, self.clock))
        if self._first is not None:
            self.push_screen(self._first)

    def _build(self, file: Path) -> BuildScreen:
        return BuildScreen(open_path(file, self.folder, self.clock.now()), self.clock)

    def open_file(self, file: Path) -> None:
        """Open a project over the list, or say why not."""
        try:
            self.push_screen(self._build(file))
        except (FileFault, FileFaults) as fault:
            top: Screen[object] = self.screen
            if isinstance(top, ListScreen):
                top.say(str(fault))
