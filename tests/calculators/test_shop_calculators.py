"""Dew point, saw, form, batches, rails, holes, slots, tipping and packs as a maker calls them."""

import pytest

from workshop.calculator import Calculation, Calculator, InputError, calculate
from workshop.calculators import (
    batches,
    dew_point,
    drill_depth,
    flood_coat,
    form_parts,
    pack_sizes,
    rail_level,
    saw_reach,
    slot_length,
    tip_over,
    wood_density,
)
from workshop.figures import Level
from workshop.shapes import calculation_json

KITS = '[["1.5 kg", "39.50 EUR"], ["7.5 kg", "142.00 EUR"]]'


def run(calculator: Calculator, **texts: str) -> Calculation:
    return calculate(calculator, {key.replace("_", "-"): text for key, text in texts.items()})


def value(made: Calculation, id: str) -> float:
    found = made.result.figure(id)
    assert found is not None, id
    return found.value


def level(made: Calculation, rule: str) -> Level | None:
    return next((held.level for held in made.result.findings if held.rule == rule), None)


# Air


@pytest.mark.parametrize(
    ("surface", "found"), [("12.4 °C", None), ("12.1 °C", Level.WARN), ("9 °C", Level.STOP)]
)
def test_a_surface_wants_three_kelvin_over_the_dew_point(surface: str, found: Level | None) -> None:
    # 20 °C at 50 %: a dew point of 9.27 °C.
    made = run(dew_point.CALCULATOR, temperature="20 °C", humidity="50 %", surface=surface)
    assert level(made, "dew-gap-small") is found
    assert value(made, "least-surface") == pytest.approx(value(made, "dew-point") + 3)


def test_a_surface_that_nobody_read_counts_as_warm_as_the_air() -> None:
    made = run(dew_point.CALCULATOR, temperature="20 °C", humidity="50 %")
    assert value(made, "dew-gap") == pytest.approx(20 - value(made, "dew-point"))


# Wood


@pytest.mark.parametrize(
    ("before", "now", "found"),
    [("10.4 %", "10 %", None), ("9.3 %", "9.9 %", Level.NOTE), ("12 %", "11 %", Level.WARN)],
)
def test_two_readings_of_steady_wood_differ_by_half_a_percent_at_most(
    before: str, now: str, found: Level | None
) -> None:
    made = run(
        wood_density.CALCULATOR, species="ash, white", moisture=now, moisture_before=before, between="14 d"
    )
    assert level(made, "wood-drifting") is found


def test_readings_a_week_apart_are_reckoned_to_a_fortnight() -> None:
    made = run(
        wood_density.CALCULATOR, species="ash, white", moisture="9 %", moisture_before="9.4 %", between="7 d"
    )
    assert value(made, "drift") == pytest.approx(-0.008)


def test_the_limit_on_the_resins_sheet_goes_before_the_habit() -> None:
    wood = {"species": "ash, white", "moisture": "8.5 %"}
    assert level(run(wood_density.CALCULATOR, **wood), "wood-wet") is None
    assert level(run(wood_density.CALCULATOR, **wood, moisture_limit="8 %"), "wood-wet") is Level.STOP


# Saw and form


@pytest.mark.parametrize(
    ("thickness", "passes", "left"),
    [("45 mm", 1, 0.0), ("52 mm", 2, 0.002), ("90 mm", 2, 0.04), ("103 mm", 3, 0.053)],
)
def test_passes_and_what_the_rail_leaves_standing(thickness: str, passes: int, left: float) -> None:
    made = run(saw_reach.CALCULATOR, thickness=thickness, depth_on_rail="50 mm", depth_off_rail="54 mm")
    assert value(made, "passes") == passes
    assert value(made, "left-standing") == pytest.approx(left)
    assert level(made, "saw-short-on-rail") is (Level.NOTE if passes > 1 else None)
    assert len(made.result.tables["passes"].rows) == passes


def test_a_slab_that_no_pass_parts_is_a_stop() -> None:
    made = run(saw_reach.CALCULATOR, thickness="120 mm", depth_on_rail="50 mm", depth_off_rail="54 mm")
    assert level(made, "saw-too-small") is Level.STOP
    assert "6 mm deeper" in made.result.findings[0].remedy.say()


