"""The bounds by which a lift's timers go: early where one scuffs in doubt, late where one waits in doubt."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from tests.examples import example
from workshop.calculators.lift_cure import CALCULATOR
from workshop.figures import Figure, Result, Working
from workshop.lift_states import lift_states, not_yet, window_of
from workshop.lift_table import PENDING, UNKNOWN, in_words, lift_table
from workshop.plan import Answer, Plan, plan
from workshop.quantity import DURATION, TEMPERATURE, Units
from workshop.standing import standing

BENCH = example("tarn-bench")
HOUR, DAY = 3600.0, 86400.0
SPANS = {"gel": 25 * HOUR, "window-opens": 30 * HOUR, "window-shuts": 43 * HOUR, "demould": 8 * DAY}
BANDS = {"window-opens": (22 * HOUR, 34 * HOUR), "window-shuts": (36 * HOUR, 55 * HOUR)}


def result(spans: dict[str, float] = SPANS, bands: dict[str, tuple[float, float]] | None = None) -> Result:
    """What the model might say of a lift: invented times."""
    held = BANDS | {"demould": (5 * DAY, 9 * DAY)} if bands is None else bands
    return Result(
        (
            Figure("peak", "peak", 28.4, TEMPERATURE, Working("invented", {}, "invented"), 24.2, 33.6),
            *(
                Figure(
                    id, id, span, DURATION, Working("invented", {}, "invented"), *held.get(id, (None, None))
                )
                for id, span in spans.items()
            ),
        )
    )


def planned(said: Result, pending: bool = False) -> Plan:
    """The bench's plan with that said of its strip lift, and nothing of others."""
    made = plan(BENCH, {})
    answer = Answer(CALCULATOR, "seat/strip", {}, None, said, (), pending=pending)
    stages = tuple(
        replace(stage, answers=(answer,)) if stage.stage.id == "lifts" else stage for stage in made.stages
    )
    return replace(made, stages=stages)


def spans(said: Result) -> dict[str, float]:
    """The states of the strip lift in s."""
    return {state: at.total_seconds() for state, at in lift_states(planned(said))["seat/strip"]}


def test_the_window_shuts_early_and_the_form_comes_off_late() -> None:
    held = spans(result())
    assert (held["gel"], held["window open"]) == (25 * HOUR, 30 * HOUR)
    assert (held["window shut"], held["demould"]) == (36 * HOUR, 9 * DAY)


def test_without_a_band_the_likely_times_count() -> None:
    held = spans(result(bands={}))
    assert (held["window shut"], held["demould"]) == (43 * HOUR, 8 * DAY)


def test_a_window_that_may_shut_before_it_opens_stays_open_as_long_as_the_soonest_does() -> None:
    bands = {"window-opens": (20 * HOUR, 34 * HOUR), "window-shuts": (28 * HOUR, 55 * HOUR)}
    assert window_of(result(bands=bands)) == (30 * HOUR, 38 * HOUR)


def test_a_window_never_shuts_later_than_is_likely() -> None:
    bands = {"window-opens": (1 * HOUR, 34 * HOUR), "window-shuts": (29 * HOUR, 55 * HOUR)}
    assert window_of(result(bands=bands)) == (30 * HOUR, 43 * HOUR)


def test_the_states_come_in_order_and_full_cure_is_as_late_as_the_demould() -> None:
    held = spans(result())
    assert list(held) == ["gel", "window open", "window shut", "demould", "full cure"]
    # The sheet says demould at 72 h and full cure at 7 d: three times as late, three times as late.
    assert held["full cure"] == 3 * 7 * DAY


def test_a_quick_cure_takes_the_sheets_full_cure_as_it_stands() -> None:
    held = spans(result(SPANS | {"demould": 2 * DAY}, bands={}))
    assert held["full cure"] == 7 * DAY


def test_a_lift_whose_figures_are_on_their_way_keeps_what_was_known() -> None:
    before = {"seat/strip": (("gel", timedelta(hours=20)),)}
    assert lift_states(planned(result(), pending=True), before) == before
    assert "window open" in dict(lift_states(planned(result()), before)["seat/strip"])


def test_while_only_the_likely_course_is_there_no_demould_is_promised() -> None:
    held = dict(lift_states(planned(result(bands={}), pending=True))["seat/strip"])
    assert list(held) == ["gel", "window open", "window shut"]


def test_before_any_figure_is_there_a_cure_timer_has_no_deadline() -> None:
    known = not_yet(BENCH.file)
    made = standing(plan(BENCH, {}), BENCH.file.record.timer["t7"].started, known)
    [cure] = [timer for timer in made.timers if timer.timer == "cure"]
    assert cure.deadline is None and not cure.ringing


def test_timers_stand_by_the_model_and_without_it_by_the_sheet() -> None:
    now = BENCH.file.record.timer["t7"].started + timedelta(hours=1)
    [cure] = [timer for timer in standing(planned(result()), now).timers if timer.timer == "cure"]
    assert cure.deadline is not None
    assert (cure.deadline.state, cure.deadline.at - cure.started) == ("gel", timedelta(hours=25))
    [cure] = [timer for timer in standing(plan(BENCH, {}), now).timers if timer.timer == "cure"]
    assert cure.deadline is not None and cure.deadline.state == "window open"


# The table of lifts


def cells(made: Plan, units: Units = BENCH.units) -> dict[str, str]:
    """The strip's row."""
    table = lift_table(made, "seat")
    assert table is not None
    row = next(row for row in table.text_rows(units) if row[0] == "strip")
    return dict(zip((column.id for column in table.columns), row, strict=True))


def test_the_table_says_peaks_and_times_no_finer_than_they_are_known() -> None:
    row = cells(planned(result()))
    assert (row["likely"], row["hot"]) == ("28 °C", "34 °C")
    assert (row["opens"], row["shuts"], row["demould"]) == ("30 h", "36 h", "9 d")


def test_a_band_that_is_still_to_come_is_not_made_up() -> None:
    row = cells(planned(result(bands={}), pending=True))
    assert (row["hot"], row["shuts"], row["demould"]) == ("34 °C", PENDING, PENDING)
    assert row["opens"] == "30 h"


def test_every_lift_has_its_row_known_or_not() -> None:
    table = lift_table(planned(result()), "seat")
    assert table is not None
    assert [row[0] for row in table.rows] == ["base", "strip", "top"]
    assert table.rows[0][5] == UNKNOWN
    assert [lift for lift, _ in in_words(table, BENCH.units)] == ["base", "strip", "top"]


def test_a_casting_without_lifts_has_no_table() -> None:
    assert lift_table(planned(result()), "left-leg") is None
