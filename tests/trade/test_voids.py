"""Filling voids."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.voids import Void, fill_voids


def test_thin_glue_is_for_less_than_two_millimetres_only() -> None:
    # common practice, no source
    shallow, at_two, deep = fill_voids(
        (Void(0.03, 0.001, 0.0019), Void(0.03, 0.001, 0.002), Void(0.03, 0.02, 0.01))
    )
    assert (shallow.filler, at_two.filler, deep.filler) == ("thin glue", "resin", "resin")


@given(st.floats(0.002, 0.2), st.floats(0.002, 0.05))
def test_layers_stay_within_the_resins_depth_and_fill_the_void(depth: float, greatest: float) -> None:
    (fill,) = fill_voids((Void(0.1, 0.05, depth),), greatest)
    assert fill.layers * fill.layer_depth == pytest.approx(depth)
    assert fill.layer_depth <= greatest * (1 + 1e-6)


def test_volume_counts_every_void() -> None:
    # twelve pits of 10 x 5 x 4 mm: 2.4 mL
    (fill,) = fill_voids((Void(0.010, 0.005, 0.004, 12),))
    assert fill.volume == pytest.approx(2.4e-6)


def test_a_void_of_one_and_a_half_rated_depths_takes_two_layers() -> None:
    (fill,) = fill_voids((Void(0.2, 0.05, 0.075),), 0.050)
    assert fill.layers == 2
    assert fill.layer_depth == pytest.approx(0.0375)


def test_a_layer_too_thin_for_a_slow_resin_is_marked() -> None:
    thin, deep = fill_voids((Void(0.1, 0.05, 0.003), Void(0.1, 0.05, 0.02)), 0.05, least_depth=0.005)
    assert thin.too_thin and not deep.too_thin


def test_a_void_without_depth_is_measured_again() -> None:
    with pytest.raises(ValueError, match="Void 2"):
        fill_voids((Void(0.1, 0.1, 0.01), Void(0.1, 0.1, 0)))
