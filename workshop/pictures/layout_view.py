"""The plan of a casting to lay pieces out on: the piece in hand, what is wrong and where, guides, a ruler."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import cos, sin

from shapely import clip_by_rect

from workshop.layout.as_placed import BedPlace, CastingAsPlaced
from workshop.layout.placed import PlacedPiece, extent
from workshop.layout.room import at_share, polygon
from workshop.layout.troubles import Trouble, rings
from workshop.pictures.picture import Drawn, Key, Label, Picture, Shape, Spot, Stroke, rectangle, sizes
from workshop.pictures.plan_view import (
    SMALL,
    around,
    cut_shapes,
    drilled,
    plan_legend,
    resin_layer,
)
from workshop.project.model import ProjectFile
from workshop.raster import Point, Ring
from workshop.trade.face_pair import Line

FINENESS = 2000
"""Outlines are drawn to this part of the picture's width, which no cell shows."""
PLAIN = 48
"""Corners up to which an outline is drawn as it is."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Hand:
    """What the maker has in hand: the piece that keys move, the cursor, the line of the section."""

    piece: str = ""
    cursor: Point | None = None
    line: Line | None = None


def layout_view(
    file: ProjectFile,
    held: CastingAsPlaced,
    found: Sequence[Trouble] = (),
    hand: Hand = Hand(),
    box: Box | None = None,
) -> Picture | None:
    """The plan to lay pieces out on, or a box of it; None while the inside of the form is not known."""
    whole = whole_box(held)
    if whole is None or held.length is None or held.width is None:
        return None
    length, width, units = held.length, held.width, file.units
    seen = box or whole
    tolerance = (seen[2] - seen[0]) / FINENESS
    board = held.board or 0.0
    drawn: list[Drawn] = []
    inside = rectangle(0.0, 0.0, length, width)
    drawn.append(Shape(resin_layer(held), (inside,)))
    drawn += (shape for bed in held.beds for shape in _bed(held, bed, tolerance))
    if board:
        drawn.append(Shape("form", (rectangle(-board, -board, length + board, width + board), inside)))
    for piece in held.pieces:
        drawn += _piece(held, piece, tolerance, piece.id == hand.piece)
    drawn += cut_shapes(held, length, width)
    drawn += (Stroke("light", run.path, 0.5, 0.25) for run in held.lights if len(run.path) > 1)
    drawn += _guides(held, length, width)
    drawn += (Spot("cable", hole.x, hole.y, hole.diameter, "○") for _name, hole in held.holes)
    drawn += drilled(file, held)
    for trouble in found:
        drawn += _trouble(trouble)
    labels = [] if hand.cursor is None else [Label(*hand.cursor, "─┼─")]
    labels += (Label(*_middle(piece, seen), _name(piece, hand)) for piece in held.pieces)
    labels += (Label(*trouble.at, "×") for trouble in found)
    labels += _bed_labels(held)
    labels += _ends(hand.line, seen)
    title = f"PLAN {sizes((length, width), units)} inside, from above"
    return Picture(
        "plan",
        title,
        seen,
        tuple(shape for shape in drawn if not isinstance(shape, Spot) or _in(shape.x, shape.y, seen)),
        tuple(label for label in labels if _in(label.x, label.y, seen)),
        (),
        (*plan_legend(held, units), Key("chosen", "in hand"), Key("trouble", "wrong")),
        (),
        units,
        ruler=True,
    )


def whole_box(held: CastingAsPlaced) -> Box | None:
    """The form with its walls, and what sticks out of it."""
    if held.length is None or held.width is None:
        return None
    board = held.board or 0.0
    return around((-board, -board, held.length + board, held.width + board), held.pieces)


def zoomed(whole: Box, about: Point, times: float, ratio: float) -> Box:
    """A box of the plan, so many times larger, about a point; `ratio` is its height to its width at most."""
    if times <= 1:
        return whole
    wide = (whole[2] - whole[0]) / times
    high = min(whole[3] - whole[1], wide * ratio)
    left = min(max(about[0] - wide / 2, whole[0]), whole[2] - wide)
    bottom = min(max(about[1] - high / 2, whole[1]), whole[3] - high)
    return left, bottom, left + wide, bottom + high


def _in(x: float, y: float, box: Box) -> bool:
    return box[0] <= x <= box[2] and box[1] <= y <= box[3]


def _name(piece: PlacedPiece, hand: Hand) -> str:
    return f"▸ {piece.id}" if piece.id == hand.piece else piece.id


def _middle(piece: PlacedPiece, box: Box) -> Point:
    """Where a piece's name stands: in the middle of what is seen of it."""
    left, bottom, right, top = extent(piece.upper)
    one, two = max(left, box[0]), min(right, box[2])
    three, four = max(bottom, box[1]), min(top, box[3])
    return ((one + two) / 2, (three + four) / 2) if two > one and four > three else piece.middle


