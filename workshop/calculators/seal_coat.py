"""Resin for the seal coat, end grain apart, and the cups it is mixed in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import (
    densities_of,
    finer_or_more,
    mixed_density_of,
    of_tool,
    ratio_of,
    tint_high,
)
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.layout.sources import area_of_pieces
from workshop.quantity import (
    AREA,
    COAT_MASS,
    COUNT,
    LIQUID_DENSITY,
    MASS,
    PERCENT,
    RATIO,
    SCALE_MASS,
    Amount,
)
from workshop.trade.mixing import LEAST_SCALE_STEPS, smaller_part_steps, weight_ratio
from workshop.trade.seal_coat import SealCoat, seal_coat


class Inputs(CalculatorInputs):
    """The wood to be closed, what it drinks, and the resin's ratio."""

    alternatives = (("edge-area", "face-area", "end-grain-area"),)

    edge_area: Annotated[float, AREA] = given("area of the edges", default=0.0, low=0.0, high=50.0)
    face_area: Annotated[float, AREA] = given("area of the faces", default=0.0, low=0.0, high=50.0)
    end_grain_area: Annotated[float, AREA] = given("area of the end grain", default=0.0, low=0.0, high=20.0)
    edge_coverage: Annotated[float, COAT_MASS] = given(
        "resin per area of edge", default=0.0, low=0.0, high=3.0
    )
    face_coverage: Annotated[float, COAT_MASS] = given(
        "resin per area of face", default=0.0, low=0.0, high=3.0
    )
    end_grain_coverage: Annotated[float, COAT_MASS] = given(
        "resin per area of end grain",
        default=0.0,
        low=0.0,
        high=5.0,
        help="end grain drinks about twice as much as an edge (common practice, no source)",
    )
    ratio: Annotated[float, RATIO] = given("ratio of part A to part B", above=0.0, high=100.0)
    ratio_by: Literal["weight", "volume"] = given("what the ratio goes by")
    density_a: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part A", default=None, low=500.0, high=2500.0
    )
    density_b: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part B", default=None, low=500.0, high=2500.0
    )
    pot_mass: Annotated[float, MASS] | None = given(
        "most to mix at once",
        default=None,
        above=0.0,
        high=20.0,
        help="the mass that the pot life on the sheet is stated for; a larger cup gets hot sooner",
    )
    tint_percent: Annotated[float, PERCENT] = given("tint, of the mixed mass", default=0.0, low=0.0, high=0.2)
    scale_resolution: Annotated[float, SCALE_MASS] | None = given(
        "scale reads to", default=None, above=0.0, high=0.1
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.seal_coat.seal_coat`."""
    ratio = weight_ratio(inputs.ratio, inputs.ratio_by, inputs.density_a, inputs.density_b)
    coat = seal_coat(
        ratio,
        inputs.edge_area,
        inputs.face_area,
        inputs.end_grain_area,
        inputs.edge_coverage,
        inputs.face_coverage,
        inputs.end_grain_coverage,
        inputs.pot_mass,
    )
    mass, r = Amount(coat.mass, SCALE_MASS), Amount(ratio, RATIO)
    split = {"mass": mass, "r": r}
    most = inputs.pot_mass
    figures = (
        Figure(
            "mass",
            "seal coat",
            coat.mass,
            SCALE_MASS,
            Working(
                "mass = edge*edge_coverage + face*face_coverage + end*end_coverage",
                {
                    "edge": Amount(inputs.edge_area, AREA),
                    "edge_coverage": Amount(inputs.edge_coverage, COAT_MASS),
                    "face": Amount(inputs.face_area, AREA),
                    "face_coverage": Amount(inputs.face_coverage, COAT_MASS),
                    "end": Amount(inputs.end_grain_area, AREA),
                    "end_coverage": Amount(inputs.end_grain_coverage, COAT_MASS),
                },
                COMMON_PRACTICE,
            ),
        ),
        Figure(
            "part-a",
            "part A",
            coat.part_a,
            SCALE_MASS,
            Working("part_a = mass*r/(r + 1)", split, "the ratio on the sheet, by weight"),
        ),
        Figure(
            "part-b",
            "part B",
            coat.part_b,
            SCALE_MASS,
            Working("part_b = mass/(r + 1)", split, "the ratio on the sheet, by weight"),
        ),
        Figure(
            "batches",
            "cups",
            float(coat.batches),
            COUNT,
            Working(
                f"batches = {coat.batches}" if most is None else "batches = ceil(mass/most - 1e-9)",
                {} if most is None else {"mass": mass, "most": Amount(most, MASS)},
                COMMON_PRACTICE,
                assumed=("all in one cup",) if most is None else ("equal cups",),
            ),
        ),
        Figure(
            "each",
            "in each cup",
            coat.each,
            SCALE_MASS,
            Working(
                "each = mass/max(batches, 1)",
                {"mass": mass, "batches": Amount(coat.batches, COUNT)},
                COMMON_PRACTICE,
            ),
        ),
    )
    return Result(
        (*figures, *_cup(inputs, coat), *_tint(inputs, coat)),
        (*_fine_enough(inputs, coat), *tint_high(inputs.tint_percent)),
    )


def _tint(inputs: Inputs, coat: SealCoat) -> Iterator[Figure]:
    """Tint for all cups together, where the coat is tinted."""
    if inputs.tint_percent:
        yield Figure(
            "tint",
            "tint",
            coat.mass * inputs.tint_percent,
            SCALE_MASS,
            Working(
                "tint = mass*part",
                {"mass": Amount(coat.mass, SCALE_MASS), "part": Amount(inputs.tint_percent, PERCENT)},
                COMMON_PRACTICE,
                assumed=("tint on top of part A and part B",),
            ),
        )


def _cup(inputs: Inputs, coat: SealCoat) -> Iterator[Figure]:
    """How full a cup is, and how finely it is weighed."""
    each = Amount(coat.each, SCALE_MASS)
    if inputs.pot_mass is not None:
        yield Figure(
            "cup-share",
            "in each cup, of the most to mix at once",
            coat.each / inputs.pot_mass,
            PERCENT,
            Working(
                "cup_share = each/most",
                {"each": each, "most": Amount(inputs.pot_mass, MASS)},
                COMMON_PRACTICE,
            ),
        )
    if inputs.scale_resolution is not None and coat.batches:
        smaller = min(coat.part_a, coat.part_b) / coat.batches
        yield Figure(
            "scale-steps",
            "scale steps in the smaller part of a cup",
            smaller_part_steps(smaller, smaller, inputs.scale_resolution),
            COUNT,
            Working(
                "scale_steps = min(part_a, part_b)/cups/resolution",
                {
                    "part_a": Amount(coat.part_a, SCALE_MASS),
                    "part_b": Amount(coat.part_b, SCALE_MASS),
                    "cups": Amount(coat.batches, COUNT),
                    "resolution": Amount(inputs.scale_resolution, SCALE_MASS),
                },
                COMMON_PRACTICE,
                assumed=(f"at least {LEAST_SCALE_STEPS} steps",),
            ),
        )


def _fine_enough(inputs: Inputs, coat: SealCoat) -> tuple[Finding, ...]:
    if inputs.scale_resolution is None or not coat.batches:
        return ()
    smaller = min(coat.part_a, coat.part_b) / coat.batches
    steps = smaller_part_steps(smaller, smaller, inputs.scale_resolution)
    if steps >= LEAST_SCALE_STEPS - 1e-9:
        return ()
    least = coat.each * LEAST_SCALE_STEPS / steps
    return (
        Finding(
            "cup-too-small-for-scale",
            Level.WARN,
            phrase(
                "The smaller part of a cup is {smaller}, only {steps} steps of the scale.",
                smaller=Amount(smaller, SCALE_MASS),
                steps=f"{steps:.0f}",
            ),
            finer_or_more(steps, least, inputs.pot_mass or 0.0),
            field="scale-resolution",
            figures=("part-a", "part-b", "batches"),
            value=Amount(smaller, SCALE_MASS),
            worse="down",
            margin=0.002,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting: its pieces' edges and end grain, and their faces where a coverage for faces is known."""
    for casting in desk.file.casting:
        chosen = desk.file.seal_coat.resin
        resin = ("resin", chosen) if chosen is not None and chosen in desk.file.resin else None
        if resin is None:
            none = Missing("the resin of the seal coat", (("seal-coat", "resin"),))
            yield Filling(
                casting, {"edge-area": area_of_pieces(desk, casting, "edge"), "ratio": none, "ratio-by": none}
            )
            continue
        edge = _coverage(desk, "edge-coverage", resin)
        end_grain = first(
            _coverage(desk, "end-grain-coverage", resin),
            combine("twice that of an edge (common practice, no source)", lambda mass: 2 * mass, edge),
        )
        face = _coverage(desk, "face-coverage", resin)
        areas = (
            ("edge", area_of_pieces(desk, casting, "edge"), edge),
            ("end-grain", area_of_pieces(desk, casting, "end_grain"), end_grain),
            (
                "face",
                combine("both faces", lambda area: 2 * area, area_of_pieces(desk, casting, "area")),
                face,
            ),
        )
        inputs: dict[str, Source] = {}
        for name, area, coverage in areas:
            if isinstance(coverage, Given) or name == "edge":
                # An area without its coverage is not known well enough to be sealed.
                inputs[f"{name}-area"] = combine(
                    area.how if isinstance(area, Given) else "", lambda held, _: held, area, coverage
                )
                inputs[f"{name}-coverage"] = coverage
        yield Filling(
            casting,
            {
                **inputs,
                **ratio_of(desk, *resin),
                **densities_of(desk, *resin),
                **optional(
                    pot_mass=desk.at(*resin, "pot-mass"),
                    tint_percent=desk.at(*resin, "tint-percent"),
                    scale_resolution=of_tool(desk, "resolution"),
                ),
            },
        )


def _coverage(desk: Desk, key: str, resin: tuple[str, str]) -> Source:
    """A coverage as mass per area, by the mixed resin's density where it is entered as area per volume."""
    held = desk.at("seal-coat", key)
    if isinstance(held, Given) and held.value.mass_per_area is not None:
        return combine("", lambda coverage: coverage.mass_per_area, held)
    return combine(
        "by the density of the mix",
        lambda coverage, density: coverage.mass(density),
        held,
        mixed_density_of(desk, *resin),
    )


CALCULATOR = Calculator(
    id="seal-coat",
    title="Seal coat",
    stage="seal-coat",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
