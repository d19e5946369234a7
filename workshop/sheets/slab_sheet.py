"""A slab on paper as it is sawn: both faces, its tape, saw lines with their offsets, pieces and offcuts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shapely import LineString

from workshop.layout.placed import SawnShape, as_sawn, extent
from workshop.layout.room import polygon
from workshop.layout.sawing import MarkedSaw, Offcut, marked_saws, sawn
from workshop.layout.slab_shape import SlabShape, slab_shape
from workshop.pictures.picture import said
from workshop.project.model import ProjectFile
from workshop.quantity import AREA, Units, show
from workshop.sheets.casting_plan import GRAIN
from workshop.sheets.dimension import level, merged, running_along, running_up, tape_text
from workshop.sheets.hatch import outlines_of, ruled
from workshop.sheets.ink import NORMAL, SMALL, Disc, Group, Ink, Path, Sheet, Words, cut_to, line, width_of
from workshop.sheets.notes import noted
from workshop.sheets.paper import Paper, View, view_in
from workshop.sheets.piece_label import piece_label
from workshop.sheets.title_block import MARGIN, STRIP, Key, legend, legend_height

SIDE: Final = 42.0
ABOVE: Final = 30.0
BELOW: Final = 40.0
"""mm round a slab for its dimensions and its title."""
PART: Final = 0.56
"""The part of a sheet's height that the slab takes; its table and legend take the rest."""


def pieces_of_slab(file: ProjectFile, slab: str) -> tuple[dict[str, SawnShape], tuple[str, ...]]:
    """The pieces that can be drawn in their slab, and a sentence for each that cannot."""
    made: dict[str, SawnShape] = {}
    words: list[str] = []
    names = [name for name, piece in file.piece.items() if piece.slab == slab]
    for name in names:
        piece = file.piece[name]
        if piece.length is not None or piece.width is not None:
            words.append(f"{name} has measures of its own: where it is sawn out of {slab} is not known.")
            continue
        try:
            made[name] = whole_piece(file, name)
        except ValueError as error:
            words.append(str(error))
    return made, tuple(words)


def whole_piece(file: ProjectFile, name: str) -> SawnShape:
    """A piece as sawn, where it is known which part of its slab it is; raises ValueError where it is not."""
    piece = file.piece[name]
    held = as_sawn(file, name)
    own = piece.length is not None or piece.width is not None
    shared = sum(other.slab == piece.slab for other in file.piece.values()) > 1
    if not own and piece.mark is None and (shared or not held.marked):
        raise ValueError(f"Which part of {piece.slab} is {name} is not known: it needs a mark.")
    if min(len(held.pair.outline(0.0)), len(held.pair.outline(1.0))) < 3:
        raise ValueError(f"The saw lines leave nothing round the mark of {name}.")
    return held


def slab_sheet(file: ProjectFile, name: str, paper: Paper) -> tuple[Sheet, tuple[str, ...]]:
    """A slab's sheet, and the notes that found no room on it."""
    title = f"Slab {name}"
    zone = (MARGIN, paper.height - MARGIN - STRIP, paper.width - MARGIN, MARGIN)
    try:
        shape = slab_shape(name, file.slab[name])
    except ValueError as error:
        parts, rest = noted(("Not drawn, because not known:", str(error)), zone)
        return Sheet(title, None, parts), rest
    return _drawn(file, shape, zone)


def _drawn(
    file: ProjectFile, shape: SlabShape, zone: tuple[float, float, float, float]
) -> tuple[Sheet, tuple[str, ...]]:
    name, units = shape.name, file.units
    title = f"Slab {name}"
    whole = _extent(shape)
    split = zone[3] + PART * (zone[1] - zone[3])
    view = view_in(whole, (zone[0] + SIDE, split - BELOW, zone[2] - SIDE, zone[3] + ABOVE))
    if view is None:
        words = f"{name} is too large for any standard scale on this paper: check its measures."
        parts, rest = noted((words,), zone)
        return Sheet(title, None, parts), rest
    held, words_ = pieces_of_slab(file, name)
    saws = marked_saws(file, name)
    sawn_up = sawn(file, name)
    keys = [Key("upper face", "thick"), Key("tape, from its zero", "chain")]
    drawn: list[Ink] = [*_faces(shape, view, keys)]
    for piece in held:
        drawn += _piece(piece, held[piece], view)
    if held:
        keys.append(Key("piece, with its grain", "thin", "white", "grain"))
    if saws:
        keys.append(Key("saw line", "saw"))
        for offcut in sawn_up.offcuts:
            drawn += _offcut(offcut, view)
        if sawn_up.offcuts:
            keys.append(Key("offcut", "fine", "white", "slant"))
    drawn += _lower(shape, held, view)
    drawn += _tape(view, whole)
    drawn += _saws(saws, view)
    drawn += _labels(held, view)
    for offcut in sawn_up.offcuts if saws else ():
        drawn += _balloon(offcut, view)
    drawn += _lengths(shape, saws, view, whole, units)
    head = f"SLAB {name} from above, along its tape (1:{view.over})"
    data = (("view", "slab"), ("slab", name), ("over", str(view.over)))
    parts = (Words(zone[0] + 1, zone[3] + 5, cut_to(head, NORMAL, 300), NORMAL, bold=True), *drawn)
    under, rest = _under(
        file, shape, saws, sawn_up.offcuts, held, words_, keys, (zone[0], zone[1], zone[2], split)
    )
    return Sheet(title, view.over, (Group(parts, data), *under)), rest


