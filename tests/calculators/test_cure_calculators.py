"""The calculators of the cure as a maker calls them: by class, by sheet, by constants, and from a project."""

import json
from functools import cache
from itertools import pairwise

import pytest

from tests.calculators.asked import figure, findings_lead_out, level
from tests.examples import example
from workshop.calculator import Calculation, InputError, calculate
from workshop.calculators import catalogue
from workshop.desk import Given
from workshop.figures import Level
from workshop.plan import Answer, Plan, plan

HOUR, DAY = 3600.0, 86400.0
SHEET = json.dumps(
    {
        "class": "slow casting",
        "pot-life": "180 min",
        "pot-mass": "3 kg",
        "pot-temperature": "23 °C",
        "rated-depth": "50 mm",
        "rated-temperature": "20 °C",
        "demould-time": "72 h",
    }
)
CONSTANTS = json.dumps(
    {"k25": 3e-5, "kappa": 0.4, "heat": 300e3, "activation": 55e3, "tg1": 55.0, "density": 1100.0}
)
QUICK = json.dumps({"k25": 4e-4, "kappa": 0.1, "heat": 400e3, "activation": 55e3, "tg1": 70.0})


def run(calculator: str, **texts: str) -> Calculation:
    return calculate(catalogue()[calculator], {key.replace("_", "-"): text for key, text in texts.items()})


def value(made: Calculation, id: str) -> float:
    return figure(made, id).value


@cache
def bench() -> Plan:
    """The bench with what can be said of it at once; `worked_out` has the rest of one answer."""
    return plan(example("tarn-bench"), defer=True)


def planned(calculator: str, subject: str) -> Answer:
    return next(
        held
        for held in bench().stage("lifts").answers
        if (held.calculator.id, held.subject) == (calculator, subject)
    )


def worked_out(calculator: str, subject: str) -> Calculation:
    held = planned(calculator, subject)
    assert held.inputs is not None, [need.what for need in held.needs]
    return Calculation(held.calculator, held.inputs, held.calculator.compute(held.inputs))


def filled(calculator: str, subject: str, key: str) -> object:
    source = planned(calculator, subject).sources[key]
    assert isinstance(source, Given), source.what
    return source.value


# A resin


@pytest.mark.parametrize("resin", ["slow casting", "slow-casting", SHEET, CONSTANTS])
def test_a_resin_is_given_as_its_class_its_sheet_or_its_constants(resin: str) -> None:
    made = run("lift-cure", resin=resin, depth="20 mm", temperature="21 °C")
    assert value(made, "peak") >= 21.0
    assert value(made, "gel") < value(made, "window-opens") < value(made, "window-shuts")


@pytest.mark.parametrize("calculator", ["lift-cure", "safe-lift-depth", "lift-plan", "resin-fit", "batches"])
@pytest.mark.parametrize(
    "resin",
    ["treacle", "{}", '{"k25": 1}', '{"class": "slow-casting", "pot": 1}', '{"class": "x"}', '{"k25": "a"}'],
)
def test_what_is_no_resin_is_refused_in_one_sentence(calculator: str, resin: str) -> None:
    texts = {"depth": "20 mm", "temperature": "21 °C", "total-depth": "50 mm", "mass": "1 kg"}
    known = {field.key for field in catalogue()[calculator].fields}
    with pytest.raises(InputError) as refused:
        calculate(
            catalogue()[calculator],
            {"resin": resin, **{key: text for key, text in texts.items() if key in known}},
        )
    assert refused.value.key == "resin"
    assert "\n" not in refused.value.message


def test_constants_have_no_band_and_a_sheet_has_one() -> None:
    alone = figure(run("lift-cure", resin=CONSTANTS, depth="30 mm", temperature="21 °C"), "peak")
    assert alone.low is None and alone.high is None
    sheet = figure(run("lift-cure", resin=SHEET, depth="30 mm", temperature="21 °C"), "peak")
    assert sheet.low is not None and sheet.high is not None
    assert sheet.low < sheet.value < sheet.high


# How the lift cures


