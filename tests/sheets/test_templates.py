"""Templates, joined by their register marks, are the piece at full size."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import dist
from typing import Any
from xml.etree.ElementTree import Element

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, box, unary_union
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from tests.examples import EXAMPLES, example
from tests.project.documents import documents
from tests.sheets.measuring import local, marked, only, printed, rings, texts
from workshop.layout.placed import as_sawn
from workshop.layout.sawing import marked_saws
from workshop.layout.slab_shape import slab_shape
from workshop.project.loading import load_text
from workshop.sheets.paper import A4, LETTER
from workshop.sheets.template_pages import window_of
from workshop.sheets.templates import MOST
from workshop.sheets.tiling import OVERLAP, tile_name, tiling

BENCH = example("tarn-bench")
SHELF = example("gannet-shelf")
HOSTILE = "</svg></section><script>alert(1)</script> & \"'"


@cache
def bench() -> Element:
    return printed(BENCH)


def pages(made: Element, template: str) -> list[Element]:
    """The sheets of one template."""
    return marked(made, page="tile", template=template)


def joined(made: Element, template: str, **data: str) -> BaseGeometry:
    """A line of a template, its sheets laid together by the places that they state, mm.

    Where two sheets overlap, the one to the right or below lies on top.
    """
    parts = []
    sheets = pages(made, template)
    windows = {page.get("data-tile"): _window(page) for page in sheets}
    for page in sheets:
        across, down = float(page.get("data-x") or 0), float(page.get("data-y") or 0)
        own = box(*windows[page.get("data-tile")])
        later = [box(*held) for held in windows.values() if held > windows[page.get("data-tile")]]
        seen = own.difference(unary_union(later))
        for path in marked(page, **data):
            parts += [translate(LineString(run), across, down).intersection(seen) for run in rings(path)]
    return unary_union(parts)


def turned(held: Element, template: str) -> bool:
    """Whether its length runs down the sheets, as the index says."""
    words = [texts(page) for page in marked(held, page="index")]
    after = next(page[page.index(template) :] for page in words if template in page)
    return "length down the sheets" in after[:4]


def ring_mm(ring: Any) -> LineString:
    """An outline in mm, closed."""
    points = [(x * 1000, y * 1000) for x, y in ring]
    return LineString([*points, points[0]])


# The outline is whole and true


@pytest.mark.parametrize("piece", BENCH.file.piece)
@pytest.mark.parametrize("face", ["upper", "lower"])
def test_the_joined_sheets_show_all_of_a_pieces_outline(piece: str, face: str) -> None:
    held = as_sawn(BENCH.file, piece)
    if face == "lower" and not held.both_faces:
        pytest.skip("its lower face is not measured")
    shown = joined(bench(), piece, kind="piece", face=face)
    wanted = ring_mm(held.pair.outline(1.0 if face == "upper" else 0.0))
    assert shown.length == pytest.approx(wanted.length, abs=0.1)
    # Whichever way the tape runs on the paper, an outline keeps its sides.
    sides = [shown.bounds[2] - shown.bounds[0], shown.bounds[3] - shown.bounds[1]]
    true = [wanted.bounds[2] - wanted.bounds[0], wanted.bounds[3] - wanted.bounds[1]]
    assert sorted(sides) == pytest.approx(sorted(true), abs=0.1)


@pytest.mark.parametrize("piece", BENCH.file.piece)
def test_an_outline_measured_on_the_sheets_is_the_outline_of_the_file(piece: str) -> None:
    wanted = ring_mm(as_sawn(BENCH.file, piece).pair.outline(1.0))
    shown = joined(bench(), piece, kind="piece", face="upper")
    down = turned(bench(), piece)
    points = [
        (y, x) if down else (x, -y) for part in getattr(shown, "geoms", [shown]) for x, y in part.coords
    ]
    # The sheets state places from the template's corner, the file from its tape.
    right = max(x for x, _ in points) - wanted.bounds[2]
    up = max(y for _, y in points) - wanted.bounds[3]
    assert points
    for x, y in points:
        assert wanted.distance(LineString([(x - right, y - up), (x - right, y - up + 1e-9)])) < 0.1
    for corner in wanted.coords:
        assert min(dist(corner, (x - right, y - up)) for x, y in points) < 0.1


@pytest.mark.parametrize("piece", BENCH.file.piece)
def test_a_template_is_not_a_mirror_image(piece: str) -> None:
    """The middle of its outline lies on the same side of the middle of its box as in the file."""
    wanted = ring_mm(as_sawn(BENCH.file, piece).pair.outline(1.0))
    left, bottom, _, top = wanted.bounds
    centre = (wanted.centroid.x - left, wanted.centroid.y - bottom)
    shown = joined(bench(), piece, kind="piece", face="upper")
    if turned(bench(), piece):
        measured = (shown.centroid.y - shown.bounds[1], shown.centroid.x - shown.bounds[0])
    else:
        measured = (shown.centroid.x - shown.bounds[0], shown.bounds[3] - shown.centroid.y)
    assert measured == pytest.approx(centre, abs=0.1)
    assert abs(centre[1] - (top - bottom) / 2) > 0.3, "a piece alike on both sides proves nothing"


@pytest.mark.parametrize("slab", BENCH.file.slab)
def test_a_slabs_sheets_show_its_outline_and_every_saw_line_at_full_length(slab: str) -> None:
    shown = joined(bench(), f"slab {slab}", kind="slab", face="upper")
    outline = ring_mm(slab_shape(slab, BENCH.file.slab[slab]).pair.upper)
    assert shown.length == pytest.approx(outline.length, abs=0.1)
    for saw in marked_saws(BENCH.file, slab):
        line = joined(bench(), f"slab {slab}", kind="saw-line", saw_line=saw.id)
        assert line.length == pytest.approx(saw.length * 1000, abs=0.1)


# The sheets fit each other


@pytest.mark.parametrize("name", EXAMPLES)
def test_neighbours_overlap_by_as_much_as_the_index_says(name: str) -> None:
    made = printed(example(name))
    for template in {page.get("data-template") or "" for page in marked(made, page="tile")}:
        windows = [_window(page) for page in pages(made, template)]
        rows = {window[1] for window in windows}
        for top in rows:
            row = sorted(window for window in windows if window[1] == top)
            for one, two in pairwise(row):
                assert one[2] - two[0] == pytest.approx(OVERLAP, abs=0.01)


def _window(page: Element) -> tuple[float, float, float, float]:
    (ring,) = rings(only(page, kind="window"))
    across, down = float(page.get("data-x") or 0), float(page.get("data-y") or 0)
    left, top, right, bottom = LineString(ring).bounds
    return left + across, top + down, right + across, bottom + down


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_register_mark_is_on_both_sheets_that_meet_there(name: str) -> None:
    made = printed(example(name))
    for template in {page.get("data-template") or "" for page in marked(made, page="tile")}:
        sheets = pages(made, template)
        places: dict[str, list[tuple[float, float]]] = {}
        for page in sheets:
            across, down = float(page.get("data-x") or 0), float(page.get("data-y") or 0)
            for mark in marked(page, kind="register-mark"):
                place = (float(mark.get("cx") or 0) + across, float(mark.get("cy") or 0) + down)
                places.setdefault(mark.get("data-at") or "", []).append(place)
        assert places or len(sheets) == 1
        for found in places.values():
            assert len(found) == 2 and dist(*found) < 0.01


@given(st.floats(1, 4000), st.floats(1, 4000))
def test_tiles_cover_what_they_are_cut_from_with_none_to_spare(width: float, height: float) -> None:
    window = window_of(A4)
    held = tiling(width, height, window)
    union = unary_union([box(t.left, t.top, t.right, t.bottom) for t in held.tiles()])
    assert union.covers(box(0, 0, width, height))
    if held.columns > 1:
        assert (held.columns - 1) * (window[0] - OVERLAP) + OVERLAP < width
    if held.rows > 1:
        assert (held.rows - 1) * (window[1] - OVERLAP) + OVERLAP < height


@pytest.mark.parametrize(
    ("column", "letters"), [(0, "A1"), (25, "Z1"), (26, "AA1"), (51, "AZ1"), (52, "BA1")]
)
def test_tiles_are_named_by_letter_and_number(column: int, letters: str) -> None:
    assert tile_name(0, column) == letters


# The pages


@pytest.mark.parametrize(("name", "paper"), [("tarn-bench", A4), ("gannet-shelf", LETTER)])
def test_pages_are_as_large_as_the_paper_in_the_house(name: str, paper: Any) -> None:
    made = printed(example(name))
    (style,) = (one.text or "" for one in made.iter() if local(one) == "style")
    assert f"size: {paper.width:g}mm {paper.height:g}mm; margin: 0" in style
    svgs = [one for one in made.iter() if local(one) == "svg"]
    assert len(svgs) == len(marked(made, page="tile")) + len(marked(made, page="index"))
    for svg in svgs:
        assert svg.get("width") == f"{paper.width:g}mm"
        assert (svg.get("viewBox") or "").split()[2:] == [f"{paper.width:g}", f"{paper.height:g}"]


@pytest.mark.parametrize(("name", "side"), [("tarn-bench", 100.0), ("gannet-shelf", 101.6)])
def test_every_sheet_has_a_square_to_measure(name: str, side: float) -> None:
    for page in marked(printed(example(name)), page="tile"):
        (ring,) = rings(only(page, kind="check-square"))
        left, top, right, bottom = LineString(ring).bounds
        assert (right - left, bottom - top) == pytest.approx((side, side), abs=0.002)


def test_every_sheet_says_what_it_is_part_of() -> None:
    sheets = pages(bench(), "p1")
    last = sheets[-1].get("data-tile")
    for page in sheets:
        assert f"p1  {page.get('data-tile')} of {last}" in texts(page)
        assert any("Print at 100 %" in text for text in texts(page))


def test_the_index_maps_every_sheet_that_is_printed() -> None:
    index = marked(bench(), page="index")
    tiles = [one.get("data-tile") for page in index for one in marked(page, kind="map-tile")]
    assert len(tiles) == len(marked(bench(), page="tile"))
    words = [text for page in index for text in texts(page)]
    count = len(marked(bench(), page="tile"))
    assert f"2026-03-09 · A4 · {count} pages" in words
    assert (
        f"A1 to {pages(bench(), 'p1')[-1].get('data-tile')}, on pages 2 to {1 + len(pages(bench(), 'p1'))}"
        in words
    )


def test_there_is_no_script_and_nothing_is_fetched() -> None:
    assert {local(one) for one in bench().iter()} <= {
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "section",
        "svg",
        "g",
        "path",
        "circle",
        "text",
    }
    assert not [key for one in bench().iter() for key in one.attrib if key.endswith(("href", "src"))]


# What cannot be printed


def test_a_piece_without_a_mark_is_named_as_missing_and_its_slab_printed() -> None:
    made = printed(SHELF)
    assert "Which part of hickory is p1 is not known: it needs a mark." in texts(made)
    assert pages(made, "slab hickory") and not pages(made, "p1")


def test_a_project_without_wood_says_so() -> None:
    made = printed(load_text('format = 2\n[project]\nname = "Empty"\n', "empty.toml"))
    assert "This project has no slab and no piece yet: there is nothing to print." in texts(made)


def test_a_slab_as_large_as_a_field_is_refused_in_words() -> None:
    made = printed(SHELF.with_value(("slab", "hickory", "length"), "90 m"))
    assert not pages(made, "slab hickory")
    words = next(text for text in texts(made) if text.startswith("slab hickory would take"))
    assert int(words.split()[4]) > MOST


def test_text_of_the_file_stays_text() -> None:
    made = printed(BENCH.with_value(("project", "name"), HOSTILE))
    assert "script" not in {local(one) for one in made.iter()}
    assert any(text.startswith("</svg></section>") for text in texts(made))


@given(documents)
@settings(max_examples=40)
def test_templates_are_made_of_every_project_that_can_be_read(document: Any) -> None:
    assert marked(printed(BENCH.with_document(document)), page="index")
