"""`workshop new`: a project from flags or from a few questions."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile

FLAGS = (
    "--units",
    "us",
    "--zone",
    "America/New_York",
    "--species",
    "hickory",
    "--slab-length",
    "5 ft 4 in",
    "--casting",
    "shelf",
    "--length",
    "5 ft",
    "--thickness",
    "1 1/2 in",
    "--resin-class",
    "slow casting",
)


def read(path: Path) -> ProjectFile:
    return load_text(path.read_text(encoding="utf-8"), path.name).file


def test_flags_make_a_project_in_the_projects_folder(run: Run, projects_folder: Path) -> None:
    result = run("new", "Gannet shelf", *FLAGS)
    path = projects_folder / "gannet-shelf.toml"
    assert (result.exit_code, result.stdout) == (0, f"Made {path}\n")
    made = read(path)
    assert made.project.name == "Gannet shelf"
    assert (made.units.system, made.shop.zone) == ("us", "America/New_York")
    assert made.slab["hickory"].thickness is None
    thickness = made.casting["shelf"].thickness
    assert thickness is not None and thickness.text == "1 1/2 in"
    assert run("check", path).exit_code == 0


def test_a_name_alone_makes_a_project_of_unknowns(run: Run, projects_folder: Path) -> None:
    assert run("new", "Tarn bench").exit_code == 0
    assert read(projects_folder / "tarn-bench.toml").project.units is None


def test_a_project_that_is_there_is_never_overwritten(run: Run, projects_folder: Path) -> None:
    run("new", "Gannet shelf", *FLAGS)
    path = projects_folder / "gannet-shelf.toml"
    before = path.read_bytes()
    result = run("new", "gannet SHELF")
    assert result.exit_code == 2
    assert "already there; choose another name" in result.stderr
    assert path.read_bytes() == before


def test_the_folder_is_made_where_it_is_not_there(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    assert run("new", "Tarn bench", "--projects", folder).exit_code == 0
    assert (folder / "tarn-bench.toml").is_file()


@pytest.mark.parametrize(
    ("flag", "text", "says"),
    [
        ("--slab-length", "60", "has no unit"),
        ("--species", "hickry", "hickory"),
        ("--units", "feet", "us"),
        ("--zone", "Nowhere", "time zone"),
        ("--resin-class", "gelatine", "slow-casting"),
    ],
)
def test_a_wrong_flag_is_explained_in_one_line_and_makes_nothing(
    run: Run, projects_folder: Path, flag: str, text: str, says: str
) -> None:
    result = run("new", "Gannet shelf", flag, text)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{flag}: ") and says in result.stderr
    assert len(result.stderr.splitlines()) == 1
    assert list(projects_folder.iterdir()) == []


def test_a_name_of_blanks_is_refused(run: Run, projects_folder: Path) -> None:
    assert run("new", "  ").exit_code == 2
    assert list(projects_folder.iterdir()) == []


def test_at_a_terminal_one_thing_is_asked_at_a_time_and_a_wrong_answer_again(
    run: Run, projects_folder: Path, terminal: None
) -> None:
    answers = [
        "us",
        "",
        "hickory",
        "64",
        "5 ft 4 in",
        "",
        "1 7/8 in",
        "shelf",
        "5 ft",
        "9 in",
        "",
        "slow casting",
    ]
    result = run("new", "Gannet shelf", typed="\n".join(answers) + "\n")
    assert result.exit_code == 0
    assert "64 has no unit" in result.stdout.replace("'", "")
    assert result.stdout.count("Length of the slab") == 2
    made = read(projects_folder / "gannet-shelf.toml")
    slab, casting = made.slab["hickory"], made.casting["shelf"]
    assert slab.length is not None and slab.length.text == "5 ft 4 in"
    assert (made.shop.zone, slab.width, casting.thickness) == (None, None, None)


def test_leaving_in_the_middle_of_the_questions_makes_nothing(
    run: Run, projects_folder: Path, terminal: None
) -> None:
    assert run("new", "Gannet shelf", typed="us\n").exit_code == 1
    assert list(projects_folder.iterdir()) == []


OWN = """\
units = "us"
currency = "USD"

[shop]
zone = "America/New_York"
humidity = "45 %"

[tool.saw]
kerf = "1.8 mm"
"""


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The maker's settings file."""
    path = tmp_path / "settings.toml"
    path.write_text(OWN, encoding="utf-8")
    monkeypatch.setenv("WORKSHOP_SETTINGS", str(path))
    return path


def test_a_new_project_keeps_a_copy_of_the_makers_own_shop_and_tools(
    run: Run, projects_folder: Path, own: Path
) -> None:
    assert run("new", "Gannet shelf", "--zone", "America/Chicago").exit_code == 0
    made = read(projects_folder / "gannet-shelf.toml")
    assert (made.units.system, made.units.currency, made.shop.zone) == ("us", "USD", "America/Chicago")
    assert made.shop.humidity is not None and list(made.tool) == ["saw"]


def test_enter_takes_the_makers_own_answer_where_there_is_one(
    run: Run, projects_folder: Path, own: Path, terminal: None
) -> None:
    result = run("new", "Gannet shelf", typed="\n" * 11)
    assert result.exit_code == 0 and "[America/New_York]" in result.stdout
    made = read(projects_folder / "gannet-shelf.toml")
    assert (made.units.system, made.shop.zone) == ("us", "America/New_York")


def test_settings_with_a_fault_stop_a_new_project_with_the_line(
    run: Run, projects_folder: Path, own: Path
) -> None:
    own.write_text('units = "feet"\n', encoding="utf-8")
    result = run("new", "Gannet shelf")
    assert result.exit_code == 2 and "settings.toml, line 1, units" in result.stderr
    assert list(projects_folder.iterdir()) == []
