"""Keys of the maker's own: what may be given to which action, and that it is the key pressed and shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.conftest import Start
from workshop.settings import Settings
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.keymap import keymap, pressed, sound_keys
from workshop.tui.list_actions import LIST_ACTIONS


def said(**keys: str) -> list[str]:
    """What is wrong with these keys, a sentence each."""
    named = {name.replace("_", "-"): key for name, key in keys.items()}
    return [str(fault) for fault in sound_keys(named, BUILD_ACTIONS)[1]]


def test_every_action_has_a_key_of_its_own_on_its_screen() -> None:
    for page in (BUILD_ACTIONS, LIST_ACTIONS):
        keys = [action.key for action in page]
        assert sorted(set(keys)) == sorted(keys)
        names = [action.name for action in page]
        assert sorted(set(names)) == sorted(names)


def test_an_action_is_given_another_key_and_the_rest_keep_theirs() -> None:
    made = {action.name: action for action in keymap(BUILD_ACTIONS, {"undo": "/"})}
    assert (made["undo"].key, made["undo"].key_shown) == ("slash", "/")
    assert all(made[held.name] == held for held in BUILD_ACTIONS if held.name != "undo")


def test_two_actions_may_change_places() -> None:
    sound, faults = sound_keys({"undo": "n", "note": "u"}, BUILD_ACTIONS)
    assert (sound, faults) == ({"undo": "n", "note": "u"}, ())


def test_the_key_that_an_action_has_may_be_written_down() -> None:
    written = {action.name: action.key for action in BUILD_ACTIONS}
    assert sound_keys(written, BUILD_ACTIONS) == (written, ())


@pytest.mark.parametrize(
    ("keys", "what"),
    [
        ({"undo": "n"}, "n is the key of note too; give undo or note another key."),
        ({"undo": "4"}, "4 is a digit, which goes to a stage; choose a small letter"),
        ({"undo": "tab"}, "tab moves between the parts of a page"),
        ({"undo": "enter"}, "enter opens and keeps"),
        ({"undo": "Escape"}, "Escape leaves a field"),
        ({"undo": "ctrl+h"}, "ctrl+h is backspace in a terminal"),
        ({"undo": "ctrl+i"}, "ctrl+i is tab in a terminal"),
        ({"undo": "ctrl+m"}, "ctrl+m is enter in a terminal"),
        ({"undo": "ctrl+z"}, "ctrl+z needs two keys at once, which a glove cannot press"),
        ({"undo": "f1"}, "f1 is taken by many terminals"),
        ({"undo": "U"}, "U needs two keys at once; write u."),
        ({"undo": "banana"}, "banana is no key"),
        ({"undoo": "z"}, "there is no such action; did you mean undo?"),
        ({"frobnicate": "z"}, "there is no such action; workshop settings lists every action."),
    ],
)
def test_a_key_that_cannot_be_had_is_refused_with_the_mend(keys: dict[str, str], what: str) -> None:
    faults = said(**keys)
    assert len(faults) == 1
    assert what in faults[0]
    assert faults[0].startswith(f"keys.{next(iter(keys))}: ")


def test_a_refused_key_takes_nothing_from_the_others() -> None:
    sound, faults = sound_keys({"undo": "z", "note": "7", "heard": "z"}, BUILD_ACTIONS)
    assert sound == {"undo": "z"}
    assert [fault.action for fault in faults] == ["note", "heard"]


def test_a_key_freed_by_a_refused_one_is_taken_back_too() -> None:
    # undo may have n only while note has another key, and note may not have a digit.
    sound, faults = sound_keys({"undo": "n", "note": "7"}, BUILD_ACTIONS)
    assert (sound, len(faults)) == ({}, 2)


@pytest.mark.parametrize(("written", "name"), [("?", "question_mark"), (" ", "space"), ("Page up", "pageup")])
def test_a_key_is_written_as_it_is_called_or_printed(written: str, name: str) -> None:
    assert pressed(written) == name


async def test_the_key_of_the_settings_is_the_one_that_acts_and_shows(start: Start) -> None:
    async with start(size=(120, 36), settings=Settings(keys={"note": "z", "undo": "n"})) as shop:
        foot = shop.dump().splitlines()[-2:]
        assert any("z note" in row for row in foot) and any("n undo" in row for row in foot)
        await shop.press("z")
        assert not shop.on_build
        await shop.press("escape")
        await shop.press("n")
        assert "take back" in shop.message()
        await shop.press("u")
        assert shop.on_build
        await shop.press("question_mark", *["down"] * 8)
        assert "n  Take the last action back" in shop.dump()


async def test_the_keys_of_the_room_view_follow(start: Start) -> None:
    async with start(settings=Settings(keys={"across": "y"})) as shop:
        await shop.press("y")
        assert not shop.on_build
        await shop.press("y")
        assert shop.on_build


async def test_a_faulty_key_is_said_once_and_the_old_one_holds(start: Start) -> None:
    async with start(settings=Settings(keys={"undo": "7", "noot": "z"})) as shop:
        assert "keys.undo: 7 is a digit" in shop.message()
        assert "1 more" in shop.message()
        await shop.press("u")
        assert "take back" in shop.message()


async def test_the_palette_names_the_key_in_force(start: Start) -> None:
    async with start(settings=Settings(keys={"undo": "z"})) as shop:
        await shop.press("ctrl+p")
        await shop.write("last action back")
        await shop.until(lambda: "Take the last action back  (z)" in shop.dump(), "the action")


def test_the_list_of_actions_knows_nothing_of_the_screens() -> None:
    for name in ("actions", "keymap", "list_actions"):
        text = (Path(__file__).parents[2] / "workshop" / "tui" / f"{name}.py").read_text(encoding="utf-8")
        before = text.partition("\n@dataclass")[0].partition("if TYPE_CHECKING")[0]
        assert "textual" not in before
