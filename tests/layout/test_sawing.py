"""A slab sawn up: pieces, offcuts and dust are the slab, and its lines can be marked with a tape."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.layout.boards import Layout, file_of, layouts
from workshop.layout.placed import as_sawn
from workshop.layout.sawing import Sawn, marked_saws, sawn
from workshop.layout.slab_shape import slab_shape

KERF = '[tool.saw]\nkerf = "2 mm"\n'


def slab(lines: str, marks: dict[str, str], more: str = "") -> str:
    """A slab of 1000 by 200 mm, its tape in the middle, with saw lines and marks."""
    pieces = "".join(f'[piece.{name}]\nslab = "ash"\nmark = "{mark} mm"\n' for name, mark in marks.items())
    return f"""
[slab.ash]
unit = "mm"
length = "1000 mm"
width = "200 mm"
thickness = "50 mm"
saw-lines = [{lines}]
{more}
{pieces}
"""


def cut(lines: str, marks: dict[str, str], more: str = "") -> Sawn:
    return sawn(file_of(slab(lines, marks, more) + KERF), "ash")


ACROSS = '{ id = "s1", square-at = 400 }'


def test_the_kerf_lies_in_what_is_left_over() -> None:
    held = cut(ACROSS, {"p1": "200, 0"})
    assert held.pieces["p1"] == pytest.approx(0.4 * 0.2)
    assert held.offcuts[0].area == pytest.approx((0.6 - 0.002) * 0.2, rel=1e-6)
    assert held.kerf == pytest.approx(0.002 * 0.2, rel=1e-6)


def test_between_two_pieces_each_gives_half_the_kerf() -> None:
    held = cut(ACROSS, {"p1": "200, 0", "p2": "700, 0"})
    assert held.pieces == pytest.approx({"p1": 0.399 * 0.2, "p2": 0.599 * 0.2})
    assert held.offcuts == ()
    assert held.kerf == pytest.approx(0.002 * 0.2)


def test_a_line_that_trims_one_piece_leaves_the_others_alone() -> None:
    trim = '{ id = "s2", from = "0, 50", to = "400, 50", of = "p1" }'
    held = cut(f"{ACROSS}, {trim}", {"p1": "200, 0", "p2": "700, 0"})
    assert held.pieces == pytest.approx({"p1": 0.399 * 0.150, "p2": 0.599 * 0.2})
    assert sum(offcut.area for offcut in held.offcuts) == pytest.approx(0.399 * 0.048, rel=0.01)


def test_a_piece_of_its_own_measures_is_taken_out_round_its_mark() -> None:
    own = '[piece.p1]\nslab = "ash"\nmark = "500, 0 mm"\nlength = "300 mm"\nwidth = "200 mm"\n'
    held = sawn(file_of(slab("", {}) + own), "ash")
    assert held.pieces["p1"] == pytest.approx(0.06)
    assert [offcut.area for offcut in held.offcuts] == pytest.approx([0.07, 0.07])


def test_a_hole_is_in_no_piece_and_in_no_offcut() -> None:
    hole = 'holes = ["100, -20; 200, -20; 200, 20; 100, 20"]'
    whole, holed = cut(ACROSS, {"p1": "300, 0"}), cut(ACROSS, {"p1": "300, 0"}, hole)
    assert whole.area - holed.area == pytest.approx(0.004)
    assert whole.pieces["p1"] - holed.pieces["p1"] == pytest.approx(0.004)
    left = cut(ACROSS, {"p1": "700, 0"}, hole).offcuts[0]
    assert len(left.holes) == 1
    assert left.area == pytest.approx(0.398 * 0.2 - 0.004, rel=1e-6)


@given(layouts())
def test_pieces_offcuts_and_dust_are_the_slab(layout: Layout) -> None:
    for name in layout.file.slab:
        held = sawn(layout.file, name)
        offcuts = sum(offcut.area for offcut in held.offcuts)
        assert held.area == pytest.approx(sum(held.pieces.values()) + offcuts + held.kerf, rel=1e-12)
        assert held.kerf >= -1e-12
        assert list(held.offcuts) == sorted(held.offcuts, key=lambda offcut: -offcut.area)


def test_the_wood_of_bevelled_faces_is_what_both_have() -> None:
    rows = "".join(
        f"{{ at = {at}, left = 100, right = 90, lower-left = 80, lower-right = 110 }}," for at in (0, 900)
    )
    text = f'[slab.ash]\nunit = "mm"\nthickness = "50 mm"\nstations = [{rows}]\n'
    assert sawn(file_of(text), "ash").area == pytest.approx(0.9 * 0.170)


# Marked with a tape


def test_lines_across_come_first_and_trims_last() -> None:
    rip = '{ id = "rip", from = "0, 60", to = "1000, 70" }'
    trim = '{ id = "trim", from = "0, -80", to = "9, -80", of = "p1" }'
    file = file_of(slab(f"{rip}, {trim}, {ACROSS}", {"p1": "200, 0", "p2": "700, 0"}))
    assert [saw.id for saw in marked_saws(file, "ash")] == ["s1", "rip", "trim"]


def test_a_line_is_marked_where_it_leaves_the_slab() -> None:
    lines = f'{ACROSS}, {{ id = "rip", from = "200, 60", to = "700, 70" }}'
    across, rip = marked_saws(file_of(slab(lines, {"p1": "200, 0"})), "ash")
    assert [(end.along, end.off) for end in across.ends] == [
        pytest.approx((0.4, -0.1)),
        pytest.approx((0.4, 0.1)),
    ]
    # 10 mm in 500 mm: 56 mm at the left end, 76 mm at the right one.
    assert [(end.along, end.off) for end in rip.ends] == [
        pytest.approx((0.0, 0.056)),
        pytest.approx((1.0, 0.076)),
    ]
    assert (across.length, rip.length) == pytest.approx((0.2, math.hypot(1.0, 0.02)))


def test_a_trim_is_no_longer_than_its_piece() -> None:
    trim = '{ id = "trim", from = "0, -80", to = "9, -80", of = "p1" }'
    file = file_of(slab(f"{ACROSS}, {trim}", {"p1": "200, 0", "p2": "700, 0"}) + KERF)
    _, held = marked_saws(file, "ash")
    assert held.length == pytest.approx(0.399, abs=1e-5)


def test_a_line_beside_the_slab_is_not_marked() -> None:
    assert marked_saws(file_of(slab('{ id = "s1", square-at = 1200 }', {"p1": "200, 0"})), "ash") == ()


@given(st.floats(0, 45), st.floats(-40, 40), st.floats(-40, 40))
def test_a_line_beside_an_edge_runs_along_the_chord_of_its_ends(
    offset: float, first: float, last: float
) -> None:
    offset, first, last = round(offset, 2), round(first, 2), round(last, 2)
    rows = f"{{ at = 0, left = {80 + first}, right = 90 }}, {{ at = 500, left = 130, right = 90 }}, "
    rows += f"{{ at = 1000, left = {80 + last}, right = 90 }}"
    text = f"""
