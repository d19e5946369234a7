"""Outlines come in from a DXF by its polylines, arcs and splines, joined, with blocks set in."""

import io
import math
import sys
from itertools import pairwise

import numpy as np
import pytest
from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new
from ezdxf.math import BSpline

from workshop.outlines import Drawing, OutlineError, Shape, read_outlines
from workshop.trade.outline import outline_area


def sheet(unit: int = 4) -> Document:
    """A document in mm, unless another number of $INSUNITS is given."""
    return new("R2010", units=unit)


def written(document: Document) -> bytes:
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def read(document: Document, **how: float) -> Drawing:
    return read_outlines(written(document), "tarn.dxf", **how)


def only(drawing: Drawing) -> Shape:
    (shape,) = drawing.shapes
    return shape


@pytest.mark.parametrize(
    ("unit", "metres", "known"),
    [
        (0, 0.001, False),
        (1, 0.0254, True),
        (2, 0.3048, True),
        (4, 0.001, True),
        (5, 0.01, True),
        (6, 1, True),
    ],
)
def test_the_header_says_how_long_a_unit_is_or_that_it_is_not_known(
    unit: int, metres: float, known: bool
) -> None:
    # DXF reference, HEADER section, $INSUNITS: 1 inches, 2 feet, 4 mm, 5 cm, 6 m; from memory.
    document = sheet(unit)
    corners = [(0, 0), (0.4, 0), (0.4, 0.3), (0, 0.3)]
    document.modelspace().add_lwpolyline([(x / metres, y / metres) for x, y in corners], close=True)
    drawing = read(document)
    assert drawing.unit_known is known
    assert [pytest.approx(corner, abs=1e-12) for corner in corners] == list(only(drawing).ring)
    stated = read(document, unit_metres=metres / 2)
    assert stated.unit_known
    assert outline_area(only(stated).ring) == pytest.approx(0.03)


def test_a_drawing_without_a_unit_is_taken_as_mm_and_says_that_it_does_not_know() -> None:
    document = sheet(0)
    document.modelspace().add_lwpolyline([(0, 0), (1000, 0), (1000, 300)], close=True)
    drawing = read(document)
    assert not drawing.unit_known
    assert outline_area(only(drawing).ring) == pytest.approx(0.15)


def test_a_bulge_is_an_arc() -> None:
    # DXF reference, LWPOLYLINE: the tangent of a quarter of the arc's angle, 1 a half circle; from memory.
    document = sheet()
    document.modelspace().add_lwpolyline([(0, 0, 0, 0, 1), (200, 0, 0, 0, 1)], close=True)
    shape = only(read(document))
    assert all(math.hypot(x - 0.1, y) == pytest.approx(0.1, abs=1e-6) for x, y in shape.ring)
    assert outline_area(shape.ring) == pytest.approx(math.pi * 0.1**2, abs=0.63 * 0.00005)


def test_lines_and_arcs_whose_ends_nearly_meet_are_one_outline() -> None:
    document = sheet()
    space = document.modelspace()
    space.add_line((0, 100), (1000, 100.06))
    space.add_arc((1000, 50), 50, 270, 90)
    space.add_line((0, 0), (1000, 0))
    space.add_line((0, 0.05), (0, 100))
    shape = only(read(document))
    assert outline_area(shape.ring) == pytest.approx(0.1 + math.pi * 0.05**2 / 2, rel=1e-3)


def test_a_line_drawn_twice_is_joined_once() -> None:
    document = sheet()
    corners = [(0, 0), (300, 0), (300, 200), (0, 0)]
    for start, end in [*pairwise(corners), (corners[1], corners[0])]:
        document.modelspace().add_line(start, end)
    assert outline_area(only(read(document)).ring) == pytest.approx(0.03)


