"""Slabs become pieces on the screen: outlines, saw lines, marks, wanted parts alone and together."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.tui.conftest import EXAMPLES, SIZES, Shop, Start
from workshop.layout.placed import as_sawn, extent
from workshop.layout.sawing import sawn
from workshop.layout.slab_shape import slab_shape
from workshop.project.model import SawLine, Slab
from workshop.tui.choose import Choose
from workshop.tui.pane import ScrollPane
from workshop.tui.reader import Reader
from workshop.tui.slab_bring import BringScreen
from workshop.tui.slab_screen import SlabScreen
from workshop.tui.slab_searching import SlabSearching
from workshop.tui.slab_wanted import WantedScreen

every_size = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")

BOARD = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1600 300">
<path d="M 10 10 H 1510 V 260 H 10 Z"/></svg>
"""
"""A board 1500 by 250, its millimetres as bare numbers, which an SVG reads as pixels."""
WANTED = """
[slab.oak]
length = "1000 mm"
width = "200 mm"
thickness = "40 mm"

[piece.lath]
length = "900 mm"
width = "40 mm"

[piece.batten]
length = "500 mm"
width = "60 mm"

[piece.long]
length = "2400 mm"
width = "60 mm"
"""


@pytest.fixture
def board(bench: Path) -> Path:
    """A drawing beside the bench's file."""
    path = bench.parent / "board.svg"
    path.write_text(BOARD, encoding="utf-8")
    return path


@pytest.fixture
def wanted(bench: Path) -> Path:
    """The bench with a slab of oak, of which two wanted pieces can come and one cannot."""
    text = bench.read_text(encoding="utf-8")
    bench.write_text(text.replace("[resin.slow-blue]", f"{WANTED.lstrip()}\n[resin.slow-blue]", 1))
    return bench


async def open_slabs(shop: Shop) -> SlabScreen:
    """Open the slabs from the build."""
    await shop.press("s")
    screen = shop.app.screen
    assert isinstance(screen, SlabScreen)
    return screen


async def fill(shop: Shop, *texts: str) -> None:
    """Type into the fields one after the other, in place of what stands there; the last is kept."""
    for text in texts:
        await shop.press("end", *["backspace"] * 12)
        await shop.write(text)
        await shop.press("enter")


async def choose(shop: Shop, key: str) -> None:
    """Take an answer of a question."""
    assert isinstance(shop.app.screen, Choose)
    await shop.stand_on(key)
    await shop.press("enter")


def slab(shop: Shop, name: str = "ash-wide") -> Slab:
    """A slab as the program holds it."""
    return shop.project.file.slab[name]


def newest(shop: Shop, name: str = "ash-wide") -> SawLine:
    """The saw line that was added last."""
    return slab(shop, name).saw_lines[-1]


def seen(shop: Shop, *words: str) -> None:
    """All of these words are on the screen."""
    shown = " ".join(shop.dump().split())
    for word in words:
        assert word in shown, f"{word!r} is not on the screen:\n{shop.dump()}"


def found(shop: Shop) -> Callable[[], bool]:
    """Whether a search has come to its end."""

    def ended() -> bool:
        screen = shop.app.screen
        return isinstance(screen, SlabSearching) and not screen.searching

    return ended


# Looking


@every_size
async def test_a_slab_is_shown_with_its_pieces_saw_lines_and_yield(
    start: Start, size: tuple[int, int]
) -> None:
    async with start(size) as shop:
        await open_slabs(shop)
        seen(shop, "SLABS ash-wide", "1500 x 239 x 52 mm", "p1 1440 x 207 mm", "yield 91.7 %")
        if size[1] > 20:
            seen(shop, "s1 20 along: 108 right to 92 left", "2 passes each")
        await shop.press("n")
        seen(shop, "SLABS ash-narrow")
        await shop.press("q")
        assert shop.on_build


async def test_the_slab_of_the_page_is_opened_and_escape_goes_back(start: Start) -> None:
    async with start((120, 36)) as shop:
        shop.build.show_subject("stock-prep", "ash-rail")
        screen = await open_slabs(shop)
        assert screen.slab == "ash-rail"
        await shop.press("escape")
        assert shop.on_build


