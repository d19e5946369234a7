"""A new project: a few questions one at a time, each of which may stay open, and a first plan."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input, Label

from tests.tui.conftest import Shop, Start
from workshop.plan import plan
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.project.starting import QUESTIONS
from workshop.project.store import read
from workshop.tui.build_screen import BuildScreen
from workshop.tui.first_plan import FirstPlan, first_needs
from workshop.tui.list_screen import ListScreen
from workshop.tui.new_project import NewProject

SHELF = (
    "Gannet shelf",
    "us",
    "America/New_York",
    "hickory",
    "5 ft 4 in",
    "8 in",
    "1 7/8 in",
    "shelf",
    "5 ft",
    "9 in",
    "1 1/2 in",
    "slow casting",
)
HOSTILE = "[/foo] [red]x[/red] [@click=app.quit]q[/] 漢字 \\[b]"
sizes = pytest.mark.parametrize("size", [(80, 24), (60, 20)], ids=["80x24", "60x20"])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder that is not there yet."""
    return tmp_path / "shelf"


def question(shop: Shop) -> str:
    """What is asked."""
    return str(shop.app.screen.query_one("#question", Label).content)


def said(shop: Shop) -> str:
    """What stands under the field."""
    return str(shop.app.screen.query_one("#fault", Label).content)


def typed(shop: Shop) -> str:
    """What the field holds."""
    return shop.app.screen.query_one(Input).value


async def begin(shop: Shop) -> None:
    """Press n, and wait for the first question."""
    await shop.press("n")
    await shop.until(lambda: isinstance(shop.app.screen, NewProject), "the first question")


async def answer(shop: Shop, *answers: str) -> None:
    """Answer one question after the other."""
    for text in answers:
        shop.app.screen.query_one(Input).clear()
        await shop.write(text)
        await shop.press("enter")


async def planned(shop: Shop) -> None:
    """Wait for the first plan."""
    await shop.until(lambda: isinstance(shop.app.screen, FirstPlan), "the first plan")


def made(path: Path) -> ProjectFile:
    """The file."""
    return load_text(read(path).text, path.name).file


@sizes
async def test_answers_make_a_project_and_a_first_plan_from_which_enter_opens_the_build(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None, folder=folder) as shop:
        await begin(shop)
        assert question(shop) == "Name of the project"
        await answer(shop, *SHELF[:-1])
        assert "question 12 of 12" in shop.dump() and "1 1/2 in" in shop.dump()
        assert not folder.exists()
        await answer(shop, SHELF[-1])
        await planned(shop)
        shown = shop.dump()
        assert "FIRST PLAN  Gannet shelf" in shown and "PLAN 60 x 9 in" in shown
        assert "1 Stock prep" in shown and "the voids that you find in shelf" in shown
        await shop.press("enter")
        await shop.until(lambda: isinstance(shop.app.screen, BuildScreen), "the build")
        assert shop.build.opened.path == folder / "gannet-shelf.toml"
    file = made(folder / "gannet-shelf.toml")
    assert (file.project.name, file.units.system, file.shop.zone) == (SHELF[0], "us", SHELF[2])
    assert file.slab["hickory"].species == "hickory" and file.casting["shelf"].length is not None


async def test_each_question_stands_alone_with_an_example_and_the_answers_above(
    start: Start, folder: Path
) -> None:
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, "Shelf")
        for held in QUESTIONS:
            assert question(shop) == held.asks
            shown = " ".join(shop.dump().split())
            assert f"such as {held.example}" in shown and "enter alone: not known yet" in shown
            if held is not QUESTIONS[-1]:
                await shop.press("enter")
        assert shop.dump().count("not known yet") == len(QUESTIONS)


@sizes
async def test_nothing_but_a_name_has_to_be_known(start: Start, folder: Path, size: tuple[int, int]) -> None:
    async with start(size, file=None, folder=folder) as shop:
        await begin(shop)
        await shop.press("enter")
        assert "needs a name" in said(shop) and question(shop) == "Name of the project"
        await answer(shop, "Shelf", *[""] * len(QUESTIONS))
        await planned(shop)
        assert "WHAT EACH STAGE NEEDS FIRST" in shop.dump()
        await shop.press("down", "escape")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        assert shop.row.key == "project:shelf.toml"
    assert made(folder / "shelf.toml").project.units is None


@sizes
async def test_a_wrong_answer_is_explained_under_the_field_and_stays_typed(
    start: Start, folder: Path, size: tuple[int, int]
) -> None:
    async with start(size, file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, "Shelf", "us", "", "hickory", "64")
        assert question(shop) == "Length of the slab"
        assert "no unit" in said(shop) and typed(shop) == "64"
        words = " ".join(shop.dump().split())
        assert " ".join(said(shop).split()) in words, "the whole reason can be read"
        await shop.write(" in")
        assert said(shop) == ""
        await shop.press("enter")
        assert question(shop) == "Width of the slab"


