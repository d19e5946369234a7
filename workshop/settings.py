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

from workshop.project.faults import FileFault, FileFaults
from workshop.project.fields import Id, Row, Text, Whole
from workshop.project.hours import QuietHours
from workshop.project.lines import lines, spelled, where
from workshop.project.reading import Stored, dumps, loads, read
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
    shop: Shop = Field(default_factory=Shop)
    person: dict[Id, Person] = Field(default_factory=dict)
    tool: dict[Id, Tool] = Field(default_factory=dict)
    price: Pricing = Field(default_factory=Pricing)


DEFAULTS: Final = Settings()


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
    """The settings file's text with one key set, to be written by the caller."""
    document = loads(read(path).text, path) if path.exists() else {"format": FORMAT}
    return dumps({**document, key: value})


def is_quiet(quiet: QuietHours | None, now: datetime, zone: tzinfo | None) -> bool:
    """Whether a moment lies in the quiet hours; a span that ends before it starts runs past midnight."""
    if quiet is None:
        return False
    local = now.astimezone(zone)
    here = local.hour * 60 + local.minute
    return any(
        start <= here < end if start <= end else here >= start or here < end for start, end in quiet.spans
    )
