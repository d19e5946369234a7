"""Lifting by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.carrying import (
    INCH_FORM,
    METRIC_FORM,
    frequency_multiplier,
    people_needed,
    recovery_factor,
    team_limit,
    turning_force,
    weight_limit,
)

horizontals = st.floats(0, 0.7)
verticals = st.floats(0, 1.8)
travels = st.floats(0, 1.9)
twists = st.floats(0, 180)
frequencies = st.floats(0, 20)
durations = st.floats(60, 8 * 3600)
forms = st.sampled_from([INCH_FORM, METRIC_FORM])


@given(horizontals, verticals, travels, twists, frequencies, durations, forms)
def test_nothing_raises_the_limit_above_the_load_constant(
    h: float, v: float, d: float, a: float, f: float, t: float, form: object
) -> None:
    chosen = INCH_FORM if form is INCH_FORM else METRIC_FORM
    limit = weight_limit(h, v, d, a, f, t, "poor", chosen)
    assert 0 <= limit.limit <= 0.9 * chosen.load_constant * (1 + 1e-9)


@given(verticals, frequencies, frequencies, durations)
def test_lifting_more_often_never_raises_the_limit(v: float, f: float, more: float, t: float) -> None:
    assert frequency_multiplier(f + more, t, v) <= frequency_multiplier(f, t, v) + 1e-9


@given(verticals, frequencies, durations)
def test_lifting_for_longer_never_raises_the_limit(v: float, f: float, t: float) -> None:
    assert frequency_multiplier(f, 8 * 3600, v) <= frequency_multiplier(f, t, v)


def test_between_two_frequencies_the_multiplier_lies_half_way() -> None:
    assert frequency_multiplier(2.5, 3600, 1.0) == pytest.approx((0.91 + 0.88) / 2)


def test_where_the_next_frequency_allows_no_lift_there_is_none() -> None:
    assert frequency_multiplier(8.5, 8 * 3600, 0.5) == 0


@given(horizontals, verticals, travels, twists)
def test_the_two_printed_forms_agree_closely_where_both_allow_a_lift(
    h: float, v: float, d: float, a: float
) -> None:
    inch = weight_limit(h, v, d, a).limit
    metric = weight_limit(h, v, d, a, form=METRIC_FORM).limit
    if inch > 0 and metric > 0:
        assert metric == pytest.approx(inch, rel=0.05)


def test_two_lift_two_thirds_and_three_half_of_their_sum() -> None:
    # common practice, no source
    assert team_limit(30, 1) == 30
    assert team_limit(30, 2) == pytest.approx(40)
    assert team_limit(30, 3) == pytest.approx(45)
    assert team_limit(30, 4) == pytest.approx(60)


@given(st.floats(0.1, 400), st.floats(1, 23.1))
def test_the_people_needed_can_lift_it_and_fewer_cannot(mass: float, limit: float) -> None:
    people = people_needed(mass, limit)
    assert team_limit(limit, people) >= mass * (1 - 1e-6)
    assert people == 1 or team_limit(limit, people - 1) < mass


def test_no_team_lifts_where_one_must_not() -> None:
    with pytest.raises(ValueError, match="no team"):
        people_needed(40, 0)


def test_turning_a_plate_on_edge_takes_half_its_weight() -> None:
    assert turning_force(40, 10) == 200


def test_a_load_below_the_floor_is_refused() -> None:
    with pytest.raises(ValueError, match="height of the hands"):
        weight_limit(0.3, -0.1)


def test_a_short_spell_of_lifting_is_followed_by_rest() -> None:
    # NIOSH 94-110, section 1.2, from memory: 1.2 of up to an hour, 0.3 of up to two, then the usual breaks
    assert [recovery_factor(hours * 3600) for hours in (0.5, 1, 1.5, 2, 8)] == [1.2, 1.2, 0.3, 0.3, 0.0]