def _extent(shape: SlabShape) -> tuple[float, float, float, float]:
    boxes = [extent(shape.pair.lower), extent(shape.pair.upper)]
    return (
        min(0.0, *(held[0] for held in boxes)),
        min(0.0, *(held[1] for held in boxes)),
        max(held[2] for held in boxes),
        max(0.0, *(held[3] for held in boxes)),
    )


def _faces(shape: SlabShape, view: View, keys: list[Key]) -> Iterator[Ink]:
    data = (("kind", "slab"), ("slab", shape.name), ("face", "upper"))
    yield Path((view.ring(shape.pair.upper),), "thick", True, "white", data)
    if shape.both_faces:
        keys.append(Key("lower face", "hidden"))
    for hole in shape.pair.holes:
        yield Path((view.ring(hole),), "thin", True, "grey", (("kind", "hole-in-wood"),))
    if shape.pair.holes:
        keys.append(Key("hole through the wood", "thin", "grey", "blank"))


def _lower(shape: SlabShape, held: dict[str, SawnShape], view: View) -> Iterator[Ink]:
    if not shape.both_faces:
        return
    data = (("kind", "slab"), ("slab", shape.name), ("face", "lower"))
    yield Path((view.ring(shape.pair.lower),), "hidden", True, data=data)
    for name, piece in held.items():
        ring = view.ring(piece.pair.outline(0.0))
        yield Path((ring,), "none", True, data=(("kind", "piece"), ("piece", name), ("face", "lower")))


def _piece(name: str, held: SawnShape, view: View) -> Iterator[Ink]:
    ring = view.ring(held.pair.outline(1.0))
    yield Path((ring,), "thin", True, data=(("kind", "piece"), ("piece", name), ("face", "upper")))
    wood = polygon(ring)
    for hole in held.pair.holes:
        wood = wood.difference(polygon(view.ring(hole)))
    yield ruled(wood, GRAIN, held.grain)


def _offcut(offcut: Offcut, view: View) -> Iterator[Ink]:
    region = polygon(view.ring(offcut.ring))
    for hole in offcut.holes:
        region = region.difference(polygon(view.ring(hole)))
    data = (("kind", "offcut"), ("offcut", str(offcut.number)))
    yield Path(outlines_of(region), "fine", True, data=data)
    yield ruled(region, 2.2, 0.785)


def _balloon(offcut: Offcut, view: View) -> Iterator[Ink]:
    x, y = view.at(offcut.mark)
    yield Disc(x, y, 2.3, "thin", "white", (("label", "offcut"),))
    yield Words(x, y + 1, f"{offcut.number}", SMALL, "middle", bold=True)


def _tape(view: View, whole: tuple[float, float, float, float]) -> Iterator[Ink]:
    start, end = view.at((0.0, 0.0)), view.at((whole[2], 0.0))
    yield line((start[0] - 4, start[1]), (end[0] + 4, end[1]), pen="chain", kind="tape")
    yield line((start[0], start[1] - 2), (start[0], start[1] + 2), pen="thick")


def _saws(saws: tuple[MarkedSaw, ...], view: View) -> Iterator[Ink]:
    for saw in saws:
        one, two = (view.at((end.along, end.off)) for end in saw.ends)
        length = ((two[0] - one[0]) ** 2 + (two[1] - one[1]) ** 2) ** 0.5 or 1.0
        dx, dy = (two[0] - one[0]) / length * 2.5, (two[1] - one[1]) / length * 2.5
        data = (("kind", "saw-line"), ("saw-line", saw.id), *((("piece", saw.of),) if saw.of else ()))
        yield Path(((one, two),), "saw", data=data)
        ends = (((one[0] - dx, one[1] - dy), one), (two, (two[0] + dx, two[1] + dy)))
        yield Path(ends, "saw")


def _labels(held: dict[str, SawnShape], view: View) -> Iterator[Ink]:
    tape = LineString(view.ring(((-1e3, 0.0), (1e3, 0.0)))).buffer(1.0)
    for name, piece in held.items():
        wood = polygon(view.ring(piece.pair.outline(1.0))).difference(tape)
        for hole in piece.pair.holes:
            wood = wood.difference(polygon(view.ring(hole)))
        yield from piece_label(wood, name, piece.grain)


