"""What the maker brings to every new project, from the settings file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from workshop.settings import own_tables, read_settings


@dataclass(frozen=True, slots=True)
class Brought:
    """Tables for `with_own`, and the first answers by the keys of the questions."""

    tables: Mapping[str, Any] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)


def brought(path: Path) -> Brought:
    """What the settings file at `path` gives a new project, nothing where there is none; raises FileFaults.

    Units and time zone come as answers, so that each project may have others.
    """
    settings = read_settings(path)
    tables = dict(own_tables(path))
    shop = {key: held for key, held in tables.pop("shop", {}).items() if key != "zone"}
    head = {"currency": settings.currency, "inch-fraction": settings.inch_fraction}
    head = {key: held for key, held in head.items() if held is not None}
    answers = {"units": settings.units, "zone": settings.shop.zone}
    return Brought(
        {key: table for key, table in {"project": head, "shop": shop, **tables}.items() if table},
        {key: text for key, text in answers.items() if text is not None},
    )
