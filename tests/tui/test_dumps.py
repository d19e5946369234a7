"""What every screen shows, as readable text files that were looked at before they were kept.

A change of a screen changes its file: look at the difference, then keep it with WORKSHOP_DUMPS=keep.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.tui.conftest import EVENING, Shop, Start
from workshop.tui.picture_pane import PicturePane
from workshop.tui.side_column import SideColumn

DUMPS = Path(__file__).parent / "dumps"

SCREENS: dict[str, tuple[str, ...]] = {
    "build": (),
    "findings": ("g", "5"),
    "needs": ("g", "6"),
    "calculator": ("tab", "enter", "down", "down"),
    "editing": ("tab", "enter", "down", "down", "e"),
    "worked-out": ("tab", "h"),
    "keys": ("question_mark",),
    "across-the-room": ("v",),
    "weigh": ("b",),
    "poured": ("p",),
    "reading": ("r",),
    "note": ("n",),
    "journal": ("j",),
    "coming-back": ("o",),
}
SIZES = ((80, 24), (120, 36))


def compare(name: str, text: str) -> None:
    """The text is as it was kept; with WORKSHOP_DUMPS=keep it is kept now."""
    path = DUMPS / f"{name}.txt"
    if os.environ.get("WORKSHOP_DUMPS") == "keep":
        path.write_text(text + "\n", encoding="utf-8")
    assert path.exists(), f"{path.name} was never kept: look at it, then run with WORKSHOP_DUMPS=keep"
    assert text + "\n" == path.read_text(encoding="utf-8")


async def pictures(shop: Shop) -> None:
    """Wait for the pictures, which come after the first paint, where there is a place for them."""
    if shop.build.query_one(SideColumn).display:
        await shop.until(lambda: len(shop.build.query(PicturePane)) == 2, "the pictures")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", SCREENS)
async def test_a_screen_shows_what_was_looked_at(start: Start, name: str, size: tuple[int, int]) -> None:
    async with start(size) as shop:
        await pictures(shop)
        await shop.press(*SCREENS[name])
        compare(f"{name}-{size[0]}x{size[1]}", shop.dump())


async def test_without_colour_the_words_and_signs_stay(start: Start, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with start((120, 36)) as shop:
        await pictures(shop)
        compare("no-colour-120x36", shop.dump())


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", ["list", "new-project"])
async def test_the_list_shows_what_was_looked_at(
    start: Start, bench: Path, monkeypatch: pytest.MonkeyPatch, name: str, size: tuple[int, int]
) -> None:
    os.utime(bench, (EVENING.timestamp() - 600, EVENING.timestamp() - 600))
    monkeypatch.chdir(bench.parent.parent)
    async with start(size, file=None, folder=Path(bench.parent.name)) as shop:
        await shop.until(lambda: "next:" in shop.dump(), "what is next on the bench")
        if name == "new-project":
            await shop.press("n")
        compare(f"{name}-{size[0]}x{size[1]}", shop.dump())


@pytest.mark.parametrize("name", SCREENS)
async def test_without_colour_the_words_and_signs_stay_at_80_columns(
    start: Start, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with start((80, 24)) as shop:
        await shop.press(*SCREENS[name])
        compare(f"no-colour-{name}-80x24", shop.dump())
