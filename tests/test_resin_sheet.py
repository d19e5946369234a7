"""A resin as text: its class, its sheet or its constants, and what a project makes of it."""

import json

import pytest

from tests.examples import example
from workshop.calculator import InputError
from workshop.calculators import resin_fit
from workshop.desk import Given
from workshop.plan import plan
from workshop.project.project import Project
from workshop.resin_sheet import CLASSES, read_resin

FIT = {"resin-fit": resin_fit.CALCULATOR}


@pytest.mark.parametrize("spelled", ["slow-casting", "slow casting", " Slow  Casting ", "slow_casting"])
def test_a_class_is_read_however_it_is_spelled(spelled: str) -> None:
    held = read_resin(spelled)
    assert held.sheet is not None and held.sheet.resin_class == "slow-casting"
    assert held.spread


@pytest.mark.parametrize("named", CLASSES)
def test_every_class_is_known_to_the_fit(named: str) -> None:
    assert read_resin(named).central.heat > 0


def test_a_sheet_is_read_in_the_maker_s_units() -> None:
    held = read_resin(
        json.dumps({"class": "slow casting", "pot-life": "3 h", "pot-mass": "6 lb 10 oz", "lot": "A 4417"})
    )
    assert held.sheet is not None and held.sheet.pot_life == 10800.0
    assert held.sheet.pot_mass == pytest.approx(6.625 * 0.45359237)


def test_numbers_of_a_sheet_are_si() -> None:
    held = read_resin(json.dumps({"class": "slow-casting", "rated-depth": 0.05, "rated-temperature": 20}))
    assert held.sheet is not None
    assert (held.sheet.rated_depth, held.sheet.rated_temperature) == (0.05, 20.0)


def test_constants_stand_alone_without_a_spread() -> None:
    held = read_resin('{"k25": 3e-5, "kappa": 0.4, "heat": 3e5, "activation": 55e3, "tg1": 55}')
    assert not held.spread and held.fitted is None
    assert held.central.k25 == 3e-5


def test_a_logged_pour_moves_the_fit() -> None:
    sheet = {"class": "slow-casting", "rated-depth": 0.05}
    poured = {**sheet, "test-pours": [{"temperature": "21 °C", "mass": "1 kg", "peak": "120 °C"}]}
    assert read_resin(json.dumps(poured)).central.k25 != read_resin(json.dumps(sheet)).central.k25


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("treacle", "give a class"),
        ("[1]", "give a class"),
        ('{"pot-life": "3 h"}', "class"),
        ('{"class": "slow-casting", "potlife": "3 h"}', "potlife"),
        ('{"class": "slow-casting", "pot-life": "3 kg"}', "pot-life"),
        ('{"class": "slow-casting", "test-pours": 1}', "list"),
        ('{"class": "slow-casting", "test-pours": [{"peak": "90 °C"}]}', "temperature"),
        ('{"class": "slow-casting", "test-pours": [{"colour": 1}]}', "colour"),
        ('{"k25": 1e-5}', "lack"),
        ('{"k25": 1e-5, "colour": 2}', "colour"),
        ('{"k25": "fast"}', "number"),
        ('{"k25": -1, "kappa": 0.4, "heat": 3e5, "activation": 55e3, "tg1": 55}', ""),
    ],
)
def test_a_resin_that_cannot_be_read_is_refused_in_one_sentence(text: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        read_resin(text)
    assert refused.value.key == "resin"
    assert said in refused.value.message
    assert "\n" not in refused.value.message


def filled(project: Project, subject: str) -> dict[str, object]:
    """The resin of a casting as the calculators get it."""
    for held in plan(project, FIT).stage("lifts").answers:
        if held.subject == subject:
            source = held.sources["resin"]
            assert isinstance(source, Given), source.what
            return dict(json.loads(source.value))
    raise AssertionError(subject)


def test_a_project_gives_the_figures_of_its_sheet_in_si() -> None:
    held = filled(example("tarn-bench"), "seat")
    assert held["class"] == "slow-casting"
    assert held["rated-depth"] == 0.05
    assert held["pot-life"] == 10800.0
    # 100 : 42.5 by weight of 1.15 and 0.98 kg/L.
    assert held["density"] == pytest.approx(142.5 / (100 / 1150 + 42.5 / 980))


def test_a_pot_life_without_its_mass_is_left_out() -> None:
    bench = example("tarn-bench").without(("resin", "slow-blue", "pot-mass"))
    assert not [key for key in filled(bench, "seat") if key.startswith("pot-")]


def test_a_test_pour_counts_once_it_says_something() -> None:
    bench = example("tarn-bench")
    place = ("resin", "slow-blue", "test-pours")
    told = bench.with_value(place, [{"mass": "1 kg", "temperature": "21 °C", "peak": "60 °C"}])
    silent = bench.with_value(place, [{"mass": "1 kg", "temperature": "21 °C"}])
    assert len(filled(told, "seat")["test-pours"]) == 1  # type: ignore[arg-type]
    assert "test-pours" not in filled(silent, "seat")