[slab.ash]
unit = "mm"
thickness = "50 mm"
stations = [{rows}]
saw-lines = [
    {{ id = "s1", edge = "left", offset = {offset} }},
    {{ id = "s2", edge = "right", offset = {offset} }},
]
"""
    shape = slab_shape("ash", file_of(text).slab["ash"])
    left, right = (saw.line for saw in shape.saws)
    for (x, y), at, edge in zip(left, (0.0, 1.0), (80 + first, 80 + last), strict=True):
        run = math.hypot(1000, last - first)
        assert math.hypot(x - at, y - edge / 1000) == pytest.approx(offset / 1000, abs=1e-9)
        assert y == pytest.approx((edge - offset * 1000 / run) / 1000, abs=1e-9)
    assert [y for _, y in right] == pytest.approx([(offset - 90) / 1000] * 2, abs=1e-9)


def test_a_piece_between_two_edge_lines_is_as_wide_as_they_lie_apart() -> None:
    lines = '{ id = "s1", edge = "left", offset = 20 }, { id = "s2", edge = "right", offset = 30 }'
    file = file_of(slab(lines, {"p1": "500, 0"}))
    ring = as_sawn(file, "p1").pair.outline(1.0)
    ys = [y for _, y in ring]
    assert (min(ys), max(ys)) == pytest.approx((-0.07, 0.08))
