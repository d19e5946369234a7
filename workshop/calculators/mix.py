"""What to weigh of part A, part B and tint."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, Final, Literal

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Phrase, Result, Working, phrase
from workshop.quantity import COUNT, LIQUID_DENSITY, MASS, PERCENT, RATIO, SCALE_MASS, VOLUME, Amount
from workshop.trade.mixing import (
    LEAST_SCALE_STEPS,
    SHEET_DISAGREEMENT,
    Mix,
    mix_of_mass,
    mix_of_volume,
    mixed_density,
    sheet_disagreement,
    smaller_part_steps,
    weight_ratio,
)

SHEET = "the ratio on the sheet"
LARGE_MIX: Final = 1.0
"""kg from which a mix is one for a deep lift, of which more may be mixed: common practice, no source."""
MOST_TINT: Final = 0.05
"""Of the mixed mass, past which tint may keep a resin soft: common practice, no source; the sheet rules."""


class Inputs(CalculatorInputs):
    """How much, at which ratio."""

    alternatives = (("mass", "volume"),)

    volume: Annotated[float, VOLUME] | None = given(
        "mixed volume", default=None, above=0.0, high=1.0, help="of part A and part B together"
    )
    mass: Annotated[float, MASS] | None = given(
        "mixed mass",
        default=None,
        above=0.0,
        high=1000.0,
        help="of part A and part B together; tint comes on top. Where volume is given too, the mass counts",
    )
    ratio: Annotated[float, RATIO] = given("ratio of part A to part B", above=0.0, high=100.0)
    ratio_by: Literal["weight", "volume"] = given("what the ratio goes by")
    density_a: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part A", default=None, low=500.0, high=2500.0
    )
    density_b: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part B", default=None, low=500.0, high=2500.0
    )
    tint_percent: Annotated[float, PERCENT] = given("tint, of the mixed mass", default=0.0, low=0.0, high=0.2)
    scale_resolution: Annotated[float, SCALE_MASS] | None = given(
        "scale reads to", default=None, above=0.0, high=0.1
    )
    ratio_by_weight: Annotated[float, RATIO] | None = given(
        "ratio by weight as the sheet prints it",
        default=None,
        above=0.0,
        high=100.0,
        help="only to see whether the sheet's two ratios agree",
    )
    ratio_by_volume: Annotated[float, RATIO] | None = given(
        "ratio by volume as the sheet prints it",
        default=None,
        above=0.0,
        high=100.0,
        help="only to see whether the sheet's two ratios agree",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.mixing`."""
    if inputs.mass is not None:
        mix = mix_of_mass(
            inputs.mass,
            inputs.ratio,
            inputs.ratio_by,
            inputs.density_a,
            inputs.density_b,
            inputs.tint_percent,
        )
    else:
        assert inputs.volume is not None
        mix = mix_of_volume(
            inputs.volume,
            inputs.ratio,
            inputs.ratio_by,
            inputs.density_a,
            inputs.density_b,
            inputs.tint_percent,
        )
    figures = (*_figures(inputs, mix), *_ratios_apart(inputs), *_scale_steps(inputs, mix))
    return Result(
        figures, (*_two_ratios(inputs), *_fine_enough(inputs, mix), *tint_high(inputs.tint_percent))
    )


