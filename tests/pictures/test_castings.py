"""Plan and section show what the file holds, as placed and as poured."""

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import example
from workshop.layout.as_placed import casting_as_placed
from workshop.layout.placed import placed_pieces, spans_at
from workshop.pictures.drawing import Drawing, apart, draw
from workshop.pictures.picture import Picture, Shape, Spot
from workshop.pictures.plan_view import plan_view
from workshop.pictures.section_view import section_view
from workshop.project.loading import validate
from workshop.project.model import ProjectFile
from workshop.raster import Layer, row_text

BENCH = example("tarn-bench").file
SIZES = ((38, 8), (38, 20), (64, 20), (100, 30))


def seen(picture: Picture | None) -> Picture:
    """A picture that must be there."""
    assert picture is not None
    return picture


def changed(*path_and_value: Any) -> ProjectFile:
    """The bench with one value of its document changed, or taken out with None."""
    *path, last, value = path_and_value
    document: Any = copy.deepcopy(dict(example("tarn-bench").document))
    held = document
    for part in path:
        held = held[part]
    if value is None:
        del held[last]
    else:
        held[last] = value
    return validate(document)


def text(drawing: Drawing) -> str:
    """Rows and legend as plain text."""
    return "\n".join(row_text(row) for row in (*drawing.rows, *drawing.legend))


def layers(drawing: Drawing) -> set[Layer | None]:
    """What colours are seen."""
    return {layer for row in drawing.rows for run in row for layer in (run.fore, run.back)}


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("colour", [True, False])
@pytest.mark.parametrize("view", [plan_view, section_view])
def test_the_bench_shows_pieces_resin_stone_and_lights(
    view: Any, colour: bool, size: tuple[int, int]
) -> None:
    drawing = draw(seen(view(BENCH, "seat")), *size, colour)
    assert all(name in text(drawing) for name in ("p1", "p2"))
    # A cell without colour has one hatch, and the stone lies in the resin.
    assert {"wood", "stone", "light"} <= layers(drawing)
    assert not colour or "resin" in layers(drawing)
    assert len(drawing.rows) <= size[1]
    assert {len(row_text(row)) for row in drawing.rows} == {size[0]}
    assert all(len(row_text(row)) <= size[0] for row in drawing.legend)


def test_the_titles_give_size_and_place_in_the_projects_units() -> None:
    assert seen(plan_view(BENCH, "seat")).title == "PLAN 1400 x 400"
    assert seen(section_view(BENCH, "seat", 0.7)).title == "SECTION at 700 mm"
    shelf = example("gannet-shelf").file
    assert seen(plan_view(shelf, "shelf")).title == "PLAN 60 x 9 in"


def test_the_words_name_all_that_is_drawn() -> None:
    plan = " ".join(seen(plan_view(BENCH, "seat")).words)
    section = " ".join(seen(section_view(BENCH, "seat")).words)
    for name in ("p1", "p2", "slate", "near", "far"):
        assert name in plan and name in section
    assert "tail" in plan and "left-screws" in plan
    for name in ("base, poured", "strip, poured", "top, planned", "face-lower", "face-upper"):
        assert name in section


def test_a_piece_lies_where_its_mark_was_placed() -> None:
    pieces, unknown = placed_pieces(BENCH, "seat")
    assert not unknown
    p1 = next(piece for piece in pieces if piece.id == "p1")
    # The tape lies 100 mm across; at 740 along it the slab is read 101.4 mm to the left (between 107 and
    # 101 mm), and it is sawn 100 mm to the right of the tape.
    ((near, far),) = p1.spans(0.72, 1.0)
    assert near == pytest.approx(0.0, abs=1e-9)
    assert far == pytest.approx(0.100 + 0.107 - 0.006 * 240 / 250, abs=1e-6)
    assert p1.lower is not None and spans_at(p1.lower, 0.72)[0][1] > far


def test_a_piece_turned_about_its_mark_changes_sides() -> None:
    straight = placed_pieces(BENCH, "seat")[0][0]
    turned = placed_pieces(changed("piece", "p1", "turn", "180°"), "seat")[0][0]
    ((near, far),) = straight.spans(0.72, 1.0)
    ((other_near, other_far),) = turned.spans(0.72, 1.0)
    assert (other_near - 0.1, other_far - 0.1) == pytest.approx((0.1 - far, 0.1 - near), abs=1e-9)


def test_the_record_wins_over_the_plan() -> None:
    held = casting_as_placed(BENCH, "seat")
    assert held is not None
    assert [(lift.id, round(lift.high * 1e3, 1), lift.poured) for lift in held.lifts] == [
        ("base", 6.2, True),
        ("strip", 29.1, True),
        ("top", 52.0, False),
    ]
    assert {run.id: run.height for run in held.lights} == {"near": 0.0145, "far": 0.014}
    moved = placed_pieces(changed("record", "placed", "p1", {"place": "730, 90 mm"}), "seat")[0][0]
    assert moved.spans(0.73, 1.0)[0][0] == pytest.approx(-0.01, abs=1e-9)


