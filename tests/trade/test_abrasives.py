"""Abrasive schedule."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.abrasives import Grading, Grit, grades, grit, grit_steps, sequence

GRADINGS: tuple[Grading, ...] = ("iso", "cami")
gradings = st.sampled_from(GRADINGS)


@st.composite
def spans(draw: st.DrawFn) -> tuple[Grit, Grit]:
    grading: Grading = draw(gradings)
    known = grades(grading)
    first = draw(st.integers(0, len(known) - 1))
    return known[first], known[draw(st.integers(first, len(known) - 1))]


@given(spans(), st.floats(1.05, 3))
def test_a_schedule_runs_from_start_to_end_and_never_beyond(span: tuple[Grit, Grit], step: float) -> None:
    chosen = sequence(*span, step)
    assert (chosen[0], chosen[-1]) == span
    assert all(coarse.size > fine.size for coarse, fine in pairwise(chosen))


@given(spans(), st.floats(1.5, 3))
def test_no_step_is_wider_than_allowed(span: tuple[Grit, Grit], step: float) -> None:
    # neighbouring grades of both systems lie within 1.5 of each other
    assert all(coarse.size / fine.size <= step + 1e-9 for coarse, fine in pairwise(sequence(*span, step)))


@given(st.integers(0, 20), st.integers(1, 7), st.floats(1.35, 2.2))
def test_no_shorter_schedule_keeps_the_step(first: int, distance: int, step: float) -> None:
    known = grades("iso")[first : first + distance + 1]
    chosen = sequence(known[0], known[-1], step)
    between = known[1:-1]
    for fewer in range(max(0, len(chosen) - 2)):
        for inner in combinations(between, fewer):
            trial = (known[0], *inner, known[-1])
            assert any(coarse.size / fine.size > step for coarse, fine in pairwise(trial))


def test_a_step_narrower_than_the_grades_allow_is_marked() -> None:
    # P80 to P100 is 1.24
    steps = grit_steps(grit("P80"), grit("P120"), "wood", max_step=1.1)
    assert [(s.grit.name, s.too_wide) for s in steps] == [("P80", False), ("P100", True), ("P120", True)]


def test_one_grit_alone_is_a_schedule() -> None:
    (only,) = grit_steps(grit("P120"), grit("P120"), "wood")
    assert only.ratio is None


def test_the_first_grit_takes_twice_as_long_as_the_next() -> None:
    # common practice, no source
    first, second, *_ = grit_steps(grit("P80"), grit("P220"), "wood", area=1.2)
    assert first.time == pytest.approx(2 * second.time)


@given(st.floats(0.01, 10), st.sampled_from([0.077, 0.125, 0.150]))
def test_resin_takes_longer_and_more_discs_than_wood(area: float, disc: float) -> None:
    wood = grit_steps(grit("P80"), grit("P220"), "wood", area=area, disc=disc)
    resin = grit_steps(grit("P80"), grit("P220"), "resin", area=area, disc=disc)
    assert sum(s.time for s in resin) > sum(s.time for s in wood)
    assert sum(s.discs for s in resin) >= sum(s.discs for s in wood)


def test_a_disc_of_half_the_size_takes_four_times_as_long() -> None:
    large = grit_steps(grit("P80"), grit("P80"), "wood", area=1, disc=0.15)
    small = grit_steps(grit("P80"), grit("P80"), "wood", area=1, disc=0.075)
    assert small[0].time == pytest.approx(4 * large[0].time)


def test_names_of_grades_as_written_on_a_disc() -> None:
    assert grit(" p 120") == grit("P120") == grit("120", "iso")
    assert grit("120", "cami").name == "120"
    assert grit("P120", "cami").grading == "iso"


@pytest.mark.parametrize("name", ["P70", "fine", "P", "2500 P"])
def test_an_unknown_grade_is_answered_with_the_known_ones(name: str) -> None:
    with pytest.raises(ValueError, match="P80, P100"):
        grit(name)


def test_the_two_systems_are_not_mixed() -> None:
    with pytest.raises(ValueError, match="two grading systems"):
        sequence(grit("P80"), grit("220", "cami"))


def test_a_schedule_does_not_run_backwards() -> None:
    with pytest.raises(ValueError, match="start with the coarser"):
        sequence(grit("P220"), grit("P80"))
