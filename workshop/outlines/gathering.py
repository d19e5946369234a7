"""From a reader's lines to shapes: joined, mended, and what lies within another made its hole."""

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely

from workshop.outlines.drawing import Line, OpenOutline, OutlineError, Ring, Shape
from workshop.outlines.joining import joined
from workshop.outlines.mending import FINE, mended

__all__ = ["gathered"]

_MOST_RINGS: Final = 5000
_MOST_NOTES: Final = 20


def gathered(
    lines: Sequence[Line], notes: Sequence[str], name: str
) -> tuple[tuple[Shape, ...], tuple[str, ...]]:
    """The shapes of all layers, in the order in which the layers come, with the notes.

    Open lines of one layer are joined. Of the rings of one layer, one that lies in another is its hole,
    one that lies in a hole is a shape again (even-odd rule); the others are shapes of their own.
    Raises OutlineError where nothing is left, or where an outline cannot be mended.
    """
    told = list(notes)
    last_refusal = ""
    shapes: list[Shape] = []
    for layer in dict.fromkeys(line.layer for line in lines):
        held = [line for line in lines if line.layer == layer]
        rings: list[tuple[Ring, str]] = []
        try:
            chains = _chains([one for one in held if not one.closed])
        except OutlineError as refusal:
            raise OutlineError(f"{name}: {refusal}") from None
        for line in [*(one for one in held if one.closed), *chains]:
            try:
                found, said = mended(line.points, closed=line.closed)
            except OpenOutline as refusal:
                last_refusal = str(refusal)
                told.append(f"A line was left out: {last_refusal[0].lower()}{last_refusal[1:]}")
                continue
            except OutlineError as refusal:
                raise OutlineError(f"{name}: {refusal}") from None
            told += said
            if said and not found:
                last_refusal = said[-1]
            rings += [(ring, line.name) for ring in found]
            if len(rings) > _MOST_RINGS:
                raise OutlineError(f"{name} has more than {_MOST_RINGS} outlines; save the slabs alone.")
        shapes += _nested(_once(rings, told), layer)
    if not shapes:
        raise OutlineError(
            f"{name} holds no outline" + (f": {last_refusal}" if last_refusal else "; draw one and save it.")
        )
    return tuple(shapes), _brief(told)


def _chains(lines: Sequence[Line]) -> list[Line]:
    """Open lines joined end to end; lines that already meet their own start stay as they are."""
    layer = lines[0].layer if lines else ""
    names = {line.name for line in lines}
    name = names.pop() if len(names) == 1 else layer
    return [Line(chain, False, layer, name) for chain in joined([line.points for line in lines])]


def _once(rings: Sequence[tuple[Ring, str]], told: list[str]) -> list[tuple[Ring, str, shapely.Polygon]]:
    """The rings with their polygons, each taken once though it was drawn twice."""
    kept: list[tuple[Ring, str, shapely.Polygon]] = []
    by_size: dict[tuple[int, ...], list[shapely.Polygon]] = {}
    twice = 0
    for ring, name in rings:
        polygon = shapely.Polygon(ring)
        key = tuple(int(value) for value in np.round(np.array(polygon.bounds) / 1e-3))
        same = any(
            abs(other.area - polygon.area) <= FINE * polygon.length
            and shapely.hausdorff_distance(other.exterior, polygon.exterior) <= 2 * FINE
            for other in by_size.get(key, [])
        )
        if same:
            twice += 1
            continue
        by_size.setdefault(key, []).append(polygon)
        kept.append((ring, name, polygon))
    if twice:
        told.append(f"{twice} outline{'s' if twice > 1 else ''} drawn more than once, taken once.")
    return kept


def _nested(rings: Sequence[tuple[Ring, str, shapely.Polygon]], layer: str) -> list[Shape]:
    if len(rings) < 2:
        return [Shape(ring, (), name or layer) for ring, name, _ in rings]
    polygons = [polygon for _, _, polygon in rings]
    tree = shapely.STRtree(polygons)
    inner, outer = tree.query(polygons, predicate="within")
    around: list[list[int]] = [[] for _ in rings]
    for child, parent in zip(inner.tolist(), outer.tolist(), strict=True):
        if child != parent:
            around[child].append(parent)
    holes: list[list[Ring]] = [[] for _ in rings]
    for place, parents in enumerate(around):
        if len(parents) % 2:
            holes[min(parents, key=lambda one: float(polygons[one].area))].append(rings[place][0])
    return [
        Shape(ring, tuple(holes[place]), name or layer)
        for place, (ring, name, _) in enumerate(rings)
        if len(around[place]) % 2 == 0
    ]


def _brief(told: Sequence[str]) -> tuple[str, ...]:
    once = tuple(dict.fromkeys(told))
    if len(once) <= _MOST_NOTES:
        return once
    return (*once[:_MOST_NOTES], f"{len(once) - _MOST_NOTES} more like these.")
