"""What is written out comes in again where and as it was."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from workshop.outlines import OutlineError, Shape, as_svg, read_outlines
from workshop.trade.outline import outline_area

MICROMETRES = st.integers(100_000, 1_500_000)


@st.composite
def slabs(draw: st.DrawFn, on_grid: bool) -> Shape:
    """A star-shaped slab with a hole, anywhere within some metres, to 0.001 mm or as it comes."""
    radii = draw(st.lists(MICROMETRES, min_size=4, max_size=20))
    left, up = draw(st.integers(-5_000_000, 5_000_000)), draw(st.integers(-5_000_000, 5_000_000))
    turn = 2 * math.pi / len(radii)

    def at(radius: float, place: int) -> tuple[float, float]:
        x, y = left + radius * math.cos(turn * place), up + radius * math.sin(turn * place)
        return (round(x) / 1e6, round(y) / 1e6) if on_grid else (x / 1e6, y / 1e6)

    ring = tuple(at(radius, place) for place, radius in enumerate(radii))
    hole = tuple(at(radius * 0.4, place) for place, radius in enumerate(radii))
    return Shape(
        ring, (hole,) if draw(st.booleans()) else (), draw(st.sampled_from(["", "seat", 'a "b" <c>&']))
    )


def again(shape: Shape) -> Shape:
    drawing = read_outlines(as_svg([shape]), "out.svg")
    assert (drawing.unit_known, drawing.notes) == (True, ())
    (back,) = drawing.shapes
    assert (back.layer, len(back.holes)) == (shape.layer, len(shape.holes))
    return back


def apart(one: Shape, other: Shape) -> float:
    """How far two shapes' edges lie apart at the most, m (Hausdorff, by shapely)."""
    edge, other_edge = (shapely.Polygon(shape.ring, shape.holes).boundary for shape in (one, other))
    return float(shapely.hausdorff_distance(edge, other_edge))


@given(slabs(on_grid=True))
def test_a_slab_measured_to_a_micrometre_comes_in_again_with_its_area(shape: Shape) -> None:
    back = again(shape)
    assert apart(shape, back) < 0.0001
    for before, after in zip((shape.ring, *shape.holes), (back.ring, *back.holes), strict=True):
        assert outline_area(after) == pytest.approx(outline_area(before), rel=1e-6)


@given(slabs(on_grid=False))
def test_any_slab_comes_in_again_to_the_last_digit_written(shape: Shape) -> None:
    # Each corner may be rounded by 0.0005 mm each way, which moves a side by at most 0.00071 mm.
    back = again(shape)
    assert apart(shape, back) < 0.0001
    rounding = shapely.Polygon(shape.ring).length * 0.71e-6
    assert outline_area(back.ring) == pytest.approx(outline_area(shape.ring), abs=rounding)


def test_shapes_keep_their_layers_and_places() -> None:
    seat = Shape(((0, 0), (1, 0), (1, 0.4), (0, 0.4)), layer="seat")
    leg = Shape(((-2, -1), (-1.9, -1), (-1.9, -0.5)), layer="leg")
    drawing = read_outlines(as_svg([seat, leg]), "out.svg")
    assert [shape.layer for shape in drawing.shapes] == ["seat", "leg"]
    assert [apart(*pair) for pair in zip((seat, leg), drawing.shapes, strict=True)] == pytest.approx([0, 0])


def test_the_file_is_plain_svg_in_mm() -> None:
    text = as_svg([Shape(((0.1, 0.2), (1.1, 0.2), (1.1, 0.6005)))]).decode()
    assert 'width="1000.000mm" height="400.500mm" viewBox="100.000 -600.500 1000.000 400.500"' in text


def test_there_is_nothing_to_write_without_an_outline() -> None:
    with pytest.raises(OutlineError):
        as_svg([])
