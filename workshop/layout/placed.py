"""The pieces of a casting where they lie: both faces as sawn, turned and set down in the form.

Casting coordinates in m: x along, y across from the near left inner corner of the form.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from workshop.layout.slab_shape import holes_inside, kerf_of, marks_on, sides_round, slab_shape
from workshop.project.model import Piece, ProjectFile
from workshop.trade.face_pair import FacePair, Ring, Side, between, moved
from workshop.trade.outline import Point, contains

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class SawnShape:
    """A piece as it was sawn, in the coordinates of its slab."""

    pair: FacePair
    both_faces: bool
    mark: Point
    thickness: float | None
    grain: float
    """Radians against the clock from the slab's tape."""
    marked: bool = True
    """Whether the mark says which place of the wood is meant; else it is the middle of all of it."""


@dataclass(frozen=True, eq=False)
class PlacedPiece:
    """A piece in its casting. `lower` is None where that face is not measured: it is then like the upper."""

    id: str
    pair: FacePair
    """Its faces and saw cuts where they lie; the lower face lies on the form floor."""
    both_faces: bool
    thickness: float | None
    turn: float
    """Radians against the clock."""
    grain: float
    """Which way its grain runs in the form, radians against the clock."""
    flip: bool
    mark: Point
    """Where its mark lies."""
    upper: Ring
    lower: Ring | None
    holes: tuple[Ring, ...]
    left: tuple[Ring, Ring]
    """The left edge, as the slab lay, of the lower and of the upper face."""
    right: tuple[Ring, Ring]

    def outline(self, share: float) -> Ring:
        """The outline at a share of the thickness from the lower face."""
        return self.pair.outline(share)

    def share_at(self, height: float) -> float:
        """How far up in the thickness a height lies, 0 to 1."""
        return min(1.0, max(0.0, height / self.thickness)) if self.thickness else 1.0

    def edge(self, side: str, height: float | None) -> Ring:
        """The left or right edge at a height over the form floor; half-way up where that is not known."""
        lower, upper = self.left if side == "left" else self.right
        return between(lower, upper, 0.5 if height is None else self.share_at(height))

    def spans(self, x: float, share: float) -> tuple[Span, ...]:
        """Where across the form the piece is wood at a place along it (holes not taken off)."""
        upper = spans_at(self.upper, x)
        lower = upper if self.lower is None else spans_at(self.lower, x)
        if len(lower) != len(upper):
            return upper if share >= 0.5 else lower
        return tuple(
            ((1 - share) * a + share * c, (1 - share) * b + share * d)
            for (a, b), (c, d) in zip(lower, upper, strict=True)
        )

    @cached_property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of both faces together."""
        one = extent(self.upper)
        if self.lower is None:
            return one
        two = extent(self.lower)
        return min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3])

    @property
    def middle(self) -> Point:
        """The middle of its extent."""
        left, bottom, right, top = extent(self.upper)
        return (left + right) / 2, (bottom + top) / 2


def placed_pieces(file: ProjectFile, casting: str) -> tuple[tuple[PlacedPiece, ...], tuple[str, ...]]:
    """The pieces whose place is known, and a sentence for each whose place or shape is not."""
    made: list[PlacedPiece] = []
    words: list[str] = []
    for name in file.pieces_of(casting):
        try:
            made.append(placed_piece(file, name))
        except ValueError as error:
            words.append(str(error))
    return tuple(made), tuple(words)


def placed_piece(file: ProjectFile, name: str) -> PlacedPiece:
    """A piece where it lies, as placed where the record says so; raises ValueError where that is unknown."""
    piece, record = file.piece[name], file.record.placed.get(name)
    place = record.place if record and record.place else piece.place
    if place is None:
        raise ValueError(f"Where {name} lies in the form is not known.")
    turned = record.turn if record and record.turn else piece.turn
    flip = record.flip if record and record.flip is not None else piece.flip
    sawn = as_sawn(file, name)
    if not sawn.marked:
        raise ValueError(f"Which part of {piece.slab} is {name} is not known: it needs a mark.")
    return _placed(name, sawn, (place.x, place.y), turned.value if turned else 0.0, bool(flip))


@lru_cache(maxsize=512)
def _placed(name: str, sawn: SawnShape, place: Point, turn: float, flip: bool) -> PlacedPiece:
    pair = moved(sawn.pair, sawn.mark, place, turn, flip)
    upper, lower = pair.outline(1.0), pair.outline(0.0)
    if min(len(upper), len(lower)) < 3:
        raise ValueError(f"The saw lines leave nothing round the mark of {name}.")
    sides = []
    for pick in (True, False):
        edges = moved(FacePair(*_edges(sawn, pick)), sawn.mark, place, turn, flip)
        sides.append((edges.lower, edges.upper))
    return PlacedPiece(
        name,
        pair,
        sawn.both_faces,
        sawn.thickness,
        turn,
        turn - sawn.grain if flip else turn + sawn.grain,
        flip,
        place,
        upper,
        lower if sawn.both_faces else None,
        holes_inside(pair),
        sides[0],
        sides[1],
    )


def as_sawn(file: ProjectFile, name: str) -> SawnShape:
    """The piece in its slab's coordinates; by its own measures about its mark where it has them."""
    piece = file.piece[name]
    slab = file.slab.get(piece.slab) if piece.slab else None
    if piece.length is not None or piece.width is not None or slab is None:
        return _plain(name, piece, slab.thickness.value if slab and slab.thickness else None)
    own = piece.slab or ""
    try:
        shape = slab_shape(own, slab)
    except ValueError as error:
        raise ValueError(f"The shape of {name} is not known: {error}") from error
    thickness = piece.thickness.value if piece.thickness else shape.thickness
    if piece.mark is not None:
        mark = (piece.mark.x, piece.mark.y)
        pair = FacePair(shape.pair.lower, shape.pair.upper, _sides(file, name, own, mark), shape.pair.holes)
        if not any(contains(face, mark) for face in (shape.pair.upper, shape.pair.lower)):
            raise ValueError(f"The mark of {name} lies off {own}: put it inside the piece.")
        return SawnShape(pair, shape.both_faces, mark, thickness, shape.grain)
    others = [other for other, held in file.piece.items() if held.slab == own and other != name]
    if others or any(saw.of is None for saw in shape.saws):
        raise ValueError(f"Which part of {own} is {name} is not known: it needs a mark.")
    left, bottom, right, top = extent(shape.pair.upper)
    middle = ((left + right) / 2, (bottom + top) / 2)
    marked = not slab.stations and slab.outline is None
    return SawnShape(shape.pair, shape.both_faces, middle, thickness, shape.grain, marked)


