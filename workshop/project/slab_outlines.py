"""An outline out of a drawing or a table laid along a slab's tape, and written into the project.

Lengths in m. The tape is the x axis: it begins at the outline's left end and runs down its middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, sin
from pathlib import Path as FilePath
from typing import Any, Final, Literal

import shapely

from workshop.outlines import Drawing, OutlineError, ScaleCheck, Shape, read_outlines, scale_check, scaled
from workshop.outlines.drawing import MOST_BYTES
from workshop.outlines.scale import extents
from workshop.project.notation import LONGEST
from workshop.project.path import Path
from workshop.project.project import Project
from workshop.project.slabs import number, slab_of, unit_of, with_unit

Face = Literal["upper", "lower", "both"]
Point = tuple[float, float]
Ring = tuple[Point, ...]

FACES: Final[tuple[Face, ...]] = ("upper", "lower", "both")
SKEW: Final = pi / 36
"""rad: a drawing that lies so far off its axes was turned; less is the waviness of the live edges."""
SAME_PLACE: Final = 1e-3
"""m: stations of two faces this near to each other were read at one place."""
_LOWER_WORDS: Final = ("lower", "under", "below", "bottom")
_UPPER_WORDS: Final = ("upper", "above", "top")


@dataclass(frozen=True, slots=True)
class Brought:
    """What a drawing brings for a slab, laid along its tape."""

    drawing: Drawing
    """Only the outlines that are taken, the upper face first; or a table's stations."""
    face: Face
    shapes: int
    """How many outlines the file holds."""
    turned: float = 0.0
    """How far it was turned to lie along the tape, rad against the clock."""

    @property
    def size(self) -> tuple[float, float]:
        """Length and width, m."""
        return extents(self._measured)

    def check(self, stated: float) -> ScaleCheck:
        """Its length beside the one measured on the slab, m; raises OutlineError."""
        return scale_check(self._measured, stated)

    def scaled(self, stated: float) -> Brought:
        """It made as long as the slab was measured, m; raises OutlineError."""
        factor = self.check(stated).factor
        length = extents(self.drawing)[0]
        return replace(self, drawing=scaled(self.drawing, stated=length * factor, between="length"))

    @property
    def _measured(self) -> Drawing:
        """The first face alone, whose length was measured on the slab."""
        return replace(self.drawing, shapes=self.drawing.shapes[:1])


