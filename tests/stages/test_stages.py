"""What holds for the nine stages as lists: order, ids, prerequisites, words and timer rules."""

from __future__ import annotations

import unicodedata
from graphlib import TopologicalSorter

import pytest

from workshop.project.timers import parse_rule
from workshop.stages import CHECKS, STAGES, stage
from workshop.stages.checklist import Check, Over, Stage
from workshop.stages.lifts import STARTED_BY_POURING

ALL = tuple(check for held in STAGES for check in held.checks)
LONGEST_TEXT = 56
"""A check's line at 80 columns, beside the rail."""
LONGEST_AT_ZERO = 40

ABOVE = {
    Over.SLAB: Over.PROJECT,
    Over.LEG: Over.PROJECT,
    Over.CASTING: Over.PROJECT,
    Over.LIFT: Over.CASTING,
    Over.COAT: Over.CASTING,
    Over.GRIT: Over.CASTING,
    Over.FACE: Over.CASTING,
    Over.BATCH: Over.LIFT,
}


def line_above(over: Over) -> tuple[Over, ...]:
    """The sort itself and those it belongs to, up to the project."""
    return (over, *line_above(ABOVE[over])) if over in ABOVE else (over,)


def all_before(name: str) -> set[str]:
    """Every check that comes before this one, directly or by another."""
    found: set[str] = set()
    waiting = list(CHECKS[name][1].after)
    while waiting:
        before = waiting.pop()
        if before not in found:
            found.add(before)
            waiting += CHECKS[before][1].after
    return found


def texts(held: Stage) -> list[str]:
    words = [held.title, held.purpose, *held.cautions]
    for check in held.checks:
        words += [check.text, check.group]
        if check.timer is not None:
            words += [check.timer.title, check.timer.at_zero]
    return words


def is_allowed(glyph: str) -> bool:
    """Letters, digits and punctuation of western languages, box drawing, blocks, shapes and arrows."""
    drawn = 0x2190 <= ord(glyph) <= 0x21FF or 0x2500 <= ord(glyph) <= 0x25FF
    return drawn or (ord(glyph) < 0x2200 and unicodedata.category(glyph)[0] in "LNPZS")


def test_the_nine_stages_stand_in_the_order_of_the_build() -> None:
    assert [held.id for held in STAGES] == [
        "stock-prep",
        "form",
        "seal-coat",
        "lifts",
        "flattening",
        "fill",
        "abrasive-schedule",
        "finish",
        "assembly",
    ]
    assert all(stage(held.id) is held for held in STAGES)


def test_an_unknown_stage_is_answered_with_the_nine() -> None:
    with pytest.raises(KeyError, match="flattening"):
        stage("sanding")


def test_a_check_has_one_id_over_all_stages() -> None:
    assert len(CHECKS) == len(ALL)


@pytest.mark.parametrize("check", ALL, ids=lambda check: check.id)
def test_an_id_is_short_and_kebab_case(check: Check) -> None:
    assert len(check.id) <= 24
    assert all(part.isalnum() and part == part.lower() for part in check.id.split("-"))


@pytest.mark.parametrize("check", ALL, ids=lambda check: check.id)
def test_a_prerequisite_is_a_known_check_on_the_same_thing_or_on_its_ancestor_or_parts(check: Check) -> None:
    for before in check.after:
        other = CHECKS[before][1].over
        assert other in line_above(check.over) or check.over in line_above(other), before


def test_prerequisites_never_go_in_a_circle() -> None:
    order = tuple(TopologicalSorter({check.id: check.after for check in ALL}).static_order())
    assert set(order) == set(CHECKS)


@pytest.mark.parametrize("check", ALL, ids=lambda check: check.id)
def test_a_check_says_what_to_do_in_one_line(check: Check) -> None:
    assert check.text.strip() == check.text != ""
    assert check.text[0].isupper()
    assert not check.text.endswith(".")
    assert len(check.text) <= LONGEST_TEXT


