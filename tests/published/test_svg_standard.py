"""Examples of the SVG standard: units, viewBox, preserveAspectRatio, transforms, use.

Source: Scalable Vector Graphics (SVG) 2, W3C, chapters "Coordinate Systems, Transformations and Units" and
"Document Structure", with the examples Nested, RotateScale, Skew, ViewBox, PreserveAspectRatio, Units and
Use02 as the working group's sources give them; section numbers of SVG 1.1 (Second Edition, 16 August 2011),
which has the same examples. Tolerance 1e-9 of a pixel where the standard gives exact numbers, else as stated.
A CSS pixel is 1/96 in: CSS Values and Units Level 3, section 6.2 (from memory).
"""

import math

import pytest

from workshop.outlines import Drawing, read_outlines
from workshop.outlines.svg_viewport import Viewport, fitted, nested, transform
from workshop.trade.outline import Point

PIXEL = 0.0254 / 96


def read(size: str, inside: str, unit: float | None = None) -> Drawing:
    """An example read; small ones with a larger `unit`, as the reader leaves out what is below 1 cm2."""
    text = f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{inside}</svg>'
    return read_outlines(text.encode(), "standard.svg", unit_metres=unit)


def corners(drawing: Drawing, shape: int = 0, unit: float = PIXEL) -> list[Point]:
    """A shape's points in user units, pixels unless told, y downward, as the standard has them."""
    return [(x / unit, -y / unit) for x, y in drawing.shapes[shape].ring]


def close(points: list[Point]) -> list[object]:
    return [pytest.approx(point, abs=1e-9) for point in points]


@pytest.mark.parametrize(
    ("unit", "inches"),
    [
        ("in", 1),
        ("cm", 1 / 2.54),
        ("mm", 1 / 25.4),
        ("pt", 1 / 72),
        ("pc", 1 / 6),
        ("px", 1 / 96),
        ("", 1 / 96),
    ],
)
def test_units_are_fixed_multiples_of_a_pixel(unit: str, inches: float) -> None:
    # SVG 1.1, 7.10; CSS Values and Units Level 3, section 6.2: 1in = 2.54cm = 25.4mm = 72pt = 6pc = 96px.
    drawing = read("", f'<rect width="200{unit}" height="300{unit}"/>')
    assert max(x for x, _ in drawing.shapes[0].ring) == pytest.approx(200 * inches * 0.0254, rel=1e-12)


def test_example_new_coord_sys() -> None:
    # SVG 1.1, 7.4: under translate(50,50) the coordinate (30,30) is mapped to (80,80).
    assert list(transform("translate(50,50)", "") @ [30, 30, 1])[:2] == [80, 80]


def test_example_nested() -> None:
    # SVG 1.1, 7.5, example Nested: translate(50,90), rotate(-45), translate(130,160). Their product is given
    # there as .707 .707 255.03 / -.707 .707 111.21 (from memory, made with .707): tolerance 0.05.
    matrix = (
        transform("translate(50,90)", "") @ transform("rotate(-45)", "") @ transform("translate(130,160)", "")
    )
    expected = [0.707, 0.707, 255.03, -0.707, 0.707, 111.21]
    assert matrix[:2].ravel() == pytest.approx(expected, abs=0.05)


def test_example_rotate_scale() -> None:
    # SVG 1.1, 7.4, example RotateScale: 30 degrees about (50,30); 1.5 about (200,40), on axes 50 long.
    drawing = read(
        'width="400px" height="120px"',
        '<g transform="translate(50,30)"><g transform="rotate(30)"><polygon points="0,0 50,0 0,50"/></g></g>'
        '<g transform="translate(200,40)"><g transform="scale(1.5)"><path d="M0,0 50,0 0,50z"/></g></g>',
        unit=0.001,
    )
    cos, sin = math.sqrt(3) / 2, 0.5
    assert corners(drawing, 0, 0.001) == close(
        [(50, 30), (50 + 50 * cos, 30 + 50 * sin), (50 - 50 * sin, 30 + 50 * cos)]
    )
    assert corners(drawing, 1, 0.001) == close([(200, 40), (275, 40), (200, 115)])


