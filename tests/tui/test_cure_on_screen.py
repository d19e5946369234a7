"""The cure on the build screen: the chart, a warning and its way out, and deadlines that readings move."""

from __future__ import annotations

import re
from datetime import timedelta

from tests.tui.conftest import EVENING, Shop, Start
from workshop.checking import CHECKLIST
from workshop.lift_states import cure_answers
from workshop.pictures.picture import Picture
from workshop.project.doing import reading_taken
from workshop.standing import standing
from workshop.tui.picture_pane import PicturePane
from workshop.tui.rows import FindingRow
from workshop.tui.side_column import SideColumn

CURE = "answer:lift-cure@seat/top"
DEPTH = "input:lift-cure@seat/top:depth"
HOT = "finding:lift-runs-hot@seat/top"


def keys(shop: Shop) -> list[str]:
    """The rows of the page."""
    return [row.key for row in shop.sheet.rows]


def pictures(shop: Shop) -> list[Picture]:
    """What is drawn beside the page."""
    panes = shop.build.query(PicturePane)
    return [pane._picture for pane in panes if pane.display and pane._picture is not None]


def titles(shop: Shop) -> list[str]:
    """The titles of what is drawn."""
    return [picture.title for picture in pictures(shop)]


def words(shop: Shop) -> str:
    """All that is said of the first picture."""
    return " ".join(pictures(shop)[0].words)


async def figured(shop: Shop) -> None:
    """Wait for the last figure, and for what is drawn from it."""
    await shop.until(lambda: not shop.build.plan.pending, "the figures")
    side = shop.build.query_one(SideColumn)
    await shop.until(lambda: side._lift is None or side._lift.key in side._courses, "the course")


async def to_top(shop: Shop) -> None:
    """Go to the page of the seat's last lift."""
    for _ in range(6):
        if shop.build.scope.path == "seat/top":
            break
        await shop.press("right")
    assert shop.build.scope.path == "seat/top"
    await figured(shop)


async def set_height(shop: Shop, height: str) -> None:
    """Type another height for the last lift, and keep it."""
    await shop.stand_on(DEPTH)
    await shop.press("e")
    await shop.write(height)
    await shop.press("enter")
    await figured(shop)


def demould(shop: Shop) -> timedelta:
    """When the strip lift's form may come off, after its pour."""
    return dict(standing(shop.build.plan, shop.time.wall).states["seat/strip"])["demould"]


async def test_beside_a_lift_stand_its_chart_and_its_profile(start: Start) -> None:
    async with start((200, 50)) as shop:
        await figured(shop)
        assert titles(shop)[0] == "CURE OF SEAT/STRIP"
        assert "cold to hot case" in shop.dump() and "now" in shop.dump()
        await shop.press("g", "2")
        assert not any("CURE" in title for title in titles(shop))


async def test_on_a_small_terminal_the_words_stand_for_the_chart(start: Start) -> None:
    async with start((80, 24)) as shop:
        await to_top(shop)
        assert not shop.build.query_one(SideColumn).display
        await shop.stand_on(CURE)
        await shop.press("h")
        assert "ALL LIFTS OF SEAT" in shop.dump() and "WHAT MOVES THE HOT PEAK MOST" in shop.dump()
        await shop.until(lambda: "shop at" in shop.dump(), "what moves the peak")


async def test_a_lift_too_deep_warns_and_its_way_out_mends_it(start: Start) -> None:
    async with start((120, 36)) as shop:
        await to_top(shop)
        assert HOT not in keys(shop)
        cool = words(shop)
        await shop.stand_on(CURE)
        await shop.press("enter")
        await set_height(shop, "110 mm")
        assert HOT in keys(shop)
        assert words(shop) != cool and "over the limit" in words(shop)
        [row] = [row for row in shop.sheet.rows if row.key == HOT]
        assert isinstance(row, FindingRow)
        remedy = row.planned.finding.remedy.say(shop.project.units)
        wanted = re.search(r"Pour ([\d.]+) mm or less in this lift", remedy)
        assert wanted is not None, remedy
        # The lift below was poured up to 29.1 mm.
        await set_height(shop, f"{29.1 + float(wanted.group(1)):.1f} mm")
        assert HOT not in keys(shop)
        assert "within the limit" in words(shop)


async def test_the_likely_course_follows_while_a_height_is_typed(start: Start) -> None:
    async with start((120, 36)) as shop:
        await to_top(shop)
        await shop.stand_on(CURE)
        await shop.press("enter")
        await shop.stand_on(DEPTH)
        await shop.press("e")
        await shop.write("80 mm")
        [typed] = [held for held in cure_answers(shop.build.plan) if held.subject == "seat/top"]
        assert typed.result is not None and getattr(typed.inputs, "depth", 0) > 0.05
        await shop.until(lambda: "50.9 mm" in shop.dump(), "the table's new depth")
        await shop.press("escape")


async def test_three_cold_evenings_move_the_demould_and_say_why(start: Start) -> None:
    async with start((120, 36)) as shop:
        await figured(shop)
        planned = demould(shop)
        for evening, cold in enumerate(("13.1 °C", "13 °C", "12.8 °C"), 1):
            shop.time.wall = EVENING + timedelta(days=evening)
            at, typed = shop.time.wall, cold
            shop.build.act(
                "reading of shop",
                lambda project, at=at, typed=typed: reading_taken(  # type: ignore[misc]
                    project, "shop", {"temperature": typed}, at, CHECKLIST
                ),
            )
            await figured(shop)
        assert demould(shop) > planned + timedelta(hours=2)
        said = shop.message()
        assert re.search(r"of seat/strip moves from .* to .* later: ", said), said
        assert "the shop was 12.8 °C, 4.2 K colder than planned." in said


async def test_a_cure_timer_shows_the_state_reached_and_the_next(start: Start) -> None:
    async with start((120, 36)) as shop:
        await figured(shop)
        assert "Gel  seat/strip" in shop.dump() and "liquid now" in shop.dump()
        gel = dict(standing(shop.build.plan, shop.time.wall).states["seat/strip"])["gel"]
        shop.time.wall = EVENING - timedelta(minutes=69) + gel + timedelta(minutes=30)
        await shop.until(lambda: "gelled" in shop.dump() or "Gel" in shop.dump(), "the gel")
        [cure] = [
            timer for timer in standing(shop.build.plan, shop.time.wall).timers if timer.timer == "cure"
        ]
        assert cure.reached == "gel" and cure.ringing
        [leak] = [
            timer for timer in standing(shop.build.plan, shop.time.wall).timers if timer.timer == "leak-watch"
        ]
        assert leak.last
