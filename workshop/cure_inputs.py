"""The inputs that every calculator of the cure takes, and the chain of lifts that they describe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated, Final, Literal

from workshop.calculator import CalculatorInputs, InputError, given
from workshop.figures import COMMON_PRACTICE, Finding, Level, phrase
from workshop.quantity import DURATION, LENGTH, NUMBER, PERCENT, TEMPERATURE, Amount
from workshop.resin_sheet import read_resin
from workshop.trade.cure.limits import COLDEST, WARMEST
from workshop.trade.known_resin import KnownResin
from workshop.trade.lift_chain import BOARD, Banks, Chain, ChainLift, Filling, Shop, followed, narrow
from workshop.trade.lift_depth import deepest

LIMIT: Final = 60.0
"""°C that a cured resin is taken to stand where nothing says more (common practice, no source)."""
DEEPEST: Final = 0.3
UNKNOWN_WAIT: Final = 24 * 3600.0
"""s between two lifts where the lower one never sets (common practice, no source)."""
MODEL: Final = (
    "this project's model of the cure (Kamal and Sourour 1973; heat by finite volumes), its numerics checked "
    "against Frank-Kamenetskii 1938, plane wall series and a fine BDF; its absolute peak of a thick casting "
    "is not yet validated against a published measurement"
)
"""The source line of what the cure model says."""

Row = tuple[Annotated[float, LENGTH], Annotated[float, DURATION]]
BedRow = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH], Annotated[float, PERCENT]]
LogRow = tuple[Annotated[float, DURATION], Annotated[float, TEMPERATURE]]


class CureInputs(CalculatorInputs):
    """A resin, a shop, a form, and what lies below."""

    resin: str = given(
        "the resin",
        help="its class, its sheet as JSON, or its constants as JSON",
    )
    temperature: Annotated[float, TEMPERATURE] = given("temperature of the shop", low=-20.0, high=50.0)
    temperature_low: Annotated[float, TEMPERATURE] | None = given(
        "coldest that the shop gets", default=None, low=-20.0, high=50.0
    )
    temperature_high: Annotated[float, TEMPERATURE] | None = given(
        "warmest that the shop gets", default=None, low=-20.0, high=50.0
    )
    pour_temperature: Annotated[float, TEMPERATURE] | None = given(
        "temperature of the resin as it goes in",
        default=None,
        low=0.0,
        high=60.0,
        help="left out: that of the shop",
    )
    under: Literal["battens", "bench", "concrete"] = given("what the form stands on", default="battens")
    board: Annotated[float, LENGTH] = given(
        "thickness of the form's floor", default=BOARD, low=0.003, high=0.1
    )
    width: Annotated[float, LENGTH] | None = given(
        "width of the resin between the wood",
        default=None,
        above=0.0,
        high=10.0,
        help="left out: a wide form",
    )
    wood_gravity: Annotated[float, NUMBER] = given(
        "specific gravity of the wood", default=0.6, low=0.3, high=1.2
    )
    wood_moisture: Annotated[float, PERCENT] = given("moisture of the wood", default=0.10, low=0.0, high=0.24)
    wood_width: Annotated[float, LENGTH] = given(
        "width of the wood beside the resin", default=0.15, low=0.005, high=2.0
    )
    below: tuple[Row, ...] = given(
        "lifts below",
        default=(),
        help="from the floor up: [[depth, time to the next lift], …]; a time of 0: once its window is open",
    )
    below_temperatures: tuple[Annotated[float, TEMPERATURE], ...] = given(
        "temperatures of the lifts below as they went in", default=(), help="left out: that of the shop"
    )
    bed: tuple[BedRow, ...] = given(
        "beds", default=(), help="[[from, to, solid share], …], heights above the bottom of this lift"
    )
    shop_log: tuple[LogRow, ...] = given(
        "temperatures that were read", default=(), help="[[time after the pour, temperature], …]"
    )
    recoat_limit: Annotated[float, DURATION] | None = given(
        "recoat limit on the sheet", default=None, above=0.0, high=8640000.0
    )
    limit: Annotated[float, TEMPERATURE] | None = given(
        "hottest that resin, lights and sealant stand",
        default=None,
        low=25.0,
        high=200.0,
        help="left out: 60 °C (common practice, no source)",
    )


def chain_of(inputs: CureInputs, depth: float) -> Chain:
    """The lifts that the inputs describe, the one in question last; raises InputError."""
    shop, rows, warm = inputs.temperature, inputs.below, inputs.below_temperatures
    if warm and len(warm) != len(rows):
        raise InputError("below-temperatures", "give one temperature for each lift below")
    if any(not 0 < deep <= DEEPEST for deep, _wait in rows):
        raise InputError("below", "the depth of a lift below lies between 0 and 300 mm")
    if any(wait < 0 for _deep, wait in rows):
        raise InputError(
            "below", "the time from one lift to the next is not below zero; 0 is when it may follow"
        )
    banks = None
    if inputs.width is not None and narrow(inputs.width, [depth, *(deep for deep, _wait in rows)]):
        banks = Banks(inputs.width, inputs.wood_gravity, inputs.wood_moisture, inputs.wood_width)
    lowest = Chain(
        read_resin(inputs.resin),
        (),
        Shop(shop),
        inputs.under,
        inputs.board,
        banks,
        inputs.recoat_limit,
    )
    log = tuple(sorted(inputs.shop_log))
    chain, gap, known = lowest, 0.0, sum(wait for _deep, wait in rows)
    for number, (deep, wait) in enumerate(rows):
        lift = ChainLift(deep, warm[number] if warm else shop, gap)
        chain = replace(chain, lifts=(*chain.lifts, lift), shop=Shop(shop, _from(log, known)))
        gap = wait or when_open(chain, inputs.temperature_low)
    beds = tuple(Filling(low, high, share) for low, high, share in inputs.bed)
    poured = shop if inputs.pour_temperature is None else inputs.pour_temperature
    return replace(
        chain,
        lifts=(*chain.lifts, ChainLift(depth, poured, gap, beds)),
        shop=Shop(shop, _from(log, known)),
    )


def when_open(chain: Chain, low: float | None) -> float:
    """When the window of a chain's last lift is open also in a cold shop, s after its pour."""
    opens = followed(chain if low is None else chain.at(low)).states.central("window_opens")
    return UNKNOWN_WAIT if opens is None else opens


