"""The section of a casting on paper: form, wood, lifts, beds, lights, cut planes, heights from the floor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece, free_spans, spans_at
from workshop.layout.room import polygon, room_of
from workshop.layout.section_line import across_at, turned_to
from workshop.pictures.picture import said
from workshop.pictures.plan_view import THIN, light_ys
from workshop.project.model import ProjectFile
from workshop.quantity import LENGTH, Units, show
from workshop.sheets.dimension import level, merged, running_up, tape_text
from workshop.sheets.hatch import ruled, stones
from workshop.sheets.ink import NORMAL, SMALL, Group, Ink, Path, Words, cut_to, line, width_of
from workshop.sheets.paper import View, view_in
from workshop.sheets.title_block import Key
from workshop.trade.face_pair import Line, Ring

LEFT: Final = 8.0
RIGHT: Final = 50.0
ABOVE: Final = 14.0
BELOW: Final = 20.0
"""mm round a section for its heights, its widths and its title."""
STRIP: Final = 0.008
"""m: how high a light strip is drawn whose width is not known."""
EDGE: Final = 0.7
"""mm: how thick a strip is drawn, edge on."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Section:
    """A drawn section with what its legend needs."""

    parts: tuple[Ink, ...]
    over: int
    keys: tuple[Key, ...]


def drawn_section(file: ProjectFile, held: CastingAsPlaced, zone: Box, x: float) -> Section | None:
    """The section across a casting at `x` m along it, in a zone of the paper.

    None where the form's width or all heights are unknown, or where no standard scale is small enough.
    """
    across = across_at(held, x)
    seen = turned_to(held, across)
    if seen is None or seen.width is None:
        return None
    heights = (seen.depth, seen.top, seen.held.thickness.value if seen.held.thickness else None)
    depth = max((height for height in heights if height), default=None)
    if depth is None:
        return None
    board = held.board or 0.0
    view = view_in(
        (-board, -board, seen.width + board, depth),
        (zone[0] + LEFT, zone[1] - BELOW, zone[2] - RIGHT, zone[3] + ABOVE),
    )
    if view is None:
        return None
    keys: list[Key] = []
    width = seen.width
    parts: list[Ink] = [*_form(view, width, depth, board)]
    parts += _lifts(seen, view, width, keys)
    parts += _beds(held, view, across)
    for piece in seen.pieces:
        parts += _wood(seen, piece, view)
    if any(piece.thickness for piece in seen.pieces):
        keys.append(Key("wood, cut across", "thick", "white", "slant"))
    parts += _lights(seen, view)
    parts += _planes(seen, view, width, keys)
    for piece in seen.pieces:
        parts += _label(piece, view)
    parts += _heights(seen, view, width + board, file.units)
    parts += _widths(seen, view, width, board, file.units)
    title = f"SECTION A–A, {said(x, file.units)} from the left wall, near side at the left"
    data = (("view", "section"), ("casting", held.id), ("over", str(view.over)))
    head = Words(zone[0] + 1, zone[3] + 5, f"{title} (1:{view.over})", NORMAL, bold=True)
    return Section((Group((head, *parts), data),), view.over, tuple(keys))


def _form(view: View, width: float, depth: float, board: float) -> Iterator[Ink]:
    if board:
        ring = view.ring(
            (
                (-board, depth),
                (-board, -board),
                (width + board, -board),
                (width + board, depth),
                (width, depth),
                (width, 0.0),
                (0.0, 0.0),
                (0.0, depth),
            )
        )
        yield Path((ring,), "thin", True, "white", (("kind", "wall"),))
        yield ruled(polygon(ring), 2.0, -0.785)
    inside = view.ring(((0.0, depth), (0.0, 0.0), (width, 0.0), (width, depth)))
    yield Path((inside,), "thick", data=(("kind", "form-inside"),))


def _lifts(seen: CastingAsPlaced, view: View, width: float, keys: list[Key]) -> Iterator[Ink]:
    for lift in seen.lifts:
        ring = view.ring(((0.0, lift.low), (width, lift.low), (width, lift.high), (0.0, lift.high)))
        data = (("kind", "lift"), ("lift", lift.id))
        yield Path((ring,), "none", True, "pale" if lift.poured else "white", data)
        yield line(*view.ring(((0.0, lift.high), (width, lift.high))), pen="thin", kind="lift-line")
    if any(lift.poured for lift in seen.lifts):
        keys.append(Key("resin", "none", "pale"))
    if any(not lift.poured for lift in seen.lifts):
        keys.append(Key("resin not yet poured", "fine", "white", "blank"))


def _beds(held: CastingAsPlaced, view: View, across: Line) -> Iterator[Ink]:
    room = room_of(held)
    for bed in held.beds:
        if bed.low is None or bed.high is None or room is None:
            continue
        for low, high in room.spans(room.bed(bed, (bed.low + bed.high) / 2), across):
            ring = view.ring(((low, bed.low), (high, bed.low), (high, bed.high), (low, bed.high)))
            data = (("kind", "bed"), ("bed", bed.id))
            yield Path((ring,), "dotted", True, "none", data)
            yield from stones(polygon(ring), 2.4)


