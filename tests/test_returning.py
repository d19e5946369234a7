"""Coming back: how long away, what ended meanwhile and what that means, what grew old, what is next."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import EXAMPLES, example
from workshop.checking import CHECKLIST
from workshop.lift_states import lift_states
from workshop.plan import plan
from workshop.project import changes
from workshop.project.doing import poured
from workshop.project.project import Project
from workshop.returning import AWAY, Return, Row, coming_back
from workshop.standing import standing

BENCH = example("tarn-bench")
EVENING = datetime(2026, 3, 9, 19, 40, tzinfo=UTC)
LATER = EVENING + timedelta(days=21)


def back(now: datetime, project: Project = BENCH, since: datetime | None = None) -> Return:
    """Coming back to a project at a moment."""
    made = plan(project)
    return coming_back(made, standing(made, now), since, now)


def said(rows: tuple[Row, ...], project: Project = BENCH) -> list[str]:
    """Rows as they are read."""
    return [row.say(project.units) for row in rows]


def reached(state: str) -> datetime:
    """When the strip lift, poured at 18:31 UTC, reaches a state as its cure was followed."""
    states = dict(lift_states(plan(BENCH))["seat/strip"])
    return datetime(2026, 3, 9, 18, 31, tzinfo=UTC) + states[state]


# Whether it is shown


def test_an_hour_after_the_last_entry_nobody_came_back() -> None:
    assert not back(EVENING + timedelta(hours=1)).applies


def test_away_over_a_night_and_a_day_it_is_shown() -> None:
    seen = EVENING - timedelta(minutes=7)
    assert back(seen + AWAY + timedelta(minutes=1)).applies


def test_a_window_that_opened_meanwhile_is_reason_enough() -> None:
    opened = reached("window open")
    made = back(opened + timedelta(minutes=10), since=opened - timedelta(hours=3))
    assert made.away < AWAY and made.applies
    assert any("window opened" in line for line in said(made.timers))


def test_a_leak_watch_that_only_rang_is_none() -> None:
    made = back(EVENING + timedelta(hours=2))
    assert not made.applies


def test_nothing_ever_happened_and_nobody_was_away() -> None:
    made = back(EVENING, example("gannet-shelf"))
    assert (made.applies, made.since, made.last) == (False, None, None)


def test_when_it_was_last_seen_may_be_told() -> None:
    made = back(LATER, since=LATER - timedelta(hours=3))
    assert made.away == timedelta(hours=3) and made.timers == () and not made.applies


def test_entries_that_are_yet_to_come_do_not_count() -> None:
    made = back(datetime(2026, 3, 4, 0, 0, tzinfo=UTC))
    assert made.since == datetime(2026, 3, 2, 17, 5, tzinfo=UTC)


# What it says


def test_three_weeks_later_the_window_is_shut_and_the_page_says_scuff_first() -> None:
    made = back(LATER)
    days = (LATER - reached("window shut")).days
    assert f"seat/strip: window shut {days} days ago: scuff first, P120, wipe, dry" in said(made.timers)
    [row] = [row for row in made.timers if "window shut" in row.say(BENCH.units)]
    assert (row.target.stage, row.target.subject, row.target.key) == (
        "lifts",
        "seat/top",
        "surface-ready@seat/top",
    )


def test_the_window_of_a_lift_that_was_covered_is_nobodys_worry() -> None:
    covered = poured(BENCH, "seat/top", None, None, EVENING, CHECKLIST)
    assert not any("window" in line for line in said(back(LATER, covered).timers, covered))


def test_the_last_lift_has_reached_its_full_cure() -> None:
    covered = poured(BENCH, "seat/top", None, None, EVENING, CHECKLIST)
    cured = EVENING + dict(lift_states(plan(covered))["seat/top"])["full cure"]
    lines = said(back(cured + timedelta(days=2, hours=1), covered).timers)
    assert any(line.startswith("seat/top: full cure reached 2 days ago") for line in lines)


def test_bubbles_that_were_missed_are_not_asked_for_three_weeks_later() -> None:
    keys = {row.target.key for row in back(LATER).next}
    assert not keys & {"bubbles-passed@seat/strip", "leak-watched@seat/strip", "window-open@seat/strip"}
    assert "bubbles-passed@seat/strip" in {row.target.key for row in back(EVENING).next}


def test_the_last_thing_done_stands_first_in_the_shops_own_time() -> None:
    title, rows = back(LATER).sections[0]
    assert title == "Last"
    assert said(rows) == ["Mon 9 Mar 20:20, shop: temperature 17.5 °C, humidity 52 %"]


def test_old_readings_are_named_with_their_last_value() -> None:
    lines = said(back(LATER).readings)
    assert "ash-wide: moisture reading 33 days old, last 9.2 %: read again" in lines
    assert "shop: temperature reading 21 days old, last 17.5 °C: read again" in lines
    fresh = said(back(EVENING).readings)
    assert not any("shop" in line for line in fresh)


def test_wood_that_is_wholly_cast_is_not_read_again() -> None:
    cast = BENCH
    for lift in ("seat/top", "rail/base", "rail/top"):
        cast = poured(cast, lift, None, None, EVENING, CHECKLIST)
    assert not any("moisture" in line for line in said(back(LATER, cast).readings))


def test_resin_near_or_past_its_date_is_named() -> None:
    held = BENCH.with_value(("resin", "slow-blue", "best-before"), date(2026, 3, 25))
    assert "slow-blue: 5 days past its date: try a 50 g cup before you pour, or buy fresh" in said(
        back(LATER, held).resin
    )
    assert "slow-blue: 16 days left to its date: pour it in 16 days" in said(back(EVENING, held).resin)
    assert not back(LATER).resin


def test_resin_opened_longer_ago_than_it_keeps_is_tried_first() -> None:
    held = BENCH.with_value(("resin", "slow-blue", "opened"), date(2025, 3, 1))
    assert any("look for crystals" in line for line in said(back(LATER, held).resin))
    kept = held.with_value(("resin", "slow-blue", "shelf-life"), "180 d")
    assert any("longer than it keeps" in line for line in said(back(LATER, kept).resin))
    kept = held.with_value(("resin", "slow-blue", "shelf-life"), "730 d")
    assert not back(LATER, kept).resin


def test_wood_drifts_towards_the_shops_air() -> None:
    # Wood Handbook eq. 4-5 puts wood in 17.5 °C and 52 % near 9.7 %: 10.4 % lies off it, 9.2 % too little.
    lines = said(back(LATER).moisture)
    assert lines == ["ash-narrow: read at 10.4 %, the shop's air draws it to 9.7 %"]


def test_there_are_at_most_three_next_actions_and_they_lead_to_their_checks() -> None:
    made = plan(BENCH)
    for row in back(LATER).next:
        stage, check = made.check(row.target.key)
        assert (stage.stage.id, check.subject.path) == (row.target.stage, row.target.subject)
    assert len(back(LATER).next) == 3


def test_an_action_says_how_long_it_takes_where_its_rule_does() -> None:
    assert "Pass the bubbles, quick and light, seat/strip: takes 45 min" in said(back(EVENING).next)


def test_resin_that_is_short_is_bought_first() -> None:
    [line] = said(back(LATER).buy)
    assert line.startswith("slow-blue: ") and line.endswith("1.2 kg there: buy 2 x 7.5 kg")
    assert not back(LATER, BENCH.with_value(("resin", "slow-blue", "have"), "30 kg")).buy
    assert not back(LATER, BENCH.without(("resin", "slow-blue", "have"))).buy


def test_a_seal_coat_left_for_weeks_is_scuffed() -> None:
    made = changes.timer_started(BENCH, "seal-window", "8 h", "rail", EVENING)
    assert "rail: seal coat's window shut 20 days ago: scuff first, P120, wipe, dry" in said(
        back(LATER, made).timers
    )


def test_a_timer_that_rang_but_goes_on_says_what_it_asks() -> None:
    made = changes.timer_started(BENCH, "acclimatise", "7 14 d", "ash-rail", EVENING)
    week = EVENING + timedelta(days=8)
    assert "ash-rail: acclimatise rang 24 h ago: weigh it; steady means ready" in said(
        back(week, made).timers
    )


@pytest.mark.parametrize("name", EXAMPLES)
@settings(max_examples=20)
@given(hours=st.integers(-2000, 20_000))
def test_at_any_moment_every_row_is_a_line_that_leads_somewhere(name: str, hours: int) -> None:
    project = example(name)
    made = back(EVENING + timedelta(hours=hours), project)
    for _title, rows in made.sections:
        for row in rows:
            line = row.say(project.units)
            assert line and "\n" not in line and "{" not in line
            assert row.target.subject
    assert made.away >= timedelta(0)
