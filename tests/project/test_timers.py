"""Timers keep their start and their rule; whatever the clock and the machine do, they say what is due."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from itertools import islice
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example as example_of
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import example
from workshop.project.changes import timer_ended, timer_heard, timer_started
from workshop.project.faults import FileFaults
from workshop.project.model import ProjectFile, RunningTimer
from workshop.project.project import Project
from workshop.project.timers import Rule, TimerState, cure_states, deadlines, parse_rule, state_at
from workshop.stages import CHECKS

START = datetime(2026, 3, 9, 18, 0, tzinfo=UTC)
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)

RULES = (
    "14 d",
    "24 h",
    "35 min",
    "1 h 30 min",
    "10 25 45 min",
    "every 30 min",
    "1 h, every 20 min",
    "5 15 30 60 min, then every 1 h until gel",
    "cure",
)

rules = st.sampled_from(RULES)
moments = st.datetimes(datetime(2026, 1, 1), datetime(2028, 1, 1), timezones=st.just(UTC)).map(
    lambda at: at.replace(microsecond=0)
)


def timer(rule: str, heard: datetime | None = None, started: datetime = START) -> RunningTimer:
    """A timer on the bench's second lift."""
    return RunningTimer(timer="leak-watch", rule=rule, of="seat/strip", started=started, heard=heard)


@cache
def bench() -> ProjectFile:
    """The bench: its resin may be recoated from 10 h to 60 h, demoulded at 72 h, worked at 7 d."""
    return example("tarn-bench").file


def at(running: RunningTimer, now: datetime) -> TimerState:
    """How a timer of the bench stands."""
    return state_at(bench(), "t1", running, now)


def due(running: RunningTimer, now: datetime) -> timedelta | None:
    """Its deadline as a span from its start."""
    deadline = at(running, now).deadline
    return deadline.at - running.started if deadline is not None else None


# Rules


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("14 d", Rule((14 * DAY,))),
        ("24 h", Rule((DAY,))),
        ("35 min", Rule((35 * MINUTE,))),
        ("1 h 30 min", Rule((90 * MINUTE,))),
        ("0.5 h", Rule((30 * MINUTE,))),
        ("10 25 45 min", Rule((10 * MINUTE, 25 * MINUTE, 45 * MINUTE))),
        ("every 30 min", Rule((), 30 * MINUTE)),
        ("every 30 min until gel", Rule((), 30 * MINUTE, "gel")),
        ("5 15 min, then every 1 h until gel", Rule((5 * MINUTE, 15 * MINUTE), HOUR, "gel")),
        ("5 min, every 1 h", Rule((5 * MINUTE,), HOUR)),
        ("  Every 1 H Until Gel ", Rule((), HOUR, "gel")),
        ("cure", Rule(cure=True)),
    ],
)
def test_a_rule_is_read(text: str, rule: Rule) -> None:
    assert parse_rule(text) == rule


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        ",",
        "soon",
        "24",
        "24 mm",
        "-5 min",
        "0 min",
        "0.2 s",
        "every",
        "every 0 min",
        "every 0.3 s",
        "every -1 h",
        "5 min then every",
        "5 min, then",
        "5 min, every 1 h until",
        "5 min, 10 min",
        "every 1 h until 5",
        "until gel",
        "cure, every 1 h",
        "900 y",
        "1000 years",
        "99999999 d",
        "every 99999999 d",
        "5 m",
        "1/0 h",
        "5 15 30",
        "1e99 d",
        "\x00",
        "٣",
        "5 15 30 kg",
    ],
)
def test_a_rule_that_says_nothing_is_refused_with_one_that_does(text: str) -> None:
    with pytest.raises(ValueError, match="write") as raised:
        parse_rule(text)
    assert "24 h" in str(raised.value)


@pytest.mark.parametrize("text", ["15 5 min", "5 5 min"])
def test_times_that_do_not_rise_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="do not rise: write them as 5 15 30 min"):
        parse_rule(text)


@given(st.text(max_size=60))
def test_any_text_is_a_rule_or_refused(text: str) -> None:
    try:
        rule = parse_rule(text)
    except ValueError:
        return
    assert rule.cure or rule.offsets or rule.every
    assert all(span > timedelta() for span in (*rule.offsets, rule.every or HOUR))


