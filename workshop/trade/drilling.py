"""A blind hole for a screw: how deep it may go, and how long the screw may be. Lengths in m."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite


@dataclass(frozen=True, slots=True)
class BlindHole:
    """A hole that does not come out."""

    depth: float
    """Of its full width, below the face of the part; zero where there is no room for one."""
    stop: float
    """From the tip of the drill to its stop, when drilled straight into the part."""
    longest_screw: float
    """From under its head, with what it goes through first."""


def blind_hole(
    part_thickness: float, through: float = 0.0, keep: float = 0.0, point: float = 0.0
) -> BlindHole:
    """The deepest hole in a part of `part_thickness`, its thinnest place.

    `keep` is what must stay beyond the drill's `point`; `through` is what the screw passes before the part.
    Raises ValueError for a thickness not above zero, or another length below it.
    """
    if not (isfinite(part_thickness) and part_thickness > 0):
        raise ValueError(f"The part is {part_thickness * 1000:g} mm thick: give a thickness above zero.")
    for name, length in (("goes through", through), ("keeps", keep), ("has a point of", point)):
        if not (isfinite(length) and length >= 0):
            raise ValueError(f"The hole {name} {length * 1000:g} mm: give zero or more.")
    depth = max(0.0, part_thickness - keep - point)
    return BlindHole(depth, depth + point if depth else 0.0, through + depth)
