"""A calculator that is declared once is found in the plan, in the JSON shapes and on the command line."""

import json
from collections.abc import Iterator
from typing import Annotated

import pytest
from click.testing import CliRunner

from tests.examples import example
from workshop.calculator import Calculator, CalculatorInputs, calculate, given
from workshop.calculators import catalogue
from workshop.cli import main
from workshop.desk import Desk, Filling
from workshop.figures import COMMON_PRACTICE, Figure, Result, Working
from workshop.plan import plan
from workshop.quantity import LENGTH, Amount
from workshop.shapes import calculation_json, calculator_json, plan_json


class HalvingInputs(CalculatorInputs):
    """Something to cut in two."""

    length: Annotated[float, LENGTH] = given("length to halve", above=0.0, high=10.0)


def halved(inputs: HalvingInputs) -> Result:
    """Half of it."""
    working = Working("half = whole/2", {"whole": Amount(inputs.length, LENGTH)}, COMMON_PRACTICE)
    return Result((Figure("half", "one half", inputs.length / 2, LENGTH, working),))


def fill_halving(desk: Desk) -> Iterator[Filling]:
    """Every slab."""
    for slab in desk.file.slab:
        yield Filling(slab, {"length": desk.at("slab", slab, "thickness")})


HALVING = Calculator("halving", "Halving", "stock-prep", HalvingInputs, halved, fill_halving)


def test_a_declared_calculator_appears_in_the_plan() -> None:
    made = plan(example("tarn-bench"), {**catalogue(), HALVING.id: HALVING})
    stock_prep = plan_json(made)["stages"][0]
    slab = next(held for held in stock_prep["subjects"] if held["subject"] == "ash-wide")
    answer = slab["calculators"]["halving"]
    assert answer["inputs"] == {"length": pytest.approx(0.052)}
    assert answer["figures"]["half"]["value"] == pytest.approx(0.026)
    assert answer["figures"]["half"]["unit"] == "meter"
    assert answer["figures"]["half"]["text"] == "26 mm"
    assert answer["sources"]["length"]["from"] == ["slab.ash-wide.thickness"]


def test_a_declared_calculator_has_the_shape_of_all_others() -> None:
    shape = calculation_json(calculate(HALVING, {"length": "3 in"}))
    assert shape["inputs"] == {"length": pytest.approx(0.0762)}
    assert shape["figures"]["half"]["working"] == {
        "formula": "half = whole/2",
        "numbers": {"whole": pytest.approx(0.0762)},
        "assumed": [],
        "source": COMMON_PRACTICE,
        "simulation": False,
    }
    assert calculator_json(HALVING)["inputs"][0] == {
        "key": "length",
        "title": "length to halve",
        "help": "",
        "unit": "meter",
        "example": LENGTH.example,
        "choices": [],
        "required": True,
        "default": None,
        "low": None,
        "high": 10.0,
    }


def test_a_declared_calculator_answers_on_the_command_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("workshop.calculators.catalogue", lambda: {HALVING.id: HALVING})
    answer = CliRunner().invoke(main, ["calc", "halving", "length=57 mm", "--json"])
    assert answer.exit_code == 0, answer.output
    assert json.loads(answer.stdout)["figures"]["half"]["value"] == pytest.approx(0.0285)
