"""A slab as it lay when measured: both faces, saw lines, the pieces that fall off, and the offcuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, hypot, sin

from workshop.layout.placed import as_sawn, extent
from workshop.layout.sawing import Crossing, MarkedSaw, Sawn, marked_saws, sawn
from workshop.layout.slab_shape import SlabShape, slab_shape
from workshop.pictures.picture import (
    Drawn,
    Key,
    Label,
    Picture,
    Shape,
    Stroke,
    listed,
    ranged,
    rectangle,
    said,
    sizes,
    taped,
)
from workshop.project.model import ProjectFile
from workshop.quantity import AREA, Units, show
from workshop.trade.face_pair import FacePair, Ring
from workshop.trade.outline import Point

BEYOND = 0.006
"""How far a saw line is drawn beyond the wood, as a part of the slab's length."""
OVER = 0.03
"""Room above and below the wood for the names of the saw lines, as a part of the slab's length."""
BEFORE = 0.03
"""Room at both ends of the slab, as a part of its length."""
ARM = 40
"""Each arm of the cursor's cross is this part of the picture's width."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class SlabHand:
    """What the maker has in hand on a slab."""

    line: str = ""
    """The saw line that keys move."""
    cursor: Point | None = None
    first: Point | None = None
    """The first of two points of a saw line, drawn to the cursor."""
    parts: tuple[tuple[str, Ring], ...] = ()
    """Wanted parts where they would lie."""


def slab_view(
    file: ProjectFile, name: str, hand: SlabHand = SlabHand(), box: Box | None = None
) -> Picture | None:
    """The picture of one slab or a box of it, None where the project has none of this name."""
    slab = file.slab.get(name)
    if slab is None:
        return None
    units = file.units
    try:
        shape = slab_shape(name, slab)
        held = sawn(file, name)
        saws = marked_saws(file, name)
    except ValueError as error:
        return Picture("plan", f"SLAB {name}", None, words=(str(error),), units=units)
    pieces = tuple(sawn_pieces(file, name))
    left, bottom, right, top = face_extent(shape)
    seen = box or whole_box(shape)
    drawn = [*_wood(shape, pieces)]
    drawn += _tape(seen, left, right)
    beyond = BEYOND * (right - left)
    for saw in saws:
        run = _run(saw, beyond if saw.of is None else 0.0)
        chosen = saw.id == hand.line
        drawn.append(Stroke("outline" if chosen else "cut", run, *((1.0, 0.25) if chosen else (0.5, 0.125))))
    for _name, ring in hand.parts:
        drawn += (Shape("chosen", (ring,)), Stroke("outline", (*ring, ring[0])))
    if hand.cursor is not None:
        drawn += _cursor(hand.cursor, hand.first, (seen[2] - seen[0]) / ARM)
    labels = (*_labels(pieces, held, hand), *_saw_labels(saws, hand, shape))
    return Picture(
        "plan",
        f"SLAB {name} {sizes([right - left, top - bottom], units)}",
        seen,
        tuple(drawn),
        tuple(label for label in labels if _in(label, seen)),
        legend=_legend(shape, pieces, held, hand),
        words=tuple(_words(shape, held, pieces, file)),
        units=units,
        ruler=True,
    )


def outline_view(pair: FacePair, both: bool, units: Units, title: str) -> Picture:
    """An outline that a file brings, before it is a slab's."""
    left, bottom, right, top = _both(pair)
    over = OVER * (right - left)
    drawn: list[Drawn] = [Shape("below", (pair.lower,))] if both else []
    drawn.append(Shape("wood", (pair.upper,), "along", "grain"))
    drawn += (Shape("void", (hole,), least=(1.0, 0.5)) for hole in pair.holes)
    drawn += _tape((left - over, bottom, right + over, top), left, right)
    keys = (Key("wood", "upper face" if both else "outline"), *([Key("below", "lower face")] if both else []))
    box = (left - over, bottom - over, right + over, top + over)
    return Picture("plan", title, box, tuple(drawn), legend=keys, units=units)


