"""How much finish a piece takes, in which parts, and in how many zones it is worked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import densities_of, ratio_of
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import (
    AREA,
    COUNT,
    DURATION,
    LENGTH,
    LIQUID_DENSITY,
    NUMBER,
    RATIO,
    SPREAD_RATE,
    VOLUME,
    Amount,
)
from workshop.trade.finish import ARM_REACH, WIPE_RATE, FinishCoat, finish_coat
from workshop.trade.mixing import ratio_by_volume

MANY_ZONES = 12
"""Zones past which one person loses the wet edge: common practice, no source."""


class Inputs(CalculatorInputs):
    """The surface and the finish."""

    area: Annotated[float, AREA] = given(
        "area to finish", above=0.0, high=50.0, help="edges and underside included"
    )
    coverage: Annotated[float, SPREAD_RATE] = given("coverage of one coat", above=0.0, high=2e5)
    ratio: Annotated[float, RATIO] | None = given(
        "ratio of part A to part B",
        default=None,
        above=0.0,
        high=100.0,
        help="left out: a finish of one part",
    )
    ratio_by: Literal["weight", "volume"] | None = given("what the ratio goes by", default=None)
    density_a: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part A", default=None, low=500.0, high=2500.0
    )
    density_b: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part B", default=None, low=500.0, high=2500.0
    )
    coats: Annotated[float, COUNT] = given("coats", default=1.0, low=1.0, high=20.0)
    open_time: Annotated[float, DURATION] | None = given(
        "open time",
        default=None,
        above=0.0,
        high=86400.0,
        help="from laying to the last moment for wiping off",
    )
    reach: Annotated[float, LENGTH] = given(
        "reach over the work from its edge", default=ARM_REACH, above=0.0, high=3.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.finish.finish_coat`."""
    by_volume, how = _ratio(inputs)
    coat = finish_coat(
        inputs.area,
        inputs.coverage,
        None if by_volume is None else by_volume.value,
        round(inputs.coats),
        inputs.open_time,
        inputs.reach,
    )
    area = Amount(inputs.area, AREA)
    amount = Figure(
        "amount",
        "finish for all coats",
        coat.amount,
        VOLUME,
        Working(
            "amount = area*coats/coverage",
            {
                "area": area,
                "coats": Amount(inputs.coats, COUNT),
                "coverage": Amount(inputs.coverage, SPREAD_RATE),
            },
            "the coverage on the label",
        ),
    )
    numbers = {"amount": Amount(coat.amount, VOLUME)}
    if by_volume is None:
        part_a, part_b = (
            Working("part_a = amount", numbers, "one part"),
            Working("part_b = 0", {}, "one part"),
        )
    else:
        numbers["r"] = by_volume
        part_a = Working("part_a = amount*r/(r + 1)", numbers, "the ratio on the label, by volume", how)
        part_b = Working("part_b = amount/(r + 1)", numbers, "the ratio on the label, by volume", how)
    figures = (
        amount,
        Figure("part-a", "part A", coat.part_a, VOLUME, part_a),
        Figure("part-b", "part B", coat.part_b, VOLUME, part_b),
        *_zone(inputs, coat),
        Figure(
            "zones",
            "zones in a coat",
            float(coat.zones),
            COUNT,
            Working(
                "zones = ceil(area/zone - 1e-9)",
                {"area": area, "zone": Amount(coat.zone_area, AREA)},
                COMMON_PRACTICE,
            ),
        ),
    )
    return Result(figures, _too_many(inputs, coat))


def _ratio(inputs: Inputs) -> tuple[Amount | None, tuple[str, ...]]:
    """The ratio by volume with what was assumed for it; None for a finish of one part."""
    if inputs.ratio is None:
        return None, ()
    if inputs.ratio_by is None:
        return Amount(inputs.ratio, RATIO), ("the ratio goes by volume, as a finish is measured",)
    if inputs.ratio_by == "volume":
        return Amount(inputs.ratio, RATIO), ()
    if inputs.density_a is None or inputs.density_b is None:
        return Amount(inputs.ratio, RATIO), ("both parts are equally dense, since a density is not given",)
    return Amount(ratio_by_volume(inputs.ratio, inputs.density_a, inputs.density_b), RATIO), (
        "turned from weight to volume by the densities of the parts",
    )


