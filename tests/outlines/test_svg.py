"""Outlines come in from an SVG as large, as placed and as pierced as they were drawn."""

import math

import pytest
import svgwrite

from workshop.outlines import Drawing, OutlineError, Shape, read_outlines
from workshop.trade.outline import outline_area

SHEET = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="500mm" viewBox="0 0 1000 500">{}</svg>'
)
"""A sheet on which a user unit is a millimetre."""


def drawn(inside: str, sheet: str = SHEET, **how: float) -> Drawing:
    return read_outlines(sheet.format(inside).encode(), "tarn.svg", **how)


def only(drawing: Drawing) -> Shape:
    (shape,) = drawing.shapes
    return shape


def extent(shape: Shape) -> tuple[float, float, float, float]:
    """Left, bottom, right, top, m."""
    across, up = zip(*shape.ring, strict=True)
    return min(across), min(up), max(across), max(up)


def test_a_slab_keeps_its_size_and_stands_upright() -> None:
    shape = only(drawn('<polygon points="0,0 1000,0 1000,300 100,200"/>'))
    assert set(shape.ring) == {(0, 0), (1.0, 0), (1.0, -0.3), (0.1, -0.2)}


@pytest.mark.parametrize(
    "inside",
    [
        '<rect x="10" y="20" width="400" height="200"/>',
        '<path d="M10 20 h400 v200 h-400 z"/>',
        '<path d="m10,20 400,0 0,200 -400,0 0,-200"/>',
        '<polyline points="10 20 410 20 410 220 10 220 10 20"/>',
        '<g transform="translate(10 20)"><g transform="scale(2,1)"><rect width="200" height="200"/></g></g>',
        '<defs><rect id="r" width="400" height="200"/></defs><use href="#r" x="10" y="20"/>',
        '<svg x="10" y="20" width="400" height="200" viewBox="0 0 4 2"><rect width="4" height="2"/></svg>',
        '<line x1="10" y1="20" x2="410" y2="20"/><line x1="10" y1="220" x2="10" y2="20"/>'
        '<line x1="10" y1="220" x2="410" y2="220"/><line x1="410" y1="20" x2="410" y2="220"/>',
    ],
)
def test_one_rectangle_drawn_in_many_ways_comes_in_as_one(inside: str) -> None:
    shape = only(drawn(inside))
    assert extent(shape) == pytest.approx((0.01, -0.22, 0.41, -0.02), abs=1e-9)
    assert outline_area(shape.ring) == pytest.approx(0.08, rel=1e-9)


@pytest.mark.parametrize(
    ("inside", "area"),
    [
        ('<circle cx="200" cy="200" r="150"/>', math.pi * 0.15**2),
        ('<ellipse cx="200" cy="200" rx="150" ry="50"/>', math.pi * 0.15 * 0.05),
        ('<path d="M50 200 A150 150 0 0 1 350 200 A150 150 0 0 1 50 200 z"/>', math.pi * 0.15**2),
        ('<path d="M0 0 Q 300 600 600 0 z"/>', 0.6 * 0.3 * 2 / 3),
        ('<path d="M0 0 C 0 400 600 400 600 0 z"/>', 0.6 * 0.4 * 3 / 5),
        ('<rect width="300" height="200" rx="40"/>', 0.3 * 0.2 - (4 - math.pi) * 0.04**2),
    ],
)
def test_curves_keep_within_the_tolerance(inside: str, area: float) -> None:
    # Areas by the formulas of the circle, the ellipse, Archimedes' parabola and Bernstein's cubic. The sides
    # keep within 0.05 mm of the curve, and no outline here is longer than 1.5 m.
    shape = only(drawn(inside))
    assert abs(outline_area(shape.ring) - area) < 0.00005 * 1.5
    finer = only(drawn(inside, tolerance=0.000005))
    assert abs(outline_area(finer.ring) - area) < 0.000005 * 1.5


def test_a_curve_is_cut_as_fine_though_it_is_drawn_small_and_scaled_up() -> None:
    shape = only(drawn('<g transform="scale(1000)"><circle cx=".2" cy=".2" r=".15"/></g>'))
    assert all(math.hypot(x - 0.2, y + 0.2) == pytest.approx(0.15, abs=1e-9) for x, y in shape.ring)
    assert outline_area(shape.ring) == pytest.approx(math.pi * 0.15**2, abs=0.00005)


def test_an_arc_without_one_radius_is_a_straight_side() -> None:
    assert len(only(drawn('<path d="M0 0 A0 5 0 0 1 100 0 L 100 100 z"/>')).ring) == 3


def test_what_lies_within_an_outline_is_its_hole_and_what_lies_within_that_a_shape_again() -> None:
    drawing = drawn(
        '<path d="M0 0 h400 v400 h-400 z M100 100 h200 v200 h-200 z"/>'
        '<rect x="150" y="150" width="50" height="50"/>'
    )
    outer, inner = drawing.shapes
    assert [len(outer.holes), len(inner.holes)] == [1, 0]
    assert outline_area(outer.holes[0]) == pytest.approx(0.04)
    assert outline_area(inner.ring) == pytest.approx(0.0025)


def test_two_slabs_side_by_side_are_two_shapes_and_one_drawn_twice_is_one() -> None:
    slab = '<rect width="300" height="200"/>'
    assert len(drawn(slab + '<rect x="400" width="300" height="200"/>').shapes) == 2
    twice = drawn(slab * 2)
    assert (len(twice.shapes), len(twice.shapes[0].holes)) == (1, 0)
    assert twice.notes == ("1 outline drawn more than once, taken once.",)


