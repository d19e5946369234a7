"""`workshop calc`: one calculator on values as typed, or filled from a project."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any

import pytest

from tests.cli.conftest import Run
from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators import catalogue
from workshop.desk import Desk, Filling
from workshop.figures import COMMON_PRACTICE, Column, Figure, Result, Table, Working
from workshop.quantity import COUNT, LENGTH, Amount
from workshop.stages import STAGES


class Pile(CalculatorInputs):
    """A pile of boards."""

    thickness: Annotated[float, LENGTH] = given("thickness of a board", low=1e-3, high=0.2)
    count: Annotated[float, COUNT] = given("boards in the pile", default=1.0)


def pile(inputs: Pile) -> Result:
    height = inputs.thickness * inputs.count
    numbers = {"t": Amount(inputs.thickness, LENGTH), "n": Amount(inputs.count, COUNT)}
    figure = Figure(
        "height",
        "height of the pile",
        height,
        LENGTH,
        Working("height = t*n", numbers, COMMON_PRACTICE, ("flat boards",)),
    )
    endless = Figure("endless", "height without end", math.inf, LENGTH, figure.working)
    boards = Table(
        "Boards",
        (Column("number", "board"), Column("thickness", "thickness", LENGTH)),
        tuple((str(number + 1), inputs.thickness) for number in range(int(inputs.count))),
    )
    return Result((figure, endless), (), {"boards": boards})


def fill(desk: Desk) -> Iterator[Filling]:
    for slab in desk.file.slab:
        yield Filling(slab, {"thickness": desk.at("slab", slab, "thickness")})


PILE = Calculator("board-pile", "Pile of boards", "stock-prep", Pile, pile, fill)


@pytest.fixture
def piled(monkeypatch: pytest.MonkeyPatch) -> None:
    """The catalogue with one more calculator, which only this test declares."""
    whole = {**catalogue(), PILE.id: PILE}
    monkeypatch.setattr("workshop.calculators.catalogue", lambda: whole)


def shape(text: str) -> Any:
    return json.loads(text, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


def test_without_an_id_every_calculator_is_listed(run: Run) -> None:
    text = run("calc").stdout
    listed = shape(run("calc", "--json").stdout)
    assert {row["id"] for row in listed} == set(catalogue())
    assert set(listed[0]) >= {"id", "title", "stage", "inputs"}
    for row in listed:
        assert row["id"] in text


def test_with_an_id_alone_its_inputs_are_shown(run: Run) -> None:
    result = run("calc", "equilibrium-moisture")
    assert result.exit_code == 0
    assert "humidity" in result.stdout and "55 %" in result.stdout
    assert [row["key"] for row in shape(run("calc", "equilibrium-moisture", "--json").stdout)["inputs"]] == [
        "temperature",
        "humidity",
    ]


def test_us_and_metric_values_give_the_same_figure_in_si(run: Run) -> None:
    metric = shape(run("calc", "equilibrium-moisture", "temperature=20 °C", "humidity=55%", "--json").stdout)
    us = shape(run("calc", "equilibrium-moisture", "temperature=68 degF", "humidity=0.55", "--json").stdout)
    moisture = metric["figures"]["moisture"]
    assert us["figures"]["moisture"]["value"] == pytest.approx(moisture["value"], rel=1e-9)
    assert us["inputs"] == {"temperature": pytest.approx(20.0), "humidity": 0.55}
    assert moisture["unit"] == "dimensionless"
    assert set(metric) == {"id", "inputs", "figures", "tables", "findings"}
    assert set(moisture) >= {"value", "unit", "low", "high", "text", "working"}
    assert set(moisture["working"]) >= {"formula", "numbers", "assumed", "source"}


def test_a_calculator_declared_here_is_listed_and_run(run: Run, piled: None) -> None:
    assert "Pile of boards" in run("calc").stdout
    assert "board-pile" in {row["id"] for row in shape(run("calc", "--json").stdout)}
    text = run("calc", "board-pile", "thickness=1 7/8 in", "count=2", "--units", "us").stdout
    for words in (
        "height of the pile",
        "3 3/4 in",
        "height = t*n",
        "t = 1 7/8 in",
        "flat boards",
        COMMON_PRACTICE,
        "without limit",
        "Boards",
    ):
        assert words in text
    made = shape(run("calc", "board-pile", "thickness=50mm", "count=2", "--json").stdout)
    assert made["figures"]["height"]["value"] == pytest.approx(0.1)
    assert made["figures"]["endless"]["value"] is None
    assert made["tables"]["boards"]["text"] == [["1", "50 mm"], ["2", "50 mm"]]


def test_text_stays_within_80_columns_and_has_no_colour_in_a_pipe(run: Run, shelf: Path) -> None:
    for words in (
        ("calc",),
        ("calc", "mix"),
        ("plan", shelf),
        ("calc", "equilibrium-moisture", "temperature=20C", "humidity=80%"),
    ):
        text = run(*words).stdout
        assert "\x1b" not in text
        assert max(len(line) for line in text.splitlines()) <= 80


def test_a_project_fills_the_inputs_and_a_value_typed_goes_before_it(
    run: Run, shelf: Path, piled: None
) -> None:
    filled = shape(run("calc", "board-pile", "--from", shelf, "--for", "hickory", "--json").stdout)
    assert filled["inputs"]["thickness"] == pytest.approx(1.875 * 0.0254)
    only = shape(run("calc", "board-pile", "--from", shelf, "count=3", "--json").stdout)
    assert only["figures"]["height"]["value"] == pytest.approx(3 * 1.875 * 0.0254)
    typed = shape(run("calc", "board-pile", "thickness=10mm", "--from", shelf, "--json").stdout)
    assert typed["inputs"]["thickness"] == pytest.approx(0.01)
    assert "1 7/8 in" in run("calc", "board-pile", "--from", shelf).stdout


def test_a_calculator_declared_here_stands_in_the_plan(run: Run, shelf: Path, piled: None) -> None:
    stages = shape(run("plan", shelf, "--json").stdout)["stages"]
    [hickory] = [row for row in stages[0]["subjects"] if row["subject"] == "hickory"]
    answer = hickory["calculators"]["board-pile"]
    assert answer["figures"]["height"]["value"] == pytest.approx(1.875 * 0.0254)
    assert answer["sources"]["thickness"]["from"] == ["slab.hickory.thickness"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("mixx",), "did you mean mix?"),
        (("zzzz",), "workshop calc lists them all"),
        (("equilibrium-moisture", "humidty=55%", "temperature=20C"), "did you mean humidity?"),
        (("equilibrium-moisture", "humidity=55%"), "needs the air temperature"),
        (("equilibrium-moisture", "humidity=55%", "temperature=20"), "has no unit"),
        (("equilibrium-moisture", "humidity=155%", "temperature=20C"), "too much"),
        (("equilibrium-moisture", "humidity=nan", "temperature=20C"), "humidity"),
        (("equilibrium-moisture", "humidity=55%", "humidity=56%", "temperature=20C"), "given twice"),
        (("equilibrium-moisture", "55%"), "is not KEY=VALUE"),
        (("equilibrium-moisture", "=55%"), "is not KEY=VALUE"),
        (("slab-volume", "stations=[[", "thickness=52mm"), "JSON"),
        (("mix", "ratio=2:1", "ratio-by=volume"), "mass or volume"),
        (("mix", "--for", "seat/base"), "--from"),
        (("--from", "x.toml"), "ID"),
    ],
)
def test_a_wrong_word_gives_2_and_one_sentence(run: Run, words: tuple[str, ...], says: str) -> None:
    for more in ((), ("--json",)):
        result = run("calc", *words, *more)
        assert (result.exit_code, result.stdout) == (2, "")
        assert says in result.stderr
        assert len(result.stderr.splitlines()) == 1


def test_a_part_that_the_project_does_not_have_is_told(run: Run, shelf: Path) -> None:
    result = run("calc", "wood-density", "--from", shelf, "--for", "hickry")
    assert result.exit_code == 2
    assert "did you mean hickory?" in result.stderr
    several = run("calc", "equilibrium-moisture", "--from", shelf)
    assert several.exit_code == 2
    assert "shop, destination/low, destination/high" in several.stderr


def test_what_the_project_does_not_know_is_told_by_its_name(run: Run, shelf: Path) -> None:
    result = run("calc", "wood-density", "--from", shelf, "--for", "hickory")
    assert result.exit_code == 2
    assert "hickory needs" in result.stderr
    known = run("calc", "wood-density", "--from", shelf, "--for", "hickory", "moisture=9 %", "--json")
    assert shape(known.stdout)["inputs"]["moisture"] == pytest.approx(0.09)


def test_every_calculator_stands_under_its_stage(run: Run) -> None:
    order = [stage.id for stage in STAGES]
    listed = [row["stage"] for row in shape(run("calc", "--json").stdout)]
    places = [order.index(stage) for stage in listed if stage in order]
    assert set(listed[len(places) :]).isdisjoint(order)
    assert places == sorted(places)