def _zone(inputs: Inputs, coat: FinishCoat) -> tuple[Figure, ...]:
    """What one person lays and wipes off in the open time, within reach of one place."""
    reached = 2 * inputs.reach**2
    figures = [
        Figure(
            "zone-in-reach",
            "zone within reach of one place",
            reached,
            AREA,
            Working(
                "zone_in_reach = 2*reach**2",
                {"reach": Amount(inputs.reach, LENGTH)},
                COMMON_PRACTICE,
                assumed=("a patch as deep as the reach and twice as wide",),
            ),
        )
    ]
    limits = {"in_reach": Amount(reached, AREA)}
    if inputs.open_time is not None:
        limits["in_time"] = Amount(WIPE_RATE * inputs.open_time, AREA)
        figures.append(
            Figure(
                "zone-in-time",
                "zone that is laid and wiped off in the open time",
                limits["in_time"].value,
                AREA,
                Working(
                    "zone_in_time = rate*open",
                    {"rate": Amount(WIPE_RATE, NUMBER), "open": Amount(inputs.open_time, DURATION)},
                    COMMON_PRACTICE,
                    assumed=("rate: 0.1 m² a minute laid, spread and wiped off by one person",),
                ),
            )
        )
    formula = "zone_area = in_reach" if inputs.open_time is None else "zone_area = min(in_reach, in_time)"
    largest = Figure(
        "zone-area", "largest zone", coat.zone_area, AREA, Working(formula, limits, COMMON_PRACTICE)
    )
    return (largest, *figures)


def _too_many(inputs: Inputs, coat: FinishCoat) -> tuple[Finding, ...]:
    if coat.zones <= MANY_ZONES:
        return ()
    people = -(-coat.zones // MANY_ZONES)
    return (
        Finding(
            "many-zones",
            Level.NOTE,
            phrase("A coat takes {zones} zones, one after the other.", zones=Amount(coat.zones, COUNT)),
            phrase(
                "Finish one face on another day, or share the work between {people} people "
                f"({COMMON_PRACTICE}).",
                people=Amount(people, COUNT),
            ),
            field="area",
            figures=("zones",),
            value=Amount(coat.zones, COUNT),
            margin=1.0,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every coat on every casting."""
    finish = desk.file.finish
    for casting in desk.file.casting:
        if not finish.coats:
            unknown = Missing("the coats of the finish", (("finish", "coats"),))
            yield Filling(casting, {"area": whole_surface(desk, casting), "coverage": unknown})
        for coat in finish.coats:
            own = desk.at("finish", "coats", coat.id, "coverage")
            yield Filling(
                f"{casting}/{coat.id}",
                {
                    "area": whole_surface(desk, casting),
                    "coverage": _spread(first(own, desk.at("finish", "coverage"))),
                    **(
                        {}
                        if finish.ratio_by_weight is None and finish.ratio_by_volume is None
                        else ratio_of(desk, "finish")
                    ),
                    **({} if finish.ratio_by_weight is None else densities_of(desk, "finish")),
                    **optional(open_time=desk.at("finish", "open-time"), reach=desk.at("finish", "reach")),
                },
            )


def whole_surface(desk: Desk, casting: str) -> Source:
    """All of a finished casting: both faces, edges included."""
    return combine(
        "both faces and all edges",
        lambda length, width, thickness: 2 * (length * width + (length + width) * thickness),
        *(desk.at("casting", casting, key) for key in ("length", "width", "thickness")),
    )


def _spread(coverage: Source) -> Source:
    if isinstance(coverage, Given) and coverage.value.area_per_volume is None:
        return Missing("the coverage of the finish as an area per volume", coverage.paths)
    return combine("", lambda held: held.area_per_volume, coverage)


CALCULATOR = Calculator(
    id="finish-coat",
    title="Finish",
    stage="finish",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
