"""A drawing measured with a ruler says what the project says, and nothing in it can harm its reader."""

from __future__ import annotations

from itertools import pairwise
from math import dist
from typing import Any
from xml.etree.ElementTree import Element

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import EXAMPLES, example
from tests.project.documents import documents
from tests.sheets.measuring import NOW, drawn, local, marked, only, region, rings, texts
from workshop.layout.as_placed import casting_as_placed
from workshop.layout.sawing import marked_saws, sawn
from workshop.layout.slab_shape import slab_shape
from workshop.layout.troubles import gaps
from workshop.project.loading import load_text
from workshop.project.project import Project
from workshop.sheets.dimension import spread
from workshop.sheets.drawing import drawing
from workshop.sheets.paper import A4, SCALES
from workshop.trade.outline import outline_area

BENCH = example("tarn-bench")
SHELF = example("gannet-shelf")
HOSTILE = '<script>alert("x")</script> & "quotes" \' ]]> &#0; é'


def view(made: Element, **data: str) -> tuple[Element, float]:
    """One view, and mm of paper for a metre."""
    found = only(made, **data)
    return found, 1000 / float(found.get("data-over") or 0)


@pytest.fixture(scope="module")
def bench() -> Element:
    return drawn(BENCH)


# True to scale


def test_a_unit_of_the_file_is_a_millimetre_of_paper(bench: Element) -> None:
    sheets = len(BENCH.file.casting) + len(BENCH.file.slab)
    assert bench.get("viewBox") == f"0 0 420 {297 * sheets}"
    assert (bench.get("width"), bench.get("height")) == ("420mm", f"{297 * sheets}mm")


@pytest.mark.parametrize("casting", BENCH.file.casting)
def test_the_form_is_as_long_and_as_wide_as_its_inside(bench: Element, casting: str) -> None:
    plan, by = view(bench, view="plan", casting=casting)
    form = BENCH.file.casting[casting].form
    assert form.length is not None and form.width is not None
    left, top, right, bottom = region(only(plan, kind="form")).bounds
    assert (right - left) / by == pytest.approx(form.length.value, abs=1e-4)
    assert (bottom - top) / by == pytest.approx(form.width.value, abs=1e-4)


def test_the_gap_between_two_pieces_is_the_layouts(bench: Element) -> None:
    held = casting_as_placed(BENCH.file, "seat")
    assert held is not None
    (gap,) = (one for one in gaps(held) if one.wall is None)
    plan, by = view(bench, view="plan", casting="seat")
    faces = [
        [region(only(plan, kind="piece", piece=name, face=face)) for name in gap.pieces]
        for face in ("upper", "lower")
    ]
    measured = min(float(one.distance(two)) for one, two in faces)
    assert measured / by == pytest.approx(gap.width, abs=1e-4)
    (line,) = marked(only(plan, measures="gap"), kind="dimension-line")
    assert dist(*rings(line)[0]) / by == pytest.approx(gap.width, abs=1e-4)


def test_a_piece_lies_as_far_from_the_walls_as_the_layout_says(bench: Element) -> None:
    held = casting_as_placed(BENCH.file, "seat")
    assert held is not None
    plan, by = view(bench, view="plan", casting="seat")
    left, _, _, bottom = region(only(plan, kind="form")).bounds
    for piece in held.pieces:
        shown = region(only(plan, kind="piece", piece=piece.id, face="upper")).bounds
        assert (shown[0] - left) / by == pytest.approx(min(x for x, _ in piece.upper), abs=1e-4)
        assert (bottom - shown[3]) / by == pytest.approx(min(y for _, y in piece.upper), abs=1e-4)


def test_the_near_side_of_a_plan_lies_below(bench: Element) -> None:
    plan, _ = view(bench, view="plan", casting="seat")
    near, far = (region(only(plan, kind="piece", piece=name, face="upper")) for name in ("p1", "p2"))
    assert near.centroid.y > far.centroid.y


def test_a_section_shows_lifts_and_cut_planes_at_their_heights(bench: Element) -> None:
    section, by = view(bench, view="section", casting="seat")
    held = casting_as_placed(BENCH.file, "seat")
    assert held is not None
    floor = max(y for _, y in rings(only(section, kind="form-inside"))[0])
    for lift in held.lifts:
        shown = region(only(section, kind="lift", lift=lift.id)).bounds
        assert (floor - shown[3]) / by == pytest.approx(lift.low, abs=1e-4)
        assert (floor - shown[1]) / by == pytest.approx(lift.high, abs=1e-4)
    for cut, height in held.planes():
        ((_, one), (_, two)) = rings(only(section, kind="cut-plane", cut=cut.id))[0]
        assert one == two and (floor - one) / by == pytest.approx(height, abs=1e-4)