@pytest.mark.parametrize("held", STAGES, ids=lambda held: held.id)
def test_a_stage_is_written_in_allowed_glyphs_only(held: Stage) -> None:
    assert [glyph for text in texts(held) for glyph in text if not is_allowed(glyph)] == []


@pytest.mark.parametrize("held", STAGES, ids=lambda held: held.id)
def test_a_stage_has_cautions_of_one_sentence_each(held: Stage) -> None:
    assert held.cautions
    for caution in held.cautions:
        assert caution.endswith(".")
        assert ". " not in caution


@pytest.mark.parametrize(
    "check", [check for check in ALL if check.timer is not None], ids=lambda check: check.id
)
def test_a_timer_has_a_rule_that_can_be_read_and_says_what_to_do_at_zero(check: Check) -> None:
    assert check.timer is not None
    assert check.timer.title
    assert 0 < len(check.timer.at_zero) <= LONGEST_AT_ZERO
    if isinstance(check.timer.rule, str):
        rule = parse_rule(check.timer.rule)
        assert rule.cure or rule.offsets or rule.every


def test_a_timer_has_one_id_over_all_stages() -> None:
    ids = [check.timer.id for check in ALL if check.timer is not None]
    assert len(set(ids)) == len(ids)


def test_only_a_poured_lift_starts_a_cure_timer() -> None:
    assert [check.id for check in ALL if check.timer is not None and check.timer.rule == "cure"] == ["poured"]
    assert CHECKS["poured"][1].over is Over.LIFT


def test_pouring_starts_cure_leak_watch_and_bubbles() -> None:
    timers = [CHECKS[name][1].timer for name in STARTED_BY_POURING]
    assert [timer.id for timer in timers if timer is not None] == ["cure", "leak-watch", "bubbles"]


def test_lifts_and_assembly_are_read_in_their_groups() -> None:
    for name, groups in (
        ("lifts", ["before", "pour", "after"]),
        ("assembly", ["frame", "joints", "wiring", "hand-over"]),
    ):
        assert list(dict.fromkeys(check.group for check in stage(name).checks)) == groups


# What the shop does first: common practice, no source


def test_release_agent_goes_on_the_form_when_the_pieces_were_dry_fitted_and_are_out_again() -> None:
    assert {"pieces-dry-fitted", "pieces-out"} <= all_before("release-agent")


def test_release_agent_waits_until_the_seal_coat_is_on_the_wood() -> None:
    assert "faces-covered" in all_before("release-agent")


def test_the_water_test_comes_after_the_bead_and_before_the_release_agent() -> None:
    assert "fixings-on-wet-bead" in all_before("water-test")
    assert "water-test" in all_before("release-agent")


def test_end_grain_is_sealed_before_the_faces() -> None:
    assert "end-grain-first" in all_before("faces-covered")


def test_the_seal_coat_is_scuffed_with_p120_only_when_it_was_hard_next_day_and_washed() -> None:
    assert {"hardness-next-day", "blush-washed"} <= all_before("gloss-scuffed")
    assert "P120" in CHECKS["gloss-scuffed"][1].text


def test_the_seal_coats_cup_is_weighed_on_a_checked_scale() -> None:
    assert "scale-checked" in all_before("seal-weighed")


def test_a_ratio_is_shown_good_when_both_parts_are_weighed_and_before_anything_is_mixed() -> None:
    assert {"weigh-a", "weigh-b"} <= all_before("ratio-shown-good")
    assert "ratio-shown-good" in all_before("mixed")


@pytest.mark.parametrize("pouring", ["weigh-a", "bucket-not-scraped", "poured"])
def test_nothing_is_poured_before_lights_hold_downs_level_and_leak_kit_are_seen_to(pouring: str) -> None:
    assert {"lights-tested", "hold-downs-on", "level-read-again", "leak-kit-ready"} <= all_before(pouring)


def test_the_time_of_a_batch_runs_from_when_b_meets_a() -> None:
    started = {check.id: check.timer.id for check in ALL if check.timer is not None}
    assert started["weigh-b"] == "pot-life"
    assert started["seal-weighed"] == "seal-pot-life"
    assert "ratio-shown-good" not in started


