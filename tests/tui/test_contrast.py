"""Text as it is really painted, over tints, bars and other screens, can be read in every theme of ours.

WCAG 2.1, success criterion 1.4.3: 4.5 to 1. Block elements are pictures, for which 1.4.11 asks 3 to 1; here
only text is looked at.
"""

from __future__ import annotations

import pytest
from rich.segment import Segment
from textual.geometry import Region
from textual.screen import Screen
from textual.widget import Widget

from tests.tui.conftest import Start
from workshop.settings import Settings, ThemeName
from workshop.tui.picture_pane import PicturePane
from workshop.tui.theme import PALETTES, contrast

COLOURED: tuple[ThemeName, ...] = tuple(name for name in ("dusk", "daylight", "contrast"))


def painted(screen: Screen[object]) -> list[Segment]:
    """What the widgets of the top screen paint, pictures left out, which have their own test."""
    found: list[Segment] = []
    for widget in screen.walk_children(Widget):
        shown = all(held.display for held in (widget, *widget.ancestors) if isinstance(held, Widget))
        if isinstance(widget, PicturePane) or not shown or not widget.visible:
            continue
        place = widget.region
        for strip in widget.render_lines(Region(0, 0, place.width, place.height)):
            found += list(strip)
    return found


def faint(screen: Screen[object]) -> set[tuple[str, str, str]]:
    """Text with its colour and ground where the two are too close."""
    close = set()
    for segment in painted(screen):
        style = segment.style
        if style is None or not any(sign.isalnum() for sign in segment.text):
            continue
        if style.color is None or style.bgcolor is None:
            continue
        fore, back = style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex
        if style.reverse:
            fore, back = back, fore
        if contrast(fore, back) < 4.5 or style.dim:
            close.add((segment.text, fore, back))
    return close


@pytest.mark.parametrize("theme", COLOURED)
@pytest.mark.parametrize(
    "keys",
    [
        (),
        ("down",) * 3,
        ("question_mark",),
        ("h",),
        ("n", "a", "b"),
        ("v",),
        ("g", "1", "e"),
    ],
    ids=lambda keys: "-".join(keys) or "as it opens",
)
@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=str)
async def test_what_is_painted_can_be_read(
    start: Start, theme: ThemeName, keys: tuple[str, ...], size: tuple[int, int]
) -> None:
    async with start(size=size, settings=Settings(theme=theme)) as shop:
        await shop.press(*keys)
        assert any(segment.text.strip() for segment in painted(shop.app.screen))
        assert faint(shop.app.screen) == set()


@pytest.mark.parametrize("theme", COLOURED)
async def test_the_palette_can_be_read(start: Start, theme: ThemeName) -> None:
    async with start(settings=Settings(theme=theme)) as shop:
        await shop.press("ctrl+p")
        await shop.write("resin")
        await shop.until(lambda: "Resin to mix" in shop.dump(), "the figures")
        await shop.press("down")
        assert faint(shop.app.screen) == set()


@pytest.mark.parametrize("theme", COLOURED)
async def test_the_list_can_be_read(start: Start, theme: ThemeName) -> None:
    async with start(size=(120, 36), file=None, settings=Settings(theme=theme)) as shop:
        assert faint(shop.app.screen) == set()


@pytest.mark.parametrize("theme", COLOURED)
def test_selected_text_and_the_cursor_of_a_field_can_be_read(theme: ThemeName) -> None:
    held = PALETTES[theme]
    assert contrast(held.foreground, held.cursor_bar) >= 4.5
    assert contrast(held.background, held.foreground) >= 4.5


@pytest.mark.parametrize("theme", COLOURED)
def test_the_scrollbar_stands_out_from_its_track(theme: ThemeName) -> None:
    # WCAG 2.1, success criterion 1.4.11: 3 to 1 for parts of the interface that are not text.
    held = PALETTES[theme]
    assert contrast(held.stone, held.surface) >= 3
