"""When changes not yet saved have to be written."""

from dataclasses import dataclass
from datetime import datetime, timedelta

# A change is on disk at most one second after it was made; writing the largest file takes well under the
# quarter of a second that is left for it.
PATIENCE = timedelta(milliseconds=750)


@dataclass(frozen=True)
class Pending:
    """Changes not yet saved; `since` is when the first of them was made, None where there is none."""

    since: datetime | None = None

    def changed(self, now: datetime) -> "Pending":
        """After one more change: later changes do not put off the save that the first one asked for."""
        return self if self.since is not None else Pending(now)

    def due(self, now: datetime) -> bool:
        """Whether to save now; also where the clock went back behind the first change."""
        return self.since is not None and not timedelta(0) <= now - self.since < PATIENCE

    def wait(self, now: datetime) -> timedelta | None:
        """How long until a save is due, zero where it is, None where nothing waits."""
        if self.since is None:
            return None
        return timedelta(0) if self.due(now) else PATIENCE - (now - self.since)
