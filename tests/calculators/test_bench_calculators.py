"""Flattening, fill, abrasives, finish and carrying, as a maker calls them and as a project fills them."""

import tomllib
from collections.abc import Mapping
from decimal import Decimal

import pytest

from tests.calculators.asked import figure, findings_lead_out, level, workings_hold
from workshop.calculator import Calculator, InputError, calculate
from workshop.calculators import carry, finish_coat, grit_steps, sled_passes, void_fill
from workshop.figures import Level
from workshop.plan import Answer, plan
from workshop.project.project import from_document
from workshop.quantity import Units

POUND = 0.45359237

FACE = {
    "length": "1.4 m",
    "width": "400 mm",
    "cutter": "50 mm",
    "overlap": "50 %",
    "removal": "3 mm",
    "per-pass": "1 mm",
    "feed-rate": "3 m/min",
}
GRITS = {"start": "P80", "end": "P220", "surface": "wood"}
OIL = {"area": "1.2 m²", "coverage": "24 m²/L"}
PARCEL = {
    "mass": "26 lb",
    "horizontal": "10 in",
    "vertical": "22 in",
    "travel": "37 in",
    "frequency": "3",
    "duration": "1 h",
    "grip": "fair",
}

EXAMPLES: tuple[tuple[Calculator, Mapping[str, str]], ...] = (
    (sled_passes.CALCULATOR, FACE),
    (sled_passes.CALCULATOR, {**FACE, "width": "40 mm", "speed": "24000", "flutes": "2"}),
    (sled_passes.CALCULATOR, {**FACE, "speed": "16000 rpm", "flutes": "3", "stamped-speed": "12000 rpm"}),
    (void_fill.CALCULATOR, {"voids": "[[30, 1, 1.5, 4], [200, 50, 75, 1]]", "rated-depth": "50 mm"}),
    (void_fill.CALCULATOR, {"voids": "[[30, 20, 8, 2]]", "least-depth": "5 mm"}),
    (grit_steps.CALCULATOR, {**GRITS, "area": "1.2 m²", "disc": "125 mm"}),
    (grit_steps.CALCULATOR, {**GRITS, "start": "80", "end": "600", "grading": "CAMI", "surface": "resin"}),
    (grit_steps.CALCULATOR, {**GRITS, "end": "P400", "max-step": "1.1", "area": "6 ft²"}),
    (finish_coat.CALCULATOR, OIL),
    (
        finish_coat.CALCULATOR,
        {**OIL, "ratio": "3 : 1", "ratio-by": "volume", "open-time": "5 min", "coats": "2"},
    ),
    (
        finish_coat.CALCULATOR,
        {
            **OIL,
            "area": "20 m²",
            "ratio": "10:1",
            "ratio-by": "weight",
            "density-a": "0.95 kg/L",
            "density-b": "1.1 kg/L",
        },
    ),
    (carry.CALCULATOR, PARCEL),
    (carry.CALCULATOR, {**PARCEL, "control": "yes", "horizontal-end": "20 in", "vertical-end": "59 in"}),
    (carry.CALCULATOR, {"mass": "60 kg", "people": "2", "twist": "30°", "horizontal": "14 in"}),
    (carry.CALCULATOR, {"mass": "90 kg", "people": "4"}),
    (carry.CALCULATOR, {"mass": "20 kg", "horizontal": "70 cm"}),
)


@pytest.mark.parametrize(("calculator", "texts"), EXAMPLES)
def test_every_working_gives_its_figure_and_names_a_source(
    calculator: Calculator, texts: Mapping[str, str]
) -> None:
    workings_hold(calculate(calculator, texts))


@pytest.mark.parametrize(("calculator", "texts"), EXAMPLES)
def test_every_finding_has_a_way_out_with_a_number_in_it(
    calculator: Calculator, texts: Mapping[str, str]
) -> None:
    findings_lead_out(calculate(calculator, texts))


