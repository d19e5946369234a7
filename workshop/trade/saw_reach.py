"""How a saw gets through a slab that it does not reach through in one pass. Lengths in m."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

Stand = Literal["on the rail", "off the rail"]


@dataclass(frozen=True, slots=True)
class SawPass:
    """One pass in the same kerf: from which face, how the saw is led, and how deep it reaches from there."""

    face: Literal["upper", "lower"]
    stand: Stand
    depth: float


@dataclass(frozen=True, slots=True)
class SawReach:
    """The passes that part a slab, the fewest there are."""

    passes: tuple[SawPass, ...]
    left_standing: float
    """What the pass on the rail leaves standing."""
    unreached: float
    """What no pass reaches; zero where the slab comes apart."""


def saw_reach(thickness: float, on_rail: float, off_rail: float | None = None) -> SawReach:
    """The passes for a slab of `thickness` with a saw that reaches `on_rail`, and `off_rail` without it.

    The kerf is finished off the rail before the slab is turned, and from the other face where even that is
    not enough. Raises ValueError for a depth not above zero.
    """
    for name, depth in (
        ("slab is", thickness),
        ("saw reaches", on_rail),
        ("saw off its rail reaches", off_rail),
    ):
        if depth is not None and not (isfinite(depth) and depth > 0):
            raise ValueError(f"The {name} {depth * 1000:g} mm: give a depth above zero.")
    railed, free = SawPass("upper", "on the rail", on_rail), None
    turned = SawPass("lower", "on the rail", on_rail)
    ways: list[tuple[SawPass, ...]] = [(railed,), (railed, turned)]
    if off_rail is not None and off_rail > on_rail:
        free = SawPass("upper", "off the rail", off_rail)
        ways.insert(1, (railed, free))
        ways.append((railed, free, turned))
        ways.append((railed, free, turned, SawPass("lower", "off the rail", off_rail)))
    left = max(0.0, thickness - on_rail)
    for way in ways:
        if reach(way) >= thickness - 1e-9:
            return SawReach(way, left, 0.0)
    return SawReach(ways[-1], left, thickness - reach(ways[-1]))


def reach(passes: tuple[SawPass, ...]) -> float:
    """How much of a slab passes part, from both faces together."""
    return sum(
        max((held.depth for held in passes if held.face == face), default=0.0) for face in ("upper", "lower")
    )