def test_the_defaults_of_a_lift_are_a_wide_form_of_18_mm_board_on_battens_at_shop_temperature() -> None:
    made = run("lift-cure", resin=CONSTANTS, depth="30 mm", temperature="21 °C")
    said = run(
        "lift-cure",
        resin=CONSTANTS,
        depth="30 mm",
        temperature="21 °C",
        pour_temperature="21 °C",
        under="battens",
        board="18 mm",
        width="10 m",
        limit="60 °C",
    )
    assert value(made, "peak") == value(said, "peak")


def test_the_ways_out_of_a_hot_lift_make_the_finding_go() -> None:
    hot = {"resin": SHEET, "temperature": "21 °C"}
    made = run("lift-cure", **hot, depth="40 mm")
    assert level(made, "lift-runs-hot") is Level.WARN
    findings_lead_out(made)
    remedy = dict(made.result.findings[0].remedy.parts)
    depth, cooler = remedy["depth"], remedy["cooler"]
    assert not isinstance(depth, str) and not isinstance(cooler, str)
    shallower = run("lift-cure", **hot, depth=f"{1000 * depth.value:.1f} mm")
    assert level(shallower, "lift-runs-hot") is None
    colder = run("lift-cure", resin=SHEET, temperature=f"{cooler.value:.1f} °C", depth="40 mm")
    assert level(colder, "lift-runs-hot") is None


def test_a_deep_lift_of_a_fast_resin_runs_away() -> None:
    assert level(run("lift-cure", resin=QUICK, depth="50 mm", temperature="23 °C"), "lift-runs-hot") is (
        Level.STOP
    )


@pytest.mark.parametrize(
    ("wait", "rule"), [("6 h", "window-not-open"), ("9 d", "window-missed"), ("0 h", None)]
)
def test_a_lift_is_poured_within_the_window_of_the_one_below(wait: str, rule: str | None) -> None:
    made = run(
        "lift-cure", resin=CONSTANTS, depth="10 mm", temperature="21 °C", below=f'[["6 mm", "{wait}"]]'
    )
    found = {held.rule for held in made.result.findings} & {"window-not-open", "window-missed"}
    assert found == ({rule} if rule else set())


def test_a_peak_beyond_the_band_asks_to_be_logged_as_a_test_pour() -> None:
    texts = {"resin": SHEET, "depth": "30 mm", "temperature": "21 °C"}
    made = run("lift-cure", **texts, measured_peak="90 °C")
    assert level(made, "peak-off-the-band") is Level.WARN
    assert "30 mm" in next(h for h in made.result.findings if h.rule == "peak-off-the-band").remedy.say()
    band = figure(made, "peak")
    again = run("lift-cure", **texts, measured_peak=f"{band.value:.1f} °C")
    assert level(again, "peak-off-the-band") is None


def test_a_shop_colder_than_the_model_holds_for_is_noted() -> None:
    made = run("lift-cure", resin=CONSTANTS, depth="10 mm", temperature="12 °C")
    assert level(made, "beyond-the-model") is Level.NOTE


# The safe depth


def test_the_safe_depth_is_the_least_of_heat_sheet_and_mass_and_says_which() -> None:
    texts = {"resin": CONSTANTS, "temperature": "20 °C", "resin_density": "1.1 kg/L", "area": "0.2 m²"}
    for more, governs in (
        ({"rated_depth": "25 mm", "mass_per_pour": "12 kg"}, "the sheet's rated depth"),
        ({"rated_depth": "50 mm", "mass_per_pour": "2.2 kg"}, "the sheet's mass per pour"),
        ({"rated_depth": "100 mm", "mass_per_pour": "90 kg"}, "the heat of its cure"),
    ):
        made = run("safe-lift-depth", **texts, **more)
        rows = [row for row in made.result.tables["limits"].rows if row[2]]
        assert [row[0] for row in rows] == [governs]
        assert rows[0][1] == value(made, "depth")
    # 2.2 kg of 1.1 kg/L on 0.2 m² stand 10 mm high.
    assert value(run("safe-lift-depth", **texts, mass_per_pour="2.2 kg"), "mass-depth") == pytest.approx(0.01)


