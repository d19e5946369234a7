"""Seal coat: the thin resin that closes wood before it is cast, end grain apart from edges and faces."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite


@dataclass(frozen=True)
class SealCoat:
    """Resin for one seal coat, in kg."""

    edge: float
    face: float
    end_grain: float
    mass: float
    part_a: float
    part_b: float
    batches: int
    each: float
    """kg in each of the equal batches."""


def seal_coat(
    ratio_by_weight: float,
    edge_area: float = 0.0,
    face_area: float = 0.0,
    end_grain_area: float = 0.0,
    edge_coverage: float = 0.0,
    face_coverage: float = 0.0,
    end_grain_coverage: float = 0.0,
    largest_batch: float | None = None,
) -> SealCoat:
    """Return the resin for areas in m² at coverages in kg/m², split by `ratio_by_weight` (A over B).

    End grain drinks several times what an edge does, hence its own coverage. `largest_batch` is the most in
    kg to mix at once; the batches are equal. Raises ValueError for a negative area or coverage, an area whose
    coverage is missing, or a ratio or batch not above zero.
    """
    parts = (
        ("edge", edge_area, edge_coverage),
        ("face", face_area, face_coverage),
        ("end grain", end_grain_area, end_grain_coverage),
    )
    for name, area, coverage in parts:
        if not (isfinite(area) and area >= 0):
            raise ValueError(f"The {name} has an area of {area:g} m²: give zero or more.")
        if not (isfinite(coverage) and coverage >= 0):
            raise ValueError(f"The coverage on {name} is {coverage:g} kg/m²: give zero or more.")
        if area > 0 and coverage == 0:
            raise ValueError(
                f"There are {area:g} m² of {name} and no coverage for it: say how many kg/m² it takes."
            )
    if not (isfinite(ratio_by_weight) and ratio_by_weight > 0):
        raise ValueError(f"The ratio is {ratio_by_weight:g}: give a value above zero.")
    edge, face, end_grain = (area * coverage for _, area, coverage in parts)
    mass = edge + face + end_grain
    batches = 0 if mass == 0 else 1
    if largest_batch is not None:
        if not (isfinite(largest_batch) and largest_batch > 0):
            raise ValueError(f"The largest batch is {largest_batch:g} kg: give a mass above zero.")
        batches = ceil(mass / largest_batch - 1e-9)
    return SealCoat(
        edge,
        face,
        end_grain,
        mass,
        mass * ratio_by_weight / (ratio_by_weight + 1),
        mass / (ratio_by_weight + 1),
        batches,
        mass / batches if batches else 0.0,
    )
