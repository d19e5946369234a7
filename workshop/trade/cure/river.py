"""The wood beside a river of resin, for castings too narrow to be followed along their depth alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.materials import Material

__all__ = ["NARROW", "River", "Side"]

NARROW: Final = 6.0
"""Depths; a river narrower than this is followed as a section: own calculation."""
SIDE_FILM: Final = 9.0
"""W/(m2 K) at a slab's outer edge: judgement."""
DEEPEST: Final = 0.15
"""m of wood beside the resin beyond which no heat arrives while the resin is hot."""
HALF_CELLS: Final = 13
WHOLE_CELLS: Final = 20
WOOD_CELLS: Final = 14


@dataclass(frozen=True, slots=True)
class Side:
    """Wood along the river: how wide it is (m), and the film at its outer edge, W/(m2 K)."""

    material: Material
    width: float = DEEPEST
    film: float = SIDE_FILM

    def __post_init__(self) -> None:
        if self.width <= 0:
            raise ValueError(f"The wood beside the river is {self.width:g} m wide; give a width above zero.")

    @property
    def widths(self) -> Array:
        """m of its cells from the resin outwards."""
        return np.diff(min(self.width, DEEPEST) * np.linspace(0.0, 1.0, WOOD_CELLS + 1) ** 2.2)

    @property
    def edge(self) -> float:
        """W/(m2 K) at the end of the last cell; none where the wood goes on beyond it."""
        return self.film if self.width < DEEPEST else 0.0


@dataclass(frozen=True, slots=True)
class River:
    """The resin's width (m) between its sides: one where both are alike, else the left and the right one."""

    width: float
    sides: tuple[Side] | tuple[Side, Side]

    def __post_init__(self) -> None:
        if self.width <= 0:
            raise ValueError(f"The river is {self.width:g} m wide; give a width above zero.")

    @property
    def cells(self) -> int:
        """Across the resin, or across its half where both sides are alike."""
        return HALF_CELLS if len(self.sides) == 1 else WHOLE_CELLS

    @property
    def wood_cells(self) -> int:
        """Across the wood of all sides."""
        return WOOD_CELLS * len(self.sides)

    @property
    def widths(self) -> Array:
        """m of the resin's cells, from the middle or from the left side; finer towards the wood."""
        if len(self.sides) == 1:
            return np.diff(self.width / 2 * (1.0 - (1.0 - np.linspace(0.0, 1.0, HALF_CELLS + 1)) ** 1.5))
        even = np.linspace(0.0, 1.0, WHOLE_CELLS + 1)
        return np.diff(self.width * (even - 0.6 * np.sin(2 * np.pi * even) / (2 * np.pi)))
