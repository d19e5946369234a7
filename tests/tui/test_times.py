"""Moments and spans as a maker reads them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.tui.times import ago, countdown, moment, span

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 3, 9, 19, 40, tzinfo=UTC)
"""A Monday, 20:40 in the shop."""

spans = st.timedeltas(min_value=timedelta(days=-40000), max_value=timedelta(days=40000))


@pytest.mark.parametrize(
    ("at", "shown"),
    [
        ("2026-03-09T21:31:00+01:00", "21:31"),
        ("2026-03-09T00:00:00+01:00", "00:00"),
        ("2026-03-10T05:31:00+01:00", "Tue 05:31"),
        ("2026-03-08T23:59:00+01:00", "Sun 23:59"),
        ("2026-03-14T12:00:00+01:00", "Sat 12:00"),
        ("2026-03-20T12:00:00+01:00", "20 Mar"),
        ("2026-02-02T12:00:00+01:00", "2 Feb"),
        ("2027-01-31T12:00:00+01:00", "31 Jan 2027"),
    ],
)
def test_a_moment_is_a_time_today_a_weekday_this_week_and_a_date_beyond(at: str, shown: str) -> None:
    assert moment(datetime.fromisoformat(at), NOW, BERLIN) == shown


def test_a_moment_is_told_in_the_shops_zone() -> None:
    assert moment(NOW, NOW, BERLIN) == "20:40"
    assert moment(NOW, NOW, UTC) == "19:40"


@pytest.mark.parametrize(
    ("length", "shown"),
    [
        (timedelta(seconds=59), "59 s"),
        (timedelta(minutes=42, seconds=30), "42 min"),
        (timedelta(hours=9, minutes=12), "9 h 12 min"),
        (timedelta(hours=47), "47 h"),
        (timedelta(days=3, hours=4), "3 d 4 h"),
        (timedelta(days=19, hours=5), "19 d"),
        (timedelta(minutes=-20), "20 min"),
    ],
)
def test_a_span_has_its_two_largest_parts(length: timedelta, shown: str) -> None:
    assert span(length) == shown


def test_what_was_just_now_and_what_was_long_ago() -> None:
    assert ago(timedelta(seconds=20)) == "just now"
    assert ago(timedelta(minutes=20)) == "20 min ago"


@pytest.mark.parametrize(
    ("length", "shown"),
    [
        (timedelta(hours=9, minutes=12, seconds=44), "09:12:44"),
        (timedelta(0), "00:00:00"),
        (timedelta(hours=99, minutes=59, seconds=59), "99:59:59"),
        (timedelta(days=11, hours=3), "11 d"),
        (timedelta(minutes=-5), "+00:05:00"),
        (timedelta(days=-11), "+11 d"),
    ],
)
def test_a_countdown_counts_up_with_a_plus_once_it_is_late(length: timedelta, shown: str) -> None:
    assert countdown(length) == shown


@given(spans)
def test_a_countdown_fits_its_card(length: timedelta) -> None:
    assert len(countdown(length)) <= 9


@given(spans)
def test_no_span_is_longer_than_a_column_takes(length: timedelta) -> None:
    assert 0 < len(span(length)) <= 11