def test_lanes_passes_and_time_of_a_seat() -> None:
    # 350 mm left after the first lane of 50, moved over by 25: 15 lanes; three passes; 63 m at 3 m/min.
    made = calculate(sled_passes.CALCULATOR, FACE)
    assert figure(made, "lanes").value == 15
    assert figure(made, "passes").value == 3
    assert figure(made, "path").value == pytest.approx(63)
    assert figure(made, "time").value == pytest.approx(21 * 60 * 1.4)
    assert figure(made, "chip-volume").value == pytest.approx(0.00168)


def test_rim_speed_of_a_three_inch_cutter() -> None:
    # arithmetic of v = pi*D*n: 76.2 mm at 10000 rpm is 39.9 m/s, tolerance 0.1
    made = calculate(sled_passes.CALCULATOR, {**FACE, "cutter": "3 in", "speed": "10000 rpm"})
    assert figure(made, "rim-speed").value == pytest.approx(39.9, abs=0.1)


def test_the_speed_stamped_on_the_cutter_rules() -> None:
    fast = {**FACE, "speed": "14000 rpm"}
    assert (
        level(
            calculate(sled_passes.CALCULATOR, {**fast, "stamped-speed": "12000 rpm"}),
            "cutter-over-stamped-speed",
        )
        is Level.STOP
    )
    assert calculate(sled_passes.CALCULATOR, {**fast, "stamped-speed": "14000 rpm"}).result.findings == ()


def test_without_a_stamped_speed_the_habit_of_the_trade_warns() -> None:
    # a 3 in cutter runs at 12000 rpm or less; the stamped speed would rule
    large = {**FACE, "cutter": "3 in"}
    assert (
        level(calculate(sled_passes.CALCULATOR, {**large, "speed": "18000"}), "cutter-over-habit")
        is Level.WARN
    )
    assert calculate(sled_passes.CALCULATOR, {**large, "speed": "12000"}).result.findings == ()


def test_a_tooth_that_takes_under_a_tenth_of_a_millimetre_melts_resin() -> None:
    # 3 m/min at 15000 rpm and 2 flutes is 0.1 mm; a little faster turning is under it
    at = {**FACE, "flutes": "2", "stamped-speed": "24000 rpm"}
    assert figure(
        calculate(sled_passes.CALCULATOR, {**at, "speed": "15000"}), "chip-load"
    ).value == pytest.approx(1e-4)
    assert level(calculate(sled_passes.CALCULATOR, {**at, "speed": "15000"}), "chip-too-thin") is None
    thin = calculate(sled_passes.CALCULATOR, {**at, "speed": "20000"})
    assert level(thin, "chip-too-thin") is Level.WARN
    assert "4 m/min" in thin.result.findings[0].remedy.say()
    assert "15000 rpm" in thin.result.findings[0].remedy.say()


def test_voids_by_depth() -> None:
    made = calculate(
        void_fill.CALCULATOR, {"voids": "[[30, 1, 1.5, 4], [200, 50, 75, 1]]", "rated-depth": "50 mm"}
    )
    assert figure(made, "volume").value == pytest.approx(4 * 45e-9 + 750e-6)
    assert figure(made, "layers-1").value == 1
    assert figure(made, "layers-2").value == 2
    assert [row[3] for row in made.result.tables["voids"].rows] == ["thin glue", "resin"]


def test_a_layer_under_the_resins_least_depth_may_stay_soft() -> None:
    made = calculate(void_fill.CALCULATOR, {"voids": "[[30, 20, 3, 2]]", "least-depth": "5 mm"})
    assert level(made, "void-layer-too-thin") is Level.WARN
    assert "2 mm deeper" in made.result.findings[0].remedy.say()


def test_a_void_in_several_thin_layers_is_cut_deeper_for_all_of_them() -> None:
    # 12 mm in three layers of 4 mm, at most 5 mm and at least 6: three times 2 mm are missing.
    made = calculate(
        void_fill.CALCULATOR,
        {"voids": "[[30, 20, 12, 1]]", "rated-depth": "5 mm", "least-depth": "6 mm"},
    )
    assert "6 mm deeper" in made.result.findings[0].remedy.say()


