"""What stands in a casting, as placed and as poured where the record says so, else as planned. SI units."""

from __future__ import annotations

from dataclasses import dataclass

from workshop.layout.placed import PlacedPiece, placed_pieces
from workshop.project.model import Casting, Cut, HolePlace, ProjectFile
from workshop.quantity import Measure
from workshop.trade.outline import Point


@dataclass(frozen=True, slots=True)
class LiftLevel:
    """A lift between two heights."""

    id: str
    low: float
    high: float
    poured: bool


@dataclass(frozen=True, slots=True)
class BedPlace:
    """A bed between two heights; `points` None is all of the resin, `inset` its distance from the wood."""

    id: str
    points: tuple[Point, ...] | None
    inset: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class LightPlace:
    """A light run along a piece's edge; `path` is empty where the piece cannot be drawn."""

    id: str
    piece: str
    edge: str
    height: float | None
    width: float | None
    path: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class CastingAsPlaced:
    """A casting's parts with the sizes that are known."""

    id: str
    held: Casting
    length: float | None
    """Inside the form, as `width` and `depth`."""
    width: float | None
    depth: float | None
    board: float | None
    finished: tuple[float, float, float, float] | None
    """Left, near, right, far of the finished part in the form."""
    pieces: tuple[PlacedPiece, ...]
    lifts: tuple[LiftLevel, ...]
    beds: tuple[BedPlace, ...]
    lights: tuple[LightPlace, ...]
    holes: tuple[tuple[str, HolePlace], ...]
    """Where cables leave, by cable."""
    unknown: tuple[str, ...]
    """A sentence for each part that cannot be drawn."""

    @property
    def top(self) -> float | None:
        """The height of the rough casting: of its last lift, or of its thickest piece."""
        heights = [lift.high for lift in self.lifts]
        heights = heights or [piece.thickness for piece in self.pieces if piece.thickness]
        return max(heights, default=None)

    @property
    def now(self) -> float | None:
        """How far it is poured, None where nothing is."""
        return max((lift.high for lift in self.lifts if lift.poured), default=None)

    def planes(self) -> tuple[tuple[Cut, float], ...]:
        """The height of the face after each face pass, as cast, where top and removal are known."""
        made: list[tuple[Cut, float]] = []
        low, high = 0.0, self.top
        for cut in self.held.cuts:
            if cut.kind != "face pass" or cut.remove is None:
                continue
            if cut.face == "lower":
                low += cut.remove.value
                made.append((cut, low))
            elif cut.face == "upper" and high is not None:
                high -= cut.remove.value
                made.append((cut, high))
        return tuple(made)

    def faces(self) -> tuple[float, float] | None:
        """The heights between which the casting is left when all face passes are done."""
        top = self.top
        if top is None:
            return None
        planes = self.planes()
        low = max((height for cut, height in planes if cut.face == "lower"), default=0.0)
        high = min((height for cut, height in planes if cut.face == "upper"), default=top)
        return (low, high) if high > low else None


def casting_as_placed(file: ProjectFile, casting: str) -> CastingAsPlaced | None:
    """A casting of a project, None where it has none of this name."""
    held = file.casting.get(casting)
    if held is None:
        return None
    form = held.form
    trim = _value(form.trim)
    length = _inside(_value(form.length), _value(held.length), trim)
    width = _inside(_value(form.width), _value(held.width), trim)
    pieces, unknown = placed_pieces(file, casting)
    words = list(unknown)
    lifts = _lifts(file, casting, held, words)
    return CastingAsPlaced(
        casting,
        held,
        length,
        width,
        _value(form.depth),
        _value(form.board),
        _finished(held, length, width),
        pieces,
        lifts,
        _beds(file, casting, held, words),
        _lights(file, casting, held, pieces, words),
        _holes(file, casting, held, words),
        tuple(words),
    )


def _value(held: Measure | None) -> float | None:
    return None if held is None else held.value


def _inside(form: float | None, size: float | None, trim: float | None) -> float | None:
    if form is not None or size is None or trim is None:
        return form
    return size + 2 * trim


def _finished(
    held: Casting, length: float | None, width: float | None
) -> tuple[float, float, float, float] | None:
    """By the trim lines, else by the form's trim; a form as large as the part is not trimmed."""
    along = _sides(
        [cut.x.value for cut in held.cuts if cut.kind == "trim line" and cut.x and cut.y is None],
        length,
        held.length,
        held.form.trim,
    )
    across = _sides(
        [cut.y.value for cut in held.cuts if cut.kind == "trim line" and cut.y and cut.x is None],
        width,
        held.width,
        held.form.trim,
    )
    return None if along is None or across is None else (along[0], across[0], along[1], across[1])


def _sides(
    cuts: list[float], inside: float | None, size: Measure | None, trim: Measure | None
) -> tuple[float, float] | None:
    if len(cuts) > 1:
        return min(cuts), max(cuts)
    if inside is None:
        return None
    if trim is not None and 2 * trim.value < inside:
        return trim.value, inside - trim.value
    return (0.0, inside) if size is not None and abs(size.value - inside) < 1e-6 else None


def _lifts(file: ProjectFile, casting: str, held: Casting, words: list[str]) -> tuple[LiftLevel, ...]:
    made: list[LiftLevel] = []
    low = 0.0
    for lift in held.lifts:
        poured = file.record.poured.get(f"{casting}/{lift.id}")
        to = (poured.to if poured else None) or lift.to
        if to is None:
            words.append(f"How high the lift {lift.id} goes is not known.")
            continue
        if to.value > low:
            made.append(LiftLevel(lift.id, low, to.value, poured is not None))
        low = max(low, to.value)
    return tuple(made)


def _beds(file: ProjectFile, casting: str, held: Casting, words: list[str]) -> tuple[BedPlace, ...]:
    made = []
    for name, bed in held.bed.items():
        placed = file.record.placed.get(f"{casting}/{name}")
        low = (placed.from_ if placed else None) or bed.from_
        high = (placed.to if placed else None) or bed.to
        inset = (placed.inset if placed else None) or bed.inset
        if bed.region is None:
            words.append(f"Where the bed {name} lies is not known.")
            continue
        made.append(BedPlace(name, bed.region.points, _value(inset) or 0.0, _value(low), _value(high)))
    return tuple(made)


def _lights(
    file: ProjectFile, casting: str, held: Casting, pieces: tuple[PlacedPiece, ...], words: list[str]
) -> tuple[LightPlace, ...]:
    made = []
    for name, run in held.light_run.items():
        placed = file.record.placed.get(f"{casting}/{name}")
        height = (placed.height if placed else None) or run.height
        strip = file.light_strip.get(run.strip) if run.strip else None
        piece = next((piece for piece in pieces if piece.id == run.piece), None)
        path: tuple[Point, ...] = ()
        if piece is None or run.edge is None:
            words.append(f"Where the light run {name} lies is not known.")
        else:
            path = piece.edge(run.edge, _value(height))
        made.append(
            LightPlace(
                name,
                run.piece or "",
                run.edge or "",
                _value(height),
                _value(strip.width) if strip else None,
                path,
            )
        )
    return tuple(made)


def _holes(
    file: ProjectFile, casting: str, held: Casting, words: list[str]
) -> tuple[tuple[str, HolePlace], ...]:
    made = []
    for name, cable in held.cable.items():
        placed = file.record.placed.get(f"{casting}/{name}")
        hole = (placed.hole if placed else None) or cable.hole
        if hole is None:
            words.append(f"Where the cable {name} leaves the form is not known.")
            continue
        made.append((name, hole))
    return tuple(made)
