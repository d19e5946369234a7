"""`workshop plan`: nine stages as text or JSON, and `workshop schema`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import SHELF, Run

STAGES = [
    "stock-prep",
    "form",
    "seal-coat",
    "lifts",
    "flattening",
    "fill",
    "abrasive-schedule",
    "finish",
    "assembly",
]
RUNNING = """
[record.timer.t1]
timer = "air-out"
rule = "35 min"
of = "shelf"
started = 2026-03-09 19:00:00-04:00
"""


def test_json_always_has_the_nine_stages(run: Run, shelf: Path) -> None:
    result = run("plan", shelf, "--json")
    made = json.loads(result.stdout)
    assert (result.exit_code, made["project"]) == (0, "Gannet shelf")
    assert [stage["id"] for stage in made["stages"]] == STAGES
    for stage in made["stages"]:
        assert set(stage) >= {"id", "title", "checks", "cautions", "subjects", "findings"}


def test_one_stage_may_be_asked_for(run: Run, shelf: Path) -> None:
    made = json.loads(run("plan", shelf, "--stage", "form", "--json").stdout)
    assert [stage["id"] for stage in made["stages"]] == ["form"]
    text = run("plan", shelf, "--stage", "stock-prep").stdout
    assert "1 Stock prep" in text and "2 Form" not in text
    assert "□" in text


def test_a_stage_that_is_none_gives_2_and_a_suggestion(run: Run, shelf: Path) -> None:
    result = run("plan", shelf, "--stage", "flatening")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "did you mean flattening?" in result.stderr


def test_text_has_stages_with_checks_done_figures_and_findings(run: Run, shelf: Path) -> None:
    text = run("plan", shelf).stdout
    lines = text.splitlines()
    assert lines[0] == "Gannet shelf"
    for number, stage in enumerate(json.loads(run("plan", shelf, "--json").stdout)["stages"], 1):
        [heading] = [line for line in lines if line.startswith(f"{number} {stage['title']}")]
        assert heading.endswith(f"0 of {len(stage['checks'])} checks done")
    assert "wood comes to rest at" in text
    assert any(line.startswith("  warn ") for line in lines)


def test_the_exit_status_is_0_whatever_is_found(run: Run, shelf: Path) -> None:
    assert "warn" in run("plan", shelf).stdout
    assert run("plan", shelf).exit_code == 0


def test_the_time_may_be_set_before_or_after_the_command(run: Run, shelf: Path) -> None:
    shelf.write_text(SHELF + RUNNING, encoding="utf-8")
    for words in (
        ("--at", "2026-03-09T19:20", "plan", shelf),
        ("plan", shelf, "--at", "2026-03-09T19:20"),
        ("plan", "--at", "2026-03-09T19:20-04:00", shelf),
        ("--at", "1999-01-01", "plan", shelf, "--at", "2026-03-10T00:20+01:00"),
    ):
        assert "shelf: 15 min left" in run(*words).stdout
    assert "rings" in run("plan", shelf, "--at", "2026-03-09T19:40").stdout


@pytest.mark.parametrize(
    "time",
    [
        "yesterday",
        "",
        "2026-13-01",
        "25:00",
        "0001-01-01",
        "9999-12-31T23:59-12:00",
    ],
)
def test_a_time_that_is_none_gives_2_and_one_sentence(run: Run, shelf: Path, time: str) -> None:
    for words in (("--at", time, "plan", shelf), ("check", shelf, "--at", time), ("calc", "--at", time)):
        result = run(*words)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith("--at: ") and len(result.stderr.splitlines()) == 1


def test_a_plan_writes_nothing(run: Run, shelf: Path) -> None:
    run("plan", shelf)
    assert list(shelf.parent.iterdir()) == [shelf]
    assert shelf.read_text(encoding="utf-8") == SHELF


def test_a_name_cannot_steer_the_terminal(run: Run, shelf: Path) -> None:
    shelf.write_text(SHELF.replace("Gannet shelf", r"Gannet\u001b[2J"), encoding="utf-8")
    assert "\x1b" not in run("plan", shelf).stdout


def test_the_schema_is_json_and_knows_the_tables_of_the_file(run: Run) -> None:
    made = json.loads(run("schema").stdout)
    assert {"format", "project", "slab", "casting", "record"} <= made["properties"].keys()


def test_help_and_wrong_commands_give_no_traceback(run: Run) -> None:
    assert run("--help").exit_code == 0
    for command in ("open", "new", "check", "plan", "calc", "schema"):
        told = run(command, "--help")
        assert told.exit_code == 0 and "--at" in told.stdout
    assert run("plam").exit_code == 2
    assert run("plan").exit_code == 2
