"""Cure age: logged temperatures as the time that the resin would have cured at one temperature."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final, Literal

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.figures import Column, Figure, Result, Table, Working
from workshop.quantity import DURATION, NUMBER, TEMPERATURE, Amount
from workshop.resin_sheet import read_resin
from workshop.trade.cure.age import cure_age, glass_age, rate_ratio, time_left
from workshop.trade.cure.kinetics import GAS, KELVIN

SOURCE: Final = (
    "ASTM C1074, equivalent age with Arrhenius weighting (as in EN 1992-1-1:2004, Annex B, eq. B.10)"
)

Row = tuple[Annotated[float, DURATION], Annotated[float, TEMPERATURE]]


class Inputs(CalculatorInputs):
    """Readings, and how strongly the cure depends on them."""

    readings: tuple[Row, ...] = given(
        "readings", help='[[time, temperature], …] in order, such as [[0, "21 °C"], ["6 h", "18 °C"]]'
    )
    activation: Annotated[float, NUMBER] = given(
        "activation energy in J/mol", low=5000.0, high=250000.0, help="some 50000 of an epoxy"
    )
    reference: Annotated[float, TEMPERATURE] = given(
        "temperature that the age is counted at", low=-20.0, high=150.0
    )
    least: Annotated[float, TEMPERATURE] | None = given(
        "coldest that the resin cures at", default=None, low=-40.0, high=100.0, help="no age below it"
    )
    interpolation: Literal["linear", "step"] = given(
        "between two readings", default="linear", help="straight, or as the one before"
    )
    target: Annotated[float, DURATION] | None = given(
        "age that is wanted", default=None, above=0.0, high=31536000.0
    )
    resin: str | None = given(
        "the resin", default=None, help="its class, sheet or constants: no age once it has turned to glass"
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.cure.age`."""
    if len(inputs.readings) < 2:
        raise InputError("readings", "give two readings at the least, such as [[0, 21], [3600, 20]]")
    most = None
    if inputs.resin is not None:
        resin = read_resin(inputs.resin).central
        ceilings: dict[float, float] = {}

        def most(temperature: float) -> float:
            near = round(temperature, 1)
            if near not in ceilings:
                ceilings[near] = glass_age(resin, near, inputs.reference)
            return ceilings[near]

    try:
        age = cure_age(
            inputs.readings,
            inputs.activation,
            inputs.reference,
            least=inputs.least,
            interpolation=inputs.interpolation,
            most=most,
        )
    except ValueError as error:
        raise InputError("readings", str(error)) from None
    table = Table(
        "Readings",
        (
            Column("time", "time", DURATION),
            Column("temperature", "temperature", TEMPERATURE),
            Column("rate", "as fast as at the reference", NUMBER),
        ),
        tuple(
            (time, warm, rate_ratio(warm, inputs.activation, inputs.reference))
            for time, warm in inputs.readings
        ),
    )
    return Result(tuple(_figures(inputs, age)), (), {"readings": table})


def _figures(inputs: Inputs, age: float) -> Iterator[Figure]:
    reference = Amount(inputs.reference, TEMPERATURE)
    activation = Amount(inputs.activation, NUMBER)
    glass = ("none once it has turned to glass",) if inputs.resin is not None else ()
    cold = (f"none below {inputs.least:g} °C",) if inputs.least is not None else ()
    between = (
        "straight from reading to reading" if inputs.interpolation == "linear" else "each until the next"
    )
    yield Figure(
        "age",
        "cure age",
        age,
        DURATION,
        Working(
            "the sum over the readings of exp(-E/R (1/T - 1/T_ref)) dt",
            {"E": activation, "T_ref": reference},
            SOURCE,
            (between, *cold, *glass),
            simulation=True,
        ),
    )
    if inputs.target is None:
        return
    last = inputs.readings[-1][1]
    yield Figure(
        "left",
        "still to go, at the last temperature",
        time_left(max(0.0, inputs.target - age), last, inputs.activation, inputs.reference),
        DURATION,
        Working(
            f"left = max(0, target - age)/exp(-E/{GAS}*(1/(T + {KELVIN}) - 1/(T_ref + {KELVIN})))",
            {
                "target": Amount(inputs.target, DURATION),
                "age": Amount(age, DURATION),
                "E": activation,
                "T": Amount(last, TEMPERATURE),
                "T_ref": reference,
            },
            SOURCE,
        ),
    )


CALCULATOR = Calculator(
    id="cure-age",
    title="Cure age",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    order=60,
)
