"""Whatever a maker typed, or another program wrote, is shown as text: no screen breaks, nothing is markup."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

from tests.tui.conftest import Shop, Start
from workshop.project.loading import load_text
from workshop.project.project import Project
from workshop.project.reading import dumps
from workshop.project.store import read
from workshop.tui.list_screen import ListScreen
from workshop.tui.rows import InputRow

MARKUP = "[/foo] [red]x[/red] [@click=app.quit]q[/] $name \\[b]"
STEERING = (
    "\x1b[31mred\x1b[0m\x07 \x9b2J\x08\x7f a\tb\nc\r\nd\x0be\u2028f "
    "\u202eabc\u202c \u2066x\u2069 \u200f\u05d0 \ufeff"
)
WIDE = "漢字かなカナ한글" * 3 + " 👩\u200d👩\u200d👧 e\u0301\u0301\u0301 \U000e0041"
HOSTILE = (f"{MARKUP} {STEERING} {WIDE}", "x" * 5000, WIDE.replace(" ", "") * 20)
hostile = pytest.mark.parametrize("text", HOSTILE, ids=["mixed", "long", "wide"])

FREE = (
    ("project", "name"),
    ("project", "about"),
    ("slab", "ash-wide", "note"),
    ("slab", "ash-wide", "species"),
    ("resin", "slow-blue", "lot"),
    ("finish", "kind"),
    ("frame", "kind"),
    ("record", "accepted", "wood-wet", "ash-narrow", "reason"),
    ("record", "done", "form", "seat", "water-test", "not-needed"),
    ("record", "done", "form", "seat", "pieces-dry-fitted", "rested-on", "piece.p1.place"),
)
"""Places whose text is free."""


def hostile_bench(path: Path, text: str) -> Project:
    """The bench with a text in every free place that takes it."""
    project = load_text(read(path).text, path.name)
    for place in FREE:
        if project.at(place[:-1]) is not None:
            project = project.with_value(place, text)
    path.write_text(dumps(dict(project.document)), encoding="utf-8")
    return project


def sound(shop: Shop, text: str) -> str:
    """The screen as text, once nothing on it steers the terminal and every line is as wide as it may be."""
    seen = shop.dump()
    signs = {unicodedata.category(sign) for sign in seen} - {"Zs"}
    assert not signs & {"Cf", "Co", "Zl", "Zp"}
    assert "\x1b" not in seen and "\x07" not in seen and "\x9b" not in seen and "\t" not in seen
    if text.startswith(MARKUP) and "foo" in seen:
        assert "[/foo]" in seen
    return seen


@hostile
async def test_no_text_of_the_project_breaks_a_screen(start: Start, bench: Path, text: str) -> None:
    project = hostile_bench(bench, text)
    async with start() as shop:
        # The header line clips the name and keeps its other end.
        assert sound(shop, text).split("\n")[0].endswith("saved")
        for number, stage in enumerate(shop.build.plan.stages, 1):
            await shop.press("g", str(number))
            assert stage.stage.title.upper() in sound(shop, text)
        await shop.press("g", "1", "up", "h")
        sound(shop, text)
        await shop.press("escape", "q")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        sound(shop, text)
    assert load_text(read(bench).text, bench.name).document == project.document


@pytest.mark.parametrize("text", HOSTILE[:2], ids=["mixed", "long"])
async def test_every_row_of_such_a_project_can_be_stood_on(start: Start, bench: Path, text: str) -> None:
    hostile_bench(bench, text)
    async with start((120, 36)) as shop:
        await shop.press("g", "1", "right")
        answers = [row.key for row in shop.sheet.rows if row.key.startswith("answer:")]
        for key in answers[:2]:
            await shop.stand_on(key)
            await shop.press("enter")
        sound(shop, text)
        for _ in range(6):
            await shop.press("pagedown")
            sound(shop, text)
        inputs = [row for row in shop.sheet.rows if isinstance(row, InputRow) and row.path is not None]
        await shop.stand_on(inputs[0].key)
        await shop.press("e")
        sound(shop, text)


async def test_a_note_and_a_reason_hold_whatever_is_typed(start: Start) -> None:
    typed = "".join(sign for sign in HOSTILE[0] if sign.isprintable())[:120]
    async with start() as shop:
        await shop.press("n")
        await shop.write(typed)
        sound(shop, HOSTILE[0])
        await shop.press("enter", "x")
        await shop.write(typed)
        await shop.press("enter")
        sound(shop, HOSTILE[0])
        await shop.saved()
        note = shop.on_disk.document["record"]["journal"]["notes"][-1]
        assert note.partition(" | seat/strip | ")[2] == typed.strip()


async def test_a_wrong_value_of_any_sort_is_told_and_breaks_nothing(start: Start) -> None:
    typed = "".join(sign for sign in HOSTILE[0] if sign.isprintable())[:120]
    async with start((60, 20)) as shop:
        await shop.stand_on("answer:resin-volume@seat/strip")
        await shop.press("enter")
        await shop.stand_on("input:resin-volume@seat/strip:depth")
        await shop.press("e")
        await shop.write(typed)
        assert shop.field.value == typed
        assert shop.fault()
        sound(shop, HOSTILE[0])
        await shop.press("enter", "escape")
        assert shop.sheet.has_focus


async def test_the_palette_shows_a_hostile_name_as_text(start: Start, bench: Path) -> None:
    hostile_bench(bench, HOSTILE[0])
    async with start() as shop:
        await shop.press("ctrl+p")
        await shop.write("resin")
        assert "resin" in shop.dump()
        await shop.press("escape")
