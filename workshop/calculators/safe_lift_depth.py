"""How deep a lift may be: the least of what its heat, the sheet's depth and the sheet's mass allow."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, given
from workshop.calculators.mix import mixed_density_of
from workshop.calculators.resin_volume import CASTING_RESIN
from workshop.cure_inputs import (
    MODEL,
    CureInputs,
    assumed_of,
    deepest_of,
    limit_of,
    model_findings,
    warm_chain,
)
from workshop.cure_sources import surroundings
from workshop.desk import Desk, Filling, LiftPlace, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import AREA, LENGTH, LIQUID_DENSITY, MASS, TEMPERATURE, Amount
from workshop.trade.lift_depth import warmest_shop

FARTHEST: Final = 0.08
"""m to which a safe depth is looked for where the sheet rates none."""
BEYOND: Final = 1.5
"""Of the rated depth, to which it is looked for."""
DEEPEST: Final = 0.12
THINNEST: Final = 0.001
HEAT: Final = "the heat of its cure"
RATED: Final = "the sheet's rated depth"
BY_MASS: Final = "the sheet's mass per pour"


class DepthInputs(CureInputs):
    """A resin with the bounds on its sheet, a shop, a form, and what lies below."""

    rated_depth: Annotated[float, LENGTH] | None = given(
        "greatest depth on the sheet", default=None, low=THINNEST, high=0.3
    )
    least_depth: Annotated[float, LENGTH] | None = given(
        "least depth on the sheet", default=None, low=0.0, high=0.3
    )
    mass_per_pour: Annotated[float, MASS] | None = given(
        "greatest mass of one pour on the sheet", default=None, above=0.0, high=2000.0
    )
    area: Annotated[float, AREA] | None = given(
        "area of the resin", default=None, above=0.0, high=50.0, help="without the wood, and without stone"
    )
    resin_density: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of the mixed resin", default=None, low=500.0, high=2500.0
    )


class Inputs(DepthInputs):
    """The same."""


def density_of(inputs: DepthInputs) -> float:
    """The resin's density in kg/m³, a usual one where it is not known."""
    return CASTING_RESIN if inputs.resin_density is None else inputs.resin_density


def sheet_depths(inputs: DepthInputs) -> dict[str, float]:
    """The depths in m that the sheet allows, by what sets them."""
    found = {}
    if inputs.rated_depth is not None:
        found[RATED] = inputs.rated_depth
    if inputs.mass_per_pour is not None and inputs.area is not None:
        found[BY_MASS] = inputs.mass_per_pour / (inputs.area * density_of(inputs))
    return found


def farthest(inputs: DepthInputs) -> float:
    """The depth in m up to which the model is asked."""
    return min(DEEPEST, max(FARTHEST, BEYOND * (inputs.rated_depth or 0.0)))


