"""The factors that are looked up are those that pint works out from the units of the shop."""

import subprocess
import sys

import pytest

from workshop.factors import FACTORS
from workshop.quantity import worked_out


@pytest.mark.parametrize(("unit", "target"), FACTORS, ids=lambda text: text.replace(" ", ""))
def test_a_factor_is_pints_own_to_the_last_bit(unit: str, target: str) -> None:
    assert FACTORS[unit, target] == worked_out(unit, target)


def test_the_examples_open_without_pint() -> None:
    script = (
        "import sys; from tests.examples import EXAMPLES, example_plan;"
        "[example_plan(name) for name in EXAMPLES]; print('pint' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
