"""A river of resin between wood: what the width does."""

import numpy as np
import pytest

from tests.trade.cure.resins import MEDIUM, SLOW, lift
from workshop.trade.cure.kinetics import Resin
from workshop.trade.cure.materials import wood
from workshop.trade.cure.river import River, Side
from workshop.trade.cure.run import Run, cure
from workshop.trade.cure.stack import RAISED, Lift, empty_form, pour
from workshop.trade.cure.states import State
from workshop.trade.cure.surroundings import Top, steady

OAK = Side(wood(0.60, 0.09))
PINE = Side(wood(0.40, 0.10), 0.06)


def river(resin: Resin, depth: float, width: float, sides: tuple[Side] | tuple[Side, Side] = (OAK,)) -> Run:
    form = empty_form(RAISED, 21.0, river=River(width, sides))
    return cure(pour(form, Lift(depth, resin, 21.0)), steady(21.0))


def test_a_wide_river_is_a_wide_form() -> None:
    wide, alone = river(MEDIUM, 0.04, 0.8), lift(MEDIUM, 0.04)
    assert float(wide.peak[0]) == pytest.approx(float(alone.peak[0]), abs=0.5)
    assert float(wide.peak_time[0]) == pytest.approx(float(alone.peak_time[0]), rel=0.02)


def test_a_narrower_river_is_cooler() -> None:
    peaks = [float(river(SLOW, 0.06, width).peak[0]) for width in (0.04, 0.1, 0.2, 0.4)]
    assert peaks == sorted(peaks)
    assert peaks[0] < peaks[-1] - 20.0


def test_half_a_river_between_like_sides_is_the_whole() -> None:
    half, whole = river(MEDIUM, 0.04, 0.1), river(MEDIUM, 0.04, 0.1, (OAK, OAK))
    assert float(half.peak[0]) == pytest.approx(float(whole.peak[0]), abs=0.3)
    states: tuple[State, ...] = ("gel", "demould")
    for state in states:
        assert float(half.states.of(state)[0]) == pytest.approx(
            float(whole.states.of(state)[0]),
            rel=0.02,
        )


def test_it_does_not_matter_which_side_is_which() -> None:
    one, other = river(MEDIUM, 0.04, 0.08, (OAK, PINE)), river(MEDIUM, 0.04, 0.08, (PINE, OAK))
    assert float(one.peak[0]) == pytest.approx(float(other.peak[0]), abs=0.05)


def test_a_section_is_carried_forward_and_poured_on() -> None:
    hour = 3600.0
    form = empty_form(RAISED, 21.0, river=River(0.1, (OAK,)))
    whole = cure(pour(form, Lift(0.05, SLOW, 21.0)), steady(21.0), keep=(6 * hour, 60 * hour))
    rest = cure(whole.stack_at(6 * hour), steady(21.0))
    assert float(rest.peak[0]) == pytest.approx(float(whole.peak[0]), abs=0.3)
    soon, late = (
        float(cure(pour(whole.stack_at(wait), Lift(0.05, SLOW, 21.0), wood=21.0), steady(21.0)).peak[0])
        for wait in (6 * hour, 60 * hour)
    )
    assert soon > late + 3.0


def test_each_draw_of_a_section_is_what_it_would_be_alone() -> None:
    rates, scales = np.array([3.9e-5, 4.4e-5]), np.array([0.8, 1.2])
    form = empty_form(RAISED, 21.0, river=River(0.1, (OAK,)))
    many = pour(form, Lift(0.04, Resin(rates, 0.39, 309e3, 54.1e3, 56.0), 21.0))
    together = cure(many, steady(21.0), top=Top(scales))
    for draw in (0, 1):
        one = pour(form, Lift(0.04, Resin(float(rates[draw]), 0.39, 309e3, 54.1e3, 56.0), 21.0))
        alone = cure(one, steady(21.0), top=Top(float(scales[draw])))
        assert float(together.peak[draw]) == pytest.approx(float(alone.peak[0]), abs=1e-6)