def read_drawing(path: FilePath) -> Drawing:
    """What a file holds; raises OutlineError, in a sentence, also where the file cannot be read."""
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise OutlineError(
                f"{path.name} has {size / 1e6:.0f} MB, more than {MOST_BYTES / 1e6:.0f}: "
                "save the outlines alone, without pictures."
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise OutlineError(f"There is no file {path}: look for it again.") from None
    except OSError as error:
        raise OutlineError(
            f"{path} cannot be read ({error.strerror or error}): save it elsewhere."
        ) from error
    return read_outlines(data, path.name)


def brought(drawing: Drawing, face: Face = "upper", shape: int | None = None) -> Brought:
    """The outline of a face out of a drawing, turned so that its long side lies along the tape.

    `shape` counts from 1; without it the larger is taken, or the one whose layer names the face. Where two
    outlines lie on each other they are the two faces of one slab, and the lower is laid where the upper lies.
    Raises ValueError where the drawing does not hold what is asked for.
    """
    if drawing.stations:
        if shape is not None:
            raise ValueError("A table of stations holds one slab: leave the number of the outline out.")
        if face == "both" and len(drawing.stations[0]) < 5:
            raise ValueError("The table holds one face: add the columns lower left and lower right.")
        start = drawing.stations[0][0]
        rows = tuple((row[0] - start, *row[1:]) for row in drawing.stations)
        return Brought(replace(drawing, shapes=(), stations=rows), face, 1)
    count = len(drawing.shapes)
    if not count:
        raise ValueError("The file holds no closed outline: draw one and save it again.")
    if shape is not None and not 1 <= shape <= count:
        raise ValueError(f"There is no outline {shape}: the file holds {count}, counted from 1.")
    upper, lower = _faces(drawing.shapes, None if shape is None else shape - 1, face)
    if face == "both" and lower is None:
        raise ValueError(
            "The file holds no second outline that lies on the first: choose the upper or lower face."
        )
    lie = _lie(drawing.shapes[upper].ring)
    taken = {"upper": (upper,), "lower": (upper if lower is None else lower,)}.get(face, (upper, lower or 0))
    shapes = tuple(_laid(drawing.shapes[held], lie) for held in taken)
    return Brought(replace(drawing, shapes=shapes), face, count, lie[0])


def outline_taken(project: Project, slab: str, held: Brought) -> Project:
    """The slab with what was brought, in its own unit to a tenth of a millimetre or a hundredth of an inch.

    An upper outline takes the place of stations and of the lower face, measured against the old one.
    Raises ValueError where a lower face is brought that does not go with what is there.
    """
    slab_of(project, slab)
    made = with_unit(project, slab)
    unit = unit_of(made, slab)
    if held.drawing.stations:
        return _with_stations(made, slab, held)
    rings = [_text(shape.ring, unit) for shape in held.drawing.shapes]
    if held.face == "lower":
        if made.file.slab[slab].stations:
            raise ValueError(
                f"The upper face of {slab} is measured by stations: bring both faces, from one drawing."
            )
        if made.file.slab[slab].outline is None:
            raise ValueError(f"The upper face of {slab} has no outline yet: bring that first.")
        return made.with_value(("slab", slab, "lower-outline"), rings[0])
    made = _without(made, slab, "stations", "lower-outline", "holes")
    made = made.with_value(("slab", slab, "outline"), rings[0])
    if held.face == "both":
        made = made.with_value(("slab", slab, "lower-outline"), rings[1])
    holes = [_text(hole, unit) for hole in held.drawing.shapes[0].holes]
    return made.with_value(("slab", slab, "holes"), holes) if holes else made


def turn_words(held: Brought) -> str:
    """How a drawing was turned, empty where it was not."""
    angle = round(degrees(held.turned), 1)
    return f"Turned by {angle:g}° to lie along the tape." if abs(angle) >= 0.1 else ""


# How a drawing lies


Lie = tuple[float, float, float]
"""Turned by so much against the clock, then moved by x and y."""


def _faces(shapes: Sequence[Shape], chosen: int | None, face: Face) -> tuple[int, int | None]:
    """Which outline is the upper face, and which the lower, None where there is none."""
    areas = [shapely.Polygon(shape.ring).area for shape in shapes]
    largest = max(range(len(shapes)), key=lambda place: areas[place])
    first = largest if chosen is None else chosen
    others = [
        place for place in range(len(shapes)) if place != first and _on_each_other(shapes, first, place)
    ]
    if not others:
        return first, None
    other = max(others, key=lambda place: areas[place])
    if _names(shapes[first], _LOWER_WORDS) or _names(shapes[other], _UPPER_WORDS):
        return other, first
    if _names(shapes[first], _UPPER_WORDS) or _names(shapes[other], _LOWER_WORDS):
        return first, other
    if chosen is not None:
        return (other, first) if face == "lower" else (first, other)
    return min(first, other), max(first, other)


def _names(shape: Shape, words: Sequence[str]) -> bool:
    return any(word in shape.layer.lower() for word in words)


def _on_each_other(shapes: Sequence[Shape], one: int, two: int) -> bool:
    a, b = shapely.Polygon(shapes[one].ring), shapely.Polygon(shapes[two].ring)
    return float(a.intersection(b).area) > 0.5 * max(float(a.area), float(b.area))


def _lie(ring: Ring) -> Lie:
    turn = _turn(ring)
    points = [_turned(point, turn) for point in ring]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return turn, -min(xs), -(min(ys) + max(ys)) / 2


def _turn(ring: Ring) -> float:
    """The least turn that lays the long side along the tape; a little waviness is left alone."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    upright = max(ys) - min(ys) > max(xs) - min(xs)
    box = shapely.minimum_rotated_rectangle(shapely.Polygon(ring))
    corners = shapely.get_coordinates(box).tolist()
    if len(corners) < 4:
        return -pi / 2 if upright else 0.0
    sides = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(corners)]
    dx, dy = max(sides, key=lambda side: hypot(*side))
    off = (atan2(dy, dx) + pi / 2) % pi - pi / 2
    square = round(off / (pi / 2)) * (pi / 2)
    if abs(off - square) < SKEW:
        return -pi / 2 if upright else 0.0
    return -off


def _turned(point: Point, turn: float) -> Point:
    c, s = cos(turn), sin(turn)
    return c * point[0] - s * point[1], s * point[0] + c * point[1]


def _laid(shape: Shape, lie: Lie) -> Shape:
    turn, dx, dy = lie

    def ring(points: Ring) -> Ring:
        turned = (_turned(point, turn) for point in points)
        return tuple((x + dx, y + dy) for x, y in turned)

    return replace(shape, ring=ring(shape.ring), holes=tuple(ring(hole) for hole in shape.holes))


# Into the file


def _without(project: Project, slab: str, *keys: str) -> Project:
    for key in keys:
        if key in project.document["slab"][slab]:
            project = project.without(("slab", slab, key))
    return project


def _text(ring: Ring, unit: float) -> str:
    """An outline as the file writes it; with more points than a text holds, it is drawn a little coarser."""
    coarse = 0.0
    while True:
        points = ring if not coarse else _coarser(ring, coarse)
        texts: list[str] = []
        for x, y in points:
            text = f"{number(x, unit)}, {number(y, unit)}"
            if not texts or texts[-1] != text:
                texts.append(text)
        if len(texts) > 1 and texts[0] == texts[-1]:
            texts.pop()
        text = "; ".join(texts)
        if len(text) <= LONGEST:
            if len(texts) < 3:
                raise ValueError("The outline is smaller than the file can write: check its scale.")
            return text
        coarse = 2 * coarse or 5e-5


def _coarser(ring: Ring, tolerance: float) -> Ring:
    points = shapely.get_coordinates(shapely.Polygon(ring).simplify(tolerance))[:-1]
    return tuple((float(x), float(y)) for x, y in points)


def _with_stations(project: Project, slab: str, held: Brought) -> Project:
    unit = unit_of(project, slab)
    path: Path = ("slab", slab, "stations")
    rows = held.drawing.stations
    if held.face == "lower" and len(rows[0]) < 5:
        return project.with_value(path, _with_lower(project, slab, rows, unit))
    keys = ("at", "left", "right", "lower-left", "lower-right")
    made = _without(project, slab, "outline", "lower-outline")
    # Bare numbers stand in the file as numbers.
    stations = [dict(zip(keys, (_bare(value, unit) for value in row), strict=False)) for row in rows]
    return made.with_value(path, stations)


def _with_lower(
    project: Project, slab: str, rows: Sequence[Sequence[float]], unit: float
) -> list[dict[str, Any]]:
    """The stations of the upper face with the lower one's readings, which must be of the same places."""
    old = project.document["slab"][slab].get("stations", [])
    known = project.file.slab[slab].stations
    if not known:
        raise ValueError(f"The upper face of {slab} has no stations yet: bring that first.")
    ats = [station.at * unit - known[0].at * unit for station in known]
    if len(ats) != len(rows) or any(
        abs(at - row[0]) > SAME_PLACE for at, row in zip(ats, rows, strict=False)
    ):
        raise ValueError(
            f"The lower face was read at other places of the tape than the upper face of {slab}: "
            "read both at the same places."
        )
    return [
        {**held, "lower-left": _bare(row[1], unit), "lower-right": _bare(row[2], unit)}
        for held, row in zip(old, rows, strict=True)
    ]


def _bare(value: float, unit: float) -> int | float:
    text = number(value, unit)
    return float(text) if "." in text else int(text)