def test_a_pinhole_holds_something() -> None:
    made = calculate(void_fill.CALCULATOR, {"voids": "[[2, 2, 2, 12]]"})
    assert figure(made, "volume-1").text() == "0.1 mL"


def test_a_list_of_no_voids_is_refused() -> None:
    with pytest.raises(ValueError, match="no void"):
        calculate(void_fill.CALCULATOR, {"voids": "[]"})


def test_grits_with_grain_size_and_ratio() -> None:
    # ISO 6344: P80 201, P120 125, P180 82, P220 68 micrometres
    made = calculate(grit_steps.CALCULATOR, GRITS)
    assert [row[0] for row in made.result.tables["grits"].rows] == ["P80", "P120", "P180", "P220"]
    assert figure(made, "grain-2").value == pytest.approx(125e-6)
    assert figure(made, "ratio-2").value == pytest.approx(201 / 125)
    assert made.result.figure("time") is None
    assert "ISO 6344" in made.result.tables["grits"].title


def test_time_and_discs_where_the_area_is_known() -> None:
    # common practice, no source: 12 min a square metre and grit, twice that for the first, 20 min a disc
    made = calculate(grit_steps.CALCULATOR, {**GRITS, "area": "1 m²"})
    assert figure(made, "time").value == pytest.approx((24 + 3 * 12) * 60)
    assert figure(made, "discs").value == 2 + 3


@pytest.mark.parametrize(
    ("start", "grading", "name"),
    [
        ("120", "iso", "P120"),
        ("p 120", "cami", "P120"),
        ("120", "P (ISO 6344)", "P120"),
        ("120", "CAMI", "120"),
    ],
)
def test_the_grading_system_is_named(start: str, grading: str, name: str) -> None:
    texts = {"start": start, "end": start, "surface": "resin", "grading": grading}
    assert calculate(grit_steps.CALCULATOR, texts).result.tables["grits"].rows[0][0] == name


def test_grits_that_no_disc_has_are_refused() -> None:
    with pytest.raises(InputError, match="P120"):
        calculate(grit_steps.CALCULATOR, {**GRITS, "start": "P70"})
    with pytest.raises(InputError, match="iso"):
        calculate(grit_steps.CALCULATOR, {**GRITS, "grading": "mesh"})
    with pytest.raises(ValueError, match="coarser"):
        calculate(grit_steps.CALCULATOR, {**GRITS, "end": "P60"})


def test_a_step_that_no_grade_keeps_is_told() -> None:
    made = calculate(grit_steps.CALCULATOR, {**GRITS, "max-step": "1.1"})
    assert level(made, "grit-step-too-wide") is Level.WARN
    assert (
        level(calculate(grit_steps.CALCULATOR, {**GRITS, "max-step": "1.65"}), "grit-step-too-wide") is None
    )


def test_wood_stops_near_p220_before_an_oil_and_resin_goes_on() -> None:
    assert (
        level(calculate(grit_steps.CALCULATOR, {**GRITS, "end": "P400"}), "wood-sanded-too-fine")
        is Level.NOTE
    )
    assert (
        calculate(grit_steps.CALCULATOR, {**GRITS, "end": "P400", "surface": "resin"}).result.findings == ()
    )
    assert calculate(grit_steps.CALCULATOR, GRITS).result.findings == ()


def test_finish_for_two_coats_at_three_to_one() -> None:
    # 1.2 m2, twice, at 24 m2/L: 100 mL, a quarter of it part B
    made = calculate(finish_coat.CALCULATOR, {**OIL, "coats": "2", "ratio": "3:1", "ratio-by": "volume"})
    assert figure(made, "amount").value == pytest.approx(100e-6)
    assert figure(made, "part-a").value == pytest.approx(75e-6)
    assert figure(made, "part-b").value == pytest.approx(25e-6)


