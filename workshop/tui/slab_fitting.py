"""What can still be sawn: the wood that is left of every slab as stock for wanted parts, and back again.

Stock has its grain along x, so a slab whose grain runs off the tape is turned for the search.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

from workshop.layout.placed import as_sawn, extent
from workshop.layout.room import polygon
from workshop.layout.sawing import sawn
from workshop.layout.slab_shape import kerf_of, slab_shape
from workshop.pictures.picture import ranged, taped
from workshop.pictures.slab_view import off_words
from workshop.project.model import ProjectFile
from workshop.project.project import Project
from workshop.project.slabs import free_piece, piece_marked, piece_taken, unmarked
from workshop.quantity import Units
from workshop.trade.fitting import Part, Placement, Shortfall, Stock, placed_ring, rectangle
from workshop.trade.outline import Point, contains

Ring = tuple[Point, ...]

TOO_THIN = 1e-6
"""m: a slab this much thinner than a part is too thin for it."""


@dataclass(frozen=True, slots=True)
class Wood:
    """One piece of wood that is left of a slab, as stock."""

    slab: str
    name: str
    stock: Stock
    grain: float
    """Rad against the clock from the slab's tape."""

    def on_slab(self, ring: Ring) -> Ring:
        """A ring on the stock in the coordinates of its slab."""
        return _turned(ring, self.grain)


@dataclass(frozen=True, slots=True)
class Left:
    """All the wood that is left, and why some slabs are not looked through."""

    wood: tuple[Wood, ...]
    words: tuple[str, ...]

    def of(self, stock: Stock) -> Wood:
        """The wood of a stock."""
        return next(held for held in self.wood if held.stock.id == stock.id)


def wood_left(project: Project, thickness: float | None = None) -> Left:
    """What is left of every slab at least as thick as stated, by the wood that both faces hold."""
    file = project.file
    made: list[Wood] = []
    words: list[str] = []
    kerf = kerf_of(file)
    for name, slab in file.slab.items():
        thin = slab.thickness.value if slab.thickness is not None else None
        if thickness is not None and thin is not None and thin < thickness - TOO_THIN:
            words.append(f"{name} is too thin.")
            continue
        whole = unmarked(project, name)
        if whole:
            words.append(f"Which part of {name} is {whole[0]} is not known: it needs a mark.")
            continue
        try:
            shape, held = slab_shape(name, slab), sawn(file, name)
        except ValueError as error:
            words.append(str(error))
            continue
        plain = len(held.offcuts) == 1 and not held.pieces
        for offcut in held.offcuts:
            title = name if plain else f"{name}, left {offcut.number}"
            ring = _turned(offcut.ring, -shape.grain)
            holes = tuple(_turned(hole, -shape.grain) for hole in offcut.holes)
            try:
                made.append(Wood(name, title, Stock(title, ring, holes, kerf), shape.grain))
            except ValueError as error:
                words.append(str(error))
    return Left(tuple(made), tuple(words))


def wanted_parts(file: ProjectFile) -> tuple[tuple[Part, ...], float | None]:
    """Every piece without a slab that has a length and a width, and how thick the thickest is, m."""
    held = {
        name: piece
        for name, piece in file.piece.items()
        if piece.slab is None and piece.length is not None and piece.width is not None
    }
    parts = tuple(
        rectangle(name, piece.length.value, piece.width.value)
        for name, piece in held.items()
        if piece.length is not None and piece.width is not None
    )
    thick = max((piece.thickness.value for piece in held.values() if piece.thickness), default=None)
    return parts, thick


def part_ring(placement: Placement, wood: Wood) -> Ring:
    """A placed part in the coordinates of its slab."""
    return wood.on_slab(placed_ring(placement.part, placement))


def taken(project: Project, placement: Placement, wood: Wood, piece: str | None) -> Project:
    """The project with a placed part sawn out."""
    return piece_taken(project, wood.slab, placement, wood.grain, piece)


def marked(project: Project, slab: str, point: Point, piece: str | None = None) -> Project:
    """A piece marked at a point of the slab; raises ValueError where that is no wood, or another piece's."""
    shape = slab_shape(slab, project.file.slab[slab])
    if not contains(shape.pair.upper, point):
        raise ValueError(f"The cursor lies off the wood of {slab}: move it to where the piece shall be.")
    if any(contains(hole, point) for hole in shape.pair.holes):
        raise ValueError("The cursor lies in a hole: move it onto wood.")
    there = piece_at(project.file, slab, point)
    if there:
        raise ValueError(f"{there} lies here: add a saw line between the two first.")
    name = piece or free_piece(project)
    made = piece_marked(project, slab, point, name)
    ring = as_sawn(made.file, name).pair.outline(1.0)
    if polygon(ring).is_empty:
        raise ValueError("The saw lines leave nothing here: move the cursor.")
    return made


def piece_at(file: ProjectFile, slab: str, point: Point) -> str:
    """The piece that holds a point of a slab, empty where none does."""
    for name, piece in file.piece.items():
        if piece.slab != slab or piece.mark is None or piece.length is not None or piece.width is not None:
            continue
        try:
            ring = as_sawn(file, name).pair.outline(1.0)
        except ValueError:
            continue
        if len(ring) > 2 and contains(ring, point):
            return name
    return ""


def short_words(short: Shortfall | None, units: Units) -> str:
    """By how much a part is too large: `not enough by 120 mm in length, or 15 mm in width`."""
    if short is None or short.stock is None:
        return "no wood is left to saw it from"
    ways = [
        f"{taped(by, units)} in {what}"
        for by, what in ((short.along, "length"), (short.across, "width"))
        if by is not None
    ]
    if not ways:
        return f"not enough in both measures on {short.stock.id}, the nearest"
    return f"not enough by {' or '.join(ways)} on {short.stock.id}, the nearest"


def place_words(placement: Placement, wood: Wood, units: Units) -> str:
    """Between which lengths of its slab a placed part lies, and what is left round it."""
    left, bottom, right, top = (round(at, 4) for at in extent(part_ring(placement, wood)))
    return f"{ranged(left, right, units)} along, from {off_words(bottom, units)} to {off_words(top, units)}"


def _turned(ring: Ring, turn: float) -> Ring:
    if not turn:
        return tuple(ring)
    c, s = cos(turn), sin(turn)
    return tuple((c * x - s * y, s * x + c * y) for x, y in ring)