def whole_box(shape: SlabShape) -> Box:
    """The slab with room for the names of its saw lines."""
    left, bottom, right, top = face_extent(shape)
    over, before = OVER * (right - left), BEFORE * (right - left)
    return left - before, bottom - over, right + before, top + over


def face_extent(shape: SlabShape) -> Box:
    """Left, bottom, right, top of both faces."""
    return _both(shape.pair)


def _both(pair: FacePair) -> Box:
    one, two = extent(pair.upper), extent(pair.lower)
    return min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3])


def sawn_pieces(file: ProjectFile, slab: str) -> Iterator[tuple[str, Ring]]:
    """Each piece of a slab as its upper face is sawn out; those whose shape is not known are left out."""
    for name, piece in file.piece.items():
        if piece.slab != slab or piece.mark is None:
            continue
        try:
            held = as_sawn(file, name)
        except ValueError:
            continue
        ring = held.pair.outline(1.0)
        if piece.length is not None or piece.width is not None:
            ring = _about((piece.mark.x, piece.mark.y), ring, slab_shape(slab, file.slab[slab]).grain)
        if len(ring) > 2:
            yield name, ring


def _about(mark: Point, ring: Ring, turn: float) -> Ring:
    """A piece of its own measures round its mark, along the grain."""
    c, s = cos(turn), sin(turn)
    return tuple((mark[0] + c * x - s * y, mark[1] + s * x + c * y) for x, y in ring)


# Drawing


def _wood(shape: SlabShape, pieces: tuple[tuple[str, Ring], ...]) -> Iterator[Drawn]:
    if shape.both_faces:
        yield Shape("below", (shape.pair.lower,))
    along = abs(cos(shape.grain)) >= abs(sin(shape.grain))
    yield Shape("wood", (shape.pair.upper,), "along" if along else "across", "grain")
    if pieces:
        left, bottom, right, top = whole_box(shape)
        around = rectangle(left, bottom, right, top)
        # Each piece on its own: where two overlap the even-odd rule would show neither.
        yield Shape("cut", (around,), removed=True)
        for _id, ring in pieces:
            yield Shape("wood", (ring,), "along" if along else "across", "grain")
    yield from (Shape("void", (hole,), least=(1.0, 0.5)) for hole in shape.pair.holes)


def _tape(seen: Box, left: float, right: float) -> Iterator[Drawn]:
    """Where the tape lies, at both ends of the slab: across the wood it would hide it."""
    if seen[0] < left:
        yield Stroke("dim", ((seen[0], 0.0), (left, 0.0)), high=0.0)
    if seen[2] > right:
        yield Stroke("dim", ((right, 0.0), (seen[2], 0.0)), high=0.0)


def _run(saw: MarkedSaw, beyond: float) -> tuple[Point, Point]:
    """A saw line from end to end, and a little further."""
    one, two = saw.ends
    dx, dy = two.along - one.along, two.off - one.off
    length = hypot(dx, dy) or 1.0
    dx, dy = dx / length * beyond, dy / length * beyond
    return (one.along - dx, one.off - dy), (two.along + dx, two.off + dy)


def _cursor(at: Point, first: Point | None, arm: float) -> Iterator[Drawn]:
    if first is not None:
        yield Stroke("outline", (first, at), 1.0, 0.25)
    x, y = at
    yield Stroke("ink", ((x - arm, y), (x + arm, y)), 0.5, 0.125)
    yield Stroke("ink", ((x, y - arm), (x, y + arm)), 0.5, 0.125)


def _in(label: Label, box: Box) -> bool:
    return box[0] <= label.x <= box[2] and box[1] <= label.y <= box[3]


