"""What any calculation must hold, and how a test looks into one."""

import pytest

from tests.formula import evaluate
from workshop.calculator import Calculation
from workshop.figures import Figure, Level, number_json


def figure(made: Calculation, id: str) -> Figure:
    """The figure of this id, which must be there."""
    found = made.result.figure(id)
    assert found is not None, id
    return found


def level(made: Calculation, rule: str) -> Level | None:
    """How grave the finding of a rule is, None where it was not found."""
    return next((held.level for held in made.result.findings if held.rule == rule), None)


def workings_hold(made: Calculation) -> None:
    """Every figure is what its formula gives with its numbers, and names a source."""
    assert made.result.figures
    for held in made.result.figures:
        numbers = {name: number_json(number) for name, number in held.working.numbers.items()}
        worked_out = evaluate(held.working.formula, numbers)
        assert worked_out == pytest.approx(held.value, rel=1e-6, abs=1e-15), held.id
        assert held.working.source


def findings_lead_out(made: Calculation) -> None:
    """Every finding has a way out with a number in it, and hangs on an input and figures that are there."""
    for held in made.result.findings:
        assert any(letter.isdigit() for letter in held.remedy.say())
        assert held.field in {known.key for known in made.calculator.fields}
        assert all(made.result.figure(id) is not None for id in held.figures)
