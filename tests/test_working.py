"""Every figure can be worked out again from what is printed beside it."""

import math
import re
from collections.abc import Iterator

import pytest

from tests.examples import EXAMPLES, first_plan
from tests.formula import NotAFormula, evaluate, names_in
from workshop.calculator import calculate
from workshop.calculators import catalogue
from workshop.figures import Figure, Result, number_json
from workshop.quantity import KINDS, LENGTH, MONEY, Amount, Kind, Units, registry
from workshop.shapes import unit_name

CONSTANTS = '{"k25": 3e-5, "kappa": 0.4, "heat": 3e5, "activation": 55e3, "tg1": 55}'
SHEET = (
    '{"class": "slow-casting", "pot-life": "180 min", "pot-mass": "3 kg", "rated-depth": "2 in", '
    '"demould-time": "20 h"}'
)

BY_HAND: dict[str, tuple[dict[str, str], ...]] = {
    "batches": (
        {"mass": "6.2 kg"},
        {
            "mass": "14 lb",
            "bucket": "1 gal",
            "bucket-fraction": "60 %",
            "pot-life": "3 h",
            "pot-mass": "1 kg",
            "pot-temperature": "23 °C",
            "temperature": "86 °F",
            "resin-density": "1.09 kg/L",
            "elapsed": "50 min",
            "temperature-low": "50 °F",
            "least-temperature": "15 °C",
        },
        {"mass": "3 kg", "bucket": "2 L", "pot-life": "40 min"},
        {"mass": "3 kg", "pot-life": "40 min", "temperature": "27 °C"},
        {"mass": "3 kg", "pot-life": "40 min", "temperature": "12 °C", "pot-temperature": "23 °C"},
        {"mass": "3 kg", "resin": "laminating"},
        {"mass": "14 lb", "pot-life": "40 min", "temperature": "70 °F", "resin": "laminating"},
    ),
    "cure-age": (
        {"readings": '[[0, "68 °F"], ["6 h", "60 °F"]]', "activation": "52000", "reference": "20 °C"},
        {
            "readings": '[[0, "20 °C"], ["6 h", "16 °C"], ["1 d", "21 °C"]]',
            "activation": "52000",
            "reference": "23 °C",
            "least": "17 °C",
            "interpolation": "step",
            "target": "3 d",
            "resin": CONSTANTS,
        },
    ),
    "dew-point": (
        {"temperature": "20 °C", "humidity": "50 %"},
        {"temperature": "68 °F", "humidity": "85 %", "surface": "62 °F"},
    ),
    "drill-depth": (
        {"part-thickness": "1 3/4 in"},
        {
            "part-thickness": "45 mm",
            "through": "5 mm",
            "keep": "8 mm",
            "point": "4 mm",
            "screw": "60 mm",
        },
        {"part-thickness": "10 mm", "keep": "8 mm", "point": "4 mm"},
        {"part-thickness": "45 mm", "screw": "45 mm"},
    ),
    "flood-coat": (
        {"area": "0.56 m²"},
        {
            "area": "6 ft²",
            "thickness": "1/4 in",
            "edge-area": "1 ft²",
            "loss": "10 %",
            "resin-density": "9.2 lb/gal",
        },
        {"area": "0.5 m²", "thickness": "1 mm"},
    ),
    "form-parts": (
        {"length": "1400 mm", "width": "400 mm", "depth": "52 mm", "board": "18 mm"},
        {
            "length": "55 in",
            "width": "16 in",
            "depth": "2 in",
            "trim": "3/4 in",
            "freeboard": "3/8 in",
            "board": "3/4 in",
            "bead": "1/4 in",
            "fillet": "3/8 in",
            "cartridge": "10 fl oz",
            "fixing-spacing": "10 in",
        },
    ),
    "lift-cure": (
        {"resin": CONSTANTS, "depth": "1 in", "temperature": "70 °F"},
        {
            "resin": "slow-casting",
            "depth": "23 mm",
            "temperature": "17 °C",
            "temperature-low": "15 °C",
            "temperature-high": "19 °C",
            "below": '[["6 mm", "30 h"]]',
            "bed": '[[0, 18, "54 %"]]',
            "width": "110 mm",
        },
    ),
    "lift-plan": (
        {"resin": CONSTANTS, "temperature": "70 °F", "total-depth": "1/4 in"},
        {
            "resin": CONSTANTS,
            "temperature": "17 °C",
            "temperature-low": "15 °C",
            "total-depth": "52 mm",
            "rated-depth": "30 mm",
            "area": "0.2 m²",
            "resin-density": "1.1 kg/L",
        },
    ),
    "pack-sizes": (
        {"need": "6.2 kg", "packs": '[["1.5 kg", "39.50 EUR"], ["7.5 kg", "142.00 EUR"]]'},
        {"need-volume": "1 qt", "packs": '[["0.5 L", "31.00 EUR"]]'},
        {"need-length": "19 ft", "packs": '[["5 m", "46.00 EUR"]]'},
        {"need-count": "12", "packs": '[["100", "14.90 EUR"], ["10", "1.80 EUR"]]'},
        {"need": "0 kg", "packs": '[["1.5 kg", "39.50 EUR"]]'},
    ),
    "pour-run": (
        {"mass": "14 lb"},
        {"mass": "6 kg", "batches": "3", "people": "2", "scales": "2", "mixing": "8 min", "gel": "5 h"},
    ),
    "rail-level": (
        {"readings": "[[0, 0, 92.1], [640, 0, 93.3], [640, 1500, 92.2]]", "tolerance": "1/32 in"},
        {
            "heights": "[92.1, 92.3]",
            "span": "25 in",
            "load": "26 lb",
            "section": "[40, 40, 2]",
            "modulus": "70 GPa",
        },
        {"span": "1.2 m", "load": "30 kg", "inertia": "1.34 cm⁴"},
        {"span": "1.2 m", "load-force": "30 lbf", "section": "[40, 40, 2]"},
    ),
    "safe-lift-depth": (
        {"resin": CONSTANTS, "temperature": "70 °F"},
        {"resin": CONSTANTS, "temperature": "18 °C", "mass-per-pour": "12 kg"},
        {
            "resin": CONSTANTS,
            "temperature": "18 °C",
            "rated-depth": "2 in",
            "mass-per-pour": "26 lb",
            "area": "2 ft²",
        },
    ),
    "saw-lines": (
        {"outline": "[[0, -100], [1500, -90], [1500, 95], [0, 92]]", "line": "[[20, 0], [20, 1]]"},
        {
            "outline": "[[0, -100], [1500, -90], [1500, 95], [0, 92]]",
            "lines": '[["s1", "", 9, 0, 9, 1], ["s2", "p1", 20, -80, 900, -80], ["s3", "", 0, 200, 9, 200]]',
            "marks": '[["p1", 500, -78]]',
            "holes": "[[[480, -90], [560, -90], [520, -60]]]",
            "thickness": "52 mm",
            "depth-on-rail": "50 mm",
            "depth-off-rail": "54 mm",
            "kerf": "1.8 mm",
        },
    ),
    "saw-reach": (
        {"thickness": "45 mm", "depth-on-rail": "50 mm"},
        {"thickness": "2 1/8 in", "depth-on-rail": "2 in", "depth-off-rail": "2 1/4 in"},
        {"thickness": "90 mm", "depth-on-rail": "50 mm"},
        {"thickness": "120 mm", "depth-on-rail": "50 mm", "depth-off-rail": "54 mm"},
    ),
    "slot-length": (
        {"movement": "3 mm", "bolt": "6 mm"},
        {"movement": "-3/8 in", "bolt": "1/4 in", "position": "75 %"},
    ),
    "tip-over": (
        {"mass": "50 kg", "inside": "300 mm", "outside": "100 mm"},
        {"mass": "22 lb", "inside": "4 in", "outside": "10 in", "push-height": "40 in"},
        {
            "mass": "50 kg",
            "inside": "30 cm",
            "outside": "10 cm",
            "push-height": "75 cm",
            "load": "981 N",
            "push-wanted": "20 lbf",
        },
    ),
    "resin-fit": ({"resin": "fast-coating"}, {"resin": SHEET}, {"resin": CONSTANTS}),
    "resin-volume": (
        {"length": "1400 mm", "width": "400 mm", "depth": "23 mm"},
        {
            "length": "55 in",
            "width": "16 in",
            "depth": "1 7/8 in",
            "wood-volume": "3 gal",
            "bed-solid": "1 qt",
            "soak": "120 mL",
            "residue": "3 %",
            "shrinkage": "2 %",
            "reserve": "5 %",
            "resin-density": "1.09 kg/L",
        },
    ),
    "layout": (
        {
            "length": "1440 mm",
            "width": "440 mm",
            "upper": "[[[0, 0], [1440, 0], [1440, 200], [0, 190]], [[0, 301], [1440, 301], [0, 440]]]",
        },
        {
            "length": "3 ft",
            "width": "1 ft",
            "names": '["near", "far"]',
            "upper": "[[[0, 0], [900, 0], [900, 100]], [[0, 90], [900, 102], [900, 300], [0, 310]]]",
            "lower": "[[[0, 0], [910, 0], [910, 95]], [[0, 80], [910, 97], [910, 300], [0, 312]]]",
            "thicknesses": '["2 in", "1 3/4 in"]',
            "holes": "[[[100, 150], [140, 150], [120, 180]]]",
            "least-gap": "1/4 in",
        },
    ),
    "mix": (
        {
            "volume": "2 L",
            "ratio": "2 : 1",
            "ratio-by": "volume",
            "density-a": "1.15 kg/L",
            "density-b": "0.98 kg/L",
            "tint-percent": "2 %",
            "scale-resolution": "1 g",
            "ratio-by-weight": "100 : 42",
        },
        {"mass": "40 oz", "ratio": "100 : 30", "ratio-by": "weight"},
        {
            "volume": "1 qt",
            "ratio": "100 : 30",
            "ratio-by": "weight",
            "density-a": "9.4 lb/gal",
            "density-b": "8 lb/gal",
            "ratio-by-volume": "3 : 1",
        },
    ),
    "mix-correct": (
        {
            "a": "700",
            "b": "320",
            "ratio": "100 : 42.5",
            "bucket": "1 L",
            "density-a": "1.15 kg/L",
            "density-b": "0.98 kg/L",
        },
        {"a": "720 g", "b": "290 g", "ratio": "100 : 42.5"},
        {"a": "720 g", "b": "290 g", "ratio": "100 : 42.5", "in-form": "yes", "ratio-tolerance": "3 %"},
    ),
    "carry": (
        {"mass": "38 kg"},
        {
            "mass": "84 lb",
            "people": "2",
            "horizontal": "14 in",
            "vertical": "30 in",
            "travel": "18 in",
            "twist": "30°",
            "frequency": "0.2",
            "duration": "20 min",
            "grip": "fair",
        },
        {
            "mass": "60 kg",
            "people": "3",
            "horizontal": "40 cm",
            "vertical": "20 cm",
            "travel": "90 cm",
            "twist": "60°",
            "frequency": "2",
            "duration": "2 h",
            "grip": "poor",
            "control": "yes",
            "horizontal-end": "50 cm",
            "vertical-end": "110 cm",
            "twist-end": "10°",
        },
        {"mass": "10 kg", "horizontal": "80 cm"},
    ),
    "equilibrium-moisture": (
        {"temperature": "20 °C", "humidity": "50 %"},
        {"temperature": "86 °F", "humidity": "80 %"},
        {"temperature": "-5 °C", "humidity": "60 %"},
    ),
    "finish-coat": (
        {"area": "1.4 m²", "coverage": "24 m²/L"},
        {
            "area": "14 ft²",
            "coverage": "980 ft²/gal",
            "ratio": "10 : 1",
            "ratio-by": "volume",
            "coats": "2",
            "open-time": "20 min",
            "reach": "28 in",
        },
        {
            "area": "2 m²",
            "coverage": "30 m²/L",
            "ratio": "4 : 1",
            "ratio-by": "weight",
            "density-a": "1 kg/L",
            "density-b": "1.1 kg/L",
            "open-time": "10 min",
        },
    ),
    "free-area": (
        {"volume": "2.3 L", "rise": "23 mm"},
        {
            "volume": "0.6 gal",
            "rise": "7/8 in",
            "planned-area": "1 ft²",
            "later": '[["top", "3.1 L"], ["last", "1 qt"]]',
        },
        {"volume": "2.3 L", "rise": "23 mm", "planned-area": "0.12 m²"},
    ),
    "grit-steps": (
        {"start": "P80", "end": "P180", "surface": "wood"},
        {
            "start": "P80",
            "end": "P1000",
            "surface": "resin",
            "max-step": "1.5",
            "area": "0.6 m²",
            "disc": "150 mm",
        },
    ),
    "hold-down": (
        {"volume": "9 L", "wood-density": "680 kg/m³", "resin-density": "1.1 kg/L"},
        {
            "volume": "2 gal",
            "wood-density": "45 lb/ft³",
            "resin-density": "9.2 lb/gal",
            "submerged": "60 %",
            "each": "50 N",
            "safety": "3",
        },
        {"volume": "1 L", "wood-density": "1250 kg/m³", "resin-density": "1.1 kg/L", "each": "50 N"},
    ),
    "screw-hold": (
        {
            "kind": "wood",
            "diameter": "6 mm",
            "thread-in-wood": "30 mm",
            "species": "ash, white",
            "count": "4",
        },
        {
            "kind": "lag",
            "diameter": "3/8 in",
            "thread-in-wood": "2 in",
            "specific-gravity": "0.55",
            "grain": "end",
        },
        {"kind": "lag", "diameter": "1/4 in", "thread-in-wood": "1 1/2 in", "species": "walnut, black"},
        {
            "kind": "wood",
            "diameter": "4 mm",
            "thread-in-wood": "20 mm",
            "specific-gravity": "0.4",
            "grain": "end",
        },
    ),
    "seal-coat": (
        {"edge-area": "0.15 m²", "edge-coverage": "220 g/m²", "ratio": "100 : 30", "ratio-by": "weight"},
        {
            "edge-area": "0.15 m²",
            "face-area": "0.8 m²",
            "end-grain-area": "0.04 m²",
            "edge-coverage": "220 g/m²",
            "face-coverage": "150 g/m²",
            "end-grain-coverage": "400 g/m²",
            "ratio": "3 : 1",
            "ratio-by": "volume",
            "density-a": "1.12 kg/L",
            "density-b": "0.97 kg/L",
            "pot-mass": "100 g",
            "tint-percent": "2 %",
            "scale-resolution": "1 g",
        },
    ),
    "slab-volume": (
        {"length": "5 ft", "width": "9 in", "thickness": "1 7/8 in"},
        {
            "stations": "[[0, 92, 108], [250, 98, 110], [500, 107, 112]]",
            "thickness": "52 mm",
            "species": "ash, white",
            "moisture": "9 %",
        },
        {
            "stations": "[[0, 92, 108, 101, 116], [250, 98, 110, 108, 117], [500, 107, 112, 118, 121]]",
            "thickness": "52 mm",
            "holes": "[[[100, 10], [130, 10], [130, 40], [100, 40]]]",
        },
        {
            "outline": "[[0, 0], [1400, 0], [1380, 210], [20, 190]]",
            "thickness": "52 mm",
            "lower-outline": "[[0, 0], [1400, 0], [1390, 230], [10, 205]]",
        },
    ),
    "slab-yield": (
        {"slab-area": "0.3 m²", "piece-areas": '["0.26 m²"]', "offcut-areas": '["0.03 m²"]'},
        {
            "slab-area": "3 ft²",
            "piece-areas": '["1.2 ft²", "0.8 ft²"]',
            "offcut-areas": '["0.6 ft²"]',
            "piece-names": '["p1", "p2"]',
            "piece-sizes": "[[600, 190], [420, 180]]",
            "outlines": "[[[0, 0], [400, 0], [380, 150], [0, 140]]]",
            "holes": "[[[100, 50], [120, 50], [110, 70]]]",
            "thickness": "1 7/8 in",
            "price": "74.00 EUR",
            "wanted-length": "200 mm",
            "wanted-width": "80 mm",
        },
        {
            "slab-area": "0.1 m²",
            "piece-areas": '["0.08 m²"]',
            "offcut-areas": '["0.03 m²"]',
            "outlines": "[[[0, 0], [300, 0], [300, 100], [0, 100]]]",
            "wanted": '[["arm", 320, 90], ["foot", 90, 60]]',
        },
        {
            "slab-area": "0.1 m²",
            "wanted-length": "400 mm",
            "wanted-width": "80 mm",
        },
    ),
    "sled-passes": (
        {
            "length": "1440 mm",
            "width": "440 mm",
            "cutter": "63 mm",
            "removal": "3.5 mm",
            "per-pass": "1 mm",
            "feed-rate": "3.5 m/min",
        },
        {
            "length": "60 in",
            "width": "9 in",
            "cutter": "2 1/2 in",
            "overlap": "30 %",
            "removal": "1/8 in",
            "per-pass": "1/32 in",
            "feed-rate": "11 ft/min",
            "speed": "14000",
            "flutes": "3",
            "stamped-speed": "18000",
        },
        {
            "length": "500 mm",
            "width": "50 mm",
            "cutter": "63 mm",
            "removal": "1 mm",
            "per-pass": "1 mm",
            "feed-rate": "3 m/min",
            "speed": "12000",
        },
    ),
    "void-fill": (
        {"voids": "[[45, 38, 9, 1], [60, 1.5, 4, 3], [2, 2, 2, 12]]"},
        {"voids": "[[45, 38, 60, 1]]", "rated-depth": "25 mm", "least-depth": "5 mm"},
    ),
    "way-in": (
        {
            "length": "1400 mm",
            "width": "400 mm",
            "thickness": "45 mm",
            "door-width": "86 cm",
            "door-height": "198 cm",
            "corner-before": "105 cm",
            "corner-after": "95 cm",
            "stair-width": "90 cm",
            "stair-headroom": "2 m",
        },
        {
            "length": "8 ft 6 in",
            "width": "37 in",
            "thickness": "1 3/4 in",
            "way": '[["door", "32 in", "78 in", 0, 0], ["corner", "3 ft", "8 ft", "34 in", 0]]',
            "stair-width": "36 in",
            "stair-headroom": "80 in",
            "stair-after": "34 in",
            "stair-pitch": "35°",
            "hands": "1 in",
        },
        {
            "length": "1700 mm",
            "width": "60 mm",
            "thickness": "45 mm",
            "stair-width": "90 cm",
            "stair-headroom": "1.6 m",
            "landing": "95 cm",
        },
        {
            "length": "900 mm",
            "width": "900 mm",
            "thickness": "900 mm",
            "corner-before": "95 cm",
            "corner-after": "95 cm",
            "hands": "0 mm",
        },
        {
            "length": "1.1 m",
            "width": "500 mm",
            "thickness": "500 mm",
            "stair-width": "55 cm",
            "stair-headroom": "2 m",
            "landing": "1.2 m",
            "hands": "0 mm",
        },
        {
            "length": "2.6 m",
            "width": "2.1 m",
            "thickness": "45 mm",
            "door-width": "86 cm",
            "door-height": "198 cm",
            "corner-before": "105 cm",
            "corner-after": "95 cm",
            "corner-height": "2.2 m",
        },
    ),
    "wood-density": (
        {
            "species": "ash, white",
            "moisture": "11 %",
            "moisture-limit": "10 %",
            "moisture-before": "12.5 %",
            "between": "14 d",
        },
        {"species": "ash, white", "moisture": "9 %"},
        {"species": "walnut, black", "moisture": "45 %"},
    ),
    "wood-movement": (
        {
            "species": "ash, white",
            "width": "210 mm",
            "cutting-direction": "tangential",
            "moisture-from": "9 %",
            "moisture-to": "7 %",
        },
        {
            "species": "walnut, black",
            "width": "8 in",
            "cutting-direction": "radial",
            "moisture-from": "18 %",
            "moisture-to": "8 %",
        },
        {
            "species": "ash, white",
            "width": "210 mm",
            "cutting-direction": "between",
            "moisture-from": "9 %",
            "moisture-to": "11 %",
        },
        {
            "species": "ash, white",
            "width": "210 mm",
            "cutting-direction": "cross-cut",
            "moisture-from": "40 %",
            "moisture-to": "11 %",
        },
    ),
}
"""Inputs as a maker would type them, at least one way for each branch that a working has."""


