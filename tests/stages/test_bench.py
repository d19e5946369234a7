"""The Tarn bench, half-way through its build, as its checklists have it."""

from __future__ import annotations

from pathlib import Path

import pytest

from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.project.timers import parse_rule
from workshop.stages import CHECKS, STAGES, stage
from workshop.stages.checklist import subjects

BENCH = Path(__file__).parents[2] / "projects" / "tarn-bench.toml"


@pytest.fixture(scope="module")
def bench() -> ProjectFile:
    return load_text(BENCH.read_text(encoding="utf-8"), BENCH.name).file


def stands_on(name: str, file: ProjectFile) -> list[str]:
    check = CHECKS[name][1]
    return [
        held.path for held in subjects(file, check.over) if check.applies is None or check.applies(file, held)
    ]


def test_every_check_of_a_light_stands_in_the_seat_and_none_in_the_rail(bench: ProjectFile) -> None:
    lit = [
        "light-holes-sealed",
        "lights-tested",
        "ends-sealed",
        "strip-held-down",
        "tail-labelled",
        "tail-freed",
        "cable-taped",
        "lights-out-of-form",
        "lights-after-trim",
        "lights-after-fill",
    ]
    for name in lit:
        places = stands_on(name, bench)
        assert places, name
        assert {place.split("/")[0] for place in places} == {"seat"}, name


def test_the_strips_lift_covers_lights_and_slate(bench: ProjectFile) -> None:
    assert stands_on("strip-held-down", bench) == ["seat/strip"]
    assert stands_on("stone-washed", bench) == ["seat/strip"]


def test_what_was_done_on_the_bench_stands_in_its_stages_and_on_its_subjects(bench: ProjectFile) -> None:
    done = [
        (held, subject, name)
        for held, of in bench.record.done.items()
        for subject, checks in of.items()
        for name in checks
    ]
    assert done
    for held, subject, name in done:
        assert name in {check.id for check in stage(held).checks}
        assert subject in stands_on(name, bench)


def test_running_and_ended_timers_of_the_bench_are_known(bench: ProjectFile) -> None:
    known = {check.timer.id for held in STAGES for check in held.checks if check.timer is not None}
    started = {timer.timer for timer in bench.record.timer.values()}
    ended = {row.timer for rows in bench.record.ended.values() for row in rows}
    assert started
    assert started | ended <= known


def test_every_timer_rule_that_the_bench_gives_can_be_read(bench: ProjectFile) -> None:
    for _, check in CHECKS.values():
        if check.timer is None:
            continue
        for subject in subjects(bench, check.over):
            text = check.timer.rule_for(bench, subject)
            if text is not None:
                rule = parse_rule(text)
                assert rule.cure or rule.offsets or rule.every
