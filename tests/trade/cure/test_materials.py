"""Wood and filled resin as heat meets them.

The published example: Wood Handbook, FPL-GTR-190 (2010), chapter 4, heat capacity of wood at 12 % and 340 K
1.91 kJ/(kg K), as an open package prints it; tolerance 0.005. The conductivity at a gravity of 0.60 and 10 %
is eq. 4-15 by hand: 0.60 (0.1941 + 0.04064) + 0.01864 = 0.159484.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.cure.materials import maxwell_eucken, wood, wood_conductivity, wood_heat_capacity


def test_wood_of_the_handbook() -> None:
    assert wood_conductivity(0.60, 0.10) == pytest.approx(0.159484, abs=1e-6)
    assert wood_heat_capacity(340.0 - 273.15, 0.12) == pytest.approx(1910.0, abs=5.0)


def test_a_slab_weighs_its_dry_wood_and_its_water() -> None:
    assert wood(0.60, 0.10).density == pytest.approx(660.0)


@given(st.floats(0.1, 0.4), st.floats(0.2, 5.0), st.floats(0.0, 0.64))
def test_filled_resin_conducts_between_resin_and_filler(resin: float, filler: float, share: float) -> None:
    mixed = float(maxwell_eucken(resin, filler, share))
    assert min(resin, filler) - 1e-12 <= mixed <= max(resin, filler) + 1e-12
    assert float(maxwell_eucken(resin, filler, 0.0)) == pytest.approx(resin)


def test_wet_wood_is_refused() -> None:
    with pytest.raises(ValueError, match="below 25 %"):
        wood_conductivity(0.5, 0.30)