def _labels(pieces: tuple[tuple[str, Ring], ...], held: Sawn, hand: SlabHand) -> Iterator[Label]:
    for name, ring in hand.parts:
        yield Label(*_middle(ring), f"▸ {name}", "label")
    for name, ring in pieces:
        yield Label(*_middle(ring), name)
    for offcut in held.offcuts:
        left, bottom, right, top = extent(offcut.ring)
        room = (right - left, max(top - bottom, 0.0))
        yield Label(*offcut.mark, f"left {offcut.number}", room=room)


def _saw_labels(saws: tuple[MarkedSaw, ...], hand: SlabHand, shape: SlabShape) -> Iterator[Label]:
    """The name of a line that goes through the slab beside the wood, at the end of it."""
    left, bottom, right, top = whole_box(shape)
    for saw in saws:
        if saw.of is not None:
            continue
        one, two = saw.ends
        text = f"▸{saw.id}" if saw.id == hand.line else saw.id
        if abs(two.along - one.along) < abs(two.off - one.off):
            upper: Crossing = max(saw.ends, key=lambda end: end.off)
            yield Label(upper.along, top - (top - bottom) * 1e-6, text, "cut")
        else:
            yield Label(right - (right - left) * 1e-6, two.off, text, "cut")


def _middle(ring: Ring) -> Point:
    left, bottom, right, top = extent(ring)
    return (left + right) / 2, (bottom + top) / 2


def _legend(
    shape: SlabShape, pieces: tuple[tuple[str, Ring], ...], held: Sawn, hand: SlabHand
) -> tuple[Key, ...]:
    keys = [Key("wood", "pieces" if pieces else "wood")]
    if shape.both_faces:
        keys.append(Key("below", "lower face"))
    if pieces and held.offcuts:
        keys.append(Key("wood-off", "left over"))
    if shape.saws:
        keys.append(Key("cut", "saw line"))
    if hand.parts:
        keys.append(Key("chosen", "fits here"))
    return tuple(keys)


# Words


def _words(
    shape: SlabShape, held: Sawn, pieces: tuple[tuple[str, Ring], ...], file: ProjectFile
) -> Iterator[str]:
    units = file.units
    left, bottom, right, top = face_extent(shape)
    faces = "both faces" if shape.both_faces else "the upper face only"
    size = f"{taped(right - left, units)} long, {taped(top - bottom, units)} wide"
    yield f"{shape.name} as it lay when measured, by {faces}: {size}."
    if shape.thickness is not None:
        yield f"It is {said(shape.thickness, units)} thick."
    wood = "Both faces are wood on" if shape.both_faces else "It is wood on"
    yield f"{wood} {_area(held.area, units)}."
    for saw in marked_saws(file, held.slab):
        of = "" if saw.of is None else f", which trims {saw.of} alone"
        yield f"Saw line {saw.id}{of}: {saw_words(saw, units)}."
    for name, ring in pieces:
        a, b, c, d = extent(ring)
        yield (
            f"Piece {name}: {ranged(round(a, 4), round(c, 4), units)} along, from {off_words(b, units)} "
            f"to {off_words(d, units)}, {_area(held.pieces.get(name, 0.0), units)} at both faces."
        )
    left_over = [
        f"{_area(offcut.area, units)}, {taped(extent(offcut.ring)[2] - extent(offcut.ring)[0], units)} long"
        for offcut in held.offcuts
    ]
    if left_over and pieces:
        yield f"Left over: {listed(left_over)}."


def saw_words(saw: MarkedSaw, units: Units) -> str:
    """The two places between which a saw line is struck, each as the tape reads it."""
    one, two = saw.ends
    return (
        f"from {taped(one.along, units)} along, {off_words(one.off, units)}, "
        f"to {taped(two.along, units)} along, {off_words(two.off, units)}"
    )


def off_words(off: float, units: Units) -> str:
    """How far off the tape, and on which side."""
    if abs(off) < 5e-4:
        return "on the tape"
    return f"{taped(abs(off), units)} {'left' if off > 0 else 'right'} of the tape"


def _area(area: float, units: Units) -> str:
    return show(area, AREA, units)
