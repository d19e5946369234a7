"""Weighing, mixing, pouring, reading: what is recorded, which checks it fulfils, that undo takes it back."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import EXAMPLES, example
from tests.test_undo import without_traces
from workshop.checking import CHECKLIST
from workshop.figures import Level
from workshop.likeliest import Wanted, likeliest
from workshop.plan import plan
from workshop.project import changes, doing
from workshop.project.changes import History
from workshop.project.doing import (
    FULFILMENTS,
    READING_KINDS,
    batch_corrected,
    batch_times,
    batch_weighed,
    next_batch,
    nudged,
    poured,
    ratio_verdict,
    reading_taken,
    step_of,
)
from workshop.project.faults import FileFaults
from workshop.project.loading import load_text
from workshop.project.model import Reading
from workshop.project.project import Project, dump
from workshop.project.reading_kinds import WHERE
from workshop.project.weighing import WEIGHINGS
from workshop.quantity import LENGTH, METRIC, PERCENT, TEMPERATURE, QuantityError, Units, parse, show
from workshop.shapes import plan_json
from workshop.stages import CHECKS, STAGES, lifts
from workshop.stages.canned_notes import canned
from workshop.standing import standing

NOW = datetime(2026, 3, 9, 20, 40, tzinfo=UTC)
BENCH = example("tarn-bench")
US = Units("us")


def done(project: Project, stage: str, subject: str) -> set[str]:
    """The checks done of a subject in a stage."""
    return set(project.file.record.done.get(stage, {}).get(subject, {}))


def running(project: Project, subject: str) -> list[str]:
    """The timers that run for a subject."""
    return sorted(held.timer for held in project.file.record.timer.values() if held.of == subject)


def weighed(a: str, b: str, project: Project = BENCH) -> tuple[Project, str]:
    """A batch of the top lift."""
    return batch_weighed(project, "seat/top", a, b, NOW, CHECKLIST), next_batch(project)


# Weighing


def test_a_batch_three_percent_off_asks_for_so_many_grams_more_of_b() -> None:
    # 100 : 42.5 and 1030 g of A want 437.75 g of B; 425 g leaves 12.75 g short.
    verdict = ratio_verdict(BENCH, "seat/top", "1030 g", "425 g")
    assert verdict.error == pytest.approx(0.03)
    assert verdict.level is Level.WARN and not verdict.good
    assert "part B is short" in verdict.sentence.say()
    assert verdict.add.say() == "Weigh in 12.7 g of part B, then mix."


def test_a_is_added_where_a_is_short() -> None:
    # 425 g of B want 1000 g of A.
    assert (
        ratio_verdict(BENCH, "seat/top", "960 g", "425 g").add.say() == "Weigh in 40 g of part A, then mix."
    )


def test_within_two_percent_the_mix_is_good() -> None:
    for b in ("425 g", "417 g", "433 g"):
        verdict = ratio_verdict(BENCH, "seat/top", "1000 g", b)
        assert verdict.good and verdict.level is Level.NOTE
        assert verdict.sentence.say().startswith("Good")


def test_past_five_percent_it_says_do_not_pour() -> None:
    verdict = ratio_verdict(BENCH, "seat/top", "1000 g", "400 g")
    assert verdict.level is Level.STOP
    assert verdict.sentence.say().startswith("Do not pour")
    assert "25 g of part B" in verdict.add.say()


def test_the_verdict_is_said_in_the_units_of_the_shop() -> None:
    verdict = ratio_verdict(BENCH, "seat/top", "36.3 oz", "15 oz")
    assert " oz of part B" in verdict.add.say(US)


def test_a_correction_that_would_run_over_asks_for_a_larger_bucket_first() -> None:
    assert ratio_verdict(BENCH, "seat/top", "4 kg", "1.5 kg").add.say().startswith("Change to a bucket")


def test_nobody_judges_a_mix_whose_ratio_is_unknown() -> None:
    shelf = changes.lift_inserted(example("gannet-shelf"), "shelf")
    verdict = ratio_verdict(shelf, "shelf/l1", "1000 g", "425 g")
    assert verdict.error is None and not verdict.good


def test_a_mass_that_is_none_is_refused_with_an_example() -> None:
    with pytest.raises(QuantityError):
        ratio_verdict(BENCH, "seat/top", "a cup", "425 g")


@given(st.floats(0.05, 5), st.floats(0.05, 5))
def test_adding_what_the_verdict_says_makes_the_mix_good(a: float, b: float) -> None:
    verdict = ratio_verdict(BENCH, "seat/top", f"{a} kg", f"{b} kg")
    parts = dict(verdict.add.parts)
    if verdict.good:
        return
    add, short = parts["add"], parts["short"]
    assert not isinstance(add, str)
    more_a, more_b = (add.value, 0.0) if short == "A" else (0.0, add.value)
    after = ratio_verdict(BENCH, "seat/top", f"{a + more_a} kg", f"{b + more_b} kg")
    assert after.error == pytest.approx(0, abs=1e-9)


def test_a_good_batch_is_logged_as_typed_and_starts_its_usable_time() -> None:
    made, batch = weighed("884", "376 g")
    held = made.file.record.batch[batch]
    assert held.a is not None and held.b is not None
    assert (batch, held.of, held.a.text, held.b.text, held.mix_start) == (
        "b4",
        "seat/top",
        "884",
        "376 g",
        NOW,
    )
    assert done(made, "lifts", f"seat/top/{batch}") == {"weigh-a", "weigh-b", "ratio-shown-good"}
    assert running(made, f"seat/top/{batch}") == ["pot-life"]


def test_a_batch_off_its_ratio_leaves_the_ratio_to_be_put_right() -> None:
    made, batch = weighed("1030 g", "425 g")
    subject = f"seat/top/{batch}"
    assert done(made, "lifts", subject) == {"weigh-a", "weigh-b"}
    right = batch_corrected(made, batch, "1030 g", "438 g", NOW, CHECKLIST)
    assert done(right, "lifts", subject) == {"weigh-a", "weigh-b", "ratio-shown-good"}
    assert running(right, subject) == ["pot-life"]
    [struck] = right.file.record.journal.struck
    assert (struck.path, struck.said) == (f"record.batch.{batch}.b", "425 g")
    wrong = batch_corrected(right, batch, "1030 g", "500 g", NOW, CHECKLIST)
    assert "ratio-shown-good" not in done(wrong, "lifts", subject)


def test_putting_a_ratio_right_gives_no_new_pot_life() -> None:
    # A and B have met: the time runs from the weighing, good or not, and goes on through the correction.
    made, batch = weighed("1030 g", "425 g")
    subject = f"seat/top/{batch}"
    assert running(made, subject) == ["pot-life"]
    later = NOW + timedelta(minutes=10)
    right = batch_corrected(made, batch, "1030 g", "438 g", later, CHECKLIST)
    started = [held.started for held in right.file.record.timer.values() if held.of == subject]
    assert started == [NOW]


def test_a_seal_coat_is_a_batch_of_its_casting() -> None:
    made, batch = batch_weighed(BENCH, "rail", "100 g", "30 g", NOW, CHECKLIST), next_batch(BENCH)
    assert done(made, "seal-coat", "rail") == {"seal-weighed"}
    assert running(made, "rail") == ["seal-pot-life"]
    assert made.file.record.batch[batch].of == "rail"


def test_a_batch_id_is_never_used_again() -> None:
    made, batch = weighed("884 g", "376 g")
    _, undone, _ = History().after("weigh", BENCH, made).undone(made, NOW)
    assert batch not in undone.file.record.batch
    assert next_batch(undone) == "b5"


def test_the_first_batch_of_a_project_without_a_record_is_b1_and_undone_leaves_b2() -> None:
    shelf = changes.lift_inserted(example("gannet-shelf"), "shelf")
    made, batch = batch_weighed(shelf, "shelf/l1", "100 g", "50 g", NOW, CHECKLIST), next_batch(shelf)
    _, undone, _ = History().after("weigh", shelf, made).undone(made, NOW)
    assert (batch, next_batch(undone)) == ("b1", "b2")
    assert plan_json(plan(undone, defer=True)) == plan_json(plan(shelf, defer=True))


def test_mixing_and_time_in_form_end_the_timers_of_a_batch() -> None:
    made, batch = weighed("884 g", "376 g")
    made = changes.timer_started(made, "mix", "5 min", f"seat/top/{batch}", NOW)
    made = batch_times(made, batch, mix_end=NOW + timedelta(minutes=6))
    assert running(made, f"seat/top/{batch}") == ["pot-life"]
    made = batch_times(made, batch, in_form=NOW + timedelta(minutes=20))
    assert running(made, f"seat/top/{batch}") == []
    assert {"mixed", "in-form-noted"} <= done(made, "lifts", f"seat/top/{batch}")
    held = made.file.record.batch[batch]
    assert (held.mix_end, held.in_form) == (NOW + timedelta(minutes=6), NOW + timedelta(minutes=20))


# Pouring


def test_poured_starts_cure_leak_watch_and_bubbles_at_once() -> None:
    made = poured(BENCH, "seat/top", "51.8 mm", "21 °C", NOW, CHECKLIST)
    assert running(made, "seat/top") == ["bubbles", "cure", "leak-watch"]
    assert done(made, "lifts", "seat/top") == {"poured"}
    held = made.file.record.poured["seat/top"]
    assert held.to is not None and held.resin_temperature is not None
    assert (held.to.text, held.resin_temperature.text, held.at) == ("51.8 mm", "21 °C", NOW)


def test_poured_twice_starts_nothing_twice_and_keeps_its_time() -> None:
    once = poured(BENCH, "seat/top", None, None, NOW, CHECKLIST)
    twice = poured(once, "seat/top", "51.8 mm", None, NOW + timedelta(minutes=5), CHECKLIST)
    assert running(twice, "seat/top") == running(once, "seat/top") == ["bubbles", "cure", "leak-watch"]
    held = twice.file.record.poured["seat/top"]
    assert held.at == NOW and held.to is not None


def test_a_timer_that_ran_out_for_a_lift_is_not_started_again() -> None:
    again = poured(BENCH, "seat/base", None, None, NOW, CHECKLIST)
    assert "cure" not in running(again, "seat/base") and "leak-watch" not in running(again, "seat/base")


def test_once_poured_the_usable_time_of_its_batches_is_over() -> None:
    made, batch = weighed("884 g", "376 g")
    assert running(poured(made, "seat/top", None, None, NOW, CHECKLIST), f"seat/top/{batch}") == []


def test_pouring_starts_the_timers_that_the_stage_names() -> None:
    assert doing.STARTED_BY_POURING == lifts.STARTED_BY_POURING


# Reading


def test_every_reading_of_the_file_can_be_taken() -> None:
    keys = {name.rstrip("_").replace("_", "-") for name in Reading.model_fields} - {"at"}
    assert keys == set(READING_KINDS) | set(WHERE)
    for key, held in READING_KINDS.items():
        if key in WHERE:
            continue
        made = reading_taken(
            BENCH, "shop", {key: held.kind.example.split(" or ")[0].split(",")[0]}, NOW, CHECKLIST
        )
        last = made.file.record.readings["shop"][-1]
        assert last.at == NOW and getattr(last, key) is not None


def test_a_reading_stays_as_typed_with_the_place_it_was_taken() -> None:
    made = reading_taken(
        BENCH, "ash-rail", {"place": "740, 0 mm", "moisture": " 9.8 % ", "deep": "10 mm"}, NOW, CHECKLIST
    )
    row = made.document["record"]["readings"]["ash-rail"][0]
    assert {key: row[key] for key in row if key != "at"} == {
        "moisture": "9.8 %",
        "place": "740, 0 mm",
        "deep": "10 mm",
    }


def test_a_place_alone_is_no_reading() -> None:
    with pytest.raises(ValueError, match="Nothing was read"):
        reading_taken(BENCH, "ash-rail", {"place": "740, 0 mm", "moisture": " "}, NOW, CHECKLIST)


def test_a_value_that_cannot_be_is_refused_where_it_stands() -> None:
    with pytest.raises(FileFaults, match="humidity"):
        reading_taken(BENCH, "shop", {"humidity": "155 %"}, NOW, CHECKLIST)


def test_moisture_is_read_when_three_places_are() -> None:
    made = BENCH
    for number, place in enumerate(("200, 0 mm", "700, 0 mm", "1300, 0 mm")):
        assert "moisture-read" not in done(made, "stock-prep", "ash-rail")
        at = NOW + timedelta(minutes=number)
        made = reading_taken(made, "ash-rail", {"moisture": "9.9 %", "place": place}, at, CHECKLIST)
    assert "moisture-read" in done(made, "stock-prep", "ash-rail")
    assert running(made, "ash-rail") == ["moisture-again"]


def test_the_second_moisture_reading_counts_a_fortnight_later() -> None:
    made, places = BENCH, ("200, 0 mm", "700, 0 mm", "1300, 0 mm")
    for days in (0, 3, 14):
        for number, place in enumerate(places):
            at = NOW + timedelta(days=days, minutes=number)
            made = reading_taken(made, "ash-rail", {"moisture": "9.9 %", "place": place}, at, CHECKLIST)
        assert ("moisture-read-again" in done(made, "stock-prep", "ash-rail")) is (days == 14)


def test_a_depth_stick_read_after_the_pour_is_that_check() -> None:
    before = reading_taken(BENCH, "seat/top", {"depth": "51 mm"}, NOW, CHECKLIST)
    assert "depth-read" not in done(before, "lifts", "seat/top")
    after = reading_taken(
        poured(BENCH, "seat/top", None, None, NOW, CHECKLIST), "seat/top", {"depth": "51 mm"}, NOW, CHECKLIST
    )
    assert "depth-read" in done(after, "lifts", "seat/top")


def test_the_current_read_tests_the_lights_for_the_next_lift() -> None:
    made = reading_taken(BENCH, "seat/tail", {"current": "1.11 A"}, NOW, CHECKLIST)
    assert "lights-tested" in done(made, "lifts", "seat/top")
    later = reading_taken(
        poured(made, "seat/top", None, None, NOW, CHECKLIST),
        "seat/tail",
        {"current": "1.11 A"},
        NOW,
        CHECKLIST,
    )
    assert "lights-out-of-form" not in done(later, "flattening", "seat"), "the walls still stand"


def test_three_corners_read_the_level_again_before_the_next_lift() -> None:
    made = BENCH
    for number, place in enumerate(("40, 40 mm", "1400, 40 mm", "1400, 400 mm", "40, 400 mm")):
        at = NOW + timedelta(minutes=number)
        made = reading_taken(made, "seat", {"depth": "11.6 mm", "place": place}, at, CHECKLIST)
        assert ("level-read-again" in done(made, "lifts", "seat/top")) is (number >= 2)


def test_three_readings_of_the_sleds_rails_level_them_for_the_casting_that_is_cast() -> None:
    made, places = BENCH, ("near left", "near right", "far right")
    for place in places:
        made = reading_taken(made, "sled", {"height": "92.1 mm", "place": place}, NOW, CHECKLIST)
    assert "rails-level" not in done(made, "flattening", "seat"), "the seat is not cast yet"
    made = poured(BENCH, "seat/top", None, None, NOW, CHECKLIST)
    for place in places:
        made = reading_taken(made, "sled", {"height": "92.1 mm", "place": place}, NOW, CHECKLIST)
    assert "rails-level" in done(made, "flattening", "seat")


def test_every_check_that_an_action_fulfils_is_a_check_of_that_stage() -> None:
    for held in FULFILMENTS:
        assert CHECKS[held.check][0].id == held.stage
        assert held.key in READING_KINDS
        assert held.after is None or CHECKS[held.after[1]][0].id == held.after[0]
    for weighing in WEIGHINGS.values():
        for check in (*weighing.weighed, *weighing.good, *weighing.mixed, *weighing.in_form):
            assert CHECKS[check][0].id == weighing.stage


# Nudging


@pytest.mark.parametrize(
    ("key", "text", "steps", "units", "after"),
    [
        ("temperature", "17.5 °C", 1, METRIC, "18 °C"),
        ("temperature", "64 °F", -1, US, "63 °F"),
        ("humidity", "52 %", 1, METRIC, "53 %"),
        ("humidity", "100 %", 1, METRIC, "100 %"),
        ("moisture", "9.2 %", -1, METRIC, "9.1 %"),
        ("depth", "28.9 mm", 1, METRIC, "29 mm"),
        ("depth", "1 1/8 in", 1, US, "1 3/16 in"),
        ("current", "1.12 A", 2, METRIC, "1.14 A"),
        ("depth", "0 mm", -1, METRIC, "0 mm"),
        ("temperature", "-0.5 °C", 1, METRIC, "0 °C"),
    ],
)
def test_an_arrow_moves_a_value_by_what_its_instrument_shows(
    key: str, text: str, steps: int, units: Units, after: str
) -> None:
    assert nudged(text, steps, READING_KINDS[key].kind, units, key) == after


def test_a_kind_alone_nudges_too() -> None:
    assert nudged("18 °C", 1, TEMPERATURE, METRIC) == "18.5 °C"
    assert nudged("55 %", -1, PERCENT, METRIC) == "54 %"


def test_a_step_is_said_in_the_units_shown() -> None:
    for text, kind, units, step, shown in (
        ("28.9 mm", LENGTH, METRIC, 0.0001, "0.1 mm"),
        ("1 1/8 in", LENGTH, US, 0.0254 / 16, "1/16 in"),
        ("64 °F", TEMPERATURE, US, 5 / 9, "1 °F"),
    ):
        found, said = step_of(text, kind, units)
        assert found == pytest.approx(step) and said == shown


@given(
    st.sampled_from(sorted(READING_KINDS)),
    st.floats(0.01, 0.9),
    st.integers(-3, 3),
    st.sampled_from((METRIC, US, Units("us", inch_fraction=64))),
)
def test_a_nudge_moves_the_way_it_points(key: str, value: float, steps: int, units: Units) -> None:
    kind = READING_KINDS[key].kind
    text = show(value, kind, units)
    moved = parse(nudged(text, steps, kind, units, key), kind) - parse(text, kind)
    if steps == 0:
        assert moved == pytest.approx(0, abs=1e-9)
    else:
        assert moved * steps >= 0
    if steps > 0 and value + 4 * step_of(text, kind, units, key)[0] < 0.95:
        assert moved > 0


# What is likely wanted


def wanted(now: datetime, project: Project = BENCH) -> tuple[Wanted, ...]:
    """The readings likely wanted at a moment."""
    made = plan(project, defer=True)
    return likeliest(made, standing(made, now))


def test_while_the_leak_watch_rings_a_depth_is_wanted_first() -> None:
    # The leak watch was heard at 20:33 and rings each hour from 20:31 on.
    first = wanted(datetime(2026, 3, 9, 20, 45, tzinfo=UTC))[0]
    assert (first.subject, first.key, first.last) == ("seat/strip", "depth", "28.9 mm")
    assert first.step == pytest.approx(0.0001) and first.step_text == "0.1 mm"


def test_in_the_stage_of_lifts_old_air_is_read_before_what_the_checks_ask() -> None:
    now = datetime(2026, 3, 10, 1, 0, tzinfo=UTC)
    quiet = changes.timer_ended(BENCH, "t8", now)
    assert [(held.subject, held.key) for held in wanted(now, quiet)][:2] == [
        ("shop", "temperature"),
        ("shop", "humidity"),
    ]


def test_the_last_value_is_ready_to_be_nudged() -> None:
    by_key = {(held.subject, held.key): held for held in wanted(NOW)}
    assert by_key["shop", "temperature"].last == "17.5 °C"
    assert by_key["seat/tail", "current"].last == "1.12 A"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_air_can_always_be_read_and_nothing_is_offered_twice(name: str) -> None:
    offered = [(held.subject, held.key) for held in wanted(NOW, example(name))]
    assert {("shop", "temperature"), ("shop", "humidity")} <= set(offered)
    assert len(offered) == len(set(offered))


def test_each_stage_has_a_handful_of_short_notes() -> None:
    for stage in STAGES:
        notes = canned(stage.id)
        assert 6 <= len(notes) <= 9 and len(set(notes)) == len(notes)
        assert all(len(note) <= 50 and note.endswith(".") and "|" not in note for note in notes)


# Undo


def _times(project: Project, now: datetime) -> Project:
    batch = list(project.file.record.batch)[-1]
    return batch_times(project, batch, now, now + timedelta(minutes=9))


def _corrected(project: Project, now: datetime) -> Project:
    batch = list(project.file.record.batch)[-1]
    return batch_corrected(project, batch, f"{860 + now.second} g", "376 g", now, CHECKLIST)


ACTIONS: Mapping[str, Callable[[Project, datetime], Project]] = MappingProxyType(
    {
        "weigh a good batch": lambda project, now: batch_weighed(
            project, "seat/top", "884 g", "376 g", now, CHECKLIST
        ),
        "weigh a bad batch": lambda project, now: batch_weighed(
            project, "seat/top", "884 g", "300 g", now, CHECKLIST
        ),
        "weigh a seal coat": lambda project, now: batch_weighed(project, "rail", "100", "30", now, CHECKLIST),
        "correct the last batch": _corrected,
        "end the mixing": _times,
        "pour the top lift": lambda project, now: poured(
            project, "seat/top", "52 mm", "21 °C", now, CHECKLIST
        ),
        "pour the rail": lambda project, now: poured(project, "rail/base", None, None, now, CHECKLIST),
        "read the shop": lambda project, now: reading_taken(
            project, "shop", {"temperature": "18 °C", "humidity": "50 %"}, now, CHECKLIST
        ),
        "read a depth": lambda project, now: reading_taken(
            project, "seat/top", {"depth": "52 mm"}, now, CHECKLIST
        ),
        "read the current": lambda project, now: reading_taken(
            project, "seat/tail", {"current": "1 A"}, now, CHECKLIST
        ),
        "read moisture": lambda project, now: reading_taken(
            project, "ash-rail", {"moisture": "9 %"}, now, CHECKLIST
        ),
        "note": lambda project, now: changes.noted(project, "seat", "No leak.", now),
    }
)
"""What happens in a shop."""


@pytest.mark.parametrize("action", ACTIONS)
def test_what_was_done_and_undone_leaves_the_plan_as_it_was_and_a_struck_line(action: str) -> None:
    after = ACTIONS[action](BENCH, NOW)
    history, restored, _ = History().after(action, BENCH, after).undone(after, NOW + timedelta(minutes=1))
    assert history == History()
    assert plan_json(plan(restored, defer=True)) == plan_json(plan(BENCH, defer=True))
    assert without_traces(restored) == without_traces(BENCH)
    assert restored.file.record.journal.struck
    assert load_text(dump(restored), "again.toml").document == restored.document


def test_only_the_reading_that_was_undone_is_struck() -> None:
    after = ACTIONS["read the shop"](BENCH, NOW)
    _, restored, _ = History().after("read", BENCH, after).undone(after, NOW)
    [line] = restored.file.record.journal.struck
    assert line.path == "record.readings.shop"
    assert "18 °C" in line.said and "17.5 °C" not in line.said


@settings(max_examples=25)
@given(st.lists(st.sampled_from(sorted(ACTIONS)), max_size=7))
def test_any_sequence_done_and_undone_leaves_the_plan_as_it_was(actions: list[str]) -> None:
    now, project, history, states = NOW, BENCH, History(), []
    for action in actions:
        now += timedelta(seconds=30)
        after = ACTIONS[action](project, now)
        if changes.changes(project.document, after.document):
            states.append(project)
        history, project = history.after(action, project, after), after
    for earlier in reversed(states):
        now += timedelta(seconds=1)
        history, project, _ = history.undone(project, now)
        assert without_traces(project) == without_traces(earlier)
    assert plan_json(plan(project, defer=True)) == plan_json(plan(BENCH, defer=True))


def test_a_note_in_a_project_without_a_record_can_be_undone() -> None:
    shelf = example("gannet-shelf")
    after = changes.noted(shelf, "shelf", "Bark off.", NOW)
    _, restored, _ = History().after("note", shelf, after).undone(after, NOW)
    assert not restored.file.record.journal.notes
    assert restored.file.record.journal.struck