def test_a_ratio_by_weight_is_turned_by_the_densities() -> None:
    # equal masses of parts at 1.0 and 2.0 kg/L: two volumes of A to one of B
    texts = {**OIL, "ratio": "1:1", "ratio-by": "weight", "density-a": "1 kg/L", "density-b": "2 kg/L"}
    made = calculate(finish_coat.CALCULATOR, texts)
    assert figure(made, "part-a").value == pytest.approx(2 * figure(made, "part-b").value)


def test_a_finish_is_measured_by_volume_where_nothing_else_is_said() -> None:
    by_volume = calculate(finish_coat.CALCULATOR, {**OIL, "ratio": "3:1", "ratio-by": "volume"})
    made = calculate(finish_coat.CALCULATOR, {**OIL, "ratio": "3:1"})
    assert figure(made, "part-a").value == figure(by_volume, "part-a").value
    assert "volume" in " ".join(figure(made, "part-a").working.assumed)


def test_zones_follow_the_open_time_and_the_reach() -> None:
    # common practice, no source: 0.1 m2 a minute; 5 min are half a square metre
    assert figure(calculate(finish_coat.CALCULATOR, {**OIL, "open-time": "5 min"}), "zones").value == 3
    # an arm of half a metre reaches half a square metre however long the finish stays open
    slow = {**OIL, "open-time": "3 h", "reach": "0.5 m"}
    assert figure(calculate(finish_coat.CALCULATOR, slow), "zones").value == 3


def test_a_parcel_of_the_niosh_manual() -> None:
    # NIOSH 94-110, example 4: 34.9 lb at the origin, 15.2 lb at the destination, within 0.1 lb; H from memory
    origin = calculate(carry.CALCULATOR, PARCEL)
    assert figure(origin, "limit").value / POUND == pytest.approx(34.9, abs=0.1)
    assert figure(origin, "index").value < 1
    assert origin.result.findings == ()
    control = calculate(
        carry.CALCULATOR, {**PARCEL, "control": "yes", "horizontal-end": "20 in", "vertical-end": "59 in"}
    )
    assert figure(control, "limit").value / POUND == pytest.approx(15.2, abs=0.1)
    assert level(control, "too-heavy") is Level.WARN


def test_the_printed_metric_form_stands_beside_the_inch_form() -> None:
    made = calculate(carry.CALCULATOR, {"mass": "10 kg"})
    assert figure(made, "limit").value == pytest.approx(51 * POUND)
    assert figure(made, "limit-metric").value < figure(made, "limit").value
    assert figure(made, "limit-metric").value == pytest.approx(51 * POUND, rel=0.05)


def test_a_team_lifts_less_than_its_members_one_by_one() -> None:
    # common practice, no source: 51 lb each, 68 lb for two, 76.5 lb for three, 102 lb for four
    for mass, people in (("50 lb", 1), ("67 lb", 2), ("76 lb", 3), ("101 lb", 4)):
        assert figure(calculate(carry.CALCULATOR, {"mass": mass}), "people-needed").value == people
    two = calculate(carry.CALCULATOR, {"mass": "68 lb", "people": "2"})
    assert figure(two, "index").value == pytest.approx(1)
    assert two.result.findings == ()


@pytest.mark.parametrize(("mass", "found"), [("51 lb", None), ("60 lb", Level.WARN), ("160 lb", Level.STOP)])
def test_a_lifting_index_over_one_warns_and_over_three_stops(mass: str, found: Level | None) -> None:
    assert level(calculate(carry.CALCULATOR, {"mass": mass}), "too-heavy") is found


@pytest.mark.parametrize(
    "far",
    [{"horizontal": "26 in"}, {"vertical": "71 in"}, {"twist": "140°"}, {"frequency": "16"}],
)
def test_where_the_equation_allows_no_lift_no_number_of_people_helps(far: dict[str, str]) -> None:
    made = calculate(carry.CALCULATOR, {"mass": "5 kg", **far})
    assert figure(made, "limit").value == 0
    assert level(made, "no-lift-allowed") is Level.STOP
    assert made.result.figure("people-needed") is None


