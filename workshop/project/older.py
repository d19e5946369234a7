"""Older copies of a project file: how they are named, how often one is kept, which are let go."""

import re
import unicodedata
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

_STAMP = "%Y-%m-%dT%H-%M-%SZ"
_STAMP_FORM = r"\d{4}-\d\d-\d\dT\d\d-\d\d-\d\dZ"

LAST = 20
APART = timedelta(minutes=1)
HOURLY = timedelta(days=1)
DAILY = timedelta(days=60)


@dataclass(frozen=True)
class Older:
    """A copy of the file as it was until `at` (UTC)."""

    at: datetime
    path: Path


def stamp(at: datetime) -> str:
    """A time in UTC to the second, fit for a file name on every system."""
    return at.astimezone(UTC).strftime(_STAMP)


def stem(path: Path) -> str:
    """The file's name without `.toml`."""
    return path.name.removesuffix(".toml")


def folder(path: Path) -> Path:
    """Where older copies of the file at `path` are kept."""
    return path.parent / ".workshop" / "older"


def copy_path(path: Path, at: datetime) -> Path:
    """Where a copy of the file as it was until `at` belongs."""
    return folder(path) / f"{stem(path)}-{stamp(at)}.toml"


def older_copies(path: Path) -> tuple[Older, ...]:
    """The copies kept of the file at `path`, newest first; none where the folder cannot be read."""
    # Some file systems decompose the accents of a name.
    form = re.compile(
        re.escape(unicodedata.normalize("NFC", stem(path))) + rf"-({_STAMP_FORM})\.toml", re.DOTALL
    )
    found: list[Older] = []
    with suppress(OSError):
        for entry in folder(path).iterdir():
            match = form.fullmatch(unicodedata.normalize("NFC", entry.name))
            if match is not None:
                with suppress(ValueError):
                    found.append(Older(datetime.strptime(match[1], _STAMP).replace(tzinfo=UTC), entry))
    return tuple(sorted(found, key=lambda copy: copy.at, reverse=True))


def wanted(times: Iterable[datetime], now: datetime) -> bool:
    """Whether a new copy is kept at `now`: not more than one a minute."""
    return not any(timedelta(0) <= now - at < APART for at in times)


def kept(times: Iterable[datetime], now: datetime) -> frozenset[datetime]:
    """Which copies stay: the last 20, the last of each hour for a day, the last of each day for 60 days."""
    newest_first = sorted(set(times), reverse=True)
    staying = set(newest_first[:LAST])
    hours: set[datetime] = set()
    days: set[datetime] = set()
    for at in newest_first:
        hour = at.replace(minute=0, second=0, microsecond=0)
        day = hour.replace(hour=0)
        if now - at <= HOURLY and hour not in hours:
            staying.add(at)
        if now - at <= DAILY and day not in days:
            staying.add(at)
        hours.add(hour)
        days.add(day)
    return frozenset(staying)


def thin(path: Path, now: datetime) -> None:
    """Delete the copies of the file at `path` that no longer stay; what cannot be deleted stays too."""
    copies = older_copies(path)
    staying = kept((copy.at for copy in copies), now)
    for copy in copies:
        if copy.at not in staying:
            with suppress(OSError):
                copy.path.unlink()
