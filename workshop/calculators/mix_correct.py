"""What puts a wrong mix right while it is still in the bucket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final, Literal

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, densities_of, of_tool, weight_ratio_of
from workshop.desk import Desk, Filling, Missing, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Phrase, Result, Working, phrase
from workshop.quantity import LENGTH, LIQUID_DENSITY, PERCENT, RATIO, SCALE_MASS, VOLUME, Amount
from workshop.trade.mixing import RATIO_AIM, RATIO_STOP, WATER, Correction, correct, volume_of_parts

CUT_BACK: Final = 0.010
"""m beyond the last soft place that resin off its ratio is cut back into hard: common practice, no source."""


class Inputs(CalculatorInputs):
    """A mix as weighed."""

    a: Annotated[float, SCALE_MASS] = given("part A as weighed", above=0.0, high=500.0)
    b: Annotated[float, SCALE_MASS] = given("part B as weighed", above=0.0, high=500.0)
    ratio: Annotated[float, RATIO] = given("ratio of part A to part B by weight", above=0.0, high=100.0)
    bucket: Annotated[float, VOLUME] | None = given(
        "what the bucket holds", default=None, above=0.0, high=0.1
    )
    density_a: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part A", default=None, low=500.0, high=2500.0
    )
    density_b: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of part B", default=None, low=500.0, high=2500.0
    )
    ratio_tolerance: Annotated[float, PERCENT] | None = given(
        "error of the ratio that the sheet allows",
        default=None,
        above=0.0,
        high=0.2,
        help="counts where it is stricter than 2 % to aim at and 5 % to pour (common practice, no source)",
    )
    in_form: Literal["no", "yes"] = given("in the form already", default="no")


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.mixing.correct`."""
    held = correct(inputs.a, inputs.b, inputs.ratio)
    a, b = Amount(inputs.a, SCALE_MASS), Amount(inputs.b, SCALE_MASS)
    numbers = {"a": a, "b": b, "r": Amount(inputs.ratio, RATIO)}
    figures = [
        Figure(
            "error",
            "part A off the ratio by",
            held.error,
            PERCENT,
            Working("error = a/b/r - 1", numbers, "the ratio on the sheet, by weight"),
        ),
        Figure(
            "add-a",
            "part A to add",
            held.add_a,
            SCALE_MASS,
            Working("add_a = max(0, r*b - a)", numbers, "the ratio on the sheet, by weight"),
        ),
        Figure(
            "add-b",
            "part B to add",
            held.add_b,
            SCALE_MASS,
            Working("add_b = max(0, a/r - b)", numbers, "the ratio on the sheet, by weight"),
        ),
        Figure(
            "total",
            "in the bucket then",
            held.total,
            SCALE_MASS,
            Working(
                "total = a + b + add_a + add_b",
                {
                    "a": a,
                    "b": b,
                    "add_a": Amount(held.add_a, SCALE_MASS),
                    "add_b": Amount(held.add_b, SCALE_MASS),
                },
                "sum of the parts",
            ),
        ),
    ]
    findings = list(_off_ratio(inputs, held))
    if inputs.bucket is not None and inputs.in_form == "no":
        full = _room(inputs, held)
        figures.append(full)
        findings += _overflow(inputs.bucket, full, held)
    return Result(tuple(figures), tuple(findings))


def _room(inputs: Inputs, held: Correction) -> Figure:
    """Room that the bucket still has after the correction."""
    assert inputs.bucket is not None
    rho_a = WATER if inputs.density_a is None else inputs.density_a
    rho_b = WATER if inputs.density_b is None else inputs.density_b
    a, b = inputs.a + held.add_a, inputs.b + held.add_b
    room = inputs.bucket - volume_of_parts(a, b, rho_a, rho_b)
    unknown = inputs.density_a is None or inputs.density_b is None
    return Figure(
        "room",
        "room left in the bucket (below zero: it runs over)",
        room,
        VOLUME,
        Working(
            "room = bucket - (A/rho_a + B/rho_b)",
            {
                "bucket": Amount(inputs.bucket, VOLUME),
                "A": Amount(a, SCALE_MASS),
                "B": Amount(b, SCALE_MASS),
                "rho_a": Amount(rho_a, LIQUID_DENSITY),
                "rho_b": Amount(rho_b, LIQUID_DENSITY),
            },
            "volumes taken to add up",
            assumed=("a part of unknown density is taken to be as light as water",) if unknown else (),
        ),
    )