async def test_the_numbers_stand_in_for_the_picture_and_every_key_still_works(start: Start) -> None:
    async with start((120, 36)) as shop:
        screen = await open_slabs(shop)
        picture = screen.query_one("#slab-picture")
        assert picture.display
        await shop.press("l")
        assert not picture.display
        await shop.press("right", "f", "right")
        seen(shop, "cursor 761 along, on the tape: in p1")
        await shop.press("tab", "right")
        assert slab(shop).saw_lines[0].square_at == 21
        await shop.press("l")
        assert picture.display


async def test_without_colour_the_words_are_there_at_once(
    start: Start, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with start((120, 36)) as shop:
        screen = await open_slabs(shop)
        assert not screen.query_one("#slab-picture").display
        seen(shop, "p1 1440 x 207 mm", "SAW LINES")


async def test_help_lists_the_keys_and_zoom_enlarges(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("z")
        seen(shop, "2 times")
        await shop.press("question_mark")
        assert isinstance(shop.app.screen, Reader)
        seen(shop, "KEYS OF THE SLABS")
        await shop.press("escape")


# Saw lines


async def test_a_saw_line_square_to_the_tape_is_added_moved_dropped_and_undone(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("left", "a")
        await choose(shop, "square")
        assert newest(shop).square_at == 740
        assert "s4 is in hand" in shop.message()
        await shop.press("left", "f", "left")
        assert newest(shop).square_at == 729
        await shop.press("up")
        assert "moves along it" in shop.message() and newest(shop).square_at == 729
        await shop.press("x")
        assert [row.id for row in slab(shop).saw_lines] == ["s1", "s2", "s3"]
        await shop.press("u", "u")
        assert newest(shop).square_at == 730


async def test_a_saw_line_runs_along_an_edge_at_an_offset_in_any_unit(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("a")
        await choose(shop, "left")
        await shop.press(*["backspace"] * 12)
        await shop.write("wide")
        await shop.press("enter")
        assert newest(shop).id == "s3"
        await shop.press(*["backspace"] * 4)
        await shop.write("2.5 cm")
        await shop.press("enter")
        assert (newest(shop).edge, newest(shop).offset) == ("left", 25)
        await shop.press("down")
        assert newest(shop).offset == 35


async def test_a_saw_line_goes_through_two_points_that_are_pressed(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("up", "a")
        await choose(shop, "points")
        seen(shop, "from 750 along, 10 left")
        await shop.press("right", "right", "down", "a")
        row = newest(shop)
        assert row.from_ is not None and row.to is not None
        assert (row.from_.text, row.to.text) == ("750, 10", "770, 0")
        await shop.press("tab", "a")
        await choose(shop, "points")
        await shop.press("escape")
        assert isinstance(shop.app.screen, SlabScreen)
        assert newest(shop).id == row.id


async def test_a_saw_line_through_a_mark_is_said_until_it_is_moved_on(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("left", "a")
        await choose(shop, "square")
        seen(shop, "p1 cannot be sawn out of ash-wide")
        await shop.press("left")
        assert "cannot be sawn" not in shop.dump()


# Pieces


async def test_a_piece_is_marked_at_the_cursor_beside_a_saw_line(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("p")
        assert "p1 lies here" in shop.message()
        await shop.press("right", "right", "right", "right", "right", "a")
        await choose(shop, "square")
        await shop.press("p")
        assert "cursor is in hand" in shop.message()
        await shop.press("right", "right", "p")
        piece = shop.project.file.piece["p4"]
        assert piece.mark is not None and (piece.slab, piece.mark.text) == ("ash-wide", "820, 0 mm")
        left, _bottom, right, _top = extent(as_sawn(shop.project.file, "p4").pair.outline(1.0))
        # Half of the 1.8 mm kerf is taken from each side.
        assert (left, right) == pytest.approx((0.8009, 1.46))
        await shop.press("u")
        assert "p4" not in shop.project.file.piece


async def test_off_the_wood_no_piece_is_marked(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press(*["up"] * 14, "p")
        assert "off the wood" in shop.message()
        assert set(shop.project.file.piece) == {"p1", "p2", "p3"}


# Outlines


async def test_an_outline_is_brought_in_and_its_wrong_scale_is_seen_and_put_right(
    start: Start, board: Path
) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("b")
        screen = shop.app.screen
        assert isinstance(screen, BringScreen)
        await shop.write("none.svg")
        seen(shop, "There is no file none.svg")
        await shop.press("end", *["backspace"] * 8)
        await shop.write(board.name)
        await shop.until(lambda: "1 outline found" in shop.dump(), "the drawing")
        seen(shop, "does not say how long its unit is", "AS IT WILL LIE ALONG THE TAPE")
        await shop.press("tab", "tab", "tab", "enter")
        seen(shop, "give a length measured on the slab")
        await shop.write("1500")
        seen(shop, "The scale is wrong", "read as pixels (96 to the inch) but drawn in mm")
        await shop.press("enter")
        seen(shop, "Press enter once more to make it 1500 mm long")
        assert slab(shop).outline is None
        await shop.press("enter")
        shape = slab_shape("ash-wide", slab(shop))
        assert extent(shape.pair.upper) == pytest.approx((0, -0.125, 1.5, 0.125))
        assert not slab(shop).stations
        await shop.press("u")
        assert len(slab(shop).stations) == 7 and slab(shop).outline is None


async def test_a_scale_that_agrees_is_taken_at_once(start: Start, board: Path) -> None:
    millimetres = BOARD.replace("viewBox", 'width="1600mm" height="300mm" viewBox')
    board.write_text(millimetres, encoding="utf-8")
    async with start((80, 24)) as shop:
        await open_slabs(shop)
        await shop.press("b")
        await fill(shop, board.name)
        await shop.until(lambda: "1 outline found" in shop.dump(), "the drawing")
        await shop.press("tab", "tab")
        await shop.write("150 cm")
        seen(shop, "The scale agrees")
        await shop.press("enter")
        assert "1500 mm by 250 mm" in shop.message()


async def test_a_file_that_is_no_drawing_is_said_in_a_sentence(start: Start, bench: Path) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("b")
        await shop.write(bench.name)
        await shop.until(lambda: "neither SVG, DXF nor CSV" in " ".join(shop.dump().split()), "the reason")
        await shop.press("escape")
        assert isinstance(shop.app.screen, SlabScreen)


# Wanted parts


async def test_a_wanted_part_is_found_looked_at_and_taken(start: Start, wanted: Path) -> None:
    async with start((120, 36)) as shop:
        screen = await open_slabs(shop)
        await shop.press("w")
        assert isinstance(shop.app.screen, WantedScreen)
        await fill(shop, "300", "80", "0")
        await shop.until(found(shop), "the places")
        margins = [held.placement.margin for held in screen.offers]
        assert margins == sorted(margins, reverse=True)
        # The oak is 200 mm wide, which leaves 60 mm on either side of a part of 80.
        assert margins[0] == pytest.approx(0.06, abs=1e-3) and screen.slab == "oak"
        seen(shop, "60 mm to spare all round", "fits here")
        await shop.press("down", "up", "enter")
        file = shop.project.file
        left, bottom, right, top = extent(as_sawn(file, "p4").pair.outline(1.0))
        assert (right - left, top - bottom) == pytest.approx((0.3, 0.08), abs=2e-4)
        assert [row.of for row in slab(shop, "oak").saw_lines] == ["p4"] * 4
        assert sawn(file, "oak").pieces["p4"] == pytest.approx(0.3 * 0.08, rel=2e-3)
        seen(shop, "p4 300 x 80 mm", "in no casting yet")
        await shop.press("u")
        assert "p4" not in shop.project.file.piece and not slab(shop, "oak").saw_lines


async def test_what_does_not_fit_is_short_by_so_much(start: Start, wanted: Path) -> None:
    async with start((80, 24)) as shop:
        await open_slabs(shop)
        await shop.press("w")
        await fill(shop, "1120", "150", "0")
        await shop.until(found(shop), "the shortfall")
        seen(shop, "Not enough by 120 mm in length", "oak")
        await shop.press("enter")
        assert "no place to take" in shop.message()
        await shop.press("escape")
        assert isinstance(shop.app.screen, SlabScreen) and "SAW LINES" in shop.dump()


async def test_a_part_without_a_width_is_asked_for_it(start: Start) -> None:
    async with start() as shop:
        await open_slabs(shop)
        await shop.press("w")
        await fill(shop, "300", "", "any")
        assert isinstance(shop.app.screen, WantedScreen)
        seen(shop, "How wide shall it be?")


async def test_all_wanted_pieces_are_laid_together_stopped_and_taken(
    start: Start, wanted: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(SlabSearching, "seconds", 600.0)
    async with start((120, 36)) as shop:
        screen = await open_slabs(shop)
        await shop.press("j")
        await shop.until(lambda: len(screen.offers) == 2, "the first arrangement")
        seen(shop, "TOGETHER 3 wanted pieces", "2 laid so far", "space stop")
        # Keys are free meanwhile.
        await shop.press("down", "up", "enter")
        assert shop.project.file.piece["lath"].slab is None
        await shop.press("space")
        await shop.until(found(shop), "the end")
        seen(shop, "2 laid, 1 without a place", "long: not enough by")
        await shop.press("enter")
        file = shop.project.file
        assert file.piece["lath"].slab is not None and file.piece["batten"].slab is not None
        assert file.piece["long"].slab is None
        for name, size in (("lath", (0.9, 0.04)), ("batten", (0.5, 0.06))):
            left, bottom, right, top = extent(as_sawn(file, name).pair.outline(1.0))
            assert (right - left, top - bottom) == pytest.approx(size, abs=2e-4)
        await shop.press("u")
        assert shop.project.file.piece["lath"].slab is None


async def test_escape_leaves_a_search_and_nothing_is_taken(
    start: Start, wanted: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(SlabSearching, "seconds", 600.0)
    async with start((120, 36)) as shop:
        screen = await open_slabs(shop)
        before = shop.project.document
        await shop.press("j")
        await shop.until(lambda: len(screen.offers) == 2, "the first arrangement")
        await shop.press("escape")
        assert "SAW LINES" in shop.dump() and shop.project.document == before


async def test_where_nothing_is_wanted_that_is_said(start: Start) -> None:
    async with start() as shop:
        await open_slabs(shop)
        await shop.press("j")
        assert "No piece is wanted" in shop.message()


# Leaving


async def test_what_was_done_stands_in_the_file_and_the_journal_and_is_one_step_to_take_back(
    start: Start, bench: Path
) -> None:
    async with start((120, 36)) as shop:
        before: Any = tomllib.loads(bench.read_text(encoding="utf-8"))
        await open_slabs(shop)
        await shop.press("a")
        await choose(shop, "square")
        await shop.press("left", "left", "q")
        assert shop.on_build
        file = await shop.saved()
        assert file.slab["ash-wide"].saw_lines[-1].square_at == 730
        lines = tomllib.loads(bench.read_text(encoding="utf-8"))["record"]["journal"]["changes"]
        assert "slab.ash-wide.saw-lines.s4 | unknown | square-at 730" in lines[-1]
        await shop.press("u")
        assert "Taken back: slabs" in shop.message()
        assert len(shop.project.file.slab["ash-wide"].saw_lines) == len(
            before["slab"]["ash-wide"]["saw-lines"]
        )


async def test_the_palette_finds_the_slabs_and_their_keys(start: Start) -> None:
    async with start((120, 36)) as shop:
        await shop.press("ctrl+p")
        await shop.write("Slabs:")
        await shop.until(lambda: "where a part fits" in shop.dump(), "the entry")
        await shop.press("enter")
        await shop.until(lambda: isinstance(shop.app.screen, SlabScreen), "the slabs")
        await shop.press("ctrl+p")
        await shop.write("Drop the saw")
        await shop.until(lambda: "Drop the saw line in hand" in shop.dump(), "the entry")


async def test_hostile_names_and_files_are_shown_as_they_are(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("b")
        await shop.write("[/foo] [red]x")
        seen(shop, "There is no file [/foo] [red]x")


async def test_pieces_that_wait_for_a_mark_are_asked_for_first_and_inches_stay_inches(
    start: Start, bench: Path
) -> None:
    shelf = bench.parent / "shelf.toml"
    text = (EXAMPLES / "gannet-shelf.toml").read_text(encoding="utf-8")
    shelf.write_text(text.replace("example = true\n", ""), encoding="utf-8")
    async with start((80, 24), file=shelf) as shop:
        await open_slabs(shop)
        seen(shop, "hickory 64 x 8 x 1 7/8 in", "p1 and p2 of it need marks", "1/2 in a press")
        await shop.press("a")
        await choose(shop, "square")
        seen(shop, "32 along: 4 right to 4 left")
        await shop.press("right")
        seen(shop, "32 1/2 along: 4 right to 4 left")
        assert newest(shop, "hickory").square_at == 32.5
        await shop.press("tab", "left", "left", "p")
        await choose(shop, "p1")
        piece = shop.project.file.piece["p1"]
        assert piece.mark is not None and piece.mark.text == "31, 0 in"
        await shop.press("right", "right", "right", "right", "p")
        await choose(shop, "p2")
        pieces = [extent(as_sawn(shop.project.file, name).pair.outline(1.0)) for name in ("p1", "p2")]
        # 32 1/2 in and 64 in are 825.5 and 1625.6 mm; no kerf is known.
        assert [held[0] for held in pieces] == pytest.approx([0, 0.8255])
        assert [held[2] for held in pieces] == pytest.approx([0.8255, 1.6256])


async def test_both_faces_come_out_of_one_drawing(start: Start, board: Path) -> None:
    board.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="1600mm" height="300mm" viewBox="0 0 1600 300">'
        '<g id="upper"><path d="M 10 20 H 1510 V 250 H 10 Z"/></g>'
        '<g id="lower"><path d="M 10 10 H 1510 V 260 H 10 Z"/></g></svg>',
        encoding="utf-8",
    )
    async with start((120, 36)) as shop:
        await open_slabs(shop)
        await shop.press("b")
        await fill(shop, board.name)
        await shop.until(lambda: "2 outlines found" in shop.dump(), "the drawing")
        seen(shop, "1 upper 1500 x 230, 2 lower 1500 x 250")
        await fill(shop, "both")
        await shop.press("tab")
        await shop.press("enter")
        shape = slab_shape("ash-wide", slab(shop))
        assert shape.both_faces
        assert extent(shape.pair.upper) == pytest.approx((0, -0.115, 1.5, 0.115))
        assert extent(shape.pair.lower) == pytest.approx((0, -0.125, 1.5, 0.125))


# What is read on a small screen and in inches


async def test_no_saw_line_and_no_yield_is_cut_on_a_small_screen(start: Start) -> None:
    async with start((80, 24)) as shop:
        await open_slabs(shop)
        seen(shop, "108 right to 100", "1.2 % dust", "wood used 108.25 EUR of 118.00 EUR")
        assert "…" not in shop.dump()
        rows = shop.dump().splitlines()
        at = next(number for number, row in enumerate(rows) if "s2  1460 along" in row)
        assert rows[at].endswith("108 right to 100") and rows[at + 1].endswith("    left")


async def test_the_heading_keeps_the_name_of_the_screen(start: Start) -> None:
    async with start((80, 24)) as shop:
        await open_slabs(shop)
        await shop.press("z", "f", "up", "a")
        await choose(shop, "points")
        head = shop.dump().splitlines()[0]
        assert "SLABS  ash-wide" in head and "750 along, 1 left" in head


async def test_in_inches_the_small_step_is_a_fraction(start: Start, bench: Path) -> None:
    shelf = bench.parent / "shelf.toml"
    text = (EXAMPLES / "gannet-shelf.toml").read_text(encoding="utf-8")
    shelf.write_text(text.replace("example = true\n", ""), encoding="utf-8")
    async with start((80, 24), file=shelf) as shop:
        await open_slabs(shop)
        await shop.press("f", "up")
        seen(shop, "1/16 in a press", "cursor 32 along, 1/16 left")


async def test_words_that_scroll_leave_the_arrows_to_the_cursor(start: Start) -> None:
    async with start((80, 24)) as shop:
        screen = await open_slabs(shop)
        await shop.press("z")
        assert screen.query_one("#slab-beside", ScrollPane).max_scroll_y > 0
        await shop.press("up")
        seen(shop, "cursor 750 along, 10 left")
