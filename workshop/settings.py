"""The maker's own settings: one file, validated like a project, from which new projects take what they keep.

It lies in the user's configuration folder, or where WORKSHOP_SETTINGS says. A file that is not there is an
empty one: every setting has its default here.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any, Final, Literal

from pydantic import Field, StrictBool

from workshop.project.disk import put
from workshop.project.faults import FileFault, FileFaults
from workshop.project.fields import Id, Row, Text, Whole
from workshop.project.hours import QuietHours
from workshop.project.lines import lines, spelled, where
from workshop.project.reading import Stored, dumps, loads, read, reason
from workshop.project.shop import Currency, Person, Pricing, Shop, Tool
from workshop.project.validation import table_read

ENVIRONMENT: Final = "WORKSHOP_SETTINGS"
"""The environment variable that names the settings file."""

FORMAT: Final = 1

ThemeName = Literal["dusk", "daylight", "contrast", "terminal"]
THEMES: Final[tuple[ThemeName, ...]] = ("dusk", "daylight", "contrast", "terminal")


class Settings(Row):
    """What the maker prefers, and what stands in every new project."""

    format: Whole = FORMAT
    units: Literal["metric", "us"] | None = None
    inch_fraction: Literal[2, 4, 8, 16, 32, 64] | None = None
    currency: Currency | None = None
    theme: ThemeName = "dusk"
    reduced_motion: StrictBool = False
    """Nothing on the screen blinks or slides."""
    quiet: QuietHours | None = None
    """When no alarm rings aloud; it shows all the same."""
    projects: Text | None = None
    """The folder where projects live, where neither the command nor the environment names one."""
    keys: dict[str, Text] = Field(default_factory=dict)
    """Action id to key, for keys other than those the program comes with."""
    shop: Shop = Field(default_factory=Shop.model_construct)
    person: dict[Id, Person] = Field(default_factory=dict)
    tool: dict[Id, Tool] = Field(default_factory=dict)
    price: Pricing = Field(default_factory=Pricing.model_construct)


# Not validated, since nobody typed it: that would take longer than the rest of this module.
DEFAULTS: Final = Settings.model_construct()


def settings_path(environment: Mapping[str, str] | None = None) -> Path:
    """Where the settings lie; the file need not exist."""
    named = (os.environ if environment is None else environment).get(ENVIRONMENT, "").strip()
    if named:
        return Path(named).expanduser()
    from platformdirs import user_config_path

    return user_config_path("workshop") / "settings.toml"


def read_settings(path: Path) -> Settings:
    """The settings in a file, the defaults where there is none; raises FileFaults with all that is wrong."""
    if not path.exists():
        return DEFAULTS
    try:
        stored: Stored = read(path)
    except FileFault as fault:
        raise FileFaults((fault,)) from fault
    return settings_from(stored.text, path)


def settings_from(text: str, path: Path) -> Settings:
    """The settings that a text holds; raises FileFaults with every fault and its line."""
    try:
        document = loads(text, path)
    except FileFault as fault:
        raise FileFaults((fault,)) from fault
    held, wrong = table_read(Settings, document)
    if wrong:
        numbered = lines(text)
        placed = sorted(((where(numbered, one.path), one) for one in wrong), key=lambda pair: pair[0])
        raise FileFaults(
            tuple(FileFault(path, line, spelled(one.path), one.what, one.mend) for line, one in placed)
        )
    return held


def own_tables(path: Path) -> dict[str, Any]:
    """The maker's shop, people, tools and prices as written, for a new project to keep a copy of."""
    if not path.exists():
        return {}
    document = loads(read(path).text, path)
    return {key: document[key] for key in ("shop", "person", "tool", "price") if key in document}


def with_setting(path: Path, key: str, value: Any) -> str:
    """The settings file's text with one key of no table set, comments and all else as they stand.

    The caller writes it. Raises FileFault where the file cannot be read.
    """
    if not path.exists():
        return dumps({"format": FORMAT, key: value})
    stored = read(path)
    changed = {**stored.document, key: value}
    said = dumps({key: value})
    rows = stored.text.splitlines(keepends=True)
    place = lines(stored.text).get((key,))
    if place is not None:
        rows[place - 1] = said
    else:
        rows[_head(rows) : _head(rows)] = [said]
    text = "".join(rows)
    try:
        kept = loads(text, path) == changed
    except FileFault:
        kept = False
    return text if kept else dumps(changed)


def _head(rows: list[str]) -> int:
    """After `format`, else at the top, where a key of no table may stand."""
    return next((place for place, row in enumerate(rows, 1) if row.startswith("format")), 0)


def keep_setting(path: Path, key: str, value: Any) -> None:
    """Write one key of no table into the settings file; raises FileFault."""
    text = with_setting(path, key, value)
    # A link to a file kept elsewhere stays a link.
    target = path.resolve()
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        put(target, text.encode("utf-8"), like=target.stat() if target.exists() else None)
    except OSError as error:
        raise FileFault(
            path, None, key, f"cannot be written ({reason(error)})", "give yourself the right, or make room"
        ) from error


def is_quiet(quiet: QuietHours | None, now: datetime, zone: tzinfo | None) -> bool:
    """Whether a moment lies in the quiet hours; a span that ends before it starts runs past midnight."""
    return quiet_until(quiet, now, zone) is not None


def quiet_until(quiet: QuietHours | None, now: datetime, zone: tzinfo | None) -> str | None:
    """The time of day at which the quiet hours around a moment end, `7:00`; None outside them."""
    if quiet is None:
        return None
    local = now.astimezone(zone)
    here, until = local.hour * 60 + local.minute, None
    # One span may end where the next begins, as at midnight.
    for _ in quiet.spans:
        ends = [end for start, end in quiet.spans if _within(here, start, end)]
        if not ends:
            break
        until = here = ends[0] % DAY
    return None if until is None else f"{until // 60}:{until % 60:02d}"


DAY: Final = 24 * 60
"""Minutes."""


def _within(minute: int, start: int, end: int) -> bool:
    return start <= minute < end if start <= end else minute >= start or minute < end
