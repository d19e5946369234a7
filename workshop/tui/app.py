"""The program on the screen: the settings, the list of projects, one open build."""

from __future__ import annotations

import gc
from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar

from textual.app import App
from textual.binding import BindingType
from textual.events import DescendantFocus
from textual.screen import Screen
from textual.widgets import Input

from workshop.clock import Clock
from workshop.project.example import open_path
from workshop.project.faults import FileFault, FileFaults
from workshop.settings import DEFAULTS, Settings, keep_setting
from workshop.tui.actions import BUILD_ACTIONS, THEME
from workshop.tui.build_screen import BuildScreen
from workshop.tui.keymap import sound_keys
from workshop.tui.layout_actions import LAYOUT_ACTIONS
from workshop.tui.list_actions import LIST_ACTIONS
from workshop.tui.list_screen import ListScreen
from workshop.tui.palette import FigureSearch, action_commands
from workshop.tui.slab_actions import SLAB_ACTIONS
from workshop.tui.theme import DUSK, THEMES


class WorkshopApp(App[None]):
    """Opens a project file, or the list of those in a folder."""

    CSS_PATH = "app.tcss"
    TITLE = "workshop"
    ENABLE_COMMAND_PALETTE = True
    COMMANDS: ClassVar = {action_commands, lambda: FigureSearch}
    BINDINGS: ClassVar[list[BindingType]] = [THEME.binding()]

    def __init__(
        self,
        folder: Path,
        file: Path | None,
        clock: Clock,
        settings: Settings = DEFAULTS,
        settings_file: Path | None = None,
        faults: tuple[FileFault, ...] = (),
    ) -> None:
        """`file` is opened at once; a fault of it is raised here, before the screen changes.

        `settings_file` keeps what is chosen here; `faults` are those of the settings, said once.
        """
        super().__init__()
        self.folder, self.clock, self.settings = folder, clock, settings
        self._settings_file = settings_file
        self.keys_chosen: Mapping[str, str]
        pages = (BUILD_ACTIONS, LIST_ACTIONS, LAYOUT_ACTIONS, SLAB_ACTIONS)
        self.keys_chosen, wrong = sound_keys(settings.keys, *pages)
        self._faults = (*map(str, faults), *map(str, wrong))
        self._first = self._build(file) if file is not None else None
        foreign = list(self.available_themes)
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = settings.theme
        for name in foreign:
            self.unregister_theme(name)
        self.set_keymap(dict(self.keys_chosen))
        if settings.reduced_motion:
            self.animation_level = "none"

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our colour names, so that a style sheet finds them whatever the theme."""
        return dict(DUSK.variables)

    def on_mount(self) -> None:
        """Show what was asked for; the list comes up when a build that was opened at once is left."""
        if self._first is not None:
            self.push_screen(self._first, lambda _left: self._list())
        else:
            self._list()
        if self._faults:
            more = f" And {len(self._faults) - 1} more: workshop settings shows them." * (
                len(self._faults) > 1
            )
            self.call_after_refresh(self.say, f"Settings: {self._faults[0]}{more}")

    def on_ready(self) -> None:
        """Once all is painted, collect garbage again, what the program is made of left out."""
        self.call_after_refresh(self._settled)

    def _settled(self) -> None:
        if not gc.isenabled():
            gc.freeze()
            gc.enable()

    def _list(self) -> None:
        self.push_screen(ListScreen(self.folder, self.clock))

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """With reduced motion no field blinks, whichever screen it stands on."""
        if self.settings.reduced_motion and isinstance(event.widget, Input):
            event.widget.cursor_blink = False

    def say(self, text: str) -> None:
        """Words on the screen that is open."""
        for screen in reversed(self.screen_stack):
            if isinstance(screen, BuildScreen):
                screen.say(text, 30)
                return
            if isinstance(screen, ListScreen):
                screen.say(text)
                return

    def action_theme(self) -> None:
        """The next of our themes, kept for the next time."""
        names = [theme.name for theme in THEMES]
        self.theme = names[(names.index(self.theme) + 1) % len(names)]
        kept = ""
        if self._settings_file is not None:
            try:
                keep_setting(self._settings_file, "theme", self.theme)
            except FileFault as fault:
                kept = f" It is not kept: {fault}"
        self.say(f"Theme: {self.theme}.{kept}")

    def _build(self, file: Path) -> BuildScreen:
        path = open_path(file, self.folder, self.clock.now())
        return BuildScreen(path, self.clock, self.settings.quiet)

    def open_file(self, file: Path) -> None:
        """Open a project over the list, or say why not."""
        try:
            self.push_screen(self._build(file))
        except (FileFault, FileFaults) as fault:
            top: Screen[object] = self.screen
            if isinstance(top, ListScreen):
                top.say(str(fault))
