"""Screws in wood: what they hold against being pulled out, and the holes to drill for them.

Sources: AWC National Design Specification for Wood Construction (NDS) 2018, sec. 12.1 and 12.2, for allowable
values; USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, ch. 8, for ultimate loads; ASME B18.2.1
for lag screws. Forces in N, lengths in m, specific gravity by oven-dry mass and volume.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from workshop.reference import table

__all__ = [
    "INCH",
    "LAG_END_GRAIN",
    "POUND_FORCE",
    "Grain",
    "LeadHole",
    "ScrewKind",
    "Withdrawal",
    "allowable_withdrawal",
    "grain_factor",
    "lag_root_diameter",
    "lead_hole",
    "ultimate_withdrawal",
    "wood_screw_diameter",
    "wood_screw_root_diameter",
]

ScrewKind = Literal["wood", "lag"]
Grain = Literal["side", "end"]

INCH = 0.0254
POUND_FORCE = 4.4482216152605

LAG_END_GRAIN = 0.75
"""What a lag screw in end grain holds of its value in side grain (NDS sec. 12.2.1, C_eg)."""


# Near enough to take 7.94 mm for 5/16 in, and to keep an 8 mm metric screw apart from it.
_SAME_SIZE = 0.02e-3


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """What one screw holds against being pulled straight out, N, and how that came about."""

    force: float
    per_length: float
    """The same for each metre of thread in the wood, N/m."""
    grain_factor: float
    """1 in side grain; in end grain 0.75 for a lag screw and 0 for a wood screw."""
    equation: str


@dataclass(frozen=True, slots=True)
class LeadHole:
    """The holes to drill, m: `thread` for the threaded part (0: none required) in its range, and `shank`."""

    thread: float
    least: float
    greatest: float
    shank: float
    root: float | None
    """Root diameter that the hole was taken from; None where it goes by the shank, as for a lag screw."""
    source: str


def grain_factor(kind: ScrewKind, grain: Grain) -> float:
    """The share of its value in side grain that a screw may carry; none for a wood screw in end grain."""
    if grain == "side":
        return 1.0
    return LAG_END_GRAIN if kind == "lag" else 0.0


def allowable_withdrawal(
    kind: ScrewKind, specific_gravity: float, diameter: float, thread: float, grain: Grain = "side"
) -> Withdrawal:
    """The reference design value of one screw in withdrawal, before factors for duration or wet service.

    NDS 2018 eq. 12.2-1 (lag screw, W = 1800 G^(3/2) D^(3/4) lb per inch of thread) and eq. 12.2-2 (wood
    screw, W = 2850 G^2 D). `thread` is the thread in the wood less the tapered tip, `diameter` the shank's.
    """
    _check(specific_gravity, diameter, thread)
    d = diameter / INCH
    if kind == "lag":
        pounds_per_inch, equation = 1800 * specific_gravity**1.5 * d**0.75, "NDS 2018 eq. 12.2-1"
    else:
        pounds_per_inch, equation = 2850 * specific_gravity**2 * d, "NDS 2018 eq. 12.2-2"
    return _withdrawal(pounds_per_inch * POUND_FORCE / INCH, thread, grain_factor(kind, grain), equation)


def ultimate_withdrawal(
    kind: ScrewKind, specific_gravity: float, diameter: float, thread: float, grain: Grain = "side"
) -> Withdrawal:
    """The mean load at which one screw pulls out in a test: to hold beside the allowable, never to design by.

    Wood Handbook eq. 8-14 (lag screw, p = 125.4 G^(3/2) D^(3/4) L in N and mm) and eq. 8-10 (wood screw,
    p = 108.25 G^2 D L); both constants from memory.
    """
    _check(specific_gravity, diameter, thread)
    d = diameter * 1000
    if kind == "lag":
        newton_per_mm, equation = 125.4 * specific_gravity**1.5 * d**0.75, "Wood Handbook eq. 8-14"
    else:
        newton_per_mm, equation = 108.25 * specific_gravity**2 * d, "Wood Handbook eq. 8-10"
    return _withdrawal(newton_per_mm * 1000, thread, grain_factor(kind, grain), equation)


def lead_hole(kind: ScrewKind, specific_gravity: float, diameter: float) -> LeadHole:
    """The holes for the thread and the shank of a screw, by how hard the wood is.

    NDS 2018 sec. 12.1.4 (lag screw: a range, of which `thread` is the middle) and 12.1.5 (wood screw: a share
    of the root diameter; none is required up to a specific gravity of 0.5), both from memory.
    """
    _check(specific_gravity, diameter, 0.0)
    holes = table("screws")["lag-lead-hole" if kind == "lag" else "wood-screw-lead-hole"]
    row: Mapping[str, Any] = next(row for row in holes["brackets"] if specific_gravity > row["above"])
    if kind == "lag":
        least, greatest = row["least"] * diameter, row["greatest"] * diameter
        return LeadHole(
            (least + greatest) / 2, least, greatest, holes["shank"] * diameter, None, holes["source"]
        )
    root = wood_screw_root_diameter(diameter)
    thread = row["share"] * root
    return LeadHole(thread, thread, thread, row["shank"] * diameter, root, holes["source"])


def lag_root_diameter(diameter: float) -> float | None:
    """Root diameter of a lag screw of this nominal diameter (m); None where ASME B18.2.1 lists none."""
    for size in table("screws")["lag-screw"]["sizes"]:
        if abs(size["nominal-inch"] * INCH - diameter) < _SAME_SIZE:
            return float(size["root-inch"] * INCH)
    return None


def wood_screw_diameter(gauge: int) -> float:
    """Shank diameter (m) of a wood screw of this gauge (Wood Handbook, table 8-9)."""
    gauges = {row["gauge"]: row["shank-inch"] * INCH for row in table("screws")["wood-screw"]["gauges"]}
    if gauge not in gauges:
        known = ", ".join(str(number) for number in gauges)
        raise ValueError(f"No wood screw of gauge {gauge} is listed; give one of {known}, or the diameter.")
    return float(gauges[gauge])


def wood_screw_root_diameter(diameter: float) -> float:
    """Root diameter (m) of a wood screw of this shank diameter, between the listed sizes by straight line.

    NDS 2018 table L3, from memory; beyond the listed sizes the root keeps the share of the last one.
    """
    rows = [
        (row["shank-inch"] * INCH, row["root-inch"] * INCH)
        for row in table("screws")["wood-screw-root"]["roots"]
    ]
    for (d1, r1), (d2, r2) in pairwise(rows):
        if d1 <= diameter <= d2:
            return float(r1 + (r2 - r1) * (diameter - d1) / (d2 - d1))
    end_diameter, end_root = rows[0] if diameter < rows[0][0] else rows[-1]
    return float(diameter * end_root / end_diameter)


def _withdrawal(per_length: float, thread: float, factor: float, equation: str) -> Withdrawal:
    return Withdrawal(per_length * factor * thread, per_length * factor, factor, equation)


def _check(specific_gravity: float, diameter: float, thread: float) -> None:
    if specific_gravity <= 0:
        raise ValueError(
            f"The specific gravity is {specific_gravity:g}; give the wood's oven-dry one, above zero."
        )
    if diameter <= 0:
        raise ValueError(f"The screw's diameter is {diameter:g} m; give one above zero.")
    if thread < 0:
        raise ValueError(f"The thread in the wood is {thread:g} m; give a length of zero or more.")


def wood_screw_thread(length: float, through: float) -> float:
    """Thread of a wood screw in the wood, of a `length` in m that passes `through` something first.

    Two thirds of a wood screw is thread: common practice, no source. Never below zero.
    """
    return max(0.0, min(length - through, 2 * length / 3))


def lag_thread(length: float, through: float, diameter: float) -> float:
    """Thread of a lag screw in the wood without its tip, all in m; never below zero.

    Half the screw and 1/2 in is thread, no more than 6 in, and the tip is one diameter: common practice, no
    source.
    """
    return max(0.0, min(length - through, length / 2 + 0.0127, 0.1524) - diameter)