def test_a_file_with_an_unreadable_rule_is_refused_at_its_place() -> None:
    with pytest.raises(FileFaults, match=r"'soon' is no timer rule.*24 h"):
        example("tarn-bench").with_value(("record", "timer", "t8", "rule"), "soon")


def test_every_timer_that_a_check_starts_has_a_rule_that_reads() -> None:
    fixed = [
        check.timer.rule
        for _, check in CHECKS.values()
        if check.timer is not None
        if isinstance(check.timer.rule, str)
    ]
    assert fixed
    for rule in fixed:
        parse_rule(rule)


# Deadlines


@pytest.mark.parametrize(
    ("rule", "minutes"),
    [
        ("35 min", [35]),
        ("10 25 45 min", [10, 25, 45]),
        ("every 30 min", [30, 60, 90, 120]),
        ("5 15 min, then every 1 h", [5, 15, 75, 135]),
        ("cure", [600, 3600, 4320, 10080]),
        # The leak watch ends with the repeat at or before 10 h, the first state that the sheet names.
        ("8 h, then every 1 h until gel", [480, 540, 600]),
        ("12 h, then every 1 h until gel", [720]),
    ],
)
def test_deadlines_are_the_start_plus_an_offset(rule: str, minutes: list[int]) -> None:
    found = islice(deadlines(bench(), timer(rule)), 4)
    assert [deadline.at - START for deadline in found] == [span * MINUTE for span in minutes]


def test_a_cure_timer_runs_through_the_states_of_the_sheet() -> None:
    states = ["window open", "window shut", "demould", "full cure"]
    assert [deadline.state for deadline in deadlines(bench(), timer("cure"))] == states
    assert [state for state, _ in cure_states(bench(), "seat/strip")] == states


def test_a_lift_that_is_followed_runs_through_its_own_states() -> None:
    known = {"seat/strip": (("gel", 25 * HOUR), ("window open", 30 * HOUR), ("demould", 9 * DAY))}
    found = [(held.state, held.at - START) for held in deadlines(bench(), timer("cure"), known)]
    assert found == list(known["seat/strip"])
    state = state_at(bench(), "t1", timer("cure", heard=START + 26 * HOUR), START + 27 * HOUR, known)
    assert (state.reached, state.ringing) == ("gel", False)
    assert state.deadline is not None and state.deadline.state == "window open"


def test_a_watch_until_gel_ends_at_the_gel_of_a_lift_that_is_followed() -> None:
    known = {"seat/strip": (("gel", 3 * HOUR), ("window open", 30 * HOUR))}
    found = [held.at - START for held in deadlines(bench(), timer("every 1 h until gel"), known)]
    assert found == [HOUR, 2 * HOUR, 3 * HOUR]


def test_states_that_are_still_to_come_ring_nothing_and_end_no_watch() -> None:
    known: dict[str, tuple[tuple[str, timedelta], ...]] = {"seat/strip": ()}
    state = state_at(bench(), "t1", timer("cure"), START + 400 * DAY, known)
    assert (state.deadline, state.ringing) == (None, False)
    assert len(list(islice(deadlines(bench(), timer("every 1 h until gel"), known), 100))) == 100


def test_the_sheet_stands_in_for_a_lift_that_is_not_followed() -> None:
    known = {"seat/base": (("gel", HOUR),)}
    assert list(deadlines(bench(), timer("cure"), known)) == list(deadlines(bench(), timer("cure")))


@pytest.mark.parametrize("subject", ["seat-not-there/strip", "left-leg", "project"])
def test_without_a_sheet_there_are_no_states_and_no_deadline(subject: str) -> None:
    running = timer("cure").model_copy(update={"of": subject})
    state = at(running, START + DAY)
    assert (state.deadline, state.ringing, state.last) == (None, False, True)


def test_a_repeat_until_a_state_that_nobody_knows_goes_on() -> None:
    running = timer("every 1 h until gel").model_copy(update={"of": "project"})
    assert due(running, START + 1000 * HOUR + MINUTE) == 1000 * HOUR


