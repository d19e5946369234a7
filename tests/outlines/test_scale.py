"""A drawing's length beside the slab's, the mistake of units that explains the difference, and its cure."""

import pytest

from workshop.outlines import Drawing, OutlineError, Shape, scale_check, scaled
from workshop.trade.outline import Point

SLAB = Drawing((Shape(((0, 0), (1.2, 0), (1.2, 0.4), (0, 0.4)), (((0.1, 0.1), (0.2, 0.1), (0.2, 0.2)),)),))
TAPE = Drawing(stations=((0.0, 0.2, 0.2), (1.2, 0.1, 0.2)))

PIXELS, POINTS = "pixels (96 to the inch)", "points (72 to the inch)"


def test_a_length_within_half_a_percent_agrees() -> None:
    near, off = scale_check(SLAB, 1.2 * 1.0049), scale_check(SLAB, 1.2 * 1.0051)
    assert (near.agrees, near.likely) == (True, "agrees")
    assert (off.agrees, off.likely) == (False, "no common mistake of units explains it")


@pytest.mark.parametrize(
    ("factor", "read", "drawn"),
    [
        # 1 in = 25.4 mm = 96 px = 72 pt: CSS Values and Units 3, section 6.2. 1 ft = 12 in = 304.8 mm.
        (25.4, "mm", "inches"),
        (1 / 25.4, "inches", "mm"),
        (96 / 72, PIXELS, POINTS),
        (72 / 96, POINTS, PIXELS),
        (96 / 90, PIXELS, "units of 90 to the inch"),
        (10, "mm", "cm"),
        (0.1, "cm", "mm"),
        (1000, "mm", "m"),
        (0.001, "m", "mm"),
        (100, "cm", "m"),
        (3.7795, PIXELS, "mm"),
        (1 / 3.7795, "mm", PIXELS),
        (2.8346, POINTS, "mm"),
        (2.54, "cm", "inches"),
        (304.8, "mm", "feet"),
        (12, "inches", "feet"),
    ],
)
@pytest.mark.parametrize("astray", [0.992, 1.0, 1.008])
def test_a_mistake_of_units_is_told_by_its_factor(
    factor: float, read: str, drawn: str, astray: float
) -> None:
    small = Drawing((Shape(((0, 0), (0.05, 0), (0.05, 0.02))),))
    check = scale_check(small, 0.05 * factor * astray)
    assert check.factor == pytest.approx(factor * astray)
    assert check.likely == f"read as {read} but drawn in {drawn}"


@pytest.mark.parametrize("factor", [1.5, 7.0, 0.6])
def test_a_factor_of_no_mistake_is_called_so(factor: float) -> None:
    assert scale_check(SLAB, 1.2 * factor).likely == "no common mistake of units explains it"


@pytest.mark.parametrize(
    ("between", "stated", "factor"),
    [("length", 2.4, 2), ("width", 0.2, 0.5), (((0, 0), (1.2, 0.5)), 2.6, 2)],
)
def test_a_drawing_is_scaled_about_its_origin_with_its_holes(
    between: tuple[Point, Point], stated: float, factor: float
) -> None:
    made = scaled(SLAB, stated=stated, between=between)
    (shape,), (before,) = made.shapes, SLAB.shapes
    assert shape.ring[2] == pytest.approx((1.2 * factor, 0.4 * factor))
    assert shape.holes[0][0] == pytest.approx(
        (before.holes[0][0][0] * factor, before.holes[0][0][1] * factor)
    )
    assert made.unit_known and made.notes[-1].startswith(f"Scaled by {factor:g}")


def test_after_scaling_the_length_agrees() -> None:
    assert scale_check(scaled(SLAB, stated=3.1, between="length"), 3.1).likely == "agrees"
    assert scale_check(scaled(TAPE, stated=3.1, between="length"), 3.1).likely == "agrees"


def test_a_slab_drawn_upright_is_as_long_as_one_that_lies() -> None:
    upright = Drawing((Shape(tuple((y, x) for x, y in SLAB.shapes[0].ring)),))
    assert scale_check(upright, 1.2).measured == pytest.approx(1.2)


@pytest.mark.parametrize("stated", [0.0, -1.0, float("nan"), float("inf"), 101.0])
def test_a_length_that_no_slab_has_is_refused(stated: float) -> None:
    with pytest.raises(OutlineError):
        scale_check(SLAB, stated)
    with pytest.raises(OutlineError):
        scaled(SLAB, stated=stated, between="length")


def test_nothing_is_measured_between_one_place_or_in_an_empty_drawing() -> None:
    with pytest.raises(OutlineError, match="lie apart"):
        scaled(SLAB, stated=1, between=((0, 0), (0, 0)))
    with pytest.raises(OutlineError, match="no outline to measure"):
        scale_check(Drawing(), 1.0)
    with pytest.raises(OutlineError, match="would reach"):
        scaled(SLAB, stated=50, between=((0, 0), (0.001, 0)))
