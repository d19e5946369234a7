"""Hatching as plain lines cut to a region, so that every reader of the file shows it."""

from __future__ import annotations

from math import cos, sin

import shapely
from shapely import LineString, MultiLineString
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from workshop.sheets.ink import Data, Disc, Ink, Path
from workshop.sheets.paper import View
from workshop.trade.face_pair import Ring


def ruled(region: BaseGeometry, spacing: float, angle: float, data: Data = ()) -> Path:
    """Fine lines over a region, at an angle in radians against the clock; region and spacing in mm."""
    if region.is_empty:
        return Path((), "fine", data=data)
    left, top, right, bottom = region.bounds
    middle = ((left + right) / 2, (top + bottom) / 2)
    reach = max(right - left, bottom - top)
    dx, dy = cos(angle), -sin(angle)
    count = int(reach / spacing) + 1
    rows = []
    for number in range(-count, count + 1):
        x, y = middle[0] - dy * number * spacing, middle[1] + dx * number * spacing
        rows.append(LineString([(x - dx * reach, y - dy * reach), (x + dx * reach, y + dy * reach)]))
    return Path(lines_of(region.intersection(MultiLineString(rows))), "fine", data=data)


def stones(region: BaseGeometry, spacing: float, data: Data = ()) -> tuple[Ink, ...]:
    """Small rings in rows, each second row between the first's, wholly inside a region in mm."""
    radius = spacing * 0.28
    inner = region.buffer(-radius)
    if inner.is_empty:
        return ()
    left, top, right, bottom = inner.bounds
    made: list[Ink] = []
    row, y = 0, top
    while y <= bottom:
        x = left + (spacing / 2 if row % 2 else 0.0)
        while x <= right:
            if shapely.contains_xy(inner, x, y):
                made.append(Disc(x, y, radius, "fine", "white", data))
            x += spacing
        row, y = row + 1, y + spacing * 0.8
    return tuple(made)


def lines_of(region: BaseGeometry) -> tuple[Ring, ...]:
    """The lines of a cut region, points left out."""
    return tuple(
        tuple((float(x), float(y)) for x, y in part.coords)
        for part in shapely.get_parts(region)
        if part.geom_type in ("LineString", "LinearRing")
    )


def outlines_of(region: BaseGeometry) -> tuple[Ring, ...]:
    """Every ring of a region, holes too."""
    made = []
    for part in shapely.get_parts(region):
        if part.geom_type == "Polygon" and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                made.append(tuple((float(x), float(y)) for x, y in ring.coords[:-1]))
    return tuple(made)


def on_paper(region: BaseGeometry, view: View) -> BaseGeometry:
    """A region of the thing, in m, where it lies on the paper."""
    by = 1000 / view.over
    return affine_transform(region, [by, 0, 0, -by, view.x - view.left * by, view.y + view.bottom * by])


def line_of(run: BaseGeometry) -> Ring:
    """The points of one line."""
    return tuple((float(x), float(y)) for x, y in run.coords)
