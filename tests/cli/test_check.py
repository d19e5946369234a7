"""`workshop check`: 0 clean, 1 where a stop stands, 2 where the file cannot be read."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

import pytest

from tests.cli.conftest import SHELF, Run
from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators import catalogue
from workshop.desk import Desk, Filling
from workshop.figures import Finding, Level, Result, phrase
from workshop.quantity import LENGTH, Amount


class Board(CalculatorInputs):
    """A board."""

    thickness: Annotated[float, LENGTH] = given("thickness")


def too_thick(inputs: Board) -> Result:
    thickness = Amount(inputs.thickness, LENGTH)
    return Result(
        (),
        (
            Finding(
                "too-thick",
                Level.STOP,
                phrase("A board of {t} is too thick.", t=thickness),
                phrase("Plane it to {t}.", t=Amount(inputs.thickness / 2, LENGTH)),
                value=thickness,
            ),
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    for slab in desk.file.slab:
        yield Filling(slab, {"thickness": desk.at("slab", slab, "thickness")})


@pytest.fixture
def stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A catalogue of one calculator, which stops every slab."""
    only = Calculator("board-stop", "Board", "stock-prep", Board, too_thick, fill)
    monkeypatch.setattr("workshop.calculators.catalogue", lambda: {"board-stop": only})


def test_a_project_without_a_stop_is_clean(run: Run, shelf: Path) -> None:
    result = run("check", shelf)
    assert (result.exit_code, result.stdout) == (0, "Gannet shelf: no stop stands.\n")


def test_a_stop_that_nobody_accepted_gives_1_and_says_the_way_out(
    run: Run, shelf: Path, stopped: None
) -> None:
    result = run("check", shelf)
    assert result.exit_code == 1
    assert result.stdout == (
        "stop too-thick@hickory: A board of 1 7/8 in is too thick. Plane it to 15/16 in.\n"
    )


def test_an_accepted_stop_is_clean(run: Run, shelf: Path, stopped: None) -> None:
    shelf.write_text(
        SHELF + "\n[record.accepted.too-thick.hickory]\nat = 2026-03-05 18:20:00-05:00\n"
        'value = "1 7/8 in"\nreason = "It is to be planed"\n',
        encoding="utf-8",
    )
    assert run("check", shelf).exit_code == 0


def test_five_wrong_values_give_five_lines_with_their_line_numbers_and_leave_the_file_alone(
    run: Run, shelf: Path
) -> None:
    wrong = (
        SHELF.replace('"us"', '"furlongs"')
        .replace('"62 °F"', '"62 kg"')
        .replace('"70 %"', '"170 %"')
        .replace('"5 ft 4 in"', '"64"')
        .replace('class = "slow', 'clas = "slow')
    )
    shelf.write_text(wrong, encoding="utf-8")
    before = shelf.stat()
    result = run("check", shelf)
    lines = result.stderr.splitlines()
    numbers = [
        number
        for number, (old, new) in enumerate(zip(SHELF.splitlines(), wrong.splitlines(), strict=True), 1)
        if old != new
    ]

    assert (result.exit_code, result.stdout, len(lines), len(numbers)) == (2, "", 5, 5)
    for line, number in zip(lines, numbers, strict=True):
        assert re.fullmatch(rf"{re.escape(str(shelf))}, line {number}, [a-z.-]+: .+; .+[.?]", line), line
    assert shelf.read_text(encoding="utf-8") == wrong
    assert shelf.stat().st_mtime_ns == before.st_mtime_ns
    assert list(shelf.parent.iterdir()) == [shelf]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"format = \n",
        b"format = 99\n",
        b"[[[",
        b"format = 2\nx = 1\n",
    ],
)
def test_a_file_that_cannot_be_read_gives_2_and_no_traceback(
    run: Run, tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "odd.toml"
    path.write_bytes(content)
    for command in ("check", "plan"):
        result = run(command, path)
        assert result.exit_code == 2
        assert result.stderr.startswith(f"{path}, ")
        assert "Traceback" not in result.stderr


def test_a_file_that_is_not_there_gives_2(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "none.toml"
    result = run("check", path)
    assert result.exit_code == 2
    assert result.stderr == f"{path}: there is no such file; check the name and the folder.\n"


def test_a_file_is_named_by_its_project_in_the_projects_folder(run: Run, shelf: Path) -> None:
    for words in (
        ("--projects", shelf.parent, "check", "gannet-shelf"),
        ("check", "Gannet shelf", "--projects", shelf.parent),
    ):
        assert run(*words).exit_code == 0


def test_the_module_runs_as_a_program(shelf: Path) -> None:
    called = subprocess.run(
        [sys.executable, "-m", "workshop", "check", str(shelf)],
        capture_output=True,
        cwd=Path(__file__).parents[2],
        timeout=60,
        check=False,
    )
    assert (called.returncode, called.stdout.decode().strip()) == (0, "Gannet shelf: no stop stands.")


def test_the_catalogue_is_whole_again_after_a_test_that_replaced_it() -> None:
    assert "mix" in catalogue()
