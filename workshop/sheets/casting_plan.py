"""The plan of a casting on paper: form, pieces with both faces, cuts, beds, light runs, holes, dimensions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece, extent
from workshop.layout.room import at_share, polygon, room_of
from workshop.layout.troubles import rings
from workshop.pictures.section_view import trim_line
from workshop.project.model import ProjectFile
from workshop.sheets.hatch import line_of, on_paper, outlines_of, ruled, stones
from workshop.sheets.ink import NORMAL, Disc, Group, Ink, Path, Words, line
from workshop.sheets.paper import View, view_in
from workshop.sheets.piece_label import piece_label
from workshop.sheets.plan_dimensions import plan_dimensions
from workshop.sheets.title_block import Key, cross
from workshop.trade.face_pair import Ring

LEFT: Final = 22.0
RIGHT: Final = 36.0
ABOVE: Final = 29.0
BELOW: Final = 21.0
"""mm round a plan for its dimensions and its title."""
GRAIN: Final = 2.4
STONE: Final = 2.6
WALL: Final = 2.0
"""mm between the lines of a hatching."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Plan:
    """A drawn plan with its scale and what its legend needs."""

    parts: tuple[Ink, ...]
    over: int
    keys: tuple[Key, ...]


def plan_box(held: CastingAsPlaced) -> Box | None:
    """What a plan shows, m: the form with its walls and what sticks out of it; None while no size is known.

    What sticks out is shown up to half the form's size more on each side.
    """
    inside = form_size(held)
    if inside is None:
        return None
    length, width = inside
    board = held.board or 0.0 if held.length is not None and held.width is not None else 0.0
    left, bottom, right, top = -board, -board, length + board, width + board
    for piece in held.pieces:
        one, two, three, four = piece.extent
        left, bottom = min(left, max(one, -length / 2)), min(bottom, max(two, -width / 2))
        right, top = max(right, min(three, 1.5 * length)), max(top, min(four, 1.5 * width))
    return left, bottom, right, top


def form_size(held: CastingAsPlaced) -> tuple[float, float] | None:
    """Inner length and width of the form; the finished size where no more is known."""
    if held.length is not None and held.width is not None:
        return held.length, held.width
    if held.held.length is not None and held.held.width is not None:
        return held.held.length.value, held.held.width.value
    return None


def plan_scale(held: CastingAsPlaced, zone: Box) -> int | None:
    """At what a plan in a zone of the paper would be divided."""
    view = _view(held, zone)
    return None if view is None else view.over


def drawn_plan(file: ProjectFile, held: CastingAsPlaced, zone: Box, section: float | None) -> Plan | None:
    """A casting's plan in a zone of the paper, the place of its section marked; None where it cannot be."""
    view, whole, inside = _view(held, zone), plan_box(held), form_size(held)
    if view is None or whole is None or inside is None:
        return None
    units, known = file.units, held.length is not None and held.width is not None
    keys: list[Key] = []
    parts: list[Ink] = [*_form(held, view, inside, keys)]
    parts += _beds(held, view, whole, keys)
    for piece in held.pieces:
        parts += _piece(piece, view, whole)
    if held.pieces:
        keys.append(Key("wood, upper face", "thick", "white", "grain"))
        if any(piece.lower is not None for piece in held.pieces):
            keys.append(Key("lower face", "hidden"))
    parts += _trims(held, view, inside, keys)
    for run in held.lights:
        if len(run.path) > 1:
            named = (("kind", "light-run"), ("light-run", run.id))
            parts.append(Path((view.ring(run.path),), "light", data=named))
    if any(len(run.path) > 1 for run in held.lights):
        keys.append(Key("light run", "light"))
    drilled = tuple(_drilled(file, held, view, whole))
    parts += drilled
    if drilled:
        keys.append(Key("hole or screw", sign="cross"))
    if section is not None:
        parts += _section_line(view, section, inside[1], held.board or 0.0)
        keys.append(Key("section A–A", "chain"))
    parts += _labels(held, view, whole)
    parts += plan_dimensions(held, view, inside, units)
    title = "PLAN from above, as cast" if known else "PLAN, finished size: the form is not known"
    data = (("view", "plan"), ("casting", held.id), ("over", str(view.over)))
    head = Words(zone[0] + 1, zone[3] + 5, f"{title} (1:{view.over})", NORMAL, bold=True)
    return Plan((Group((head, *parts), data),), view.over, tuple(keys))