def test_the_multiplier_that_allows_no_lift_is_named() -> None:
    made = calculate(carry.CALCULATOR, {"mass": "5 kg", "frequency": "16", "horizontal": "26 in"})
    found = made.result.findings[0]
    assert "HM and FM are 0" in found.text.say()
    assert found.field == "horizontal"
    assert "seldom" in found.remedy.say()
    assert "70 in" not in found.remedy.say(Units("us"))


def test_a_piece_for_more_than_four_people_wants_a_trolley_or_a_hoist() -> None:
    # common practice, no source: four lift 102 lb together, five 127 lb.
    four = calculate(carry.CALCULATOR, {"mass": "101 lb"}).result.findings[0].remedy.say()
    five = calculate(carry.CALCULATOR, {"mass": "120 lb"}).result.findings[0].remedy.say()
    assert "with 4 people" in four
    assert five.startswith("Too heavy to lift by hand: use a trolley or a hoist")


def test_hands_that_nobody_measured_are_taken_at_their_best() -> None:
    def said(**given: str) -> list[str]:
        made = calculate(carry.CALCULATOR, {"mass": "10 kg", **given})
        return [note for note in figure(made, "limit").working.assumed if "best case" in note]

    assert said() == ["hands close and hands at knuckle height, the best case, since not given"]
    assert said(horizontal="35 cm", vertical="78 cm") == []


def test_what_of_the_frequency_table_is_from_memory_is_said() -> None:
    often = calculate(carry.CALCULATOR, {"mass": "5 kg", "frequency": "12"})
    assert any("from memory" in note for note in figure(often, "limit").working.assumed)
    seldom = calculate(carry.CALCULATOR, {"mass": "5 kg", "frequency": "1", "vertical": "70 cm"})
    assert not any("from memory" in note for note in figure(seldom, "limit").working.assumed)


def test_nobody_is_told_to_feed_faster_than_a_hand_can() -> None:
    # 0.1 mm a tooth at 14000 rpm and 3 edges is 4.2 m/min, at 24000 rpm 7.2; 3.5 m/min is 11666 rpm.
    at = {**FACE, "flutes": "3", "feed-rate": "3.5 m/min"}
    calm = calculate(sled_passes.CALCULATOR, {**at, "speed": "14000"})
    fast = calculate(sled_passes.CALCULATOR, {**at, "speed": "24000"})
    said = {
        name: next(held for held in made.result.findings if held.rule == "chip-too-thin").remedy.say()
        for name, made in (("calm", calm), ("fast", fast))
    }
    assert said["calm"] == "Feed at 4.2 m/min or faster, or turn the router down to 11600 rpm."
    assert "Feed" not in said["fast"]
    assert "fewer edges" in said["fast"]


def test_no_router_is_turned_down_below_what_it_turns() -> None:
    # 1 m/min is 3333 rpm for 3 edges of 0.1 mm.
    made = calculate(
        sled_passes.CALCULATOR, {**FACE, "flutes": "3", "feed-rate": "1 m/min", "speed": "14000"}
    )
    said = next(held for held in made.result.findings if held.rule == "chip-too-thin").remedy.say()
    assert said.endswith("or turn the router down.")


def test_the_equation_ends_at_eight_hours() -> None:
    with pytest.raises(InputError, match="8 h"):
        calculate(carry.CALCULATOR, {"mass": "5 kg", "duration": "9 h"})


