"""What a project file may say, and what its values mean."""

import json
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest

from workshop.project.faults import FileFaults
from workshop.project.hours import Days, Hours, QuietHours
from workshop.project.journal import ChangeLine, LoggedLine, NoteLine
from workshop.project.loading import validate
from workshop.project.model import ProjectFile
from workshop.project.notation import Coverage, HolePlace, LengthRange, Point, Region, Ring, Section
from workshop.project.schema import schema


def with_(**tables: Any) -> dict[str, Any]:
    return {"format": 2, **tables}


def refused(document: dict[str, Any]) -> str:
    with pytest.raises(FileFaults) as caught:
        validate(document)
    return str(caught.value)


def test_an_empty_project_knows_nothing_and_is_valid() -> None:
    file = validate(with_())
    assert file.shop.zone is None
    assert file.casting == {}
    assert file.record.batch == {}


def test_a_quantity_keeps_its_text_and_means_its_si_value() -> None:
    file = validate(with_(slab={"hickory": {"length": "5 ft 4 in"}}))
    length = file.slab["hickory"].length
    assert length is not None
    assert length.text == "5 ft 4 in"
    assert length.value == pytest.approx(64 * 0.0254)


def test_a_lift_is_found_by_its_id() -> None:
    rows = [{"id": "base", "to": "6 mm"}, {"id": "top", "to": "29 mm"}]
    file = validate(with_(casting={"seat": {"lifts": rows}}))
    assert file.casting["seat"].lifts[0].id == "base"
    top = file.casting["seat"].lift("top")
    assert top is not None and top.to is not None
    assert top.to.value == pytest.approx(0.029)


def test_a_resin_class_may_be_written_with_a_space_or_a_hyphen() -> None:
    file = validate(with_(resin={"a": {"class": "slow casting"}, "b": {"class": "slow-casting"}}))
    assert file.resin["a"].class_ == file.resin["b"].class_ == "slow-casting"


def test_a_check_is_a_time_or_a_table_with_its_reason() -> None:
    at = datetime(2026, 3, 5, 20, 30, tzinfo=UTC)
    done = {"form": {"seat": {"level": at, "water-test": {"at": at, "not-needed": "The edge would swell"}}}}
    checks = validate(with_(record={"done": done})).record.done["form"]["seat"]
    assert checks["level"].at == at
    assert checks["level"].not_needed is None
    assert checks["water-test"].not_needed == "The edge would swell"


def test_a_record_of_something_gone_is_kept() -> None:
    batch = {"b1": {"of": "gone/base", "a": "688 g"}}
    assert validate(with_(record={"batch": batch})).record.batch["b1"].of == "gone/base"


def test_rows_without_an_id_are_given_the_next_free_one() -> None:
    rows = [{"to": "6 mm"}, {"id": "l4", "to": "20 mm"}, {"to": "29 mm"}]
    record = {"poured": {"seat/l6": {"to": "30 mm"}}}
    file = validate(with_(casting={"seat": {"lifts": rows, "voids": [{}]}}, record=record))
    assert [lift.id for lift in file.casting["seat"].lifts] == ["l7", "l4", "l8"]
    assert file.casting["seat"].voids[0].id == "v1"


@pytest.mark.parametrize(
    ("text", "x", "y"),
    [
        ("720, 100 mm", 0.72, 0.1),
        ("2 ft 4 in, 3 in", 28 * 0.0254, 3 * 0.0254),
        ("28 1/2, 4 in", 0.7239, 0.1016),
        ("740, -5 mm", 0.74, -0.005),
        ("0, 0", 0, 0),
    ],
)
def test_a_place_takes_the_unit_at_its_end_for_both(text: str, x: float, y: float) -> None:
    point = Point.take(text)
    assert point.text == text
    assert (point.x, point.y) == pytest.approx((x, y))


def test_short_texts_mean_what_the_trade_says() -> None:
    hole = HolePlace.take("1440, 205, 14 mm")
    assert (hole.x, hole.y, hole.diameter) == pytest.approx((1.44, 0.205, 0.014))
    tube = Section.take("60 x 40 x 3 mm")
    assert (tube.breadth, tube.height, tube.wall) == pytest.approx((0.06, 0.04, 0.003))
    feet = LengthRange.take("10 mm to 22 mm")
    assert (feet.low, feet.high) == pytest.approx((0.01, 0.022))
    assert Ring.take("612, 41; 640, 58; 655, 44").points == ((612, 41), (640, 58), (655, 44))
    assert Region.take("resin").points is None
    assert Region.take("0, 0; 1, 0; 1, 1 m").points == ((0, 0), (1, 0), (1, 1))
    assert Hours.take("17:30 to 21:30").spans == ((1050, 1290),)
    assert Hours.take("8 am to 5:30 pm").spans == ((480, 1050),)
    assert Hours.take("closed").spans == ()
    assert QuietHours.take("22:00 to 7:00").spans == ((1320, 420),)
    assert Days.take("weekend, friday").names == ("friday", "saturday", "sunday")


