"""Older copies are many of today, fewer of this week and few of last month."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.project.older import copy_path, kept, older_copies, thin, wanted
from workshop.project.pending import Pending

NOW = datetime(2026, 3, 9, 18, 31, tzinfo=UTC)

quietly = settings(deadline=None, derandomize=True, max_examples=150)
pasts = st.lists(
    st.integers(0, 80 * 24 * 60).map(lambda minutes: NOW - timedelta(minutes=minutes)), max_size=200
)


@quietly
@given(pasts)
def test_the_last_twenty_saves_always_stay(times: list[datetime]) -> None:
    assert set(sorted(set(times))[-20:]) <= kept(times, NOW)


@quietly
@given(pasts)
def test_every_hour_of_a_day_and_every_day_of_sixty_keeps_its_last_copy(times: list[datetime]) -> None:
    staying = kept(times, NOW)
    for at in times:
        same_day = [other for other in times if other.date() == at.date()]
        same_hour = [other for other in same_day if other.hour == at.hour]
        if NOW - max(same_day) <= timedelta(days=60):
            assert max(same_day) in staying
        if NOW - max(same_hour) <= timedelta(days=1):
            assert max(same_hour) in staying


@quietly
@given(pasts)
def test_beyond_the_last_twenty_there_is_one_an_hour_then_one_a_day_then_none(times: list[datetime]) -> None:
    beyond = sorted(kept(times, NOW))[:-20]
    assert all(NOW - at <= timedelta(days=60) for at in beyond)
    hours = [at.replace(minute=0) for at in beyond]
    assert len(hours) == len(set(hours))
    days = [at.date() for at in beyond if NOW - at > timedelta(days=1)]
    assert len(days) == len(set(days))


@quietly
@given(pasts)
def test_thinning_twice_is_thinning_once(times: list[datetime]) -> None:
    staying = kept(times, NOW)
    assert kept(staying, NOW) == staying


def test_thinned_as_it_goes_a_month_of_saving_keeps_each_of_its_days() -> None:
    standing: frozenset[datetime] = frozenset()
    start = datetime(2026, 2, 1, 17, 30, tzinfo=UTC)
    for day in range(30):
        for minute in range(0, 240, 3):
            now = start + timedelta(days=day, minutes=minute)
            standing = kept({*standing, now}, now)
    assert {at.date() for at in standing} == {(start + timedelta(days=day)).date() for day in range(30)}
    # Today the last 20 (from 20:30) and the last of 17, 18 and 19 o'clock, then one of each day before.
    assert len(standing) == 20 + 3 + 29


def test_a_second_copy_within_a_minute_is_not_wanted() -> None:
    assert not wanted([NOW - timedelta(seconds=59)], NOW)
    assert wanted([NOW - timedelta(seconds=60)], NOW)
    assert wanted([], NOW)


def test_a_clock_that_was_wrong_does_not_stop_the_copies() -> None:
    assert wanted([NOW + timedelta(days=400)], NOW)


def test_only_the_copies_of_this_file_are_counted_and_thinned(tmp_path: Path) -> None:
    mine, other = tmp_path / "bench.toml", tmp_path / "bench-2.toml"
    long_ago = NOW - timedelta(days=61)
    foreign = tmp_path / ".workshop" / "older" / "bench.format-1-2020-01-01T00-00-00Z.toml"
    foreign.parent.mkdir(parents=True)
    foreign.touch()
    copy_path(other, long_ago).touch()
    copy_path(mine, long_ago).touch()
    for minutes in range(25):
        copy_path(mine, NOW - timedelta(minutes=minutes)).touch()
    thin(mine, NOW)
    assert [copy.at for copy in older_copies(mine)][:20] == [NOW - timedelta(minutes=m) for m in range(20)]
    assert not copy_path(mine, long_ago).exists()
    assert copy_path(other, long_ago).exists() and foreign.exists()


def test_a_save_is_due_within_a_second_of_the_first_change_however_many_follow() -> None:
    pending = Pending()
    assert not pending.due(NOW) and pending.wait(NOW) is None
    for tenths in range(0, 8):
        pending = pending.changed(NOW + timedelta(seconds=tenths / 10))
    assert pending.since == NOW
    assert not pending.due(NOW + timedelta(seconds=0.5))
    assert pending.due(NOW + timedelta(seconds=1))


def test_waiting_as_long_as_told_makes_the_save_due() -> None:
    pending = Pending().changed(NOW)
    later = NOW + timedelta(seconds=0.2)
    wait = pending.wait(later)
    assert wait is not None and pending.due(later + wait)
    assert later + wait <= NOW + timedelta(seconds=1)


def test_a_clock_set_back_does_not_put_a_save_off() -> None:
    pending = Pending().changed(NOW)
    assert pending.due(NOW - timedelta(hours=1))
    assert pending.wait(NOW - timedelta(hours=1)) == timedelta(0)
