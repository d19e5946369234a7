"""Seal coat."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.seal_coat import seal_coat

areas = st.floats(0, 3)
coverages = st.floats(0.05, 0.6)


@given(areas, areas, areas, coverages, coverages, coverages, st.floats(0.5, 10), st.floats(0.02, 1))
def test_parts_and_batches_add_up_to_the_coat(
    edge: float, face: float, end: float, c1: float, c2: float, c3: float, ratio: float, most: float
) -> None:
    coat = seal_coat(ratio, edge, face, end, c1, c2, c3, most)
    assert coat.mass == pytest.approx(coat.edge + coat.face + coat.end_grain)
    assert coat.part_a + coat.part_b == pytest.approx(coat.mass)
    assert coat.part_a == pytest.approx(ratio * coat.part_b)
    assert coat.batches * coat.each == pytest.approx(coat.mass)
    assert coat.each <= most * (1 + 1e-6)


def test_end_grain_by_its_own_coverage() -> None:
    # 1 m2 of edge at 200 g and half a m2 of end grain at 400 g: 200 g each.
    coat = seal_coat(2, edge_area=1, end_grain_area=0.5, edge_coverage=0.2, end_grain_coverage=0.4)
    assert coat.edge == pytest.approx(coat.end_grain)
    assert coat.mass == pytest.approx(0.4)
    assert coat.batches == 1


def test_cups_that_are_filled_to_the_brim_are_enough() -> None:
    assert seal_coat(2, edge_area=1, edge_coverage=0.3, largest_batch=0.1).batches == 3
    assert seal_coat(2, edge_area=1, edge_coverage=0.31, largest_batch=0.1).batches == 4


def test_an_area_without_coverage_is_asked_for() -> None:
    with pytest.raises(ValueError, match="end grain and no coverage"):
        seal_coat(2, end_grain_area=0.5)