def _sides(file: ProjectFile, name: str, slab: str, mark: Point) -> tuple[Side, ...]:
    shape = slab_shape(slab, file.slab[slab])
    try:
        return sides_round(shape, name, mark, marks_on(file, slab), kerf_of(file))
    except ValueError as error:
        raise ValueError(f"{name} cannot be sawn out of {slab}. {error}") from error


def _plain(name: str, piece: Piece, thickness: float | None) -> SawnShape:
    if piece.length is None or piece.width is None:
        raise ValueError(f"The shape of {name} is not known: it needs its slab, or its length and width.")
    x, y = piece.length.value / 2, piece.width.value / 2
    ring = ((-x, -y), (x, -y), (x, y), (-x, y))
    own = piece.thickness.value if piece.thickness else thickness
    return SawnShape(FacePair(ring, ring), False, (0.0, 0.0), own, 0.0)


@lru_cache(maxsize=512)
def _edges(sawn: SawnShape, left: bool) -> tuple[Ring, Ring]:
    """One edge along the tape of both faces, read at the same places: the lower face's, the upper's."""
    lower, upper = sawn.pair.outline(0.0), sawn.pair.outline(1.0)
    if min(len(lower), len(upper)) < 3:
        return (), ()
    ends = (extent(lower), extent(upper))
    start, end = max(held[0] for held in ends), min(held[2] for held in ends)
    step = (end - start) * 1e-6
    places = sorted({min(end - step, max(start + step, x)) for ring in (lower, upper) for x, _ in ring})
    faces: list[Ring] = []
    for ring in (lower, upper):
        found = []
        for x in places:
            spans = spans_at(ring, x)
            if spans:
                found.append((x, spans[-1][1] if left else spans[0][0]))
        faces.append(tuple(found))
    if len(faces[0]) != len(faces[1]):
        faces[0] = faces[1]
    return faces[0], faces[1]


def extent(ring: Ring) -> tuple[float, float, float, float]:
    """Left, bottom, right, top."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


def spans_at(ring: Ring, x: float) -> tuple[Span, ...]:
    """Where a line across at `x` runs inside a ring, from the near side on."""
    found: list[float] = []
    x1, y1 = ring[-1]
    for x2, y2 in ring:
        if (x1 <= x) != (x2 <= x):
            found.append(y1 + (x - x1) / (x2 - x1) * (y2 - y1))
        x1, y1 = x2, y2
    found.sort()
    return tuple(zip(found[::2], found[1::2], strict=False))


def merged(spans: list[Span]) -> list[Span]:
    """Spans that touch or overlap, as one."""
    made: list[Span] = []
    for low, high in sorted(spans):
        if made and low <= made[-1][1]:
            made[-1] = (made[-1][0], max(made[-1][1], high))
        else:
            made.append((low, high))
    return made


def free_spans(
    pieces: tuple[PlacedPiece, ...], x: float, width: float, height: float | None
) -> tuple[Span, ...]:
    """What the wood leaves across the form at a place along it and a height; half-way up without one."""
    wood = merged(
        [
            span
            for piece in pieces
            if height is None or piece.thickness is None or height <= piece.thickness
            for span in piece.spans(x, 0.5 if height is None else piece.share_at(height))
        ]
    )
    free: list[Span] = []
    low = 0.0
    for start, end in wood:
        if start > low:
            free.append((low, min(start, width)))
        low = max(low, end)
    if low < width:
        free.append((low, width))
    return tuple(span for span in free if span[1] > span[0])
