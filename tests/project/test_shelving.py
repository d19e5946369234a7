"""Copying, renaming, archiving: nothing is overwritten or lost, whatever stands in the way."""

from __future__ import annotations

import errno
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from workshop.project.disk import Disk
from workshop.project.faults import FileFault
from workshop.project.folder import entries
from workshop.project.loading import load_text
from workshop.project.model import last_entry
from workshop.project.older import copy_path, older_copies
from workshop.project.project import Project
from workshop.project.shelving import (
    ARCHIVE,
    archive,
    archived,
    begin,
    duplicate,
    rename,
    restore,
    wrong_name,
)
from workshop.project.store import Store, read

NOW = datetime(2026, 3, 9, 19, 40, tzinfo=UTC)
EXAMPLE = Path(__file__).parents[2] / "projects" / "tarn-bench.toml"
BROKEN = 'format = 2\n\n[project]\nname = "Broken\n'
WRONG = 'format = 2\n\n[casting.seat]\nlength = "50"\n'


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A bench of the maker's own, half-way through."""
    path = tmp_path / "bench.toml"
    path.write_text(EXAMPLE.read_text(encoding="utf-8").replace("example = true\n", ""), encoding="utf-8")
    return path


@pytest.fixture
def example(tmp_path: Path) -> Path:
    """The example in the same folder."""
    path = tmp_path / "tarn-bench.toml"
    path.write_bytes(EXAMPLE.read_bytes())
    return path


def loaded(path: Path) -> Project:
    return load_text(read(path).text, path.name)


def everything(folder: Path) -> dict[Path, bytes]:
    """Every file, but for the locks."""
    return {
        path: path.read_bytes() for path in folder.rglob("*") if path.is_file() and path.suffix != ".lock"
    }


def failing(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


# A second one like it


def test_a_copy_without_what_was_done_has_the_plan_and_no_record(bench: Path) -> None:
    before = everything(bench.parent)
    copy = duplicate(bench, bench.parent, "Second bench", NOW, record=False)
    assert copy == bench.with_name("second-bench.toml")
    made, first = loaded(copy).document, loaded(bench).document
    assert "record" not in made and made["project"]["name"] == "Second bench"
    assert {key: made[key] for key in made if key != "project"} == {
        key: first[key] for key in first if key not in ("project", "record")
    }
    assert before.items() <= everything(bench.parent).items()


def test_a_copy_with_what_was_done_keeps_every_line_of_it(bench: Path) -> None:
    copy = duplicate(bench, bench.parent, "Second bench", NOW, record=True)
    assert loaded(copy).document["record"] == loaded(bench).document["record"]


@pytest.mark.parametrize("record", [False, True])
def test_a_copy_of_an_example_is_a_project_to_work_in(example: Path, record: bool) -> None:
    copy = loaded(duplicate(example, example.parent, "Mine", NOW, record=record))
    assert not copy.file.example
    last = last_entry(copy.file.record)
    assert last == (NOW - timedelta(hours=1) if record else None)


def test_a_copy_of_a_project_without_a_name_gets_one(tmp_path: Path) -> None:
    path = tmp_path / "new.toml"
    path.write_text('format = 2\n\n[slab.ash]\nspecies = "ash, white"\n', encoding="utf-8")
    copy = duplicate(path, tmp_path, "Named", NOW, record=False)
    assert copy.read_text(encoding="utf-8").startswith('format = 2\n\n[project]\nname = "Named"\n')


@pytest.mark.parametrize("text", [BROKEN, WRONG], ids=["no toml", "no unit"])
def test_what_cannot_be_read_is_not_copied(tmp_path: Path, text: str) -> None:
    path = tmp_path / "broken.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileFault, match=r"broken\.toml, line 4"):
        duplicate(path, tmp_path, "Second", NOW, record=False)
    assert list(everything(tmp_path)) == [path]


def test_a_copy_never_takes_the_place_of_another(bench: Path) -> None:
    before = everything(bench.parent)
    with pytest.raises(FileFault, match="already there"):
        duplicate(bench, bench.parent, "BENCH", NOW, record=True)
    assert everything(bench.parent) == before


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("", "needs a name"),
        (" \t", "needs a name"),
        ("Bench", "already there"),
        ("\ud800", "cannot be saved"),
    ],
)
def test_a_name_that_will_not_do_is_explained(bench: Path, name: str, says: str) -> None:
    wrong = wrong_name(name, bench.parent)
    assert says in wrong and "\n" not in wrong
    assert wrong_name("[Tarn] bench, the \x1b second", bench.parent) == ""


def test_a_new_project_that_is_not_sound_makes_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match="has no unit"):
        begin({"format": 2, "slab": {"ash": {"length": "64"}}}, tmp_path / "shelf" / "new.toml", NOW)
    assert not (tmp_path / "shelf").exists()


# Another name


def test_another_name_stands_in_the_project_and_the_file_keeps_its_own(bench: Path) -> None:
    before = bench.read_bytes()
    rename(bench, "  Long bench ", NOW)
    made = loaded(bench)
    assert made.file.project.name == "Long bench"
    assert made.file.record.journal.changes[-1].text.endswith("| project.name | Tarn bench | Long bench")
    assert [copy.path.read_bytes() for copy in older_copies(bench)] == [before]


