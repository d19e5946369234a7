"""What is left of a slab when its parts are sawn out."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.fitting.slabs import MM, box, laid, region, slabs
from workshop.trade.fitting import Part, Placement, Stock, places, rectangle, remainder, yield_share

SLAB = Stock("slab", box(2.0, 0.4))


def at(part: Part, stock: Stock, x: float, y: float) -> Placement:
    """A part laid straight."""
    return Placement(part, stock, x, y, 0.0, False, 0.0)


def test_a_part_across_the_middle_leaves_two_offcuts_less_the_saw_lines() -> None:
    left = remainder(SLAB, [at(rectangle("a", 0.5, 0.4), SLAB, 0.5, 0.0)], 4 * MM)
    assert [offcut.area for offcut in left] == pytest.approx([(1.0 - 0.004) * 0.4, (0.5 - 0.004) * 0.4])


def test_strips_and_chips_are_not_kept() -> None:
    part = at(rectangle("a", 1.9, 0.37), SLAB, 0.0, 0.0)
    assert [offcut.area for offcut in remainder(SLAB, [part], 0.0)] == pytest.approx([0.1 * 0.4], rel=1e-3)
    assert remainder(SLAB, [part], 0.0, least_area=0.05) == ()
    assert remainder(SLAB, [part], 0.0, least_width=0.11) == ()


def test_an_offcut_keeps_the_hole_of_a_part_sawn_from_its_middle() -> None:
    (left,) = remainder(SLAB, [at(rectangle("a", 0.5, 0.1), SLAB, 0.7, 0.15)], 0.0)
    (hole,) = left.holes
    assert shapely.Polygon(hole).area == pytest.approx(0.05)
    assert left.area == pytest.approx(0.8 - 0.05)


def test_the_slabs_own_saw_counts_where_it_cuts_wider() -> None:
    wide = Stock("wide", box(2.0, 0.4), kerf=20 * MM)
    (left,) = remainder(wide, [at(rectangle("a", 1.0, 0.4), wide, 0.0, 0.0)], 4 * MM)
    assert left.area == pytest.approx((1.0 - 0.02) * 0.4)


def test_parts_on_another_slab_take_nothing() -> None:
    other = Stock("other", box(2.0, 0.4))
    part = at(rectangle("a", 1.0, 0.4), other, 0.0, 0.0)
    assert remainder(SLAB, [part], 0.0)[0].area == pytest.approx(0.8)
    assert yield_share(SLAB, [part]) == 0
    assert yield_share(other, [part]) == pytest.approx(0.5)


@settings(deadline=None, derandomize=True, max_examples=20)
@given(slabs(), st.floats(0.1, 0.6), st.floats(0.03, 0.2), st.floats(0, 0.01))
def test_parts_and_offcuts_share_the_slab_between_them(
    slab: Stock, length: float, width: float, kerf: float
) -> None:
    found = places(rectangle("a", length, width), [slab], most=1)
    left = [shapely.Polygon(o.ring, o.holes) for o in remainder(slab, found, kerf)]
    whole = region(slab)
    for offcut in left:
        assert offcut.is_valid
        assert whole.buffer(1e-9).covers(offcut)
        assert all(laid(place).distance(offcut) >= kerf - 1e-9 for place in found)
    parts = sum(laid(place).area for place in found)
    assert sum(offcut.area for offcut in left) + parts <= whole.area + 1e-9
    assert yield_share(slab, found) == pytest.approx(parts / whole.area)


def test_a_saw_line_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="zero or more"):
        remainder(SLAB, [], -0.001)
