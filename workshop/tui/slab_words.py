"""A slab in words and numbers: what it is, what falls off it, where its saw lines are struck. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import degrees

from workshop.layout.placed import as_sawn, extent
from workshop.layout.sawing import MarkedSaw, Sawn, marked_saws, sawn
from workshop.layout.slab_shape import SlabShape, slab_shape
from workshop.pictures.picture import listed, sizes
from workshop.pictures.slab_view import face_extent, sawn_pieces
from workshop.project.model import ProjectFile, SawLine, Slab
from workshop.project.project import Project
from workshop.project.slabs import unmarked
from workshop.quantity import MONEY, PERCENT, Units, show
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point, contains
from workshop.trade.saw_reach import SawReach, saw_reach
from workshop.tui.layout_rows import area_words, flowed, length_words, number_words
from workshop.tui.lines import Line, Role, clipped, line, wrapped
from workshop.tui.rows import Row, TextRow
from workshop.tui.slab_fitting import piece_at

BAR = 24
"""Cells of a progress bar."""


@dataclass(frozen=True)
class PlaceRow(Row):
    """One place where a wanted part fits."""

    title: str = field(kw_only=True)
    where: str = field(kw_only=True)
    role: Role = "strong"

    def lines(self, width: int) -> list[Line]:
        """The wood and the margin, and under it where it lies."""
        return [*wrapped(self.title, width, self.role), *wrapped(self.where, width, "dim", 2)]


@dataclass(frozen=True)
class BarRow(TextRow):
    """How far a search has come."""

    share: float = 0.0

    def lines(self, width: int) -> list[Line]:
        """The bar, its share and what was found."""
        return [clipped(bar_line(self.share, self.text), width)]


def slab_lines(
    project: Project, name: str, in_hand: str, cursor: Point, width: int
) -> tuple[list[Line], list[Line]]:
    """What the slab is and what comes out of it; and its saw lines, each with the places it is struck by."""
    file, units = project.file, project.units
    slab = file.slab[name]
    try:
        shape, held = slab_shape(name, slab), sawn(file, name)
        marked_saws(file, name)
    except ValueError as error:
        said_so = wrapped(str(error), width, "amber")
        more = wrapped("Press b to bring its outline from a file.", width, "dim")
        return [line((f"▸ {name}", "title")), *said_so, *more], []
    pieces = tuple(sawn_pieces(file, name))
    made = [*_head(name, slab, shape, units, width)]
    waiting = unmarked(project, name)
    if waiting:
        words = f"{listed(waiting)} of it {'needs a mark' if len(waiting) == 1 else 'need marks'}: p sets one"
        made += wrapped(f"▲ {words}", width, "amber", 2, 0)
    for text in _troubles(file, name, waiting):
        made += wrapped(f"■ {text}", width, "red", 2, 0)
    if not in_hand:
        made += wrapped(_cursor_words(file, name, shape, held, cursor), width, "text", 2, 0)
    made += _pieces(file, name, held, pieces, width)
    made += _yield(slab, held, units, width)
    return made, [*_saw_lines(file, name, in_hand, width)]


def _head(name: str, slab: Slab, shape: SlabShape, units: Units, width: int) -> Iterator[Line]:
    left, bottom, right, top = face_extent(shape)
    sides = [round(right - left, 3), round(top - bottom, 3)]
    if shape.thickness is not None:
        sides.append(shape.thickness)
    unit = " mm" if units.system == "metric" else ""
    yield from flowed(line((f"▸ {name}", "title"), (f"  {sizes(sides, units)}{unit}", "strong")), width, 2)
    faces = "both faces measured" if shape.both_faces else "upper face only"
    grain = "grain along the tape" if not shape.grain else f"grain {degrees(shape.grain):.0f}° off the tape"
    words = [word for word in (slab.species, faces, grain) if word]
    yield from wrapped(", ".join(words), width, "dim", 2)


def _troubles(file: ProjectFile, name: str, waiting: Sequence[str]) -> Iterator[str]:
    """What is wrong on a slab, a sentence each."""
    slab = file.slab[name]
    shape = slab_shape(name, slab)
    for piece, held in file.piece.items():
        if held.slab != name or piece in waiting:
            continue
        if held.mark is not None and not contains(shape.pair.upper, (held.mark.x, held.mark.y)):
            yield f"The mark of {piece} lies off the wood."
            continue
        try:
            empty = len(as_sawn(file, piece).pair.outline(1.0)) < 3
        except ValueError as error:
            yield str(error)
            continue
        if empty:
            yield f"The saw lines leave nothing round the mark of {piece}."
    struck = {saw.id for saw in marked_saws(file, name)}
    for row in slab.saw_lines:
        if row.id not in struck:
            yield f"Saw line {row.id} does not meet the wood."


def cursor_place(cursor: Point, units: Units) -> str:
    """`750 along, 20 left`."""
    off = f"{number_words(round(abs(cursor[1]), 4), units)} {'left' if cursor[1] > 0 else 'right'}"
    return (
        f"{number_words(round(cursor[0], 4), units)} along, {off if abs(cursor[1]) > 5e-5 else 'on the tape'}"
    )


def _cursor_words(file: ProjectFile, name: str, shape: SlabShape, held: Sawn, cursor: Point) -> str:
    there = piece_at(file, name, cursor)
    if there:
        where = f"in {there}"
    elif not contains(shape.pair.upper, cursor):
        where = "off the wood"
    elif any(contains(hole, cursor) for hole in shape.pair.holes):
        where = "in a hole"
    else:
        found = [offcut.number for offcut in held.offcuts if contains(offcut.ring, cursor)]
        where = f"in left {found[0]}" if found else "in a saw line or on a bevel"
    return f"cursor {cursor_place(cursor, file.units)}: {where}"


def _pieces(
    file: ProjectFile, name: str, held: Sawn, pieces: Sequence[tuple[str, Ring]], width: int
) -> Iterator[Line]:
    units = file.units
    for piece, ring in pieces:
        casting = file.piece[piece].casting
        area = area_words(held.pieces.get(piece, 0.0), units)
        lies = f"  in {casting}" if casting else "  in no casting yet"
        yield from flowed(
            line((piece, "tan"), (f"  {_size(ring, units)}  {area}", "text"), (lies, "dim")), width, 2
        )
    for offcut in held.offcuts:
        area = area_words(offcut.area, units)
        words = f"left {offcut.number}  {_size(offcut.ring, units)}  {area}"
        yield from flowed(line((words, "dim")), width, 2)
    if not held.offcuts and pieces:
        yield line(("nothing worth keeping is left over", "dim"))


def _size(ring: Ring, units: Units) -> str:
    left, bottom, right, top = extent(ring)
    unit = " mm" if units.system == "metric" else ""
    return f"{sizes([round(right - left, 3), round(top - bottom, 3)], units)}{unit}"


def _yield(slab: Slab, held: Sawn, units: Units, width: int) -> Iterator[Line]:
    used = sum(held.pieces.values())
    share = used / held.area if held.area else 0.0
    lost = max(0.0, held.kerf / held.area) if held.area else 0.0
    dust = f", {show(lost, PERCENT, units)} dust" if held.pieces else ""
    words = f" of {area_words(held.area, units)}{dust}"
    yield from flowed(
        line(("yield ", "dim"), (show(share, PERCENT, units), "strong"), (words, "dim")), width, 2
    )
    if slab.price is not None:
        cost = show(slab.price.value * share, MONEY, units)
        whole = show(slab.price.value, MONEY, units)
        yield from flowed(line(("wood used ", "dim"), (cost, "strong"), (f"  of {whole}", "dim")), width, 2)


def _saw_lines(file: ProjectFile, name: str, in_hand: str, width: int) -> Iterator[Line]:
    slab, units = file.slab[name], file.units
    unit = "mm" if units.system == "metric" else "in"
    yield from flowed(line(("SAW LINES", "title"), (f"  along and off the tape, {unit}", "dim")), width, 2)
    saws = marked_saws(file, name)
    if not slab.saw_lines:
        yield line(("none yet: a adds one at the cursor", "dim"))
        return
    yield from passes_lines(file, name, width)
    rows = {row.id: row for row in slab.saw_lines}
    for saw in saws:
        mark, role = ("▸", "strong") if saw.id == in_hand else (" ", "text")
        ends = struck_words(saw, units)
        of = f"  for {saw.of}" if saw.of is not None else ""
        looks: Role = "strong" if role == "strong" else "text"
        yield from flowed(line((f"{mark} {saw.id}", "key"), (f"  {ends}", looks), (of, "dim")), width, 6)
        if saw.id == in_hand:
            yield from flowed(line((f"      {_kind(rows[saw.id], slab, units)}", "dim")), width, 6)


def struck_words(saw: MarkedSaw, units: Units) -> str:
    """The two places of a saw line: `20, 108 right to 20, 92 left`, shorter where square or along."""
    a, b = (number_words(round(end.along, 3), units) for end in saw.ends)
    c, d = (_off(end.off, units) for end in saw.ends)
    if a == b:
        return f"{a} along: {c} to {d}"
    return f"{a} to {b} along: {c}" if c == d else f"{a} along, {c} to {b} along, {d}"


def _off(off: float, units: Units) -> str:
    shown = number_words(round(abs(off), 3), units)
    return "0" if abs(off) < 5e-4 else f"{shown} {'left' if off > 0 else 'right'}"


def _kind(row: SawLine, slab: Slab, units: Units) -> str:
    """How a saw line is given, in words."""
    if row.square_at is not None:
        return f"square to the tape at {length_words(slab.metres(row.square_at), units)}"
    if row.edge is not None and row.offset is not None:
        return f"along the {row.edge} edge, {length_words(slab.metres(row.offset), units)} inside"
    return "between two points"


def passes_lines(file: ProjectFile, name: str, width: int) -> list[Line]:
    """How many passes each line takes with the shop's saw."""
    thickness = file.slab[name].thickness
    saw = next((tool for tool in file.tool.values() if tool.depth_on_rail is not None), None)
    if thickness is None or saw is None or saw.depth_on_rail is None:
        lacks = "thickness of the slab" if thickness is None else "depth of the saw"
        return wrapped(f"passes: the {lacks} is not known", width, "dim", 2)
    off = saw.depth_off_rail.value if saw.depth_off_rail is not None else None
    try:
        held = saw_reach(thickness.value, saw.depth_on_rail.value, off)
    except ValueError as error:
        return wrapped(str(error), width, "amber", 2)
    if held.unreached > 0:
        words = f"the saw leaves {length_words(held.unreached, file.units)} in the middle: saw that by hand"
        return wrapped(f"■ {words}", width, "red", 2, 0)
    return wrapped(passes_words(held), width, "dim", 2)


def passes_words(held: SawReach) -> str:
    """`2 passes each: on the rail, then off the rail`."""
    stands = [f"{row.stand}{' from the other face' if row.face == 'lower' else ''}" for row in held.passes]
    count = len(stands)
    return f"{count} pass{'' if count == 1 else 'es'} each: {', then '.join(stands)}"


def bar_line(share: float, words: str) -> Line:
    """A progress bar with words after it."""
    full = round(share * BAR)
    return line(
        ("█" * full, "teal"), ("░" * (BAR - full), "dim"), (f" {share:.0%}  ", "strong"), (words, "dim")
    )
