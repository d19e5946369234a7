"""Dew point, form, batches, rails, slots, tipping and packs filled from a project."""

import tomllib
from decimal import Decimal

import pytest

from tests.examples import example, example_plan
from workshop.desk import Given
from workshop.figures import Level
from workshop.plan import Answer, Plan, plan
from workshop.project.project import Project, from_document


def answer(made: Plan, calculator: str, subject: str) -> Answer:
    return next(
        held
        for stage in made.stages
        for held in stage.answers
        if (held.calculator.id, held.subject) == (calculator, subject)
    )


def value(made: Plan, calculator: str, subject: str, figure: str) -> float:
    held = answer(made, calculator, subject)
    assert held.result is not None, [need.what for need in held.needs]
    found = held.result.figure(figure)
    assert found is not None, figure
    return found.value


def filled(made: Plan, calculator: str, subject: str, key: str) -> float:
    """An input's value as the project fills it."""
    source = answer(made, calculator, subject).sources[key]
    assert isinstance(source, Given), source.what
    return float(source.value)


def level(made: Plan, key: str) -> Level | None:
    return next((held.finding.level for held in made.findings if held.key == key), None)


def bench() -> Project:
    return example("tarn-bench")


def project(text: str) -> Project:
    return from_document(tomllib.loads("format = 2\n" + text, parse_float=Decimal), "test.toml")


def test_the_wood_of_the_shop_is_as_cold_as_its_night() -> None:
    assert filled(example_plan("tarn-bench"), "dew-point", "shop", "surface") == 15.0
    assert value(example_plan("tarn-bench"), "dew-point", "shop", "dew-gap") > 3


def test_the_air_as_last_read_counts_beside_it() -> None:
    held = answer(example_plan("tarn-bench"), "dew-point", "shop/last-reading")
    assert held.sources["temperature"].paths == (("record", "readings", "shop", 3, "temperature"),)


def test_a_form_without_a_depth_goes_up_to_its_last_lift_and_freeboard() -> None:
    made = plan(bench().without(("casting", "seat", "form", "depth")), defer=True)
    assert value(made, "form-parts", "seat", "wall-height") == pytest.approx(0.052 + 0.010)


def test_a_batch_that_stood_too_long_is_found() -> None:
    # Two hours from mixing in a resin whose 180 min at 23 °C leave under 2 h at 20.5 °C.
    mixed = tomllib.loads("at = 2026-03-07 09:20:00+01:00")["at"]
    made = plan(bench().with_value(("record", "batch", "b1", "mix-start"), mixed), defer=True)
    assert level(example_plan("tarn-bench"), "batch-late@seat/base/b1") is None
    assert level(made, "batch-late@seat/base/b1") is Level.WARN


def test_a_shop_too_cold_for_the_resin_is_found_at_every_lift_still_to_come() -> None:
    made = plan(bench().with_value(("shop", "temperature-low"), "12 °C"), defer=True)
    found = {held.subject for held in made.findings if held.finding.rule == "shop-too-cold"}
    assert found == {"seat/top", "rail/base", "rail/top"}


def test_rails_count_as_last_read_at_each_place() -> None:
    again = tomllib.loads(
        'row = { at = 2026-03-08 20:00:00+01:00, height = "91.8 mm", place = "near left" }'
    )["row"]
    rows = [*bench().document["record"]["readings"]["sled"], again]
    made = plan(bench().with_value(("record", "readings", "sled"), rows), defer=True)
    assert value(made, "rail-level", "sled", "height-range") == pytest.approx(0.0005)
    assert level(made, "rails-uneven@sled") is Level.WARN


def test_a_sled_of_unknown_tube_still_has_its_rails_levelled() -> None:
    made = plan(bench().without(("tool", "sled", "section")), defer=True)
    held = answer(made, "rail-level", "sled")
    assert held.result is not None and held.result.figure("height-range") is not None
    assert held.result.figure("sag") is None


def test_a_longer_screw_is_found_before_it_is_driven() -> None:
    made = plan(bench().with_value(("fixing", "left-screws", "length"), "52 mm"), defer=True)
    assert level(made, "screw-comes-through@left-screws") is Level.STOP


def test_slots_take_the_movement_of_all_wood_in_the_casting() -> None:
    made = example_plan("tarn-bench")
    changes = {
        end: sum(
            value(made, "wood-movement", f"{slab}/{end}", "change") for slab in ("ash-wide", "ash-narrow")
        )
        for end in ("low", "high")
    }
    swing = changes["high"] - changes["low"]
    assert value(made, "slot-length", "left-screws", "slot") == pytest.approx(0.006 + swing + 0.002)


def test_the_bench_tips_over_its_frame_and_not_over_its_top() -> None:
    # The frame is 360 wide under a seat of 400: 180 inside, 20 outside.
    made = example_plan("tarn-bench")
    levers = [filled(made, "tip-over", "project", key) for key in ("inside", "outside", "push-height")]
    assert levers == pytest.approx([0.18, 0.02, 0.45])


