"""`workshop settings` shows what is in force and where it lies; a faulty file stops every command."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from workshop.settings import settings_from


def test_without_a_file_the_defaults_are_shown_with_the_place_where_it_would_lie(
    run: Run, settings_file: Path
) -> None:
    said = run("settings")
    assert said.exit_code == 0
    assert str(settings_file) in said.output.splitlines()[0]
    assert tomllib.loads(said.output)["theme"] == "dusk"
    assert not settings_file.exists()


def test_what_is_shown_can_be_kept_as_the_file(run: Run, settings_file: Path) -> None:
    settings_file.write_text(
        'units = "us"\nquiet = "22:00 to 7:00"\n[keys]\nundo = "z"\n[tool.saw]\nkerf = "1.8 mm"\n',
        encoding="utf-8",
    )
    held = settings_from(run("settings").output, settings_file)
    assert (held.units, held.keys["undo"], held.keys["note"]) == ("us", "z", "n")
    assert held.quiet is not None and held.tool["saw"].kerf is not None


def test_as_json_path_and_settings_stand_apart(run: Run, settings_file: Path) -> None:
    shown = json.loads(run("settings", "--json").output)
    assert shown["path"] == str(settings_file)
    assert shown["settings"]["keys"]["theme"] == "d"


def test_the_schema_is_that_of_the_settings(run: Run) -> None:
    schema = json.loads(run("settings", "--schema").output)
    assert schema["title"] == "Settings file"
    assert schema["properties"]["theme"]["enum"] == ["dusk", "daylight", "contrast", "terminal"]


def test_faulty_keys_are_said_a_line_each(run: Run, settings_file: Path) -> None:
    settings_file.write_text('[keys]\nundo = "n"\nnoot = "y"\ngo = "4"\n', encoding="utf-8")
    said = run("settings")
    assert said.exit_code == 2
    lines = said.stderr.splitlines()
    assert [line.split(", ")[1] for line in lines] == ["line 2", "line 3", "line 4"]
    assert "n is the key of note too" in lines[0]
    assert "did you mean note?" in lines[1]
    assert "4 is a digit" in lines[2]


@pytest.mark.parametrize("command", [("check",), ("plan",), ("history",)])
def test_a_faulty_settings_file_stops_a_command_with_a_line_for_each_fault(
    run: Run, settings_file: Path, shelf: Path, command: tuple[str, ...]
) -> None:
    settings_file.write_text('theme = "neon"\nquiet = "late"\n', encoding="utf-8")
    said = run(*command, shelf)
    assert said.exit_code == 2
    assert [line.split(", ")[1] for line in said.stderr.splitlines()] == ["line 1", "line 2"]


def test_the_settings_name_the_projects_folder_where_nothing_else_does(
    run: Run, settings_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("WORKSHOP_PROJECTS")
    settings_file.write_text(f"projects = '{tmp_path / 'builds'}'\n", encoding="utf-8")
    assert run("new", "Side table", "--units", "metric").exit_code == 0
    assert (tmp_path / "builds" / "side-table.toml").exists()


def test_a_calculator_alone_shows_the_units_of_the_settings(run: Run, settings_file: Path) -> None:
    settings_file.write_text('units = "us"\n', encoding="utf-8")
    words = ("calc", "equilibrium-moisture", "temperature=20 °C", "humidity=50 %")
    assert "°F" in run(*words).output
    assert "°F" not in run(*words, "--units", "metric").output