def _figures(inputs: Inputs, mix: Mix) -> tuple[Figure, ...]:
    mass, r = Amount(mix.mass, SCALE_MASS), Amount(mix.ratio_by_weight, RATIO)
    densities = (
        {}
        if inputs.density_a is None or inputs.density_b is None
        else {
            "rho_a": Amount(inputs.density_a, LIQUID_DENSITY),
            "rho_b": Amount(inputs.density_b, LIQUID_DENSITY),
        }
    )
    by_weight = inputs.ratio_by == "weight"
    total, numbers = (
        ("mass = m", {"m": mass})
        if inputs.mass is not None or inputs.volume is None
        else (
            "mass = V*(r + 1)/(r/rho_a + 1/rho_b)",
            {"V": Amount(inputs.volume, VOLUME), "r": r, **densities},
        )
    )
    figures = [
        Figure(
            "mass-a",
            "part A",
            mix.mass_a,
            SCALE_MASS,
            Working("mass_a = mass*r/(r + 1)", {"mass": mass, "r": r}, SHEET),
        ),
        Figure(
            "mass-b",
            "part B",
            mix.mass_b,
            SCALE_MASS,
            Working("mass_b = mass/(r + 1)", {"mass": mass, "r": r}, SHEET),
        ),
        Figure(
            "mass",
            "together",
            mix.mass,
            SCALE_MASS,
            Working(total, numbers, "volumes taken to add up" if len(numbers) > 1 else "as given"),
        ),
        Figure(
            "ratio-by-weight",
            "ratio by weight",
            mix.ratio_by_weight,
            RATIO,
            Working(
                "r = ratio" if by_weight else "r = ratio*rho_a/rho_b",
                {"ratio": Amount(inputs.ratio, RATIO), **({} if by_weight else densities)},
                SHEET,
            ),
        ),
        Figure(
            "tint",
            "tint",
            mix.tint,
            SCALE_MASS,
            Working(
                "tint = mass*part",
                {"mass": mass, "part": Amount(inputs.tint_percent, PERCENT)},
                COMMON_PRACTICE,
                assumed=("tint on top of part A and part B",),
            ),
        ),
    ]
    if mix.volume is not None and mix.volume_a is not None and mix.volume_b is not None and densities:
        figures += [
            Figure(
                "volume-a",
                "part A by volume",
                mix.volume_a,
                VOLUME,
                Working(
                    "volume_a = mass_a/rho_a",
                    {"mass_a": Amount(mix.mass_a, SCALE_MASS), "rho_a": densities["rho_a"]},
                    "definition of density",
                ),
            ),
            Figure(
                "volume-b",
                "part B by volume",
                mix.volume_b,
                VOLUME,
                Working(
                    "volume_b = mass_b/rho_b",
                    {"mass_b": Amount(mix.mass_b, SCALE_MASS), "rho_b": densities["rho_b"]},
                    "definition of density",
                ),
            ),
            Figure(
                "volume",
                "together by volume",
                mix.volume,
                VOLUME,
                Working(
                    "volume = volume_a + volume_b",
                    {"volume_a": Amount(mix.volume_a, VOLUME), "volume_b": Amount(mix.volume_b, VOLUME)},
                    "volumes taken to add up",
                ),
            ),
        ]
    return tuple(figures)


def _scale_steps(inputs: Inputs, mix: Mix) -> tuple[Figure, ...]:
    """In how many steps of the scale the smaller part is weighed."""
    if inputs.scale_resolution is None:
        return ()
    return (
        Figure(
            "scale-steps",
            "scale steps in the smaller part",
            smaller_part_steps(mix.mass_a, mix.mass_b, inputs.scale_resolution),
            COUNT,
            Working(
                "scale_steps = min(mass_a, mass_b)/resolution",
                {
                    "mass_a": Amount(mix.mass_a, SCALE_MASS),
                    "mass_b": Amount(mix.mass_b, SCALE_MASS),
                    "resolution": Amount(inputs.scale_resolution, SCALE_MASS),
                },
                COMMON_PRACTICE,
                assumed=(f"at least {LEAST_SCALE_STEPS} steps",),
            ),
        ),
    )


def _both_ratios(inputs: Inputs) -> tuple[float, float, float, float] | None:
    """By weight, by volume and both densities, where a sheet gives all four."""
    by_weight = inputs.ratio if inputs.ratio_by == "weight" else inputs.ratio_by_weight
    by_volume = inputs.ratio if inputs.ratio_by == "volume" else inputs.ratio_by_volume
    if by_weight is None or by_volume is None or inputs.density_a is None or inputs.density_b is None:
        return None
    return by_weight, by_volume, inputs.density_a, inputs.density_b


