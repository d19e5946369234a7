"""Where projects live, what the list of them says, and what a new file is called."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.project.faults import FileFault
from workshop.project.folder import entries, located, path_for, projects_folder, slug
from workshop.project.store import is_beside

HEAD = 'format = 2\n\n[project]\nname = "{}"\n'


def test_the_folder_asked_for_goes_before_the_environment_and_projects_here(tmp_path: Path) -> None:
    (tmp_path / "projects").mkdir()
    named = {"WORKSHOP_PROJECTS": str(tmp_path / "named")}
    assert projects_folder(tmp_path / "asked", here=tmp_path, environment=named) == tmp_path / "asked"
    assert projects_folder(here=tmp_path, environment=named) == tmp_path / "named"
    assert projects_folder(here=tmp_path, environment={}) == tmp_path / "projects"


def test_without_any_the_folder_is_workshop_in_the_documents(tmp_path: Path) -> None:
    assert projects_folder(here=tmp_path, environment={"WORKSHOP_PROJECTS": " "}).name == "workshop"


def test_a_folder_that_is_not_there_holds_no_projects(tmp_path: Path) -> None:
    assert entries(tmp_path / "none") == ()


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "projects").write_text("")
    with pytest.raises(FileFault, match="cannot be looked into"):
        entries(tmp_path / "projects")


def test_the_list_tells_names_faults_and_when_each_was_touched_last_first(tmp_path: Path) -> None:
    tarn, broken, unnamed = (tmp_path / name for name in ("tarn.toml", "broken.toml", "gannet.toml"))
    tarn.write_text(HEAD.format("Tarn bench"), encoding="utf-8")
    broken.write_text("format = 2\nname = \n", encoding="utf-8")
    unnamed.write_text("format = 2\nexample = true\n", encoding="utf-8")
    for path, at in ((tarn, 2_000), (broken, 3_000), (unnamed, 1_000)):
        os.utime(path, (at, at))
    (tmp_path / "tarn.commented.toml").write_text(HEAD.format("Tarn bench"), encoding="utf-8")
    (tmp_path / "notes.txt").write_text("nothing")

    listed = entries(tmp_path)
    assert [entry.path.name for entry in listed] == ["broken.toml", "tarn.toml", "gannet.toml"]
    assert [entry.name for entry in listed] == ["broken", "Tarn bench", "gannet"]
    assert [entry.example for entry in listed] == [False, False, True]
    assert listed[0].fault is not None and listed[0].fault.line == 2
    assert listed[1].fault is None
    assert listed[1].touched == datetime.fromtimestamp(2_000, UTC)


def test_the_list_reads_a_name_though_the_record_below_is_broken(tmp_path: Path) -> None:
    path = tmp_path / "tarn.toml"
    path.write_text(HEAD.format("Tarn bench") + "\n[record.timer.t1]\nrule = \n", encoding="utf-8")
    [entry] = entries(tmp_path)
    assert (entry.name, entry.fault) == ("Tarn bench", None)


def test_a_line_of_a_text_that_looks_like_the_record_does_not_end_the_head(tmp_path: Path) -> None:
    path = tmp_path / "tarn.toml"
    path.write_text('format = 2\n[shop]\nnote = """\n[record\n"""\n[project]\nname = "Tarn"\n')
    assert [entry.name for entry in entries(tmp_path)] == ["Tarn"]


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Tarn bench", "tarn-bench"),
        ("  Älä / mökki!  ", "ala-mokki"),
        ("../../etc", "etc"),
        ("???", "project"),
        ("CON", "con-project"),
        ("com1", "com1-project"),
        ("長椅子", "長椅子"),
    ],
)
def test_a_name_gives_a_file_name(name: str, file: str) -> None:
    assert slug(name) == file


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.text(max_size=120))
def test_any_name_gives_a_file_name_that_the_list_shows(name: str) -> None:
    made = slug(name)
    assert made and len(f"{made}.toml".encode()) <= 255
    assert not set(made) & set('/\\:*?"<>|. \0')
    assert not is_beside(Path(f"{made}.toml"))
    assert slug(made) == made


def test_a_new_project_never_takes_the_place_of_another(tmp_path: Path) -> None:
    path_for(tmp_path, "Tarn bench").write_text("mine")
    with pytest.raises(FileFault, match="already there"):
        path_for(tmp_path, "tarn  BENCH")


def test_a_project_is_found_by_path_file_name_or_name(tmp_path: Path) -> None:
    path = tmp_path / "tarn-bench.toml"
    path.write_text("format = 2\n")
    for name in (str(path), "tarn-bench.toml", "tarn-bench", "Tarn bench"):
        assert located(name, tmp_path) == path
    assert located("gannet.toml", tmp_path) == Path("gannet.toml")
