"""The one clock, passed in: the wall clock in UTC, checked against the monotonic one."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

JUMP = timedelta(seconds=5)
"""How far wall and monotonic clock may part between two looks before it counts as sleep or a set clock."""


def _wall() -> datetime:
    return datetime.now(UTC)


@dataclass
class Clock:
    """Tells the time. With `at` it starts there instead, so that a day can be replayed."""

    at: datetime | None = None
    wall: Callable[[], datetime] = _wall
    monotonic: Callable[[], float] = time.monotonic
    _offset: timedelta = field(init=False)
    _seen: tuple[datetime, float] = field(init=False)

    def __post_init__(self) -> None:
        self._offset = self.at - self.wall() if self.at is not None else timedelta()
        self._seen = (self.wall(), self.monotonic())

    def now(self) -> datetime:
        """The time in UTC to the whole second, as the file keeps it."""
        return (self.wall() + self._offset).astimezone(UTC).replace(microsecond=0)

    def gap(self) -> timedelta:
        """How far the wall clock ran ahead of the monotonic one since the last call: the time slept.

        Zero where they agree within `JUMP`; negative where the clock was set back.
        """
        wall, monotonic = self.wall(), self.monotonic()
        seen_wall, seen_monotonic = self._seen
        self._seen = (wall, monotonic)
        apart = (wall - seen_wall) - timedelta(seconds=monotonic - seen_monotonic)
        return apart if abs(apart) > JUMP else timedelta()