def test_the_gap_is_said_as_wide_as_the_slabs_leave_it() -> None:
    # At 500 mm along both tapes (480 in the form) p1 reaches 207 mm and p2 starts at 370 - 51 = 319 mm.
    pieces, _ = placed_pieces(BENCH, "seat")
    p1, p2 = (next(piece for piece in pieces if piece.id == name) for name in ("p1", "p2"))
    assert p2.spans(0.48, 1.0)[0][0] - p1.spans(0.48, 1.0)[0][1] == pytest.approx(0.112, abs=1e-6)
    words = next(line for line in seen(plan_view(BENCH, "seat")).words if "between p1 and p2" in line)
    assert "to 116 mm wide" in words


def test_the_section_lists_the_stack_from_the_top_down() -> None:
    marks = seen(section_view(BENCH, "seat")).marks
    assert [mark.text for mark in marks] == [
        "52 top",
        "48.5 last cut",
        "29.1 now",
        "24 slate",
        "14–14.5 lights",
        "6.2 base",
        "3.5 cut",
    ]


def test_heights_stand_beside_the_section_in_order_and_where_they_lie() -> None:
    picture = seen(section_view(BENCH, "seat"))
    drawing = draw(picture, 64, 30)
    rows = [row_text(row) for row in drawing.rows]
    at = [next(n for n, row in enumerate(rows) if row.rstrip().endswith(mark.text)) for mark in picture.marks]
    assert at == sorted(set(at))
    assert picture.box is not None
    low, high = picture.box[1], picture.box[3]
    for mark, row in zip(picture.marks, at, strict=True):
        assert abs((high - mark.height) / (high - low) * (len(rows) - 1) - 0.5 - row) <= 2.0


def test_the_cover_is_read_from_the_last_cuts() -> None:
    # The lower face pass takes 3.5 mm, and the stone starts at 6 mm.
    words = seen(section_view(BENCH, "seat")).words
    assert "Cover under the lower face, as drawn: 2.5 mm over bed slate." in words
    deep = changed("casting", "seat", "bed", "slate", "from", "3 mm")
    assert any("runs 0.5 mm into bed slate" in line for line in seen(section_view(deep, "seat")).words)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_plan_has_one_scale_both_ways_and_its_bar_is_true(size: tuple[int, int]) -> None:
    drawing = draw(seen(plan_view(BENCH, "seat")), *size)
    foot = row_text(drawing.rows[-1]).strip()
    bar = foot.count("━") + foot.count("╸") / 2
    cell = float(foot.split()[1]) / bar
    form = 2 * 18 + 1440
    wide = max(len(row_text(row).rstrip()) for row in drawing.rows[:-1])
    assert wide == size[0] or wide * cell <= form * 1.1
    assert (len(drawing.rows) - 1) * 2 * cell == pytest.approx(2 * 18 + 440, rel=0.1, abs=2.2 * cell)


def test_a_section_says_by_how_much_its_height_is_stretched() -> None:
    drawing = draw(seen(section_view(BENCH, "seat")), 64, 20)
    assert drawing.stretch > 1
    assert f"height x{drawing.stretch:g}" in row_text(drawing.rows[-1])


def test_a_section_lies_at_the_middle_or_where_it_is_asked() -> None:
    assert seen(section_view(BENCH, "seat")).title == "SECTION at 720 mm"
    words = seen(section_view(BENCH, "seat", 0.0)).words
    assert any("Bed slate" in line for line in words)
    assert seen(section_view(BENCH, "seat", 3.0)).words == (
        "This line does not run through the form of seat.",
    )


def wood_in(picture: Picture) -> list[tuple[float, float]]:
    """Where the wood's lower edges lie in a section, rounded to a tenth of a millimetre."""
    rings = [shape.rings[0] for shape in picture.drawn if isinstance(shape, Shape) and shape.layer == "wood"]
    return sorted((round(ring[0][0], 4), round(ring[1][0], 4)) for ring in rings)


def test_a_section_runs_along_any_line() -> None:
    across = seen(section_view(BENCH, "seat", 0.5))
    assert wood_in(seen(section_view(BENCH, "seat", line=((0.5, 0.1), (0.5, 0.2))))) == wood_in(across)
    back = wood_in(seen(section_view(BENCH, "seat", line=((0.5, 0.3), (0.5, 0.2)))))
    assert sorted((round(0.44 - b, 4), round(0.44 - a, 4)) for a, b in back) == wood_in(across)
    along = seen(section_view(BENCH, "seat", line=((0.0, 0.05), (1.0, 0.05))))
    assert along.title == "SECTION 0, 50 to 1000, 50"
    # 50 mm from the near wall there is nothing but p1, from end to end.
    assert wood_in(along) == [(0.0, 1.44)]
    assert along.box is not None and along.box[2] == pytest.approx(1.44 + 0.018)


