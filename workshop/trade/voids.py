"""Filling voids: how much they hold, which filler each takes and in how many layers."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite

THIN_GLUE_DEPTH = 0.002
"""m; thin glue is for less than this, deeper voids take resin: common practice, no source."""
COATING_DEPTH = 0.006
"""m; greatest layer of a resin of unknown rated depth, a coating resin's: common practice, no source."""


@dataclass(frozen=True)
class Void:
    """A kind of void: length, width and depth in m, and how many there are."""

    length: float
    width: float
    depth: float
    count: int = 1


@dataclass(frozen=True)
class VoidFill:
    """What one kind of void takes."""

    void: Void
    volume: float
    """m³ of all of the kind, as boxes: an upper bound of a rounded void."""
    filler: str
    """"thin glue" or "resin"."""
    layers: int
    layer_depth: float
    """m of each of the equal layers."""
    too_thin: bool
    """The layer is under the least depth of the resin, which may stay soft in it."""


def fill_voids(
    voids: tuple[Void, ...], greatest_depth: float = COATING_DEPTH, least_depth: float = 0.0
) -> tuple[VoidFill, ...]:
    """Return volume, filler and layers of each kind of void.

    Thin glue where the void is less than 2 mm deep, else resin in equal layers of at most `greatest_depth` m;
    a layer under `least_depth` m is marked. Raises ValueError for a size, count or depth not above zero.
    """
    if not (isfinite(greatest_depth) and greatest_depth > 0):
        raise ValueError(f"The resin's greatest depth is {greatest_depth:g} m: give a depth above zero.")
    fills = []
    for number, void in enumerate(voids, 1):
        sizes = (void.length, void.width, void.depth, float(void.count))
        if not all(isfinite(size) and size > 0 for size in sizes):
            raise ValueError(f"Void {number} has a size or count that is not above zero: measure it again.")
        volume = void.length * void.width * void.depth * void.count
        if void.depth < THIN_GLUE_DEPTH - 1e-9:
            fills.append(VoidFill(void, volume, "thin glue", 1, void.depth, False))
            continue
        layers = ceil(void.depth / greatest_depth - 1e-9)
        layer = void.depth / layers
        fills.append(VoidFill(void, volume, "resin", layers, layer, layer < least_depth - 1e-9))
    return tuple(fills)
