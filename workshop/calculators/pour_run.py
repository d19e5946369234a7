"""A pour in several batches: who does what when, and whether the last one still meets liquid resin."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, assumed, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import COUNT, DURATION, MASS, Amount
from workshop.trade.pour_run import (
    MIXING,
    POURING,
    SHARE,
    WEIGHING,
    Turn,
    late_by,
    people_needed,
    pour_run,
)


class Inputs(CalculatorInputs):
    """A lift's resin in batches, who is there, and how long each step takes."""

    mass: Annotated[float, MASS] = given("resin to mix", above=0.0, high=2000.0)
    batches: Annotated[float, COUNT] = given("batches", default=1.0, low=1.0, high=200.0)
    people: Annotated[float, COUNT] = given("people", default=1.0, low=1.0, high=12.0)
    scales: Annotated[float, COUNT] = given("scales", default=1.0, low=1.0, high=12.0)
    weighing: Annotated[float, DURATION] = given(
        "weighing a batch", default=WEIGHING, low=0.0, high=7200.0, help="3 min is customary"
    )
    mixing: Annotated[float, DURATION] = given(
        "mixing a batch", default=MIXING, low=0.0, high=7200.0, help="7 to 8 min by hand is customary"
    )
    pouring: Annotated[float, DURATION] = given(
        "pouring a batch", default=POURING, low=0.0, high=7200.0, help="3 min is customary"
    )
    gel: Annotated[float, DURATION] | None = given(
        "gel time of the first batch in the form", default=None, above=0.0, high=8640000.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.pour_run`."""
    turns = pour_run(
        round(inputs.batches),
        round(inputs.people),
        round(inputs.scales),
        inputs.weighing,
        inputs.mixing,
        inputs.pouring,
    )
    return Result(tuple(_figures(inputs, turns)), tuple(_late(inputs, turns)), {"turns": _table(turns)})


def _figures(inputs: Inputs, turns: tuple[Turn, ...]) -> Iterator[Figure]:
    ends = tuple(Amount(turn.in_form, DURATION) for turn in turns)
    usual = tuple(
        f"{customary / 60:g} min for {what} a batch ({COMMON_PRACTICE})"
        for customary, took, what in (
            (WEIGHING, inputs.weighing, "weighing"),
            (MIXING, inputs.mixing, "mixing"),
            (POURING, inputs.pouring, "pouring"),
        )
        if took == customary
    )
    yield Figure(
        "each",
        "in each batch",
        inputs.mass / inputs.batches,
        MASS,
        Working(
            "each = mass/batches",
            {"mass": Amount(inputs.mass, MASS), "batches": Amount(inputs.batches, COUNT)},
            COMMON_PRACTICE,
        ),
    )
    yield Figure(
        "run-time",
        "from the first weighing until all is in the form",
        max(end.value for end in ends),
        DURATION,
        Working(
            "run_time = max(in_form)",
            {"in_form": ends},
            f"each batch by whoever is free first ({COMMON_PRACTICE})",
            usual,
        ),
    )
    yield Figure(
        "last-after-first",
        "the last batch in the form, after the first",
        late_by(turns),
        DURATION,
        Working(
            "last_after_first = max(in_form) - first",
            {"in_form": ends, "first": ends[0]},
            f"each batch by whoever is free first ({COMMON_PRACTICE})",
        ),
    )
    if inputs.gel is not None:
        yield Figure(
            "time-left",
            "to spare before the first batch is half-way to its gel (below zero: late)",
            SHARE * inputs.gel - late_by(turns),
            DURATION,
            Working(
                f"time_left = {SHARE}*gel - last",
                {"gel": Amount(inputs.gel, DURATION), "last": Amount(late_by(turns), DURATION)},
                f"half the gel time of the first batch ({COMMON_PRACTICE})",
            ),
        )


def _table(turns: tuple[Turn, ...]) -> Table:
    return Table(
        "Who does what when",
        (
            Column("batch", "batch", COUNT),
            Column("person", "person", COUNT),
            Column("scale", "scale", COUNT),
            Column("weigh", "weigh from", DURATION),
            Column("mix", "mix from", DURATION),
            Column("pour", "pour from", DURATION),
            Column("in-form", "in the form", DURATION),
        ),
        tuple(
            (
                float(turn.batch),
                float(turn.person),
                float(turn.scale),
                turn.weighing,
                turn.mixing,
                turn.pouring,
                turn.in_form,
            )
            for turn in turns
        ),
    )


def _late(inputs: Inputs, turns: tuple[Turn, ...]) -> Iterator[Finding]:
    if inputs.gel is None:
        return
    within, took = SHARE * inputs.gel, late_by(turns)
    if took <= within + 1e-9:
        return
    people = people_needed(len(turns), within, inputs.weighing, inputs.mixing, inputs.pouring)
    fewer = next(
        (
            count
            for count in range(len(turns) - 1, 0, -1)
            if late_by(
                pour_run(
                    count,
                    round(inputs.people),
                    round(inputs.scales),
                    inputs.weighing,
                    inputs.mixing,
                    inputs.pouring,
                )
            )
            <= within
        ),
        1,
    )
    ways = [] if people is None else ["have {people} people, each with a scale"]
    ways.append("take {fewer} larger batches" if fewer > 1 else "mix it all in {fewer} batch")
    yield Finding(
        "last-batch-late",
        Level.STOP if took > inputs.gel else Level.WARN,
        phrase(
            "The last batch is in the form {took} after the first, which has gelled by then."
            if took > inputs.gel
            else "The last batch is in the form {took} after the first, past half its gel time of {gel}.",
            took=Amount(took, DURATION),
            gel=Amount(inputs.gel, DURATION),
        ),
        phrase(
            (lambda said: f"{said[0].upper()}{said[1:]}.")(", or ".join(ways)),
            people=str(people),
            fewer=str(fewer),
        ),
        field="batches",
        figures=("last-after-first", "time-left"),
        value=Amount(took, DURATION),
        margin=60.0,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift that is not poured yet, by all who are there every day and all scales."""
    people = sum(1 for held in desk.file.person.values() if held.days is None)
    scales = sum(1 for held in desk.file.tool.values() if held.resolution is not None)
    for lift in desk.lifts():
        if lift.subject in desk.file.record.poured:
            continue
        yield Filling(
            lift.subject,
            {
                "mass": desk.figure("resin-volume", lift.subject, "mass"),
                "batches": desk.figure("batches", lift.subject, "batches"),
                "people": assumed(float(max(1, people)), "those who are there on every day"),
                "scales": assumed(float(max(1, scales)), "the scales among the tools"),
                **optional(gel=desk.figure("lift-cure", lift.subject, "gel")),
            },
        )


CALCULATOR = Calculator(
    id="pour-run",
    title="The run of a pour",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=27,
)
