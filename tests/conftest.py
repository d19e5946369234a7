"""What every test stands on: one time zone, one locale, one home folder, and random draws that repeat."""

import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("workshop", deadline=None, derandomize=True, database=None)
settings.register_profile("search", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "workshop"))

ZONE = "America/St_Johns"
"""Neither UTC nor the zone of an example, half an hour off the full hours, with daylight saving."""


@pytest.fixture(scope="session", autouse=True)
def _surroundings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    home = tmp_path_factory.mktemp("home")
    with pytest.MonkeyPatch.context() as patch:
        for name in (
            "NO_COLOR",
            "FORCE_COLOR",
            "CLICOLOR",
            "CLICOLOR_FORCE",
            "COLUMNS",
            "LINES",
            "LANGUAGE",
            "XDG_CONFIG_HOME",
            "XDG_CACHE_HOME",
            "XDG_DATA_HOME",
            "XDG_STATE_HOME",
            "XDG_DOCUMENTS_DIR",
        ):
            patch.delenv(name, raising=False)
        for name, value in (
            ("TZ", ZONE),
            ("LC_ALL", "C.UTF-8"),
            ("LANG", "C.UTF-8"),
            ("HOME", str(home)),
            ("USERPROFILE", str(home)),
            ("WORKSHOP_PROJECTS", str(home / "projects")),
            ("WORKSHOP_SETTINGS", str(home / "settings.toml")),
        ):
            patch.setenv(name, value)
        _set_zone()
        yield
    _set_zone()


def _set_zone() -> None:
    if hasattr(time, "tzset"):
        time.tzset()


@pytest.fixture
def projects_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty projects folder of the test's own, which the program finds by itself."""
    folder = tmp_path / "projects"
    folder.mkdir()
    monkeypatch.setenv("WORKSHOP_PROJECTS", str(folder))
    return folder
