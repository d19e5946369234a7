"""The pieces of a casting where they lie: both faces as sawn, turned and set down in the form.

Casting coordinates in m: x along, y across from the near left inner corner of the form.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

from workshop.project.model import Piece, ProjectFile, Slab
from workshop.raster import Point, Ring
from workshop.trade.outline import Station, mean_outline, station_outline
from workshop.trade.sawing import left_by

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece in its casting. `lower` is None where that face is not measured: it is then like the upper."""

    id: str
    upper: tuple[Point, ...]
    lower: tuple[Point, ...] | None
    holes: tuple[tuple[Point, ...], ...]
    thickness: float | None
    turn: float
    """Radians against the clock."""
    left: tuple[tuple[Point, ...], tuple[Point, ...]]
    """The left edge, as the slab lay, of the lower and of the upper face."""
    right: tuple[tuple[Point, ...], tuple[Point, ...]]

    def outline(self, share: float) -> tuple[Point, ...] | None:
        """The outline at a share of the thickness from the lower face, where the faces' corners agree."""
        lower = self.upper if self.lower is None else self.lower
        if len(lower) != len(self.upper):
            return None
        return _between(lower, self.upper, share)

    def share_at(self, height: float) -> float:
        """How far up in the thickness a height lies, 0 to 1."""
        return min(1.0, max(0.0, height / self.thickness)) if self.thickness else 1.0

    def edge(self, side: str, height: float | None) -> tuple[Point, ...]:
        """The left or right edge at a height over the form floor; half-way up where that is not known."""
        lower, upper = self.left if side == "left" else self.right
        return _between(lower, upper, 0.5 if height is None else self.share_at(height))

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

    @property
    def middle(self) -> Point:
        """The middle of its extent."""
        left, bottom, right, top = extent(self.upper)
        return (left + right) / 2, (bottom + top) / 2


def placed_pieces(file: ProjectFile, casting: str) -> tuple[tuple[PlacedPiece, ...], tuple[str, ...]]:
    """The pieces that can be drawn, and a sentence for each that cannot."""
    made: list[PlacedPiece] = []
    words: list[str] = []
    for name, piece in file.pieces_of(casting).items():
        try:
            made.append(_placed(file, name, piece))
        except ValueError as error:
            words.append(str(error))
    return tuple(made), tuple(words)


def _placed(file: ProjectFile, name: str, piece: Piece) -> PlacedPiece:
    record = file.record.placed.get(name)
    place = record.place if record and record.place else piece.place
    turned = record.turn if record and record.turn else piece.turn
    if place is None:
        raise ValueError(f"Where {name} lies in the form is not known.")
    slab = file.slab.get(piece.slab) if piece.slab else None
    thickness = piece.thickness or (slab.thickness if slab else None)
    upper, lower, holes, mark = _sawn(name, piece, slab)
    turn = turned.value if turned else 0.0
    c, s = cos(turn), sin(turn)

    def moved(ring: Ring) -> tuple[Point, ...]:
        return tuple(
            (
                place.x + c * (x - mark[0]) - s * (y - mark[1]),
                place.y + s * (x - mark[0]) + c * (y - mark[1]),
            )
            for x, y in ring
        )

    below = upper if lower is None else lower
    sides = []
    for pick in (max, min):
        faces = _edges(below, upper, pick is max)
        sides.append((moved(faces[0]), moved(faces[1])))
    return PlacedPiece(
        name,
        moved(upper),
        None if lower is None else moved(lower),
        tuple(moved(hole) for hole in holes),
        thickness.value if thickness else None,
        turn,
        sides[0],
        sides[1],
    )


