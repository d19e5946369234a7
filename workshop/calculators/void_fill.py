"""What voids in the surface are filled with, how much of it, and in how many layers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, Missing, assumed, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import COUNT, LENGTH, PERCENT, VOLUME, Amount
from workshop.trade.voids import COATING_DEPTH, THIN_GLUE_DEPTH, Void, VoidFill, fill_voids

VoidRow = tuple[
    Annotated[float, LENGTH], Annotated[float, LENGTH], Annotated[float, LENGTH], Annotated[float, COUNT]
]


class Inputs(CalculatorInputs):
    """Voids as found under raking light, and the resin for the deep ones."""

    voids: tuple[VoidRow, ...] = given("voids: length, width, depth, how many")
    rated_depth: Annotated[float, LENGTH] | None = given(
        "greatest depth of one pour", default=None, above=0.0, high=0.5, help="as the resin's sheet rates it"
    )
    least_depth: Annotated[float, LENGTH] = given("least depth of one pour", default=0.0, low=0.0, high=0.1)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.voids.fill_voids`."""
    if not inputs.voids:
        raise ValueError("There is no void in the list: give each as length, width, depth and how many.")
    greatest = COATING_DEPTH if inputs.rated_depth is None else inputs.rated_depth
    fills = fill_voids(
        tuple(Void(length, width, depth, round(count)) for length, width, depth, count in inputs.voids),
        greatest,
        inputs.least_depth,
    )
    volume = sum(fill.volume for fill in fills)
    figures = [
        Figure(
            "volume",
            "filler in all",
            volume,
            VOLUME,
            Working(
                "volume = sum(each)",
                {"each": tuple(Amount(fill.volume, VOLUME) for fill in fills)},
                "geometry",
            ),
        )
    ]
    for number, fill in enumerate(fills, 1):
        figures += _each(number, fill, greatest, inputs.rated_depth is None)
    figures += _layers(inputs, fills, greatest)
    rows = tuple(
        (float(number), fill.void.depth, fill.volume, fill.filler, float(fill.layers), fill.layer_depth)
        for number, fill in enumerate(fills, 1)
    )
    table = Table(
        "Voids",
        (
            Column("void", "void", COUNT),
            Column("depth", "depth", LENGTH),
            Column("volume", "volume", VOLUME),
            Column("filler", "filler"),
            Column("layers", "layers", COUNT),
            Column("layer", "each layer", LENGTH),
        ),
        rows,
    )
    return Result(tuple(figures), _too_thin(inputs, fills), {"voids": table})


def _each(number: int, fill: VoidFill, greatest: float, unrated: bool) -> tuple[Figure, Figure]:
    void = fill.void
    glue = fill.filler == "thin glue"
    assumed = (
        (f"thin glue, since it is under {THIN_GLUE_DEPTH * 1000:.0f} mm deep",)
        if glue
        else (
            "resin, since it is too deep for thin glue",
            *(
                ("greatest layer of a coating resin, 6 mm, since the resin's rated depth is not given",)
                if unrated
                else ()
            ),
        )
    )
    return (
        Figure(
            f"volume-{number}",
            f"void {number} holds",
            fill.volume,
            VOLUME,
            Working(
                "volume = length*width*depth*count",
                {
                    "length": Amount(void.length, LENGTH),
                    "width": Amount(void.width, LENGTH),
                    "depth": Amount(void.depth, LENGTH),
                    "count": Amount(void.count, COUNT),
                },
                "geometry",
                assumed=("a box, which holds more than a rounded void",),
            ),
        ),
        Figure(
            f"layers-{number}",
            f"layers in void {number}",
            float(fill.layers),
            COUNT,
            Working(
                "layers = 1" if glue else "layers = ceil(depth/greatest - 1e-9)",
                {} if glue else {"depth": Amount(void.depth, LENGTH), "greatest": Amount(greatest, LENGTH)},
                COMMON_PRACTICE,
                assumed=assumed,
            ),
        ),
    )


def _layers(inputs: Inputs, fills: tuple[VoidFill, ...], greatest: float) -> Iterator[Figure]:
    """The deepest and the thinnest layer of resin, against what the resin allows."""
    layers = [fill.layer_depth for fill in fills if fill.filler == "resin"]
    if not layers:
        return
    yield Figure(
        "layer-share",
        "deepest layer, of the greatest depth of one pour",
        max(layers) / greatest,
        PERCENT,
        Working(
            "layer_share = deepest/greatest",
            {"deepest": Amount(max(layers), LENGTH), "greatest": Amount(greatest, LENGTH)},
            COMMON_PRACTICE,
        ),
    )
    yield Figure(
        "layer-margin",
        "thinnest layer, over the least depth of one pour",
        min(layers) - inputs.least_depth,
        LENGTH,
        Working(
            "layer_margin = thinnest - least",
            {"thinnest": Amount(min(layers), LENGTH), "least": Amount(inputs.least_depth, LENGTH)},
            COMMON_PRACTICE,
        ),
    )


def _too_thin(inputs: Inputs, fills: tuple[VoidFill, ...]) -> tuple[Finding, ...]:
    thin = [number for number, fill in enumerate(fills, 1) if fill.too_thin]
    if not thin:
        return ()
    shallowest = min((fills[number - 1] for number in thin), key=lambda fill: fill.layer_depth)
    least = shallowest.layer_depth
    return (
        Finding(
            "void-layer-too-thin",
            Level.WARN,
            phrase(
                "A layer of {layer} in void {numbers} is below the resin's {least}; it may stay soft.",
                layer=Amount(least, LENGTH),
                numbers=" and ".join(map(str, thin)),
                least=Amount(inputs.least_depth, LENGTH),
            ),
            phrase(
                "Fill it with a faster resin that cures at {layer}, or cut the void {more} deeper.",
                layer=Amount(least, LENGTH),
                more=Amount((inputs.least_depth - least) * shallowest.layers, LENGTH),
            ),
            field="voids",
            figures=tuple(f"layers-{number}" for number in thin),
            value=Amount(least, LENGTH),
            worse="down",
            margin=2e-4,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting, and the voids that were found in it."""
    for casting, held in desk.file.casting.items():
        if not held.voids:
            unknown = Missing(f"the voids that you find in {casting}", (("casting", casting, "voids"),))
            yield Filling(casting, {"voids": unknown})
            continue
        rows = [
            combine(
                "",
                lambda *row: row,
                *(desk.at("casting", casting, "voids", void.id, key) for key in ("length", "width", "depth")),
                first(desk.at("casting", casting, "voids", void.id, "count"), assumed(1.0, "one")),
            )
            for void in held.voids
        ]
        resin = desk.resin_of(casting)
        sheet = (
            {}
            if resin is None
            else optional(
                rated_depth=desk.at("resin", resin, "rated-depth"),
                least_depth=desk.at("resin", resin, "least-depth"),
            )
        )
        yield Filling(casting, {"voids": combine("as listed", lambda *all: all, *rows), **sheet})


CALCULATOR = Calculator(
    id="void-fill",
    title="Filling voids",
    stage="fill",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
