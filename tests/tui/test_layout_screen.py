"""The layout on the screen: every key moves something, and what follows is read beside it."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.widget import Widget

from tests.tui.conftest import Shop, Start
from workshop.layout.as_placed import casting_as_placed
from workshop.layout_figures import layout_figures
from workshop.quantity import MASS, VOLUME, Units, show
from workshop.tui.choose import Choose
from workshop.tui.layout_base import LayoutBase
from workshop.tui.layout_rows import (
    PieceRow,
    amount_words,
    flowed,
    length_words,
    limit_words,
    width_words,
)
from workshop.tui.layout_screen import LayoutScreen
from workshop.tui.lines import line, text_of, width_of
from workshop.tui.pane import ScrollPane
from workshop.tui.reader import Reader

SIZES = ((80, 24), (120, 36), (200, 50))

every_size = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")


US = Units(system="us")
INCH = 0.0254
SHELF = """\
format = 2
[project]
units = "us"
[slab.hickory]
length = "60 in"
width = "4 in"
thickness = "1 7/8 in"
[slab.batten]
length = "50 in"
width = "4 in"
thickness = "1 7/8 in"
[piece.p1]
slab = "hickory"
casting = "shelf"
[piece.p2]
slab = "batten"
casting = "shelf"
"""
FORM = """\
[casting.shelf]
length = "64 in"
width = "11 in"
[casting.shelf.form]
length = "64 in"
width = "11 in"
"""
NO_FORM = '[casting.shelf]\nlength = "5 ft"\n'


def with_spare(bench: Path, species: str = "ash, white") -> None:
    """The bench with one more slab, of which nothing is sawn yet."""
    text = bench.read_text(encoding="utf-8")
    size = 'length = "1500 mm"\nwidth = "210 mm"\nthickness = "52 mm"'
    spare = f'[slab.spare]\nspecies = "{species}"\n{size}\n\n'
    bench.write_text(text.replace("[piece.p1]", spare + "[piece.p1]"), encoding="utf-8")


async def open_layout(shop: Shop) -> LayoutBase:
    """Open the layout of the seat."""
    await shop.press("l")
    screen = shop.app.screen
    assert isinstance(screen, LayoutScreen)
    await shop.until(lambda: "RESIN" in shop.dump() or "free " in shop.dump(), "the layout")
    return screen


async def press(shop: Shop, *keys: str) -> None:
    """Press keys, and let what they bring about be laid out."""
    await shop.press(*keys)
    await shop.until(lambda: fits(shop), "room for what is said")


def fits(shop: Shop) -> bool:
    """Whether every widget of the screen lies inside the one that holds it."""
    screen = shop.app.screen
    return not isinstance(screen, LayoutBase) or all(
        held.parent is screen or held.parent.region.contains_region(held.region)
        for held in screen.walk_children(Widget)
        if held.display and isinstance(held.parent, Widget)
    )


def piece(shop: Shop, name: str = "p1") -> dict[str, object]:
    """A piece as the program holds it in its document."""
    return dict(shop.project.document["piece"][name])


def litres(shop: Shop) -> float:
    """The resin of all lifts as the screen says it."""
    found = re.search(r"\ball +([\d.]+) L", shop.dump())
    assert found, shop.dump()
    return float(found.group(1))


def beside(shop: Shop) -> str:
    """The words beside the picture, their lines joined."""
    pane = shop.app.screen.query_one("#layout-beside", ScrollPane)
    rows = [pane.render_line(y).text for y in range(pane.size.height)]
    cut = pane.size.width - 36 if pane.size.width > 60 else pane.size.width
    return " ".join(" ".join(row[:cut] for row in rows).split())


@every_size
async def test_it_shows_the_form_its_pieces_and_what_they_come_to(
    start: Start, size: tuple[int, int]
) -> None:
    async with start(size) as shop:
        await open_layout(shop)
        seen = shop.dump()
        assert "PLAN 1440 x 440 inside" in seen
        assert "▸ p1" in seen and "p2" in seen
        assert "720, 100  0°  upper face up" in seen
        assert "gap p1–p2 88 mm at 1229 along" in seen
        assert "■ wood" in seen and "light at 14" in seen
        held = casting_as_placed(shop.project.file, "seat")
        assert held is not None
        figures = layout_figures(shop.project, held)
        assert figures.volume is not None and figures.mass is not None
        assert f"{show(figures.volume, VOLUME)}  {show(figures.mass, MASS)}" in seen
        assert "181.50 EUR" in seen
        assert re.search(r"╵0 .*╵400", seen), "the ruler along the near side"
        assert re.search(r"^ *400╶", seen, re.M), "the ruler at the left"


@every_size
async def test_arrows_move_the_piece_and_all_follows(start: Start, size: tuple[int, int]) -> None:
    async with start(size) as shop:
        await open_layout(shop)
        await press(shop, "up")
        assert "gap p1–p2 78 mm" in shop.dump()
        await press(shop, "right", "right")
        assert piece(shop)["place"] == "740, 110 mm"
        assert "740, 110" in shop.dump()
        assert "p1 sticks out of the form by 20 mm at the right wall" in beside(shop)
        await press(shop, "f", "left", "down")
        assert piece(shop)["place"] == "739, 109 mm"
        assert "1 mm, 1° a press" in shop.dump()


async def test_an_arrow_held_down_counts_every_time(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        for _ in range(12):
            await shop._strike("up", None)
        await shop.settle()
        assert piece(shop)["place"] == "720, 220 mm"


async def test_turning_goes_by_fifteen_degrees_or_by_one(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "comma")
        assert piece(shop)["turn"] == "15°"
        assert "grain at 15°" in shop.dump()
        await press(shop, "full_stop", "f", "full_stop")
        assert piece(shop)["turn"] == "359°"
        await press(shop, "comma")
        assert "turn" not in piece(shop)


async def test_turned_over_the_lower_face_lies_up(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "o")
        assert piece(shop)["flip"] is True
        assert "lower face up" in shop.dump()
        await press(shop, "o")
        assert "flip" not in piece(shop)


async def test_the_next_piece_is_taken_in_hand(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "n", "up")
        assert "▸ p2" in shop.dump()
        assert piece(shop, "p2")["place"] == "720, 380 mm"
        await press(shop, "tab")
        assert "▸ p1" in shop.dump()


async def test_overlap_is_said_and_drawn_where_it_is(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, *["up"] * 10)
        seen = shop.dump()
        assert "p1 and p2 overlap by" in seen
        assert "×" in seen and "■ wrong" in seen


async def test_a_piece_is_moved_on_until_it_touches(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "up", "s")
        assert "p1 lies against p2" in shop.message()
        assert "touches p2" in shop.dump()
        assert "overlap" not in shop.dump()
        await press(shop, "down", "s")
        assert "the trim line" in shop.message()
        await press(shop, "s")
        assert "the near wall" in shop.message()
        held = shop.project.file.piece["p1"].place
        assert held is not None and held.y == pytest.approx(0.1)


async def test_a_piece_that_sticks_out_is_trimmed_to_the_form(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "right", "t")
        assert "A saw line on ash-wide for p1 alone" in shop.message()
        row = shop.project.document["slab"]["ash-wide"]["saw-lines"][-1]
        assert row["of"] == "p1"
        assert row["from"].startswith("1450, ") and row["to"].startswith("1450, ")
        assert "sticks out" not in shop.dump()
        await press(shop, "t")
        assert "lies inside the form" in shop.message()


async def test_a_guide_lies_along_then_across_then_is_gone(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "k", "up", "g")
        assert "cursor 720 mm along, 230 mm across" in shop.dump()
        assert shop.project.document["casting"]["seat"]["guides"][0]["y"] == "230 mm"
        await press(shop, "g")
        assert shop.project.document["casting"]["seat"]["guides"][0]["x"] == "720 mm"
        await press(shop, "g")
        assert "guides" not in shop.project.document["casting"]["seat"]


async def test_a_guide_holds_a_piece(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "k", "up", "g", "k", "up", "s")
        assert "p1 lies against guide g1" in shop.message()
        assert max(y for _, y in shop.app.screen.placed.upper) <= 0.23  # type: ignore[attr-defined]


async def test_the_cursor_moves_and_the_piece_stays(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "k", "left", "f", "down")
        assert "cursor 710 mm along, 219 mm across" in shop.dump()
        assert piece(shop)["place"] == "720, 100 mm"
        await press(shop, "enter")
        assert piece(shop)["place"] == "710, 219 mm"


async def test_two_undos_take_two_moves_back(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        before, resin = shop.project.document, litres(shop)
        await press(shop, "up", "comma")
        assert piece(shop)["turn"] == "15°"
        await press(shop, "u")
        assert shop.message() == "Taken back: turned p1."
        await press(shop, "u")
        assert shop.project.document == before
        assert litres(shop) == resin


async def test_a_piece_goes_into_another_casting(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "c")
        assert "LAYOUT  rail" in shop.dump() and "▸ p3" in shop.dump()
        await press(shop, "m")
        assert isinstance(shop.app.screen, Choose)
        await press(shop, "enter")
        assert piece(shop, "p3")["casting"] == "seat"
        assert "LAYOUT  seat" in shop.dump() and "▸ p3" in shop.dump()


async def test_what_holds_a_light_stays_where_it_is(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "m", "enter")
        assert "light run near of seat goes along p1" in shop.message()
        assert piece(shop)["casting"] == "seat"


async def test_a_piece_is_sawn_out_of_an_offcut(start: Start, bench: Path) -> None:
    with_spare(bench)
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "n", "x")
        assert "spare, offcut 1: 1500 mm x 210 mm" in shop.dump()
        await press(shop, "enter")
        assert piece(shop, "p2")["slab"] == "spare"
        assert piece(shop, "p2")["mark"] == "750, 0 mm"


async def test_a_closer_look_follows_the_piece(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "z")
        assert "2 times" in shop.dump()
        assert "╵0 " not in shop.dump() and "╵700" in shop.dump()
        await press(shop, "z")
        assert "4 times" in shop.dump()
        await press(shop, "z")
        assert "╵0 " in shop.dump()


async def test_a_section_runs_across_along_or_not_at_all(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        assert "SECTION 720, 0 to 720, 440" in shop.dump()
        await press(shop, "v")
        assert "SECTION 0, 100 to 1440, 100" in shop.dump()
        await press(shop, "v")
        assert "SECTION" not in shop.dump()
    async with start((80, 24)) as shop:
        await open_layout(shop)
        assert "SECTION" not in shop.dump()
        await press(shop, "v")
        assert "SECTION 720, 0 to 720, 440" in shop.dump()


async def test_the_section_turns_with_the_cursor_on_it(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        before = piece(shop)
        await press(shop, "k", "full_stop", "full_stop", "full_stop")
        # 45° with the clock through 720, 220, the middle of the form: half its width to either side.
        assert "SECTION 500, 0 to 940, 440" in shop.dump()
        await press(shop, "comma", "comma", "comma")
        assert "SECTION 720, 0 to 720, 440" in shop.dump()
        assert piece(shop) == before


def numbers(shop: Shop) -> str:
    """The list of pieces as one text."""
    return " ".join(shop.dump().split())


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=["60x20", "80x24", "120x36"])
async def test_the_list_is_worked_by_the_same_keys(start: Start, size: tuple[int, int]) -> None:
    async with start(size) as shop:
        await press(shop, "l")
        if size[0] >= 70:
            await press(shop, "l")
        rows = [row for row in shop.sheet.rows if isinstance(row, PieceRow)]
        assert [row.name for row in rows] == ["p1", "p2"]
        assert "lies 0 mm to 1440 mm along" in numbers(shop) or "lies 0 to 1440 mm along" in numbers(shop)
        await press(shop, "n", "down", "comma")
        assert piece(shop, "p2")["place"] == "720, 360 mm"
        assert piece(shop, "p2")["turn"] == "15°"
        assert "p2 sticks out of the form" in numbers(shop)
        assert shop.row.key == "piece:p2"
        await press(shop, "u")
        assert "p2 sticks out" not in numbers(shop)


async def test_without_colour_it_is_the_list(start: Start, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with start((120, 36)) as shop:
        await press(shop, "l")
        assert "gap p1–p2 88 mm" in shop.dump() and "PLAN" not in shop.dump()
        await press(shop, "l")
        assert "no colour" in shop.message()
        await press(shop, "up")
        assert piece(shop)["place"] == "720, 110 mm"


async def test_leaving_writes_one_journal_line_a_value_and_is_one_action(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        before = shop.project.document
        await press(shop, "up", "up", "comma", "escape")
        assert shop.on_build
        lines = shop.project.document["record"]["journal"]["changes"]
        assert [line.split(" | ")[1:] for line in lines[-2:]] == [
            ["piece.p1.place", "720, 100 mm", "720, 120 mm"],
            ["piece.p1.turn", "unknown", "15°"],
        ]
        held = await shop.saved()
        assert held.piece["p1"].turn is not None
        await press(shop, "u")
        assert shop.message().startswith("Taken back: layout.")
        assert shop.project.document["piece"] == before["piece"]


async def test_looking_alone_changes_nothing(start: Start) -> None:
    async with start((80, 24)) as shop:
        before = shop.project
        await open_layout(shop)
        await press(shop, "n", "z", "c", "v", "k", "f", "q")
        assert shop.on_build and shop.project is before


async def test_a_piece_as_placed_says_why_it_stays(start: Start, bench: Path) -> None:
    text = bench.read_text(encoding="utf-8")
    placed = '[record.placed.p1]\nplace = "720, 100 mm"\nat = 2026-03-07 09:50:00+01:00\n\n'
    bench.write_text(
        text.replace('[record.placed."seat/near"]', placed + '[record.placed."seat/near"]'), "utf-8"
    )
    async with start((120, 36)) as shop:
        await open_layout(shop)
        before = shop.project
        assert "as placed: locked" in shop.dump()
        for key in ("up", "comma", "o", "s", "t", "m", "x"):
            await press(shop, key)
            assert "logged as placed on 7 Mar 2026" in shop.message(), key
        assert shop.project is before


async def test_a_piece_that_lies_nowhere_is_set_down_in_the_middle(start: Start, bench: Path) -> None:
    text = bench.read_text(encoding="utf-8")
    bench.write_text(text.replace('place = "720, 370 mm"\n', ""), encoding="utf-8")
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "n")
        assert "not laid down yet" in shop.dump()
        await press(shop, "up")
        assert piece(shop, "p2")["place"] == "720, 220 mm"


async def test_in_inches_it_steps_by_fractions(start: Start, bench: Path) -> None:
    bench.write_text(
        'format = 2\n[project]\nunits = "us"\n[slab.hickory]\nlength = "50 in"\nwidth = "4 in"\n'
        'thickness = "1 7/8 in"\n[piece.p1]\nslab = "hickory"\ncasting = "shelf"\nplace = "28 1/2, 4 in"\n'
        '[casting.shelf]\nlength = "60 in"\nwidth = "11 in"\n'
        '[casting.shelf.form]\nlength = "60 in"\nwidth = "11 in"\n',
        encoding="utf-8",
    )
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "right", "f", "up")
        assert piece(shop)["place"] == "29, 4 1/16 in"
        assert "╵0 " in shop.dump() and "╵12 " in shop.dump()
        await press(shop, "up", "s")
        assert "touches" in beside(shop) or "far 0" in beside(shop)
        assert "leave" not in shop.dump() and "sticks out" not in shop.dump()


async def test_all_keys_are_listed_and_in_the_palette(start: Start) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "question_mark")
        assert isinstance(shop.app.screen, Reader)
        assert "Turn the piece over" in shop.dump()
        await press(shop, "escape", "ctrl+p")
        await shop.write("turn the piece over")
        await shop.until(lambda: "Turn the piece over" in shop.dump(), "the action in the palette")


async def test_a_chosen_key_is_the_one_that_is_pressed(start: Start) -> None:
    from workshop.settings import Settings

    async with start((120, 36), settings=Settings(keys={"turn-over": "y"})) as shop:
        await open_layout(shop)
        await press(shop, "o")
        assert "flip" not in piece(shop)
        await press(shop, "y")
        assert piece(shop)["flip"] is True
        assert "y over" in shop.dump()


async def test_hostile_names_are_shown_as_they_are(start: Start, bench: Path) -> None:
    with_spare(bench, "[/x] [red]y")
    async with start((80, 24)) as shop:
        await open_layout(shop)
        await press(shop, "x")
        assert "[/x] [red]y" in shop.dump()


# Forms in inches, and forms without a size


async def test_in_inches_the_middle_of_the_form_is_its_middle(start: Start, bench: Path) -> None:
    bench.write_text(SHELF + FORM, encoding="utf-8")
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "right")
        assert piece(shop)["place"] == "32, 5 1/2 in"
        assert "sticks out" not in beside(shop)


async def test_what_lay_beyond_another_form_is_sent_into_its_middle(start: Start, bench: Path) -> None:
    long = '[casting.long]\nlength = "90 in"\n[casting.long.form]\nlength = "90 in"\nwidth = "11 in"\n'
    text = SHELF.replace('casting = "shelf"', 'casting = "long"\nplace = "70, 4 in"', 1)
    bench.write_text(text + FORM + long, encoding="utf-8")
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "c", "m")
        assert isinstance(shop.app.screen, Choose)
        await press(shop, "enter")
        assert (piece(shop)["casting"], piece(shop)["place"]) == ("shelf", "32, 5 1/2 in")


@pytest.mark.parametrize("listed", [False, True], ids=["picture", "list"])
@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])
async def test_without_the_size_of_the_form_nothing_is_set_down(
    start: Start, bench: Path, size: tuple[int, int], listed: bool
) -> None:
    bench.write_text(SHELF + NO_FORM, encoding="utf-8")
    async with start(size) as shop:
        await shop.press("l", *["l"] * listed)
        assert "The inner length and width of the form are not known: enter them on the form" in numbers(shop)
        assert "…" not in shop.dump()
        if not listed:
            assert "Where p1 lies in the form is not known." in numbers(shop)
        before = shop.project
        for keys in (("right",), ("k", "enter"), ("g",)):
            await press(shop, *keys)
            assert "length and width of the form of shelf are not known" in shop.message(), keys
        assert shop.project is before


@pytest.mark.parametrize("size", [(80, 24), (100, 30), (120, 36)], ids=["80x24", "100x30", "120x36"])
async def test_no_word_beside_the_picture_is_cut(start: Start, bench: Path, size: tuple[int, int]) -> None:
    placed = SHELF.replace('casting = "shelf"', 'casting = "shelf"\nplace = "31 13/16, 5 7/16 in"', 1)
    bench.write_text(
        placed.replace('casting = "shelf"', 'casting = "shelf"\nturn = "345°"', 1) + FORM, "utf-8"
    )
    async with start(size) as shop:
        await open_layout(shop)
        shown = beside(shop)
        assert "31 13/16, 5 7/16 in 345° upper face up" in shown
        if size[0] >= 100:
            assert "Where p2 lies in the form is not known." in shown
        assert "…" not in shop.dump()


async def test_the_heading_keeps_the_name_of_the_screen(start: Start) -> None:
    async with start((80, 24)) as shop:
        await open_layout(shop)
        await press(shop, "k", "z", "f", "up")
        head = shop.dump().splitlines()[0]
        assert "LAYOUT  seat" in head and "cursor 720, 221 mm" in head and "1 mm, 1°" in head


async def test_in_inches_small_lengths_are_fractions_on_the_screen(start: Start, bench: Path) -> None:
    # 4 in wide pieces with their marks 4 1/10 in apart leave 1/10 in, less than the 3 mm that resin needs.
    one = SHELF.replace('casting = "shelf"', 'casting = "shelf"\nplace = "32, 3 in"', 1)
    place = "32, 7.1 in"
    two = one.replace('batten"\ncasting = "shelf"', f'batten"\ncasting = "shelf"\nplace = "{place}"')
    bench.write_text(two + FORM, encoding="utf-8")
    async with start((120, 36)) as shop:
        await open_layout(shop)
        assert "leave 1/16 in at" in beside(shop) and "resin needs 1/8 in" in beside(shop)
        await press(shop, "f")
        assert "1/16 in, 1° a press" in shop.dump()
        await press(shop, *["down"] * 16, "k", *["down"] * 87, "g")
        assert "cursor 32 in along, 1/16 in across" in shop.dump()
        assert "along the form at 1/16 in" in shop.message()
        assert not re.search(r"\b0\.\d+ in\b", shop.dump())


def test_lengths_in_inches_are_read_on_a_tape() -> None:
    assert length_words(INCH / 16, US) == "1/16 in"
    assert length_words(-INCH / 16, US) == "-1/16 in"
    assert length_words(31.5 * INCH, US) == "31 1/2 in"
    assert length_words(0.0, US) == "0 in"
    assert length_words(INCH / 16, Units(system="us", inch_fraction=8)) == "1/16 in"
    # 3 mm is 0.118 in: the next sixteenth is 1/8 in, and a gap of 0.11 in has only one whole sixteenth.
    assert limit_words(0.003, US) == "1/8 in"
    assert width_words(0.11 * INCH, US) == "1/16 in"
    assert width_words(0.05 * INCH, US) == "under 1/16 in"
    assert amount_words(0.02 * INCH, US) == "under 1/16 in"
    assert (limit_words(0.003, Units()), width_words(0.0028, Units())) == ("3 mm", "2.8 mm")


@given(st.lists(st.integers(0, 100), min_size=1, max_size=8))
@settings(deadline=None, derandomize=True)
def test_a_limit_in_inches_is_a_whole_sixteenth_and_never_less(tenths: list[int]) -> None:
    for tenth in tenths:
        least = tenth / 10_000
        words = limit_words(least, US).removesuffix(" in")
        inches = sum(
            int(top) / int(bottom or 1) for top, _, bottom in (p.partition("/") for p in words.split())
        )
        assert least / INCH - 0.002 <= inches < least / INCH + 1 / 16


@given(
    st.lists(st.text("abc 1", min_size=1, max_size=12), min_size=1, max_size=6),
    st.integers(12, 40),
    st.booleans(),
)
@settings(deadline=None, derandomize=True)
def test_a_line_that_flows_on_loses_no_word(texts: list[str], width: int, roles: bool) -> None:
    spans = line(*((text, "dim" if roles and at % 2 else "text") for at, text in enumerate(texts)))
    rows = flowed(spans, width, 2)
    assert all(width_of(row) <= width or not text_of(row).strip() for row in rows)
    joined = "".join(text_of(row) for row in rows)
    assert joined.replace(" ", "") == "".join(texts).replace(" ", "")


# Keys that bounce, guides without a cursor, what is left to pour


@pytest.mark.parametrize("key", ["m", "x"])
async def test_a_key_that_bounces_asks_once(start: Start, bench: Path, key: str) -> None:
    with_spare(bench)
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, "n")
        shop.time.keys += 1
        await asyncio.gather(*(press_at_once(shop, key) for _ in range(2)))
        await shop.settle()
        assert [type(held) for held in shop.app.screen_stack].count(Choose) == 1


async def press_at_once(shop: Shop, key: str) -> None:
    """The action of a key, as it comes before anything it asks is shown."""
    screen = shop.app.screen
    assert isinstance(screen, LayoutScreen)
    (screen.action_send if key == "m" else screen.action_swap)()


@pytest.mark.parametrize("listed", [False, True], ids=["picture", "list"])
async def test_a_guide_asks_for_the_cursor_first(start: Start, listed: bool) -> None:
    async with start((120, 36)) as shop:
        await open_layout(shop)
        await press(shop, *["l"] * listed, "g")
        assert "First press k" in shop.message()
        assert "guides" not in shop.project.document["casting"]["seat"]


@every_size
async def test_what_is_still_to_pour_stands_beside_what_all_comes_to(
    start: Start, size: tuple[int, int]
) -> None:
    async with start(size) as shop:
        await open_layout(shop)
        # The base and the strip lift are poured: the top lift alone is left.
        top, left = (re.search(rf"{name} +([\d.]+ L  [\d.]+ kg)", shop.dump()) for name in ("top", "to pour"))
        assert top is not None and left is not None, shop.dump()
        assert left.group(1) == top.group(1)
        assert "packs of all" in shop.dump()


async def test_words_that_scroll_leave_the_arrows_to_the_piece(start: Start) -> None:
    async with start((80, 24)) as shop:
        screen = await open_layout(shop)
        await press(shop, "right", "right", "right")
        assert screen.query_one("#layout-beside", ScrollPane).max_scroll_y > 0
        await press(shop, "up")
        assert piece(shop)["place"] == "750, 110 mm"
