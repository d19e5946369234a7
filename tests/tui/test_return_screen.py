"""Coming back after weeks: the page first, its rows leading where they say, and the build behind it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.tui.conftest import SIZES, Shop, ShopClock, Start
from workshop.project.loading import load_text
from workshop.project.reading import dumps
from workshop.project.store import read
from workshop.tui.journal_rows import JournalRow
from workshop.tui.journal_screen import JournalScreen
from workshop.tui.reading_rows import ReadingRow
from workshop.tui.reading_screen import ReadingScreen
from workshop.tui.return_screen import BackRow, ReturnScreen
from workshop.tui.rows import CheckRow

every_size = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")

HOSTILE = "[/foo] [red]x[/red] $name \\[b] 漢字かな"


@pytest.fixture
def weeks_later(shop_clock: ShopClock) -> ShopClock:
    """Three weeks after the evening of the second pour."""
    shop_clock.later(days=21)
    return shop_clock


def listed(shop: Shop) -> list[BackRow]:
    """The rows of the page."""
    return [row for row in shop.sheet.rows if isinstance(row, BackRow)]


def key_of(shop: Shop, words: str) -> str:
    """The key of the row with these words."""
    units = shop.project.units
    return next(row.key for row in listed(shop) if words in row.held.say(units))


@every_size
async def test_after_three_weeks_the_page_comes_first(
    start: Start, weeks_later: ShopClock, size: tuple[int, int]
) -> None:
    async with start(size) as shop:
        assert isinstance(shop.app.screen, ReturnScreen)
        assert "away for 21 days" in shop.dump().splitlines()[0]
        assert "LAST" in shop.dump()
        said = [row.held.say(shop.project.units) for row in listed(shop)]
        # Poured at 19:31; the window shuts in the second night or the day after.
        shut = re.compile(r"seat/strip: window shut (18|19) days ago: scuff first, P120, wipe, dry")
        assert any(shut.fullmatch(text) for text in said)
        assert any("shop: temperature reading 21 days old" in text for text in said)
        heads = " ".join(row.key for row in shop.sheet.rows)
        order = [
            heads.index(f"head:{title}") for title in ("Last", "While", "Read again", "Next", "Buy first")
        ]
        assert order == sorted(order)
        for row in listed(shop):
            await shop.stand_on(row.key)
            shop.dump()
        await shop.press("q")
        assert shop.on_build


async def test_an_hour_later_there_is_no_such_page_and_o_opens_it(start: Start) -> None:
    async with start() as shop:
        assert shop.on_build
        await shop.press("o")
        assert isinstance(shop.app.screen, ReturnScreen)
        assert "Pass the bubbles" in shop.dump()
        await shop.press("escape")
        assert shop.on_build


@every_size
async def test_a_stale_reading_is_typed_anew_from_the_page(
    start: Start, weeks_later: ShopClock, size: tuple[int, int]
) -> None:
    async with start(size) as shop:
        await shop.stand_on(key_of(shop, "shop: temperature reading"))
        await shop.press("enter")
        assert isinstance(shop.app.screen, ReadingScreen)
        row = shop.row
        assert isinstance(row, ReadingRow) and (row.wanted.subject, row.wanted.key) == ("shop", "temperature")
        await shop.write("16")
        await shop.press("enter")
        await shop.write("58")
        await shop.press("enter")
        assert shop.on_build
        held = shop.project.file.record.readings["shop"][-1]
        assert held.temperature is not None and held.temperature.text == "16 °C"
        await shop.press("o")
        assert not any("shop: " in row.held.say(shop.project.units) for row in listed(shop)[1:])


async def test_a_timer_leads_to_what_it_means_now(start: Start, weeks_later: ShopClock) -> None:
    async with start() as shop:
        await shop.stand_on(key_of(shop, "window shut"))
        await shop.press("enter")
        assert shop.on_build and shop.build.scope.path == "seat/top"
        row = shop.row
        assert isinstance(row, CheckRow) and row.check.key == "surface-ready@seat/top"


async def test_what_comes_next_is_stood_on(start: Start, weeks_later: ShopClock) -> None:
    async with start() as shop:
        row = next(row for row in listed(shop) if row.key.startswith("Next"))
        await shop.stand_on(row.key)
        await shop.press("enter")
        held = shop.row
        assert shop.on_build and isinstance(held, CheckRow) and held.check.key == row.held.target.key


async def test_the_last_thing_that_stands_on_no_page_leads_to_its_line_in_the_journal(
    start: Start, weeks_later: ShopClock
) -> None:
    async with start() as shop:
        # The shop's air was read last, which stands on no page of its own.
        await shop.press("enter")
        assert isinstance(shop.app.screen, JournalScreen)
        row = shop.row
        assert isinstance(row, JournalRow) and "temperature 17.5" in row.entry.say()


async def test_every_row_leads_somewhere_and_nothing_breaks(start: Start, weeks_later: ShopClock) -> None:
    async with start() as shop:
        for number in range(len(listed(shop))):
            assert isinstance(shop.app.screen, ReturnScreen)
            await shop.stand_on(listed(shop)[number].key)
            await shop.press("enter")
            shop.dump()
            while not shop.on_build:
                await shop.press("escape")
            await shop.press("o")


async def test_a_build_that_was_never_begun_has_no_such_page(
    start: Start, weeks_later: ShopClock, bench: Path
) -> None:
    project = load_text(read(bench).text, bench.name).without(("record",))
    bench.write_text(dumps(dict(project.document)), encoding="utf-8")
    async with start() as shop:
        assert shop.on_build
        await shop.press("o")
        assert isinstance(shop.app.screen, ReturnScreen)
        shop.dump()


@every_size
async def test_whatever_was_typed_is_shown_as_text(
    start: Start, weeks_later: ShopClock, bench: Path, size: tuple[int, int]
) -> None:
    project = load_text(read(bench).text, bench.name)
    line = f"2026-03-09 20:39:00+01:00 | seat/strip | {HOSTILE} {'x' * 500}"
    project = project.with_value(("record", "journal", "notes"), [line])
    project = project.with_value(("project", "name"), HOSTILE)
    bench.write_text(dumps(dict(project.document)), encoding="utf-8")
    async with start(size) as shop:
        assert isinstance(shop.app.screen, ReturnScreen)
        assert shop.dump().count("[red]x[/red]") >= 2
        await shop.press("enter")
        shop.dump()
