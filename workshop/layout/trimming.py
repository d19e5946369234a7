"""The saw lines by which a piece ends at the walls of its form, and the offcuts it could be sawn from.

Lengths in m; lines in the coordinates of the piece's slab.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, sin

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece, as_sawn, extent
from workshop.layout.sawing import Offcut, sawn
from workshop.layout.troubles import SEAM
from workshop.project.model import ProjectFile
from workshop.trade.face_pair import Line
from workshop.trade.outline import Point


def trim_lines(file: ProjectFile, held: CastingAsPlaced, piece: PlacedPiece) -> tuple[Line, ...]:
    """A line for each wall that a piece reaches beyond; raises ValueError where that cannot be sawn off."""
    if held.length is None or held.width is None:
        raise ValueError("The inner length and width of the form are not known.")
    x, y = piece.mark
    if not (0 < x < held.length and 0 < y < held.width):
        raise ValueError(f"The mark of {piece.id} lies outside the form: move it inside first.")
    mark = as_sawn(file, piece.id).mark
    return tuple(
        (_on_slab(piece, mark, one), _on_slab(piece, mark, two))
        for one, two in _walls_crossed(held.length, held.width, piece)
    )


def _walls_crossed(length: float, width: float, piece: PlacedPiece) -> Iterator[Line]:
    left, bottom, right, top = piece.extent
    if left < -SEAM:
        yield (0.0, bottom), (0.0, top)
    if right > length + SEAM:
        yield (length, bottom), (length, top)
    if bottom < -SEAM:
        yield (left, 0.0), (right, 0.0)
    if top > width + SEAM:
        yield (left, width), (right, width)


def _on_slab(piece: PlacedPiece, mark: Point, point: Point) -> Point:
    """A place of the casting in the coordinates of the slab: `face_pair.moved` taken back."""
    dx, dy = point[0] - piece.mark[0], point[1] - piece.mark[1]
    along = cos(piece.turn) * dx + sin(piece.turn) * dy
    across = cos(piece.turn) * dy - sin(piece.turn) * dx
    return mark[0] + along, mark[1] + (-across if piece.flip else across)


@dataclass(frozen=True, slots=True)
class Offer:
    """An offcut that is long enough for a piece."""

    offcut: Offcut
    length: float
    width: float
    thickness: float | None


def offers(file: ProjectFile, piece: str) -> tuple[Offer, ...]:
    """The offcuts of all slabs, unsawn ones among them, that are as long as a piece, the smallest first."""
    try:
        left, _bottom, right, _top = extent(as_sawn(file, piece).pair.outline(1.0))
        least = right - left
    except ValueError:
        least = 0.0
    found = []
    for name, slab in file.slab.items():
        try:
            offcuts = sawn(file, name).offcuts
        except ValueError:
            continue
        for offcut in offcuts:
            left, bottom, right, top = extent(offcut.ring)
            if right - left >= least - SEAM:
                thickness = slab.thickness.value if slab.thickness else None
                found.append(Offer(offcut, right - left, top - bottom, thickness))
    return tuple(sorted(found, key=lambda offer: offer.offcut.area))
