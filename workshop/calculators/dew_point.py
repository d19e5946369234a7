"""Where the air's water condenses, and how far a surface is from it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import PERCENT, TEMPERATURE, TEMPERATURE_STEP, Amount
from workshop.trade.climate import LEAST_GAP, MAGNUS_BASE, MAGNUS_SLOPE, dew_point

SOURCE: Final = "Magnus formula over water, constants of Sonntag (1990)"


class Inputs(CalculatorInputs):
    """The air, and a surface in it."""

    temperature: Annotated[float, TEMPERATURE] = given("air temperature", low=-45.0, high=60.0)
    humidity: Annotated[float, PERCENT] = given("relative humidity", above=0.0, high=1.0)
    surface: Annotated[float, TEMPERATURE] | None = given(
        "temperature of the surface",
        default=None,
        low=-45.0,
        high=100.0,
        help="left out: as warm as the air; wood that stood in a cold night is colder",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.climate.dew_point`."""
    point = dew_point(inputs.temperature, inputs.humidity)
    surface = inputs.temperature if inputs.surface is None else inputs.surface
    dew = Amount(point, TEMPERATURE)
    figures = (
        Figure(
            "dew-point",
            "dew point",
            point,
            TEMPERATURE,
            Working(
                f"g = log(h) + {MAGNUS_SLOPE}*T/({MAGNUS_BASE} + T); "
                f"dew_point = {MAGNUS_BASE}*g/({MAGNUS_SLOPE} - g)",
                {"T": Amount(inputs.temperature, TEMPERATURE), "h": Amount(inputs.humidity, PERCENT)},
                SOURCE,
            ),
        ),
        Figure(
            "dew-gap",
            "surface over the dew point",
            surface - point,
            TEMPERATURE_STEP,
            Working(
                "dew_gap = surface - dew_point",
                {"surface": Amount(surface, TEMPERATURE), "dew_point": dew},
                SOURCE,
                assumed=("the surface is as warm as the air",) if inputs.surface is None else (),
            ),
        ),
        Figure(
            "least-surface",
            "coldest surface that may be coated",
            point + LEAST_GAP,
            TEMPERATURE,
            Working(f"least_surface = dew_point + {LEAST_GAP}", {"dew_point": dew}, COMMON_PRACTICE),
        ),
    )
    return Result(figures, _too_close(inputs, point, surface))


def _too_close(inputs: Inputs, point: float, surface: float) -> tuple[Finding, ...]:
    gap = surface - point
    if gap >= LEAST_GAP - 1e-9:
        return ()
    wet = gap <= 0
    return (
        Finding(
            "dew-gap-small",
            Level.STOP if wet else Level.WARN,
            phrase(
                "Water condenses on the surface: it is at {surface}, and the dew point at {point}."
                if wet
                else f"The surface is only {{gap}} over the dew point; {LEAST_GAP:g} K keep it dry "
                f"({COMMON_PRACTICE}).",
                gap=Amount(gap, TEMPERATURE_STEP),
                surface=Amount(surface, TEMPERATURE),
                point=Amount(point, TEMPERATURE),
            ),
            phrase(
                "Warm it to {least} or more, or dry the air, before you coat it.",
                least=Amount(point + LEAST_GAP, TEMPERATURE),
            ),
            field="temperature" if inputs.surface is None else "surface",
            figures=("dew-gap",),
            value=Amount(gap, TEMPERATURE_STEP),
            worse="down",
            margin=0.5,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """The shop's warmest air on wood as cold as its night, and the air as it was last read."""
    surface = optional(
        surface=combine("wood as cold as the night's low", float, desk.at("shop", "temperature-low"))
    )
    yield Filling(
        "shop",
        {
            "temperature": desk.at("shop", "temperature-high"),
            "humidity": desk.at("shop", "humidity"),
            **surface,
        },
    )
    read = [
        (row.at, number)
        for number, row in enumerate(desk.file.record.readings.get("shop", ()))
        if row.temperature is not None and row.humidity is not None
    ]
    if read:
        place = ("record", "readings", "shop", max(read)[1])
        yield Filling(
            "shop/last-reading",
            {
                "temperature": desk.at(*place, "temperature"),
                "humidity": desk.at(*place, "humidity"),
                **surface,
            },
        )


CALCULATOR = Calculator(
    id="dew-point",
    title="Dew point",
    stage="seal-coat",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=40,
)
