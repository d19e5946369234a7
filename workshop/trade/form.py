"""The parts of a form: a floor with four walls standing on it, sealed and screwed. Lengths in m."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite, pi
from typing import Final

GREATEST_SPACING: Final = 0.2
"""Fixings farther apart let a wall stand off its bead: common practice, no source."""
SEALANT_SPARE: Final = 1.2
"""A fifth more sealant for nozzle, smoothing and waste: common practice, no source."""
USUAL_CARTRIDGE: Final = 310e-6
"""m³ in a usual cartridge of sealant: common practice, no source."""


@dataclass(frozen=True, slots=True)
class FormPart:
    """Boards of one size."""

    name: str
    length: float
    width: float
    count: int

    @property
    def area(self) -> float:
        """m² of all of them."""
        return self.length * self.width * self.count


@dataclass(frozen=True, slots=True)
class FormParts:
    """What a form is made of."""

    length: float
    """Inside, with trim."""
    width: float
    height: float
    """Of the walls, with freeboard."""
    parts: tuple[FormPart, ...]
    seam: float
    """Between walls and floor, and in the four corners."""
    fixings: int
    """That pull the walls onto the floor."""
    corner_fixings: int
    """That pull the long walls onto the ends of the short ones."""
    sealant: float
    """m³, with a fifth to spare."""

    @property
    def area(self) -> float:
        """m² of board."""
        return sum(part.area for part in self.parts)


def fixings_along(length: float, spacing: float) -> int:
    """Fixings along a length with one at each end, at most `spacing` apart."""
    return ceil(length / spacing - 1e-9) + 1


def form_parts(
    length: float,
    width: float,
    depth: float,
    board: float,
    trim: float = 0.0,
    freeboard: float = 0.0,
    bead: float = 0.0,
    fillet: float = 0.0,
    spacing: float = GREATEST_SPACING,
) -> FormParts:
    """The form round a casting of `length`, `width` and `depth`, of a board `board` thick.

    `trim` is added at each side, `freeboard` at the top. `bead` is the diameter of the bead laid under the
    walls and in the corners (a section of pi*b^2/4), `fillet` the leg of the one smoothed inside (r^2/2).
    Raises ValueError for a size that is not above zero, or an allowance below it.
    """
    for name, size in (
        ("length", length),
        ("width", width),
        ("depth", depth),
        ("board", board),
        ("spacing of the fixings", spacing),
    ):
        if not (isfinite(size) and size > 0):
            raise ValueError(f"The {name} is {size * 1000:g} mm: give one above zero.")
    for name, size in (("trim", trim), ("freeboard", freeboard), ("bead", bead), ("fillet", fillet)):
        if not (isfinite(size) and size >= 0):
            raise ValueError(f"The {name} is {size * 1000:g} mm: give zero or more.")
    inside, across, height = length + 2 * trim, width + 2 * trim, depth + freeboard
    seam = 2 * (inside + across) + 4 * height
    return FormParts(
        inside,
        across,
        height,
        (
            FormPart("floor", inside + 2 * board, across + 2 * board, 1),
            FormPart("long wall", inside + 2 * board, height, 2),
            FormPart("short wall", across, height, 2),
        ),
        seam,
        2 * fixings_along(inside, spacing) + 2 * fixings_along(across, spacing),
        4 * fixings_along(height, spacing),
        SEALANT_SPARE * seam * (pi * bead**2 / 4 + fillet**2 / 2),
    )
