"""`workshop export` and `workshop history`, and what `workshop plan` says on coming back."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.conftest import SHELF, Run
from tests.examples import FOLDER
from workshop.exports import EXPORTS
from workshop.project.older import copy_path

BENCH = FOLDER / "tarn-bench.toml"
NOTED = """
[record.journal]
notes = ["2026-03-09 19:00:00-04:00 | shelf | Bark off."]
"""


def test_the_journal_goes_to_standard_output(run: Run) -> None:
    result = run("export", BENCH, "--as", "journal")
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == "Tarn bench: journal"
    assert "  19:31  seat/strip: poured to 29.1 mm, resin at 21 °C" in lines


def test_the_journal_goes_to_a_file_in_the_shops_time(run: Run, shelf: Path) -> None:
    shelf.write_text(SHELF + NOTED, encoding="utf-8")
    out = shelf.parent / "journal.txt"
    result = run("export", shelf, "--as", "journal", "-o", out)
    assert (result.exit_code, result.stdout) == (0, f"Wrote {out}\n")
    assert "Monday 9 March 2026\n  19:00  shelf: note: Bark off.\n" in out.read_text(encoding="utf-8")


def test_an_export_never_writes_over_its_project(run: Run, shelf: Path) -> None:
    result = run("export", shelf, "--as", "journal", "-o", shelf)
    assert (result.exit_code, result.stdout) == (2, "")
    assert shelf.read_text(encoding="utf-8") == SHELF


def test_what_cannot_be_written_is_said_in_one_sentence(run: Run, shelf: Path) -> None:
    result = run("export", shelf, "--as", "journal", "-o", shelf.parent / "none" / "journal.txt")
    assert result.exit_code == 2 and len(result.stderr.splitlines()) == 1
    assert "choose another place" in result.stderr


def test_a_kind_that_is_none_gives_2_and_what_there_is(run: Run, shelf: Path) -> None:
    result = run("export", shelf, "--as", "jornal")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "did you mean journal?" in result.stderr
    assert run("export", shelf).exit_code == 2


@pytest.mark.parametrize("kind", EXPORTS)
def test_every_kind_is_made_of_every_project(run: Run, shelf: Path, kind: str) -> None:
    for file in (BENCH, shelf):
        result = run("export", file, "--as", kind)
        assert result.exit_code == 0 and result.stdout.endswith("\n")


def test_history_lists_the_older_copies_newest_first(run: Run, shelf: Path) -> None:
    assert "No older copy" in run("history", shelf).stdout
    for hour in (8, 17):
        copy = copy_path(shelf, datetime(2026, 3, 9, hour, 30, tzinfo=UTC))
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_text(SHELF, encoding="utf-8")
    lines = run("history", shelf).stdout.splitlines()
    assert [line[:19] for line in lines] == ["2026-03-09 13:30:00", "2026-03-09 04:30:00"]
    assert [held["at"] for held in json.loads(run("history", shelf, "--json").stdout)] == [
        "2026-03-09T13:30:00-04:00",
        "2026-03-09T04:30:00-04:00",
    ]


def test_the_plan_opens_with_what_coming_back_means(run: Run) -> None:
    text = run("plan", BENCH, "--at", "2026-03-28T18:00").stdout
    before, _, _ = text.partition("1 Stock prep")
    assert "You were away for 18 days." in before
    assert "- seat/strip: window shut 17 days ago: scuff first, P120, wipe, dry" in before.splitlines()


def test_within_the_evening_the_plan_says_nothing_of_it(run: Run) -> None:
    assert "You were away" not in run("plan", BENCH, "--at", "2026-03-09T20:40").stdout


def test_the_json_of_a_plan_does_not_depend_on_the_moment(run: Run) -> None:
    assert run("plan", BENCH, "--json").stdout == run("plan", BENCH, "--json").stdout
    assert "standing" not in json.loads(run("plan", BENCH, "--json").stdout)
