"""What follows from a layout key by key is what the plan says of the same project."""

from __future__ import annotations

import pytest

from tests.examples import example, example_plan
from workshop.layout.as_placed import CastingAsPlaced, casting_as_placed
from workshop.layout_figures import LayoutFigures, layout_figures
from workshop.plan import Plan, plan
from workshop.project import laying
from workshop.project.project import Project

BENCH = example("tarn-bench")
LIFTS = "lifts"


def figures(project: Project, casting: str = "seat") -> LayoutFigures:
    """The figures of one casting."""
    held = casting_as_placed(project.file, casting)
    assert isinstance(held, CastingAsPlaced)
    return layout_figures(project, held)


def planned(made: Plan, lift: str) -> tuple[float, float]:
    """Volume and mass of a lift by the plan."""
    answer = next(
        held
        for held in made.stage(LIFTS).answers
        if held.calculator.id == "resin-volume" and held.subject == lift
    )
    assert answer.result is not None
    volume, mass = answer.result.figure("volume"), answer.result.figure("mass")
    assert volume is not None and mass is not None
    return volume.value, mass.value


@pytest.mark.parametrize("casting", ["seat", "rail"])
def test_each_lift_takes_what_the_plan_says(casting: str) -> None:
    made = figures(BENCH, casting)
    assert len(made.lifts) > 1
    for lift in made.lifts:
        assert (lift.volume, lift.mass) == pytest.approx(
            planned(example_plan("tarn-bench"), f"{casting}/{lift.id}")
        )
    assert made.mass == pytest.approx(sum(lift.mass or 0.0 for lift in made.lifts))


def test_it_follows_a_piece_that_is_moved_as_the_plan_does() -> None:
    moved = laying.turned(laying.moved(BENCH, "p1", 0.06, 0.05), "p1", 0.1)
    made, whole = figures(moved), plan(moved)
    for lift in made.lifts:
        assert (lift.volume, lift.mass) == pytest.approx(planned(whole, f"seat/{lift.id}"))
    assert made.volume != pytest.approx(figures(BENCH).volume)


def test_a_piece_that_lies_nowhere_counts_whole_as_in_the_plan() -> None:
    loose = BENCH.without(("piece", "p2", "place"))
    made, whole = figures(loose), plan(loose)
    for lift in made.lifts:
        assert (lift.volume, lift.mass) == pytest.approx(planned(whole, f"seat/{lift.id}"))


def test_the_resin_is_bought_in_the_cheapest_packs() -> None:
    made = figures(BENCH)
    # 7.88 kg: one pack of 7.5 kg and one of 1.5 kg.
    assert made.mass == pytest.approx(7.88, abs=0.005)
    assert made.cost == pytest.approx(142.00 + 39.50)
    assert made.at_rate == pytest.approx((made.mass or 0.0) * 142.00 / 7.5)


def test_what_is_not_known_is_said_and_not_guessed() -> None:
    made = figures(
        BENCH.without(("casting", "seat", "form", "length")).without(("casting", "seat", "length"))
    )
    assert made.free is None and made.volume is None and made.cost is None
    assert "length" in made.lifts[0].lacks


def test_without_packs_there_is_no_cost() -> None:
    made = figures(BENCH.without(("resin", "slow-blue", "packs")))
    assert made.mass is not None and made.cost is None and made.at_rate is None
