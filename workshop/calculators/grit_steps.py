"""Which grits to sand through, how long that takes and how many discs it eats."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal

from workshop.calculator import Calculator, CalculatorInputs, Choice, given
from workshop.calculators.finish_coat import whole_surface
from workshop.desk import Desk, Filling, Given, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import (
    AREA,
    COUNT,
    DURATION,
    GRAIN,
    LENGTH,
    NUMBER,
    PERCENT,
    Amount,
    QuantityError,
)
from workshop.trade.abrasives import (
    FIRST_GRIT,
    MAX_STEP,
    REFERENCE_DISC,
    Grading,
    GritStep,
    Rate,
    grades,
    grit,
    grit_steps,
    rate,
)

GRADINGS: dict[str, Grading] = {"iso": "iso", "cami": "cami"}
SYSTEMS = {"iso": "P grades of ISO 6344 / FEPA 43-1", "cami": "grades of ANSI B74.18 / CAMI"}
FINEST_FOR_OIL = 68e-6
"""m, P220: finer wood is polished shut for a hardwax oil: common practice, no source."""


def read_grading(text: str) -> str:
    """`iso` or `cami` of what is printed on a disc or written in a file; raises QuantityError."""
    plain = text.strip().lower()
    if plain in ("p", "iso") or any(word in plain for word in ("iso", "fepa")):
        return "iso"
    if any(word in plain for word in ("cami", "ansi")):
        return "cami"
    raise QuantityError(f"{text!r} is no grading system: write iso (P grades) or cami (plain numbers)")


def read_grade(text: str) -> str:
    """A grade that one of the two systems has, as printed on the disc; raises QuantityError."""
    plain = "".join(text.upper().split())
    if any(
        plain.removeprefix("P") == grade.name.removeprefix("P")
        for grading in GRADINGS.values()
        if grading == "iso" or not plain.startswith("P")
        for grade in grades(grading)
    ):
        return plain
    raise QuantityError(f"{text!r} is no grade: write one such as P120, or 120 with grading=cami")


GRADE = Choice("a grade", lambda: tuple(grade.name for grade in grades("iso")), read_grade)
GRADING = Choice("a grading system", lambda: tuple(GRADINGS), read_grading)


class Inputs(CalculatorInputs):
    """Where to start and end, on what."""

    start: Annotated[str, GRADE] = given("first grit", help="the one that takes the cutter's marks off")
    end: Annotated[str, GRADE] = given("last grit")
    surface: Literal["wood", "resin"] = given("surface")
    max_step: Annotated[float, NUMBER] = given(
        "greatest ratio of two following grain sizes", default=MAX_STEP, above=1.0, high=5.0
    )
    area: Annotated[float, AREA] | None = given("area to sand", default=None, low=0.0, high=50.0)
    disc: Annotated[float, LENGTH] = given("disc's diameter", default=REFERENCE_DISC, low=0.02, high=0.5)
    grading: Annotated[str, GRADING] = given(
        "grading system of a bare number", default="iso", help="a grade with P is ISO 6344 / FEPA either way"
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.abrasives.grit_steps`."""
    grading = GRADINGS[read_grading(inputs.grading)]
    steps = grit_steps(
        grit(inputs.start, grading),
        grit(inputs.end, grading),
        inputs.surface,
        inputs.max_step,
        inputs.area or 0.0,
        inputs.disc,
    )
    figures = [*_grains(steps), *_widest(inputs, steps)]
    if inputs.area is not None:
        figures += _effort(inputs, inputs.area, steps)
    with_effort = inputs.area is not None
    columns = (
        Column("grit", "grit"),
        Column("grain", "grain size", GRAIN),
        Column("ratio", "step", NUMBER),
        *((Column("time", "time", DURATION), Column("discs", "discs", COUNT)) if with_effort else ()),
    )
    rows = tuple(
        (
            step.grit.name,
            step.grit.size,
            1.0 if step.ratio is None else step.ratio,
            *((step.time, float(step.discs)) if with_effort else ()),
        )
        for step in steps
    )
    title = f"Grits, {SYSTEMS[steps[0].grit.grading]}"
    return Result(
        tuple(figures),
        (*_too_wide(inputs, steps), *_polished_shut(inputs, steps)),
        {"grits": Table(title, columns, rows)},
    )


def _grains(steps: tuple[GritStep, ...]) -> tuple[Figure, ...]:
    figures = []
    for number, step in enumerate(steps, 1):
        size = Amount(step.grit.size, GRAIN)
        figures.append(
            Figure(
                f"grain-{number}",
                step.grit.name,
                step.grit.size,
                GRAIN,
                Working(
                    "grain = table", {"table": size}, step.grit.source, assumed=(SYSTEMS[step.grit.grading],)
                ),
            )
        )
        if step.ratio is not None:
            before = steps[number - 2].grit
            figures.append(
                Figure(
                    f"ratio-{number}",
                    f"{before.name} to {step.grit.name}",
                    step.ratio,
                    NUMBER,
                    Working(
                        "ratio = coarse/fine",
                        {"coarse": Amount(before.size, GRAIN), "fine": size},
                        COMMON_PRACTICE,
                        assumed=("the widest allowed jump each time, which takes fewest grits",),
                    ),
                )
            )
    return (
        Figure(
            "grits",
            "grits",
            float(len(steps)),
            COUNT,
            Working("grits = count", {"count": Amount(len(steps), COUNT)}, COMMON_PRACTICE),
        ),
        *figures,
    )