def unknown_density(inputs: DepthInputs) -> tuple[str, ...]:
    """That the density is a usual one, where it is."""
    if inputs.resin_density is not None:
        return ()
    return (f"1.1 kg/L as of a usual casting resin ({COMMON_PRACTICE})",)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.lift_chain.deepest`."""
    model = deepest_of(inputs, farthest(inputs), THINNEST)
    depths = {HEAT: model, **sheet_depths(inputs)}
    governs = min(depths, key=lambda name: depths[name])
    rows = tuple(
        (name, held, "this governs" if name == governs else "")
        for name, held in sorted(depths.items(), key=lambda row: row[1])
    )
    limits = Table(
        "What limits the depth",
        (Column("limit", "limit"), Column("depth", "depth", LENGTH), Column("governs", "governs")),
        rows,
    )
    findings = (*_too_thin(inputs, depths, governs), *model_findings(inputs, warm_chain(inputs, THINNEST)))
    return Result(tuple(_figures(inputs, depths, governs)), findings, {"limits": limits})


def _figures(inputs: Inputs, depths: dict[str, float], governs: str) -> Iterator[Figure]:
    names = {HEAT: "model", RATED: "rated", BY_MASS: "by_mass"}
    said = [names[held] for held in depths]
    lacking: tuple[str, ...] = ()
    if inputs.mass_per_pour is not None and inputs.area is None:
        lacking = ("the sheet's mass per pour is not counted, since the area of the resin is not known",)
    yield Figure(
        "depth",
        "safe depth of the lift",
        depths[governs],
        LENGTH,
        Working(
            f"depth = min({', '.join(said)})" if len(said) > 1 else f"depth = {said[0]}",
            {names[held]: Amount(value, LENGTH) for held, value in depths.items()},
            f"this project's rule: never over the sheet ({COMMON_PRACTICE})",
            (f"{governs} governs", *lacking),
        ),
    )
    most = farthest(inputs)
    chain = warm_chain(inputs, max(depths[HEAT], THINNEST))
    yield Figure(
        "model-depth",
        f"depth that {HEAT} allows",
        depths[HEAT],
        LENGTH,
        Working(
            "the greatest depth whose hot case stays within the limit",
            {"limit": Amount(limit_of(inputs), TEMPERATURE), "shop": Amount(inputs.temperature, TEMPERATURE)},
            MODEL,
            (
                *(("not looked for any deeper",) if depths[HEAT] >= most else ()),
                *assumed_of(inputs, chain),
            ),
            simulation=True,
        ),
    )
    if inputs.mass_per_pour is not None and inputs.area is not None:
        yield Figure(
            "mass-depth",
            f"depth that {BY_MASS} gives",
            depths[BY_MASS],
            LENGTH,
            Working(
                "by_mass = mass/(area*density)",
                {
                    "mass": Amount(inputs.mass_per_pour, MASS),
                    "area": Amount(inputs.area, AREA),
                    "density": Amount(density_of(inputs), LIQUID_DENSITY),
                },
                "the resin's sheet",
                unknown_density(inputs),
            ),
        )


def _too_thin(inputs: Inputs, depths: dict[str, float], governs: str) -> Iterator[Finding]:
    least = max(inputs.least_depth or 0.0, THINNEST)
    if depths[governs] >= least - 1e-9:
        return
    parts: dict[str, Amount | str] = {"least": Amount(least, LENGTH)}
    if governs == HEAT:
        remedy, parts = cooler_or_slower(inputs, least)
    elif governs == RATED:
        remedy = "Look both up on the sheet again: a lift of {least} must be within its rated depth."
    else:
        assert inputs.mass_per_pour is not None
        parts["area"] = Amount(inputs.mass_per_pour / (least * density_of(inputs)), AREA)
        remedy = "Divide the form, so that one pour of {least} covers {area} or less."
    yield Finding(
        "no-safe-depth",
        Level.STOP,
        phrase(
            "No depth is safe: the lift must be {least} at the least, and {governs} allows {depth}.",
            least=Amount(least, LENGTH),
            governs=governs,
            depth=Amount(depths[governs], LENGTH),
        ),
        phrase(remedy, **parts),
        field="resin" if inputs.least_depth is None else "least-depth",
        figures=("depth",),
        value=Amount(least - depths[governs], LENGTH),
        margin=0.0005,
    )


def cooler_or_slower(inputs: CureInputs, depth: float) -> tuple[str, dict[str, Amount | str]]:
    """The way out where even a lift of this depth gets too hot, with its numbers."""
    limit = limit_of(inputs)
    cooler = warmest_shop(warm_chain(inputs, depth), limit)
    if cooler is not None:
        return "Keep the shop at {cooler} or less until the lift is past its peak.", {
            "cooler": Amount(cooler, TEMPERATURE)
        }
    return "Take a slower resin: a lift of {depth} of this one passes {limit} in any shop.", {
        "depth": Amount(depth, LENGTH),
        "limit": Amount(limit, TEMPERATURE),
    }


def depth_sources(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """What a lift's resin, shop, form and sheet say, without its area."""
    sources = {key: source for key, source in surroundings(desk, lift).items() if key != "measured-peak"}
    resin = desk.resin_of(lift.casting)
    if resin is None:
        return sources
    place = ("resin", resin)
    return {
        **sources,
        **optional(
            rated_depth=desk.at(*place, "rated-depth"),
            least_depth=desk.at(*place, "least-depth"),
            mass_per_pour=desk.at(*place, "mass-per-pour"),
            resin_density=mixed_density_of(desk, *place),
        ),
    }


def area_of(desk: Desk, lifts: tuple[LiftPlace, ...]) -> Source:
    """The mean area of the resin over the planned heights of lifts that lie one on the other."""
    if not lifts:
        return Missing("the lifts")
    top = desk.at(*lifts[-1].path, "to")
    cavities = [desk.figure("resin-volume", lift.subject, "cavity") for lift in lifts]

    def area(low: float, high: float, *volumes: float) -> float | None:
        return sum(volumes) / (high - low) if high - low > THINNEST / 2 and sum(volumes) > 0 else None

    found = combine("its resin over its depth", area, lifts[0].below, top, *cavities)
    if not isinstance(found, Missing) and found.value is None:
        return Missing(f"the room for resin in {lifts[0].casting}", found.paths)
    return found


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift that is not poured yet."""
    for lift in desk.lifts():
        if lift.subject not in desk.file.record.poured:
            yield Filling(
                lift.subject, {**depth_sources(desk, lift), **optional(area=area_of(desk, (lift,)))}
            )


CALCULATOR = Calculator(
    id="safe-lift-depth",
    title="Safe depth of a lift",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=6,
    slow=True,
)