def test_the_parts_of_a_form_are_listed_with_their_counts() -> None:
    made = run(
        form_parts.CALCULATOR, length="1400 mm", width="400 mm", depth="52 mm", trim="20 mm", board="18 mm"
    )
    rows = made.result.tables["parts"].text_rows()
    assert rows == [
        ["floor", "1", "1476 mm", "476 mm"],
        ["long wall", "2", "1476 mm", "52 mm"],
        ["short wall", "2", "440 mm", "52 mm"],
    ]
    assert value(made, "sealant") == 0
    assert value(made, "cartridges") == 0


@pytest.mark.parametrize(("spacing", "found"), [("200 mm", None), ("250 mm", Level.WARN)])
def test_fixings_stand_at_most_200_mm_apart(spacing: str, found: Level | None) -> None:
    made = run(
        form_parts.CALCULATOR,
        length="1 m",
        width="400 mm",
        depth="5 cm",
        board="18 mm",
        fixing_spacing=spacing,
    )
    assert level(made, "fixings-too-far-apart") is found


# Batches


def test_a_lift_is_mixed_in_equal_batches_that_fit_the_bucket() -> None:
    # 60 % of 5 L at 1.1 kg/L is 3.3 kg: 6.2 kg are two batches of 3.1 kg.
    made = run(batches.CALCULATOR, mass="6.2 kg", bucket="5 L", bucket_fraction="60 %", pot_life="3 h")
    assert value(made, "batches") == 2
    assert value(made, "each") == pytest.approx(3.1)
    assert value(made, "usable-time") == pytest.approx(90 * 60)


def test_what_the_bucket_heats_itself_is_named_as_left_out() -> None:
    made = run(batches.CALCULATOR, mass="6.2 kg", pot_life="3 h")
    for id in ("batches", "usable-time"):
        figure = made.result.figure(id)
        assert figure is not None
        assert any("heat" in note for note in figure.working.assumed)


@pytest.mark.parametrize(
    ("elapsed", "found"), [("29 min", None), ("31 min", Level.WARN), ("61 min", Level.STOP)]
)
def test_a_batch_is_in_the_form_within_half_its_pot_life(elapsed: str, found: Level | None) -> None:
    made = run(batches.CALCULATOR, mass="1 kg", pot_life="1 h", elapsed=elapsed)
    assert level(made, "batch-late") is found


def test_a_batch_larger_than_the_pot_life_is_stated_for_gels_sooner() -> None:
    made = run(batches.CALCULATOR, mass="3.11 kg", pot_life="35 min", pot_mass="100 g")
    assert level(made, "batch-over-pot-mass") is Level.WARN
    found = made.result.findings[0]
    assert "31 times" in found.text.say()
    assert "Mix 32 batches of 100 g" in found.remedy.say()
    usable = made.result.figure("usable-time")
    assert usable is not None
    assert any("31 times the mass on the sheet" in note for note in usable.working.assumed)
    small = run(batches.CALCULATOR, mass="100 g", pot_life="35 min", pot_mass="100 g")
    assert level(small, "batch-over-pot-mass") is None


def test_a_sheet_without_a_temperature_is_taken_at_20_degrees() -> None:
    # 10 K warmer than 20 °C: half of half an hour.
    made = run(batches.CALCULATOR, mass="1 kg", pot_life="1 h", temperature="30 °C")
    assert value(made, "usable-time") == pytest.approx(15 * 60)
    usable = made.result.figure("usable-time")
    assert usable is not None
    assert any("20 °C" in note for note in usable.working.assumed)


@pytest.mark.parametrize(("low", "found"), [("15 °C", None), ("14 °C", Level.STOP)])
def test_a_shop_colder_than_the_resin_cures_at_is_a_stop(low: str, found: Level | None) -> None:
    made = run(batches.CALCULATOR, mass="1 kg", temperature_low=low, least_temperature="15 °C")
    assert level(made, "shop-too-cold") is found


# Flood coat


def test_a_flood_coat_of_one_square_metre() -> None:
    # 3 L, and 1.1 kg/L where no density is given; 5 mm take two coats of 2.5 mm.
    made = run(flood_coat.CALCULATOR, area="1 m²")
    assert value(made, "volume") == pytest.approx(0.003)
    assert value(made, "mass") == pytest.approx(3.3)
    assert value(made, "coats") == 1
    assert value(run(flood_coat.CALCULATOR, area="1 m²", thickness="5 mm"), "coats") == 2
    assert level(run(flood_coat.CALCULATOR, area="1 m²", thickness="1 mm"), "flood-too-thin") is Level.WARN


