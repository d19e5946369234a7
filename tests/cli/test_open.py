"""`workshop open` and the bare command start the screens with folder, file and clock."""

from __future__ import annotations

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import pytest

from tests.cli.conftest import SHELF, Run
from workshop.clock import Clock
from workshop.project.faults import FileFault
from workshop.settings import DEFAULTS, Settings


class Screens:
    """Stands in for the screens and keeps what they were started with."""

    folder: Path
    file: Path | None
    at: datetime
    settings: Settings
    settings_file: Path
    faults: tuple[FileFault, ...]
    ran = 0


@pytest.fixture
def screens(monkeypatch: pytest.MonkeyPatch, terminal: None) -> Screens:
    held = Screens()

    class App:
        def __init__(
            self,
            folder: Path,
            file: Path | None,
            clock: Clock,
            settings: Settings,
            settings_file: Path,
            faults: tuple[FileFault, ...],
        ) -> None:
            held.folder, held.file, held.at = folder, file, clock.now()
            held.settings, held.settings_file, held.faults = settings, settings_file, faults

        def run(self) -> None:
            held.ran += 1

    module = ModuleType("workshop.tui.app")
    module.WorkshopApp = App  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "workshop.tui.app", module)
    return held


def test_the_bare_command_opens_the_list_of_projects(
    run: Run, screens: Screens, projects_folder: Path
) -> None:
    assert run().exit_code == 0
    assert (screens.ran, screens.folder, screens.file) == (1, projects_folder, None)


def test_open_takes_the_file_the_folder_and_the_time(run: Run, screens: Screens, shelf: Path) -> None:
    assert run("open", shelf, "--projects", shelf.parent, "--at", "2026-07-01T12:00").exit_code == 0
    assert (screens.file, screens.folder) == (shelf, shelf.parent)
    # The shelf's shop keeps the time of New York.
    assert abs(screens.at - datetime(2026, 7, 1, 16, 0, tzinfo=UTC)) < timedelta(minutes=1)
    assert list(shelf.parent.iterdir()) == [shelf]


def test_an_example_is_opened_as_a_copy(
    run: Run, screens: Screens, shelf: Path, projects_folder: Path
) -> None:
    shelf.write_text(SHELF.replace("format = 2\n", "format = 2\nexample = true\n"), encoding="utf-8")
    assert run("open", shelf).exit_code == 0
    assert screens.file == projects_folder / "my-gannet-shelf.toml"
    assert screens.file.read_text(encoding="utf-8") == SHELF
    assert "example = true" in shelf.read_text(encoding="utf-8")


def test_a_broken_file_never_starts_the_screens(run: Run, screens: Screens, shelf: Path) -> None:
    shelf.write_text(SHELF.replace('"9 in"', '"9 kg"'), encoding="utf-8")
    result = run("open", shelf)
    assert (result.exit_code, screens.ran) == (2, 0)
    assert "casting.shelf.width" in result.stderr


def test_without_a_terminal_the_screens_are_refused(run: Run) -> None:
    result = run()
    assert result.exit_code == 2
    assert "terminal" in result.stderr


def test_the_screens_take_the_settings_of_the_maker(run: Run, screens: Screens, settings_file: Path) -> None:
    settings_file.write_text('theme = "daylight"\n', encoding="utf-8")
    assert run().exit_code == 0
    assert (screens.settings.theme, screens.settings_file, screens.faults) == ("daylight", settings_file, ())


def test_settings_that_cannot_be_read_do_not_keep_the_screens_shut(
    run: Run, screens: Screens, settings_file: Path
) -> None:
    settings_file.write_text('theme = "neon"\nunits = "us"\n', encoding="utf-8")
    assert run().exit_code == 0
    assert screens.settings == DEFAULTS
    assert [(fault.line, fault.field) for fault in screens.faults] == [(1, "theme")]
