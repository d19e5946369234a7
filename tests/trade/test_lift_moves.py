"""What moves a lift's hot peak most: the trade's own levers, the greatest first."""

from dataclasses import replace

import pytest

from workshop.resin_sheet import read_resin
from workshop.trade.lift_chain import Chain, ChainLift, Filling, Shop, course, hot_draw
from workshop.trade.lift_moves import Lever, Move, Way, moves, ranked

MEDIUM = Chain(read_resin("medium-casting"), (ChainLift(0.025, 21.0),), Shop(21.0))
SECOND = Chain(
    read_resin("slow-casting"), (ChainLift(0.03, 20.0), ChainLift(0.03, 20.0, 12 * 3600.0)), Shop(20.0)
)


def lever(chain: Chain, wanted: Lever) -> Move:
    """One lever of a chain."""
    return next(move for move in moves(chain) if move.lever == wanted)


def test_a_warmer_shop_and_a_deeper_lift_run_hotter_and_their_opposites_cooler() -> None:
    for name in ("shop", "pour", "depth"):
        more, less = lever(MEDIUM, name).ways
        assert more.to > less.to  # type: ignore[operator]
        assert more.change > 0 > less.change


def test_a_change_is_that_of_the_hot_peak_itself() -> None:
    warmer, draw = lever(MEDIUM, "shop").ways[0], hot_draw(MEDIUM)
    base, there = (float(course(held, draw).peak[0]) for held in (MEDIUM, MEDIUM.at(23.0)))
    assert warmer.to == 23.0 and warmer.change == pytest.approx(there - base)


def test_concrete_takes_heat_away_that_battens_leave() -> None:
    # Common practice, no source: cast thick on a cold floor and it stays cooler.
    ways = {way.to: way.change for way in lever(MEDIUM, "under").ways}
    assert set(ways) == {"bench", "concrete"} and ways["concrete"] < ways["bench"]


def test_stones_take_up_heat_so_that_a_lift_without_them_runs_hotter() -> None:
    last = replace(MEDIUM.lifts[0], beds=(Filling(0.0, 0.02, 0.5),))
    [way] = lever(replace(MEDIUM, lifts=(last,)), "bed").ways
    assert way.change > 0


def test_a_lift_without_stones_has_no_bed_to_leave_out() -> None:
    assert "bed" not in {move.lever for move in moves(MEDIUM)}


def test_a_shorter_wait_on_a_lift_that_still_cures_runs_hotter() -> None:
    half, double = lever(SECOND, "wait").ways
    assert (half.to, double.to) == (6 * 3600.0, 24 * 3600.0)
    assert half.change > double.change


def test_the_first_lift_waits_for_nothing() -> None:
    assert "wait" not in {move.lever for move in moves(MEDIUM)}


def test_what_moves_most_stands_first_whichever_way_it_moves() -> None:
    small, great = Move("pour", (Way(23.0, 0.5),)), Move("shop", (Way(23.0, 1.0), Way(19.0, -4.0)))
    assert ranked((small, great)) == (great, small)


def test_a_bed_above_the_surface_of_a_shallower_lift_is_left_out() -> None:
    last = replace(MEDIUM.lifts[0], beds=(Filling(0.024, 0.025, 0.5),))
    assert len(lever(replace(MEDIUM, lifts=(last,)), "depth").ways) == 2
