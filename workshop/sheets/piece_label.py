"""A piece's id with an arrow along its grain, where there is room for both on the paper."""

from __future__ import annotations

from math import cos, sin
from typing import Final

import shapely
from shapely.affinity import rotate, translate
from shapely.geometry.base import BaseGeometry

from workshop.sheets.ink import LARGE, Group, Ink, Words, line, width_of
from workshop.trade.outline import Point

REACH: Final = 9.0
"""mm from the middle of an arrow to its heads."""
BARB: Final = 2.4
PLACES: Final = (0.3, 0.38, 0.22, 0.62, 0.7, 0.78, 0.46, 0.54)
"""Parts of a piece's length where its label is tried; the middle is left to the section."""


def piece_label(region: BaseGeometry, name: str, grain: float) -> tuple[Ink, ...]:
    """The label of a piece whose free wood on the paper is `region`, mm; `grain` in rad against the clock."""
    if region.is_empty:
        return ()
    wide = width_of(name, LARGE)
    x, y = _place(region, wide, grain)
    words = Words(x, y + 1.8, name, LARGE, "end", bold=True, halo=True, data=(("label", name),))
    reach = REACH * abs(cos(grain)) + 2.5
    return (words, _arrow(x + reach, y, grain, name))


def _place(region: BaseGeometry, wide: float, grain: float) -> Point:
    left, top, right, bottom = region.bounds
    reach = REACH * abs(cos(grain)) + 2.5
    high = max(2.5, REACH * abs(sin(grain)) + 1.5)
    label = shapely.box(-wide - 1, -high, 2 * reach, high)
    for share in PLACES:
        x = left + share * (right - left)
        across = region.intersection(shapely.LineString([(x, top - 1), (x, bottom + 1)]))
        runs = [part for part in shapely.get_parts(across) if part.length > 0]
        for run in sorted(runs, key=lambda part: -part.length):
            middle = run.centroid
            if region.covers(translate(label, middle.x, middle.y)):
                return middle.x, middle.y
    point = region.representative_point()
    return point.x, point.y


def _arrow(x: float, y: float, grain: float, name: str) -> Group:
    """An arrow with two heads."""
    shaft = ((x - REACH, y), (x + REACH, y))
    barbs = [
        ((end, y), (end - way * BARB, y + side))
        for end, way in ((x - REACH, -1.0), (x + REACH, 1.0))
        for side in (1.0, -1.0)
    ]
    parts = []
    for one, two in (shaft, *barbs):
        # Paper counts y downward, so that a turn against the clock on it is one with the clock in numbers.
        turned = rotate(shapely.LineString([one, two]), -grain, origin=(x, y), use_radians=True)
        parts.append(line(*((float(a), float(b)) for a, b in turned.coords), pen="thick"))
    return Group(tuple(parts), (("kind", "grain-arrow"), ("piece", name)))
