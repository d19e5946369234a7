"""The settings in force as text and as JSON: what the file says, and the defaults for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from workshop.project.faults import FileFault
from workshop.project.lines import lines, where
from workshop.project.reading import dumps, read
from workshop.settings import Settings, own_tables
from workshop.tui.actions import BUILD_ACTIONS, Action
from workshop.tui.keymap import KEY_NAMES, keymap, shown, sound_keys
from workshop.tui.layout_actions import LAYOUT_ACTIONS
from workshop.tui.list_actions import LIST_ACTIONS
from workshop.tui.slab_actions import SLAB_ACTIONS

PAGES: Final = (BUILD_ACTIONS, LIST_ACTIONS, LAYOUT_ACTIONS, SLAB_ACTIONS)
"""The screens whose keys can be chosen."""


def key_faults(settings: Settings, path: Path) -> tuple[FileFault, ...]:
    """What is wrong with the keys in the settings file, in the order of the file."""
    _sound, faults = sound_keys(settings.keys, *PAGES)
    if not faults:
        return ()
    numbered = lines(read(path).text)
    placed = [
        FileFault(
            path, where(numbered, ("keys", fault.action)), f"keys.{fault.action}", fault.what, fault.mend
        )
        for fault in faults
    ]
    return tuple(sorted(placed, key=lambda fault: fault.line or 0))


def settings_document(settings: Settings, path: Path) -> dict[str, Any]:
    """Every setting in force, the keys of all actions among them, as a document."""
    sound, _faults = sound_keys(settings.keys, *PAGES)
    plain: dict[str, Any] = {
        "format": settings.format,
        "units": settings.units,
        "inch-fraction": settings.inch_fraction,
        "currency": settings.currency,
        "theme": settings.theme,
        "reduced-motion": settings.reduced_motion,
        "quiet": settings.quiet.text if settings.quiet is not None else None,
        "projects": settings.projects,
        "keys": {action.name: _key(action) for page in PAGES for action in keymap(page, sound)},
        **own_tables(path),
    }
    return {key: held for key, held in plain.items() if held is not None}


def _key(action: Action) -> str:
    """The key as one may write it: the sign where it has one."""
    return action.key if action.key in KEY_NAMES else shown(action.key)


def settings_text(settings: Settings, path: Path) -> Iterator[str]:
    """The path, and the settings in force as TOML."""
    yield f"# {path}" if path.exists() else f"# {path} (not there yet; these are the defaults)"
    yield dumps(settings_document(settings, path)).rstrip("\n")
