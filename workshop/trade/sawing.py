"""A piece sawn out of a slab: what the saw lines leave round a mark, its volume and its edges.

Lengths in m, x along the slab's tape (the grain), y to its left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from workshop.trade.outline import Outline, Point, contains, mean_outline, outline_area, prismoid

SawLine = tuple[Point, Point]
"""Two points of a straight cut, which runs on to both ends of the slab."""


@dataclass(frozen=True, slots=True)
class SawnPiece:
    """A piece as sawn, measured in the middle of its thickness where its faces differ."""

    volume: float
    area: float
    """m² of one face."""
    end_grain: float
    """m² of the edges that run across the tape."""
    edge: float
    """m² of the edges that run along the tape, live or sawn."""
    thickness: float


def left_by(outline: Outline, line: SawLine, mark: Point) -> tuple[Point, ...]:
    """The part of an outline that lies on the mark's side of a line (Sutherland and Hodgman's clipping).

    Raises ValueError where the line has no direction or runs through the mark.
    """
    (ax, ay), (bx, by) = line
    along = hypot(bx - ax, by - ay)
    if along == 0:
        raise ValueError("A saw line starts and ends in one point: give two different ones.")

    def side(point: Point) -> float:
        return ((bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)) / along

    kept = side(mark)
    if abs(kept) < 1e-9:
        raise ValueError("A saw line runs through the mark of a piece: put the mark well inside the piece.")
    sign = 1.0 if kept > 0 else -1.0
    left: list[Point] = []
    for before, here in zip([outline[-1], *outline[:-1]], outline, strict=True):
        one, two = sign * side(before), sign * side(here)
        if (one < 0) != (two < 0):
            part = one / (one - two)
            left.append((before[0] + part * (here[0] - before[0]), before[1] + part * (here[1] - before[1])))
        if two >= 0:
            left.append(here)
    return tuple(left)


def sawn_piece(
    upper: Outline,
    thickness: float,
    lower: Outline | None = None,
    lines: Sequence[SawLine] = (),
    mark: Point | None = None,
    holes: Sequence[Outline] = (),
) -> SawnPiece:
    """The piece round `mark` that `lines` leave of a slab; the whole slab where there is no line.

    Volume by the prismoidal formula where the lower face is given too, less the holes inside the piece.
    Raises ValueError where a line runs through the mark, or nothing is left.
    """
    if lines and mark is None:
        raise ValueError("The slab is sawn, so a piece needs a mark: give a point inside it.")
    below = upper if lower is None else lower
    faces = [upper, mean_outline(upper, below), below]
    for line in lines:
        assert mark is not None
        faces = [left_by(face, line, mark) for face in faces]
        if any(len(face) < 3 for face in faces):
            raise ValueError("The saw lines leave nothing round the mark: look at both again.")
    taken = sum(outline_area(hole) for hole in holes if contains(faces[1], hole[0]))
    areas = [outline_area(face) - taken for face in faces]
    if min(areas) <= 0:
        raise ValueError("The holes take all of the piece: measure them again.")
    across, along = _edges(faces[1])
    return SawnPiece(
        prismoid(areas[0], areas[1], areas[2], thickness),
        areas[1],
        across * thickness,
        along * thickness,
        thickness,
    )


def plain_piece(length: float, width: float, thickness: float) -> SawnPiece:
    """A piece with four square edges, known by its measures alone, its length along the grain."""
    area = length * width
    return SawnPiece(area * thickness, area, 2 * width * thickness, 2 * length * thickness, thickness)


def _edges(outline: Outline) -> tuple[float, float]:
    """Lengths of the sides that run rather across the tape, and rather along it."""
    across = along = 0.0
    for (x1, y1), (x2, y2) in zip([outline[-1], *outline[:-1]], outline, strict=True):
        length = hypot(x2 - x1, y2 - y1)
        if abs(y2 - y1) > abs(x2 - x1):
            across += length
        else:
            along += length
    return across, along