def test_a_slanting_section_meets_wood_as_often_as_it_crosses_its_edges() -> None:
    (one, two) = wood_in(seen(section_view(BENCH, "seat", line=((0.0, 0.0), (1.44, 0.44)))))
    # The diagonal starts in p1 and ends in p2; its length is that of the form's diagonal.
    assert one[0] == pytest.approx(0.0, abs=1e-4)
    assert two[1] == pytest.approx((1.44**2 + 0.44**2) ** 0.5, abs=1e-4)


def test_what_is_not_known_is_left_out_and_said() -> None:
    for path, sentence in (
        (("piece", "p1", "place"), "Where p1 lies in the form is not known."),
        (("piece", "p1", "mark"), "Which part of ash-wide is p1 is not known: it needs a mark."),
        (("casting", "seat", "cable", "tail", "hole"), "Where the cable tail leaves the form is not known."),
        (("casting", "seat", "bed", "slate", "region"), "Where the bed slate lies is not known."),
    ):
        picture = seen(plan_view(changed(*path, None), "seat"))
        assert sentence in picture.words
        assert draw(picture, 64, 20).rows
    no_place = seen(plan_view(changed("piece", "p1", "place", None), "seat"))
    assert "Where the light run near lies is not known." in no_place.words
    assert not any(label.text == "p1" for label in no_place.labels)


def test_a_shelf_of_which_only_the_size_is_known_is_an_outline() -> None:
    shelf = example("gannet-shelf").file
    for view in (plan_view, section_view):
        picture = seen(view(shelf, "shelf"))
        assert "finished size" in text(draw(picture, 38, 8))
        assert "Where p1 lies in the form is not known." in picture.words


def test_an_empty_casting_has_words_only() -> None:
    file = validate({"format": BENCH.format, "casting": {"seat": {}}})
    for view in (plan_view, section_view):
        picture = seen(view(file, "seat"))
        assert not draw(picture, 38, 8).rows
        assert picture.words and all(line.endswith(".") for line in picture.words)
        assert view(file, "top") is None


def test_before_the_first_pour_the_resin_is_planned() -> None:
    document: Any = copy.deepcopy(dict(example("tarn-bench").document))
    del document["record"]
    file = validate(document)
    drawing = draw(seen(plan_view(file, "seat")), 64, 20)
    assert "planned" in layers(drawing) and "resin" not in layers(drawing)


def test_screws_and_cables_show_as_signs() -> None:
    picture = seen(plan_view(BENCH, "seat"))
    assert sum(isinstance(held, Spot) and held.sign == "+" for held in picture.drawn) == 8
    shown = text(draw(picture, 64, 20))
    assert shown.count("+") == 8 and "○" in shown


def test_no_room_gives_no_rows() -> None:
    picture = seen(plan_view(BENCH, "seat"))
    for width in range(14):
        for height in range(5):
            drawing = draw(picture, width, height)
            assert all(len(row_text(row)) == width for row in drawing.rows)
            assert len(drawing.rows) <= height


@given(
    name=st.from_regex(r"[a-z][a-z0-9-]{0,15}", fullmatch=True).filter(
        lambda held: held not in {"shop", "project", "destination", "upper", "lower"}
    ),
    width=st.integers(0, 90),
    height=st.integers(0, 40),
    x=st.none() | st.floats(-5, 5),
)
def test_no_name_and_no_size_breaks_a_picture(name: str, width: int, height: int, x: float | None) -> None:
    document: Any = {
        "format": BENCH.format,
        "project": {"name": "[/red]\x1b[31m\u202e"},
        "piece": {name: {"casting": "c1", "place": "0, 0 mm", "length": "1 m", "width": "3 m"}},
        "casting": {"c1": {"form": {"length": "1 m", "width": "5 cm", "depth": "10 cm"}}},
    }
    if name == "c1":
        return
    file = validate(document)
    for picture in (seen(plan_view(file, "c1")), seen(section_view(file, "c1", x))):
        for colour in (True, False):
            drawing = draw(picture, width, height, colour)
            assert all(len(row_text(row)) == width for row in drawing.rows)
            assert len(drawing.rows) <= height


@given(wanted=st.lists(st.floats(0, 30), max_size=12), spare=st.integers(0, 20))
def test_heights_never_share_a_row(wanted: list[float], spare: int) -> None:
    rows = len(wanted) + spare
    at = apart(sorted(min(row, rows - 1.0) for row in wanted), rows)
    assert list(at) == sorted(set(at))
    assert all(0 <= row < rows for row in at)


def test_heights_that_lie_apart_stay_where_they_are() -> None:
    assert apart([0.0, 3.0, 7.0], 10) == (0, 3, 7)
    assert apart([4.0, 4.0, 4.0], 10) == (3, 4, 5)
