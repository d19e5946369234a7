"""Wiped-on finish: how much, in which parts, and in how many zones it is worked."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite

WIPE_RATE = 0.1 / 60
"""m²/s that one person lays, spreads and wipes off again: common practice, no source."""
ARM_REACH = 0.75
"""m that an arm reaches over the work from its edge: common practice, no source."""


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
