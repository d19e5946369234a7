"""Whatever a maker does, its undo leaves the plan as it was; the record keeps a struck line."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import example as example_of
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import example
from workshop.plan import CheckState, Plan, plan, rested_on
from workshop.project import changes
from workshop.project.changes import History, finding_accepted, lift_inserted
from workshop.project.loading import load_text
from workshop.project.path import NoSuchPlace, Path, drop, find
from workshop.project.project import Project, dump
from workshop.shapes import plan_json
from workshop.stages import CHECKS

NOW = datetime(2026, 3, 9, 20, 40, tzinfo=UTC)


def first_open(made: Plan) -> CheckState:
    """The first check that is not settled."""
    return next(check for stage in made.stages for check in stage.checks if not check.settled)


def stage_of(check: CheckState) -> str:
    """The stage that a check stands in."""
    return CHECKS[check.check.id][0].id


def do_check(project: Project, now: datetime) -> Project:
    """Check off the first open check."""
    check = first_open(plan(project, defer=True))
    return changes.check_done(
        project,
        stage_of(check),
        check.check.id,
        check.subject.path,
        now,
        rested_on(project, check.check, check.subject),
    )


def waive_check(project: Project, now: datetime) -> Project:
    """Waive the first open check."""
    check = first_open(plan(project, defer=True))
    return changes.check_waived(
        project, stage_of(check), check.check.id, check.subject.path, "a | bar, and\ntwo lines", now
    )


def strike_check(project: Project, now: datetime) -> Project:
    """Open a check again that was done."""
    done = [check for stage in plan(project, defer=True).stages for check in stage.checks if check.settled]
    return changes.check_struck(project, stage_of(done[-1]), done[-1].check.id, done[-1].subject.path, now)


def accept_finding(project: Project, now: datetime) -> Project:
    """Accept the gravest finding that stands open."""
    open_ones = [held for held in plan(project, defer=True).findings if not held.accepted]
    if not open_ones:
        return project
    return finding_accepted(project, open_ones[0].finding.rule, open_ones[0].subject, "it is | fine", now)


def end_timer(project: Project, now: datetime) -> Project:
    """End the first running timer."""
    running = list(project.file.record.timer)
    return changes.timer_ended(project, running[0], now) if running else project


def hear_timer(project: Project, now: datetime) -> Project:
    """Acknowledge the last running timer."""
    running = list(project.file.record.timer)
    return changes.timer_heard(project, running[-1], now) if running else project


ACTIONS: Mapping[str, Callable[[Project, datetime], Project]] = MappingProxyType(
    {
        "edit a thickness": lambda project, now: changes.edited(
            project, ("slab", "ash-wide", "thickness"), "2 1/8 in", now
        ),
        "edit a lift's height": lambda project, now: changes.edited(
            project, ("casting", "seat", "lifts", "strip", "to"), f"{28 + now.minute % 3} mm", now
        ),
        "enter what was unknown": lambda project, now: changes.edited(
            project, ("slab", "ash-rail", "cutting-direction"), "radial", now
        ),
        "enter the first value of a table": lambda project, now: changes.edited(
            project, ("record", "placed", "seat/far", "height"), "14 mm", now
        ),
        "forget a value": lambda project, now: (
            changes.edited(project, ("shop", "humidity"), None, now)
            if project.file.shop.humidity
            else project
        ),
        "note": lambda project, now: changes.noted(project, "seat", "dust |\nin the corner", now),
        "check off": do_check,
        "waive": waive_check,
        "strike": strike_check,
        "accept a finding": accept_finding,
        "start a timer": lambda project, now: changes.timer_started(project, "mix", "5 min", "seat/top", now),
        "end a timer": end_timer,
        "hear a timer": hear_timer,
        "put a lift in": lambda project, now: lift_inserted(project, "seat", "strip"),
        "put a lift on top": lambda project, now: lift_inserted(project, "rail"),
    }
)
"""What a maker does to a project."""


def without_traces(project: Project) -> dict[str, Any]:
    """A document without what undo leaves on purpose: struck lines, and how many timers were started."""
    document = dict(project.document)
    for path in (("record", "journal", "struck"), ("record", "timers-started")):
        if path_stands(document, path):
            document = drop(document, path)
    return document


def path_stands(document: Mapping[str, Any], path: Path) -> bool:
    """Whether anything stands at a path."""
    try:
        find(document, path)
    except NoSuchPlace:
        return False
    return True


@pytest.mark.parametrize("action", ACTIONS)
def test_an_action_does_something(action: str) -> None:
    bench = example("tarn-bench")
    assert changes.changes(bench.document, ACTIONS[action](bench, NOW).document)


@pytest.mark.parametrize("action", ACTIONS)
def test_an_action_undone_leaves_the_plan_as_it_was(action: str) -> None:
    bench = example("tarn-bench")
    after = ACTIONS[action](bench, NOW)
    history, restored, name = History().after(action, bench, after).undone(after, NOW + timedelta(minutes=1))
    assert (history, name) == (History(), action)
    assert plan_json(plan(restored, defer=True)) == plan_json(plan(bench, defer=True))
    assert without_traces(restored) == without_traces(bench)
    assert load_text(dump(restored), "again.toml").document == restored.document


@settings(max_examples=30)
@example_of(["check off", "strike", "check off", "strike"])
@example_of(["note", "note"])
@example_of(["start a timer", "hear a timer", "end a timer"])
@given(st.lists(st.sampled_from(sorted(ACTIONS)), max_size=6))
def test_any_actions_undone_one_by_one_leave_the_plan_as_it_was(actions: list[str]) -> None:
    now, project, history, states = NOW, example("tarn-bench"), History(), []
    for action in actions:
        after = ACTIONS[action](project, now)
        if changes.changes(project.document, after.document):
            states.append(project)
        history, project = history.after(action, project, after), after
    for earlier in reversed(states):
        now += timedelta(seconds=1)
        history, project, _ = history.undone(project, now)
        assert plan_json(plan(project, defer=True)) == plan_json(plan(earlier, defer=True))
        assert without_traces(project) == without_traces(earlier)
    assert history == History()


def test_nothing_left_to_undo_is_said_so() -> None:
    with pytest.raises(IndexError):
        History().undone(example("tarn-bench"), NOW)
