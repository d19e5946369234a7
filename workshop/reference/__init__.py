"""The reference tables that the program ships: one TOML file a subject, each row with its source."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

__all__ = ["UnknownTable", "table"]


class UnknownTable(LookupError):
    """No reference table of that name is shipped."""


@cache
def table(name: str) -> Mapping[str, Any]:
    """One reference table by its file name without the ending, read when first asked for and never writable.

    Raises UnknownTable where no such table is shipped.
    """
    folder = files(__name__)
    file = folder.joinpath(f"{name}.toml")
    if not file.is_file():
        shipped = sorted(held.name for held in folder.iterdir() if held.name.endswith(".toml"))
        known = ", ".join(other.removesuffix(".toml") for other in shipped)
        raise UnknownTable(f"No reference table is called {name!r}; the program ships {known}.")
    frozen: Mapping[str, Any] = _frozen(tomllib.loads(file.read_text(encoding="utf-8")))
    return frozen


def _frozen(value: Any) -> Any:
    if isinstance(value, dict):
        return MappingProxyType({key: _frozen(inner) for key, inner in value.items()})
    if isinstance(value, list):
        return tuple(_frozen(inner) for inner in value)
    return value