def _view(held: CastingAsPlaced, zone: Box) -> View | None:
    whole = plan_box(held)
    if whole is None:
        return None
    return view_in(whole, (zone[0] + LEFT, zone[1] - BELOW, zone[2] - RIGHT, zone[3] + ABOVE))


def _form(held: CastingAsPlaced, view: View, inside: tuple[float, float], keys: list[Key]) -> Iterator[Ink]:
    length, width = inside
    hollow = view.ring(((0.0, 0.0), (length, 0.0), (length, width), (0.0, width)))
    if held.length is None or held.width is None:
        yield Path((hollow,), "chain", True, data=(("kind", "finished"), ("casting", held.id)))
        keys.append(Key("finished size", "chain"))
        return
    board = held.board or 0.0
    if board:
        outer = view.ring(
            (
                (-board, -board),
                (length + board, -board),
                (length + board, width + board),
                (-board, width + board),
            )
        )
        yield Path((outer, hollow), "thin", True, "white", (("kind", "wall"),))
        yield ruled(polygon(outer).difference(polygon(hollow)), WALL, -0.785)
        keys.append(Key("form board", "thin", "white", "end"))
    yield Path((hollow,), "thick", True, "pale", (("kind", "form"), ("casting", held.id)))
    keys.append(Key("resin", "none", "pale"))


def _beds(held: CastingAsPlaced, view: View, whole: Box, keys: list[Key]) -> Iterator[Ink]:
    room = room_of(held)
    for bed in held.beds:
        if room is not None:
            height = 0.0 if bed.low is None else (bed.low + (bed.high or bed.low)) / 2
            region = room.bed(bed, height)
        elif bed.points is not None:
            region = polygon(bed.points).intersection(shapely.box(*whole))
        else:
            continue
        for part in shapely.get_parts(on_paper(region, view)):
            if part.geom_type == "Polygon" and not part.is_empty:
                yield Path(outlines_of(part), "dotted", True, "none", (("kind", "bed"), ("bed", bed.id)))
                yield from stones(part, STONE)
                yield from _bed_label(part, bed.id)
    if held.beds:
        keys.append(Key("bed of stone or glass", "dotted", "white", "stones"))


def _bed_label(part: BaseGeometry, name: str) -> Iterator[Ink]:
    left, top, right, bottom = part.bounds
    x = left + 0.18 * (right - left)
    across = part.intersection(LineString([(x, top - 1), (x, bottom + 1)]))
    runs = [run for run in shapely.get_parts(across) if run.length > 4]
    if runs:
        middle = max(runs, key=lambda run: float(run.length)).centroid
        yield Words(middle.x, middle.y + 1.2, name, NORMAL, "middle", 0.0, True, True, (("label", name),))


def _piece(piece: PlacedPiece, view: View, whole: Box) -> Iterator[Ink]:
    frame = shapely.box(*whole)
    upper = _shown(piece.upper, frame)
    holes = tuple(view.ring(hole) for hole in piece.holes)
    for ring in upper:
        yield Path((view.ring(ring),), "thick", True, "white", _data(piece, "upper"))
        wood = polygon(view.ring(ring))
        for hole in holes:
            wood = wood.difference(polygon(hole))
        yield ruled(wood, GRAIN, piece.grain)
    for hole in holes:
        yield Path((hole,), "thin", True, "pale", (("kind", "hole-in-wood"), ("piece", piece.id)))
    if piece.lower is not None:
        for ring in _shown(piece.lower, frame):
            yield Path((view.ring(ring),), "hidden", True, data=_data(piece, "lower"))


def _data(piece: PlacedPiece, face: str) -> tuple[tuple[str, str], ...]:
    return ("kind", "piece"), ("piece", piece.id), ("face", face)


