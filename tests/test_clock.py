"""The clock tells the time in UTC, can be set to replay a day, and notices sleep and a set clock."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.clock import JUMP, Clock

NOON = datetime(2026, 3, 9, 12, 0, 0, 750_000, tzinfo=UTC)


@dataclass
class Machine:
    """A wall clock and a monotonic one, which stops while the machine sleeps."""

    wall: datetime = NOON
    monotonic: float = 1000.0

    def run(self, span: timedelta) -> None:
        """Time passes while the machine is awake."""
        self.wall += span
        self.monotonic += span.total_seconds()

    def sleep(self, span: timedelta) -> None:
        """The lid is shut for a while."""
        self.wall += span

    def clock(self, at: datetime | None = None) -> Clock:
        """A clock that runs on this machine."""
        return Clock(at, lambda: self.wall, lambda: self.monotonic)


spans = st.timedeltas(timedelta(), timedelta(days=60))


def test_the_time_is_utc_to_the_whole_second() -> None:
    now = Machine().clock().now()
    assert now == datetime(2026, 3, 9, 12, 0, 0, tzinfo=UTC)
    assert now.tzinfo is UTC


def test_a_wall_clock_of_another_zone_tells_the_same_moment() -> None:
    machine = Machine(datetime(2026, 3, 9, 17, 30, tzinfo=timezone(timedelta(hours=5, minutes=30))))
    assert machine.clock().now() == datetime(2026, 3, 9, 12, 0, tzinfo=UTC)


def test_the_real_clock_tells_a_time_with_its_zone() -> None:
    assert Clock().now().utcoffset() == timedelta()


@given(spans)
def test_a_clock_set_to_a_time_runs_on_from_there(span: timedelta) -> None:
    machine = Machine()
    start = datetime(2026, 1, 5, 8, 0, tzinfo=timezone(timedelta(hours=1)))
    clock = machine.clock(at=start)
    assert clock.now() == start
    machine.run(span)
    assert clock.now() == (start + span).replace(microsecond=0)


@given(st.lists(spans, max_size=5))
def test_no_gap_while_the_machine_is_awake(awake: list[timedelta]) -> None:
    machine = Machine()
    clock = machine.clock()
    for span in awake:
        machine.run(span)
        assert clock.gap() == timedelta()


@given(spans, st.timedeltas(JUMP + timedelta(seconds=1), timedelta(days=60)))
def test_the_time_slept_is_told_once(awake: timedelta, slept: timedelta) -> None:
    machine = Machine()
    clock = machine.clock()
    machine.run(awake)
    machine.sleep(slept)
    assert abs(clock.gap() - slept) < timedelta(milliseconds=1)
    assert clock.gap() == timedelta()


def test_a_clock_set_back_is_a_negative_gap() -> None:
    machine = Machine()
    clock = machine.clock()
    machine.sleep(timedelta(hours=-2))
    assert clock.gap() == timedelta(hours=-2)
    assert clock.now() == datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


@pytest.mark.parametrize("seconds", [-5, -0.2, 0, 0.2, 5])
def test_a_clock_nudged_by_the_network_is_no_gap(seconds: float) -> None:
    machine = Machine()
    clock = machine.clock()
    machine.sleep(timedelta(seconds=seconds))
    assert clock.gap() == timedelta()


def test_a_replayed_day_knows_sleep_too() -> None:
    machine = Machine()
    clock = machine.clock(at=datetime(2026, 1, 5, 8, 0, tzinfo=UTC))
    machine.sleep(timedelta(hours=9))
    assert clock.gap() == timedelta(hours=9)
    assert clock.now() == datetime(2026, 1, 5, 17, 0, tzinfo=UTC)


def test_daylight_saving_is_no_gap() -> None:
    # Berlin puts its clocks forward at 01:00 UTC on 29 March 2026; the wall clock in UTC runs on.
    machine = Machine(datetime(2026, 3, 29, 0, 59, 58, tzinfo=UTC))
    clock = machine.clock()
    machine.run(timedelta(seconds=4))
    assert clock.gap() == timedelta()
    assert clock.now() == datetime(2026, 3, 29, 1, 0, 2, tzinfo=UTC)
