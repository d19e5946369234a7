"""A piece sawn out of a slab: its volume, and its edges along and across the grain.

Lengths in m, x along the slab's tape (the grain), y to its left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import shapely
from shapely import Polygon

from workshop.trade.face_pair import FacePair
from workshop.trade.outline import Outline, outline_area, prismoid


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


def sawn_piece(pair: FacePair, thickness: float) -> SawnPiece:
    """The piece between two faces, by the prismoidal formula, less the holes inside it.

    Raises ValueError where nothing is left of it.
    """
    faces = [pair.outline(share) for share in (1.0, 0.5, 0.0)]
    if any(len(face) < 3 for face in faces):
        raise ValueError("The saw lines leave nothing round the mark: look at both again.")
    areas = [outline_area(face) - _taken(face, pair.open_holes()) for face in faces]
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


def _taken(face: Outline, holes: Sequence[Outline]) -> float:
    """How much of a face its holes take, those that open at an edge only as far as the wood reaches."""
    if not holes:
        return 0.0
    wood = shapely.make_valid(Polygon(face))
    return float(
        shapely.union_all([shapely.make_valid(Polygon(hole)) for hole in holes]).intersection(wood).area
    )


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