def results() -> Iterator[tuple[str, Result]]:
    """The results of both examples, and of every calculator by hand."""
    for name in EXAMPLES:
        met: set[str] = set()
        for stage in first_plan(name).stages:
            for answer in stage.answers:
                origin, slow = f"{name} {answer.calculator.id}@{answer.subject}", answer.calculator.id
                if answer.result is not None:
                    yield origin, answer.result
                # Of what takes long, the first of each is worked out to the end.
                if answer.pending and answer.inputs is not None and slow not in met:
                    met.add(slow)
                    yield f"{origin} to the end", answer.calculator.compute(answer.inputs)
    for calculator, ways in BY_HAND.items():
        for number, texts in enumerate(ways, 1):
            yield f"{calculator} by hand {number}", calculate(catalogue()[calculator], texts).result


every_figure = pytest.mark.parametrize(
    "figure",
    [
        pytest.param(figure, id=f"{origin} {figure.id}")
        for origin, result in results()
        for figure in result.figures
    ],
)


def test_every_calculator_is_worked_by_hand_too() -> None:
    assert BY_HAND.keys() == catalogue().keys(), "give a new calculator inputs in BY_HAND"


@pytest.mark.parametrize("calculator", BY_HAND)
def test_a_calculator_by_hand_gives_figures(calculator: str) -> None:
    for texts in BY_HAND[calculator]:
        assert calculate(catalogue()[calculator], texts).result.figures


