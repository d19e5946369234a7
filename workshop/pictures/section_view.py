"""The section of a casting across its length, as cast: near side at the left, the form floor below."""

from __future__ import annotations

from collections.abc import Iterator

from workshop.layout.as_placed import BedPlace, CastingAsPlaced, LightPlace, casting_as_placed
from workshop.layout.placed import PlacedPiece, Span, extent, free_spans, spans_at
from workshop.layout.room import room_of
from workshop.layout.section_line import across_at, crossing, turned_to
from workshop.pictures.picture import (
    Drawn,
    Key,
    Label,
    Mark,
    Picture,
    Shape,
    Stroke,
    bare,
    listed,
    outlined,
    ranged,
    rectangle,
    said,
    taped,
)
from workshop.pictures.plan_view import THIN, light_ys
from workshop.project.model import Cut, ProjectFile
from workshop.quantity import Units
from workshop.raster import Layer
from workshop.trade.face_pair import Line
from workshop.trade.outline import Point

STRIP = 0.008
"""m: how high a light strip is drawn whose width is not known."""
FLOOR = 0.06
"""The floor of the form is drawn as thin as this part of its depth."""
SLENDER = 0.002
"""m: how thick a light strip is drawn, edge on; a cell is mostly more."""


def default_place(held: CastingAsPlaced) -> float | None:
    """The middle of the form, or of the first light run where that does not reach the middle."""
    length = held.length or (held.held.length.value if held.held.length else None)
    if length is None:
        return None
    middle = length / 2
    path = next((run.path for run in held.lights if len(run.path) > 1), ())
    if not path or light_ys(path, middle):
        return middle
    left, _bottom, right, _top = extent(path)
    return (left + right) / 2


def section_view(
    file: ProjectFile, casting: str, x: float | None = None, line: Line | None = None
) -> Picture | None:
    """The section at `x` m along the form, or along any `line` through it.

    None where the project has no such casting.
    """
    held = casting_as_placed(file, casting)
    if held is None:
        return None
    units = file.units
    at = default_place(held) if x is None else x
    title, where = "SECTION", ""
    if line is not None:
        title = f"SECTION {_place(line[0], units)} to {_place(line[1], units)}"
        where = f"from {_place(line[0], units)} to {_place(line[1], units)}: its start at the left"
    elif at is not None:
        title = f"SECTION at {said(at, units)}"
        where = f"at {said(at, units)} from the left end of the form: near side at the left"
        line = across_at(held, at)
    seen = None if line is None else turned_to(held, line)
    if seen is None or line is None:
        return Picture("section", title, None, words=_outside(held, file, at, line), units=units)
    sizes = _inside(seen)
    if sizes is None:
        return Picture("section", title, None, words=_words(seen, where, file), units=units)
    width, depth, known = sizes
    board = held.board or 0.0
    drawn: list[Drawn] = []
    if known:
        if board:
            drawn.append(Shape("form", (rectangle(-board, -board, width + board, depth),)))
            drawn.append(Shape("void", (rectangle(0.0, 0.0, width, depth),)))
        drawn += _lifts(seen, width)
    else:
        drawn.append(outlined(0.0, 0.0, width, depth))
    drawn += (shape for bed in held.beds for shape in _bed(held, bed, line))
    for piece in seen.pieces:
        drawn += _wood(seen, piece)
    drawn += _cut_away(seen, width)
    drawn += _planes(seen, width)
    drawn += _trims(seen, line)
    lights = tuple(_lights(seen))
    drawn += (shape for _run, shape in lights)
    labels = [
        Label((low + high) / 2, (piece.thickness or depth) / 2, piece.id)
        for piece in seen.pieces
        for low, high in _widest(piece.spans(0.0, 0.5))
    ]
    if not known:
        labels.append(Label(width / 2, depth / 2, "finished size"))
    box = (-board, -min(board, FLOOR * depth), width + board, depth) if known else (0.0, 0.0, width, depth)
    return Picture(
        "section",
        title,
        box,
        tuple(drawn),
        tuple(labels),
        _marks(seen, lights, units),
        _legend(seen, lights),
        _words(seen, where, file),
        units,
    )


