"""The way in as a maker asks for it and as a project fills it."""

from collections.abc import Mapping

import pytest

from tests.calculators.asked import figure, findings_lead_out, level, workings_hold
from tests.examples import example
from workshop.calculator import Calculation, InputError, calculate
from workshop.calculators import way_in
from workshop.figures import Level
from workshop.plan import Answer, plan
from workshop.project.project import Project

SEAT = {"length": "1400 mm", "width": "400 mm", "thickness": "45 mm"}
DOOR = {"door-width": "86 cm", "door-height": "198 cm"}
CORNER = {"corner-before": "105 cm", "corner-after": "95 cm"}
STAIR = {"stair-width": "90 cm", "stair-headroom": "2 m"}
TOP = {"length": "2.6 m", "width": "95 cm", "thickness": "45 mm"}

WAYS: tuple[Mapping[str, str], ...] = (
    {**SEAT, **DOOR, **CORNER, **STAIR},
    {**SEAT, **STAIR, "stair-after": "80 cm"},
    {**SEAT, **STAIR, "landing": "95 cm", "stair-after": "85 cm"},
    {**TOP, **CORNER},
    {**TOP, **CORNER, "corner-height": "2.4 m"},
    {**TOP, **STAIR, "landing": "1.1 m"},
    {**TOP, **STAIR, "stair-pitch": "60°"},
    {**TOP, "width": "2.1 m", **DOOR},
    {**TOP, "width": "2.3 m", **DOOR},
    {**TOP, "length": "8 ft 10 in", **CORNER, "hands": "0 mm"},
    {"length": "900 mm", "width": "600 mm", "thickness": "600 mm", **CORNER},
    {"length": "4 m", "width": "1.2 m", "thickness": "1.1 m", **DOOR, **CORNER, **STAIR},
)


def ask(*given: Mapping[str, str], **more: str) -> Calculation:
    texts = {key.replace("_", "-"): text for key, text in more.items()}
    return calculate(way_in.CALCULATOR, {key: text for held in (*given, texts) for key, text in held.items()})


def value(made: Calculation, id: str) -> float:
    return figure(made, id).value


@pytest.mark.parametrize("texts", WAYS)
def test_every_figure_is_worked_and_every_finding_leads_out(texts: Mapping[str, str]) -> None:
    made = ask(texts)
    workings_hold(made)
    findings_lead_out(made)


@pytest.mark.parametrize("texts", WAYS)
def test_the_least_of_all_is_what_counts(texts: Mapping[str, str]) -> None:
    made = ask(texts)
    each = [held for held in made.result.figures if held.id.startswith("margin-")]
    assert value(made, "margin") == min(held.value for held in each)
    assert bool(made.result.findings) == (value(made, "margin") < 0)


def test_a_bench_seat_goes_in_on_edge() -> None:
    made = ask(SEAT, DOOR, CORNER)
    # 860 - 45 - 2 * 30 beside it and 1980 - 400 above it.
    assert value(made, "margin-1") == pytest.approx(0.755)
    assert value(made, "over-1") == pytest.approx(1.58)
    assert [row[:2] for row in made.result.tables["way-in"].text_rows()] == [
        ["through the door", "on edge"],
        ["round the corner", "on edge"],
    ]
    assert not made.result.findings


def test_hands_take_30_mm_at_each_side_unless_it_is_said_otherwise() -> None:
    assert value(ask(SEAT, DOOR, hands="0 mm"), "margin-1") == pytest.approx(0.86 - 0.045)
    assert any("30 mm for hands" in said for said in figure(ask(SEAT, DOOR), "margin-1").working.assumed)
    assert not figure(ask(SEAT, DOOR, hands="40 mm"), "margin-1").working.assumed


def test_where_only_hands_are_in_the_way_it_is_a_warning_with_the_length_to_keep() -> None:
    # Thin as it is, 2 sqrt(2) * 1 m less twice 45 mm and 2 * 30 mm, less 2 * 30 mm at its ends: 2558.4 mm.
    corner = {"corner-before": "1 m", "corner-after": "1 m"}
    made = ask(TOP, corner)
    assert level(made, "no-room-for-hands-1") is Level.WARN
    assert "keep its length to 2558 mm" in made.result.findings[0].remedy.say()
    assert value(made, "longest-1") == pytest.approx(2 * 2**0.5 - 2 * 0.105 - 0.06, abs=1e-6)
    assert not ask(TOP, corner, length="2558 mm").result.findings


def test_what_goes_neither_with_hands_nor_without_is_a_stop() -> None:
    made = ask(TOP, CORNER, length="3 m")
    assert level(made, "does-not-go-1") is Level.STOP
    assert made.result.findings[0].field == "length"
    assert "does not go round the corner" in made.result.findings[0].text.say()