def _off_ratio(inputs: Inputs, held: Correction) -> tuple[Finding, ...]:
    off, sheet = abs(held.error), inputs.ratio_tolerance
    aim = RATIO_AIM if sheet is None else min(RATIO_AIM, sheet)
    limit = RATIO_STOP if sheet is None else min(RATIO_STOP, sheet)
    if off <= aim + 1e-9:
        return ()
    short, add, figure = ("B", held.add_b, "add-b") if held.error > 0 else ("A", held.add_a, "add-a")
    stop = off > limit + 1e-9
    by = COMMON_PRACTICE if sheet is None or sheet > RATIO_STOP else "the resin's sheet"
    return (
        Finding(
            "mix-off-ratio",
            Level.STOP if stop else Level.WARN,
            *(_poured(off) if inputs.in_form == "yes" else _to_mend(off, stop, aim, limit, short, add, by)),
            field=short.lower(),
            figures=("error", figure),
            value=Amount(off, PERCENT),
            margin=0.002,
        ),
    )


def _poured(off: float) -> tuple[Phrase, Phrase]:
    """What is left to do where nothing can be weighed in any more."""
    return (
        phrase("It is in the form {error} off.", error=Amount(off, PERCENT)),
        phrase(
            "Mark the place and try its hardness after its time; soft: cut back to hard plus {more} "
            f"and refill ({COMMON_PRACTICE}).",
            more=Amount(CUT_BACK, LENGTH),
        ),
    )


def _to_mend(
    off: float, stop: bool, aim: float, limit: float, short: str, add: float, by: str
) -> tuple[Phrase, Phrase]:
    said = (
        "The mix is {error} off its ratio, part {short} is short; past {limit} it is not poured ({by})."
        if stop
        else "The mix is {error} off its ratio, part {short} is short; aim within {aim} ({by})."
    )
    return (
        phrase(
            said,
            error=Amount(off, PERCENT),
            short=short,
            aim=Amount(aim, PERCENT),
            limit=Amount(limit, PERCENT),
            by=by,
        ),
        phrase(
            "Weigh in {add} of part {short} while it is liquid, mix again for the whole time and scrape "
            "the sides, change the bucket and mix once more.",
            add=Amount(add, SCALE_MASS),
            short=short,
        ),
    )


def _overflow(bucket: float, room: Figure, held: Correction) -> tuple[Finding, ...]:
    if room.value >= 0:
        return ()
    return (
        Finding(
            "bucket-too-small",
            Level.STOP,
            phrase(
                "Put right, the mix comes to {total} and stands {over} over what the bucket holds.",
                total=Amount(held.total, SCALE_MASS),
                over=Amount(-room.value, VOLUME),
            ),
            phrase(
                "Change to a bucket that holds at least {need} before adding anything.",
                need=Amount(bucket - room.value, VOLUME),
            ),
            field="bucket",
            figures=("total", "room"),
            value=Amount(-room.value, VOLUME),
            margin=1e-5,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every batch of a lift as it was weighed."""
    for batch, held in desk.file.record.batch.items():
        casting, _, lift = held.of.partition("/")
        if casting not in desk.file.casting or desk.file.casting[casting].lift(lift) is None:
            continue
        resin = casting_resin(desk, casting)
        weighed = {
            **{part: desk.at("record", "batch", batch, part) for part in ("a", "b")},
            **optional(
                in_form=combine(
                    "it was noted when", lambda _: "yes", desk.at("record", "batch", batch, "in-form")
                )
            ),
        }
        if isinstance(resin, Missing):
            yield Filling(f"{held.of}/{batch}", {**weighed, "ratio": resin})
            continue
        yield Filling(
            f"{held.of}/{batch}",
            {
                **weighed,
                "ratio": weight_ratio_of(desk, *resin),
                **densities_of(desk, *resin),
                **optional(bucket=of_tool(desk, "volume")),
            },
        )


CALCULATOR = Calculator(
    id="mix-correct",
    title="Putting a wrong mix right",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=30,
)
