"""The greatest rate of heating at which a body still settles: slab, cylinder, sphere.

Source: D. A. Frank-Kamenetskii (1938); 0.8785, 2.000 and 3.322 for half the thickness or the radius as
length, as any text on thermal explosion prints them. Tolerance 0.5 %.
"""

import numpy as np
import pytest

from workshop.trade.cure.conduction import Shape, laplacian, lay

CELLS = 60


def settled_rate(shape: Shape, middle: float, guess: float) -> float:
    """The rate that holds the middle at a scaled temperature above the outside, by Newton's method."""
    cells = lay(np.full((1, CELLS), 1.0 / CELLS), np.ones((1, CELLS)), shape)
    loss = laplacian(cells)[0]
    loss[-1, -1] += cells.last_area[0] / cells.last_half[0]
    volume = cells.volume[0]
    warm, rate = middle * (1.0 - np.linspace(0.0, 1.0, CELLS) ** 2), guess
    for _ in range(60):
        heat = volume * np.exp(warm)
        wrong = loss @ warm - rate * heat
        matrix = loss - np.diag(rate * heat)
        matrix[:, 0] = -heat
        step = np.linalg.solve(matrix, -wrong)
        rate += float(step[0])
        warm[1:] += step[1:]
        if np.abs(step).max() < 1e-11:
            break
    return rate


@pytest.mark.parametrize(
    ("shape", "critical", "middles"),
    [
        (Shape.SLAB, 0.8785, np.linspace(0.9, 1.5, 25)),
        (Shape.CYLINDER, 2.000, np.linspace(1.1, 1.7, 25)),
        (Shape.SPHERE, 3.322, np.linspace(1.3, 1.9, 25)),
    ],
)
def test_the_critical_rate_of_a_body(shape: Shape, critical: float, middles: np.ndarray) -> None:
    highest = max(settled_rate(shape, float(middle), critical) for middle in middles)
    assert highest == pytest.approx(critical, rel=0.005)