def test_example_skew() -> None:
    # SVG 1.1, 7.4, example Skew: skewX(30) about (30,30), skewY(30) about (200,30).
    drawing = read(
        'width="400px" height="120px"',
        '<g transform="translate(30,30)"><g transform="skewX(30)"><polygon points="0,0 50,0 0,50"/></g></g>'
        '<g transform="translate(200,30)"><g transform="skewY(30)"><polygon points="0,0 50,0 0,50"/></g></g>',
        unit=0.001,
    )
    tan = 1 / math.sqrt(3)
    assert corners(drawing, 0, 0.001) == close([(30, 30), (80, 30), (30 + 50 * tan, 80)])
    assert corners(drawing, 1, 0.001) == close([(200, 30), (250, 30 + 50 * tan), (200, 80)])


def test_a_list_of_transforms_is_as_if_each_were_given_on_its_own() -> None:
    # SVG 1.1, 7.6: translate(-10,-20) scale(2) rotate(45) translate(5,10) equals four nested groups.
    lists = transform("translate(-10,-20) scale(2) rotate(45) translate(5,10)", "")
    nested_groups = transform("translate(-10,-20)", "")
    for one in ("scale(2)", "rotate(45)", "translate(5,10)"):
        nested_groups = nested_groups @ transform(one, "")
    assert lists == pytest.approx(nested_groups, abs=1e-12)


@pytest.mark.parametrize(("width", "scale_x"), [(300, 0.2), (150, 0.1)])
def test_example_view_box(width: int, scale_x: float) -> None:
    # SVG 1.1, 7.7, example ViewBox: 0 0 1500 1000 into 300 by 200 px is scale(0.2), into 150 by 200 px
    # scale(0.1 0.2), with preserveAspectRatio none. The red triangle is 750,100 250,900 1250,900.
    drawing = read(
        f'width="{width}px" height="200px" viewBox="0 0 1500 1000" preserveAspectRatio="none"',
        '<path d="M 750,100 L 250,900 L 1250,900 z"/>',
    )
    assert corners(drawing) == close([(750 * scale_x, 20), (250 * scale_x, 180), (1250 * scale_x, 180)])


@pytest.mark.parametrize(
    ("ratio", "width", "height", "scale", "left", "top"),
    [
        # SVG 1.1, 7.8, example PreserveAspectRatio: viewBox 0 0 30 40 into viewports of 50 by 30, 30 by 60.
        # The scale is the smaller (meet) or the greater (slice) of the two ratios; what is over lies right or
        # below (Min), on both sides (Mid), left or above (Max).
        ("xMinYMin meet", 50, 30, 30 / 40, 0, 0),
        ("xMidYMid meet", 50, 30, 30 / 40, (50 - 22.5) / 2, 0),
        ("xMaxYMax meet", 50, 30, 30 / 40, 50 - 22.5, 0),
        ("xMinYMin meet", 30, 60, 1, 0, 0),
        ("xMidYMid meet", 30, 60, 1, 0, 10),
        ("xMaxYMax meet", 30, 60, 1, 0, 20),
        ("xMinYMin slice", 30, 60, 60 / 40, 0, 0),
        ("xMidYMid slice", 30, 60, 60 / 40, (30 - 45) / 2, 0),
        ("xMaxYMax slice", 30, 60, 60 / 40, 30 - 45, 0),
        ("xMinYMin slice", 50, 30, 50 / 30, 0, 0),
        ("xMidYMid slice", 50, 30, 50 / 30, 0, (30 - 40 * 50 / 30) / 2),
        ("xMaxYMax slice", 50, 30, 50 / 30, 0, 30 - 40 * 50 / 30),
        (None, 50, 30, 30 / 40, (50 - 22.5) / 2, 0),
        ("defer xMidYMid", 50, 30, 30 / 40, (50 - 22.5) / 2, 0),
    ],
)
def test_example_preserve_aspect_ratio(
    ratio: str | None, width: float, height: float, scale: float, left: float, top: float
) -> None:
    expected = [scale, 0, left, 0, scale, top, 0, 0, 1]
    assert fitted((0, 0, 30, 40), width, height, ratio, "").ravel() == pytest.approx(expected)
    # The same through a file, where the viewport is an inner svg at (100, 60).
    attribute = f'preserveAspectRatio="{ratio}"' if ratio else ""
    drawing = read(
        'width="450px" height="300px"',
        f'<g transform="translate(100,60)"><svg viewBox="0 0 30 40" width="{width}" height="{height}" '
        f'{attribute}><g transform="scale(3)"><rect width="30" height="40"/></g></svg></g>',
    )
    assert corners(drawing)[0] == pytest.approx((100 + left, 60 + top))
    assert corners(drawing)[2] == pytest.approx((100 + left + 90 * scale, 60 + top + 120 * scale))


