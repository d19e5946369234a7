"""The list of projects: how each stands, what is wrong with it, and what the keys do with its file."""

from __future__ import annotations

import os
import threading
from datetime import datetime
from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.conftest import EXAMPLES, PATIENCE, Shop, Start
from workshop.project.loading import load_text
from workshop.project.store import Store, dumps, read
from workshop.tui.ask import Ask
from workshop.tui.build_screen import BuildScreen
from workshop.tui.choose import Choose
from workshop.tui.glance import Glance, glance
from workshop.tui.list_screen import ListScreen
from workshop.tui.picture_pane import PicturePane
from workshop.tui.project_rows import ProjectRow
from workshop.tui.reader import Reader
from workshop.tui.rows import can_stand_on

BROKEN = 'format = 2\n\n[project]\nname = "Broken [/bench]\n'
WRONG = 'format = 2\n\n[project]\nname = "Wrong [/b] bench"\n\n[casting.seat]\nlength = "50"\n'
sizes = pytest.mark.parametrize("size", [(80, 24), (60, 20)], ids=["80x24", "60x20"])


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


async def looked(shop: Shop) -> None:
    """Wait until every project that can be read was looked at."""

    def known() -> bool:
        return all(row.glance is not None for row in projects(shop) if row.entry.fault is None)

    await shop.until(known, "a look at every project")


def projects(shop: Shop) -> list[ProjectRow]:
    """The projects that are listed and not archived."""
    return [row for row in shop.sheet.rows if isinstance(row, ProjectRow) and not row.archived]


def names(shop: Shop) -> list[str]:
    """Their files."""
    return [row.entry.path.name for row in projects(shop)]


def on_list(shop: Shop) -> bool:
    """Whether the list is on top."""
    return isinstance(shop.app.screen, ListScreen)


async def asked(shop: Shop, *, kind: type = Ask) -> None:
    """Wait for a question."""
    await shop.until(lambda: isinstance(shop.app.screen, kind), "the question")


async def replaced(shop: Shop, text: str) -> None:
    """Type over what the field holds, and keep it."""
    shop.app.screen.query_one(Input).clear()
    await shop.write(text)
    await shop.press("enter")


# What it shows


@sizes
async def test_the_list_shows_names_marks_examples_and_tells_faults(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None) as shop:
        await looked(shop)
        assert names(shop) == ["bench.toml", "tarn-bench.toml", "broken.toml"]
        lines = shop.dump().splitlines()
        benches = [line for line in lines if "Tarn bench" in line]
        assert ["example" in line for line in benches] == [False, True]
        assert "touched" in benches[0]
        assert "broken.toml, line 4" in shop.dump()
        assert shop.dump().count(str(folder)[:20]) == 1
        assert "enter open" in shop.dump() and lines[-1].strip().endswith("q leave")


@sizes
async def test_a_project_tells_stage_deadline_and_what_is_next(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None) as shop:
        await looked(shop)
        bench = projects(shop)[0]
        said = ["".join(span.text for span in line) for line in bench.lines(size[0] - 6)]
        assert said[1].startswith("  4 Lifts, seat lift 2 of 3")
        assert "Leak watch 21:31, in 5" in said[1] + said[2]
        assert any(line.startswith("  next: ") for line in said)
        assert all(line.strip() for line in said)


