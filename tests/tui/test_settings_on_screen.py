"""Themes, quiet hours and stillness: what the maker's settings do on the screens."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.conftest import Start
from workshop.project.hours import QuietHours
from workshop.settings import THEMES, Settings, ThemeName, read_settings, settings_from
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.build_screen import RING_EVERY
from workshop.tui.list_screen import ListScreen

NIGHT = Settings(quiet=QuietHours.read("20:00 to 7:00"))
"""The evening of the pour, 20:40 in the shop, lies within."""
STILL = settings_from("reduced-motion = true", Path("settings.toml"))


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_every_screen_stands_in_every_theme(
    start: Start, theme: ThemeName, size: tuple[int, int]
) -> None:
    async with start(size=size, settings=Settings(theme=theme)) as shop:
        assert shop.app.theme == theme
        for key in ("v", "question_mark", "h"):
            await shop.press(key)
            assert shop.dump().strip()
            await shop.press("escape")
        await shop.press("ctrl+p")
        await shop.press("escape")
        await shop.press("q")
        assert isinstance(shop.app.screen, ListScreen)


async def test_one_key_goes_through_our_themes_and_the_choice_is_kept(start: Start, tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('# mine\nunits = "us"\n', encoding="utf-8")
    async with start(settings_file=path) as shop:
        for theme in ("daylight", "contrast", "terminal", "dusk", "daylight"):
            await shop.press("d")
            assert shop.app.theme == theme
            assert shop.message() == f"Theme: {theme}."
            assert read_settings(path).theme == theme
    assert "# mine" in path.read_text(encoding="utf-8")
    assert read_settings(path).units == "us"


async def test_the_theme_changes_on_the_list_too(start: Start) -> None:
    async with start(file=None) as shop:
        await shop.press("d")
        assert (shop.app.theme, shop.message()) == ("daylight", "Theme: daylight.")


async def test_a_theme_that_cannot_be_kept_is_said_and_shown_all_the_same(
    start: Start, tmp_path: Path
) -> None:
    (tmp_path / "blocked").write_text("", encoding="utf-8")
    async with start(settings_file=tmp_path / "blocked" / "settings.toml") as shop:
        await shop.press("d")
        assert shop.app.theme == "daylight"
        assert "not kept" in shop.message()


async def test_nothing_offers_a_theme_that_is_not_ours(start: Start) -> None:
    async with start() as shop:
        assert tuple(shop.app.available_themes) == THEMES
        await shop.press("ctrl+p")
        await shop.write("theme")
        await shop.until(lambda: "Next theme" in shop.dump(), "the action")
        assert shop.dump().lower().count("theme") == 2


async def test_without_colour_every_state_is_a_word_or_a_sign(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with start(size=(120, 60)) as shop:
        assert shop.app.no_color
        shown = shop.dump()
        # A done check, an open one, one that waits, stages begun and untouched, the row under the cursor.
        for sign in ("■ ", "□ ", "waits", "◐ ", "○ ", "▐"):
            assert sign in shown
        assert "▲ warn" in shown
        assert "saved" in shown
        # The late timer says so, and the section is told in words.
        shop.time.later(minutes=55)
        await shop.until(lambda: "LATE, rings" in shop.dump(), "the alarm")


async def test_with_reduced_motion_nothing_slides_or_blinks(start: Start) -> None:
    async with start(settings=STILL) as shop:
        assert shop.app.animation_level == "none"
        await shop.press("n")
        assert not shop.app.screen.query_one(Input).cursor_blink


async def test_in_quiet_hours_an_alarm_shows_and_is_not_heard(start: Start) -> None:
    async with start(settings=NIGHT) as shop:
        shop.time.later(minutes=55)
        await shop.until(lambda: "LATE, rings" in shop.dump(), "the alarm")
        assert "quiet until 7:00" in shop.dump()
        shop.time.later(minutes=1)
        await shop.until(lambda: shop.build._standing.now == shop.time.wall, "a second")
        assert shop.rung == []
        await shop.press("v")
        assert "quiet until 7:00" in shop.dump()


async def test_after_the_quiet_hours_it_rings_if_nobody_has_heard_it(start: Start) -> None:
    async with start(settings=NIGHT) as shop:
        shop.time.later(minutes=55)
        await shop.until(lambda: "LATE, rings" in shop.dump(), "the alarm")
        shop.time.later(hours=9, minutes=30)
        await shop.until(lambda: bool(shop.rung), "the ring at 7:05")
        assert "quiet until" not in shop.dump()
        first = len(shop.rung)
        shop.time.later(seconds=RING_EVERY + 1)
        await shop.until(lambda: len(shop.rung) > first, "the ring again")


async def test_the_hours_of_the_shop_come_before_the_makers_own(start: Start, bench: Path) -> None:
    text = bench.read_text(encoding="utf-8")
    assert "[shop]\n" in text
    bench.write_text(text.replace("[shop]\n", '[shop]\nquiet = "12:00 to 13:00"\n'), encoding="utf-8")
    async with start(settings=NIGHT) as shop:
        shop.time.later(minutes=55)
        await shop.until(lambda: bool(shop.rung), "the ring")
        assert "quiet until" not in shop.dump()


async def test_nothing_is_said_of_quiet_while_nothing_rings(start: Start) -> None:
    async with start(settings=NIGHT) as shop:
        await shop.press(*[action.key for action in BUILD_ACTIONS if action.name == "heard"])
        assert "quiet until" not in shop.dump()
