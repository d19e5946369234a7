"""Other keys for the actions, as the settings say: which are sound, what is wrong with the rest."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final, Protocol, runtime_checkable

from workshop.tui.actions import BUILD_ACTIONS, Action

KEY_NAMES: Final = (
    *("up", "down", "left", "right", "pageup", "pagedown", "home", "end", "insert", "delete", "backspace"),
    *("space", "f2", "f3", "f4", "f7", "f8", "f9", "f10", "f11", "f12"),
)
"""Keys by name that reach the program through every terminal we know of."""

_TAKEN: Final = {
    "tab": "moves between the parts of a page",
    "enter": "opens and keeps",
    "escape": "leaves a field",
    "f1": "is taken by many terminals",
    "f5": "is taken by many terminals",
    "f6": "is taken by many terminals",
    "ctrl+h": "is backspace in a terminal",
    "ctrl+i": "is tab in a terminal",
    "ctrl+j": "is enter in a terminal",
    "ctrl+m": "is enter in a terminal",
    "ctrl+p": "opens the palette",
    "ctrl+c": "copies or interrupts",
    "ctrl+q": "ends the program",
}
_SPELLED: Final = {
    "page up": "pageup",
    "page down": "pagedown",
    "return": "enter",
    "esc": "escape",
    " ": "space",
    "↑": "up",
    "↓": "down",
    "←": "left",
    "→": "right",
}
_SHOWN: Final = {
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "pageup": "page up",
    "pagedown": "page down",
}


@dataclass(frozen=True, slots=True)
class KeyFault:
    """What is wrong with the key that the settings give an action."""

    action: str
    what: str
    mend: str

    def __str__(self) -> str:
        stop = "" if self.mend.endswith("?") else "."
        return f"keys.{self.action}: {self.what}; {self.mend}{stop}"


@runtime_checkable
class HasKeys(Protocol):
    """The program, as the one who knows which keys were chosen."""

    @property
    def keys_chosen(self) -> Mapping[str, str]:
        """Action name to key, sound ones only."""


def in_force(program: object, actions: Iterable[Action]) -> tuple[Action, ...]:
    """These actions with the keys that they have in this program."""
    return keymap(actions, program.keys_chosen if isinstance(program, HasKeys) else {})


def key_of(program: object, action: str) -> str:
    """The key of one action of the build screen, as the footer prints it."""
    return next(held.key_shown for held in in_force(program, BUILD_ACTIONS) if held.name == action)


def keymap(actions: Iterable[Action], keys: Mapping[str, str]) -> tuple[Action, ...]:
    """The actions with other keys, by name; all keys must be sound (`sound_keys`)."""
    made = []
    for action in actions:
        key = keys.get(action.name)
        if key is None or pressed(key) == action.key:
            made.append(action)
        else:
            name = pressed(key)
            made.append(replace(action, key=name, shown_as=shown(name)))
    return tuple(made)


def sound_keys(
    keys: Mapping[str, str], *pages: tuple[Action, ...]
) -> tuple[dict[str, str], tuple[KeyFault, ...]]:
    """The keys that can be used, and a sentence for each of the others.

    `pages` are the screens' actions: on each of them every action needs a key of its own.
    """
    known = {action.name: action for page in pages for action in page}
    sound: dict[str, str] = {}
    faults: list[KeyFault] = []
    for name, key in keys.items():
        if name not in known:
            close = difflib.get_close_matches(name, known, 1)
            mend = f"did you mean {close[0]}?" if close else "workshop settings lists every action"
            faults.append(KeyFault(name, "there is no such action", mend))
        elif pressed(key) == known[name].key:
            sound[name] = pressed(key)
        elif wrong := _unusable(key):
            faults.append(KeyFault(name, *wrong))
        else:
            sound[name] = pressed(key)
    # A key taken back may free or need another, so look until nothing clashes.
    while clash := _clash(sound, pages):
        del sound[clash.action]
        faults.append(clash)
    return sound, tuple(faults)


def _clash(keys: Mapping[str, str], pages: Iterable[tuple[Action, ...]]) -> KeyFault | None:
    order = {name: place for place, name in enumerate(keys)}
    for page in pages:
        by_key: dict[str, Action] = {}
        for action in keymap(page, keys):
            other = by_key.setdefault(action.key, action)
            if other.name == action.name:
                continue
            # The key that was not given, or given first, stays where it is.
            has, given = sorted((action, other), key=lambda held: order.get(held.name, -1))
            return KeyFault(
                given.name,
                f"{given.key_shown} is the key of {has.name} too",
                f"give {given.name} or {has.name} another key",
            )
    return None


def _unusable(key: str) -> tuple[str, str] | None:
    """Why a key cannot be given away, and what to do."""
    said = key.strip() or "space"
    mend = "choose a small letter, a sign such as /, or one of f2, f3, f4 and f7 to f12"
    name = said.lower().replace(" ", "") if len(said) > 1 else said
    if name in _TAKEN:
        return f"{said} {_TAKEN[name]}", mend
    if len(said) == 1:
        if said.isdigit():
            return f"{said} is a digit, which goes to a stage", mend
        if said != said.lower():
            return f"{said} needs two keys at once", f"write {said.lower()}"
        return None if said.isprintable() else ("this key has no sign", mend)
    if "+" in said:
        return f"{said} needs two keys at once, which a glove cannot press", mend
    return None if pressed(key) in KEY_NAMES else (f"{said} is no key", mend)


def pressed(key: str) -> str:
    """A key as the terminal's driver calls it: `/` is `slash`, `Page up` is `pageup`."""
    text = key.strip().lower() if len(key.strip()) > 1 else key.strip() or "space"
    text = _SPELLED.get(text, text)
    if len(text) != 1 or text.isalnum():
        return text
    name = unicodedata.name(text, "").lower().replace("-", "_").replace(" ", "_")
    return _DRIVER_NAMES.get(name, name) or text


_DRIVER_NAMES: Final = {
    "solidus": "slash",
    "reverse_solidus": "backslash",
    "commercial_at": "at",
    "hyphen_minus": "minus",
    "plus_sign": "plus",
    "low_line": "underscore",
}


def shown(name: str) -> str:
    """A key as the footer prints it: the sign where it has one."""
    for sign in "?/\\.,;:'\"!@#$%^&*()-_=+[]{}<>|`~":
        if pressed(sign) == name:
            return sign
    return _SHOWN.get(name, name)