def _from(log: tuple[tuple[float, float], ...], first: float) -> tuple[tuple[float, float], ...]:
    """Readings in s after the first pour, `first` s before the last one."""
    return _spread_out(tuple((time + first, warm) for time, warm in log if time + first >= 0))


def _spread_out(log: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Readings with times that rise: of several at one time the last counts."""
    return tuple(dict(log).items())


def limit_of(inputs: CureInputs) -> float:
    """The hottest that is allowed, °C."""
    return LIMIT if inputs.limit is None else inputs.limit


def deepest_of(inputs: CureInputs, most: float, least: float = 0.001) -> float:
    """The greatest depth of the lift, m, whose hot case stays within the limit; zero for none.

    A lift that is less deep may be wide where a deeper one is a channel; it must be safe by its own rights.
    """
    depth = deepest(warm_chain(inputs, most), limit_of(inputs), most, least)
    if depth > 0 and inputs.width is not None:
        chain = warm_chain(inputs, depth)
        if chain.banks is None:
            depth = deepest(chain, limit_of(inputs), depth, min(least, depth))
    return depth


def warm_chain(inputs: CureInputs, depth: float) -> Chain:
    """The lifts in the shop at its warmest, which is where the hot case is."""
    chain = chain_of(inputs, depth)
    return chain if inputs.temperature_high is None else chain.at(inputs.temperature_high)


def assumed_of(inputs: CureInputs, chain: Chain) -> tuple[str, ...]:
    """What the figures take for granted, a sentence each."""
    said = []
    fitted = chain.resin.fitted
    if fitted is not None:
        said += list(fitted.assumed)
    if inputs.pour_temperature is None:
        said.append("the resin goes in at the temperature of the shop")
    if inputs.width is None:
        said.append("a wide form, without wood beside the resin")
    if inputs.limit is None:
        said.append(f"60 °C as the limit ({COMMON_PRACTICE})")
    said.append("15 to 30 °C, unfilled or evenly filled epoxy at its stated mix, no boiling")
    return tuple(said)


def indicative(resin: KnownResin) -> Iterator[Finding]:
    """That the model only hints at what a resin does, where its class says so."""
    if resin.fitted is not None and resin.fitted.indicative:
        yield Finding(
            "polyester-indicative",
            Level.WARN,
            phrase(
                "Polyester waits before it sets off, which this model leaves out: take it as a hint only."
            ),
            phrase(
                "Pour a test of this depth, 1 kg at the least, and log its peak before you trust a figure."
            ),
            field="resin",
        )


def model_findings(inputs: CureInputs, chain: Chain) -> Iterator[Finding]:
    """Where the model holds no longer, or is indicative only."""
    yield from indicative(chain.resin)
    cold = inputs.temperature if inputs.temperature_low is None else inputs.temperature_low
    warm = inputs.temperature if inputs.temperature_high is None else inputs.temperature_high
    for value, bound, field in (
        (cold, COLDEST, "temperature" if inputs.temperature_low is None else "temperature-low"),
        (warm, WARMEST, "temperature" if inputs.temperature_high is None else "temperature-high"),
    ):
        if (value < bound) if bound == COLDEST else (value > bound):
            yield Finding(
                "beyond-the-model",
                Level.NOTE,
                phrase(
                    "At {shop} the shop is outside what the cure model holds for.",
                    shop=Amount(value, TEMPERATURE),
                ),
                phrase(
                    "Keep it between {low} and {high}, or log a test pour at that temperature.",
                    low=Amount(COLDEST, TEMPERATURE),
                    high=Amount(WARMEST, TEMPERATURE),
                ),
                field=field,
                value=Amount(value, TEMPERATURE),
                worse="down" if bound == COLDEST else "up",
                margin=0.5,
            )