def _piece(held: CastingAsPlaced, piece: PlacedPiece, tolerance: float, chosen: bool) -> Iterator[Drawn]:
    if piece.lower is not None:
        yield Shape("below", (_coarse(piece, 0.0, tolerance),))
    along = abs(cos(piece.grain)) >= abs(sin(piece.grain))
    ring = _coarse(piece, 1.0, tolerance)
    yield Shape("chosen" if chosen else "wood", (ring,), "along" if along else "across", "grain")
    for edge in live_edges(piece):
        yield Stroke("below", edge, 0.5, 0.125)
    for hole in piece.holes:
        yield Shape(resin_layer(held), (hole,), least=SMALL)
    if chosen:
        yield Stroke("outline", (*ring, ring[0]), 0.5, 0.125)


@lru_cache(maxsize=1024)
def _coarse(piece: PlacedPiece, share: float, tolerance: float) -> tuple[Point, ...]:
    ring = piece.upper if share == 1.0 or piece.lower is None else piece.lower
    if len(ring) <= PLAIN:
        return ring
    parts = rings(polygon(ring).simplify(tolerance))
    return max(parts, key=len) if parts else ring


@lru_cache(maxsize=1024)
def live_edges(piece: PlacedPiece) -> tuple[tuple[Point, ...], ...]:
    """The runs of a piece's upper outline that no saw has cut, bark or the tree's own edge."""
    made: list[list[Point]] = []
    ring = piece.upper
    sawn = [tuple(abs(side.distance(point)) < 1e-6 for side in piece.pair.sides) for point in ring]
    for (one, cut), (two, also) in pairwise([*zip(ring, sawn, strict=True), (ring[0], sawn[0])]):
        if any(a and b for a, b in zip(cut, also, strict=True)):
            continue
        if made and made[-1][-1] == one:
            made[-1].append(two)
        else:
            made.append([one, two])
    return tuple(tuple(run) for run in made) if piece.pair.sides else ()


def _bed(held: CastingAsPlaced, bed: BedPlace, tolerance: float) -> Iterator[Drawn]:
    """A bed in all of the resin is drawn under the pieces, each with its inset round it."""
    if bed.points is not None:
        yield Shape("stone", (bed.points,), "stones")
        return
    length, width, inset = held.length or 0.0, held.width or 0.0, bed.inset
    if min(length, width) <= 2 * inset:
        return
    yield Shape("stone", (rectangle(inset, inset, length - inset, width - inset),), "stones")
    height = None if bed.low is None or bed.high is None else (bed.low + bed.high) / 2
    for piece in held.pieces:
        share = 0.5 if height is None else piece.share_at(height)
        for ring in _grown(piece, share, inset, (0.0, 0.0, length, width), tolerance):
            yield Shape(resin_layer(held), (ring,))


@lru_cache(maxsize=1024)
def _grown(piece: PlacedPiece, share: float, by: float, form: Box, tolerance: float) -> tuple[Ring, ...]:
    grown = at_share(piece, share).simplify(tolerance).buffer(by, join_style="mitre")
    return rings(clip_by_rect(grown, *form))


def _bed_labels(held: CastingAsPlaced) -> Iterator[Label]:
    """Only beds in a region of their own are named: where the resin is, changes with every key."""
    for bed in held.beds:
        if bed.points is not None:
            left, bottom, right, top = extent(bed.points)
            place = ((left + right) / 2, (bottom + top) / 2)
            yield Label(*place, bed.id, room=(right - left, top - bottom))


def _guides(held: CastingAsPlaced, length: float, width: float) -> Iterator[Stroke]:
    for guide in held.held.guides:
        if guide.x is not None:
            yield Stroke("dim", ((guide.x.value, 0.0), (guide.x.value, width)), 0.5)
        if guide.y is not None:
            yield Stroke("dim", ((0.0, guide.y.value), (length, guide.y.value)), 0.5, 0.0)


def _trouble(trouble: Trouble) -> Iterator[Drawn]:
    for ring in trouble.region:
        yield Shape("trouble", (ring,), least=(1.0, 0.5))
    if not trouble.region:
        x, y = trouble.at
        yield Shape("trouble", (rectangle(x - 5e-4, y - 5e-4, x + 5e-4, y + 5e-4),), least=(1.0, 1.0))


def _ends(line: Line | None, seen: Box) -> Iterator[Label]:
    """Arrows at the edges of the picture between which the section runs."""
    if line is None:
        return
    (ax, ay), (bx, by) = line
    if ax == bx:
        yield Label(ax, seen[1], "▴")
        yield Label(ax, seen[3], "▾")
    elif ay == by:
        yield Label(seen[0], ay, "▸")
        yield Label(seen[2], ay, "◂")
