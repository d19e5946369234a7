"""Resin to mix for a form or a lift: the room left in it, and what is lost on the way."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, LiftPlace, Missing, Source, assumed, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.layout.sources import bed_solid, inside_of_form, wood_in_depth
from workshop.quantity import LENGTH, LIQUID_DENSITY, MASS, PERCENT, VOLUME, Amount
from workshop.trade.resin_volume import ResinVolume, resin_volume

CASTING_RESIN = 1100.0
"""kg/m³ of a mixed casting resin whose densities are not given: common practice, no source."""
CUSTOMARY_RESIDUE = 0.02
"""Fraction that stays in the buckets, 2 to 3 %: common practice, no source."""


class Inputs(CalculatorInputs):
    """The form, what stands in it, and the losses."""

    length: Annotated[float, LENGTH] = given("length inside the form", above=0.0, high=10.0)
    width: Annotated[float, LENGTH] = given("width inside the form", above=0.0, high=5.0)
    depth: Annotated[float, LENGTH] = given("depth of the resin", above=0.0, high=1.0)
    wood_volume: Annotated[float, VOLUME] = given("wood in that depth", default=0.0, low=0.0, high=5.0)
    bed_solid: Annotated[float, VOLUME] = given(
        "solid stone in that depth",
        default=0.0,
        low=0.0,
        high=5.0,
        help="without the spaces between the stones",
    )
    soak: Annotated[float, VOLUME] = given("resin that the wood drinks", default=0.0, low=0.0, high=0.1)
    residue: Annotated[float, PERCENT] = given(
        "part of the mix that stays in the buckets",
        default=0.0,
        low=0.0,
        high=0.5,
        help="2 to 3 % is customary",
    )
    shrinkage: Annotated[float, PERCENT] = given(
        "shrinkage of the resin's volume in curing", default=0.0, low=0.0, high=0.2
    )
    reserve: Annotated[float, PERCENT] = given("reserve on top", default=0.0, low=0.0, high=1.0)
    resin_density: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of the mixed resin", default=None, low=500.0, high=2500.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.resin_volume.resin_volume`."""
    density = CASTING_RESIN if inputs.resin_density is None else inputs.resin_density
    held = resin_volume(
        inputs.length * inputs.width * inputs.depth,
        inputs.wood_volume,
        inputs.bed_solid,
        inputs.soak,
        inputs.shrinkage,
        inputs.residue,
        inputs.reserve,
        density,
    )
    cavity = Figure(
        "cavity",
        "room for resin",
        held.cavity,
        VOLUME,
        Working(
            "cavity = L*W*D - wood - stone",
            {
                "L": Amount(inputs.length, LENGTH),
                "W": Amount(inputs.width, LENGTH),
                "D": Amount(inputs.depth, LENGTH),
                "wood": Amount(inputs.wood_volume, VOLUME),
                "stone": Amount(inputs.bed_solid, VOLUME),
            },
            "geometry",
        ),
    )
    poured = Figure(
        "poured",
        "resin into the form",
        held.poured,
        VOLUME,
        Working(
            "poured = cavity/(1 - shrinkage) + soak",
            {
                "cavity": Amount(held.cavity, VOLUME),
                "shrinkage": Amount(inputs.shrinkage, PERCENT),
                "soak": Amount(inputs.soak, VOLUME),
            },
            "geometry",
            assumed=("shrinkage as a part of the liquid volume",),
        ),
    )
    volume = Figure(
        "volume",
        "volume to mix",
        held.total,
        VOLUME,
        Working(
            "volume = poured/(1 - residue)*(1 + reserve)",
            {
                "poured": Amount(held.poured, VOLUME),
                "residue": Amount(inputs.residue, PERCENT),
                "reserve": Amount(inputs.reserve, PERCENT),
            },
            COMMON_PRACTICE,
            assumed=("residue as a part of what is mixed",),
        ),
    )
    mass = Figure(
        "mass",
        "mass to mix",
        held.total * density,
        MASS,
        Working(
            "mass = volume*density",
            {"volume": Amount(held.total, VOLUME), "density": Amount(density, LIQUID_DENSITY)},
            "definition of density",
            assumed=()
            if inputs.resin_density is not None
            else ("1.1 kg/L as of a usual casting resin (common practice, no source)",),
        ),
    )
    return Result((volume, mass, cavity, poured), _nothing_for_the_bucket(inputs, held))


def _nothing_for_the_bucket(inputs: Inputs, held: ResinVolume) -> tuple[Finding, ...]:
    if inputs.residue + inputs.reserve >= CUSTOMARY_RESIDUE - 1e-9 or held.poured == 0:
        return ()
    short = held.poured / (1 - CUSTOMARY_RESIDUE) - held.total
    return (
        Finding(
            "nothing-for-the-bucket",
            Level.NOTE,
            phrase(
                "Residue and reserve are {spare} together, and 2 to 3 % of a mix stays in the buckets "
                f"({COMMON_PRACTICE}).",
                spare=Amount(inputs.residue + inputs.reserve, PERCENT),
            ),
            phrase("Count on a residue of 2 %: mix {more} more.", more=Amount(short, VOLUME)),
            field="residue",
            figures=("volume", "mass"),
            value=Amount(short, VOLUME),
            margin=1e-4,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift, from the height it starts at to the height it reaches."""
    for casting, held in desk.file.casting.items():
        if not held.lifts:
            unknown = Missing(f"the lifts of {casting}", (("casting", casting, "lifts"),))
            sizes = {key: inside_of_form(desk, casting, key) for key in ("length", "width")}
            yield Filling(casting, {**sizes, "depth": unknown})
    for lift in desk.lifts():
        yield Filling(lift.subject, lift_inputs(desk, lift))


def lift_inputs(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """What the volume of one lift is worked out from."""
    to = desk.at(*lift.path, "to", what=f"the height of {lift.subject}")
    wood = wood_in_depth(desk, lift.casting, lift.below, to)
    depth = combine(
        "the lift's height less that of the one below", lambda low, high: high - low, lift.below, to
    )
    if isinstance(wood, Missing) and desk.file.pieces_of(lift.casting):
        # Wood that stands there but is not measured must not be counted as resin.
        depth = combine("", lambda deep, _wood: deep, depth, wood)
    return {
        "length": inside_of_form(desk, lift.casting, "length"),
        "width": inside_of_form(desk, lift.casting, "width"),
        "depth": depth,
        **optional(bed_solid=bed_solid(desk, lift), wood_volume=wood),
        **losses(desk, lift),
    }


def losses(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """What goes beside the room to be filled, and the density, as far as they are known."""
    place = ("casting", lift.casting)
    resin = casting_resin(desk, lift.casting)
    shrinkage, density = desk.at(*place, "shrinkage"), None
    if not isinstance(resin, Missing):
        shrinkage = first(shrinkage, desk.at(*resin, "shrinkage"))
        density = mixed_density_of(desk, *resin)
    return optional(
        residue=desk.at(*place, "residue"),
        reserve=desk.at(*place, "reserve"),
        shrinkage=shrinkage,
        soak=_soak(desk, lift),
        **({} if density is None else {"resin_density": density}),
    )


def _soak(desk: Desk, lift: LiftPlace) -> Source:
    """What the wood drinks, in the first lift, which wets it first."""
    if lift.number > 1:
        return assumed(0.0, "the wood has drunk its fill in the first lift")
    return desk.at("casting", lift.casting, "soak")


CALCULATOR = Calculator(
    id="resin-volume",
    title="Resin to mix",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=10,
)