def test_a_model_that_allows_more_never_goes_over_the_sheet() -> None:
    made = run("safe-lift-depth", resin=CONSTANTS, temperature="15 °C", rated_depth="20 mm")
    assert value(made, "model-depth") > 0.02
    assert value(made, "depth") == pytest.approx(0.02)


def test_a_lift_of_the_model_depth_stays_within_the_limit_and_a_little_more_does_not() -> None:
    held = 1000 * value(run("safe-lift-depth", resin=SHEET, temperature="21 °C"), "model-depth")
    within = run("lift-cure", resin=SHEET, temperature="21 °C", depth=f"{held:.1f} mm")
    beyond = run("lift-cure", resin=SHEET, temperature="21 °C", depth=f"{held + 1:.1f} mm")
    assert level(within, "lift-runs-hot") is None
    assert level(beyond, "lift-runs-hot") is Level.WARN


@pytest.mark.parametrize(
    ("more", "way"),
    [
        ({"least_depth": "30 mm", "rated_depth": "25 mm"}, "30 mm"),
        ({"least_depth": "10 mm", "mass_per_pour": "1.1 kg", "area": "0.2 m²"}, "0.1 m²"),
        ({"least_depth": "60 mm", "temperature": "24 °C"}, "°C or less"),
    ],
)
def test_a_least_depth_above_the_safe_one_is_a_stop(more: dict[str, str], way: str) -> None:
    texts = {"resin": CONSTANTS, "temperature": "18 °C", **more}
    made = run("safe-lift-depth", **texts)
    assert level(made, "no-safe-depth") is Level.STOP
    findings_lead_out(made)
    said = next(held for held in made.result.findings if held.rule == "no-safe-depth").remedy.say()
    assert way in said or "slower resin" in said


# The plan of lifts


def heights(made: Calculation) -> list[float]:
    return [float(row[1]) for row in made.result.tables["lifts"].rows]


def test_a_base_lift_of_6_mm_comes_first_and_the_rest_is_even() -> None:
    made = run("lift-plan", resin=CONSTANTS, temperature="17 °C", total_depth="52 mm", rated_depth="30 mm")
    assert heights(made) == pytest.approx([0.006, 0.029, 0.052])
    assert value(made, "lifts") == 3


def test_no_lift_is_under_the_least_depth_or_over_the_sheet() -> None:
    texts = {"resin": CONSTANTS, "temperature": "17 °C", "rated_depth": "30 mm", "least_depth": "8 mm"}
    for total in (37, 40, 68, 71):
        made = run("lift-plan", **texts, total_depth=f"{total} mm")
        tops = [0.0, *heights(made)]
        depths = [high - low for low, high in pairwise(tops)]
        assert tops[-1] == pytest.approx(total / 1000)
        assert min(depths) >= 0.008 - 1e-9
        assert max(depths) <= 0.030 + 1e-9


def test_what_is_buried_is_covered_by_the_lift_that_it_lies_in() -> None:
    texts = {"resin": CONSTANTS, "temperature": "17 °C", "total_depth": "52 mm", "rated_depth": "30 mm"}
    made = run("lift-plan", **texts, bed='[[6, 33, "54 %"]]')
    assert not any(0.006 + 1e-6 < top <= 0.033 for top in heights(made))
    assert level(made, "buried-in-two-lifts") is None
    deep = run("lift-plan", **texts, bed='[[6, 46, "54 %"]]')
    assert level(deep, "buried-in-two-lifts") is Level.NOTE
    findings_lead_out(deep)


def test_no_lift_ends_within_a_strip_of_lights_and_the_base_lift_does_not_either() -> None:
    texts = {"resin": CONSTANTS, "temperature": "17 °C", "total_depth": "52 mm", "rated_depth": "30 mm"}
    assert 0.029 in [round(top, 6) for top in heights(run("lift-plan", **texts))]
    for low, high in ((24, 34), (3, 9), (4, 14)):
        tops = heights(run("lift-plan", **texts, bed=f'[[{low}, {high}, "0 %"]]'))
        assert not any(low + 1e-6 < 1000 * top <= high for top in tops)