@pytest.mark.parametrize("slab", BENCH.file.slab)
def test_a_slab_is_drawn_with_its_area(bench: Element, slab: str) -> None:
    shown, by = view(bench, view="slab", slab=slab)
    area = region(only(shown, kind="slab", face="upper")).area / by**2
    assert area == pytest.approx(outline_area(slab_shape(slab, BENCH.file.slab[slab]).pair.upper), rel=1e-4)


@pytest.mark.parametrize("slab", BENCH.file.slab)
def test_every_saw_line_is_drawn_where_it_is_marked_and_named_with_both_ends(
    bench: Element, slab: str
) -> None:
    shown, by = view(bench, view="slab", slab=slab)
    tape = rings(only(shown, kind="tape"))[0][0][1]
    words = " | ".join(texts(bench))
    for saw in marked_saws(BENCH.file, slab):
        one, two = rings(only(shown, kind="saw-line", saw_line=saw.id))[0]
        assert dist(one, two) / by == pytest.approx(saw.length, abs=1e-3)
        for end, place in zip(saw.ends, (one, two), strict=True):
            assert (tape - place[1]) / by == pytest.approx(end.off, abs=1e-4)
            assert f"at {end.along * 1000:.0f}, {abs(end.off) * 1000:.0f}" in words


def test_scale_bars_are_fifty_millimetres_and_say_what_they_stand_for(bench: Element) -> None:
    bars = marked(bench, kind="scale-bar")
    assert len(bars) == len(marked(bench, kind="page"))
    for bar in bars:
        length = dist(*rings(bar)[0])
        assert length == pytest.approx(50.0, abs=1e-3)
        over = float(bar.get("data-real") or 0) / length * 1000
        assert round(over, 6) in SCALES


def test_a_scale_bar_of_a_project_in_inches_is_two_inches() -> None:
    bars = marked(drawn(SHELF), kind="scale-bar")
    assert bars and all(dist(*rings(bar)[0]) == pytest.approx(50.8, abs=1e-3) for bar in bars)


# All of it


def test_every_piece_saw_line_trim_line_bed_light_and_hole_is_there(bench: Element) -> None:
    file = BENCH.file
    for name in file.piece:
        assert marked(bench, label=name)
    for slab in file.slab:
        shown, _ = view(bench, view="slab", slab=slab)
        assert {one.get("data-saw-line") for one in marked(shown, kind="saw-line")} == {
            row.id for row in file.slab[slab].saw_lines
        }
        assert len(marked(shown, kind="offcut")) == len(sawn(file, slab).offcuts)
    for casting, held in file.casting.items():
        plan, _ = view(bench, view="plan", casting=casting)
        trims = {cut.id for cut in held.cuts if cut.kind == "trim line"}
        assert trims <= {one.get("data-cut") for one in marked(plan, kind="trim-line")}
        assert {one.get("data-bed") for one in marked(plan, kind="bed")} == set(held.bed)
        assert {one.get("data-light-run") for one in marked(plan, kind="light-run")} == set(held.light_run)
        assert len(marked(plan, kind="cable-hole")) == sum(c.hole is not None for c in held.cable.values())
        screws = sum(len(one.places) for one in file.fixing.values() if one.casting == casting)
        assert len(marked(plan, kind="fixing")) == screws


def test_a_lower_face_is_dashed_and_an_upper_one_is_not(bench: Element) -> None:
    plan, _ = view(bench, view="plan", casting="seat")
    assert only(plan, kind="piece", piece="p1", face="lower").get("stroke-dasharray")
    assert not only(plan, kind="piece", piece="p1", face="upper").get("stroke-dasharray")


def test_the_title_strip_says_project_sheet_scale_units_and_day(bench: Element) -> None:
    first = only(bench, sheet="1")
    words = texts(first)
    count = len(marked(bench, kind="page"))
    for text in ("Tarn bench", "Casting seat", "Scale 1:5", "Lengths in mm", f"Sheet 1 of {count}"):
        assert text in words
    # 19:40 in UTC is the evening of the same day in the shop.
    assert "2026-03-09 · A3" in words
    assert "Check the scale bar after printing." in words


def test_the_day_is_the_shops_own() -> None:
    late = NOW.replace(hour=23, minute=30)
    assert "2026-03-10 · A3" in drawing(BENCH, late).decode()


