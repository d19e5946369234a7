"""What follows from a project: nine stages with checks, cautions and figures, and records that stay put."""

from datetime import UTC, datetime

import pytest

from tests.examples import EXAMPLES, example, example_plan
from workshop.figures import Figure, Working
from workshop.plan import Plan, plan
from workshop.project.changes import finding_accepted, lift_inserted
from workshop.project.project import Project
from workshop.shapes import plan_json

STAGES = (
    "stock-prep",
    "form",
    "seal-coat",
    "lifts",
    "flattening",
    "fill",
    "abrasive-schedule",
    "finish",
    "assembly",
)

examples = pytest.mark.parametrize("name", EXAMPLES)


# Nine stages


@examples
def test_a_plan_has_the_nine_stages_in_order(name: str) -> None:
    assert tuple(stage["id"] for stage in plan_json(example_plan(name))["stages"]) == STAGES


@examples
@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_cautions(name: str, stage: str) -> None:
    cautions = example_plan(name).stage(stage).stage.cautions
    assert cautions
    assert all(caution.endswith(".") for caution in cautions)


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_of_the_bench_has_checks(stage: str) -> None:
    assert example_plan("tarn-bench").stage(stage).checks


@pytest.mark.parametrize("stage", [stage for stage in STAGES if stage != "lifts"])
def test_a_stage_of_a_new_project_has_checks(stage: str) -> None:
    # Lifts have checks for each lift, and a newcomer has planned none.
    assert example_plan("gannet-shelf").stage(stage).checks


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_of_the_bench_has_a_figure_with_its_working(stage: str) -> None:
    figures = [
        figure
        for answer in example_plan("tarn-bench").stage(stage).answers
        if answer.result
        for figure in answer.result.figures
    ]
    assert figures
    assert all(figure.working.formula and figure.working.source for figure in figures)


@examples
def test_no_calculator_fails_on_an_example(name: str) -> None:
    faults = [
        f"{answer.calculator.id}@{answer.subject}: {answer.fault}"
        for stage in example_plan(name).stages
        for answer in stage.answers
        if answer.fault
    ]
    assert not faults


@examples
def test_what_is_missing_is_named_with_where_to_enter_it(name: str) -> None:
    for stage in example_plan(name).stages:
        for answer in stage.answers:
            assert (answer.result is None) == bool(answer.needs)
            for need in answer.needs:
                assert need.what
                assert need.paths, f"{answer.calculator.id}@{answer.subject} needs {need.what}, but where?"


@examples
def test_a_subject_is_worked_out_once_by_each_calculator(name: str) -> None:
    for stage in example_plan(name).stages:
        pairs = [(answer.calculator.id, answer.subject) for answer in stage.answers]
        assert len(pairs) == len(set(pairs))


@examples
def test_a_finding_has_a_way_out_with_a_number_in_it(name: str) -> None:
    units = example(name).units
    for held in example_plan(name).findings:
        assert held.finding.text.say(units).endswith(".")
        remedy = held.finding.remedy.say(units)
        assert any(sign.isdigit() for sign in remedy), f"{held.key}: {remedy}"


@examples
def test_a_finding_that_hangs_on_a_filled_input_has_its_place_in_the_file(name: str) -> None:
    made = example_plan(name)
    for held in made.findings:
        field = held.finding.field
        answer = next(
            answer
            for stage in made.stages
            for answer in stage.answers
            if (answer.calculator.id, answer.subject) == (held.calculator, held.subject)
        )
        assert field is None or answer.calculator.field(field)
        source = answer.sources.get(field or "")
        assert held.path is not None or source is None or not source.paths


def test_the_plan_is_the_same_however_often_it_is_made() -> None:
    project = example("tarn-bench")
    assert plan_json(plan(project)) == plan_json(plan(project))


def test_one_stage_alone_is_that_stage_of_the_whole() -> None:
    made = example_plan("tarn-bench")
    whole = {stage["id"]: stage for stage in plan_json(made)["stages"]}
    for stage in STAGES:
        assert plan_json(made, stage)["stages"] == [whole[stage]]


# Records stay where they belong


NOW = datetime(2026, 3, 9, 20, 40, tzinfo=UTC)


def settled(made: Plan) -> dict[str, datetime | None]:
    """Every check that is done or waived, with its time."""
    return {check.key: check.done for stage in made.stages for check in stage.checks if check.settled}


def accepted(made: Plan) -> set[str]:
    """Every finding that is accepted."""
    return {held.key for held in made.findings if held.accepted}


def with_findings_accepted(project: Project) -> Project:
    """The project with every finding accepted at what it is now."""
    for held in plan(project).findings:
        value = held.finding.value
        said = Figure("", "", value.value, value.kind, Working("", {}, "")).text() if value else None
        project = finding_accepted(
            project, held.finding.rule, held.subject, "seen", NOW, said, held.finding.level.value
        )
    return project


@pytest.mark.parametrize("before", ["base", "strip", "top", None])
def test_a_lift_put_in_leaves_every_record_where_it_was(before: str | None) -> None:
    bench = with_findings_accepted(example("tarn-bench"))
    more = lift_inserted(bench, "seat", before)
    earlier, later = plan(bench), plan(more)
    assert settled(earlier) == settled(later)
    assert more.file.record.accepted == bench.file.record.accepted
    # What rests on the height of the new lift, such as the mass of the one above it, is not known for now,
    # and then nothing can be found about it; the acceptance waits in the record.
    known = {
        (answer.calculator.id, answer.subject)
        for stage in later.stages
        for answer in stage.answers
        if answer.result is not None
    }
    still = {held.key for held in earlier.findings if (held.calculator, held.subject) in known}
    assert still
    assert accepted(earlier) & still <= accepted(later)


def test_a_lift_put_in_before_lift_2_is_open_and_comes_second() -> None:
    later = lift_inserted(example("tarn-bench"), "seat", "strip")
    ids = [lift.id for lift in later.file.casting["seat"].lifts]
    assert [ids[0], *ids[2:]] == ["base", "strip", "top"]
    new = f"seat/{ids[1]}"
    checks = [check for check in plan(later).stage("lifts").checks if check.subject.path == new]
    assert checks
    assert not any(check.settled for check in checks)
    assert checks[0].subject.title == "seat lift 2 of 4"


def test_every_finding_accepted_at_what_it_is_stays_quiet() -> None:
    made = plan(with_findings_accepted(example("tarn-bench")))
    assert accepted(made) == {held.key for held in made.findings}
