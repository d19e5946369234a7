"""Rectangular tube as rolled, with rounded corners, and how far a beam of it sags. SI throughout."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, pi
from typing import Final

STEEL_MODULUS: Final = 210e9
"""Pa: EN 1993-1-1, 3.2.6, from memory."""
STEEL_DENSITY: Final = 7850.0
"""kg/m³: EN 10219-2:2006, the density its tables are reckoned with."""


@dataclass(frozen=True, slots=True)
class Tube:
    """A rectangular tube."""

    area: float
    """m² of steel in a section."""
    inertia: float
    """Second moment of area in m⁴ about the axis along its breadth, so that its height stands upright."""


def tube(breadth: float, height: float, wall: float) -> Tube:
    """A cold formed rectangular hollow section, all in m: EN 10219-2:2006.

    Its corners are rounded by twice the wall outside and once the wall inside, as they are for walls up to
    6 mm. Raises ValueError where the wall is not above zero, or fills the tube.
    """
    if not all(isfinite(size) and size > 0 for size in (breadth, height, wall)):
        raise ValueError(
            "A tube has a side of nothing: give breadth, height and wall, such as 60 x 40 x 3 mm."
        )
    if 4 * wall > min(breadth, height):
        raise ValueError(
            f"A wall of {wall * 1000:g} mm leaves no straight side: give a tube at least four walls wide."
        )
    outer, inner = 2 * wall, wall
    area = 2 * wall * (breadth + height - 2 * wall) - (4 - pi) * (outer**2 - inner**2)
    hollow = height - 2 * wall
    inertia = (
        breadth * height**3 / 12
        - (breadth - 2 * wall) * hollow**3 / 12
        - 4 * _corner(height, outer)
        + 4 * _corner(hollow, inner)
    )
    return Tube(area, inertia)


def _corner(height: float, radius: float) -> float:
    """Second moment of what rounding takes off one corner, about the middle of the height."""
    area = (1 - pi / 4) * radius**2
    lever = height / 2 - radius * (10 - 3 * pi) / (12 - 3 * pi)
    own = (1 / 3 - pi / 16 - 1 / (3 * (12 - 3 * pi))) * radius**4
    return float(own + area * lever**2)


def sag_under_point_load(force: float, span: float, modulus: float, inertia: float) -> float:
    """Sag in m in the middle of a beam on two bearings, under a force in N there: F*L^3/(48*E*I).

    Standard structural tables. Raises ValueError for a span or stiffness not above zero.
    """
    if not (span > 0 and modulus > 0 and inertia > 0):
        raise ValueError(
            "A beam needs a span, a modulus and a second moment of area above zero: give all three."
        )
    return force * span**3 / (48 * modulus * inertia)


def frame_mass(width: float, height: float, section: Tube, density: float = STEEL_DENSITY) -> float:
    """kg of a closed frame of tube, such as a sled leg, by its outer width and height in m."""
    return 2 * (width + height) * section.area * density