def _ratios_apart(inputs: Inputs) -> tuple[Figure, ...]:
    """A sheet that prints both ratios says the same thing twice, or one of them is wrong."""
    sheet = _both_ratios(inputs)
    if sheet is None:
        return ()
    names = ("weight", "volume", "rho_a", "rho_b")
    kinds = (RATIO, RATIO, LIQUID_DENSITY, LIQUID_DENSITY)
    return (
        Figure(
            "ratios-apart",
            "how far the sheet's two ratios lie apart",
            sheet_disagreement(*sheet),
            PERCENT,
            Working(
                "ratios_apart = weight/(volume*rho_a/rho_b) - 1",
                {name: Amount(held, kind) for name, held, kind in zip(names, sheet, kinds, strict=True)},
                SHEET,
            ),
        ),
    )


def _two_ratios(inputs: Inputs) -> tuple[Finding, ...]:
    sheet = _both_ratios(inputs)
    if sheet is None:
        return ()
    by_weight, by_volume, density_a, density_b = sheet
    apart = sheet_disagreement(*sheet)
    if abs(apart) <= SHEET_DISAGREEMENT + 1e-9:
        return ()
    expected = by_volume * density_a / density_b
    return (
        Finding(
            "sheet-ratios-disagree",
            Level.STOP,
            phrase(
                "The sheet's ratios lie {apart} apart: {by_volume} by volume is {expected} by weight, and "
                "the sheet says {by_weight}.",
                apart=Amount(abs(apart), PERCENT),
                by_volume=Amount(by_volume, RATIO),
                expected=Amount(expected, RATIO),
                by_weight=Amount(by_weight, RATIO),
            ),
            phrase(
                "Read ratios and densities on the sheet again, and ask the maker of the resin where they "
                "still part by over 2 %."
            ),
            field="ratio",
            figures=("ratio-by-weight", "ratios-apart"),
            value=Amount(abs(apart), PERCENT),
            margin=0.005,
        ),
    )


def _fine_enough(inputs: Inputs, mix: Mix) -> tuple[Finding, ...]:
    if inputs.scale_resolution is None:
        return ()
    steps = smaller_part_steps(mix.mass_a, mix.mass_b, inputs.scale_resolution)
    if steps >= LEAST_SCALE_STEPS - 1e-9:
        return ()
    smaller = min(mix.mass_a, mix.mass_b)
    return (
        Finding(
            "mix-too-small-for-scale",
            Level.WARN,
            phrase(
                "The smaller part is {smaller}, only {steps} steps of the scale; one step is over 1 % of it.",
                smaller=Amount(smaller, SCALE_MASS),
                steps=f"{steps:.0f}",
            ),
            finer_or_more(
                steps, mix.mass * LEAST_SCALE_STEPS / steps, 0.0 if mix.mass < LARGE_MIX else math.inf
            ),
            field="scale-resolution",
            figures=("mass-a", "mass-b", "scale-steps"),
            value=Amount(smaller, SCALE_MASS),
            worse="down",
            margin=0.002,
        ),
    )


def finer_or_more(steps: float, least: float, most: float) -> Phrase:
    """A finer scale for a part of `steps`; or `least` kg at once, where up to `most` kg may be mixed so.

    A larger mix heats itself and gels sooner, so that more of it is no way out of a coarse scale.
    """
    finer = "Weigh it on a scale that reads {times} times finer"
    if least > most + 1e-9:
        return phrase(f"{finer} ({COMMON_PRACTICE}).", times=str(finer_scale(steps)))
    return phrase(
        f"{finer}, or mix at least {{mass}} at once ({COMMON_PRACTICE}).",
        times=str(finer_scale(steps)),
        mass=Amount(least, SCALE_MASS),
    )


