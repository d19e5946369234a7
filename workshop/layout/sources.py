"""What calculators take from a layout: pieces as sawn, wood and stone between two heights, as sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from workshop.desk import Desk, Given, LiftPlace, Missing, Source, assumed, combine, first
from workshop.layout.as_placed import BedPlace, casting_as_placed
from workshop.layout.placed import PlacedPiece, as_sawn
from workshop.layout.room import Filler, Room, room_of
from workshop.project.path import Path
from workshop.project.timber import Slab
from workshop.trade.face_pair import paired
from workshop.trade.outline import Outline
from workshop.trade.sawing import SawnPiece, plain_piece, sawn_piece

ON_THE_FLOOR = "wood in this depth, the pieces standing on the form floor"


def slab_edges(desk: Desk, slab: str) -> dict[str, Source]:
    """The shape of a slab under the keys of `slab-volume`: stations, an outline, or length and mean width."""
    held = desk.file.slab[slab]
    unit = (("slab", slab, "unit"),) if held.unit is not None else ()
    if held.stations:
        return {"stations": _stations(slab, held, unit), **_holes(slab, held, unit)}
    if held.outline is not None:
        edges: dict[str, Source] = {}
        upper = _metres(held, held.outline.points)
        if held.lower_outline is not None:
            lower, upper = paired(_metres(held, held.lower_outline.points), upper)
            edges["lower-outline"] = Given(lower, (("slab", slab, "lower-outline"), *unit))
        edges["outline"] = Given(upper, (("slab", slab, "outline"), *unit))
        return edges | _holes(slab, held, unit)
    length, width = desk.at("slab", slab, "length"), desk.at("slab", slab, "width")
    if isinstance(length, Missing) and isinstance(width, Missing):
        return {
            "stations": Missing(
                f"the stations of {slab}, or its length and width", (("slab", slab, "stations"),)
            )
        }
    if isinstance(width, Missing):
        return {"length": width}
    return {"length": length, "width": width}


def piece_shape(desk: Desk, piece: str) -> Source:
    """A piece as a `SawnPiece`: by its own measures where it has them, else as sawn out of its slab."""
    held = desk.file.piece[piece]
    place = ("piece", piece)
    slab = held.slab if held.slab in desk.file.slab else None
    thickness = desk.at(*place, "thickness")
    if slab is not None and isinstance(thickness, Missing):
        thickness = desk.at("slab", slab, "thickness")
    if held.length is not None or held.width is not None or slab is None:
        return combine(
            "by its own measures", plain_piece, desk.at(*place, "length"), desk.at(*place, "width"), thickness
        )
    edges = tuple(slab_edges(desk, slab).values())
    lines = Given(None, tuple(_saw_paths(desk, slab, piece)))
    mark: Source = desk.at(*place, "mark") if lines.paths else Given(None)

    def saw(thick: float, *_rest: object) -> SawnPiece | str:
        try:
            return sawn_piece(as_sawn(desk.file, piece).pair, thick)
        except ValueError as error:
            return str(error)

    sawn = combine(f"sawn out of {slab}", saw, thickness, mark, lines, *edges)
    if isinstance(sawn, Given) and isinstance(sawn.value, str):
        return Missing(f"a shape of {piece} that can be sawn ({sawn.value})", sawn.paths)
    return sawn


def piece_volume(desk: Desk, piece: str) -> Source:
    """The wood of a piece in m³: as entered, else from its shape."""
    entered = desk.at("piece", piece, "wood-volume")
    if isinstance(entered, Given):
        return entered
    return combine("from its shape", lambda shape: shape.volume, piece_shape(desk, piece))


def area_of_pieces(desk: Desk, casting: str, edge: str) -> Source:
    """The `edge`, `end_grain` or `area` of all pieces of a casting together, in m²."""
    shapes = [piece_shape(desk, piece) for piece in desk.file.pieces_of(casting)]
    if not shapes:
        return Missing(f"the pieces in {casting}", (("piece",),))
    return combine("all pieces together", lambda *all: sum(getattr(shape, edge) for shape in all), *shapes)


def inside_of_form(desk: Desk, casting: str, key: str) -> Source:
    """The form's inner length or width: as entered, else the casting's with its trim at both sides."""
    return first(
        desk.at("casting", casting, "form", key, what=f"the inner {key} of the form of {casting}"),
        combine(
            "the casting and its trim at both sides",
            lambda size, trim: size + 2 * trim,
            desk.at("casting", casting, key),
            desk.at("casting", casting, "form", "trim"),
        ),
    )


def wood_in_depth(desk: Desk, casting: str, below: Source, to: Source) -> Source:
    """The wood of a casting's pieces between two heights, in m³, by their outlines at every height.

    A piece whose place is not known yet is counted whole, one that sticks out of the form as far as it lies
    inside.
    """
    held = casting_as_placed(desk.file, casting)
    names = tuple(desk.file.pieces_of(casting))
    if held is None or not names:
        return Missing(f"the pieces in {casting}", (("piece",),))
    room = room_of(held)
    lying = {} if room is None else {piece.id: piece for piece in room.pieces if not _entered(desk, piece.id)}
    parts: list[Source] = []
    for name in names:
        shape = piece_shape(desk, name)
        if name in lying and room is not None:
            parts.append(combine("", lambda *_all: 0.0, shape, *_place(desk, room, lying[name])))
        else:
            thickness = combine("", lambda shape: shape.thickness, shape)
            parts.append(combine("", _between, piece_volume(desk, name), thickness, below, to))
    if room is not None and lying:
        stand = replace(room, pieces=tuple(lying.values()))
        parts.append(combine("", lambda low, high: stand.level(low, high).wood, below, to))
    return combine(ON_THE_FLOOR, lambda *all: sum(all), *parts)


def bed_solid(desk: Desk, lift: LiftPlace) -> Source:
    """The solid stone of all beds between the planned heights of a lift, in m³."""
    to = desk.at(*lift.path, "to", what=f"the height of {lift.subject}")
    return stone_in_depth(desk, lift.casting, lift.below, to)


def stone_in_depth(desk: Desk, casting: str, below: Source, to: Source) -> Source:
    """The solid stone of a casting's beds between two heights, in m³, by the beds' regions."""
    held = casting_as_placed(desk.file, casting)
    room = None if held is None else room_of(held)
    around = [
        *(inside_of_form(desk, casting, key) for key in ("length", "width")),
        *(piece_shape(desk, name) for name in desk.file.pieces_of(casting)),
    ]
    parts = []
    for name in desk.file.casting[casting].bed:
        place = ("casting", casting, "bed", name)
        bed = next((bed for bed in held.beds if bed.id == name), None) if held is not None else None
        solid = solid_share(desk, casting, name)
        needed = (
            *(desk.at(*place, key) for key in ("from", "to", "region")),
            first(desk.at(*place, "inset"), assumed(0.0, "none")),
        )
        parts.append(combine("", partial(_stone, room, bed), solid, below, to, *needed, *around))
    return combine("stone in this depth", lambda *all: sum(all), *parts)


def solid_share(desk: Desk, casting: str, bed: str) -> Source:
    """How much of a bed is stone, without the spaces between: as entered, else by the bucket test."""
    place = ("casting", casting, "bed", bed)
    return first(
        desk.at(*place, "packing"),
        combine(
            "bucket test",
            lambda bulk, water: max(0.0, 1 - water / bulk),
            desk.at(*place, "bulk"),
            desk.at(*place, "water"),
        ),
    )


def _stone(
    room: Room | None, bed: BedPlace | None, solid: float, low: float, high: float, *_read: object
) -> float:
    """The stone of one bed; what else was read stands behind `room` and `bed`."""
    return 0.0 if room is None or bed is None else room.level(low, high, (Filler(bed, solid),)).stone


def _entered(desk: Desk, piece: str) -> bool:
    return desk.file.piece[piece].wood_volume is not None


def _place(desk: Desk, room: Room, piece: PlacedPiece) -> Iterator[Source]:
    """Where a piece lies, if that says how much of it is inside the form."""
    left, bottom, right, top = piece.extent
    if left < 0 or bottom < 0 or right > room.length or top > room.width:
        placed = desk.file.record.placed.get(piece.id)
        path: Path = ("record", "placed", piece.id) if placed and placed.place else ("piece", piece.id)
        yield desk.at(*path, "place")


def _between(volume: float, thickness: float, below: float, to: float) -> float:
    return volume * max(0.0, min(to, thickness) - min(below, thickness)) / thickness


def _stations(slab: str, held: Slab, unit: tuple[tuple[str, ...], ...]) -> Source:
    both = all(row.lower_left is not None and row.lower_right is not None for row in held.stations)
    rows = []
    for row in held.stations:
        numbers = (row.at, row.left, row.right, row.lower_left, row.lower_right)[: 5 if both else 3]
        known = tuple(held.metres(number) for number in numbers if number is not None)
        if len(known) != len(numbers):
            return Missing(
                f"both edges of {slab} at {row.at:g} along the tape", (("slab", slab, "stations"),)
            )
        rows.append(known)
    return Given(tuple(rows), (("slab", slab, "stations"), *unit))


def _holes(slab: str, held: Slab, unit: tuple[tuple[str, ...], ...]) -> dict[str, Source]:
    if not held.holes:
        return {}
    return {
        "holes": Given(
            tuple(_metres(held, hole.points) for hole in held.holes), (("slab", slab, "holes"), *unit)
        )
    }


def _metres(held: Slab, points: Outline) -> tuple[tuple[float, float], ...]:
    return tuple((held.metres(x), held.metres(y)) for x, y in points)


def _saw_paths(desk: Desk, slab: str, piece: str) -> Iterator[Path]:
    for row in desk.file.slab[slab].saw_lines:
        if row.of is None or row.of == piece:
            yield ("slab", slab, "saw-lines", row.id)