def test_the_window_of_a_seal_coat_runs_from_its_earliest_coat() -> None:
    started = {check.id: check.timer.id for check in ALL if check.timer is not None}
    assert started["end-grain-first"] == "seal-window"
    assert started["faces-covered"] == "seal-recoat"


def test_a_batch_is_poured_only_from_the_second_bucket() -> None:
    assert "bucket-changed" in all_before("bucket-not-scraped")


def test_the_light_tail_is_freed_before_the_walls_come_off() -> None:
    assert "tail-freed" in all_before("walls-off")


def test_the_first_pass_waits_for_level_rails_a_rested_casting_and_drawn_unsafe_zones() -> None:
    assert {"rails-level", "rested", "unsafe-zones-drawn", "cable-taped"} <= all_before("first-pass")


def test_the_second_face_is_cut_only_turned_with_unsafe_zones_drawn() -> None:
    assert {"turned", "cable-taped", "unsafe-zones-drawn"} <= set(CHECKS["second-face"][1].after)


def test_a_trim_line_is_checked_against_buried_things_before_it_is_cut() -> None:
    assert "trim-lines-checked" in all_before("trimmed")


def test_lights_are_tested_in_the_form_out_of_it_after_the_trim_and_after_the_fill() -> None:
    tests = {"lights-tested", "lights-out-of-form", "lights-after-trim", "lights-after-fill", "lights-run"}
    assert all(CHECKS[name][1].applies is not None for name in tests)
    assert {"walls-off"} <= all_before("lights-out-of-form")
    assert {"trimmed"} <= all_before("lights-after-trim")
    assert {"filled-flush"} <= all_before("lights-after-fill")


def test_fill_goes_only_into_what_was_cut_back_to_hard() -> None:
    assert "soft-cut-back" in all_before("filled-proud")


def test_finish_goes_on_wiped_cured_work_over_its_dew_point() -> None:
    assert {"wiped-dry", "cured-for-finish", "above-dew-point"} <= all_before("zone-by-zone")


def test_screws_go_in_only_with_the_least_thickness_the_cover_and_the_bit_stop_known() -> None:
    assert {"least-thickness", "cover-over-holes", "bit-stop-set"} <= all_before("screws-in-wood")


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("moisture-read", "14 d"),
        ("bubbles-passed", "10 25 45 min"),
        ("leak-watched", "5 15 30 60 min, then every 1 h until gel"),
        ("rested", "24 h"),
        ("cutter-checked", "every 30 min"),
        ("welded", "60 min"),
        ("lights-run", "2 h"),
        ("care-sheet", "14 d"),
    ],
)
def test_the_shops_fixed_spans(name: str, rule: str) -> None:
    timer = CHECKS[name][1].timer
    assert timer is not None
    assert timer.rule == rule


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("stock-prep", ("face shield", "dust", "kerf")),
        ("form", ("kills the bond", "fisheyes", "flame", "shim", "safety data sheet")),
        ("seal-coat", ("solvent", "sensitise", "outside", "Uncured dust", "safety data sheet")),
        (
            "lifts",
            (
                "hardener",
                "outside by its handle",
                "organic-vapour and particle mask",
                "heater",
                "torch",
                "lights off",
                "safety data sheet",
            ),
        ),
        (
            "flattening",
            ("silica", "glass", "P100", "face shield", "Unplug", "stamped", "smears", "enough people"),
        ),
        ("fill", ("cotton", "flammable", "skin and eyes", "safety data sheet")),
        ("abrasive-schedule", ("shoulder", "clogs", "low-voltage")),
        ("finish", ("alight", "gloves", "silicone", "safety data sheet")),
        ("assembly", ("local code", "qualified welder", "chlorinated", "solvent", "60 min", "Zinc", "shoes")),
    ],
)
def test_a_stages_cautions_name_the_danger(name: str, words: tuple[str, ...]) -> None:
    said = "\n".join(stage(name).cautions)
    assert [word for word in words if word not in said] == []