@every_figure
def test_the_formula_gives_the_figure(figure: Figure) -> None:
    working = figure.working
    if working.simulation:
        assert working.formula, "a simulation says in words what it does"
        return
    numbers = {name: number_json(number) for name, number in working.numbers.items()}
    value = evaluate(working.formula, numbers)
    assert value == pytest.approx(figure.value, rel=1e-6, abs=1e-12), working.formula


@every_figure
def test_the_numbers_put_in_are_those_the_formula_reads(figure: Figure) -> None:
    # A step such as `DM = 1` says that a number lies where the rule has a constant instead.
    if figure.working.simulation or re.search(r"= [01]\s*;", figure.working.formula):
        return
    unread = figure.working.numbers.keys() - names_in(figure.working.formula)
    assert not unread, f"{figure.working.formula!r} does not read {', '.join(unread)}"


@every_figure
def test_the_working_names_its_source(figure: Figure) -> None:
    assert figure.working.source.strip()


@every_figure
def test_a_band_holds_its_figure(figure: Figure) -> None:
    low = figure.value if figure.low is None else figure.low
    high = figure.value if figure.high is None else figure.high
    assert low <= figure.value <= high
    assert not math.isnan(figure.value)


@every_figure
def test_a_figure_is_shown_in_both_systems(figure: Figure) -> None:
    for units in (Units("metric"), Units("us")):
        assert figure.text(units).strip()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_unit_is_one_that_is_known_or_a_currency(kind: Kind) -> None:
    unit = unit_name(kind, Units(currency="SEK"))
    if kind is MONEY:
        assert unit == "SEK"
    else:
        assert unit in ("dimensionless", kind.unit)
        registry().Unit(unit)


@pytest.mark.parametrize(
    "wrong",
    [
        "value = open",
        "value = __import__('os')",
        "value = m.real",
        "value = [m for m in m]",
        "value = m if m else 1",
        "value = unknown",
        "m",
        "value = 'm'",
        "value = True",
        "value = max(m, key=m)",
        "value: float = m",
        "m[0] = 1",
        "value = sum(m)",
        "value = m; lambda: 0",
        "value = list",
    ],
)
def test_what_is_not_arithmetic_is_no_working(wrong: str) -> None:
    with pytest.raises(NotAFormula):
        evaluate(wrong, {"m": 1.0, "list": [1.0, 2.0]})


def test_a_list_is_worked_on_item_by_item() -> None:
    assert evaluate("total = sum(2*a*b) - max(a)", {"a": [1.0, 2.0], "b": [3.0, 4.0]}) == 20.0


def test_an_amount_is_put_in_as_its_si_value() -> None:
    assert number_json(Amount(0.057, LENGTH)) == 0.057
