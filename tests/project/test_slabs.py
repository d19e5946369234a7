"""Outlines laid along the tape, saw lines three ways, pieces marked and sawn out, as changes of the file."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime
from decimal import Decimal
from math import cos, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.layout.placed import as_sawn, extent
from workshop.layout.sawing import marked_saws, sawn
from workshop.layout.slab_shape import slab_shape
from workshop.outlines import Drawing, Shape, read_outlines
from workshop.project.changes import History, noted_changes
from workshop.project.loading import load_text
from workshop.project.notation import LONGEST
from workshop.project.project import Project, dump
from workshop.project.slab_outlines import brought, outline_taken
from workshop.project.slabs import (
    newest_line,
    piece_marked,
    piece_taken,
    saw_line_added,
    saw_line_dropped,
    saw_line_moved,
)
from workshop.trade.fitting import Placement, Stock, rectangle

NOW = datetime(2026, 3, 9, 20, 40, tzinfo=UTC)
ASH = """\
format = 2

[project]
name = "Gannet shelf"

[tool.saw]
kerf = "2 mm"

[slab.ash]
thickness = "50 mm"
unit = "mm"
stations = [
    { at = 0, left = 100, right = 100, lower-left = 110, lower-right = 110 },
    { at = 1000, left = 100, right = 100, lower-left = 110, lower-right = 110 },
]

[slab.beech]
length = "1000 mm"
width = "200 mm"