def _wood(seen: CastingAsPlaced, piece: PlacedPiece, view: View) -> Iterator[Ink]:
    """The wood between both faces; where a face is parted otherwise than the other, each half of its own."""
    top = piece.thickness
    if not top:
        return
    lower, upper = piece.spans(0.0, 0.0), piece.spans(0.0, 1.0)
    quads: list[Ring] = []
    if len(lower) == len(upper):
        for (a, b), (c, d) in zip(lower, upper, strict=True):
            quads.append(((a, 0.0), (b, 0.0), (d, top), (c, top)))
    else:
        for spans, low, high in ((lower, 0.0, top / 2), (upper, top / 2, top)):
            quads += [((a, low), (b, low), (b, high), (a, high)) for a, b in spans]
    for quad in quads:
        ring = view.ring(quad)
        yield Path((ring,), "thick", True, "white", (("kind", "piece"), ("piece", piece.id)))
        wood = polygon(ring)
        for hole in piece.holes:
            for low, high in spans_at(hole, 0.0):
                cut = view.ring(((low, 0.0), (high, 0.0), (high, top), (low, top)))
                wood = wood.difference(polygon(cut))
                yield Path((cut,), "thin", True, "pale", (("kind", "hole-in-wood"), ("piece", piece.id)))
        yield ruled(wood, 2.2, 0.785)


def _lights(seen: CastingAsPlaced, view: View) -> Iterator[Ink]:
    """Each strip edge on, on the resin's side of the edge that it runs along."""
    for run in seen.lights:
        piece = next((piece for piece in seen.pieces if piece.id == run.piece), None)
        if run.height is None or piece is None:
            continue
        half = (run.width or STRIP) / 2
        for y in light_ys(run.path, 0.0):
            spans = piece.spans(0.0, piece.share_at(run.height))
            own = min(spans, key=lambda span: min(abs(y - span[0]), abs(y - span[1])), default=(y, y + 1))
            way = -EDGE if abs(y - own[0]) < abs(y - own[1]) else EDGE
            x, top, bottom = view.across(y), view.down(run.height + half), view.down(run.height - half)
            ring = ((x, top), (x + way, top), (x + way, bottom), (x, bottom))
            yield Path((ring,), "none", True, "black", (("kind", "light-run"), ("light-run", run.id)))


def _planes(seen: CastingAsPlaced, view: View, width: float, keys: list[Key]) -> Iterator[Ink]:
    for cut, height in seen.planes():
        ends = view.ring(((0.0, height), (width, height)))
        yield line((ends[0][0] - 3, ends[0][1]), ends[1], pen="trim", kind="cut-plane", cut=cut.id)
    top = seen.top
    if seen.finished is not None and top is not None:
        for at in seen.finished[1::2]:
            if 0 < at < width:
                ends = view.ring(((at, 0.0), (at, top)))
                yield line(ends[0], (ends[1][0], ends[1][1] - 2), pen="trim", kind="trim-line")
    if seen.planes():
        keys.append(Key("trim line, cut plane", "trim"))


def _label(piece: PlacedPiece, view: View) -> Iterator[Ink]:
    spans = piece.spans(0.0, 0.5)
    if spans and piece.thickness:
        low, high = max(spans, key=lambda span: span[1] - span[0])
        x, y = view.at(((low + high) / 2, piece.thickness / 2))
        yield Words(x, y + 1.4, piece.id, NORMAL, "middle", bold=True, halo=True)


def _heights(seen: CastingAsPlaced, view: View, right: float, units: Units) -> Iterator[Ink]:
    """Every height that matters, from the form floor."""
    rows: list[tuple[float, str, float, str]] = []
    wall = view.across(right)

    def row(height: float, name: str, start: float = wall) -> None:
        text = show(height, LENGTH, units).removesuffix(" mm")
        rows.append((view.down(height), text, start, name))

    row(0.0, "form floor")
    for lift in seen.lifts:
        row(lift.high, f"lift {lift.id}, poured" if lift.poured else f"lift {lift.id}")
    for cut, height in seen.planes():
        row(height, f"cut {cut.id}")
    if seen.depth is not None:
        row(seen.depth, "form wall")
    for bed in seen.beds:
        if bed.high is not None:
            row(bed.high, f"top of bed {bed.id}")
    for run in seen.lights:
        if run.height is not None:
            row(run.height, f"light run {run.id}")
    if not seen.lifts:
        for piece in seen.pieces:
            if piece.thickness:
                row(piece.thickness, f"top of {piece.id}")
    ticks = [replace(tick, text=cut_to(tick.text, SMALL, RIGHT + 3)) for tick in merged(rows)]
    yield running_up(ticks, wall + 3, view.down(0.0), (("measures", "heights"),))


def _widths(seen: CastingAsPlaced, view: View, width: float, board: float, units: Units) -> Iterator[Ink]:

    foot, near = view.down(-board), view.down(0.0)
    free = free_spans(seen.pieces, 0.0, width, seen.top) if seen.pieces else ()
    shown = False
    for low, high in free:
        text = tape_text(high - low, units)
        if (
            high - low <= THIN
            or view.size(high - low) < width_of(text, SMALL) + 2
            or (low, high) == (0.0, width)
        ):
            continue
        shown = True
        start = view.down(seen.top or 0.0)
        parts = level(view.across(low), view.across(high), foot + 6, text, (near, near))
        yield Group((parts,), (("measures", "resin-at-upper-face"), ("from", f"{start:.3f}")))
    ends = (view.across(0.0), view.across(width))
    yield level(*ends, foot + (12.5 if shown else 6), tape_text(width, units), (near, near))