def test_only_black_white_and_greys_are_printed(bench: Element) -> None:
    colours = {one.get(key) for one in bench.iter() for key in ("fill", "stroke")} - {None, "none"}
    assert colours
    for colour in colours:
        digits = str(colour).removeprefix("#")
        assert len(set(digits if len(digits) == 3 else (digits[:2], digits[2:4], digits[4:]))) == 1


@pytest.mark.parametrize("name", EXAMPLES)
def test_nothing_reaches_past_the_margins(name: str) -> None:
    made = drawn(example(name))
    wide, high = (float(value) for value in (made.get("viewBox") or "").split()[2:])
    high /= len(marked(made, kind="page"))
    for path in (one for one in made.iter() if local(one) == "path" and one.get("data-kind") != "page"):
        for x, y in (point for ring in rings(path) for point in ring):
            assert 5 <= x <= wide - 5 and 5 <= y <= high - 5


# What is not known


def test_a_project_with_most_things_unknown_says_what_is_missing() -> None:
    words = texts(drawn(SHELF))
    for sentence in (
        "Not drawn, because not known:",
        "Where p1 lies in the form is not known.",
        "The inner size of the form of shelf is not known.",
        "Which part of hickory is p2 is not known: it needs a mark.",
        "No saw line is given yet.",
    ):
        assert sentence in words


def test_a_project_with_nothing_in_it_says_so() -> None:
    words = texts(drawn(load_text('format = 2\n[project]\nname = "Empty"\n', "empty.toml")))
    assert "This project has no casting and no slab yet: there is nothing to draw." in words
    assert "No scale" in words


def test_sentences_that_find_no_room_follow_on_a_sheet_of_their_own() -> None:
    rows = "".join(f'[piece.p{number}]\nslab = "oak"\ncasting = "top"\n' for number in range(80))
    project = load_text(
        f'format = 2\n[slab.oak]\nlength = "2 m"\nwidth = "0.3 m"\n[casting.top]\n{rows}', "x.toml"
    )
    words = texts(drawn(project))
    for number in range(80):
        assert f"Which part of oak is p{number} is not known: it needs a mark." in words


# Whatever stands in the file


@pytest.mark.parametrize("path", [("project", "name"), ("slab", "ash-wide", "note")])
def test_text_of_the_file_stays_text(path: tuple[str, ...]) -> None:
    made = drawn(BENCH.with_value(path, HOSTILE))
    assert {local(one) for one in made.iter()} <= {"svg", "title", "style", "g", "path", "circle", "text"}
    if path == ("project", "name"):
        assert any(text.startswith('<script>alert("x")') for text in texts(made))


@pytest.mark.parametrize("sign", ["\x00", "\x1b[2J", "\ud800", "￾", "\n"])
def test_signs_that_no_file_may_hold_are_left_out(sign: str) -> None:
    held = BENCH.file.project.model_copy(update={"name": f"Bench{sign}end"})
    project = Project(BENCH.document, BENCH.file.model_copy(update={"project": held}))
    assert any(text.startswith("Bench") for text in texts(drawn(project)))


@given(documents)
@settings(max_examples=60)
def test_every_project_that_can_be_read_can_be_drawn(document: Any) -> None:
    assert marked(drawn(BENCH.with_document(document)), kind="page")


@pytest.mark.parametrize("length", ["1 mm", "3 m", "99 m"])
def test_a_form_of_any_size_is_drawn_or_refused_in_words(length: str) -> None:
    made = drawn(BENCH.with_value(("casting", "seat", "form", "length"), length))
    words = " ".join(texts(only(made, title="Casting seat")))
    plans = marked(made, view="plan", casting="seat")
    assert plans or "too large for any standard scale" in words


def test_another_paper_takes_a_smaller_scale() -> None:
    made: Element = fromstring(drawing(BENCH, NOW, A4))
    plan, _ = view(made, view="plan", casting="seat")
    assert float(plan.get("data-over") or 0) > 5


# Dimensions that would touch


@given(st.lists(st.floats(0, 300), min_size=1, max_size=12), st.floats(0.5, 8))
def test_texts_are_moved_apart_and_keep_their_order(places: list[float], gap: float) -> None:
    places = sorted(places)
    moved = spread(places, gap)
    assert all(two - one >= gap - 1e-9 for one, two in pairwise(moved))
    if all(two - one >= gap for one, two in pairwise(places)):
        assert moved == pytest.approx(places)
    assert sum(moved) == pytest.approx(sum(places), abs=1e-6)