# Ringing until heard


def test_a_timer_counts_down_then_rings_until_it_is_heard() -> None:
    assert due(timer("35 min"), START) == 35 * MINUTE
    assert not at(timer("35 min"), START + 34 * MINUTE).ringing
    for late in (timedelta(), timedelta(seconds=1), DAY, 400 * DAY):
        now = START + 35 * MINUTE + late
        state = at(timer("35 min"), now)
        assert state.ringing
        assert state.last
        assert state.left(now) == -late
    assert not at(timer("35 min", heard=START + 36 * MINUTE), START + 40 * MINUTE).ringing


def test_hearing_one_deadline_waits_for_the_next() -> None:
    running = timer("10 25 45 min", heard=START + 11 * MINUTE)
    state = at(running, START + 12 * MINUTE)
    assert not state.ringing
    assert due(running, START + 12 * MINUTE) == 25 * MINUTE
    assert at(running, START + 26 * MINUTE).ringing


def test_of_several_deadlines_missed_the_latest_rings_and_one_hearing_is_enough() -> None:
    now = START + 40 * MINUTE
    assert due(timer("10 25 45 min"), now) == 25 * MINUTE
    heard = timer("10 25 45 min", heard=now)
    assert not at(heard, now).ringing
    assert due(heard, now) == 45 * MINUTE


def test_a_repeat_rings_until_its_end_and_no_longer() -> None:
    running = timer("8 h, then every 1 h until gel")
    assert due(running, START + 9 * HOUR + MINUTE) == 9 * HOUR
    for now in (START + 10 * HOUR, START + 30 * HOUR, START + 40 * DAY):
        state = at(running, now)
        assert (state.ringing, state.last, due(running, now)) == (True, True, 10 * HOUR)
    quiet = at(timer("8 h, then every 1 h until gel", heard=START + 11 * HOUR), START + 12 * HOUR)
    assert (quiet.deadline, quiet.ringing, quiet.last) == (None, False, True)


def test_the_state_reached_is_told_after_it_was_heard_too() -> None:
    running = timer("cure", heard=START + 61 * HOUR)
    state = at(running, START + 62 * HOUR)
    assert (state.reached, state.ringing) == ("window shut", False)
    assert due(running, START + 62 * HOUR) == 72 * HOUR


# Sleep, restart, weeks away, a clock set back, daylight saving


@pytest.mark.parametrize("away", [HOUR, 3 * DAY, 21 * DAY, 900 * DAY])
def test_weeks_away_show_the_latest_deadline_ringing(away: timedelta) -> None:
    now = START + away
    running = timer("every 30 min")
    assert due(running, now) == away
    assert at(running, now).ringing


@given(rules, moments, st.none() | moments)
def test_a_restart_finds_what_was_left(rule: str, now: datetime, heard: datetime | None) -> None:
    # Written to the file and read again, in another process or months later: only file and time count.
    running = timer(rule, heard)
    again = RunningTimer.model_validate(running.model_dump(by_alias=True))
    others = [at(timer("24 h"), now), at(running, now + DAY), at(running, now - DAY)]
    assert at(again, now) == at(running, now) == at(running, now)
    assert len(others) == 3


@given(rules, moments, st.none() | moments)
@example_of("every 30 min", START - 3 * DAY, START + HOUR)
def test_what_rings_is_past_and_not_heard_and_what_comes_is_ahead(
    rule: str, now: datetime, heard: datetime | None
) -> None:
    state = at(timer(rule, heard), now)
    if state.deadline is None:
        assert state.last
        return
    assert state.ringing == (state.deadline.at <= now)
    if state.ringing and heard is not None and heard <= now:
        assert state.deadline.at > heard


@given(rules, moments, st.none() | moments)
def test_leaping_over_a_long_repeat_finds_what_going_through_it_finds(
    rule: str, now: datetime, heard: datetime | None
) -> None:
    running = timer(rule, heard)
    state = at(running, now)
    since = heard if heard is not None and heard <= now else START
    past, ahead = None, []
    for deadline in deadlines(bench(), running):
        if deadline.at > now:
            ahead.append(deadline)
            if len(ahead) == 2:
                break
        elif deadline.at > since:
            past = deadline
    assert state.deadline == (past or (ahead[0] if ahead else None))
    assert state.ringing == (past is not None)
    assert state.last == (not ahead if past else len(ahead) < 2)


