"""What a picture in cells owes to the polygons that it is made of."""

from math import cos, dist, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.raster import ACROSS, DOWN, LAYERS, SIGNS, Canvas, Layer, Point, in_cells, row_text
from workshop.trade.outline import outline_area

WIDE, HIGH = 20, 8
"""Cells of the canvas that polygons are drawn on."""


@st.composite
def stars(draw: st.DrawFn, least: float = 6.0, most: float = 18.0) -> tuple[Point, ...]:
    """A ring about the middle of the canvas that does not cross itself, with unlike spokes."""
    spokes = draw(st.lists(st.floats(least, most), min_size=3, max_size=12))
    turn = draw(st.floats(0, pi))
    x, y = draw(st.tuples(st.floats(19, 21), st.floats(31, 33)))
    step = 2 * pi / len(spokes)
    return tuple(
        (x + spoke * cos(turn + n * step), y + spoke * sin(turn + n * step)) for n, spoke in enumerate(spokes)
    )


def around(ring: tuple[Point, ...]) -> float:
    """The length of a ring."""
    return sum(dist(ring[n - 1], ring[n]) for n in range(len(ring)))


def samples(canvas: Canvas, layer: Layer) -> set[tuple[int, int]]:
    """Where a layer is seen."""
    return {
        (x, y) for y in range(canvas.down) for x in range(canvas.across) if canvas.layer_at(x, y) == layer
    }


@given(outer=stars(), hole=st.none() | stars(1.0, 2.5))
def test_the_samples_of_a_polygon_make_up_its_area(
    outer: tuple[Point, ...], hole: tuple[Point, ...] | None
) -> None:
    # Samples can only be wrong where the outline runs, and each corner may cost one more.
    rings = [outer] if hole is None else [outer, hole]
    canvas = Canvas(WIDE, HIGH)
    canvas.fill(rings, "wood")
    area = outline_area(outer)
    # A hole counts as one only where all of it lies inside; a thin star leaves part of it outside.
    if hole is not None:
        both, inner = Canvas(WIDE, HIGH), Canvas(WIDE, HIGH)
        both.fill([outer], "wood")
        inner.fill([hole], "wood")
        if samples(inner, "wood") <= samples(both, "wood"):
            assert samples(canvas, "wood") == samples(both, "wood") - samples(inner, "wood")
        return
    assert len(samples(canvas, "wood")) == pytest.approx(area, abs=around(outer) + len(outer))


@given(wide=st.integers(1, 30), high=st.integers(1, 50), left=st.integers(0, 9), top=st.integers(0, 9))
def test_a_rectangle_on_whole_samples_is_exact(wide: int, high: int, left: int, top: int) -> None:
    canvas = Canvas(WIDE, HIGH)
    ring = ((left, top), (left + wide, top), (left + wide, top + high), (left, top + high))
    canvas.fill([ring], "resin")
    assert len(samples(canvas, "resin")) == wide * high


def test_a_ring_inside_is_a_hole() -> None:
    canvas = Canvas(4, 4)
    canvas.fill([((0, 0), (8, 0), (8, 32), (0, 32)), ((2, 8), (6, 8), (6, 24), (2, 24))], "wood")
    assert len(samples(canvas, "wood")) == 8 * 32 - 4 * 16
    assert canvas.layer_at(3, 15) == "void"


@given(ring=stars(), x=st.integers(-4, 4), y=st.integers(-8, 8))
def test_a_polygon_moved_by_whole_samples_is_the_same_picture_moved(
    ring: tuple[Point, ...], x: int, y: int
) -> None:
    # Coordinates in sixty-fourths of a sample stay exact when they are moved.
    exact = tuple((round(a * 64) / 64, round(b * 64) / 64) for a, b in ring)
    here, there = Canvas(60, 24), Canvas(60, 24)
    here.fill([tuple((a + 40, b + 60) for a, b in exact)], "wood")
    there.fill([tuple((a + 40 + x, b + 60 + y) for a, b in exact)], "wood")
    assert {(a + x, b + y) for a, b in samples(here, "wood")} == samples(there, "wood")