[piece.end]
length = "300 mm"
width = "80 mm"
thickness = "40 mm"
"""


def shelf(text: str = ASH) -> Project:
    """A shelf with a slab of ash 1000 by 200 mm at its upper face, and one of beech as large."""
    return load_text(text, "shelf.toml")


def box(left: float, bottom: float, right: float, top: float, layer: str = "") -> Shape:
    """A rectangular outline in a drawing, mm."""
    ring = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Shape(tuple((x / 1000, y / 1000) for x, y in ring), layer=layer)


def ends(project: Project, line: str) -> list[tuple[float, float]]:
    """The two places of a saw line of the ash, mm along and off the tape."""
    saw = next(saw for saw in marked_saws(project.file, "ash") if saw.id == line)
    return [(round(end.along * 1000, 3), round(end.off * 1000, 3)) for end in saw.ends]


# Outlines


def test_an_outline_begins_at_the_tapes_zero_and_the_tape_runs_down_its_middle() -> None:
    made = outline_taken(shelf(), "ash", brought(Drawing((box(30, 500, 1230, 740),))))
    assert extent(slab_shape("ash", made.file.slab["ash"]).pair.upper) == pytest.approx((0, -0.12, 1.2, 0.12))
    assert made.document["slab"]["ash"]["outline"] == "0, -120; 1200, -120; 1200, 120; 0, 120"


def test_a_drawing_that_stands_upright_is_laid_along_the_tape() -> None:
    held = brought(Drawing((box(0, 0, 240, 1200),)))
    assert held.size == pytest.approx((1.2, 0.24))


@given(st.floats(0.1, pi - 0.1).filter(lambda turn: abs(turn - pi / 2) > 0.1))
def test_a_drawing_that_lies_askew_is_turned_along_the_tape(turn: float) -> None:
    ring = tuple(
        (x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn))
        for x, y in ((0.0, 0.0), (1.2, 0.0), (1.2, 0.2), (0.0, 0.2))
    )
    made = outline_taken(shelf(), "ash", brought(Drawing((Shape(ring),))))
    # The corners are written to a tenth of a millimetre.
    held = extent(slab_shape("ash", made.file.slab["ash"]).pair.upper)
    assert held == pytest.approx((0, -0.1, 1.2, 0.1), abs=1.5e-4)


def test_an_outline_takes_the_place_of_stations_and_undo_brings_them_back() -> None:
    before = shelf()
    after = outline_taken(before, "ash", brought(Drawing((box(0, 0, 1200, 240),))))
    assert not after.file.slab["ash"].stations
    _, again, _ = History().after("outline of ash", before, after).undone(after, NOW)
    assert again.document == before.document


def test_both_faces_out_of_one_drawing_are_laid_by_the_upper_one() -> None:
    drawing = Drawing((box(0, 0, 1200, 240, "lower"), box(10, 20, 1200, 220, "upper")))
    made = outline_taken(shelf(), "ash", brought(drawing, "both"))
    pair = slab_shape("ash", made.file.slab["ash"]).pair
    assert extent(pair.upper) == pytest.approx((0, -0.1, 1.19, 0.1))
    assert extent(pair.lower) == pytest.approx((-0.01, -0.12, 1.19, 0.12))


def test_the_lower_face_alone_is_laid_where_the_upper_one_of_its_drawing_lies() -> None:
    drawing = Drawing((box(10, 20, 1200, 220), box(0, 0, 1200, 240)))
    upper = outline_taken(shelf(), "ash", brought(drawing, "upper", 1))
    both = outline_taken(upper, "ash", brought(drawing, "lower", 2))
    at_once = outline_taken(shelf(), "ash", brought(drawing, "both"))
    assert both.document["slab"]["ash"] == at_once.document["slab"]["ash"]


def test_a_lower_face_needs_an_upper_one_that_is_measured_as_it_is() -> None:
    held = brought(Drawing((box(0, 0, 1200, 240),)), "lower")
    with pytest.raises(ValueError, match="bring both faces"):
        outline_taken(shelf(), "ash", held)
    with pytest.raises(ValueError, match="has no outline yet"):
        outline_taken(shelf(), "beech", held)
    with pytest.raises(ValueError, match="no second outline"):
        brought(Drawing((box(0, 0, 1200, 240), box(0, 300, 1200, 540))), "both")


def test_stations_are_written_as_stations() -> None:
    table = b"at mm,left mm,right mm,lower left,lower right\n100,90,95,96,99\n600,92,91.5,97,98\n"
    made = outline_taken(shelf(), "ash", brought(read_outlines(table, "board.csv")))
    assert made.document["slab"]["ash"]["stations"] == [
        {"at": 0, "left": 90, "right": 95, "lower-left": 96, "lower-right": 99},
        {"at": 500, "left": 92, "right": 91.5, "lower-left": 97, "lower-right": 98},
    ]


def test_the_lower_faces_stations_join_those_of_the_upper_face_at_the_same_places() -> None:
    upper = b"at mm,left mm,right mm\n0,90,95\n500,92,91\n"
    lower = b"at mm,left mm,right mm\n0,96,99\n500,97,98\n"
    other = b"at mm,left mm,right mm\n0,96,99\n400,97,98\n"
    made = outline_taken(shelf(), "ash", brought(read_outlines(upper, "up.csv")))
    both = outline_taken(made, "ash", brought(read_outlines(lower, "low.csv"), "lower"))
    assert both.document["slab"]["ash"]["stations"][1] == {
        "at": 500, "left": 92, "right": 91, "lower-left": 97, "lower-right": 98
    }  # fmt: skip
    with pytest.raises(ValueError, match="other places"):
        outline_taken(made, "ash", brought(read_outlines(other, "low.csv"), "lower"))


def test_a_slab_measured_in_inches_keeps_them() -> None:
    inches = shelf(
        ASH.replace('unit = "mm"', 'unit = "in"').replace("1000,", "40,").replace("10, lower", "4, lower")
    )
    made = outline_taken(inches, "ash", brought(Drawing((box(0, 0, 1270, 254),))))
    assert made.document["slab"]["ash"]["outline"] == "0, -5; 50, -5; 50, 5; 0, 5"


def test_a_slab_without_a_unit_gets_that_of_the_project() -> None:
    made = outline_taken(shelf(), "beech", brought(Drawing((box(0, 0, 1200, 240),))))
    assert made.document["slab"]["beech"]["unit"] == "mm"


def test_holes_come_with_the_outline() -> None:
    shape = Shape(box(0, 0, 1200, 240).ring, (box(600, 100, 640, 130).ring,))
    made = outline_taken(shelf(), "ash", brought(Drawing((shape,))))
    [hole] = slab_shape("ash", made.file.slab["ash"]).pair.holes
    assert extent(hole) == pytest.approx((0.6, -0.02, 0.64, 0.01))


def test_an_outline_of_very_many_points_is_drawn_coarser_until_the_file_can_hold_it() -> None:
    count = 20_000
    ring = tuple((0.6 + 0.6 * cos(2 * pi * n / count), 0.12 * sin(2 * pi * n / count)) for n in range(count))
    made = outline_taken(shelf(), "ash", brought(Drawing((Shape(ring),))))
    assert len(made.document["slab"]["ash"]["outline"]) <= LONGEST
    # An ellipse of half axes a and b has the area pi a b.
    assert sawn(made.file, "ash").area == pytest.approx(pi * 0.6 * 0.12, rel=1e-3)


# Saw lines


def test_saw_lines_are_square_to_the_tape_between_two_points_or_beside_an_edge() -> None:
    made = saw_line_added(shelf(), "ash", square_at=0.64)
    assert ends(made, newest_line(made, "ash")) == [(640, -100), (640, 100)]
    made = saw_line_added(made, "ash", from_=(0.0, 0.05), to=(0.5, 0.06))
    assert ends(made, newest_line(made, "ash")) == [(0, 50), (1000, 70)]
    made = saw_line_added(made, "ash", edge="left", offset=0.03)
    assert ends(made, newest_line(made, "ash")) == [(0, 70), (1000, 70)]
    assert [row.id for row in made.file.slab["ash"].saw_lines] == ["s1", "s2", "s3"]


def test_a_saw_line_between_one_point_and_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="two points"):
        saw_line_added(shelf(), "ash", from_=(0.1, 0.1), to=(0.1, 0.1))


def test_a_saw_line_moves_the_way_it_can() -> None:
    made = saw_line_added(shelf(), "ash", square_at=0.6403)
    made = saw_line_moved(made, "ash", "s1", 0.01, 0)
    assert made.file.slab["ash"].saw_lines[0].square_at == 650
    with pytest.raises(ValueError, match="square to the tape"):
        saw_line_moved(made, "ash", "s1", 0, 0.01)
    made = saw_line_added(made, "ash", edge="left", offset=0.03)
    made = saw_line_moved(made, "ash", "s2", 0, -0.01)
    assert made.file.slab["ash"].saw_lines[1].offset == 40
    made = saw_line_added(made, "ash", from_=(0, 0), to=(1, 0.01))
    made = saw_line_moved(made, "ash", "s3", 0, 0.02)
    assert ends(made, "s3") == [(0, 20), (1000, 30)]


def test_the_last_saw_line_that_is_dropped_leaves_none() -> None:
    made = saw_line_dropped(saw_line_added(shelf(), "ash", square_at=0.5), "ash", "s1")
    assert made.document == shelf().document
    with pytest.raises(ValueError, match="no saw line s9"):
        saw_line_dropped(made, "ash", "s9")


# Pieces


def test_a_piece_is_what_the_saw_lines_leave_round_its_mark() -> None:
    made = saw_line_added(shelf(), "ash", square_at=0.64)
    made = piece_marked(made, "ash", (0.3, 0.01))
    assert made.document["piece"]["p1"] == {"slab": "ash", "mark": "300, 10 mm"}
    assert extent(as_sawn(made.file, "p1").pair.outline(1.0)) == pytest.approx((0, -0.1, 0.64, 0.1))


def placed(length: float, width: float, x: float, y: float, turn: float = 0.0) -> Placement:
    """A part laid on the ash, m."""
    ring = ((0.0, -0.1), (1.0, -0.1), (1.0, 0.1), (0.0, 0.1))
    return Placement(rectangle("wanted", length, width), Stock("ash", ring), x, y, turn, False, 0.0)


@given(st.floats(0.05, 0.4), st.floats(0.02, 0.1), st.floats(-0.3, 0.3))
def test_a_part_that_is_taken_is_sawn_out_to_the_size_that_was_wanted(
    length: float, width: float, turn: float
) -> None:
    made = piece_taken(shelf(), "ash", placed(length, width, 0.3, -0.02, turn))
    held = as_sawn(made.file, "p1")
    ring = held.pair.outline(1.0)
    back = [(x * cos(turn) + y * sin(turn), -x * sin(turn) + y * cos(turn)) for x, y in ring]
    left, bottom, right, top = extent(tuple(back))
    inside = extent(ring)
    if inside[1] > -0.0999 and inside[3] < 0.0999:
        # Its corners are written to a tenth of a millimetre, so a side is right to a little more than that.
        assert (right - left, top - bottom) == pytest.approx((length, width), abs=4e-4)
    assert [row.of for row in made.file.slab["ash"].saw_lines] == ["p1"] * 4


def test_a_wanted_piece_that_is_taken_keeps_its_name_and_thickness_and_is_sawn_by_its_lines() -> None:
    made = piece_taken(shelf(), "ash", placed(0.3, 0.08, 0.1, -0.04), piece="end")
    assert made.document["piece"]["end"] == {"thickness": "40 mm", "slab": "ash", "mark": "250, 0 mm"}
    assert extent(as_sawn(made.file, "end").pair.outline(0.0)) == pytest.approx((0.1, -0.04, 0.4, 0.04))


def test_the_journal_names_what_changed_and_never_quotes_an_outline() -> None:
    before = shelf()
    ring = tuple((0.6 + 0.6 * cos(n / 8 * pi), 0.12 * sin(n / 8 * pi)) for n in range(16))
    made = outline_taken(before, "ash", brought(Drawing((Shape(ring),))))
    made = saw_line_added(made, "ash", square_at=0.64)
    lines = noted_changes(made, before.document, NOW).document["record"]["journal"]["changes"]
    assert any(line.endswith("slab.ash.outline | unknown | an outline of 16 points") for line in lines)
    assert any(line.endswith("slab.ash.saw-lines.s1 | unknown | square-at 640") for line in lines)
    assert max(map(len, lines)) < 200


def test_what_is_written_comes_back_as_it_was() -> None:
    made = outline_taken(shelf(), "ash", brought(Drawing((box(0, 0, 1200, 240.3),))))
    made = saw_line_added(made, "ash", square_at=0.64)
    made = saw_line_added(made, "ash", edge="right", offset=0.0325)
    made = piece_marked(made, "ash", (0.3, 0.01))
    again = load_text(dump(made), "shelf.toml")
    assert again.file == made.file
    assert tomllib.loads(dump(made), parse_float=Decimal)["slab"]["ash"]["saw-lines"][1]["offset"] == Decimal(
        "32.5"
    )