@pytest.mark.parametrize("degree", [2, 3, 4])
def test_a_spline_keeps_to_its_curve(degree: int) -> None:
    # The curve itself by de Boor's algorithm (numpy's sum over basis functions in the library's BSpline).
    steering = [(0, 0), (300, -200), (900, -100), (1000, 300), (500, 500), (0, 300), (0, 0)]
    document = sheet()
    document.modelspace().add_open_spline(steering, degree=degree)
    ring = np.array(only(read(document)).ring)
    curve = BSpline(steering, order=degree + 1)
    on_curve = np.array([(p.x, p.y) for p in curve.points(np.linspace(0, curve.max_t, 400))]) / 1000
    ends = np.roll(ring, -1, axis=0)
    for point in on_curve:
        along = np.clip(((point - ring) * (ends - ring)).sum(1) / ((ends - ring) ** 2).sum(1), 0, 1)
        away = np.hypot(*(ring + along[:, None] * (ends - ring) - point).T)
        assert away.min() < 0.0001


def test_circles_and_ellipses_are_outlines_and_a_circle_in_a_slab_its_hole() -> None:
    document = sheet()
    space = document.modelspace()
    space.add_ellipse((500, 200), (500, 0), 0.4)
    space.add_circle((500, 200), 50)
    shape = only(read(document))
    assert outline_area(shape.ring) == pytest.approx(math.pi * 0.5 * 0.2, rel=1e-3)
    assert outline_area(shape.holes[0]) == pytest.approx(math.pi * 0.05**2, rel=2e-3)


def test_a_block_is_set_in_scaled_turned_repeated_and_on_the_layer_it_is_set_into() -> None:
    document = sheet()
    leg = document.blocks.new("LEG")
    leg.add_lwpolyline([(0, 0), (40, 0), (40, 10), (0, 10)], close=True)
    place = {"xscale": 2, "yscale": 3, "rotation": 90, "layer": "legs"}
    document.modelspace().add_blockref("LEG", (500, 100), dxfattribs=place)
    shape = only(read(document))
    assert shape.layer == "legs"
    expected = {(0.5, 0.1), (0.5, 0.18), (0.47, 0.18), (0.47, 0.1)}
    assert {(round(x, 9), round(y, 9)) for x, y in shape.ring} == expected
    row = {"column_count": 3, "column_spacing": 200}
    document.modelspace().add_blockref("LEG", (2000, 0), dxfattribs=row)
    assert len(read(document).shapes) == 4


def test_what_is_hidden_and_what_is_no_line_is_left_out_with_a_note() -> None:
    document = sheet()
    space = document.modelspace()
    space.add_lwpolyline([(0, 0), (400, 0), (400, 300)], close=True)
    document.layers.add("notes").off()
    space.add_lwpolyline([(0, 0), (40, 0), (40, 30)], close=True, dxfattribs={"layer": "notes"})
    space.add_text("seat")
    drawing = read(document)
    assert len(drawing.shapes) == 1
    assert drawing.notes == ("1 of TEXT left out.", "1 of what is hidden left out.")


def test_an_old_drawing_comes_in_by_its_polylines() -> None:
    document = new("R12")
    document.modelspace().add_polyline2d([(0, 0), (400, 0), (400, 300)], close=True)
    assert outline_area(only(read(document)).ring) == pytest.approx(0.06)


def test_a_damaged_file_comes_in_as_far_as_it_goes_or_is_refused() -> None:
    document = sheet()
    document.modelspace().add_lwpolyline([(0, 0), (400, 0), (400, 300)], close=True)
    # A header variable gone astray is no reason to lose the outline.
    damaged = written(document).replace(b"$EXTMAX", b"$EXTMOX")
    assert outline_area(only(read_outlines(damaged, "tarn.dxf")).ring) == pytest.approx(0.06)


def test_without_the_library_the_refusal_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    data = written(sheet())
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(OutlineError, match=r"not installed; run pip install 'workshop\[dxf\]'\.$"):
        read_outlines(data, "tarn.dxf")
