"""The list of projects: what there is, what is wrong with it, and what opening does."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.tui.conftest import EXAMPLES, Shop, Start
from workshop.project.store import Store
from workshop.tui.build_screen import BuildScreen
from workshop.tui.list_screen import ListScreen, ProjectRow

BROKEN = 'format = 1\n\n[project]\nname = "Broken [/bench]\n'


@pytest.fixture
def folder(bench: Path) -> Path:
    """A bench, an example and a file that cannot be read, the bench touched last."""
    example = bench.parent / "tarn-bench.toml"
    example.write_bytes((EXAMPLES / "tarn-bench.toml").read_bytes())
    (bench.parent / "broken.toml").write_text(BROKEN, encoding="utf-8")
    (bench.parent / "bench.unsaved-20260309T194000Z.toml").write_text(BROKEN, encoding="utf-8")
    for age, name in enumerate(("bench.toml", "tarn-bench.toml", "broken.toml")):
        os.utime(bench.parent / name, (1773085200 - 3600 * age,) * 2)
    return bench.parent


async def stand_on(shop: Shop, name: str) -> None:
    """Walk to a file."""
    await shop.stand_on(f"project:{name}")


@pytest.mark.parametrize("size", [(80, 24), (60, 20)], ids=["80x24", "60x20"])
async def test_the_list_shows_names_marks_examples_and_tells_faults(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None) as shop:
        names = [row.entry.path.name for row in shop.sheet.rows if isinstance(row, ProjectRow)]
        assert names == ["bench.toml", "tarn-bench.toml", "broken.toml"]
        lines = shop.dump().splitlines()
        benches = [line for line in lines if "Tarn bench" in line]
        assert ["example" in line for line in benches] == [False, True]
        assert "broken.toml,line4" in "".join("".join(lines).split())
        assert lines[-1].strip().startswith("↑ ↓")


async def test_enter_opens_the_project_and_q_comes_back(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await shop.press("enter")
        assert isinstance(shop.app.screen, BuildScreen)
        assert shop.build.opened.path == folder / "bench.toml"
        await shop.press("q")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        await shop.press("q")
        await shop.until(lambda: not shop.app.is_running, "the end")


async def test_an_example_is_never_written_and_its_copy_is(start: Start, folder: Path) -> None:
    example, copy = folder / "tarn-bench.toml", folder / "my-tarn-bench.toml"
    before = example.read_bytes()
    async with start(file=None) as shop:
        await stand_on(shop, "tarn-bench.toml")
        await shop.press("enter")
        assert shop.build.opened.path == copy
        copied = copy.read_bytes()
        await shop.press("n")
        await shop.write("In the copy")
        await shop.press("enter")
        await shop.saved()
        assert b"In the copy" in copy.read_bytes() and copy.read_bytes() != copied
        await shop.press("q")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        assert "my-tarn-bench.toml" in shop.dump()
    assert example.read_bytes() == before
    assert sorted(path.name for path in folder.glob("*.toml") if "unsaved" not in path.name) == [
        "bench.toml",
        "broken.toml",
        "my-tarn-bench.toml",
        "tarn-bench.toml",
    ]


async def test_looking_writes_nothing(start: Start, folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    async with start(file=None) as shop:
        await shop.press("enter", "down", "g", "1", "right", "w")
        await shop.press("q")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


async def test_a_file_that_cannot_be_read_says_why_and_the_list_stays(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await stand_on(shop, "broken.toml")
        await shop.press("enter")
        assert isinstance(shop.app.screen, ListScreen)
        assert "line 4" in shop.message()


async def test_a_project_that_another_program_writes_is_refused_with_its_name(
    start: Start, folder: Path
) -> None:
    async with start(file=None) as shop:
        with Store(folder / "bench.toml", now=lambda: shop.time.wall) as another:
            another.claim()
            await shop.press("enter")
            assert isinstance(shop.app.screen, ListScreen)
            assert "is being written by" in shop.message()
        await shop.press("enter")
        assert isinstance(shop.app.screen, BuildScreen)


async def test_an_empty_folder_says_what_to_do(start: Start, tmp_path: Path) -> None:
    async with start(file=None, folder=tmp_path / "nothing") as shop:
        assert "workshop new" in shop.dump()
        await shop.press("down", "enter")
        assert isinstance(shop.app.screen, ListScreen)


async def test_looking_again_finds_a_project_that_came(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        (folder / "shelf.toml").write_text('format = 1\n[project]\nname = "Shelf"\n', encoding="utf-8")
        assert "Shelf" not in shop.dump()
        await shop.press("r")
        assert "Shelf" in shop.dump()