def test_a_new_viewport_takes_percentages_of_the_one_around_it() -> None:
    # SVG 1.1, 7.9: in a drawing of 4in by 3in an svg at 25% 25% is 50% by 50%.
    held = nested(
        {"x": "25%", "y": "25%", "width": "50%", "height": "50%"}, Viewport(4 * 96, 3 * 96), "", placed=True
    )
    assert held is not None
    assert list(held[0] @ [0, 0, 1])[:2] == [96, 72]
    assert held[1] == Viewport(192, 144)


def test_example_units() -> None:
    # SVG 1.1, 7.10, example Units: in a viewBox of 4000 by 2000, 4in by 2in is 384 by 192 user units and
    # 10% by 10% is 400 by 200; each comes in as its partner in user units below it, and twice that scaled.
    inside = (
        '<g id="abs" transform="translate(400,0)"><rect x="0" y="400" width="4in" height="2in"/>'
        '<rect x="0" y="750" width="384" height="192"/>'
        '<g transform="scale(2)"><rect x="0" y="600" width="4in" height="2in"/></g></g>'
        '<g id="per" transform="translate(2800,0)"><rect x="0" y="400" width="10%" height="10%"/>'
        '<rect x="0" y="750" width="400" height="200"/>'
        '<g transform="scale(2)"><rect x="0" y="600" width="10%" height="10%"/></g></g>'
    )
    drawing = read('width="400px" height="200px" viewBox="0 0 4000 2000"', inside, unit=0.001)
    boxes = [corners(drawing, place, 0.001) for place in range(6)]
    sizes = [(box[2][0] - box[0][0], box[2][1] - box[0][1]) for box in boxes]
    assert sizes == close([(384, 192), (384, 192), (768, 384), (400, 200), (400, 200), (800, 400)])
    assert boxes[0][0] == pytest.approx((400, 400))
    assert boxes[5][0] == pytest.approx((2800, 1200))


def test_a_radius_in_percent_is_of_the_diagonal_over_root_two() -> None:
    # SVG 1.1, 7.10: 1% in a viewport of 4000 by 2000 is .01*sqrt(4000*4000+2000*2000)/sqrt(2), or 31.62.
    drawing = read('width="4000px" height="2000px"', '<circle cx="500" cy="500" r="10%"/>')
    assert max(x for x, _ in corners(drawing)) - 500 == pytest.approx(316.2, abs=0.05)


def test_example_use_02() -> None:
    # SVG 1.1, 5.6, example Use02: a symbol of viewBox 0 0 20 20 in a use of 10 by 10 at (45,10), in a drawing
    # of 10cm by 3cm with viewBox 0 0 100 30, so that a user unit is a millimetre: four squares of 4 mm at
    # 45.5, 50.5 and 10.5, 15.5 mm; drawn here tenfold, as the reader leaves out what is below 1 cm2.
    drawing = read(
        'width="100cm" height="30cm" viewBox="0 0 100 30"',
        '<defs><symbol id="MySymbol" viewBox="0 0 20 20"><rect x="1" y="1" width="8" height="8"/>'
        '<rect x="11" y="1" width="8" height="8"/><rect x="1" y="11" width="8" height="8"/>'
        '<rect x="11" y="11" width="8" height="8"/></symbol></defs>'
        '<use x="45" y="10" width="10" height="10" href="#MySymbol"/>',
    )
    assert [shape.ring[0] for shape in drawing.shapes] == close(
        [(0.455, -0.105), (0.505, -0.105), (0.455, -0.155), (0.505, -0.155)]
    )
    assert drawing.shapes[0].ring[2] == pytest.approx((0.495, -0.145))
