"""Resin flooded over a face as its finish."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import mixed_density_of
from workshop.calculators.resin_volume import CASTING_RESIN
from workshop.desk import Desk, Filling, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import AREA, COUNT, LENGTH, LIQUID_DENSITY, MASS, PERCENT, VOLUME, Amount
from workshop.trade.finish import FLOOD_DEPTH, flood_coat

USUAL_FLOOD = 0.003
"""m of one coat, a little under what levels itself: common practice, no source."""
LEAST_FLOOD = USUAL_FLOOD / 2
"""m under which a flooded coat no longer closes by itself: common practice, no source."""


class Inputs(CalculatorInputs):
    """The face and the coat."""

    area: Annotated[float, AREA] = given("area of the face", above=0.0, high=50.0)
    thickness: Annotated[float, LENGTH] = given(
        "thickness of all coats together",
        default=USUAL_FLOOD,
        above=0.0,
        high=0.05,
        help="left out: one coat of 3 mm, at which it levels itself",
    )
    edge_area: Annotated[float, AREA] = given(
        "area of the edges it runs over", default=0.0, low=0.0, high=20.0
    )
    loss: Annotated[float, PERCENT] = given(
        "part that runs off or stays in the bucket", default=0.0, low=0.0, high=0.9
    )
    resin_density: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of the mixed resin", default=None, low=500.0, high=2500.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.finish.flood_coat`."""
    held = flood_coat(inputs.area, inputs.thickness, inputs.edge_area, inputs.loss)
    density = CASTING_RESIN if inputs.resin_density is None else inputs.resin_density
    thickness = Amount(inputs.thickness, LENGTH)
    figures = (
        Figure(
            "volume",
            "volume to mix",
            held.volume,
            VOLUME,
            Working(
                "volume = (area + edge)*thickness/(1 - loss)",
                {
                    "area": Amount(inputs.area, AREA),
                    "edge": Amount(inputs.edge_area, AREA),
                    "thickness": thickness,
                    "loss": Amount(inputs.loss, PERCENT),
                },
                "geometry",
                assumed=("edges counted as thick as the face, which pays for what runs off them",),
            ),
        ),
        Figure(
            "mass",
            "mass to mix",
            held.volume * density,
            MASS,
            Working(
                "mass = volume*density",
                {"volume": Amount(held.volume, VOLUME), "density": Amount(density, LIQUID_DENSITY)},
                "definition of density",
                assumed=()
                if inputs.resin_density is not None
                else ("1.1 kg/L as of a usual resin (common practice, no source)",),
            ),
        ),
        Figure(
            "coats",
            "coats",
            float(held.coats),
            COUNT,
            Working(
                f"coats = ceil(thickness/{FLOOD_DEPTH} - 1e-9)",
                {"thickness": thickness},
                COMMON_PRACTICE,
                assumed=("it levels itself near 3 mm (1/8 in), and more runs off",),
            ),
        ),
        Figure(
            "each-coat",
            "thickness of one coat",
            held.each,
            LENGTH,
            Working(
                "each_coat = thickness/coats",
                {"thickness": thickness, "coats": Amount(held.coats, COUNT)},
                COMMON_PRACTICE,
            ),
        ),
    )
    return Result(figures, _too_thin(inputs))


def _too_thin(inputs: Inputs) -> tuple[Finding, ...]:
    if inputs.thickness >= LEAST_FLOOD - 1e-9:
        return ()
    return (
        Finding(
            "flood-too-thin",
            Level.WARN,
            phrase(
                f"At {{thickness}} a flooded coat does not close by itself ({COMMON_PRACTICE}).",
                thickness=Amount(inputs.thickness, LENGTH),
            ),
            phrase(
                "Pour {least} or more, best {best}, or brush it on and count on sanding.",
                least=Amount(LEAST_FLOOD, LENGTH),
                best=Amount(USUAL_FLOOD, LENGTH),
            ),
            field="thickness",
            figures=("each-coat",),
            value=Amount(inputs.thickness, LENGTH),
            worse="down",
            margin=1e-4,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting, where the finish has a thickness and so is flooded on: its show face and edges."""
    thickness = desk.at("finish", "thickness")
    if desk.file.finish.thickness is None:
        return
    for casting in desk.file.casting:
        length, width, deep = (desk.at("casting", casting, key) for key in ("length", "width", "thickness"))
        yield Filling(
            casting,
            {
                "area": combine("one face", lambda along, across: along * across, length, width),
                "thickness": thickness,
                **optional(
                    edge_area=combine(
                        "all edges",
                        lambda along, across, high: 2 * (along + across) * high,
                        length,
                        width,
                        deep,
                    ),
                    loss=desk.at("casting", casting, "residue"),
                    resin_density=mixed_density_of(desk, "finish"),
                ),
            },
        )


CALCULATOR = Calculator(
    id="flood-coat",
    title="Flood coat",
    stage="finish",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=60,
)