def test_the_same_name_again_writes_nothing(bench: Path) -> None:
    before = everything(bench.parent)
    rename(bench, "Tarn bench", NOW)
    assert everything(bench.parent) == before


def test_an_example_keeps_name_and_place(example: Path) -> None:
    before = everything(example.parent)
    with pytest.raises(FileFault, match="is an example and keeps its name"):
        rename(example, "Mine", NOW)
    with pytest.raises(FileFault, match="is an example and stays where it is"):
        archive(example, example.parent)
    assert everything(example.parent) == before


def test_what_cannot_be_read_is_not_renamed(tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text(WRONG, encoding="utf-8")
    with pytest.raises(FileFault, match=r"line 4, casting\.seat\.length"):
        rename(path, "Right", NOW)
    assert path.read_text(encoding="utf-8") == WRONG


# Out of sight and back


def test_an_archived_project_comes_back_as_it_was_with_its_older_copies(bench: Path) -> None:
    folder = bench.parent
    rename(bench, "Long bench", NOW)
    kept, [older] = bench.read_bytes(), [copy.path.read_bytes() for copy in older_copies(bench)]
    away = archive(bench, folder)
    assert away == folder / ARCHIVE / "bench.toml" and not bench.exists()
    assert away.read_bytes() == kept
    assert [copy.path.read_bytes() for copy in older_copies(away)] == [older]
    assert older_copies(bench) == ()
    assert [entry.name for entry in archived(folder)] == ["Long bench"] and entries(folder) == ()
    assert restore(away, folder) == bench
    assert bench.read_bytes() == kept and not away.exists()
    assert [copy.path.read_bytes() for copy in older_copies(bench)] == [older]


def test_the_archive_overwrites_no_project_of_the_same_file_name(bench: Path) -> None:
    folder = bench.parent
    first = bench.read_bytes()
    archive(bench, folder)
    bench.write_text("format = 2\n", encoding="utf-8")
    second = archive(bench, folder)
    assert second.name == "bench-2.toml"
    assert (folder / ARCHIVE / "bench.toml").read_bytes() == first
    bench.write_text("format = 2\nexample = true\n", encoding="utf-8")
    assert restore(folder / ARCHIVE / "bench.toml", folder).name == "bench-2.toml"
    assert bench.read_text(encoding="utf-8") == "format = 2\nexample = true\n"


def test_an_older_copy_that_is_there_already_is_not_overwritten(bench: Path) -> None:
    rename(bench, "Long bench", NOW)
    [copy] = older_copies(bench)
    there = copy_path(bench.parent / ARCHIVE / "bench.toml", copy.at)
    there.parent.mkdir(parents=True)
    there.write_text("theirs")
    archive(bench, bench.parent)
    assert there.read_text() == "theirs" and copy.path.exists()


def test_what_cannot_be_read_can_be_put_out_of_sight(tmp_path: Path) -> None:
    path = tmp_path / "broken.toml"
    path.write_text(BROKEN, encoding="utf-8")
    assert archive(path, tmp_path).read_text(encoding="utf-8") == BROKEN


Act = Callable[[Path, Disk], object]

ACTS: dict[str, Act] = {
    "copy": lambda path, disk: duplicate(path, path.parent, "Second", NOW, record=True, disk=disk),
    "rename": lambda path, disk: rename(path, "Other", NOW, disk=disk),
    "archive": lambda path, disk: archive(path, path.parent, disk=disk),
    "restore": lambda path, disk: restore(path, path.parent / "shown", disk=disk),
}


@pytest.mark.parametrize("act", ACTS)
def test_a_full_disk_leaves_every_project_as_it_was(bench: Path, act: str) -> None:
    before = everything(bench.parent)
    with pytest.raises(FileFault, match="no space left on device"):
        ACTS[act](bench, Disk(replace=failing))
    after = everything(bench.parent)
    assert {path: text for path, text in after.items() if ".workshop" not in path.parts} == before


@pytest.mark.parametrize("act", ["rename", "archive", "restore"])
def test_a_project_that_another_program_writes_is_left_alone(bench: Path, act: str) -> None:
    before = everything(bench.parent)
    with Store(bench, now=lambda: NOW) as another:
        another.claim()
        with pytest.raises(FileFault, match="is being written by"):
            ACTS[act](bench, Disk())
        assert everything(bench.parent) == before
    ACTS[act](bench, Disk())


def test_a_file_in_place_of_the_archive_is_told(bench: Path) -> None:
    (bench.parent / ARCHIVE).write_text("mine")
    with pytest.raises(FileFault, match="cannot be made"):
        archive(bench, bench.parent)
    assert bench.exists() and (bench.parent / ARCHIVE).read_text() == "mine"


def test_a_link_is_left_where_it_is(bench: Path) -> None:
    link = bench.with_name("link.toml")
    link.symlink_to(bench.name)
    with pytest.raises(FileFault, match="is a link"):
        archive(link, bench.parent)
    assert link.is_symlink() and bench.exists()


def test_what_is_gone_cannot_be_moved(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match="no such file"):
        archive(tmp_path / "gone.toml", tmp_path)
    assert not (tmp_path / ARCHIVE).exists()