# Rails


def test_every_point_is_shimmed_up_to_the_highest() -> None:
    made = run(rail_level.CALCULATOR, readings="[[0, 0, 92.1], [640, 0, 93.3], [640, 1500, 92.2]]")
    assert value(made, "height-range") == pytest.approx(0.0012)
    assert [value(made, f"shim-{n}") for n in (1, 2, 3)] == pytest.approx([0.0012, 0, 0.0011])
    assert "point 1 by 1.2 mm" in made.result.findings[0].remedy.say()


def test_a_sled_that_sags_more_than_the_rails_may_differ_is_a_warning() -> None:
    sled = {"span": "1200 mm", "load": "20 kg", "section": "[20, 20, 2]"}
    made = run(rail_level.CALCULATOR, **sled)
    # P L^3 / 48 E I of a tube 20 x 20 x 2 with I of 0.69 cm4 (EN 10219-2, from memory): 4.9 mm, within 3 %.
    assert value(made, "sag") == pytest.approx(4.87e-3, rel=0.03)
    assert level(made, "sled-sags") is Level.WARN
    lighter = run(rail_level.CALCULATOR, **{**sled, "span": "60 cm"})
    assert value(lighter, "sag") == pytest.approx(value(made, "sag") / 8)


def test_a_load_on_the_sled_is_a_mass_or_a_force() -> None:
    sled = {"span": "1200 mm", "section": "[20, 20, 2]"}
    by_force = run(rail_level.CALCULATOR, **sled, load="196.133 N")
    assert value(by_force, "sag") == pytest.approx(
        value(run(rail_level.CALCULATOR, **sled, load="20 kg"), "sag")
    )


def test_one_height_or_a_tube_without_a_side_is_refused() -> None:
    with pytest.raises(InputError, match="2 places"):
        run(rail_level.CALCULATOR, heights="[92]")
    with pytest.raises(InputError, match="span"):
        run(rail_level.CALCULATOR, load="10 kg")
    with pytest.raises(InputError, match="section"):
        run(rail_level.CALCULATOR, span="1 m", load="10 kg", section="[20, 20, 8]")


# Holes, slots, tipping


@pytest.mark.parametrize(("screw", "found"), [("38 mm", None), ("40 mm", Level.WARN), ("50 mm", Level.STOP)])
def test_a_screw_that_would_come_through_is_a_stop(screw: str, found: Level | None) -> None:
    made = run(
        drill_depth.CALCULATOR, part_thickness="45 mm", through="5 mm", keep="8 mm", point="4 mm", screw=screw
    )
    assert level(made, "screw-comes-through") is found
    assert value(made, "longest-screw") == pytest.approx(0.038)


def test_a_screw_that_reaches_the_far_face_is_a_stop_though_the_hole_takes_it() -> None:
    made = run(drill_depth.CALCULATOR, part_thickness="45 mm", screw="45 mm")
    assert value(made, "longest-screw") == pytest.approx(0.045)
    assert level(made, "screw-comes-through") is Level.STOP
    said = next(held for held in made.result.findings if held.rule == "screw-comes-through")
    assert "0 mm" not in said.text.say().replace("40 mm", "")
    assert "40 mm or shorter" in said.remedy.say()


@pytest.mark.parametrize(("keep", "found"), [("0 mm", Level.WARN), ("5 mm", None)])
def test_something_of_the_part_is_kept_beyond_the_point(keep: str, found: Level | None) -> None:
    assert level(run(drill_depth.CALCULATOR, part_thickness="45 mm", keep=keep), "nothing-kept") is found


def test_a_part_with_no_room_for_a_hole_is_a_stop() -> None:
    made = run(drill_depth.CALCULATOR, part_thickness="10 mm", keep="8 mm", point="4 mm")
    assert value(made, "drill-depth") == 0
    assert level(made, "no-room-for-hole") is Level.STOP


def test_a_slot_is_bolt_and_swing_and_two_millimetres() -> None:
    made = run(slot_length.CALCULATOR, movement="-3 mm", bolt="6 mm")
    assert value(made, "slot") == pytest.approx(0.011)
    assert value(made, "bolt-place") == pytest.approx(0.0055)
    damp = run(slot_length.CALCULATOR, movement="3 mm", bolt="6 mm", position="100 %")
    assert value(damp, "bolt-place") == pytest.approx(0.007)


