"""Saving a project loses nothing: not what was typed, not what others wrote, not what stood before."""

import errno
import os
import stat
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

import workshop
from workshop.project.disk import Disk
from workshop.project.faults import ChangedOutside, FileFault
from workshop.project.older import older_copies
from workshop.project.store import Store, dumps, is_beside, read

START = datetime(2026, 3, 9, 18, 31, tzinfo=UTC)
CET = timezone(timedelta(hours=1))

BENCH: dict[str, Any] = {
    "format": 1,
    "project": {"name": "Tarn bench", "units": "metric", "promised": date(2026, 4, 18)},
    "slab": {
        "ash-wide": {
            "species": "ash, white",
            "thickness": "52 mm",
            "unit": "mm",
            "stations": [
                {"at": 0, "left": Decimal("92.50"), "right": 108},
                {"at": 250, "left": 98, "right": 110},
            ],
            "note": 'Lower face at 20 °C, "as it lay"\r\nand # no comment',
        }
    },
    "casting": {
        "seat": {"length": "1400 mm", "lifts": [{"id": "base", "to": "6 mm"}, {"id": "strip", "to": "29 mm"}]}
    },
    "record": {
        "poured": {"seat/base": {"to": "6.2 mm", "at": datetime(2026, 3, 7, 11, 24, tzinfo=CET)}},
        "journal": {"notes": ["2026-03-02 18:05:00+01:00 | ash-wide | Bark off."]},
    },
}


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.time = START

    def __call__(self) -> datetime:
        return self.time

    def on(self, **by: float) -> None:
        self.time += timedelta(**by)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    path = tmp_path / "tarn.toml"
    path.write_bytes(dumps(BENCH).encode())
    return path


def with_note(text: str) -> dict[str, Any]:
    """The bench with another note."""
    document = deepcopy(BENCH)
    document["slab"]["ash-wide"]["note"] = text
    return document


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder and what it holds."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def beside(folder: Path) -> list[str]:
    """The names in a folder, the dot-folder left out."""
    return sorted(entry for entry in os.listdir(folder) if entry != ".workshop")


# Round trip


def test_a_file_written_here_comes_back_byte_for_byte(bench: Path, clock: Clock) -> None:
    before = bench.read_bytes()
    stored = read(bench)
    assert stored.document == BENCH
    assert dumps(stored.document).encode() == before
    with Store(bench, now=clock) as store:
        saved = store.save(stored.document)
    assert bench.read_bytes() == before
    assert saved.copies == () and saved.commented is None


texts = st.text(st.characters(codec="utf-8"), max_size=12)
values = st.recursive(
    texts | st.integers() | st.booleans() | st.decimals(allow_nan=False) | st.dates() | st.datetimes(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=15,
)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.dictionaries(texts, values, max_size=5))
def test_what_is_written_and_read_is_written_the_same_again(document: dict[str, Any]) -> None:
    once = dumps(document)
    assert dumps(tomllib.loads(once, parse_float=Decimal)) == once


