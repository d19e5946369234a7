"""What is typed reaches the disk, and where it cannot the maker is told and nothing is lost."""

from __future__ import annotations

import errno
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from tests.tui.conftest import Shop, Start
from workshop.project.disk import Disk, replace
from workshop.project.store import Store
from workshop.tui.ask import Ask
from workshop.tui.rows import CheckRow

DEPTH = "input:resin-volume@seat/strip:depth"


class FullDisk:
    """A disk that has no room until some is made."""

    full = True

    def replace(self, source: Path, target: Path) -> None:
        """As the disk does it, where there is room."""
        if self.full:
            raise OSError(errno.ENOSPC, "No space left on device")
        replace(source, target)


@pytest.fixture
def full_disk(monkeypatch: pytest.MonkeyPatch) -> FullDisk:
    """Every project opened from now on lies on a full disk."""
    held = FullDisk()

    def store(path: Path, now: Callable[[], datetime]) -> Store:
        return Store(path, now=now, disk=Disk(replace=held.replace))

    monkeypatch.setattr("workshop.project.opened.Store", store)
    return held


def saved_word(shop: Shop) -> str:
    """What the header says about saving."""
    header = shop.dump().splitlines()[0]
    return next(word for word in ("NOT SAVED", "saving", "saved") if header.endswith(word))


async def test_what_is_done_is_on_disk_within_a_second(start: Start) -> None:
    async with start() as shop:
        row = shop.row
        assert isinstance(row, CheckRow)
        before = shop.file.read_bytes()
        await shop.press("space")
        assert saved_word(shop) == "saving"
        assert shop.file.read_bytes() == before
        shop.time.later(seconds=1)
        await shop.until(lambda: shop.file.read_bytes() != before, "the save")
        await shop.until(lambda: saved_word(shop) == "saved", "the word for it")
        file = shop.on_disk.file
        assert row.check.check.id in file.record.done["lifts"][row.check.subject.path]


async def test_later_changes_do_not_put_off_the_save_of_the_first(start: Start) -> None:
    async with start() as shop:
        before = shop.file.read_bytes()
        await shop.press("space")
        shop.time.later(milliseconds=500)
        await shop.press("space")
        shop.time.later(milliseconds=500)
        await shop.until(lambda: shop.file.read_bytes() != before, "the save")


async def test_a_save_that_fails_is_shown_and_tried_until_it_succeeds(
    start: Start, full_disk: FullDisk
) -> None:
    async with start() as shop:
        before = shop.file.read_bytes()
        await shop.press("n")
        await shop.write("Kept through a full disk")
        await shop.press("enter")
        shop.time.later(seconds=1)
        await shop.until(lambda: saved_word(shop) == "NOT SAVED", "the word for it")
        assert "no space left" in shop.message() and "make room" in shop.message()
        assert shop.file.read_bytes() == before
        await shop.press("q")
        assert shop.app.screen is shop.build
        full_disk.full = False
        shop.time.later(seconds=1)
        await shop.until(lambda: saved_word(shop) == "saved", "the save")
        assert "Kept through a full disk" in shop.file.read_text(encoding="utf-8")


async def test_an_edit_made_outside_is_taken_in_and_ours_is_kept(start: Start) -> None:
    async with start() as shop:
        row = shop.row
        assert isinstance(row, CheckRow)
        text = shop.file.read_text(encoding="utf-8")
        assert 'residue = "3 %"' in text
        shop.file.write_text(text.replace('residue = "3 %"', 'residue = "4 %"', 1), encoding="utf-8")
        await shop.press("space")
        file = await shop.saved()
        assert shop.on_disk.at(("casting", "seat", "residue")).text == "4 %"
        assert row.check.check.id in file.record.done["lifts"][row.check.subject.path]
        assert shop.project.at(("casting", "seat", "residue")).text == "4 %"
        assert shop.build.plan.project is shop.project


async def test_an_edit_made_outside_that_cannot_be_read_is_left_alone_and_told(start: Start) -> None:
    async with start() as shop:
        row = shop.row
        assert isinstance(row, CheckRow)
        shop.file.write_text("format = 2\n[[[", encoding="utf-8")
        await shop.press("space")
        shop.time.later(seconds=1)
        await shop.until(lambda: saved_word(shop) == "NOT SAVED", "the word for it")
        assert shop.file.read_text(encoding="utf-8") == "format = 2\n[[["
        assert any(row.check.check.id in held.read_text() for held in shop.file.parent.glob("*.unsaved-*"))


async def test_while_another_program_writes_the_file_nothing_typed_is_lost(start: Start) -> None:
    async with start() as shop:
        await shop.stand_on("answer:resin-volume@seat/strip")
        await shop.press("enter")
        await shop.stand_on(DEPTH)
        with Store(shop.file, now=lambda: shop.time.wall) as another:
            another.claim()
            await shop.press("e")
            await shop.write("28 mm")
            await shop.press("enter")
            assert (shop.field.has_focus, shop.field.value) == (True, "28 mm")
            assert "is being written by" in shop.fault()
            before = shop.file.read_bytes()
        await shop.press("enter")
        assert not shop.field.has_focus
        await shop.saved()
        assert shop.on_disk.at(("casting", "seat", "lifts", "strip", "to")).text == "28 mm"
        assert shop.file.read_bytes() != before


async def test_while_another_program_writes_the_file_a_check_says_so_and_stays_open(start: Start) -> None:
    async with start() as shop:
        row = shop.row
        assert isinstance(row, CheckRow)
        with Store(shop.file, now=lambda: shop.time.wall) as another:
            another.claim()
            await shop.press("space")
            assert "is being written by" in shop.message()
            assert not shop.build.plan.check(row.check.key)[1].settled
        await shop.press("space")
        assert shop.build.plan.check(row.check.key)[1].settled


@pytest.mark.parametrize("key", ["n", "x"], ids=["note", "reason"])
async def test_a_text_that_cannot_be_kept_yet_stays_in_its_field(start: Start, key: str) -> None:
    async with start() as shop:
        with Store(shop.file, now=lambda: shop.time.wall) as another:
            another.claim()
            await shop.press(key)
            await shop.write("Of many words")
            await shop.press("enter")
            assert isinstance(shop.app.screen, Ask)
            assert "Of many words" in shop.dump()
            assert "is being written by" in shop.dump()
        await shop.press("enter")
        assert shop.on_build
        await shop.saved()
        assert "Of many words" in shop.file.read_text(encoding="utf-8")


@pytest.mark.parametrize("key", ["t", "k", "i"])
async def test_what_could_not_be_done_is_not_said_to_be(start: Start, key: str) -> None:
    async with start() as shop:
        before = shop.project
        with Store(shop.file, now=lambda: shop.time.wall) as another:
            another.claim()
            if key == "k":
                shop.time.later(minutes=51)
                await shop.until(lambda: bool(shop.rung), "the alarm")
            await shop.press(key)
            assert "is being written by" in shop.message()
        assert shop.project is before