def test_every_lift_of_a_plan_stays_within_the_limit_and_with_one_lift_fewer_it_would_not() -> None:
    texts = {"resin": CONSTANTS, "temperature": "23 °C", "limit": "45 °C"}
    made = run("lift-plan", **texts, total_depth="70 mm")
    assert max(float(row[5]) for row in made.result.tables["lifts"].rows) <= 45.0
    even = (70 - 6) / (len(heights(made)) - 2)
    below = [["6 mm", 0]]
    hot = []
    for _lift in range(len(heights(made)) - 2):
        lift = run("lift-cure", **texts, depth=f"{even:.1f} mm", below=json.dumps(below))
        hot.append(level(lift, "lift-runs-hot") or level(lift, "lift-below-heats"))
        below.append([f"{even:.1f} mm", 0])
    assert any(hot)


def test_the_total_time_is_that_of_the_waits_and_the_last_demould() -> None:
    made = run("lift-plan", resin=CONSTANTS, temperature="21 °C", total_depth="26 mm", rated_depth="30 mm")
    top = run("lift-cure", resin=CONSTANTS, temperature="21 °C", depth="20 mm", below='[["6 mm", 0]]')
    assert value(made, "total-time") == pytest.approx(value(top, "after") + value(top, "demould"), rel=1e-3)


def test_the_total_resin_is_area_by_height_by_density() -> None:
    made = run(
        "lift-plan",
        resin=CONSTANTS,
        temperature="17 °C",
        total_depth="50 mm",
        area="0.2 m²",
        resin_density="1.1 kg/L",
    )
    assert value(made, "total-resin") == pytest.approx(11.0)


def test_more_lifts_than_needed_and_one_deeper_than_the_plan_are_noted() -> None:
    texts = {"resin": CONSTANTS, "temperature": "17 °C", "total_depth": "36 mm", "rated_depth": "32 mm"}
    many = run("lift-plan", **texts, own="[6, 20, 28, 36]")
    assert level(many, "more-lifts-than-needed") is Level.NOTE
    findings_lead_out(many)
    one = run("lift-plan", **texts, own="[36]")
    assert level(one, "lift-over-plan") is Level.NOTE
    findings_lead_out(one)
    as_planned = run("lift-plan", **texts, own="[6, 36]")
    assert not {"more-lifts-than-needed", "lift-over-plan"} & {h.rule for h in as_planned.result.findings}


def test_where_no_lift_is_safe_the_plan_stops_with_a_way_out() -> None:
    made = run("lift-plan", resin=QUICK, temperature="28 °C", total_depth="40 mm", least_depth="20 mm")
    assert level(made, "no-safe-lifts") is Level.STOP
    findings_lead_out(made)


def test_a_form_that_is_full_already_is_refused() -> None:
    with pytest.raises(InputError, match="30"):
        run(
            "lift-plan", resin=CONSTANTS, temperature="20 °C", total_depth="30 mm", below='[["30 mm", "1 d"]]'
        )


# What the model makes of a resin


def test_a_sheet_whose_figures_do_not_go_together_says_so_and_asks_for_a_test_pour() -> None:
    made = run("resin-fit", resin=json.dumps({**json.loads(SHEET), "demould-time": "20 h"}))
    assert level(made, "sheet-contradicts") is Level.NOTE
    findings_lead_out(made)
    assert "1 kg at 21 °C" in made.result.findings[0].remedy.say()
    stated = {row[0]: row[1] for row in made.result.tables["times"].rows}
    assert stated["demould time"] == 20 * HOUR


def test_a_class_alone_contradicts_nothing_and_every_figure_has_a_band() -> None:
    made = run("resin-fit", resin="medium-casting")
    assert not made.result.findings and not made.result.tables
    for held in made.result.figures:
        assert held.low is not None and held.high is not None, held.id


def test_polyester_is_indicative_wherever_it_is_asked_for() -> None:
    for made in (
        run("resin-fit", resin="polyester"),
        run("lift-cure", resin="polyester", depth="6 mm", temperature="20 °C"),
    ):
        assert level(made, "polyester-indicative") is Level.WARN
        findings_lead_out(made)


