"""The plan of a casting, to scale, seen from above as cast: near side below, left end at the left."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, sin

from workshop.layout.as_placed import BedPlace, CastingAsPlaced, casting_as_placed
from workshop.layout.placed import PlacedPiece, Span, extent, free_spans
from workshop.pictures.picture import (
    Drawn,
    Key,
    Label,
    Picture,
    Shape,
    Spot,
    Stroke,
    bare,
    listed,
    outlined,
    ranged,
    rectangle,
    said,
    sizes,
    taped,
)
from workshop.project.model import ProjectFile
from workshop.quantity import Units
from workshop.raster import Layer, Point

STEPS = 96
"""Places along a casting at which gaps and beds are read."""
SMALL = (1.0, 0.5)
"""Cells that a hole takes at the least."""
THIN = 0.002
"""m: a gap under this is a seam, not a channel."""


def plan_view(file: ProjectFile, casting: str) -> Picture | None:
    """The plan of one casting, None where the project has none of this name."""
    held = casting_as_placed(file, casting)
    if held is None:
        return None
    units = file.units
    inside = _inside(held)
    if inside is None:
        return Picture("plan", _title(held, units), None, words=_words(held, file), units=units)
    length, width, known = inside
    board = held.board or 0.0
    drawn: list[Drawn] = []
    if not known:
        drawn.append(outlined(0.0, 0.0, length, width))
    elif board:
        drawn.append(Shape("form", (rectangle(-board, -board, length + board, width + board),)))
    if known:
        drawn.append(Shape(resin_layer(held), (rectangle(0.0, 0.0, length, width),)))
    drawn += (shape for bed in held.beds for shape in _bed(held, bed, length, width))
    drawn += (shape for piece in held.pieces for shape in wood_shapes(held, piece))
    drawn += cut_shapes(held, length, width)
    drawn += (Stroke("light", run.path, 0.5, 0.25) for run in held.lights if len(run.path) > 1)
    drawn += (Spot("cable", hole.x, hole.y, hole.diameter, "○") for _name, hole in held.holes)
    drawn += drilled(file, held)
    labels = [Label(*piece.middle, piece.id) for piece in held.pieces]
    labels += _bed_labels(held, length, width, units)
    if not known:
        labels.append(Label(length / 2, width / 2, "finished size"))
    box = (-board, -board, length + board, width + board) if known else (0.0, 0.0, length, width)
    return Picture(
        "plan",
        _title(held, units),
        around(box, held.pieces),
        tuple(drawn),
        tuple(labels),
        (),
        plan_legend(held, units),
        _words(held, file),
        units,
    )


def _inside(held: CastingAsPlaced) -> tuple[float, float, bool] | None:
    """Inner length and width of the form; the finished size where no more is known."""
    if held.length is not None and held.width is not None:
        return held.length, held.width, True
    if held.held.length is not None and held.held.width is not None:
        return held.held.length.value, held.held.width.value, False
    return None


def around(
    box: tuple[float, float, float, float], pieces: tuple[PlacedPiece, ...]
) -> tuple[float, float, float, float]:
    """A box that also holds what sticks out of the form, up to its own size more on each side."""
    left, bottom, right, top = box
    for piece in pieces:
        one, two, three, four = extent(piece.upper)
        left, bottom = min(left, one), min(bottom, two)
        right, top = max(right, three), max(top, four)
    along, across = box[2] - box[0], box[3] - box[1]
    return (
        max(left, box[0] - along),
        max(bottom, box[1] - across),
        min(right, box[2] + along),
        min(top, box[3] + across),
    )


def _title(held: CastingAsPlaced, units: Units) -> str:
    size = [held.held.length, held.held.width]
    known = [measure.value for measure in size if measure is not None]
    return f"PLAN {sizes(known, units)}" if len(known) == 2 else "PLAN"


def resin_layer(held: CastingAsPlaced) -> Layer:
    """How resin is drawn: poured, or planned as long as nothing is."""
    return "resin" if held.now is not None else "planned"


def wood_shapes(held: CastingAsPlaced, piece: PlacedPiece) -> Iterator[Shape]:
    """A piece: its lower face where that stands out, its upper one with the grain, its holes."""
    if piece.lower is not None:
        yield Shape("below", (piece.lower,))
    along = abs(cos(piece.turn)) >= abs(sin(piece.turn))
    yield Shape("wood", (piece.upper,), "along" if along else "across", "grain")
    for hole in piece.holes:
        yield Shape(resin_layer(held), (hole,), least=SMALL)


def _bed(held: CastingAsPlaced, bed: BedPlace, length: float, width: float) -> Iterator[Shape]:
    if bed.points is not None:
        yield Shape("stone", (bed.points,), "stones")
        return
    start, end = bed.inset, length - bed.inset
    if end <= start:
        return
    places = [start + (end - start) * step / STEPS for step in range(STEPS + 1)]
    columns = [bed_spans(held, bed, x, width) for x in places]
    for (x1, one), (x2, two) in pairwise(zip(places, columns, strict=True)):
        for low, high in zip(one, two, strict=False):
            yield Shape("stone", (((x1, low[0]), (x2, high[0]), (x2, high[1]), (x1, low[1])),), "stones")


def bed_spans(held: CastingAsPlaced, bed: BedPlace, x: float, width: float) -> tuple[Span, ...]:
    """Where a bed in all of the resin lies across the form; its inset is kept across, not round corners."""
    height = None if bed.low is None else (bed.low + (bed.low if bed.high is None else bed.high)) / 2
    free = free_spans(held.pieces, x, width, height)
    return tuple(
        (low + bed.inset, high - bed.inset) for low, high in free if high - low > 2 * bed.inset + THIN
    )


def cut_shapes(held: CastingAsPlaced, length: float, width: float) -> Iterator[Drawn]:
    """What the trim lines take away, and holes and screws."""
    whole = rectangle(0.0, 0.0, length, width)
    if held.finished is not None:
        yield Shape("cut", (whole, rectangle(*held.finished)), removed=True)
    for cut in held.held.cuts:
        if cut.kind == "trim line" and cut.from_ is not None and cut.to is not None:
            yield Stroke("cut", ((cut.from_.x, cut.from_.y), (cut.to.x, cut.to.y)))
        elif cut.kind == "trim line" and cut.x is not None and cut.y is None:
            if held.finished is None or cut.x.value not in held.finished[::2]:
                yield Stroke("cut", ((cut.x.value, 0.0), (cut.x.value, width)))
        elif cut.kind == "trim line" and cut.y is not None and cut.x is None:
            if held.finished is None or cut.y.value not in held.finished[1::2]:
                yield Stroke("cut", ((0.0, cut.y.value), (length, cut.y.value)))
        elif cut.kind in ("hole", "screw") and cut.at is not None:
            size = cut.diameter.value if cut.diameter else 0.0
            yield Spot("cut", cut.at.x, cut.at.y, size, "○" if cut.kind == "hole" else "+")


def drilled(file: ProjectFile, held: CastingAsPlaced) -> Iterator[Spot]:
    """The screws of fixings."""
    for fixing in file.fixing.values():
        if fixing.casting == held.id:
            size = fixing.diameter.value if fixing.diameter else 0.0
            yield from (Spot("cut", place.x, place.y, size, "+") for place in fixing.places)


def _bed_labels(held: CastingAsPlaced, length: float, width: float, units: Units) -> list[Label]:
    labels = []
    for bed in held.beds:
        text = bed_words(bed, units)
        if bed.points is not None:
            left, bottom, right, top = extent(bed.points)
            labels.append(
                Label((left + right) / 2, (bottom + top) / 2, text, room=(right - left, top - bottom))
            )
            continue
        spans = bed_spans(held, bed, length / 2, width)
        if spans:
            low, high = max(spans, key=lambda span: span[1] - span[0])
            labels.append(Label(length / 2, (low + high) / 2, text, room=(length, high - low)))
    return labels


def bed_words(bed: BedPlace, units: Units) -> str:
    """A bed with its heights."""
    if bed.low is None or bed.high is None:
        return bed.id
    return f"{bed.id} {bare(bed.low, units)}–{bare(bed.high, units)}"


def plan_legend(held: CastingAsPlaced, units: Units) -> tuple[Key, ...]:
    """What a plan may show, in the order of the legend."""
    keys = []
    if held.pieces:
        keys.append(Key("wood", "wood"))
    if held.length is not None and held.width is not None:
        keys.append(Key(resin_layer(held), "resin" if held.now is not None else "resin, planned"))
    keys += [Key("stone", bed_words(bed, units)) for bed in held.beds]
    heights = sorted(run.height for run in held.lights if run.path and run.height is not None)
    if heights:
        shown = list(dict.fromkeys(bare(height, units) for height in (heights[0], heights[-1])))
        keys.append(Key("light", f"light at {'–'.join(shown)}"))
    elif any(run.path for run in held.lights):
        keys.append(Key("light", "light"))
    if held.finished is not None:
        keys.append(Key("wood-off", "cut away"))
    if any(piece.lower is not None for piece in held.pieces):
        keys.append(Key("below", "lower face"))
    if held.holes:
        keys.append(Key("cable", "cable out", "○"))
    return tuple(keys)


# In words


def _words(held: CastingAsPlaced, file: ProjectFile) -> tuple[str, ...]:
    units = file.units
    words = [f"Plan of {held.id} from above, as cast: near side below, left end at the left."]
    words += _size_words(held, units)
    words += [_piece_words(piece, units) for piece in held.pieces]
    words += [f"{piece.id} reaches beyond the form." for piece in held.pieces if _sticks_out(held, piece)]
    if not file.pieces_of(held.id):
        words.append(f"No piece lies in {held.id} yet.")
    if held.length is not None and held.width is not None:
        words += gap_words(held, held.length, held.width, units)
    for bed in held.beds:
        between = (
            "at heights not known yet"
            if bed.low is None or bed.high is None
            else f"{ranged(bed.low, bed.high, units)} above the form floor"
        )
        inset = f", {said(bed.inset, units)} off the wood" if bed.inset else ""
        region = "all of the resin" if bed.points is None else "a region of its own"
        words.append(f"Bed {bed.id} in {region}, {between}{inset}.")
    for run in held.lights:
        if run.path:
            height = "a height not known yet" if run.height is None else said(run.height, units)
            words.append(f"Light run {run.id} along the {run.edge} edge of {run.piece} at {height}.")
    words += [
        f"Cable {name} leaves at {taped(hole.x, units)} along and {taped(hole.y, units)} across, "
        f"through a hole of {taped(hole.diameter, units)}."
        for name, hole in held.holes
    ]
    words += _cut_words(held, file)
    return (*words, *held.unknown)


def _size_words(held: CastingAsPlaced, units: Units) -> Iterator[str]:
    if held.length is not None and held.width is not None:
        yield f"Inside the form: {taped(held.length, units)} long, {taped(held.width, units)} wide."
    else:
        yield "The inner size of the form is not known."
    size = held.held
    if size.length is not None and size.width is not None:
        yield f"Finished: {taped(size.length.value, units)} long, {taped(size.width.value, units)} wide."
    if held.finished is not None:
        left, near, right, far = held.finished
        yield (
            f"Trimmed at {taped(left, units)} and {taped(right, units)} along, "
            f"at {taped(near, units)} and {taped(far, units)} across."
        )
    elif held.length is not None:
        yield "Where the finished part lies in the form is not known."


def _piece_words(piece: PlacedPiece, units: Units) -> str:
    left, bottom, right, top = extent(piece.upper)
    face = "" if piece.lower is None else ", its lower face drawn where it stands out"
    holes = f", {len(piece.holes)} hole through it" if len(piece.holes) == 1 else ""
    holes = f", {len(piece.holes)} holes through it" if len(piece.holes) > 1 else holes
    return (
        f"{piece.id} lies {ranged(round(left, 3), round(right, 3), units)} along and "
        f"{ranged(round(bottom, 3), round(top, 3), units)} across{face}{holes}."
    )


def _sticks_out(held: CastingAsPlaced, piece: PlacedPiece) -> bool:
    left, bottom, right, top = extent(piece.upper)
    if held.length is None or held.width is None:
        return False
    beyond = (-left, -bottom, right - held.length, top - held.width)
    return max(beyond) > THIN


def gap_words(held: CastingAsPlaced, length: float, width: float, units: Units) -> Iterator[str]:
    """How wide the resin is between neighbours and beside the walls, at the upper face."""
    order = sorted(held.pieces, key=lambda piece: piece.middle[1])
    places = [length * (step + 0.5) / STEPS for step in range(STEPS)]
    sides: list[tuple[str, PlacedPiece | None, PlacedPiece | None]] = []
    if order:
        sides = [(f"between the near wall and {order[0].id}", None, order[0])]
        sides += [(f"between {one.id} and {two.id}", one, two) for one, two in pairwise(order)]
        sides.append((f"between {order[-1].id} and the far wall", order[-1], None))
    for where, one, two in sides:
        found: list[tuple[float, float]] = []
        for x in places:
            low = 0.0 if one is None else max((span[1] for span in one.spans(x, 1.0)), default=None)
            high = width if two is None else min((span[0] for span in two.spans(x, 1.0)), default=None)
            if low is not None and high is not None:
                found.append((high - low, x))
        if not found or max(found)[0] <= THIN:
            continue
        least, at = min(found)
        gap = ranged(round(max(0.0, least), 3), round(max(found)[0], 3), units)
        yield f"Resin {where}: {gap} wide at the upper face, narrowest at {taped(round(at, 2), units)} along."


def _cut_words(held: CastingAsPlaced, file: ProjectFile) -> Iterator[str]:
    units = file.units
    for cut in held.held.cuts:
        if cut.kind in ("hole", "screw") and cut.at is not None:
            at = f"{taped(cut.at.x, units)} along, {taped(cut.at.y, units)} across"
            yield f"{cut.kind.capitalize()} {cut.id} at {at}."
    for name, fixing in file.fixing.items():
        if fixing.casting == held.id and fixing.places:
            at = listed([f"{bare(place.x, units)}, {bare(place.y, units)}" for place in fixing.places])
            yield f"Fixing {name} at {at}."


def light_ys(path: tuple[Point, ...], x: float) -> tuple[float, ...]:
    """Where across the form a light run passes a place along it."""
    found = []
    for (x1, y1), (x2, y2) in pairwise(path):
        if (x1 <= x) != (x2 <= x):
            found.append(y1 + (x - x1) / (x2 - x1) * (y2 - y1))
    return tuple(found)