def _shown(ring: Ring, frame: BaseGeometry) -> tuple[Ring, ...]:
    left, bottom, right, top = frame.bounds
    one, two, three, four = extent(ring)
    if one >= left - 1e-9 and two >= bottom - 1e-9 and three <= right + 1e-9 and four <= top + 1e-9:
        return (ring,)
    return rings(polygon(ring).intersection(frame))


def _trims(held: CastingAsPlaced, view: View, inside: tuple[float, float], keys: list[Key]) -> Iterator[Ink]:
    """The trim lines that the file gives, and those that follow from the form's trim."""
    form = shapely.box(0.0, 0.0, *inside)
    length, width = inside
    runs: list[tuple[str, LineString]] = []
    xs, ys = set(), set()
    for cut in held.held.cuts:
        run = trim_line(cut)
        if run is None:
            continue
        if cut.from_ is not None:
            runs.append((cut.id, LineString(run)))
        elif cut.x is not None:
            xs.add(cut.x.value)
            runs.append((cut.id, LineString([(cut.x.value, 0.0), (cut.x.value, width)])))
        elif cut.y is not None:
            ys.add(cut.y.value)
            runs.append((cut.id, LineString([(0.0, cut.y.value), (length, cut.y.value)])))
    if held.finished is not None and held.length is not None:
        left, near, right, far = held.finished
        for x in {left, right} - xs - {0.0, length}:
            runs.append(("", LineString([(x, 0.0), (x, width)])))
        for y in {near, far} - ys - {0.0, width}:
            runs.append(("", LineString([(0.0, y), (length, y)])))
    found = False
    for name, whole in runs:
        for part in shapely.get_parts(whole.intersection(form)):
            if part.geom_type == "LineString" and part.length > 0:
                found = True
                data = (("kind", "trim-line"), *((("cut", name),) if name else ()))
                yield Path((view.ring(line_of(part)),), "trim", data=data)
    if found:
        keys.append(Key("trim line, cut plane", "trim"))


def _drilled(file: ProjectFile, held: CastingAsPlaced, view: View, whole: Box) -> Iterator[Ink]:
    rows: list[tuple[str, str, float, float, float]] = [
        ("cable-hole", name, hole.x, hole.y, hole.diameter) for name, hole in held.holes
    ]
    for cut in held.held.cuts:
        if cut.kind in ("hole", "screw") and cut.at is not None:
            size = cut.diameter.value if cut.diameter else 0.0
            rows.append((cut.kind, cut.id, cut.at.x, cut.at.y, size))
    for name, fixing in file.fixing.items():
        if fixing.casting == held.id:
            size = fixing.diameter.value if fixing.diameter else 0.0
            rows += [("fixing", name, place.x, place.y, size) for place in fixing.places]
    for kind, name, x, y, size in rows:
        if not (whole[0] <= x <= whole[2] and whole[1] <= y <= whole[3]):
            continue
        radius = view.size(size / 2)
        px, py = view.at((x, y))
        parts = tuple(cross(px, py, radius + 1.4))
        if radius > 0:
            parts = (Disc(px, py, radius, "thin", "white"), *parts)
        yield Group(tuple(parts), (("kind", kind), ("name", name), ("x", f"{px:.3f}"), ("y", f"{py:.3f}")))


def _section_line(view: View, x: float, width: float, board: float) -> Iterator[Ink]:
    px = view.across(x)
    top, bottom = view.down(width + board) - 4, view.down(-board) + 4
    yield line((px, top), (px, bottom), pen="chain", kind="section-line")
    yield line((px, top), (px, top + 3), pen="thick")
    yield line((px, bottom), (px, bottom - 3), pen="thick")
    yield Words(px + 1, top + 2, "A", NORMAL, bold=True, halo=True)
    yield Words(px + 1, bottom, "A", NORMAL, bold=True, halo=True)


def _labels(held: CastingAsPlaced, view: View, whole: Box) -> Iterator[Ink]:
    frame = shapely.box(*whole)
    for piece in held.pieces:
        wood = on_paper(at_share(piece, 1.0).intersection(frame), view)
        yield from piece_label(wood, piece.id, piece.grain)
