"""A check that was done stays done; it is marked "check again" where something it rested on has changed."""

from datetime import UTC, datetime

from tests.examples import example
from workshop.plan import CheckState, plan, rested_on
from workshop.project.changes import check_done, edited
from workshop.project.path import Path
from workshop.project.project import Project

NOW = datetime(2026, 3, 9, 19, 0, tzinfo=UTC)


def check(project: Project, key: str) -> CheckState:
    return plan(project, defer=True).check(key)[1]


def done(project: Project, key: str) -> Project:
    stage, held = plan(project, defer=True).check(key)
    values = rested_on(project, held.check, held.subject)
    return check_done(project, stage.stage.id, held.check.id, held.subject.path, NOW, values)


def test_a_piece_moved_after_the_dry_fit_asks_for_another_dry_fit() -> None:
    bench = example("tarn-bench")
    assert check(bench, "pieces-dry-fitted@seat").again == ()
    moved = edited(bench, ("piece", "p1", "place"), "720, 104 mm", NOW)
    held = check(moved, "pieces-dry-fitted@seat")
    assert held.settled
    assert held.again == ("p1 place was 720, 100 mm, now 720, 104 mm",)


def test_a_value_put_back_asks_for_nothing() -> None:
    bench = example("tarn-bench")
    place: Path = ("piece", "p1", "place")
    back = edited(edited(bench, place, "720, 104 mm", NOW), place, "720, 100 mm", NOW)
    assert check(back, "pieces-dry-fitted@seat").again == ()


def test_hold_downs_are_looked_at_again_when_their_lift_rises() -> None:
    bench = done(example("tarn-bench"), "hold-downs-on@seat/top")
    higher = edited(bench, ("casting", "seat", "lifts", "top", "to"), "54 mm", NOW)
    assert check(higher, "hold-downs-on@seat/top").again == ("top to was 52 mm, now 54 mm",)
    assert check(higher, "hold-downs-on@rail/top").again == ()


def test_a_value_that_becomes_unknown_is_said_so() -> None:
    bench = done(example("tarn-bench"), "form-sized@rail")
    unknown = edited(bench, ("casting", "rail", "form", "depth"), None, NOW)
    assert check(unknown, "form-sized@rail").again == ("form depth was 45 mm, now unknown",)