def test_constants_are_handed_back_as_they_were_given() -> None:
    made = run("resin-fit", resin=CONSTANTS)
    assert value(made, "k25") == pytest.approx(30e-6)
    assert value(made, "heat") == pytest.approx(300e3)
    assert value(made, "activation") == pytest.approx(55e3)
    assert value(made, "ultimate-tg") == pytest.approx(55.0)


# Cure age


def test_an_hour_at_the_reference_is_an_hour_of_age() -> None:
    texts = {"activation": "50000", "reference": "20 °C"}
    made = run("cure-age", readings='[[0, "20 °C"], ["1 h", "20 °C"]]', **texts, target="3 h")
    assert value(made, "age") == pytest.approx(HOUR)
    assert value(made, "left") == pytest.approx(2 * HOUR)


def test_below_the_least_temperature_there_is_no_age() -> None:
    texts = {"activation": "50000", "reference": "20 °C", "least": "15 °C"}
    made = run("cure-age", readings='[[0, "10 °C"], ["9 h", "10 °C"]]', **texts)
    assert value(made, "age") == 0.0


def test_a_step_holds_each_reading_until_the_next() -> None:
    texts = {"activation": "50000", "reference": "20 °C", "readings": '[[0, "20 °C"], ["1 h", "40 °C"]]'}
    assert value(run("cure-age", **texts, interpolation="step"), "age") == pytest.approx(HOUR)
    assert value(run("cure-age", **texts), "age") > HOUR


def test_once_it_is_glass_a_resin_gets_no_older() -> None:
    texts = {
        "activation": "55000",
        "reference": "20 °C",
        "readings": '[[0, "20 °C"], ["40 d", "20 °C"], ["80 d", "20 °C"]]',
    }
    plain, glass = run("cure-age", **texts), run("cure-age", **texts, resin=CONSTANTS)
    assert value(glass, "age") < value(plain, "age") == pytest.approx(80 * DAY)


@pytest.mark.parametrize("readings", ['[[0, "20 °C"]]', '[["1 h", "20 °C"], [0, "20 °C"]]'])
def test_readings_that_tell_nothing_are_refused(readings: str) -> None:
    with pytest.raises(InputError) as refused:
        run("cure-age", readings=readings, activation="50000", reference="20 °C")
    assert refused.value.key == "readings"


# The run of a pour


def test_one_person_makes_one_batch_after_the_other() -> None:
    texts = {"weighing": "3 min", "mixing": "7 min", "pouring": "2 min"}
    made = run("pour-run", mass="9 kg", batches="3", **texts)
    assert value(made, "run-time") == pytest.approx(36 * 60)
    assert value(made, "last-after-first") == pytest.approx(24 * 60)
    assert value(made, "each") == pytest.approx(3.0)
    two = run("pour-run", mass="9 kg", batches="3", people="2", **texts)
    # The second waits 3 min for the scale; the first is back at 12 min and done with the third at 24.
    assert value(two, "run-time") == pytest.approx(24 * 60)
    assert [row[1] for row in two.result.tables["turns"].rows] == [1, 2, 1]


def test_the_last_batch_is_in_the_form_before_half_the_gel_time_of_the_first() -> None:
    texts = {"mass": "9 kg", "batches": "4", "weighing": "3 min", "mixing": "7 min", "pouring": "2 min"}
    made = run("pour-run", **texts, gel="1 h")
    assert level(made, "last-batch-late") is Level.WARN
    findings_lead_out(made)
    remedy = dict(made.result.findings[0].remedy.parts)
    people, fewer = str(remedy["people"]), str(remedy["fewer"])
    assert level(run("pour-run", **texts, gel="1 h", people=people, scales=people), "last-batch-late") is None
    assert level(run("pour-run", **{**texts, "batches": fewer}, gel="1 h"), "last-batch-late") is None
    assert level(run("pour-run", **texts, gel="30 min"), "last-batch-late") is Level.STOP
    assert level(run("pour-run", **texts, gel="3 h"), "last-batch-late") is None


# The heat of a bucket