def _place(point: Point, units: Units) -> str:
    return f"{bare(point[0], units)}, {bare(point[1], units)}"


def _inside(held: CastingAsPlaced) -> tuple[float, float, bool] | None:
    """Width and height to draw; the finished size alone where no form is known."""
    if held.width is not None:
        heights = [held.depth, held.top, held.held.thickness.value if held.held.thickness else None]
        depth = max((height for height in heights if height is not None), default=None)
        return None if depth is None else (held.width, depth, True)
    if held.held.width is not None and held.held.thickness is not None:
        return held.held.width.value, held.held.thickness.value, False
    return None


def _widest(spans: tuple[Span, ...]) -> tuple[Span, ...]:
    return (max(spans, key=lambda span: span[1] - span[0]),) if spans else ()


def _lifts(held: CastingAsPlaced, width: float) -> Iterator[Drawn]:
    """The last lift poured as resin, those under it as older resin, the planned ones in outline."""
    poured = [lift for lift in held.lifts if lift.poured]
    for lift in held.lifts:
        layer: Layer = "planned"
        if lift.poured:
            layer = "resin" if lift is poured[-1] else "old"
        yield Shape(layer, (rectangle(0.0, lift.low, width, lift.high),))
    for lift in held.lifts:
        if not lift.poured and lift.high != held.top:
            yield Stroke("dim", ((0.0, lift.high), (width, lift.high)), high=0.0)


def _bed(held: CastingAsPlaced, bed: BedPlace, line: Line) -> Iterator[Shape]:
    room = room_of(held)
    if bed.low is None or bed.high is None or room is None:
        return
    for low, high in room.spans(room.bed(bed, (bed.low + bed.high) / 2), line):
        yield Shape("stone", (rectangle(low, bed.low, high, bed.high),), "stones")


def _wood(held: CastingAsPlaced, piece: PlacedPiece) -> Iterator[Shape]:
    if piece.thickness is None:
        return
    lower, upper = piece.spans(0.0, 0.0), piece.spans(0.0, 1.0)
    top = piece.thickness
    if len(lower) == len(upper):
        for (a, b), (c, d) in zip(lower, upper, strict=True):
            yield Shape("wood", (((a, 0.0), (b, 0.0), (d, top), (c, top)),), "along", "grain")
    else:
        for spans, low, high in ((lower, 0.0, top / 2), (upper, top / 2, top)):
            for start, end in spans:
                yield Shape("wood", (rectangle(start, low, end, high),), "along", "grain")
    for hole in piece.holes:
        for start, end in spans_at(hole, 0.0):
            low = 0.0
            for lift in held.lifts:
                layer: Layer = "resin" if lift.poured else "planned"
                yield Shape(layer, (rectangle(start, low, end, min(top, lift.high)),))
                low = min(top, lift.high)


def _cut_away(held: CastingAsPlaced, width: float) -> Iterator[Shape]:
    """What the face passes and the trim lines across take off."""
    faces = held.faces()
    if faces is None or held.top is None:
        return
    near, far = (0.0, width) if held.finished is None else (held.finished[1], held.finished[3])
    if not held.planes() and held.finished is None:
        return
    whole = rectangle(0.0, 0.0, width, held.top)
    yield Shape("cut", (whole, rectangle(near, faces[0], far, faces[1])), removed=True)


def _planes(held: CastingAsPlaced, width: float) -> Iterator[Stroke]:
    """Planes that lie within what is cut away: those of the passes before the last."""
    faces = held.faces()
    for _cut, height in held.planes():
        if faces is None or height not in faces:
            yield Stroke("cut", ((0.0, height), (width, height)), high=0.0)


def _trims(held: CastingAsPlaced, line: Line) -> Iterator[Stroke]:
    """Where trim lines cross the section, other than at the edge of the finished part."""
    top = held.top
    for cut in held.held.cuts if top is not None else ():
        trim = trim_line(cut)
        at = None if trim is None else crossing(line, trim)
        if at is None or top is None or (held.width is not None and not 0 <= at <= held.width):
            continue
        if held.finished is None or min(abs(at - edge) for edge in held.finished[1::2]) > 1e-9:
            low = max(0.0, top - cut.depth.value) if cut.depth else 0.0
            yield Stroke("cut", ((at, low), (at, top)), wide=0.5)