def test_a_hole_in_another_layer_is_a_shape_of_its_own() -> None:
    drawing = drawn(
        '<g id="slab"><rect width="400" height="300"/></g>'
        '<g id="g7" label="stones"><circle cx="200" cy="100" r="50"/></g>'
    )
    assert [(shape.layer, len(shape.holes)) for shape in drawing.shapes] == [("slab", 0), ("stones", 0)]


def test_without_groups_a_shape_is_called_by_its_own_id() -> None:
    drawing = drawn(
        '<rect id="seat" width="400" height="300"/><rect id="leg" x="500" width="90" height="90"/>'
    )
    assert [shape.layer for shape in drawing.shapes] == ["seat", "leg"]


@pytest.mark.parametrize(
    "hidden",
    [
        '<rect display="none" width="900" height="400"/>',
        '<g style="fill:red; display : none"><rect width="900" height="400"/></g>',
        '<g visibility="hidden"><rect width="900" height="400"/></g>',
        '<defs><rect width="900" height="400"/></defs>',
        '<clipPath><rect width="900" height="400"/></clipPath>',
        '<symbol><rect width="900" height="400"/></symbol>',
        "<script>alert(1)</script>",
        '<other xmlns="urn:other"><rect width="900" height="400"/></other>',
    ],
)
def test_what_is_not_drawn_does_not_come_in(hidden: str) -> None:
    shape = only(drawn(hidden + '<rect width="100" height="100"/>'))
    assert outline_area(shape.ring) == pytest.approx(0.01)


def test_texts_and_pictures_are_left_out_with_a_note_and_never_fetched() -> None:
    drawing = drawn(
        '<image href="http://tarn.invalid/slab.jpg"/><text>seat</text><rect width="100" height="100"/>'
    )
    assert drawing.notes == ("1 picture left out.", "1 text left out.")


@pytest.mark.parametrize(
    ("size", "unit", "known"),
    [
        ('width="100mm" height="50mm"', 0.001, True),
        ('width="10cm" height="5cm"', 0.001, True),
        ('width="1in" height="0.5in"', 0.0254 / 100, True),
        ('width="72pt" height="36pt"', 0.0254 / 100, True),
        ('width="100mm"', 0.001, True),
        ('width="96" height="48"', 0.0254 / 100, False),
        ('width="96px" height="48px"', 0.0254 / 100, False),
        ("", 0.0254 / 96, False),
        ('width="100%" height="100%"', 0.0254 / 96, False),
    ],
)
def test_the_size_says_how_long_a_unit_is_or_that_it_is_not_known(
    size: str, unit: float, known: bool
) -> None:
    sheet = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 100 50">{{}}</svg>'
    drawing = drawn('<rect width="100" height="50"/>', sheet)
    assert extent(only(drawing)) == pytest.approx((0, -50 * unit, 100 * unit, 0), rel=1e-12)
    assert drawing.unit_known is known


def test_a_stated_unit_goes_before_the_files_own() -> None:
    drawing = drawn('<rect width="100" height="50"/>', unit_metres=0.0254)
    assert extent(only(drawing)) == pytest.approx((0, -1.27, 2.54, 0))
    assert drawing.unit_known


@pytest.mark.parametrize(
    "inside",
    [
        '<path d="M0 0 L10"/>',
        '<path d="M0 0 L10 10 @ 5 z"/>',
        '<path d="L0 0 10 10 0 10z"/>',
        '<polygon points="0,0 10,0 10"/>',
        '<polygon points="0,0 10,0 ten,10"/>',
        '<rect width="-5" height="5"/>',
        '<rect width="5em" height="5"/>',
        '<g transform="wobble(3)"><rect width="50" height="50"/></g>',
        '<g transform="rotate()"><rect width="50" height="50"/></g>',
        '<svg viewBox="0 0 5"><rect width="50" height="50"/></svg>',
        '<line x2="500"/>',
        '<rect width="9" height="9"/>',
        "",
    ],
)
def test_what_cannot_be_an_outline_is_refused_in_one_sentence(inside: str) -> None:
    with pytest.raises(OutlineError) as refusal:
        drawn(inside)
    assert str(refusal.value).startswith("tarn.svg") and "\n" not in str(refusal.value)


def test_a_file_of_another_writer_comes_in_right() -> None:
    # Written by svgwrite 1.4, which shares nothing with the reader: mm size, viewBox, group, curve, hole.
    made = svgwrite.Drawing(size=("1200mm", "400mm"), viewBox="0 0 1200 400")
    group = made.add(made.g(id="gannet", transform="translate(100,50)"))
    path = made.path(d="M0,0", fill_rule="evenodd")
    path.push("H1000", "V300", "C", 700, 300, 300, 300, 0, 300, "Z")
    group.add(path)
    group.add(made.circle(center=("500", "150"), r=60))
    drawing = read_outlines(made.tostring().encode(), "gannet.svg")
    shape = only(drawing)
    assert (shape.layer, drawing.unit_known) == ("gannet", True)
    assert extent(shape) == pytest.approx((0.1, -0.35, 1.1, -0.05), abs=1e-9)
    assert outline_area(shape.ring) == pytest.approx(0.3, rel=1e-9)
    assert outline_area(shape.holes[0]) == pytest.approx(math.pi * 0.06**2, rel=2e-3)
