"""How hard a piece of wood floats in liquid resin, and what holds it down."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.calculators.slab_volume import slab_edges
from workshop.desk import Desk, Filling, Given, LiftPlace, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import COUNT, DENSITY, FORCE, LIQUID_DENSITY, NUMBER, PERCENT, VOLUME, Amount
from workshop.trade.buoyancy import STANDARD_GRAVITY, HoldDown, float_force, hold_down
from workshop.trade.outline import Outline, Station, station_outline
from workshop.trade.sawing import SawLine, SawnPiece, plain_piece, sawn_piece


class Inputs(CalculatorInputs):
    """A piece in the lift that first wets it."""

    volume: Annotated[float, VOLUME] = given("volume of the piece", above=0.0, high=1.0)
    wood_density: Annotated[float, DENSITY] = given("density of the wood as it is", low=50.0, high=1400.0)
    resin_density: Annotated[float, LIQUID_DENSITY] = given(
        "density of the mixed resin", low=500.0, high=2500.0
    )
    submerged: Annotated[float, PERCENT] = given(
        "part of the piece under the surface",
        default=1.0,
        low=0.0,
        high=1.0,
        help="of its volume, while the lift is liquid and can get under the piece",
    )
    each: Annotated[float, FORCE] | None = given(
        "force that one hold-down carries",
        default=None,
        above=0.0,
        high=5000.0,
        help="a weight of 10 kg carries 98 N",
    )
    safety: Annotated[float, NUMBER] = given("safety factor", default=2.0, low=1.0, high=10.0)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.buoyancy.hold_down`."""
    buoyancy, weight = float_force(inputs.volume, inputs.wood_density, inputs.resin_density, inputs.submerged)
    force = buoyancy - weight
    numbers = {
        "resin": Amount(inputs.resin_density, LIQUID_DENSITY),
        "submerged": Amount(inputs.submerged, PERCENT),
        "wood": Amount(inputs.wood_density, DENSITY),
        "V": Amount(inputs.volume, VOLUME),
        "g": Amount(STANDARD_GRAVITY, NUMBER),
    }
    figures = [
        Figure(
            "float-force",
            "floats with (below zero: it sinks)",
            force,
            FORCE,
            Working("float_force = (resin*submerged*V - wood*V)*g", numbers, "Archimedes' principle"),
        )
    ]
    if inputs.each is None:
        return Result(tuple(figures), _floats(inputs, force, None))
    held = hold_down(
        inputs.volume, inputs.wood_density, inputs.resin_density, inputs.each, inputs.submerged, inputs.safety
    )
    figures.append(
        Figure(
            "hold-downs",
            "hold-downs",
            float(held.hold_downs),
            COUNT,
            Working(
                "hold_downs = max(0, ceil(safety*F/each - 1e-9))",
                {
                    "safety": Amount(inputs.safety, NUMBER),
                    "F": Amount(force, FORCE),
                    "each": Amount(inputs.each, FORCE),
                },
                COMMON_PRACTICE,
                assumed=("placed round the centre of the submerged part",),
            ),
        )
    )
    figures.append(
        Figure(
            "hold-downs-exact",
            "hold-downs before rounding up (below zero: it sinks)",
            inputs.safety * force / inputs.each,
            NUMBER,
            Working(
                "hold_downs_exact = safety*F/each",
                {
                    "safety": Amount(inputs.safety, NUMBER),
                    "F": Amount(force, FORCE),
                    "each": Amount(inputs.each, FORCE),
                },
                COMMON_PRACTICE,
            ),
        )
    )
    return Result(tuple(figures), _floats(inputs, force, held))


