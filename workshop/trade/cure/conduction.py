"""Heat conduction on finite volumes: along a slab's thickness, a cylinder's or a sphere's radius.

Arrays lead with the draws. The temperature of a cell is that at its middle; between two cells the halves'
resistances stand in series, so that a jump in conductivity is exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from workshop.trade.cure.kinetics import Array

__all__ = ["Cells", "Shape", "graded", "laplacian", "lay"]


class Shape(IntEnum):
    """What the cells are shells of; the value is the power of the radius in a face's area."""

    SLAB = 0
    CYLINDER = 1
    SPHERE = 2


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Cells in a row, from the floor or the middle outwards, per m2 of slab, per m or whole."""

    volume: Array
    link: Array
    """W/K between neighbours: one fewer than cells."""
    first_half: Array
    """K m2/W from the middle of the first cell to its outer face."""
    last_half: Array
    first_area: Array
    last_area: Array


def lay(widths: Array, conductivity: Array, shape: Shape = Shape.SLAB) -> Cells:
    """Cells of these widths (m) and conductivities (W/(m K)), both (draws, cells).

    Cylinders are per metre of length and spheres whole; both begin at the middle.
    """
    faces = np.concatenate((np.zeros_like(widths[:, :1]), np.cumsum(widths, axis=1)), axis=1)
    power = int(shape)
    factor = (1.0, 2.0 * np.pi, 4.0 * np.pi)[power]
    area = factor * faces**power
    volume = factor * np.diff(faces ** (power + 1), axis=1) / (power + 1)
    half = widths / (2.0 * conductivity)
    link = area[:, 1:-1] / (half[:, :-1] + half[:, 1:])
    return Cells(volume, link, half[:, 0], half[:, -1], area[:, 0], area[:, -1])


def laplacian(cells: Cells) -> Array:
    """W/K that leave each cell for a kelvin of each: (draws, cells, cells), no heat passing the ends."""
    draws, count = cells.volume.shape
    matrix = np.zeros((draws, count, count))
    inner = np.arange(count - 1)
    matrix[:, inner, inner] += cells.link
    matrix[:, inner + 1, inner + 1] += cells.link
    matrix[:, inner, inner + 1] = -cells.link
    matrix[:, inner + 1, inner] = -cells.link
    return matrix


def graded(count: int, skin: float = 0.0, pinch: float = 0.6) -> Array:
    """Faces from 0 to 1 of cells that are finer towards both ends, `pinch` 0 for even ones.

    With `skin` above zero one more cell, of that share of the whole, lies at the upper end: its temperature
    and conversion are the surface's.
    """
    even = np.linspace(0.0, 1.0, count + 1)
    faces = even - pinch * np.sin(2.0 * np.pi * even) / (2.0 * np.pi)
    faces = faces * (1.0 - skin)
    return np.append(faces, 1.0) if skin else faces