def trim_line(cut: Cut) -> Line | None:
    """The line of a cut in the casting, None where it is none or not known."""
    if cut.kind != "trim line":
        return None
    if cut.from_ is not None and cut.to is not None:
        return (cut.from_.x, cut.from_.y), (cut.to.x, cut.to.y)
    if (cut.x is None) == (cut.y is None):
        return None
    if cut.x is not None:
        return (cut.x.value, 0.0), (cut.x.value, 1.0)
    return ((0.0, cut.y.value), (1.0, cut.y.value)) if cut.y is not None else None


def _lights(held: CastingAsPlaced) -> Iterator[tuple[LightPlace, Shape]]:
    """Each strip edge on, against its edge on the resin's side."""
    for run in held.lights:
        piece = next((piece for piece in held.pieces if piece.id == run.piece), None)
        if run.height is None or piece is None:
            continue
        half = (run.width or STRIP) / 2
        for y in light_ys(run.path, 0.0):
            spans = _widest(piece.spans(0.0, piece.share_at(run.height)))
            outward = -1.0 if spans and abs(y - spans[0][0]) < abs(y - spans[0][1]) else 1.0
            low, high = sorted((y, y + outward * SLENDER))
            ring = rectangle(low, max(0.0, run.height - half), high, run.height + half)
            yield run, Shape("light", (ring,), least=(1.0, 0.5))


def _marks(
    held: CastingAsPlaced, lights: tuple[tuple[LightPlace, Shape], ...], units: Units
) -> tuple[Mark, ...]:
    marks = []
    top, now = held.top, held.now
    if now is not None:
        marks.append(Mark(now, f"{bare(now, units)} now", "resin", 6))
    for lift in held.lifts:
        if lift.high == top:
            marks.append(Mark(lift.high, f"{bare(lift.high, units)} top", "ink", 5))
        elif lift.high != now:
            marks.append(Mark(lift.high, f"{bare(lift.high, units)} {lift.id}", "old", 2))
    if not held.lifts and top is not None:
        marks.append(Mark(top, f"{bare(top, units)} top", "ink", 5))
    planes = held.planes()
    upper = [height for cut, height in planes if cut.face == "upper"]
    lower = [height for cut, height in planes if cut.face == "lower"]
    if upper:
        marks.append(Mark(min(upper), f"{bare(min(upper), units)} last cut", "cut", 4))
    if lower:
        marks.append(Mark(max(lower), f"{bare(max(lower), units)} cut", "cut", 3))
    marks += [
        Mark(bed.high, f"{bare(bed.high, units)} {bed.id}", "stone", 3)
        for bed in held.beds
        if bed.high is not None
    ]
    heights = sorted({run.height for run, _shape in lights if run.height is not None})
    if heights:
        shown = "–".join(dict.fromkeys(bare(height, units) for height in (heights[0], heights[-1])))
        marks.append(Mark(sum(heights) / len(heights), f"{shown} lights", "light", 4))
    return tuple(sorted(marks, key=lambda mark: -mark.height))


def _legend(held: CastingAsPlaced, lights: tuple[tuple[LightPlace, Shape], ...]) -> tuple[Key, ...]:
    keys = [Key("wood", "wood")] if held.pieces else []
    poured = [lift for lift in held.lifts if lift.poured]
    if poured:
        keys.append(Key("resin", poured[-1].id))
    if len(poured) > 1:
        keys.append(Key("old", listed([lift.id for lift in poured[:-1]])))
    planned = [lift.id for lift in held.lifts if not lift.poured]
    if planned:
        keys.append(Key("planned", f"{listed(planned)}, planned"))
    keys += [Key("stone", bed.id) for bed in held.beds]
    if lights:
        keys.append(Key("light", "light"))
    if held.planes():
        keys.append(Key("wood-off", "cut away"))
    return tuple(keys)


# In words