@given(
    points=st.lists(st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)), min_size=3, max_size=8),
    text=st.text(max_size=30),
    wide=st.integers(0, 30),
    high=st.integers(0, 10),
    colour=st.booleans(),
)
def test_whatever_is_drawn_rows_are_as_wide_as_the_canvas(
    points: list[Point], text: str, wide: int, high: int, colour: bool
) -> None:
    canvas = Canvas(wide, high)
    canvas.fill([points], "wood", "along")
    canvas.recolour([points], {"wood": "wood-off"})
    canvas.line(points, "light", 3, 3)
    canvas.text(2, 1, text)
    canvas.series([x for x, _ in points], -1e6, 1e6, "series")
    rows = canvas.rows(colour)
    assert [len(row_text(row)) for row in rows] == [wide] * high
    assert all(len(in_cells(sign)) == 1 and in_cells(sign) == sign for row in rows for sign in row_text(row))


def test_a_later_layer_lies_over_an_earlier_one() -> None:
    canvas = Canvas(2, 1)
    whole = ((0, 0), (4, 0), (4, 8), (0, 8))
    canvas.fill([whole], "resin")
    canvas.fill([whole], "wood")
    assert {run.back for row in canvas.rows() for run in row} == {"wood"}


@pytest.mark.parametrize(("eighths", "sign"), [(1, "▁"), (3, "▃"), (4, "▄"), (7, "▇")])
def test_a_level_edge_shows_to_an_eighth_of_a_cell(eighths: int, sign: str) -> None:
    canvas = Canvas(1, 1)
    canvas.fill([((0, 8 - eighths), (2, 8 - eighths), (2, 8), (0, 8))], "resin")
    (run,) = canvas.rows()[0]
    assert (run.text, run.fore, run.back) == (sign, "resin", "void")


def test_an_upright_edge_shows_to_half_a_cell() -> None:
    canvas = Canvas(1, 1)
    canvas.fill([((0, 0), (1, 0), (1, 8), (0, 8))], "wood")
    (run,) = canvas.rows()[0]
    assert (run.text, run.fore, run.back) == ("▌", "wood", "void")


def test_a_thin_light_is_not_lost_in_its_cell() -> None:
    canvas = Canvas(1, 1)
    canvas.fill([((0, 0), (2, 0), (2, 8), (0, 8))], "wood")
    canvas.line([(0, 7), (2, 7)], "light", 1, 2)
    (run,) = canvas.rows()[0]
    assert {run.fore, run.back} == {"wood", "light"}


def test_materials_read_without_colour() -> None:
    materials: tuple[Layer, ...] = (
        "void",
        "form",
        "planned",
        "old",
        "resin",
        "stone",
        "wood",
        "below",
        "light",
    )
    assert len({SIGNS[layer] for layer in materials}) == len(materials)
    for layer in materials:
        canvas = Canvas(3, 1)
        canvas.fill([((0, 0), (6, 0), (6, 8), (0, 8))], layer)
        assert row_text(canvas.rows(colour=False)[0]) == SIGNS[layer] * 3


def test_every_layer_has_a_hatch_of_one_cell() -> None:
    assert SIGNS.keys() == set(LAYERS)
    assert all(in_cells(sign) == sign and len(sign) == 1 for sign in SIGNS.values())


def test_words_are_drawn_whole_or_not_at_all_and_never_over_others() -> None:
    canvas = Canvas(8, 1)
    assert canvas.text(0, 0, "p1")
    assert not canvas.text(1, 0, "p2")
    assert not canvas.text(6, 0, "slate")
    assert not canvas.text(0, 1, "p3")
    assert row_text(canvas.rows()[0]).strip() == "p1"


def test_a_series_shows_the_least_and_the_greatest_of_a_column() -> None:
    canvas = Canvas(1, 2)
    canvas.series([0.0, 10.0, 0.0, 5.0, 5.0, 5.0], 0.0, 10.0, "series")
    seen = samples(canvas, "series")
    assert {y for x, y in seen if x == 0} == set(range(2 * DOWN))
    assert len({y for x, y in seen if x == 1}) < 2 * DOWN


def test_an_unknown_value_breaks_a_series() -> None:
    canvas = Canvas(4, 1)
    canvas.series([5.0, 5.0, None, None, 5.0, 5.0, 5.0, 5.0], 0.0, 10.0, "series")
    assert {x for x, _ in samples(canvas, "series")} == {0, 1, 4, 5, 6, 7}


def test_values_further_apart_than_columns_are_joined() -> None:
    canvas = Canvas(10, 2)
    canvas.series([0.0, 10.0], 0.0, 10.0, "series")
    seen = samples(canvas, "series")
    assert {x for x, _ in seen} >= set(range(10 * ACROSS // 2))
    assert {y for _, y in seen} == set(range(2 * DOWN))


def test_a_canvas_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        Canvas(-1, 3)
