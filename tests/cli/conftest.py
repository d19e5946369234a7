"""The command line as a test calls it, and the projects it is called with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from workshop.cli import main

SHELF = """\
format = 2

[project]
name = "Gannet shelf"
units = "us"

[shop]
zone = "America/New_York"
temperature-low = "62 °F"
temperature-high = "70 °F"
humidity = "70 %"

[destination]
temperature = "68 °F"
humidity-low = "30 %"
humidity-high = "55 %"

[slab.hickory]
species = "hickory"
length = "5 ft 4 in"
width = "8 in"
thickness = "1 7/8 in"

[casting.shelf]
length = "5 ft"
width = "9 in"
thickness = "1 1/2 in"
resin = "clear"

[resin.clear]
class = "slow casting"
"""

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    """`workshop` with these words."""

    def call(*words: str | Path, typed: str | None = None) -> Result:
        result = CliRunner().invoke(main, [str(word) for word in words], input=typed)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result

    return call


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A project in US units of which little is known."""
    path = tmp_path / "gannet-shelf.toml"
    path.write_text(SHELF, encoding="utf-8")
    return path


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Somebody sits at a terminal."""
    monkeypatch.setattr("workshop.cli.at_terminal", lambda *streams: True)


@pytest.fixture
def settings_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the maker's settings would lie; there is no such file yet."""
    path = tmp_path / "settings.toml"
    monkeypatch.setenv("WORKSHOP_SETTINGS", str(path))
    return path
