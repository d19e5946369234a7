"""Finish, wiped on or flooded: how much, in which parts, in how many zones or coats it is worked."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite

WIPE_RATE = 0.1 / 60
"""m²/s that one person lays, spreads and wipes off again: common practice, no source."""
ARM_REACH = 0.75
"""m that an arm reaches over the work from its edge: common practice, no source."""
FLOOD_DEPTH = 0.0254 / 8
"""m at which a flooded resin levels itself, near 3 mm; more runs off: common practice, no source."""


@dataclass(frozen=True)
class FinishCoat:
    """Finish for all coats, and the zones of one."""

    amount: float
    """m³ of the mixed finish for all coats, part B included."""
    part_a: float
    """m³."""
    part_b: float
    """m³."""
    zone_area: float
    """m², the greatest area to lay at once."""
    zones: int
    """Zones a coat."""


def finish_coat(
    area: float,
    coverage: float,
    ratio_by_volume: float | None = None,
    coats: int = 1,
    open_time: float | None = None,
    reach: float = ARM_REACH,
    wipe_rate: float = WIPE_RATE,
) -> FinishCoat:
    """Return the finish for `area` m² (edges and underside included) at `coverage` m²/m³ a coat.

    A zone is what one person wipes off in the open time and can reach from one place: the lesser of
    `wipe_rate` (m²/s, laying and wiping together) times `open_time` (s), and a patch `reach` m deep from the
    edge and twice as wide, an arm to each side. Zones are per coat. Without an open time the reach alone
    decides. `ratio_by_volume` is A over B; None: a finish of one part. Raises ValueError for an area,
    coverage, count, time, reach or rate not above zero.
    """
    checked = [("area", area), ("coverage", coverage), ("count of coats", coats), ("reach", reach)]
    checked += [("wiping rate", wipe_rate)]
    if open_time is not None:
        checked.append(("open time", open_time))
    if ratio_by_volume is not None:
        checked.append(("ratio", ratio_by_volume))
    for name, value in checked:
        if not (isfinite(value) and value > 0):
            raise ValueError(f"The {name} is {value:g}: give a value above zero.")
    amount = area * coats / coverage
    part_b = 0.0 if ratio_by_volume is None else amount / (ratio_by_volume + 1)
    zone = 2 * reach * reach
    if open_time is not None:
        zone = min(zone, wipe_rate * open_time)
    return FinishCoat(amount, amount - part_b, part_b, zone, ceil(area / zone - 1e-9))


@dataclass(frozen=True)
class FloodCoat:
    """Resin that is flooded over a face."""

    volume: float
    """m³ to mix, with what runs off and stays in the bucket."""
    coats: int
    each: float
    """m of one coat."""


def flood_coat(area: float, thickness: float, edge_area: float = 0.0, loss: float = 0.0) -> FloodCoat:
    """The resin for a face of `area` in m², `thickness` m in all, whose edges count as much as the face.

    `loss` is the fraction of what is mixed that runs off or stays in the bucket. Raises ValueError for an
    area or a thickness not above zero, or a loss that leaves nothing.
    """
    if not (isfinite(area) and area > 0 and isfinite(edge_area) and edge_area >= 0):
        raise ValueError(f"The area is {area:g} m² and {edge_area:g} m² of edges: give a face above zero.")
    if not (isfinite(thickness) and thickness > 0):
        raise ValueError(f"The coat is {thickness * 1000:g} mm thick: give a thickness above zero.")
    if not 0 <= loss < 1:
        raise ValueError(f"The loss is {loss * 100:g} %: give one from 0 % to under 100 %.")
    coats = ceil(thickness / FLOOD_DEPTH - 1e-9)
    return FloodCoat((area + edge_area) * thickness / (1 - loss), coats, thickness / coats)