def _lengths(
    shape: SlabShape,
    saws: tuple[MarkedSaw, ...],
    view: View,
    whole: tuple[float, float, float, float],
    units: Units,
) -> Iterator[Ink]:
    """Both ends of every saw line: lines across by their place along the tape, others by how far off it."""
    top, bottom = view.down(whole[3]), view.down(whole[1])
    left, right = view.across(whole[0]), view.across(whole[2])
    sides: dict[str, list[tuple[float, str, float, str]]] = {"top": [], "bottom": [], "left": [], "right": []}
    for saw in saws:
        one, two = saw.ends
        if abs(one.along - two.along) < abs(one.off - two.off):
            low, high = sorted(saw.ends, key=lambda end: end.off)
            for side, end in (("bottom", low), ("top", high)):
                at = view.at((end.along, end.off))
                sides[side].append((at[0], tape_text(end.along, units), at[1], saw.id))
        else:
            low, high = sorted(saw.ends, key=lambda end: end.along)
            for side, end in (("left", low), ("right", high)):
                at = view.at((end.along, end.off))
                sides[side].append((at[1], _off(end.off, units), at[0], saw.id))
    zero = view.at((0.0, 0.0))
    if sides["top"]:
        yield running_along(merged(sides["top"]), top - 6, zero[0], (("measures", "along-the-tape"),))
    if sides["bottom"]:
        yield running_along(merged(sides["bottom"]), bottom + 5, zero[0], (("measures", "along-the-tape"),))
    for side, x in (("left", left - 8), ("right", right + 8)):
        if sides[side]:
            yield running_up(merged(sides[side]), x, zero[1], (("measures", "off-the-tape"),))
    ends = (view.across(extent(shape.pair.upper)[0]), right)
    length = whole[2] - extent(shape.pair.upper)[0]
    widest = max((width_of(f"{text} {name}", SMALL) for _, text, _, name in sides["bottom"]), default=0.0)
    down = bottom + (12 + widest if sides["bottom"] else 10)
    yield level(*ends, down, tape_text(length, units), (bottom, bottom), (("measures", "slab-length"),))


def _off(value: float, units: Units) -> str:
    side = "left" if value > 0 else "right"
    return f"{tape_text(abs(value), units)} {side}" if abs(value) > 5e-5 else "0"


def _under(
    file: ProjectFile,
    shape: SlabShape,
    saws: tuple[MarkedSaw, ...],
    offcuts: tuple[Offcut, ...],
    held: dict[str, SawnShape],
    words: tuple[str, ...],
    keys: list[Key],
    zone: tuple[float, float, float, float],
) -> tuple[tuple[Ink, ...], tuple[str, ...]]:
    """The table of saw lines, the legend and the notes below a slab."""
    units = file.units
    middle = zone[0] + 0.56 * (zone[2] - zone[0])
    parts: list[Ink] = [
        Words(zone[0] + 1, zone[3] + 5, "SAW LINES, in the order to saw them", NORMAL, bold=True)
    ]
    columns = (0.0, 16.0, 50.0, 118.0, 186.0)
    top = zone[3] + 11
    heads = ("line", "for", "one end, on the tape", "other end, on the tape", "length")
    rows: list[tuple[str, ...]] = [heads]
    for saw in saws:
        ends = [f"at {tape_text(end.along, units)}, {_off(end.off, units)}" for end in saw.ends]
        rows.append((saw.id, saw.of or "all", *ends, tape_text(saw.length, units)))
    left_over: list[str] = []
    room = int((zone[1] - 3 - top) / 4.6)
    for number, row in enumerate(rows[:room]):
        for at, text in zip(columns, row, strict=True):
            y = top + 4.6 * number
            parts.append(Words(zone[0] + 1 + at, y, cut_to(text, SMALL, 66), SMALL, bold=number == 0))
    for row in rows[room:]:
        left_over.append(f"Saw line {', '.join(row)}.")
    if not saws:
        parts.append(Words(zone[0] + 1, top + 4.6, "No saw line is given yet.", SMALL))
    parts.append(Words(middle, zone[3] + 5, "LEGEND", NORMAL, bold=True))
    parts.append(legend(keys, middle, zone[3] + 11, 2, (zone[2] - middle) / 2))
    down = zone[3] + 11 + legend_height(keys, 2)
    lines = []
    if shape.thickness is not None:
        lines.append(f"{said(shape.thickness, units)} thick.")
    if not shape.both_faces:
        lines.append("The lower face is not measured: it is taken to be like the upper.")
    for offcut in offcuts if saws else ():
        lines.append(f"Offcut {offcut.number}: {show(offcut.area, AREA, units)}.")
    if not held and not words:
        lines.append("No piece is sawn out of it yet.")
    if words:
        lines += ["Not drawn, because not known:", *words]
    noted_, rest = noted(lines, (middle, zone[1], zone[2], down))
    return (*parts, *noted_), (*left_over, *rest)