def test_a_large_warm_batch_is_worked_for_less_than_the_sheet_says() -> None:
    texts = {"pot_life": "35 min", "pot_mass": "100 g", "pot_temperature": "23 °C", "temperature": "23 °C"}
    resin = '{"class": "laminating", "pot-life": "35 min", "pot-mass": "100 g", "pot-temperature": "23 °C"}'
    small = run("batches", mass="100 g", **texts, resin=resin)
    large = run("batches", mass="3 kg", **texts, resin=resin)
    assert value(large, "model-pot-life") < value(small, "model-pot-life")
    assert value(large, "usable-time") < value(small, "usable-time")
    assert value(large, "usable-time") == pytest.approx(value(large, "model-pot-life") / 2)
    assert level(large, "batch-over-pot-mass") is Level.WARN


def test_the_sheet_governs_where_the_model_allows_more() -> None:
    texts = {"pot_life": "3 h", "pot_mass": "3 kg", "pot_temperature": "23 °C", "temperature": "18 °C"}
    made = run("batches", mass="1 kg", **texts, resin=SHEET)
    assert value(made, "model-pot-life") > 3 * HOUR
    assert value(made, "usable-time") == pytest.approx(1.5 * HOUR)


def test_a_class_alone_gives_a_batch_its_time() -> None:
    made = run("batches", mass="1 kg", resin="laminating", temperature="21 °C")
    assert value(made, "usable-time") == pytest.approx(value(made, "model-pot-life") / 2)
    assert not any("left out" in note for held in made.result.figures for note in held.working.assumed)


# Filled from the bench


def test_the_lifts_that_are_poured_are_followed_as_poured() -> None:
    assert filled("lift-cure", "seat/strip", "pour-temperature") == 21.0
    below = filled("lift-cure", "seat/strip", "below")
    assert isinstance(below, tuple)
    # The base lift is 6.2 mm; 2 d 8 h 7 min later the next one followed.
    assert below[0] == pytest.approx((0.0062, 2 * DAY + 8 * HOUR + 7 * 60))
    assert filled("lift-cure", "seat/base", "measured-peak") == pytest.approx(20.9)


def test_the_day_s_high_and_low_bound_the_shop() -> None:
    assert filled("lift-cure", "seat/top", "temperature-low") == 15.0
    assert filled("lift-cure", "seat/top", "temperature-high") == 19.0
    assert filled("lift-cure", "seat/top", "temperature") == 17.0


def test_only_lifts_that_are_still_to_be_poured_have_a_safe_depth_and_a_run() -> None:
    for calculator in ("safe-lift-depth", "pour-run"):
        subjects = {
            held.subject for held in bench().stage("lifts").answers if held.calculator.id == calculator
        }
        assert subjects == {"seat/top", "rail/base", "rail/top"}


def test_the_safe_depth_of_the_bench_is_within_its_sheet() -> None:
    held = worked_out("safe-lift-depth", "seat/top")
    assert value(held, "depth") <= min(0.050, value(held, "mass-depth"))


def test_the_plan_of_a_half_poured_casting_goes_on_from_what_is_poured() -> None:
    rows = worked_out("lift-plan", "seat").result.tables["lifts"].rows
    assert rows[0][0] == 3
    assert rows[-1][1] == pytest.approx(0.052)


def test_a_resin_without_a_class_is_asked_for_it() -> None:
    classless = example("tarn-bench").without(("resin", "slow-blue", "class"))
    stage = plan(classless, defer=True).stage("lifts")
    for held in stage.answers:
        if held.calculator.id in ("lift-cure", "safe-lift-depth", "lift-plan", "resin-fit"):
            assert held.result is None
            assert any("class" in need.what for need in held.needs), held.calculator.id


def test_a_deferred_plan_answers_with_the_likeliest_figures() -> None:
    warmer = example("tarn-bench").with_value(("shop", "temperature-high"), "20 °C")
    held = next(
        held
        for held in plan(warmer, defer=True).stage("lifts").answers
        if (held.calculator.id, held.subject) == ("lift-cure", "rail/base")
    )
    assert held.pending and held.result is not None
    peak = held.result.figure("peak")
    assert peak is not None and peak.low is None
