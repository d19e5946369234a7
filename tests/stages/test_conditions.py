"""A check stands only where it belongs; a timer's rule comes from the project's own figures."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from workshop.project.model import ProjectFile
from workshop.project.timers import parse_rule
from workshop.stages import CHECKS
from workshop.stages.checklist import Over, Subject, subjects
from workshop.stages.rules import sanding

BENCH = """
format = 2

[resin.slow-blue]
pot-life = "180 min"
demould-time = "72 h"

[resin.seal-thin]
pot-life = "35 min"
recoat-limit = "8 h"

[casting.seat]
length = "1000 mm"
width = "500 mm"
resin = "slow-blue"
lifts = [
    { id = "base", to = "6 mm" },
    { id = "strip", to = "29 mm" },
    { id = "top", to = "52 mm" },
]

[casting.seat.form]
bead = "6 mm"

[casting.seat.bed.slate]
from = "6 mm"
to = "24 mm"

[casting.seat.light-run.near]
height = "14 mm"
cable = "tail"

[casting.seat.cable.tail]
length = "2.5 m"

[casting.rail]
lifts = [
    { id = "base", to = "8 mm" },
    { id = "top", to = "34 mm" },
]

[seal-coat]
resin = "seal-thin"

[abrasive-schedule]
start = "P80"
wood-end = "P180"
resin-end = "P400"

[finish]
open-time = "20 min"
coats = [
    { id = "oil-1" },
]

[frame]
legs = [
    "left-leg",
]

