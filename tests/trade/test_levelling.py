"""Shims bring every point of the rails up to the highest."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.levelling import rail_level


@given(st.lists(st.floats(-1, 1), min_size=2, max_size=12))
def test_shimmed_rails_lie_level_and_nothing_is_planed_off(heights: list[float]) -> None:
    held = rail_level(heights)
    raised = [height + shim for height, shim in zip(heights, held.shims, strict=True)]
    assert raised == pytest.approx([max(heights)] * len(heights))
    assert min(held.shims) == 0
    assert max(held.shims) == pytest.approx(held.height_range)


@given(st.lists(st.floats(-1, 1), min_size=2, max_size=12), st.floats(-1, 1))
def test_the_datum_does_not_matter(heights: list[float], datum: float) -> None:
    moved = rail_level([height + datum for height in heights])
    assert moved.shims == pytest.approx(rail_level(heights).shims)


@pytest.mark.parametrize("heights", [[], [0.1], [0.1, float("nan")]])
def test_too_little_to_go_by_is_refused(heights: list[float]) -> None:
    with pytest.raises(ValueError, match="read"):
        rail_level(heights)