def test_what_tips_the_bench_is_worked_with_all_of_it_as_light_as_its_lightest_wood() -> None:
    # The seat on its legs, without the loose rail: 1400 x 400 x 45 mm, and the legs' steel.
    made = example_plan("tarn-bench")
    light = min(value(made, "wood-density", slab, "density") for slab in ("ash-wide", "ash-narrow"))
    mass = filled(made, "tip-over", "project", "mass")
    assert mass == pytest.approx(1.4 * 0.4 * 0.045 * light + 4 * 0.75 * 4.25, rel=0.001)
    assert mass < filled(made, "carry", "project", "mass")


def test_a_frame_wider_than_its_top_leaves_nothing_to_stand_on_outside_it() -> None:
    made = plan(bench().with_value(("frame", "width"), "420 mm"), defer=True)
    held = answer(made, "tip-over", "project")
    assert held.result is not None
    assert [figure.id for figure in held.result.figures] == ["push"]


def test_the_whole_piece_is_all_castings_and_both_legs() -> None:
    made = example_plan("tarn-bench")
    parts = [filled(made, "carry", subject, "mass") for subject in ("seat", "rail")]
    # Two closed frames of tube 60 x 40 x 3 at 4.25 kg/m (EN 10219-2:2006): 2 * 2 * 0.75 m.
    assert filled(made, "carry", "project", "mass") == pytest.approx(sum(parts) + 4 * 0.75 * 4.25, rel=0.001)


# Packs


def test_only_what_is_still_to_be_poured_is_bought() -> None:
    made = example_plan("tarn-bench")
    masses = [value(made, "resin-volume", lift, "mass") for lift in ("seat/top", "rail/base", "rail/top")]
    assert filled(made, "pack-sizes", "slow-blue", "need") == pytest.approx(sum(masses) - 1.2)


def test_the_seal_coat_of_a_covered_casting_is_not_bought_again() -> None:
    made = example_plan("tarn-bench")
    assert filled(made, "pack-sizes", "seal-thin", "need") == pytest.approx(
        value(made, "seal-coat", "rail", "mass")
    )


def test_runs_that_lie_in_poured_resin_are_bought_no_more() -> None:
    subjects = {
        held.subject
        for held in example_plan("tarn-bench").stage("lifts").answers
        if held.calculator.id == "pack-sizes"
    }
    assert subjects == {"slow-blue", "seal-thin", "finish"}


def test_runs_still_to_be_laid_go_along_their_pieces() -> None:
    fresh = bench().without(("record", "poured")).without(("record", "placed"))
    made = plan(fresh, defer=True)
    # Two edges of pieces 1440 mm long, a little more along the live edge; one reel of 5 m.
    assert 2.88 <= filled(made, "pack-sizes", "warm-24", "need-length") < 2.95
    assert value(made, "pack-sizes", "warm-24", "cost") == pytest.approx(46.0)


def test_enough_at_hand_is_nothing_to_buy() -> None:
    made = plan(bench().with_value(("resin", "slow-blue", "have"), "50 kg"), defer=True)
    assert value(made, "pack-sizes", "slow-blue", "cost") == 0


FLOODED = """
[resin.clear]
density-a = "1.1 kg/L"
moisture-limit = "9 %"

[piece.p1]
slab = "ash"
casting = "top"

[slab.ash]
species = "ash, white"

[casting.top]
length = "1 m"
width = "500 mm"
thickness = "40 mm"
resin = "clear"

[finish]
thickness = "3 mm"
packs = [
    { size = "1 L", price = "25.00 EUR" },
]

[record.readings]
ash = [
    { at = 2026-03-01 09:00:00+01:00, moisture = "11 %" },
    { at = 2026-03-15 09:00:00+01:00, moisture = "9.5 %" },
]
"""


def test_a_finish_with_a_thickness_is_flooded_over_the_show_face_and_edges() -> None:
    made = plan(project(FLOODED), defer=True)
    # 0.5 m2 and 3 m of edge 40 mm high: 0.62 m2 at 3 mm.
    assert value(made, "flood-coat", "top", "volume") == pytest.approx(0.62 * 0.003)
    assert value(made, "pack-sizes", "finish", "cost") == pytest.approx(50.0)


def test_wood_is_held_against_the_sheet_of_the_resin_it_meets() -> None:
    made = plan(project(FLOODED), defer=True)
    assert value(made, "wood-density", "ash", "moisture-room") == pytest.approx(-0.005)
    assert level(made, "wood-wet@ash") is Level.STOP
    assert value(made, "wood-density", "ash", "drift") == pytest.approx(-0.015)
    assert level(made, "wood-drifting@ash") is Level.NOTE
