"""A plane wall that cools to the air, against the series solution.

Source: Incropera, Fundamentals of Heat and Mass Transfer, section 5.5 and table 5.1 (zeta1 and C1 from
memory): 0.3111 and 1.0161 at Bi 0.1, 0.8603 and 1.1191 at Bi 1, 1.4289 and 1.2620 at Bi 10. The full series
is summed here. Tolerance 1e-3 of the first difference in temperature; the table's four digits for its own.
"""

import numpy as np
import pytest
from numpy.typing import NDArray

from workshop.trade.cure.column import column
from workshop.trade.cure.conduction import lay
from workshop.trade.cure.kinetics import Inert
from workshop.trade.cure.march import Tolerance, march
from workshop.trade.cure.surroundings import Top, steady

HALF, K, HEAT_CAPACITY = 0.02, 0.2, 2.2e6
CELLS = 60


def roots(biot: float, count: int = 40) -> NDArray[np.float64]:
    """The solutions of zeta tan(zeta) = Bi, by bisection."""
    low = np.pi * np.arange(count)
    high = low + np.pi / 2
    for _ in range(80):
        middle = (low + high) / 2
        under = middle * np.sin(middle) < biot * np.cos(middle)
        # Between n pi and n pi + pi/2 sine and cosine keep one sign, which turns with each n.
        under = np.where(np.arange(count) % 2 == 0, under, ~under)
        low, high = np.where(under, middle, low), np.where(under, high, middle)
    return np.asarray((low + high) / 2)


def series(biot: float, place: NDArray[np.float64], fourier: float) -> NDArray[np.float64]:
    zeta = roots(biot)
    weight = 4 * np.sin(zeta) / (2 * zeta + np.sin(2 * zeta))
    return np.asarray((weight * np.exp(-(zeta**2) * fourier) * np.cos(zeta * place[:, None])).sum(1))


@pytest.mark.parametrize(
    ("biot", "zeta", "first"), [(0.1, 0.3111, 1.0161), (1.0, 0.8603, 1.1191), (10.0, 1.4289, 1.2620)]
)
def test_a_wall_cools_as_the_series_says(biot: float, zeta: float, first: float) -> None:
    one = roots(biot)[0]
    assert one == pytest.approx(zeta, abs=6e-5)
    assert 4 * np.sin(one) / (2 * one + np.sin(2 * one)) == pytest.approx(first, abs=6e-5)

    widths = np.full((1, CELLS), HALF / CELLS)
    cells = lay(widths, np.full((1, CELLS), K))
    wall = column(
        cells,
        np.full((1, CELLS), HEAT_CAPACITY),
        np.zeros((1, CELLS)),
        Inert(),
        under=np.zeros(1),
        top=Top(film=biot * K / HALF),
        air=steady(0.0),
    )
    unit = HALF**2 * HEAT_CAPACITY / K
    marks = (0.1, 0.2, 0.5, 1.0, 2.0)
    start = np.concatenate([np.full((1, CELLS), 100.0), np.zeros((1, CELLS))], axis=1)
    run = march(
        wall,
        start,
        start=0.0,
        end=2.0 * unit,
        tolerance=Tolerance(0.01, 1e-5),
        marks=tuple(m * unit for m in marks),
    )
    middle = (np.arange(CELLS) + 0.5) / CELLS
    for fourier in marks:
        cooled = run.at(fourier * unit)[0, :CELLS] / 100.0
        assert np.abs(cooled - series(biot, middle, fourier)).max() < 1e-3