def test_what_was_saved_is_what_is_read(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        store.save(with_note("Bark off"))
        store.save(with_note("Bark off, knot sound"))
    assert read(bench).document == with_note("Bark off, knot sound")


@pytest.mark.parametrize(
    "name", ["Bänk für Ida.toml", "gannet — полка.toml", "棚.toml", "no-ending", ".hidden.toml"]
)
def test_names_of_any_script_are_saved_and_keep_their_older_copies(
    tmp_path: Path, clock: Clock, name: str
) -> None:
    path = tmp_path / name
    with Store(path, now=clock, new=True) as store:
        store.save(BENCH)
        clock.on(minutes=2)
        store.save(with_note("Bark off"))
    assert beside(tmp_path) == [name]
    assert [copy.path.read_bytes() for copy in older_copies(path)] == [dumps(BENCH).encode()]


# Opening


def test_opening_alone_writes_nothing(bench: Path, clock: Clock) -> None:
    before = tree(bench.parent)
    with Store(bench, now=clock) as store:
        assert store.stored is not None and store.stored.document == BENCH
    assert tree(bench.parent) == before
    assert os.listdir(bench.parent) == ["tarn.toml"]


def test_saving_what_the_file_already_says_does_not_touch_it(bench: Path, clock: Clock) -> None:
    os.utime(bench, (1, 1))
    with Store(bench, now=clock) as store:
        store.save(BENCH)
    assert bench.stat().st_mtime == 1


def test_a_new_project_is_made_by_its_first_save(tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "gannet.toml"
    with Store(path, now=clock, new=True) as store:
        assert not path.exists()
        store.save(BENCH)
    assert read(path).document == BENCH


def test_a_new_project_takes_no_name_that_is_taken(bench: Path, clock: Clock) -> None:
    with pytest.raises(FileFault, match="already there"):
        Store(bench, now=clock, new=True)


def test_a_new_project_asks_for_its_folder(tmp_path: Path, clock: Clock) -> None:
    with pytest.raises(FileFault, match="folder is not there"):
        Store(tmp_path / "shop" / "gannet.toml", now=clock, new=True)


def test_a_new_project_overwrites_none_that_came_in_between(tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "gannet.toml"
    with Store(path, now=clock, new=True) as store:
        path.write_text("format = 1\n")
        with pytest.raises(ChangedOutside):
            store.save(BENCH)
    assert path.read_text() == "format = 1\n"


# Mode, links


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps no such modes")
@pytest.mark.parametrize("mode", [0o600, 0o664, 0o640])
def test_the_mode_of_the_file_stays(bench: Path, clock: Clock, mode: int) -> None:
    bench.chmod(mode)
    with Store(bench, now=clock) as store:
        store.save(with_note("Bark off"))
    assert stat.S_IMODE(bench.stat().st_mode) == mode


def test_a_file_marked_read_only_is_not_replaced(bench: Path, clock: Clock) -> None:
    bench.chmod(0o444)
    with Store(bench, now=clock) as store, pytest.raises(FileFault, match="marked read-only"):
        store.save(with_note("Bark off"))
    assert read(bench).document == BENCH
    assert os.listdir(bench.parent) == ["tarn.toml"]


def test_a_link_stays_a_link_and_what_it_leads_to_is_saved(bench: Path, clock: Clock, tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "current.toml"
    link.symlink_to(Path("..") / "tarn.toml")
    with Store(link, now=clock) as store:
        store.save(with_note("Bark off"))
    assert link.is_symlink()
    assert read(bench).document == with_note("Bark off")
    assert os.listdir(link.parent) == ["current.toml"]


def test_a_file_and_a_link_to_it_share_one_lock(bench: Path, clock: Clock, tmp_path: Path) -> None:
    link = tmp_path / "current.toml"
    link.symlink_to(bench)
    with Store(bench, now=clock) as store:
        store.claim()
        with pytest.raises(FileFault, match="is being written by"):
            Store(link, now=clock)


# Faults of the disk, by injection


def failing(number: int) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    return fail


@pytest.mark.parametrize(
    ("disk", "said"),
    [
        (Disk(sync_file=failing(errno.ENOSPC)), "make room"),
        (Disk(replace=failing(errno.EIO)), "check the disk"),
        (Disk(replace=failing(errno.EACCES)), "right to write"),
        (Disk(sync_file=failing(errno.EROFS)), "check the disk"),
    ],
)
def test_a_save_that_fails_leaves_the_file_whole_and_nothing_half_written(
    bench: Path, clock: Clock, disk: Disk, said: str
) -> None:
    with Store(bench, now=clock, disk=disk) as store, pytest.raises(FileFault, match=said):
        store.save(with_note("Bark off"))
    assert read(bench).document == BENCH
    assert beside(bench.parent) == ["tarn.toml"]


def test_after_a_failed_save_the_next_one_succeeds(bench: Path, clock: Clock) -> None:
    failures = iter([True, False])

    def sync_file(descriptor: int) -> None:
        if next(failures):
            raise OSError(errno.ENOSPC, "No space left on device")

    with Store(bench, now=clock, disk=Disk(sync_file=sync_file)) as store:
        with pytest.raises(FileFault):
            store.save(with_note("Bark off"))
        store.save(with_note("Bark off"))
    assert read(bench).document == with_note("Bark off")


def test_a_folder_that_may_not_be_written_says_so(
    bench: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "mkdir", failing(errno.EACCES))
    with Store(bench, now=clock) as store, pytest.raises(FileFault, match="give yourself the right to write"):
        store.save(with_note("Bark off"))
    assert read(bench).document == BENCH


def test_a_save_the_disk_did_not_confirm_is_told_and_confirmed_by_the_next(bench: Path, clock: Clock) -> None:
    answers = iter([OSError(errno.EIO, "Input/output error"), None])
    asked: list[Path] = []

    def sync_folder(folder: Path) -> None:
        asked.append(folder)
        answer = next(answers)
        if answer is not None:
            raise answer

    with Store(bench, now=clock, disk=Disk(sync_folder=sync_folder)) as store:
        with pytest.raises(FileFault, match="did not confirm"):
            store.save(with_note("Bark off"))
        assert read(bench).document == with_note("Bark off")
        store.save(with_note("Bark off"))
    assert asked == [bench.parent, bench.parent]


def test_bytes_reach_the_disk_before_the_name_and_the_name_before_the_save_returns(
    bench: Path, clock: Clock
) -> None:
    steps: list[str] = []

    def replace(source: Path, target: Path) -> None:
        steps.append(f"replace {target.name}")
        os.replace(source, target)

    disk = Disk(
        sync_file=lambda _: steps.append("sync file"),
        replace=replace,
        sync_folder=lambda folder: steps.append("sync folder"),
    )
    with Store(bench, now=clock, disk=disk) as store:
        store.save(with_note("Bark off"))
        steps.clear()
        store.save(with_note("Bark off, knot sound"))
    assert steps == ["sync file", "replace tarn.toml", "sync folder"]


def test_a_missing_older_copy_is_told_and_does_not_stop_the_save(bench: Path, clock: Clock) -> None:
    (bench.parent / ".workshop").mkdir()
    (bench.parent / ".workshop" / "older").write_text("in the way")
    with Store(bench, now=clock) as store:
        saved = store.save(with_note("Bark off"))
    assert saved.copies == () and saved.missed is not None and "No older copy" in saved.missed
    assert read(bench).document == with_note("Bark off")


def test_text_that_is_no_unicode_is_refused_and_the_file_stays(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store, pytest.raises(FileFault, match=r"\\ud800"):
        store.save(with_note("\ud800"))
    assert read(bench).document == BENCH


# Somebody else


def test_a_change_by_somebody_else_is_not_overwritten_and_nothing_typed_is_lost(
    bench: Path, clock: Clock
) -> None:
    theirs = dumps(with_note("theirs"))
    with Store(bench, now=clock) as store:
        store.save(with_note("first"))
        bench.write_text(theirs, encoding="utf-8", newline="")
        with pytest.raises(ChangedOutside) as told:
            store.save(with_note("mine"))
    assert told.value.theirs == theirs
    assert read(bench).text == theirs
    assert told.value.kept == bench.with_name("tarn.unsaved-2026-03-09T18-31-00Z.toml")
    assert told.value.kept is not None and read(told.value.kept).document == with_note("mine")
    assert told.value.kept.name in str(told.value)


def test_saving_again_before_the_two_are_merged_keeps_one_unsaved_file_up_to_date(
    bench: Path, clock: Clock
) -> None:
    with Store(bench, now=clock) as store:
        bench.write_text("format = 1\n")
        for text in ("mine", "mine, and more"):
            clock.on(seconds=1)
            with pytest.raises(ChangedOutside) as told:
                store.save(with_note(text))
    assert told.value.kept is not None and read(told.value.kept).document == with_note("mine, and more")
    assert beside(bench.parent) == sorted([told.value.kept.name, "tarn.toml"])


def test_once_merged_the_save_goes_through(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        bench.write_bytes(dumps(with_note("theirs")).encode())
        with pytest.raises(ChangedOutside):
            store.save(with_note("mine"))
        store.accept(read(bench))
        store.save(with_note("theirs and mine"))
    assert read(bench).document == with_note("theirs and mine")
    assert [copy.path.read_bytes() for copy in older_copies(bench)] == [dumps(with_note("theirs")).encode()]


def test_a_change_in_the_last_moment_before_the_file_is_replaced_is_seen(bench: Path, clock: Clock) -> None:
    def meddling(descriptor: int) -> None:
        bench.write_text("format = 1\n")

    with Store(bench, now=clock, disk=Disk(sync_file=meddling)) as store, pytest.raises(ChangedOutside):
        store.save(with_note("mine"))
    assert bench.read_text() == "format = 1\n"


def test_a_file_that_is_gone_is_not_made_again_unasked(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        bench.unlink()
        with pytest.raises(ChangedOutside) as told:
            store.save(with_note("mine"))
        assert told.value.theirs is None and not bench.exists()
        store.accept(None)
        store.save(with_note("mine"))
    assert read(bench).document == with_note("mine")


def test_the_same_change_made_by_both_is_no_conflict(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        bench.write_bytes(dumps(with_note("agreed")).encode())
        store.save(with_note("agreed"))
        store.save(with_note("agreed, and more"))
    assert read(bench).document == with_note("agreed, and more")


def test_files_put_beside_a_project_are_no_projects() -> None:
    put_beside = [
        "tarn.unsaved-2026-03-09T18-31-00Z.toml",
        "tarn.commented.toml",
        "tarn.commented-2.toml",
        ".x.toml",
    ]
    assert all(is_beside(Path(name)) for name in put_beside)
    assert not any(is_beside(Path(name)) for name in ["tarn.toml", "uncommented.toml", "a.b.toml"])


# Comments


COMMENTED = '# For the hall\nformat = 1\n[project]\nname = "Tarn # bench" # working title\n'


def test_the_first_save_over_comments_keeps_the_commented_original_and_says_so(
    bench: Path, clock: Clock
) -> None:
    bench.write_text(COMMENTED)
    with Store(bench, now=clock) as store:
        first = store.save(BENCH)
        second = store.save(with_note("Bark off"))
    assert first.commented == bench.with_name("tarn.commented.toml")
    assert first.commented is not None and first.commented.read_text() == COMMENTED
    assert second.commented is None


def test_comments_written_later_are_kept_beside_the_earlier_ones(bench: Path, clock: Clock) -> None:
    bench.write_text(COMMENTED)
    with Store(bench, now=clock) as store:
        store.save(BENCH)
    bench.write_text(COMMENTED + "# more\n")
    with Store(bench, now=clock) as store:
        saved = store.save(BENCH)
    assert saved.commented == bench.with_name("tarn.commented-2.toml")
    assert bench.with_name("tarn.commented.toml").read_text() == COMMENTED


def test_the_same_comments_are_kept_once(bench: Path, clock: Clock) -> None:
    for _ in range(2):
        bench.write_text(COMMENTED)
        with Store(bench, now=clock) as store:
            assert store.save(BENCH).commented == bench.with_name("tarn.commented.toml")
    assert beside(bench.parent) == ["tarn.commented.toml", "tarn.toml"]


def test_a_number_sign_in_a_text_is_no_comment(bench: Path, clock: Clock) -> None:
    bench.write_text("format = 1\nname = 'Tarn # bench'\n")
    with Store(bench, now=clock) as store:
        assert store.save(BENCH).commented is None


def test_comments_that_cannot_be_kept_are_not_overwritten(bench: Path, clock: Clock) -> None:
    bench.write_text(COMMENTED)

    def replace(source: Path, target: Path) -> None:
        if "commented" in target.name:
            raise OSError(errno.ENOSPC, "No space left on device")
        os.replace(source, target)

    with Store(bench, now=clock, disk=Disk(replace=replace)) as store, pytest.raises(FileFault):
        store.save(BENCH)
    assert bench.read_text() == COMMENTED


# Older copies


def test_an_older_copy_is_kept_at_most_once_a_minute(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        for second in range(150):
            store.save(with_note(f"after {second} s"))
            clock.on(seconds=1)
    copies = older_copies(bench)
    assert [copy.at for copy in copies] == [START + timedelta(minutes=2), START + timedelta(minutes=1), START]
    assert read(copies[0].path).document == with_note("after 119 s")
    assert read(copies[2].path).document == BENCH


def test_older_copies_are_thinned_while_saving(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        for number in range(90):
            saved = store.save(with_note(f"note {number}"))
            assert len(saved.copies) == 1
            clock.on(minutes=2)
    # 18:31 to 21:29: the last 20 begin at 20:51, before them stay 18:59 and 19:59
    assert len(older_copies(bench)) == 20 + 2


def test_a_dated_copy_of_an_older_format_is_kept_for_good(bench: Path, clock: Clock) -> None:
    with Store(bench, now=clock) as store:
        saved = store.save({**BENCH, "format": 2})
        assert store.save({**with_note("Bark off"), "format": 2}).copies == ()
    kept = bench.parent / ".workshop" / "older" / "tarn.format-1-2026-03-09T18-31-00Z.toml"
    assert kept in saved.copies
    assert kept.read_bytes() == dumps(BENCH).encode()


# Two writers, and a killed one


CHILD = """
import sys
from datetime import UTC, datetime
from workshop.project.store import Store
with Store(sys.argv[1], now=lambda: datetime(2026, 3, 9, 18, 31, tzinfo=UTC)) as store:
    document = store.stored.document
    store.claim()
    print("claimed", flush=True)
    if sys.argv[2] == "wait":
        sys.stdin.readline()
    else:
        number = 0
        while True:
            number += 1
            document["record"]["journal"]["notes"] = ["a note of some length"] * (1 + number * 997 % 5000)
            store.save(document)
            print(number, flush=True)
"""


@pytest.fixture
def other_process() -> Iterator[Callable[[Path, str], "subprocess.Popen[str]"]]:
    """Starts another process that claims a project, and ends it afterwards."""
    running: list[subprocess.Popen[str]] = []

    def start(path: Path, task: str) -> "subprocess.Popen[str]":
        root = str(Path(workshop.__file__).parents[1])
        process = subprocess.Popen(
            [sys.executable, "-c", CHILD, str(path), task],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": root},
        )
        running.append(process)
        assert process.stdout is not None and process.stdout.readline() == "claimed\n"
        return process

    yield start
    for process in running:
        process.kill()
        process.communicate()


Starter = Callable[[Path, str], "subprocess.Popen[str]"]


def test_a_second_process_is_told_who_writes_and_may_still_read(
    bench: Path, clock: Clock, other_process: Starter
) -> None:
    process = other_process(bench, "wait")
    with pytest.raises(FileFault) as told:
        Store(bench, now=clock)
    assert f"process {process.pid}" in str(told.value)
    assert "since 2026-03-09 18:31:00 UTC" in str(told.value)
    assert "for reading only" in str(told.value)
    assert read(bench).document == BENCH


def test_a_project_closed_by_one_process_is_free_for_the_next(
    bench: Path, clock: Clock, other_process: Starter
) -> None:
    process = other_process(bench, "wait")
    process.communicate("done\n")
    with Store(bench, now=clock) as store:
        store.save(with_note("Bark off"))
    assert read(bench).document == with_note("Bark off")


def test_one_that_opened_before_another_claimed_keeps_what_it_typed_beside(
    bench: Path, clock: Clock, other_process: Starter
) -> None:
    with Store(bench, now=clock) as store:
        other_process(bench, "wait")
        with pytest.raises(FileFault, match=r"is being written by .*tarn\.unsaved-"):
            store.save(with_note("mine"))
    assert read(bench).document == BENCH
    assert read(bench.with_name("tarn.unsaved-2026-03-09T18-31-00Z.toml")).document == with_note("mine")


@pytest.mark.parametrize("saves", [1, 2, 5, 9, 14])
def test_a_kill_amid_saves_leaves_a_whole_file_and_a_free_lock(
    bench: Path, clock: Clock, other_process: Starter, saves: int
) -> None:
    process = other_process(bench, "save")
    assert process.stdout is not None
    for _ in range(saves):
        process.stdout.readline()
    process.kill()
    process.wait()
    document = read(bench).document
    assert document["slab"] == BENCH["slab"]
    with Store(bench, now=clock) as store:
        store.save(with_note("after the kill"))
    assert read(bench).document == with_note("after the kill")
    assert beside(bench.parent) == ["tarn.toml"]


def test_what_a_killed_process_left_half_written_is_cleared_away(bench: Path, clock: Clock) -> None:
    left, other = bench.with_name(".tarn.toml.0a1b2c3d.tmp"), bench.with_name(".gannet.toml.0a1b2c3d.tmp")
    left.write_text("for")
    other.write_text("for")
    with Store(bench, now=clock) as store:
        store.save(with_note("Bark off"))
    assert not left.exists() and other.exists()


def test_the_writer_changes_no_line_end_within_a_text() -> None:
    text = tomli_w.dumps(BENCH, multiline_strings=False)
    assert dumps(BENCH) == text and "\r" not in text
    assert tomllib.loads(text)["slab"]["ash-wide"]["note"] == BENCH["slab"]["ash-wide"]["note"]
