"""A reading that moves a deadline says by how much and why, in one sentence; a small move says nothing."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest

from tests.examples import example
from workshop.checking import CHECKLIST
from workshop.moved_deadlines import moved_deadlines
from workshop.plan import Plan, plan
from workshop.project.changes import timer_ended
from workshop.project.doing import reading_taken
from workshop.project.project import Project
from workshop.project.timers import LiftStates

BENCH = example("tarn-bench")
POURED = datetime(2026, 3, 9, 18, 31, tzinfo=UTC)
NEXT_EVENING = datetime(2026, 3, 10, 17, 0, tzinfo=UTC)


def read(temperature: str, project: Project = BENCH, at: datetime = NEXT_EVENING) -> Project:
    """The bench with one more reading of its shop."""
    return reading_taken(project, "shop", {"temperature": temperature}, at, CHECKLIST)


@cache
def planned(temperature: str = "") -> Plan:
    """The bench as it is, or with a reading of the next evening."""
    return plan(read(temperature) if temperature else BENCH)


def states(**hours: float) -> LiftStates:
    """The strip lift's states, h after its pour."""
    held = tuple((state.replace("_", " "), timedelta(hours=span)) for state, span in hours.items())
    return {"seat/strip": held}


def moved(before: LiftStates, after: LiftStates, now: datetime = NEXT_EVENING) -> tuple[str, ...]:
    """What is said where the states move and nothing is known of why."""
    bare = plan(BENCH, {})
    return moved_deadlines(bare, bare, now, (before, after))


def test_a_cold_evening_moves_the_gel_and_says_by_how_much_and_why() -> None:
    [said] = moved_deadlines(planned(), planned("14.2 °C"), NEXT_EVENING)
    # Half-way between 15 and 19 °C, 17 °C is what is planned with: 14.2 °C is 2.8 K colder.
    assert re.fullmatch(
        r"Gel of seat/strip moves from Tue \d\d:\d\d to (Tue|Wed) \d\d:\d\d, [\d.]+ h later: "
        r"the shop was 14\.2 °C, 2\.8 K colder than planned\.",
        said,
    )


def test_a_warm_evening_moves_it_earlier() -> None:
    [said] = moved_deadlines(planned(), planned("23 °C"), NEXT_EVENING)
    assert "earlier: the shop was 23 °C, 6 K warmer than planned." in said


def test_a_reading_that_is_taken_back_says_so() -> None:
    [said] = moved_deadlines(planned("14.2 °C"), planned(), NEXT_EVENING)
    assert said.endswith("earlier: a reading of the shop was taken back.")


def test_where_nothing_changed_nothing_is_said() -> None:
    assert moved_deadlines(planned(), planned(), NEXT_EVENING) == ()


@pytest.mark.parametrize(("minutes", "sentences"), [(14, 0), (15, 0), (16, 1), (-14, 0), (-16, 1)])
def test_only_more_than_a_quarter_of_an_hour_is_worth_a_word(minutes: float, sentences: int) -> None:
    after = states(gel=25 + minutes / 60)
    assert len(moved(states(gel=25), after)) == sentences


def test_the_example_of_a_demould() -> None:
    now = POURED + timedelta(hours=50)
    [said] = moved(states(gel=25, demould=72), states(gel=25, demould=80.5), now)
    # Poured at 19:31 in Berlin on a Monday: 72 h later it is Thursday, 19:31.
    assert said == "Demould of seat/strip moves from Thu 19:31 to Fri 04:01, 8.5 h later."


def test_the_next_deadline_is_the_one_that_counts() -> None:
    before, after = states(gel=25, window_open=30), states(gel=25, window_open=40)
    assert moved(before, after, POURED + timedelta(hours=10)) == ()
    assert "Window open of seat/strip" in moved(before, after, POURED + timedelta(hours=26))[0]


def test_a_far_deadline_is_said_by_its_date() -> None:
    [said] = moved(states(demould=240), states(demould=288))
    assert "from 19 Mar 19:31 to 21 Mar 19:31, 48 h later" in said or "2 d later" in said


def test_a_timer_that_was_ended_moves_no_more() -> None:
    ended = replace(planned("14.2 °C"), project=timer_ended(BENCH, "t7", NEXT_EVENING))
    assert moved_deadlines(planned(), ended, NEXT_EVENING) == ()


def test_a_deeper_lift_is_a_reason_too() -> None:
    deeper = plan(BENCH.with_value(("record", "poured", "seat/strip", "to"), "44 mm"))
    found = moved_deadlines(planned(), deeper, POURED + timedelta(hours=1))
    assert all("depth of the lift is now 37.8 mm, not 22.9 mm" in said for said in found)
    assert found