[fixing.left-screws]
casting = "seat"
"""


def project(text: str = BENCH, *without: str) -> ProjectFile:
    """The bench, or another project, less the lines that begin like this."""
    kept = "\n".join(line for line in text.splitlines() if not line.startswith(without or "\n"))
    document: dict[str, Any] = tomllib.loads(kept)
    return ProjectFile.model_validate(document)


def stands_on(name: str, file: ProjectFile) -> list[str]:
    check = CHECKS[name][1]
    return [
        held.path for held in subjects(file, check.over) if check.applies is None or check.applies(file, held)
    ]


def rule(name: str, path: str, file: ProjectFile) -> str | None:
    check = CHECKS[name][1]
    assert check.timer is not None
    return check.timer.rule_for(file, next(held for held in subjects(file, check.over) if held.path == path))


@pytest.mark.parametrize(
    "name",
    [
        "light-holes-sealed",
        "tail-freed",
        "cable-taped",
        "lights-out-of-form",
        "lights-after-trim",
        "lights-after-fill",
    ],
)
def test_a_check_of_a_light_stands_only_in_the_casting_with_lights(name: str) -> None:
    assert stands_on(name, project()) == ["seat"]


def test_lights_are_tested_before_every_lift_of_a_casting_with_lights_and_no_other() -> None:
    assert stands_on("lights-tested", project()) == ["seat/base", "seat/strip", "seat/top"]


@pytest.mark.parametrize("name", ["ends-sealed", "strip-held-down", "tail-labelled"])
def test_a_strip_is_fixed_and_sealed_before_the_lift_that_covers_it(name: str) -> None:
    assert stands_on(name, project()) == ["seat/strip"]


def test_a_strip_whose_height_is_not_known_is_asked_about_at_every_lift() -> None:
    file = project(BENCH, 'height = "14 mm"')
    assert stands_on("strip-held-down", file) == ["seat/base", "seat/strip", "seat/top"]


def test_stone_is_washed_before_the_lift_that_flows_into_it() -> None:
    assert stands_on("stone-washed", project()) == ["seat/strip"]


def test_a_bed_whose_height_is_not_known_is_asked_about_at_every_lift() -> None:
    assert stands_on("stone-washed", project(BENCH, "from =")) == ["seat/base", "seat/strip", "seat/top"]


def test_a_base_lift_has_no_resin_under_it_to_scuff() -> None:
    assert stands_on("surface-ready", project()) == ["seat/strip", "seat/top", "rail/top"]


def test_a_window_is_watched_where_another_lift_follows_and_demould_after_the_last() -> None:
    assert stands_on("window-used", project()) == ["seat/base", "seat/strip", "rail/base"]
    assert stands_on("left-until-demould", project()) == ["seat/top", "rail/top"]


def test_unsafe_zones_are_drawn_where_something_is_buried() -> None:
    assert stands_on("unsafe-zones-drawn", project()) == ["seat"]


def test_screws_are_asked_about_in_the_casting_that_a_fixing_names() -> None:
    assert stands_on("screws-in-wood", project()) == ["seat"]


def test_screws_are_asked_about_everywhere_until_a_fixing_is_drawn() -> None:
    assert stands_on("screws-in-wood", project(BENCH.split("[fixing")[0])) == ["seat", "rail"]


def test_wiring_stands_in_a_project_with_lights_and_a_frame_in_one_with_legs() -> None:
    shelf = project("format = 2\n[casting.shelf]\n")
    for name in ("supply-reachable", "lights-run", "frame-dry-fitted"):
        assert stands_on(name, project()) == ["project"]
        assert stands_on(name, shelf) == []


def test_a_legs_checks_stand_for_each_leg() -> None:
    assert stands_on("welded", project()) == ["left-leg"]


# Rules of thumb: common practice, no source


def test_resin_is_usable_for_half_its_sheets_pot_life() -> None:
    check = CHECKS["weigh-b"][1]
    assert check.timer is not None
    batch = Subject("seat/base/b1", Over.BATCH, "seat")
    # Half of 180 min and of 35 min, the half minute given up.
    assert check.timer.rule_for(project(), batch) == "90 min"
    assert rule("seal-weighed", "seat", project()) == "17 min"


def test_a_warm_shop_shortens_the_time_a_batch_can_be_poured_in() -> None:
    # The sheet says 180 min at 23 °C; 33 °C halve what is usable of it, and a cold shop adds nothing.
    check = CHECKS["weigh-b"][1]
    assert check.timer is not None
    batch = Subject("seat/base/b1", Over.BATCH, "seat")
    warm = BENCH.replace('pot-life = "180 min"', 'pot-life = "180 min"\npot-temperature = "23 °C"')
    for shop, expected in (("33 °C", "45 min"), ("13 °C", "90 min")):
        file = project(f'{warm}\n[shop]\ntemperature-high = "{shop}"\n')
        assert check.timer.rule_for(file, batch) == expected


def test_a_bead_cures_inwards_by_two_millimetres_a_day() -> None:
    # 6 mm at 2 mm a day, the slow end.
    assert rule("fixings-on-wet-bead", "seat", project()) == "3 d"
    assert (
        rule(
            "fixings-on-wet-bead",
            "seat",
            project(BENCH.replace('"6 mm"\n\n[casting.seat.bed', '"7 mm"\n\n[casting.seat.bed')),
        )
        == "4 d"
    )


@pytest.mark.parametrize(
    ("name", "path", "expected"),
    [
        ("end-grain-first", "seat", "8 h"),
        ("filled-proud", "seat/upper", "3 d"),
        ("zone-by-zone", "seat/oil-1", "20 min"),
    ],
)
def test_a_span_is_taken_from_the_sheet(name: str, path: str, expected: str) -> None:
    assert rule(name, path, project()) == expected


def test_a_grit_takes_its_rate_times_both_faces_and_the_first_one_twice_as_long() -> None:
    # 1 m² in all: 12 min/m² on wood, twice that for the first grit, 20 min/m² where only resin goes on.
    times = {path: rule("pencil-grid", path, project()) for path in ("seat/p80", "seat/p180", "seat/p400")}
    assert times == {"seat/p80": "24 min", "seat/p180": "12 min", "seat/p400": "20 min"}


@pytest.mark.parametrize(
    "name",
    [name for name, (_, check) in CHECKS.items() if check.timer is not None and callable(check.timer.rule)],
)
def test_what_the_project_does_not_say_gives_no_rule(name: str) -> None:
    timer, over = CHECKS[name][1].timer, CHECKS[name][1].over
    assert timer is not None
    file = project("format = 2\n[casting.shelf]\n")
    assert timer.rule_for(file, Subject("shelf/x", over, "shelf")) is None
    assert timer.rule_for(file, Subject("gone/x", over, "gone")) is None


def test_every_rule_of_the_bench_can_be_read() -> None:
    file = project()
    rules = [
        check.timer.rule_for(file, subject)
        for _, check in CHECKS.values()
        if check.timer is not None
        for subject in subjects(file, check.over)
    ]
    read = [parse_rule(text) for text in rules if text is not None]
    assert read
    assert all(held.cure or held.offsets or held.every for held in read)


def test_a_grade_that_no_system_has_gives_no_rule() -> None:
    file = project(BENCH.replace('"P80"', '"P81"'))
    assert sanding(file, Subject("seat/p80", Over.GRIT, "seat")) is None
