"""Resin to mix for a form or a lift: the room left in it, and what is lost on the way."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import dist
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.hold_down import area_of_pieces, piece_shape, piece_volume
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, LiftPlace, Missing, Source, assumed, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.project.notation import Region
from workshop.quantity import LENGTH, LIQUID_DENSITY, MASS, PERCENT, VOLUME, Amount
from workshop.trade.outline import outline_area
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
        place = ("casting", lift.casting)
        to = desk.at(*lift.path, "to", what=f"the height of {lift.subject}")
        resin = casting_resin(desk, lift.casting)
        shrinkage, density = desk.at(*place, "shrinkage"), None
        if not isinstance(resin, Missing):
            shrinkage = first(shrinkage, desk.at(*resin, "shrinkage"))
            density = mixed_density_of(desk, *resin)
        yield Filling(
            lift.subject,
            {
                "length": inside_of_form(desk, lift.casting, "length"),
                "width": inside_of_form(desk, lift.casting, "width"),
                "depth": combine(
                    "the lift's height less that of the one below",
                    lambda low, high: high - low,
                    lift.below,
                    to,
                ),
                **optional(
                    bed_solid=bed_solid(desk, lift),
                    wood_volume=wood_in_depth(desk, lift.casting, lift.below, to),
                    residue=desk.at(*place, "residue"),
                    reserve=desk.at(*place, "reserve"),
                    shrinkage=shrinkage,
                    soak=_soak(desk, lift),
                    **({} if density is None else {"resin_density": density}),
                ),
            },
        )


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


def bed_solid(desk: Desk, lift: LiftPlace) -> Source:
    """The solid stone of all beds between the heights of a lift, in m³."""
    to = desk.at(*lift.path, "to", what=f"the height of {lift.subject}")
    free = combine(
        "",
        lambda length, width, wood: length * width - wood,
        inside_of_form(desk, lift.casting, "length"),
        inside_of_form(desk, lift.casting, "width"),
        area_of_pieces(desk, lift.casting, "area"),
    )
    parts = []
    for bed in desk.file.casting[lift.casting].bed:
        place = ("casting", lift.casting, "bed", bed)
        inset = first(desk.at(*place, "inset"), assumed(0.0, "none"))
        solid = first(
            desk.at(*place, "packing"),
            combine(
                "bucket test",
                lambda bulk, water: max(0.0, 1 - water / bulk),
                desk.at(*place, "bulk"),
                desk.at(*place, "water"),
            ),
        )
        depth = combine(
            "",
            lambda low, high, start, end: max(0.0, min(high, end) - max(low, start)),
            desk.at(*place, "from"),
            desk.at(*place, "to"),
            lift.below,
            to,
        )
        parts.append(
            combine(
                "",
                _bed_area,
                desk.at(*place, "region"),
                inset,
                free,
                inside_of_form(desk, lift.casting, "length"),
            )
        )
        parts[-1] = combine("", lambda area, deep, share: area * deep * share, parts[-1], depth, solid)
    return combine(
        "stone in this depth, a bed in all of the resin being a strip as long as the form",
        lambda *all: sum(all),
        *parts,
    )


def _bed_area(region: Region, inset: float, free: float, length: float) -> float:
    """The area of a bed in m², its inset taken off along its whole edge."""
    if region.points is None:
        area, edge = free, 2 * (length + free / length)
    else:
        area = outline_area(region.points)
        edge = sum(dist(one, two) for one, two in pairwise([*region.points, region.points[0]]))
    return max(0.0, area - inset * edge)


def _soak(desk: Desk, lift: LiftPlace) -> Source:
    """What the wood drinks, in the first lift, which wets it first."""
    if lift.number > 1:
        return assumed(0.0, "the wood has drunk its fill in the first lift")
    return desk.at("casting", lift.casting, "soak")


def wood_in_depth(desk: Desk, casting: str, below: Source, to: Source) -> Source:
    """The wood of a casting's pieces between two heights, in m³, all pieces standing on the form floor."""
    parts = []
    for piece in desk.file.pieces_of(casting):
        thickness = combine("", lambda shape: shape.thickness, piece_shape(desk, piece))
        parts.append(combine("", _between, piece_volume(desk, piece), thickness, below, to))
    if not parts:
        return Missing(f"the pieces in {casting}", (("piece",),))
    return combine("wood in this depth, the pieces standing on the form floor", lambda *all: sum(all), *parts)


def _between(volume: float, thickness: float, below: float, to: float) -> float:
    return volume * max(0.0, min(to, thickness) - min(below, thickness)) / thickness


CALCULATOR = Calculator(
    id="resin-volume",
    title="Resin to mix",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=10,
)
