"""The moisture content at which wood comes to rest in the air around it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.wood_density import CASTING_LIMIT
from workshop.desk import Desk, Filling, combine
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import PERCENT, TEMPERATURE, Amount
from workshop.trade.timber import equilibrium_moisture

COLDEST_OF_TABLE: Final = -10 / 9
"""°C, 30 °F, the first row of Wood Handbook table 4-2."""


class Inputs(CalculatorInputs):
    """The air."""

    temperature: Annotated[float, TEMPERATURE] = given("air temperature", low=-10.0, high=60.0)
    humidity: Annotated[float, PERCENT] = given("relative humidity", low=0.0, high=1.0)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.timber.equilibrium_moisture`."""
    moisture = equilibrium_moisture(inputs.temperature, inputs.humidity)
    figure = Figure(
        "moisture",
        "wood comes to rest at",
        moisture,
        PERCENT,
        Working(
            "W = 349 + 1.29*T + 0.0135*T**2; K = 0.805 + 0.000736*T - 0.00000273*T**2; "
            "K1 = 6.27 - 0.00938*T - 0.000303*T**2; K2 = 1.91 + 0.0407*T - 0.000293*T**2; "
            "moisture = 18/W * (K*h/(1 - K*h) + (K1*K*h + 2*K1*K2*K**2*h**2)/(1 + K1*K*h + K1*K2*K**2*h**2))",
            {"T": Amount(inputs.temperature, TEMPERATURE), "h": Amount(inputs.humidity, PERCENT)},
            "USDA Wood Handbook, FPL-GTR-282 (2021), eq. 4-5",
            assumed=()
            if inputs.temperature >= COLDEST_OF_TABLE - 1e-9
            else ("colder than table 4-2 goes, -1.1 °C: the equation is drawn out beyond it",),
        ),
    )
    findings = []
    if moisture > CASTING_LIMIT:
        findings.append(
            Finding(
                "air-too-damp",
                Level.WARN,
                phrase(
                    "Wood kept in this air comes to rest at {moisture}; most resins allow {most} at most "
                    f"({COMMON_PRACTICE}).",
                    moisture=Amount(moisture, PERCENT),
                    most=Amount(CASTING_LIMIT, PERCENT),
                ),
                phrase(
                    "Where you cast wood, dry its air to 60 % humidity or less, or go by your resin's sheet; "
                    "where the piece will live, leave room for the wood to swell to {moisture}.",
                    moisture=Amount(moisture, PERCENT),
                ),
                field="humidity",
                figures=("moisture",),
                value=Amount(moisture, PERCENT),
                margin=0.005,
            )
        )
    return Result((figure,), tuple(findings))


def fill(desk: Desk) -> Iterator[Filling]:
    """The shop, and the place the piece goes to at both ends of its year."""
    low, high = desk.at("shop", "temperature-low"), desk.at("shop", "temperature-high")
    yield Filling(
        "shop",
        {
            "temperature": combine("middle of the shop's low and high", lambda a, b: (a + b) / 2, low, high),
            "humidity": desk.at("shop", "humidity"),
        },
    )
    for end in ("low", "high"):
        yield Filling(
            f"destination/{end}",
            {
                "temperature": desk.at("destination", "temperature"),
                "humidity": desk.at("destination", f"humidity-{end}"),
            },
        )


CALCULATOR = Calculator(
    id="equilibrium-moisture",
    title="Moisture at rest",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
