"""A slab's picture: both faces, what is sawn out bright, what is left over dim, saw lines by name."""

from __future__ import annotations

import pytest

from tests.examples import example
from workshop.layout.slab_shape import slab_shape
from workshop.pictures.drawing import draw
from workshop.pictures.picture import Picture, Shape, Stroke
from workshop.pictures.slab_view import SlabHand, outline_view, slab_view, whole_box
from workshop.project.loading import load_text
from workshop.project.project import Project, dump
from workshop.project.slabs import piece_taken, saw_line_added
from workshop.quantity import METRIC
from workshop.raster import row_text
from workshop.trade.face_pair import FacePair
from workshop.trade.fitting import Placement, Stock, rectangle

BENCH = example("tarn-bench")
SIZES = ((24, 6), (44, 10), (78, 12), (198, 40))


def seen(picture: Picture | None) -> Picture:
    """A picture that must be there."""
    assert picture is not None
    return picture


def text(picture: Picture, width: int = 110, height: int = 20) -> str:
    """What is drawn, without its colours."""
    drawing = draw(picture, width, height, False)
    return "\n".join(row_text(row) for row in (*drawing.rows, *drawing.legend))


def with_batten() -> Project:
    """The bench with a part sawn out of what is left beside the end of its wide slab."""
    stock = Stock("end", ((1.462, -0.1), (1.5, -0.1), (1.5, 0.1), (1.462, 0.1)))
    placement = Placement(rectangle("batten", 0.02, 0.1), stock, 1.47, -0.05, 0.0, False, 0.0)
    return piece_taken(BENCH, "ash-wide", placement)


def test_a_slab_of_the_bench_shows_its_piece_saw_lines_hole_and_what_is_left() -> None:
    picture = seen(slab_view(BENCH.file, "ash-wide"))
    shown = text(picture)
    for word in ("p1", "s1", "s2", "s3", "pieces", "left over", "saw line", "200", "1400"):
        assert word in shown
    assert any(isinstance(held, Shape) and held.layer == "void" for held in picture.drawn)
    assert any(isinstance(held, Shape) and held.removed for held in picture.drawn)


def test_saw_lines_run_a_little_beyond_the_wood() -> None:
    picture = seen(slab_view(BENCH.file, "ash-wide"))
    across = [held for held in picture.drawn if isinstance(held, Stroke) and held.layer == "cut"]
    # s1 is square to the tape at 20 mm, where the wood ends at 92.48 left and 108.16 right.
    first = next(held for held in across if held.points[0][0] == held.points[1][0] == pytest.approx(0.02))
    ys = sorted(y for _x, y in first.points)
    assert ys[0] < -0.1085 and ys[1] > 0.0925


def test_the_words_say_what_the_picture_shows() -> None:
    words = " ".join(seen(slab_view(BENCH.file, "ash-wide")).words)
    assert "ash-wide as it lay when measured, by both faces" in words
    assert "Saw line s1: from 20 mm along, 108 mm right of the tape, to 20 mm along, 92 mm left" in words
    assert "Piece p1: 20 mm to 1460 mm" in words or "Piece p1: 20 to 1460 mm" in words


def test_a_slab_with_one_measured_face_says_so() -> None:
    assert "by the upper face only" in seen(slab_view(BENCH.file, "ash-rail")).words[0]


def test_the_saw_line_in_hand_and_the_cursor_stand_out() -> None:
    plain = seen(slab_view(BENCH.file, "ash-wide"))
    held = seen(slab_view(BENCH.file, "ash-wide", SlabHand("s2", (0.4, 0.0), (0.3, 0.05))))
    assert "▸s2" in text(held) and "▸s2" not in text(plain)
    assert sum(isinstance(shape, Stroke) and shape.layer == "ink" for shape in held.drawn) == 2


def test_a_place_where_a_part_fits_is_drawn_with_its_name() -> None:
    ring = ((0.2, -0.05), (0.8, -0.05), (0.8, 0.05), (0.2, 0.05))
    picture = seen(slab_view(BENCH.file, "ash-narrow", SlabHand(parts=(("batten", ring),))))
    assert "batten" in text(picture) and "fits here" in text(picture)


def test_a_part_that_was_taken_is_a_piece_of_the_slab() -> None:
    made = with_batten()
    picture = seen(slab_view(made.file, "ash-wide"))
    names = {label.text for label in picture.labels}
    assert {"p1", "p4"} <= names
    trims = [row.id for row in made.file.slab["ash-wide"].saw_lines if row.of == "p4"]
    # Lines that trim one piece alone are not named: four names round a small piece would hide it.
    assert not names & set(trims)


def test_a_box_of_the_slab_shows_only_what_lies_in_it() -> None:
    shape = slab_shape("ash-wide", BENCH.file.slab["ash-wide"])
    left, bottom, right, top = whole_box(shape)
    half = seen(slab_view(BENCH.file, "ash-wide", SlabHand(), (left, bottom, (left + right) / 2, top)))
    names = {label.text for label in half.labels}
    assert "s1" in names and "s2" not in names


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("slab", list(BENCH.file.slab))
def test_no_row_is_wider_than_there_is_room(slab: str, size: tuple[int, int]) -> None:
    drawing = draw(seen(slab_view(BENCH.file, slab)), *size)
    assert len(drawing.rows) <= size[1]
    assert all(len(row_text(row)) == size[0] for row in drawing.rows)


def test_a_slab_that_is_not_measured_is_said_in_words_and_one_that_is_not_there_has_no_picture() -> None:
    bare = load_text(
        dump(BENCH).replace("[slab.ash-rail]", '[slab.oak]\nspecies = "oak"\n\n[slab.ash-rail]', 1), "b"
    )
    picture = seen(slab_view(bare.file, "oak"))
    assert picture.box is None and picture.words == ("oak is not measured.",)
    assert slab_view(BENCH.file, "elm") is None


def test_two_pieces_that_overlap_are_both_drawn() -> None:
    made = BENCH.with_value(("piece", "p4"), {"slab": "ash-wide", "mark": "700, 0 mm"})
    wood = [held for held in seen(slab_view(made.file, "ash-wide")).drawn if isinstance(held, Shape)]
    assert sum(held.layer == "wood" for held in wood) == 3


def test_an_added_saw_line_is_named_at_its_end() -> None:
    made = saw_line_added(BENCH, "ash-narrow", square_at=0.7)
    labels = {label.text: label for label in seen(slab_view(made.file, "ash-narrow")).labels}
    assert labels["s4"].x == pytest.approx(0.7)


def test_an_outline_is_shown_before_it_is_taken() -> None:
    upper = ((0.0, -0.1), (1.2, -0.1), (1.2, 0.1), (0.0, 0.1))
    lower = ((0.0, -0.2), (1.2, -0.2), (1.2, 0.2), (0.0, 0.2))
    one = outline_view(FacePair(upper, upper), False, METRIC, "DRAWN")
    two = outline_view(FacePair(lower, upper), True, METRIC, "DRAWN")
    assert "outline" in text(one) and "lower face" not in text(one)
    assert "lower face" in text(two)