TOP = """
format = 2

[tool.router]
cutter = "50 mm"
flutes = 2
speed = "12000 rpm"
stamped-speed = "18000 rpm"
feed-rate = "3 m/min"
per-pass = "1 mm"

[resin.slow]
ratio-by-weight = "2 : 1"
density-a = "1.1 kg/L"
density-b = "1.1 kg/L"
rated-depth = "20 mm"

[casting.top]
length = "1 m"
width = "500 mm"
thickness = "40 mm"
resin = "slow"
cuts = [
    { id = "low", kind = "face pass", face = "lower", remove = "2 mm" },
    { id = "low-again", kind = "face pass", face = "lower", remove = "1 mm" },
    { id = "trim", kind = "trim line", x = "20 mm" },
]
voids = [
    { id = "pit", length = "40 mm", width = "20 mm", depth = "30 mm" },
    { id = "holes", length = "2 mm", width = "2 mm", depth = "1 mm", count = 8 },
]

[casting.top.form]
trim = "20 mm"

[flattening]
overlap = "50 %"

[abrasive-schedule]
grading = "P (ISO 6344)"
start = "P80"
wood-end = "P180"

[finish]
coverage = "24 m²/L"
ratio-by-volume = "3 : 1"
open-time = "10 min"
coats = [
    { id = "oil-1" },
    { id = "oil-2", coverage = "48 m²/L" },
]

[carry]
people = 2
horizontal = "40 cm"
"""


def answers(text: str, calculator: Calculator) -> dict[str, Answer]:
    project = from_document(tomllib.loads(text, parse_float=Decimal), "top.toml")
    return {
        answer.subject: answer
        for stage in plan(project, defer=True).stages
        for answer in stage.answers
        if answer.calculator.id == calculator.id
    }


def value(answer: Answer, id: str) -> float:
    assert answer.result is not None, (answer.needs, answer.fault)
    found = answer.result.figure(id)
    assert found is not None
    return found.value


def test_a_face_is_taken_down_over_the_untrimmed_casting() -> None:
    # 1040 x 540 mm; 490 mm left after the first lane: 20 more; 3 mm in three passes
    faces = answers(TOP, sled_passes.CALCULATOR)
    assert list(faces) == ["top/lower"]
    assert value(faces["top/lower"], "lanes") == 21
    assert value(faces["top/lower"], "passes") == 3
    assert value(faces["top/lower"], "chip-load") == pytest.approx(0.125e-3)


def test_voids_of_a_casting_stay_within_its_resins_depth() -> None:
    voids = answers(TOP, void_fill.CALCULATOR)["top"]
    assert value(voids, "layers-1") == 2
    assert value(voids, "volume-2") == pytest.approx(8 * 4e-9)


def test_wood_and_resin_each_have_their_grits() -> None:
    # both faces and the edges: 2 x (1 x 0.5 + 1.5 x 0.04) m2
    grits = answers(TOP, grit_steps.CALCULATOR)
    assert value(grits["top/wood"], "grits") == 3
    assert value(grits["top/wood"], "time") == pytest.approx(1.12 * 12 * 60 * 4)
    needs = [need.what for need in grits["top/resin"].needs]
    assert needs == ["the last grit on resin of the abrasive schedule"]


def test_each_coat_by_its_own_coverage() -> None:
    coats = answers(TOP, finish_coat.CALCULATOR)
    assert value(coats["top/oil-1"], "amount") == pytest.approx(1.12 / 24_000)
    assert value(coats["top/oil-2"], "amount") == pytest.approx(1.12 / 48_000)
    assert value(coats["top/oil-1"], "zones") == 2


def test_a_casting_is_lifted_as_the_project_says() -> None:
    # 20 L at 1.1 kg/L; 51 lb x 25.4/40 for one
    top = answers(TOP, carry.CALCULATOR)["top"]
    assert value(top, "limit") == pytest.approx(51 * POUND * 25.4 / 40)
    assert value(top, "index") == pytest.approx(22 / (51 * POUND * 25.4 / 40 * 4 / 3))


def test_a_grading_that_nobody_knows_is_a_fault_of_its_own() -> None:
    wrong = TOP.replace("P (ISO 6344)", "mesh")
    assert "grading system" in answers(wrong, grit_steps.CALCULATOR)["top/wood"].fault
    assert value(answers(wrong, carry.CALCULATOR)["top"], "people-needed") >= 1