def _floats(inputs: Inputs, force: float, held: HoldDown | None) -> tuple[Finding, ...]:
    if force <= 0:
        return ()
    if held is None or inputs.each is None:
        remedy = phrase(
            "Hold it down with {needed} in all, placed round its middle.",
            needed=Amount(inputs.safety * force, FORCE),
        )
    elif held.hold_downs == 1:
        remedy = phrase(
            "One hold-down of {each} is enough by force; use 2, one either side of the middle, "
            "so that the piece cannot tilt.",
            each=Amount(inputs.each, FORCE),
        )
    else:
        remedy = phrase(
            "Set {count} hold-downs of {each} round its middle before the pour.",
            count=Amount(held.hold_downs, COUNT),
            each=Amount(inputs.each, FORCE),
        )
    return (
        Finding(
            "piece-floats",
            Level.NOTE,
            phrase("The piece comes up with {force} once the resin is under it.", force=Amount(force, FORCE)),
            remedy,
            field="volume",
            figures=("float-force",) if held is None else ("float-force", "hold-downs"),
            value=Amount(force, FORCE),
            margin=5.0,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every piece in the first lift, which gets under it; in later ones too, should the lift below let go."""
    for piece, held in desk.file.piece.items():
        if held.casting is None or held.casting not in desk.file.casting:
            continue
        casting, resin = held.casting, casting_resin(desk, held.casting)
        floats: dict[str, Source] = {
            "volume": piece_volume(desk, piece),
            "wood-density": _wood_density(desk, held.slab),
            "resin-density": resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin),
            **optional(each=desk.at("casting", casting, "form", "hold-down")),
        }
        lifts = [lift for lift in desk.lifts() if lift.casting == casting]
        first = _submerged(desk, piece, lifts[0], "by the height of the first lift") if lifts else None
        yield Filling(piece, {**floats, **({} if first is None else optional(submerged=first))})
        for lift in lifts[1:]:
            how = "by the height of this lift, only if the lift below lets go"
            yield Filling(f"{piece}/{lift.id}", {**floats, "submerged": _submerged(desk, piece, lift, how)})


def _wood_density(desk: Desk, slab: str | None) -> Source:
    if slab is None or slab not in desk.file.slab:
        return Missing("the slab that the piece is sawn from")
    return desk.figure("wood-density", slab, "density")


def _submerged(desk: Desk, piece: str, lift: LiftPlace, how: str) -> Source:
    """The part of a piece that lies under the surface of a lift, from the form floor up."""
    return combine(
        how,
        lambda to, shape: min(1.0, to / shape.thickness),
        desk.at(*lift.path, "to", what=f"the height of {lift.subject}"),
        piece_shape(desk, piece),
    )


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
    edges = slab_edges(desk, slab)
    outline = _outlines(edges)
    if isinstance(outline, Missing):
        return outline
    lines = _saw_lines(desk, slab)
    mark: Source = Given(None)
    if lines.value:
        mark = combine("", lambda point: (point.x, point.y), desk.at(*place, "mark"))
    holes = edges.get("holes", Given(()))

    def saw(
        faces: tuple[Outline, Outline | None],
        thick: float,
        cuts: tuple[SawLine, ...],
        at: Any,
        inside: tuple[Outline, ...],
    ) -> SawnPiece | str:
        try:
            return sawn_piece(faces[0], thick, faces[1], cuts, at, inside)
        except ValueError as error:
            return str(error)

    sawn = combine(f"sawn out of {slab}", saw, outline, thickness, lines, mark, holes)
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


def _outlines(edges: dict[str, Source]) -> Source:
    """The upper outline and, where it is known, the lower one."""
    if "stations" in edges:
        return combine("from the stations", _from_stations, edges["stations"])
    if "outline" in edges:
        if "lower-outline" in edges:
            return combine("", lambda upper, lower: (upper, lower), edges["outline"], edges["lower-outline"])
        return combine("", lambda upper: (upper, None), edges["outline"])
    return combine("from length and width", _rectangle, *edges.values())


def _from_stations(rows: tuple[tuple[float, ...], ...]) -> tuple[Outline, Outline | None]:
    upper = station_outline([Station(*row[:3]) for row in rows])
    if any(len(row) < 5 for row in rows):
        return upper, None
    return upper, station_outline([Station(row[0], row[3], row[4]) for row in rows])


def _rectangle(length: float, width: float) -> tuple[Outline, None]:
    return ((0.0, -width / 2), (length, -width / 2), (length, width / 2), (0.0, width / 2)), None


def _saw_lines(desk: Desk, slab: str) -> Given:
    saws = tuple(desk.file.slab[slab].saws())
    return Given(tuple(line for _, line in saws), tuple(("slab", slab, "saw-lines", id) for id, _ in saws))


CALCULATOR = Calculator(
    id="hold-down",
    title="Hold-downs for a floating piece",
    stage="form",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