def test_a_piece_tips_under_what_it_is_asked_to_bear() -> None:
    asked = {"load": "100 N", "push_wanted": "45 N"}
    made = run(tip_over.CALCULATOR, mass="10 kg", inside="10 cm", outside="25 cm", push_height="1 m", **asked)
    assert level(made, "tips-under-edge-load") is Level.STOP
    assert level(made, "tips-under-push") is Level.WARN
    # 10 kg 100 mm inside the feet hold 100 N at 98 mm.
    assert "98.1 mm or less beyond them" in made.result.findings[0].remedy.say()
    steady = {"mass": "50 kg", "inside": "30 cm", "outside": "10 cm", "push_height": "75 cm"}
    assert run(tip_over.CALCULATOR, **steady, **asked).result.findings == ()


def test_without_a_load_the_heaviest_person_is_set_beside_what_tips_a_piece() -> None:
    made = run(tip_over.CALCULATOR, mass="50 kg", inside="30 cm", outside="10 cm")
    assert level(made, "edge-load-unknown") is Level.NOTE
    assert "(100 kg is 981 N)" in made.result.findings[0].remedy.say()


def test_an_edge_over_the_feet_tips_under_no_load() -> None:
    made = run(tip_over.CALCULATOR, mass="50 kg", inside="30 cm", outside="0 mm", push_height="75 cm")
    assert [held.id for held in made.result.figures] == ["push"]


# Packs


def test_the_cheapest_kits_for_a_casting() -> None:
    made = run(pack_sizes.CALCULATOR, need="8.4 kg", packs=KITS)
    assert value(made, "cost") == pytest.approx(181.5)
    assert value(made, "left") == pytest.approx(0.6)
    assert made.result.tables["buy"].text_rows() == [
        ["1", "1.5 kg", "39.50 EUR", "39.50 EUR"],
        ["1", "7.5 kg", "142.00 EUR", "142.00 EUR"],
    ]


@pytest.mark.parametrize(
    ("key", "need", "packs", "left"),
    [
        ("need-volume", "700 mL", '[["0.5 L", "31.00 EUR"]]', 0.3e-3),
        ("need-length", "11 m", '[["5 m", "46.00 EUR"]]', 4.0),
        ("need-count", "12", '[["10", "1.80 EUR"], ["100", "14.90 EUR"]]', 8.0),
    ],
)
def test_whatever_is_sold_in_packs_is_bought_alike(key: str, need: str, packs: str, left: float) -> None:
    made = calculate(pack_sizes.CALCULATOR, {key: need, "packs": packs})
    assert value(made, "left") == pytest.approx(left)


def test_packs_are_paid_in_the_currency_they_were_typed_in() -> None:
    made = run(pack_sizes.CALCULATOR, need="3 kg", packs='[["1.5 kg", "60 USD"]]')
    cost = calculation_json(made)["figures"]["cost"]
    assert (cost["unit"], cost["text"]) == ("USD", "120.00 USD")


def test_packs_that_hold_just_what_is_needed_leave_nothing() -> None:
    assert value(run(pack_sizes.CALCULATOR, need="0.3 kg", packs='[["0.1 kg", "9 EUR"]]'), "left") == 0


@pytest.mark.parametrize(
    ("packs", "words"),
    [
        ("[]", "there is none"),
        ('[["1.5 L", "39.50 EUR"]]', "not a mass"),
        ('[["1.5 kg", "much"]]', "not a price"),
        ('[["1.5 kg", "39.50 EUR"], ["7.5 kg", "142.00 USD"]]', "one currency"),
        ('[["0 kg", "39.50 EUR"]]', "holds nothing"),
    ],
)
def test_packs_that_cannot_be_bought_are_refused(packs: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        run(pack_sizes.CALCULATOR, need="6 kg", packs=packs)


def test_a_need_is_taken_in_whatever_kind_it_is_typed() -> None:
    # The same packs by volume and by count: one of the larger is cheapest for twelve of either.
    litres = run(pack_sizes.CALCULATOR, need="12 L", packs='[["5 L", "40 EUR"], ["20 L", "70 EUR"]]')
    pieces = run(pack_sizes.CALCULATOR, need="12", packs="[[5, 40], [20, 70]]")
    assert value(litres, "cost") == value(pieces, "cost") == pytest.approx(70)
    with pytest.raises(InputError, match="need: '12 foo' is not a mass"):
        run(pack_sizes.CALCULATOR, need="12 foo", packs="[[5, 40]]")