def _widest(inputs: Inputs, steps: tuple[GritStep, ...]) -> Iterator[Figure]:
    ratios = [step.ratio for step in steps if step.ratio is not None]
    if ratios:
        yield Figure(
            "step-share",
            "widest step, of the greatest allowed",
            max(ratios) / inputs.max_step,
            PERCENT,
            Working(
                "step_share = widest/greatest",
                {"widest": Amount(max(ratios), NUMBER), "greatest": Amount(inputs.max_step, NUMBER)},
                COMMON_PRACTICE,
            ),
        )


def _effort(inputs: Inputs, area: float, steps: tuple[GritStep, ...]) -> tuple[Figure, Figure]:
    of: Rate = rate(inputs.surface)
    numbers = {
        "area": Amount(area, AREA),
        "rate": Amount(of.per_area, NUMBER),
        "disc": Amount(inputs.disc, LENGTH),
        "of_disc": Amount(REFERENCE_DISC, LENGTH),
        "grits": Amount(len(steps), COUNT),
        "first": Amount(FIRST_GRIT, NUMBER),
    }
    assumed = ("rate in seconds a square metre, for a disc of 150 mm", "the first grit takes twice as long")
    one = "one = area*rate*(of_disc/disc)**2; "
    return (
        Figure(
            "time",
            "sanding time",
            sum(step.time for step in steps),
            DURATION,
            Working(one + "time = one*(first + grits - 1)", numbers, COMMON_PRACTICE, assumed=assumed),
        ),
        Figure(
            "discs",
            "discs",
            float(sum(step.discs for step in steps)),
            COUNT,
            Working(
                one + "discs = ceil(one*first/life - 1e-9) + (grits - 1)*ceil(one/life - 1e-9)",
                {**numbers, "life": Amount(of.disc_life, DURATION)},
                COMMON_PRACTICE,
                assumed=assumed,
            ),
        ),
    )


def _too_wide(inputs: Inputs, steps: tuple[GritStep, ...]) -> tuple[Finding, ...]:
    wide = [step.ratio for step in steps if step.too_wide and step.ratio is not None]
    if not wide:
        return ()
    return (
        Finding(
            "grit-step-too-wide",
            Level.WARN,
            phrase(
                "The grades lie up to {ratio} apart, wider than the step of {step} asked for.",
                ratio=Amount(max(wide), NUMBER),
                step=Amount(inputs.max_step, NUMBER),
            ),
            phrase(
                "No grade lies between: allow a step of {ratio}, or stay on each grit about twice as long.",
                ratio=f"{max(wide) + 0.005:.2f}",
            ),
            field="max-step",
            figures=tuple(f"ratio-{n}" for n, step in enumerate(steps, 1) if step.too_wide),
            value=Amount(max(wide), NUMBER),
            margin=0.05,
        ),
    )


def _polished_shut(inputs: Inputs, steps: tuple[GritStep, ...]) -> tuple[Finding, ...]:
    last = steps[-1].grit
    if inputs.surface != "wood" or last.size >= FINEST_FOR_OIL * 0.95:
        return ()
    return (
        Finding(
            "wood-sanded-too-fine",
            Level.NOTE,
            phrase(
                "Wood sanded to {grit}, {grain}, takes up less of an oil.",
                grit=last.name,
                grain=Amount(last.size, GRAIN),
            ),
            phrase(
                f"Stop at P220 before a hardwax oil ({COMMON_PRACTICE}), or at what the finish's label says."
            ),
            field="end",
            figures=("grits",),
            value=Amount(last.size, GRAIN),
            worse="down",
            margin=1e-6,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Wood and resin of every casting, each to its own last grit."""
    for casting in desk.file.casting:
        for surface in ("wood", "resin"):
            yield Filling(
                f"{casting}/{surface}",
                {
                    "start": desk.at("abrasive-schedule", "start"),
                    "end": desk.at("abrasive-schedule", f"{surface}-end"),
                    "surface": Given(surface),
                    **optional(
                        area=whole_surface(desk, casting),
                        disc=desk.at("abrasive-schedule", "disc"),
                        max_step=desk.at("abrasive-schedule", "max-step"),
                        grading=desk.at("abrasive-schedule", "grading"),
                    ),
                },
            )


CALCULATOR = Calculator(
    id="grit-steps",
    title="Abrasive schedule",
    stage="abrasive-schedule",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