def test_a_top_too_wide_for_the_door_is_kept_narrower() -> None:
    made = ask(TOP, DOOR, width="2.3 m")
    assert level(made, "does-not-go-1") is Level.STOP
    assert made.result.findings[0].field == "width"
    said = made.result.findings[0].remedy.say()
    assert said.startswith("Take the door off its hinges")
    kept = said.split("keep its width to ")[1].split(" mm")[0]
    assert ask(TOP, DOOR, width=f"{kept} mm").result.findings == ()


def test_a_door_too_low_is_not_helped_by_its_hinges_alone() -> None:
    made = ask(SEAT, stair_width="90 cm", stair_headroom="50 cm", width="800 mm", thickness="400 mm")
    assert "higher" in made.result.findings[0].remedy.say()


def test_a_side_is_named_as_it_was_given() -> None:
    turned = {"length": "45 mm", "width": "3 m", "thickness": "950 mm"}
    made = ask(turned, CORNER)
    assert made.result.findings[0].field == "width"
    assert "keep its width to" in made.result.findings[0].remedy.say()


def test_rows_are_taken_in_their_order_and_named_apart() -> None:
    rows = '[["door", 860, 1980, 0, 0], ["stair", 900, 2000, 850, 0], ["door", 700, 1950, 0, 0]]'
    made = ask(SEAT, way=rows)
    assert [row[0] for row in made.result.tables["way-in"].text_rows()] == [
        "through door 1",
        "up the stair",
        "round the landing of the stair",
        "through door 2",
    ]
    # 700 - 45 - 2 * 30.
    assert value(made, "margin-3") == pytest.approx(0.595)
    assert value(made, "margin-2") == min(value(made, "flight-2"), value(made, "landing-2"))


@pytest.mark.parametrize(
    ("texts", "key"),
    [
        ({}, "way"),
        ({"way": "[]"}, "way"),
        ({"way": '[["door", 860, 0, 0, 0]]'}, "way"),
        ({"way": '[["corner", 860, 1980, 0, 0]]'}, "way"),
        ({"way": '[["door", -860, 1980, 0, 0]]'}, "way"),
        ({"way": '[["window", 860, 1980, 0, 0]]'}, "way"),
        ({"door-width": "86 cm"}, "door-height"),
        ({"corner-after": "95 cm", "door-width": "86 cm", "door-height": "2 m"}, "corner-before"),
        ({"stair-width": "90 cm"}, "stair-headroom"),
    ],
)
def test_what_is_not_measured_is_asked_for(texts: Mapping[str, str], key: str) -> None:
    with pytest.raises(InputError) as refused:
        ask(SEAT, texts)
    assert refused.value.key == key


# From a project


def answers(project: Project) -> dict[str, Answer]:
    return {
        answer.subject: answer
        for stage in plan(project).stages
        for answer in stage.answers
        if answer.calculator.id == "way-in"
    }


def test_every_casting_is_carried_in_by_itself() -> None:
    held = answers(example("tarn-bench"))
    assert held.keys() == {"seat", "rail"}
    for answer, thickness in ((held["seat"], 0.045), (held["rail"], 0.03)):
        assert answer.result is not None
        door = answer.result.figure("margin-1")
        assert door is not None
        # The door of 860 mm, less hands.
        assert door.value == pytest.approx(0.86 - thickness - 0.06)


def test_a_casting_that_does_not_go_in_is_found_and_points_at_its_length() -> None:
    held = answers(example("tarn-bench").with_value(("casting", "seat", "length"), "3 m"))["seat"]
    assert held.result is not None
    (found,) = held.result.findings
    assert (found.rule, found.level, found.field) == ("does-not-go-2", Level.STOP, "length")


@pytest.mark.parametrize(
    ("key", "needs"),
    [("height", "the height of the door on the way in"), ("width", "the width of the door on the way in")],
)
def test_a_door_half_measured_is_asked_for(key: str, needs: str) -> None:
    held = answers(example("tarn-bench").without(("destination", "way-in", 0, key)))["seat"]
    assert held.result is None
    assert [missing.what for missing in held.needs] == [needs]


def test_where_nothing_on_the_way_in_is_measured_it_is_asked_for() -> None:
    held = answers(example("tarn-bench").without(("destination", "way-in")))["seat"]
    assert held.result is None
    (missing,) = held.needs
    assert missing.what == "the doors, corners and stairs on the way in"
    assert missing.paths == (("destination", "way-in"),)


def test_a_stair_in_the_file_turns_back_on_its_landing() -> None:
    rows = [{"kind": "stair", "width": "90 cm", "height": "2 m", "length": "95 cm"}]
    held = answers(example("tarn-bench").with_value(("destination", "way-in"), rows))["seat"]
    assert held.result is not None
    assert held.result.figure("landing-1") is not None
