"""What of a slab is used, left and lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.slab_yield import slab_yield

AREAS = st.lists(st.floats(0.0, 0.5), max_size=6)


@given(st.floats(0.01, 3.0), AREAS, AREAS)
def test_used_left_and_lost_are_the_slab(slab: float, pieces: list[float], offcuts: list[float]) -> None:
    held = slab_yield(slab, pieces, offcuts)
    assert held.used + held.left + held.lost == pytest.approx(slab, abs=1e-12)
    assert held.share * slab == pytest.approx(held.used, abs=1e-12)
    assert (held.lost < 0) == (slab - sum(pieces) - sum(offcuts) < 0)


def test_a_slab_that_is_all_piece_loses_nothing() -> None:
    held = slab_yield(0.3, [0.1, 0.2], [])
    assert held.share == pytest.approx(1.0)
    assert held.left == 0
    assert held.lost == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(("slab", "pieces"), [(0.0, [0.1]), (float("nan"), []), (0.3, [-0.1])])
def test_areas_that_cannot_be_are_refused(slab: float, pieces: list[float]) -> None:
    with pytest.raises(ValueError, match="zero"):
        slab_yield(slab, pieces, [])