async def test_a_name_that_is_taken_is_told_at_once(start: Start, bench: Path) -> None:
    async with start(file=None) as shop:
        await begin(shop)
        await answer(shop, "BENCH")
        assert "bench.toml is already there" in said(shop) and typed(shop) == "BENCH"


async def test_up_goes_back_to_the_answer_before_and_keeps_the_one_half_typed(
    start: Start, folder: Path
) -> None:
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await shop.press("up")
        assert question(shop) == "Name of the project"
        await answer(shop, "Shelf", "us")
        await shop.write("America/")
        await shop.press("up")
        assert question(shop) == "Units" and typed(shop) == "us"
        await shop.press("up")
        assert typed(shop) == "Shelf"
        await shop.press("enter", "enter")
        assert question(shop) == "Time zone of the shop" and typed(shop) == "America/"


async def test_leaving_makes_nothing_and_the_answers_are_there_again(start: Start, folder: Path) -> None:
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, "Shelf", "us")
        await shop.write("Amer")
        await shop.press("escape")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        assert not folder.exists()
        await begin(shop)
        assert question(shop) == "Time zone of the shop" and typed(shop) == "Amer"
        assert "Shelf" in shop.dump()
        await shop.press("up", "up")
        assert typed(shop) == "Shelf"


async def test_after_one_project_is_made_the_next_begins_afresh(start: Start, folder: Path) -> None:
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, "Shelf", *[""] * len(QUESTIONS))
        await planned(shop)
        await shop.press("escape")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        await begin(shop)
        assert question(shop) == "Name of the project" and typed(shop) == ""


@pytest.mark.parametrize("size", [(60, 20)], ids=["60x20"])
@pytest.mark.parametrize("text", [HOSTILE, "x" * 100], ids=["markup", "long"])
async def test_whatever_is_typed_is_shown_as_typed_and_runs_nothing(
    start: Start, folder: Path, size: tuple[int, int], text: str
) -> None:
    async with start(size, file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, text)
        for held in QUESTIONS:
            assert question(shop) == held.asks
            await answer(shop, text[:40])
            if said(shop):
                shop.dump()
                await answer(shop, "")
        await planned(shop)
        assert text[:5] in shop.dump()
        await shop.press("escape")
        await shop.until(lambda: isinstance(shop.app.screen, ListScreen), "the list")
        assert text[:5] in shop.dump()
    [path] = folder.glob("*.toml")
    assert made(path).project.name == text


async def test_a_file_that_cannot_be_made_says_why_and_loses_no_answer(start: Start, folder: Path) -> None:
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, *SHELF[:-1])
        folder.write_text("in the way")
        await answer(shop, SHELF[-1])
        await shop.until(lambda: "cannot be made" in said(shop), "the reason")
        assert typed(shop) == "slow casting"
        folder.unlink()
        await shop.press("enter")
        await planned(shop)


async def test_the_makers_own_settings_are_the_first_answers_and_stand_in_the_project(
    start: Start, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "settings.toml"
    own.write_text(
        'units = "us"\ncurrency = "USD"\n[shop]\nzone = "America/New_York"\nhumidity = "45 %"\n'
        '[tool.saw]\nkerf = "1.8 mm"\n',
        encoding="utf-8",
    )
    monkeypatch.setenv("WORKSHOP_SETTINGS", str(own))
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        await answer(shop, "Shelf")
        assert typed(shop) == "us"
        await shop.press("enter")
        assert typed(shop) == "America/New_York"
        await answer(shop, *[""] * (len(QUESTIONS) - 1))
        await planned(shop)
    file = made(folder / "shelf.toml")
    assert (file.units.system, file.units.currency, file.shop.zone) == ("us", "USD", None)
    assert file.shop.humidity is not None and list(file.tool) == ["saw"]


async def test_settings_with_a_fault_are_told_and_left_out(
    start: Start, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "settings.toml"
    own.write_text('units = "feet"\n', encoding="utf-8")
    monkeypatch.setenv("WORKSHOP_SETTINGS", str(own))
    async with start(file=None, folder=folder) as shop:
        await begin(shop)
        assert "line 1, units" in said(shop)
        await answer(shop, "Shelf")
        assert typed(shop) == ""


def test_every_stage_says_what_it_needs_first() -> None:
    text = 'format = 2\n[slab.ash]\nspecies = "ash, white"\n[casting.seat]\nlength = "1400 mm"\n'
    needs = {stage.stage.id: need for stage, need in first_needs(plan(load_text(text, "new.toml")))}
    assert len(needs) == 9 and " and " not in "".join(needs.values())
    assert "seat" in needs["lifts"]