def _sawn(
    name: str, piece: Piece, slab: Slab | None
) -> tuple[tuple[Point, ...], tuple[Point, ...] | None, tuple[tuple[Point, ...], ...], Point]:
    """Both faces and the holes in the slab's coordinates, and the mark; by its own measures about (0, 0)."""
    if piece.length is not None or piece.width is not None or slab is None:
        if piece.length is None or piece.width is None:
            raise ValueError(f"The shape of {name} is not known: it needs its slab, or its length and width.")
        return _plain(piece.length.value, piece.width.value), None, (), (0.0, 0.0)
    upper, lower = _faces(name, piece.slab or "", slab)
    holes = tuple(_metres(slab, hole.points) for hole in slab.holes)
    mark = piece.mark
    lines = tuple(line for _, line in slab.saws())
    if mark is None:
        if lines or slab.stations or slab.outline:
            raise ValueError(f"Which part of {piece.slab} is {name} is not known: it needs a mark.")
        left, bottom, right, top = extent(upper)
        return upper, lower, holes, ((left + right) / 2, (bottom + top) / 2)
    at = (mark.x, mark.y)
    middle = mean_outline(upper, upper if lower is None else lower)
    for line in lines:
        try:
            upper, middle = left_by(upper, line, at), left_by(middle, line, at)
            lower = None if lower is None else left_by(lower, line, at)
        except ValueError as error:
            raise ValueError(f"{name} cannot be sawn out of {piece.slab}. {error}") from error
        if len(upper) < 3 or (lower is not None and len(lower) < 3):
            raise ValueError(f"The saw lines leave nothing of {piece.slab} round the mark of {name}.")
    left, bottom, right, top = extent(middle)
    inside = tuple(
        hole
        for hole in holes
        if left <= sum(x for x, _ in hole) / len(hole) <= right
        and bottom <= sum(y for _, y in hole) / len(hole) <= top
    )
    return upper, lower, inside, at


def _faces(name: str, slab_name: str, slab: Slab) -> tuple[tuple[Point, ...], tuple[Point, ...] | None]:
    if slab.stations:
        rows = slab.stations
        if len(rows) < 2 or any(row.left is None or row.right is None for row in rows):
            raise ValueError(f"The shape of {name} is not known: {slab_name} is not measured at both edges.")
        upper = [
            Station(slab.metres(row.at), slab.metres(row.left or 0.0), slab.metres(row.right or 0.0))
            for row in rows
        ]
        if any(row.lower_left is None or row.lower_right is None for row in rows):
            return station_outline(upper), None
        lower = [
            Station(
                slab.metres(row.at), slab.metres(row.lower_left or 0.0), slab.metres(row.lower_right or 0.0)
            )
            for row in rows
        ]
        return station_outline(upper), station_outline(lower)
    if slab.outline is not None:
        ring = _metres(slab, slab.outline.points)
        other = slab.lower_outline
        same = other is not None and len(other.points) == len(slab.outline.points)
        return ring, _metres(slab, other.points) if other is not None and same else None
    if slab.length is None or slab.width is None:
        raise ValueError(f"The shape of {name} is not known: {slab_name} is not measured.")
    length, half = slab.length.value, slab.width.value / 2
    return ((0.0, -half), (length, -half), (length, half), (0.0, half)), None


def _plain(length: float, width: float) -> tuple[Point, ...]:
    return (
        (-length / 2, -width / 2),
        (length / 2, -width / 2),
        (length / 2, width / 2),
        (-length / 2, width / 2),
    )


def _metres(slab: Slab, points: Ring) -> tuple[Point, ...]:
    return tuple((slab.metres(x), slab.metres(y)) for x, y in points)


def _edges(lower: Ring, upper: Ring, left: bool) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """One edge along the tape of both faces, read at the same places."""
    ends = (extent(lower), extent(upper))
    start, end = max(held[0] for held in ends), min(held[2] for held in ends)
    step = (end - start) * 1e-6
    places = sorted({min(end - step, max(start + step, x)) for ring in (lower, upper) for x, _ in ring})
    faces: list[tuple[Point, ...]] = []
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


def _between(lower: Ring, upper: Ring, share: float) -> tuple[Point, ...]:
    return tuple(
        ((1 - share) * x1 + share * x2, (1 - share) * y1 + share * y2)
        for (x1, y1), (x2, y2) in zip(lower, upper, strict=True)
    )


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