async def test_a_deadline_that_is_reached_rings_in_the_list(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await looked(shop)
        assert "LATE" not in shop.dump()
        shop.time.later(hours=1)
        await shop.until(lambda: "LATE, rings" in shop.dump(), "the alarm")
        assert shop.dump().count("LATE") == 1, "an example's timers ring in its copy"


async def test_a_file_whose_table_is_wrong_says_so_once_it_was_read(start: Start, folder: Path) -> None:
    (folder / "wrong.toml").write_text(WRONG, encoding="utf-8")
    async with start(file=None) as shop:
        await looked(shop)
        assert "wrong.toml, line 7, casting.seat.length: " in shop.dump()
        await stand_on(shop, "wrong.toml")
        await shop.press("c")
        assert on_list(shop) and "has no unit" in shop.message()


async def test_a_project_is_read_once_until_its_file_changes(
    start: Start, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []

    def counted(path: Path, now: datetime) -> Glance:
        seen.append(path.name)
        return glance(path, now)

    monkeypatch.setattr("workshop.tui.list_screen.glance", counted)
    async with start(file=None) as shop:
        await looked(shop)
        await shop.press("r")
        await looked(shop)
        assert sorted(seen) == ["bench.toml", "tarn-bench.toml"]
        os.utime(folder / "bench.toml", (1773085300,) * 2)
        await shop.press("r")
        await looked(shop)
        assert sorted(seen) == ["bench.toml", "bench.toml", "tarn-bench.toml"]


async def test_keys_are_not_held_up_while_projects_are_read(
    start: Start, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go = threading.Event()

    def slow(path: Path, now: datetime) -> Glance:
        go.wait(PATIENCE)
        return glance(path, now)

    monkeypatch.setattr("workshop.tui.list_screen.glance", slow)
    async with start(file=None) as shop:
        assert "reading" in shop.dump()
        await shop.press("down")
        assert shop.row.key == "project:tarn-bench.toml"
        go.set()
        await looked(shop)
        assert shop.row.key == "project:tarn-bench.toml"


async def test_no_gap_between_two_projects_is_part_of_either(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await looked(shop)
        for row in shop.sheet.rows:
            if can_stand_on(row):
                assert all("".join(span.text for span in line).strip() for line in row.lines(70))


async def test_on_a_wide_terminal_the_picture_is_that_of_the_project_under_the_cursor(
    start: Start, folder: Path
) -> None:
    async with start((120, 36), file=None) as shop:
        await looked(shop)
        assert "PLAN 1400 x 400" in shop.dump()
        await stand_on(shop, "broken.toml")
        assert shop.app.screen.query_one(PicturePane).display and "PLAN" not in shop.dump()


async def test_looking_writes_nothing(start: Start, folder: Path) -> None:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    async with start(file=None) as shop:
        await shop.press("enter", "down", "g", "1", "right", "w")
        await shop.press("q")
        await shop.until(lambda: on_list(shop), "the list")
        await shop.press("s", "r", "s")
        await looked(shop)
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


async def test_an_empty_folder_says_what_to_do(start: Start, tmp_path: Path) -> None:
    async with start(file=None, folder=tmp_path / "nothing") as shop:
        assert "Press n to begin one" in shop.dump()
        await shop.press("down", "enter", "c", "m", "z")
        assert on_list(shop)
    assert not (tmp_path / "nothing").exists()


async def test_looking_again_finds_a_project_that_came(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        (folder / "shelf.toml").write_text('format = 2\n[project]\nname = "Shelf"\n', encoding="utf-8")
        assert "Shelf" not in shop.dump()
        await shop.press("r")
        assert "Shelf" in shop.dump()


async def test_all_keys_are_listed(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await shop.press("question_mark")
        await asked(shop, kind=Reader)
        assert "with or without what was done" in " ".join(shop.dump().split())
        await shop.press("escape")
        assert on_list(shop)


# Opening


async def test_enter_opens_the_project_and_q_comes_back(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await shop.press("enter")
        assert isinstance(shop.app.screen, BuildScreen)
        assert shop.build.opened.path == folder / "bench.toml"
        await shop.press("q")
        await shop.until(lambda: on_list(shop), "the list")
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
        await shop.until(lambda: on_list(shop), "the list")
        assert "my-tarn-bench.toml" in names(shop)
    assert example.read_bytes() == before
    assert sorted(path.name for path in folder.glob("*.toml") if "unsaved" not in path.name) == [
        "bench.toml",
        "broken.toml",
        "my-tarn-bench.toml",
        "tarn-bench.toml",
    ]


async def test_a_file_that_cannot_be_read_says_why_and_the_list_stays(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await stand_on(shop, "broken.toml")
        await shop.press("enter")
        assert on_list(shop)
        assert shop.message().startswith("broken.toml, line 4")
        await shop.press("up")
        assert shop.message() == ""


async def test_a_project_that_another_program_writes_is_refused_with_its_name(
    start: Start, folder: Path
) -> None:
    async with start(file=None) as shop:
        with Store(folder / "bench.toml", now=lambda: shop.time.wall) as another:
            another.claim()
            await shop.press("enter")
            assert on_list(shop)
            assert "is being written by" in shop.message()
            await shop.press("z")
            assert "is being written by" in shop.message() and (folder / "bench.toml").exists()
        await shop.press("enter")
        assert isinstance(shop.app.screen, BuildScreen)


# Copying


@sizes
async def test_c_copies_without_what_was_done(start: Start, folder: Path, size: tuple[int, int]) -> None:
    async with start(size, file=None) as shop:
        await shop.press("c")
        await asked(shop)
        assert shop.app.screen.query_one(Input).value == "Tarn bench 2"
        await replaced(shop, "Hall [b] bench")
        await asked(shop, kind=Choose)
        assert "Without what was done" in shop.dump() and "Hall [b] bench" in shop.dump()
        await shop.press("enter")
        await shop.until(lambda: on_list(shop), "the list")
        assert shop.row.key == "project:hall-b-bench.toml"
        assert shop.message() == "Copied into hall-b-bench.toml."
    made = load_text(read(folder / "hall-b-bench.toml").text, "x")
    assert made.file.project.name == "Hall [b] bench" and "record" not in made.document


async def test_or_with_all_that_was_done(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await shop.press("c")
        await asked(shop)
        await shop.press("enter")
        await asked(shop, kind=Choose)
        await shop.press("down", "enter")
        await shop.until(lambda: "tarn-bench-2.toml" in names(shop), "the copy")
    made = load_text(read(folder / "tarn-bench-2.toml").text, "x")
    assert made.document["record"] == load_text(read(folder / "bench.toml").text, "x").document["record"]


async def test_a_name_that_is_taken_is_asked_again_and_stays_typed(start: Start, folder: Path) -> None:
    before = (folder / "tarn-bench.toml").read_bytes()
    async with start(file=None) as shop:
        await shop.press("c")
        await asked(shop)
        await replaced(shop, "Tarn BENCH")
        await shop.until(lambda: "already there" in shop.dump(), "the reason")
        assert shop.app.screen.query_one(Input).value == "Tarn BENCH"
        await shop.press("escape")
        await shop.until(lambda: on_list(shop), "the list")
    assert (folder / "tarn-bench.toml").read_bytes() == before


async def test_leaving_the_second_question_copies_nothing(start: Start, folder: Path) -> None:
    before = sorted(folder.iterdir())
    async with start(file=None) as shop:
        await shop.press("c")
        await asked(shop)
        await shop.press("enter")
        await asked(shop, kind=Choose)
        await shop.press("escape")
        await shop.until(lambda: on_list(shop), "the list")
    assert sorted(folder.iterdir()) == before


# Renaming


@sizes
async def test_m_gives_another_name_and_the_file_keeps_its_own(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None) as shop:
        await shop.press("m")
        await asked(shop)
        await replaced(shop, "Bench [/x] 漢字")
        await shop.until(lambda: on_list(shop), "the list")
        assert projects(shop)[0].entry.name == "Bench [/x] 漢字"
        assert "Bench [/x] 漢字" in shop.dump()
    assert (
        load_text(read(folder / "bench.toml").text, "x").file.project.name == "Bench [/x] 漢字"
        and list((folder / ".workshop" / "older").iterdir()) != []
    )


async def test_an_example_cannot_be_renamed_or_archived(start: Start, folder: Path) -> None:
    before = (folder / "tarn-bench.toml").read_bytes()
    async with start(file=None) as shop:
        await stand_on(shop, "tarn-bench.toml")
        await shop.press("m")
        assert on_list(shop) and "keeps its name" in shop.message()
        await shop.press("z")
        assert "stays where it is" in shop.message()
    assert (folder / "tarn-bench.toml").read_bytes() == before


# Archiving


@sizes
async def test_z_puts_a_project_out_of_sight_and_brings_it_back(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    before = (folder / "bench.toml").read_bytes()
    async with start(size, file=None) as shop:
        await shop.press("z")
        assert names(shop) == ["tarn-bench.toml", "broken.toml"]
        assert "Tarn bench went to archive/bench.toml." in shop.message()
        assert (folder / "archive" / "bench.toml").read_bytes() == before
        await shop.press("s")
        await shop.stand_on("archived:bench.toml")
        assert "ARCHIVED" in shop.dump()
        await shop.press("z")
        assert shop.row.key == "project:bench.toml"
        assert shop.message() == "Tarn bench is back, as bench.toml."
    assert (folder / "bench.toml").read_bytes() == before
    assert list((folder / "archive").glob("*.toml")) == []


async def test_a_glove_that_bounces_on_z_archives_one_project_only(start: Start, folder: Path) -> None:
    (folder / "other.toml").write_text('format = 2\n[project]\nname = "Other"\n', encoding="utf-8")
    os.utime(folder / "other.toml", (1773085000,) * 2)
    async with start(file=None) as shop:
        await shop.press("z")
        shop.time.keys -= 0.3
        await shop.press("z")
        assert "other.toml" in names(shop) and "bench.toml" not in names(shop)


async def test_an_archived_project_can_be_opened_where_it_lies(start: Start, folder: Path) -> None:
    async with start(file=None) as shop:
        await shop.press("z", "s")
        await shop.stand_on("archived:bench.toml")
        await shop.press("enter")
        assert shop.build.opened.path == folder / "archive" / "bench.toml"


async def test_nothing_archived_is_said(start: Start, folder: Path) -> None:
    async with start((80, 36), file=None) as shop:
        await shop.press("s")
        assert "Nothing is archived." in shop.dump()
        await shop.press("s")
        assert "Nothing is archived." not in shop.dump()


@sizes
async def test_a_name_that_would_steer_the_terminal_is_shown_with_dots(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    name = "\u202eabc\u202c [/x] \x1b[31m 漢字"
    (folder / "bench.toml").write_text(dumps({"format": 2, "project": {"name": name}}), encoding="utf-8")
    async with start(size, file=None) as shop:
        await looked(shop)
        for key in ("m", "c"):
            await shop.press(key)
            await asked(shop)
            await shop.press("end")
            assert "\x1b" not in shop.dump()
            await shop.press("escape")
            await shop.until(lambda: on_list(shop), "the list")
        assert "·abc· [/x] ·[31m 漢字" in shop.dump()
        await shop.press("z")
        assert "·abc·" in shop.message() and "\u202e" not in shop.message()
