"""The timber calculators filled from a project: slabs as measured and read, screws in their casting."""

import tomllib
from decimal import Decimal

import pytest

from workshop.calculator import Calculator, calculate
from workshop.calculators import (
    equilibrium_moisture,
    screw_hold,
    slab_volume,
    wood_density,
    wood_movement,
)
from workshop.plan import Answer, Plan, plan
from workshop.project.project import from_document
from workshop.trade.fasteners import lag_thread, wood_screw_thread

SHELF = """
format = 2

[destination]
temperature = "20 °C"
humidity-low = "35 %"
humidity-high = "60 %"

[slab.wide]
species = "ash, white"
cutting-direction = "tangential"
thickness = "50 mm"
unit = "cm"
stations = [
    { at = 0, left = 10, right = 10, lower-left = 11, lower-right = 11 },
    { at = 100, left = 12, right = 10, lower-left = 13, lower-right = 11 },
]

[slab.plain]
species = "hickory"
length = "1 m"
width = "200 mm"

[piece.p1]
slab = "wide"
casting = "shelf"

[piece.p2]
slab = "plain"
casting = "shelf"

[casting.shelf]

[fixing.left]
casting = "shelf"
kind = "wood screw"
diameter = "6 mm"
length = "45 mm"
through = "5 mm"
places = ["20, 60 mm", "20, 200 mm"]

[record.poured."shelf/base"]
to = "6 mm"
at = 2026-03-07 11:00:00+01:00

[record.readings]
wide = [
    { at = 2026-02-11 18:00:00+01:00, moisture = "14 %" },
    { at = 2026-03-01 18:00:00+01:00, moisture = "9.0 %" },
    { at = 2026-03-01 18:05:00+01:00, moisture = "9.4 %" },
    { at = 2026-03-20 18:00:00+01:00, moisture = "8 %" },
]
"""


def figures(calculator: Calculator, **texts: str) -> dict[str, float]:
    """The figures of a calculation by hand; keys with underscores for hyphens."""
    typed = {key.replace("_", "-"): text for key, text in texts.items()}
    return {figure.id: figure.value for figure in calculate(calculator, typed).result.figures}


def shelf() -> Plan:
    known = (equilibrium_moisture, screw_hold, slab_volume, wood_density, wood_movement)
    project = from_document(tomllib.loads(SHELF, parse_float=Decimal), "shelf.toml")
    return plan(project, {module.CALCULATOR.id: module.CALCULATOR for module in known})


def answer(calculator: str, subject: str) -> Answer:
    return next(
        held
        for stage in shelf().stages
        for held in stage.answers
        if (held.calculator.id, held.subject) == (calculator, subject)
    )


def value(calculator: str, subject: str, figure: str) -> float:
    result = answer(calculator, subject).result
    found = result.figure(figure) if result is not None else None
    assert found is not None, answer(calculator, subject).needs
    return found.value


def test_a_slab_is_measured_in_the_unit_of_its_table() -> None:
    # 1 m long, 200 to 220 mm wide above and 20 mm wider below.
    assert value("slab-volume", "wide", "area") == pytest.approx(0.21, rel=1e-9)
    assert value("slab-volume", "wide", "area-lower") == pytest.approx(0.23, rel=1e-9)


def test_the_wettest_reading_of_the_last_day_before_casting_counts() -> None:
    by_hand = figures(wood_density.CALCULATOR, species="white ash", moisture="9.4 %")
    assert value("wood-density", "wide", "density") == pytest.approx(by_hand["density"], rel=1e-12)


@pytest.mark.parametrize(("end", "humidity"), [("low", "35 %"), ("high", "60 %")])
def test_a_slab_moves_from_its_reading_to_the_air_of_its_place(end: str, humidity: str) -> None:
    air = figures(equilibrium_moisture.CALCULATOR, temperature="20 degC", humidity=humidity)["moisture"]
    by_hand = figures(
        wood_movement.CALCULATOR,
        species="white ash",
        width="220 mm",
        cutting_direction="tangential",
        moisture_from="9.4 %",
        moisture_to=f"{air * 100} %",
    )
    assert value("wood-movement", f"wide/{end}", "change") == pytest.approx(by_hand["change"], rel=1e-9)


def test_screws_go_by_the_lightest_wood_of_their_casting() -> None:
    # White ash, 0.60 at 12 %, not the hickory beside it, 0.66; two screws of 45 mm,
    # two thirds of it thread.
    by_hand = figures(
        screw_hold.CALCULATOR,
        kind="wood",
        diameter="6 mm",
        thread_in_wood="30 mm",
        species="white ash",
        count="2",
    )
    assert value("screw-hold", "left", "withdrawal") == pytest.approx(by_hand["withdrawal"], rel=1e-12)


def test_the_thread_of_a_screw_is_not_all_of_it() -> None:
    # common practice, no source: two thirds of a wood screw; half a lag screw and 1/2 in, less its tip.
    assert wood_screw_thread(0.045, 0.005) == pytest.approx(0.030)
    assert wood_screw_thread(0.045, 0.025) == pytest.approx(0.020)
    assert lag_thread(0.1, 0.005, 0.008) == pytest.approx(0.05 + 0.0127 - 0.008)
    assert lag_thread(0.4, 0.005, 0.010) == pytest.approx(6 * 0.0254 - 0.010)
    assert lag_thread(0.01, 0.02, 0.008) == wood_screw_thread(0.01, 0.02) == 0


def test_what_is_not_known_is_asked_for() -> None:
    assert [need.what for need in answer("slab-volume", "plain").needs] == ["the thickness of slab plain"]
    assert [need.what for need in answer("wood-movement", "plain/low").needs] == [
        "the cutting direction of slab plain",
        "a moisture reading of plain",
    ]