def _outside(
    held: CastingAsPlaced, file: ProjectFile, at: float | None, line: Line | None
) -> tuple[str, ...]:
    if line is None or at is None:
        return (f"No section of {held.id}: its length is not known.", *held.unknown)
    return (f"This line does not run through the form of {held.id}.", *held.unknown)


def _words(held: CastingAsPlaced, where: str, file: ProjectFile) -> tuple[str, ...]:
    units = file.units
    words = [f"Section of {held.id} {where}."]
    if held.width is None:
        words.append("The inner width of the form is not known.")
    if not held.lifts:
        words.append(f"No lift of {held.id} is planned yet.")
    for lift in held.lifts:
        how = "poured" if lift.poured else "planned"
        words.append(f"Lift {lift.id}, {how}: {ranged(lift.low, lift.high, units)}.")
    words += [sentence for piece in held.pieces for sentence in _piece_words(piece, units)]
    if held.width is not None and held.pieces:
        free = free_spans(held.pieces, 0.0, held.width, None)
        gaps = [
            f"{taped(high - low, units)} from {taped(low, units)}" for low, high in free if high - low > THIN
        ]
        words.append(f"Resin across: {listed(gaps)}." if gaps else "No room for resin here.")
    for bed in held.beds:
        if bed.low is not None and bed.high is not None:
            words.append(f"Bed {bed.id}: {ranged(bed.low, bed.high, units)}.")
        else:
            words.append(f"Between which heights the bed {bed.id} lies is not known.")
    for run in held.lights:
        if run.height is None:
            words.append(f"How high the light run {run.id} lies is not known.")
        elif run.path:
            here = light_ys(run.path, 0.0)
            where = f"{taped(here[0], units)} across" if here else "not in this section"
            words.append(f"Light run {run.id}: {said(run.height, units)} high, {where}.")
    words += _cut_words(held, units)
    return (*words, *held.unknown)


def _piece_words(piece: PlacedPiece, units: Units) -> Iterator[str]:
    if piece.thickness is None:
        yield f"The thickness of {piece.id} is not known."
        return
    lower, upper = piece.spans(0.0, 0.0), piece.spans(0.0, 1.0)
    if not upper and not lower:
        yield f"{piece.id} is not in this section."
        return
    faces = [
        f"{listed([ranged(round(low, 3), round(high, 3), units) for low, high in spans])} at its {face} face"
        for face, spans in (("upper", upper), ("lower", lower))
        if spans and (face == "upper" or spans != upper)
    ]
    yield f"{piece.id}, {said(piece.thickness, units)} thick: {', '.join(faces)}."


def _cut_words(held: CastingAsPlaced, units: Units) -> Iterator[str]:
    for cut, height in held.planes():
        yield f"Cut {cut.id}: leaves the {cut.face} face at {said(height, units)}."
    faces = held.faces()
    if faces is None:
        return
    if held.planes():
        yield f"{said(faces[1] - faces[0], units)} are left between the last cuts."
        size = held.held.thickness
        if size is not None and abs(size.value - (faces[1] - faces[0])) > 5e-5:
            yield f"The finished thickness is to be {said(size.value, units)}."
    yield from cover_words(held, units)


def cover_words(held: CastingAsPlaced, units: Units) -> Iterator[str]:
    """The least height between what is buried and the last cuts, as drawn, with no play of the tools."""
    faces = held.faces()
    if faces is None or not held.planes():
        return
    buried = [(f"bed {bed.id}", bed.low, bed.high) for bed in held.beds]
    for run in held.lights:
        if run.height is not None:
            half = (run.width or 0.0) / 2
            buried.append((f"light run {run.id}", run.height - half, run.height + half))
    above = [(faces[1] - high, name) for name, _low, high in buried if high is not None]
    below = [(low - faces[0], name) for name, low, _high in buried if low is not None]
    for found, face in ((above, "upper"), (below, "lower")):
        if found:
            cover, name = min(found)
            if cover >= 0:
                yield f"Cover under the {face} face, as drawn: {said(cover, units)} over {name}."
            else:
                yield f"The cut of the {face} face runs {said(-cover, units)} into {name}."
