"""Finish, wiped on or flooded."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.finish import finish_coat, flood_coat

areas = st.floats(0.05, 10)


@given(areas, st.floats(5000, 40000), st.floats(0.5, 20), st.integers(1, 5))
def test_the_parts_add_up(area: float, coverage: float, ratio: float, coats: int) -> None:
    coat = finish_coat(area, coverage, ratio, coats)
    assert coat.part_a + coat.part_b == pytest.approx(coat.amount)
    assert coat.part_a == pytest.approx(ratio * coat.part_b)
    assert coat.amount * coverage == pytest.approx(area * coats)


@given(areas, st.floats(60, 3600), st.floats(0.3, 1.2))
def test_every_zone_can_be_wiped_in_time_and_none_is_idle(
    area: float, open_time: float, reach: float
) -> None:
    coat = finish_coat(area, 24000, open_time=open_time, reach=reach)
    assert coat.zones * coat.zone_area >= area * (1 - 1e-6)
    assert (coat.zones - 1) * coat.zone_area < area


def test_twenty_four_square_metres_a_litre() -> None:
    # 1.2 m2, two coats: 100 mL, at 10 : 1 a little over 9 mL of hardener.
    coat = finish_coat(1.2, 24 / 0.001, 10, coats=2)
    assert coat.amount == pytest.approx(100e-6)
    assert coat.part_b == pytest.approx(100e-6 / 11)


def test_a_short_open_time_makes_more_zones() -> None:
    # at 0.1 m2 a minute, 5 min are half a square metre: two and a bit of them take three zones
    assert finish_coat(1.2, 24000, open_time=300).zones == 3
    assert finish_coat(1.2, 24000, open_time=120).zones == 6


def test_reach_limits_a_zone_however_slow_the_finish() -> None:
    assert finish_coat(2, 24000, open_time=7200, reach=0.5).zone_area == pytest.approx(0.5)


def test_a_finish_of_one_part_has_no_part_b() -> None:
    assert finish_coat(1, 24000).part_b == 0


def test_more_coats_do_not_make_more_zones() -> None:
    assert finish_coat(3, 24000, coats=3).zones == finish_coat(3, 24000).zones


@given(st.floats(0.01, 10), st.floats(0.0005, 0.02), st.floats(0, 0.5))
def test_a_flood_coat_never_lies_thicker_than_it_levels_itself(
    area: float, thickness: float, loss: float
) -> None:
    held = flood_coat(area, thickness, loss=loss)
    assert held.each <= 0.0254 / 8 * (1 + 1e-6)
    assert held.coats * held.each == pytest.approx(thickness)
    assert held.volume * (1 - loss) == pytest.approx(area * thickness)


def test_edges_drink_as_much_as_the_face() -> None:
    assert flood_coat(1.0, 0.003, edge_area=0.25).volume == pytest.approx(1.25 * 0.003)


@pytest.mark.parametrize("wrong", [(0.0, 0.003, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0), (1.0, 0.003, 0.0, 1.0)])
def test_a_flood_of_nothing_is_refused(wrong: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="give"):
        flood_coat(*wrong)