def tint_high(part: float) -> Iterator[Finding]:
    """More tint than a resin usually takes without staying soft."""
    if part > MOST_TINT + 1e-9:
        yield Finding(
            "tint-high",
            Level.WARN,
            phrase(
                "The tint is {part} of the mix, and too much of it keeps the resin soft.",
                part=Amount(part, PERCENT),
            ),
            phrase(
                f"Stay at {{most}} or less ({COMMON_PRACTICE}); the resin's sheet rules.",
                most=Amount(MOST_TINT, PERCENT),
            ),
            field="tint-percent",
            figures=("tint",),
            value=Amount(part, PERCENT),
            margin=0.002,
        )


def finer_scale(steps: float) -> int:
    """How many times finer a scale must read, in tens, for `steps` of it to become enough."""
    return int(10 ** max(1, math.ceil(math.log10(LEAST_SCALE_STEPS / steps) - 1e-9)))


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift as one mix, from the resin it takes."""
    for lift in desk.lifts():
        resin = casting_resin(desk, lift.casting)
        needs: dict[str, Source] = {"volume": desk.figure("resin-volume", lift.subject, "volume")}
        if isinstance(resin, Missing):
            yield Filling(lift.subject, {**needs, "ratio": resin, "ratio-by": resin})
            continue
        yield Filling(
            lift.subject,
            {
                **needs,
                **ratio_of(desk, *resin),
                **densities_of(desk, *resin),
                **optional(
                    tint_percent=desk.at(*resin, "tint-percent"),
                    scale_resolution=of_tool(desk, "resolution"),
                    ratio_by_weight=desk.at(*resin, "ratio-by-weight"),
                    ratio_by_volume=desk.at(*resin, "ratio-by-volume"),
                ),
            },
        )


def ratio_of(desk: Desk, *place: str) -> dict[str, Source]:
    """`ratio` and `ratio-by` of a resin or finish; by weight where both are known, since it is weighed."""
    weight, volume = desk.at(*place, "ratio-by-weight"), desk.at(*place, "ratio-by-volume")
    if isinstance(weight, Missing) and isinstance(volume, Given):
        return {"ratio": volume, "ratio-by": Given("volume", volume.paths)}
    by = Given("weight", weight.paths) if isinstance(weight, Given) else weight
    return {"ratio": weight, "ratio-by": by}


def densities_of(desk: Desk, *place: str) -> dict[str, Source]:
    """`density-a` and `density-b`, where they are known."""
    return optional(density_a=desk.at(*place, "density-a"), density_b=desk.at(*place, "density-b"))


def weight_ratio_of(desk: Desk, *place: str) -> Source:
    """The ratio by weight, from the one by volume and the densities where only that is known."""
    return first(
        desk.at(*place, "ratio-by-weight"),
        combine(
            "from the ratio by volume",
            lambda ratio, a, b: weight_ratio(ratio, "volume", a, b),
            desk.at(*place, "ratio-by-volume"),
            desk.at(*place, "density-a"),
            desk.at(*place, "density-b"),
        ),
    )


def mixed_density_of(desk: Desk, *place: str) -> Source:
    """The density of the liquid mix in kg/m³."""
    return combine(
        "volumes of part A and part B added up",
        mixed_density,
        weight_ratio_of(desk, *place),
        desk.at(*place, "density-a"),
        desk.at(*place, "density-b"),
    )


def casting_resin(desk: Desk, casting: str) -> tuple[str, str] | Missing:
    """Where a casting's resin stands in the file, or that it is not chosen yet."""
    resin = desk.resin_of(casting)
    return (
        ("resin", resin)
        if resin is not None
        else Missing(f"the resin of {casting}", (("casting", casting, "resin"),))
    )


def of_tool(desk: Desk, key: str) -> Source:
    """A figure of the first tool that has one, such as the `resolution` of the scale."""
    for tool in desk.file.tool:
        found = desk.at("tool", tool, key)
        if isinstance(found, Given):
            return found
    return Missing(f"the {key.replace('-', ' ')} of a tool", (("tool",),))


CALCULATOR = Calculator(
    id="mix",
    title="Part A, part B and tint",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=20,
)
