"""How hard a piece of wood floats in liquid resin, and what holds it down."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, LiftPlace, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.layout.sources import piece_shape, piece_volume
from workshop.quantity import COUNT, DENSITY, FORCE, LIQUID_DENSITY, NUMBER, PERCENT, VOLUME, Amount
from workshop.trade.buoyancy import STANDARD_GRAVITY, HoldDown, float_force, hold_down


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


CALCULATOR = Calculator(
    id="hold-down",
    title="Hold-downs for a floating piece",
    stage="form",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
