"""Every value that a calculator is filled from moves a figure of the plan when it changes by 10 %."""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import Any

import pytest

from tests.examples import EXAMPLES, example, first_plan
from workshop.calculator import Calculator
from workshop.calculators import catalogue
from workshop.desk import Given
from workshop.figures import Result
from workshop.plan import Plan, plan
from workshop.project.faults import FileFaults
from workshop.project.path import Path, find, spell
from workshop.project.project import Project
from workshop.quantity import RATIO, Measure, read_number
from workshop.shapes import plan_json

CATALOGUE = catalogue()

PICKS: Mapping[str, str] = MappingProxyType(
    {
        "mark": "only says which part between the saw lines is meant",
        "places": "only counted; how far apart the screws stand enters no figure",
        "recoat-limit": "of a casting resin it ends the band of the window, not the likely window",
        "light-run height": "only keeps a planned lift from ending within the strip",
        "light-strip width": "only keeps a planned lift from ending within the strip",
    }
)
"""Keys of which a change by 10 % moves no figure, and why; a test of their own shows what does."""


def picked(path: Path) -> bool:
    """Whether a place is one of those."""
    return any(set(pick.split()) <= set(path) for pick in PICKS)


def _never(inputs: Any) -> Result:
    raise AssertionError("This calculator is left out.")


def _likeliest(held: Calculator) -> Calculator:
    """A slow calculator by its first answer alone; without one it is left out."""
    return replace(held, compute=held.quick or _never, slow=held.quick is None, quick=None)


LOOKS: tuple[Mapping[str, Calculator], ...] = (
    {id: replace(held, compute=_never, quick=None) if held.slow else held for id, held in CATALOGUE.items()},
    {id: _likeliest(held) if held.slow else held for id, held in CATALOGUE.items()},
    {
        id: replace(held, slow=False) if held.quick is None else _likeliest(held)
        for id, held in CATALOGUE.items()
    },
)
"""The calculators without those that take long, then with what these can say at once, then with those too
that can say nothing at once: most values move a figure at the first look."""


@cache
def figures_before(name: str, look: int) -> dict[str, float]:
    """The figures of an example at one of the looks."""
    return figures_of(plan(example(name), LOOKS[look], defer=True))


def moves(name: str, other: Project) -> bool:
    """Whether the figures of another state of an example differ from its own."""
    return any(
        figures_of(plan(other, calculators, defer=True)) != figures_before(name, look)
        for look, calculators in enumerate(LOOKS)
    )


def figures_of(made: Plan) -> dict[str, float]:
    """Every figure of a plan by stage, subject, calculator and id, as its JSON has it."""
    return {
        f"{stage['id']} {held['subject']} {calculator} {id}": figure["value"]
        for stage in plan_json(made)["stages"]
        for held in stage["subjects"]
        for calculator, answer in held["calculators"].items()
        for id, figure in answer["figures"].items()
    }


def filled_places(name: str) -> Iterator[Path]:
    """Every value in the file, down to the single number, that a calculator with a result is filled from."""
    seen: dict[Path, None] = {}
    for stage in first_plan(name).stages:
        for answer in stage.answers:
            for source in answer.sources.values() if answer.inputs is not None else ():
                if isinstance(source, Given):
                    seen |= dict.fromkeys(source.paths)
    for path in seen:
        yield from _leaves(path, find(example(name).document, path))


def _leaves(path: Path, held: Any) -> Iterator[Path]:
    if isinstance(held, Mapping):
        for key, inner in held.items():
            if key != "id":
                yield from _leaves((*path, key), inner)
    elif isinstance(held, list):
        for position, inner in enumerate(held):
            yield from _leaves((*path, position), inner)
    else:
        yield path


def is_choice(project: Project, path: Path) -> bool:
    """Whether a value is one out of a list (a species, a grade, a unit), of which there are no 10 %."""
    return type(project.at(path)) is str


def changed(project: Project, path: Path, factor: float) -> Any:
    """The value with its numbers scaled: a ratio by its first part, a count to the next whole number.

    A time goes a minute later or earlier.
    """
    held, value = find(project.document, path), project.at(path)
    if isinstance(held, datetime):
        return held + timedelta(minutes=1 if factor > 1 else -1)
    if isinstance(held, str):
        count = 1 if isinstance(value, Measure) and value.kind is RATIO else 0
        return re.sub(
            r"\d+(?:\s+|-)\d+/\d+|\d+/\d+|\d+(?:\.\d+)?",
            lambda number: f"{read_number(number.group()) * factor:.6g}",
            held,
            count=count,
        )
    if isinstance(value, int):
        return max(1, held + int(math.copysign(max(1, round(held * abs(factor - 1))), factor - 1)))
    return Decimal(f"{float(held) * factor:.6g}")


@pytest.mark.parametrize(
    ("name", "path"),
    [
        pytest.param(name, path, id=f"{name} {spell(path)}")
        for name in EXAMPLES
        for path in filled_places(name)
        if not is_choice(example(name), path) and not picked(path)
    ],
)
def test_a_value_that_is_filled_in_moves_a_figure(name: str, path: Path) -> None:
    project = example(name)
    if not re.search(r"[1-9]", str(find(project.document, path))):
        return  # 10 % of nothing is nothing.
    tried = 0
    # Lower where higher is refused: heights that must rise, a percentage that ends at 100 %.
    for factor in (1.1, 0.9):
        try:
            other = project.with_value(path, changed(project, path, factor))
        except FileFaults:
            continue
        tried += 1
        if moves(name, other):
            return
    assert not tried, f"{spell(path)} moves no figure"
    raise AssertionError(f"{spell(path)} can be neither raised nor lowered by 10 %")


def test_a_mark_on_another_part_of_the_slab_moves_a_figure() -> None:
    bench = example("tarn-bench")
    assert moves("tarn-bench", bench.with_value(("piece", "p1", "mark"), "10, 0 mm"))


def test_a_screw_less_moves_a_figure() -> None:
    bench = example("tarn-bench")
    path = ("fixing", "left-screws", "places")
    assert moves("tarn-bench", bench.with_value(path, find(bench.document, path)[:-1]))


def test_an_earlier_recoat_limit_ends_the_window_earlier() -> None:
    bench = example("tarn-bench")
    assert moves("tarn-bench", bench.with_value(("resin", "slow-blue", "recoat-limit"), "20 h"))