def test_a_clock_set_back_before_the_start_waits_for_the_first_deadline() -> None:
    for rule in ("35 min", "every 35 min"):
        assert due(timer(rule), START - 5 * HOUR) == 35 * MINUTE
        assert not at(timer(rule), START - 5 * HOUR).ringing


def test_a_clock_set_back_after_hearing_rings_rather_than_miss_a_deadline() -> None:
    running = timer("10 25 45 min", heard=START + 3 * HOUR)
    assert at(running, START + 30 * MINUTE).ringing
    heard_again = running.model_copy(update={"heard": START + 31 * MINUTE})
    assert due(heard_again, START + 32 * MINUTE) == 45 * MINUTE


def test_a_timer_over_the_night_of_daylight_saving_rings_after_its_true_span() -> None:
    berlin = ZoneInfo("Europe/Berlin")
    # The night from 28 to 29 March 2026 has 23 hours in Berlin.
    started = datetime(2026, 3, 28, 20, 0, tzinfo=timezone(timedelta(hours=1)))
    running = timer("24 h", started=started)
    deadline = at(running, started).deadline
    assert deadline is not None
    assert deadline.at.astimezone(berlin).replace(tzinfo=None) == datetime(2026, 3, 29, 21, 0)
    assert not at(running, datetime(2026, 3, 29, 20, 59, 59, tzinfo=berlin)).ringing
    assert at(running, datetime(2026, 3, 29, 21, 0, tzinfo=berlin)).ringing


@given(rules, moments, st.integers(-12 * 60, 14 * 60))
def test_the_zone_in_which_a_time_is_written_changes_nothing(rule: str, now: datetime, minutes: int) -> None:
    zone = timezone(minutes * MINUTE)
    here, there = at(timer(rule), now), at(timer(rule, started=START.astimezone(zone)), now.astimezone(zone))
    assert here == replace(there, started=here.started)


# In a project


def test_an_id_is_never_used_twice() -> None:
    project = example("tarn-bench")
    assert project.file.record.timers_started == 8
    seen = {*project.file.record.timer, *(f"t{number}" for number in range(1, 9))}
    for _ in range(5):
        project = timer_started(project, "mix", "5 min", "seat/top", START)
        (new,) = project.file.record.timer.keys() - seen
        seen.add(new)
        project = timer_ended(project, new, START + HOUR)
    assert project.file.record.timers_started == 13


def test_an_id_is_new_where_a_file_written_by_hand_keeps_no_count() -> None:
    project = example("tarn-bench").without(("record", "timers-started"))
    assert "t9" in timer_started(project, "mix", "5 min", "seat/top", START).file.record.timer


def test_a_timer_starts_in_the_shops_own_zone() -> None:
    project = timer_started(example("tarn-bench"), "mix", "5 min", "seat/top", START)
    assert project.file.record.timer["t9"].started.isoformat() == "2026-03-09T19:00:00+01:00"


def heard(project: Project, span: timedelta) -> Project:
    """The project with its timer t9 heard so long after the start."""
    return timer_heard(project, "t9", START + span)


def test_hearing_the_last_deadline_ends_a_timer_and_an_earlier_one_does_not() -> None:
    project = timer_started(example("tarn-bench"), "bubbles", "10 25 min", "seat/top", START)
    once = heard(project, 11 * MINUTE)
    assert once.file.record.timer["t9"].heard == START + 11 * MINUTE
    twice = heard(once, 26 * MINUTE)
    assert "t9" not in twice.file.record.timer
    (ended,) = twice.file.record.ended["seat/top"]
    assert (ended.timer, ended.from_, ended.to) == ("bubbles", START, START + 26 * MINUTE)


def test_hearing_a_timer_that_does_not_ring_keeps_it_running() -> None:
    project = timer_started(example("tarn-bench"), "bubbles", "10 25 min", "seat/top", START)
    assert "t9" in heard(project, MINUTE).file.record.timer