def test_a_coverage_is_an_area_per_volume_or_a_mass_per_area() -> None:
    assert Coverage.take("5 m²/L").area_per_volume == pytest.approx(5000)
    assert Coverage.take("200 g/m²").mass_per_area == pytest.approx(0.2)
    assert Coverage.take("5 m²/L").mass(1000) == pytest.approx(0.2)


def test_a_journal_line_has_its_columns() -> None:
    note = NoteLine.take("2026-03-04 19:30:00+01:00 | seat | Gap 111 mm | as drawn")
    assert (note.subject, note.said) == ("seat", "Gap 111 mm | as drawn")
    change = ChangeLine.take("2026-03-08 19:10:00+01:00 | casting.seat.lifts.strip.to | 31 mm | 29 mm")
    assert (change.old, change.new) == ("31 mm", "29 mm")
    logged = LoggedLine.take("2026-03-09 17:00:00+01:00 | every 10 min | temperature | 16.4 -1 17.0 °C")
    assert logged.values == pytest.approx((16.4, -1, 17.0))
    assert (logged.readings()[2][0] - logged.at).total_seconds() == 1200


@pytest.mark.parametrize(
    ("document", "said"),
    [
        (with_(piece={"p1": {"slab": "oak"}}), "there is no slab 'oak'"),
        (with_(slab={"oak": {}}, piece={"p1": {"slab": "aok"}}), "did you mean `oak`?"),
        (with_(slab={"oak": {}}, resin={"oak": {}}), "the name `oak` is already that of [slab.oak]"),
        (with_(casting={"upper": {}}), "reserved"),
        (
            with_(casting={"seat": {"bed": {"a": {}}, "cable": {"a": {}}}}),
            "already that of [casting.seat.bed.a]",
        ),
        (
            with_(casting={"seat": {"lifts": [{"id": "a", "to": "9 mm"}, {"id": "b", "to": "8 mm"}]}}),
            "not above",
        ),
        (with_(casting={"seat": {"bed": {"a": {"from": "9 mm", "to": "8 mm"}}}}), "where the bed begins"),
        (with_(slab={"oak": {"unit": "mm", "stations": [{"at": 5}, {"at": 5}]}}), "the order of the tape"),
        (with_(slab={"oak": {"stations": [{"at": 5}]}}), 'write unit = "mm"'),
        (with_(shop={"zone": "Europe/Nowhere"}), "is not a time zone"),
        (with_(shop={"humidity": "155 %"}), "from 0 % to 100 %"),
        (with_(slab={"oak": {"thickness": "-5 mm"}}), "must be above zero"),
        (with_(slab={"oak": {"thickness": "5 kg"}}), "is not a length"),
        (with_(slab={"oak": {"price": "9.00 USD"}}, project={"currency": "EUR"}), "not in EUR"),
        (with_(slab={"Oak Wide": {}}), "cannot be a name"),
        (with_(slab={"oak-from-the-river": {}}), "at most 16"),
        (with_(slab={"oak": {"thicknes": "5 mm"}}), "unknown key `thicknes`; did you mean `thickness`?"),
        (with_(slabs={"oak": {}}), "did you mean `slab`?"),
        (with_(slab={"oak": {"stations": [{"at": 0, "lef": 1}]}}), "did you mean `left`?"),
        (with_(slab={"oak": "wide"}), "is not a table"),
        (with_(casting={"seat": {"lifts": "6 mm"}}), "is not a list"),
        (with_(record={"batch": {"b1": {"a": "688 g"}}}), "record.batch.b1.of: is missing; add the key `of`"),
        (with_(record={"poured": {"a": {"at": datetime(2026, 3, 1, 9)}}}), "no offset from UTC"),
        (with_(frame={"section": "6 x 40 x 30 mm"}), "walls thicker than half"),
        ({"format": 3}, "format 3"),
        ({}, "format"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence_with_a_mend(document: dict[str, Any], said: str) -> None:
    message = refused(document)
    assert said in message
    assert "\n" not in message
    assert ": " in message and ("; " in message)


def test_bare_numbers_count_in_the_slabs_own_unit() -> None:
    rows = [{"at": 0, "left": Decimal("3.5")}, {"at": 10, "left": "3 1/2"}]
    slab = validate(with_(slab={"oak": {"unit": "in", "stations": rows}})).slab["oak"]
    assert [slab.metres(station.left or 0) for station in slab.stations] == pytest.approx([0.0889, 0.0889])


def test_the_schema_names_every_table_and_says_what_each_key_means() -> None:
    made = schema()
    assert made["$schema"].endswith("2020-12/schema")
    assert set(made["properties"]) == {kebab.replace("_", "-") for kebab in ProjectFile.model_fields}
    lift = made["$defs"]["Lift"]["properties"]
    assert "the day it is planned for" in lift["pour"]["description"].lower()
    assert lift["to"]["examples"] == ["57 mm"]
    json.dumps(made)
