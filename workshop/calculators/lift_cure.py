"""How hot a lift gets, and when it gels, may be poured on, leaves the form and is worked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final, Literal

from workshop.calculator import Calculator, given
from workshop.cure_inputs import (
    MODEL,
    CureInputs,
    assumed_of,
    chain_of,
    deepest_of,
    limit_of,
    model_findings,
)
from workshop.cure_sources import cure_sources
from workshop.desk import Desk, Filling, assumed, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import DURATION, LENGTH, TEMPERATURE, TEMPERATURE_STEP, Amount
from workshop.trade.cure.states import State
from workshop.trade.lift_chain import (
    Chain,
    LiftCure,
    Spread,
    central_cure,
    followed,
    lift_cure,
)
from workshop.trade.lift_depth import warmest_shop

RUNAWAY: Final = 100.0
"""°C in the hot case from which a lift is not poured: cracks, smoke (common practice, no source)."""
TITLES: Final[dict[State, tuple[str, str]]] = {
    "gel": ("gel", "no longer flows"),
    "window_opens": ("window-opens", "the next lift may follow from"),
    "window_shuts": ("window-shuts", "without scuffing until"),
    "demould": ("demould", "the form may come off after"),
    "machine": ("machine", "ready for the cutter after"),
    "finish": ("finish", "ready for the finish after"),
}
WAYS: Final = "conduction through floor, lifts and air with the heat of the cure, run until every state"


class Inputs(CureInputs):
    """A lift, and the shop, form and lifts below."""

    depth: Annotated[float, LENGTH] = given("depth of the lift", low=0.001, high=0.3)
    least_depth: Annotated[float, LENGTH] | None = given(
        "least depth on the sheet", default=None, low=0.0, high=0.3
    )
    least_temperature: Annotated[float, TEMPERATURE] | None = given(
        "coldest that the resin cures at", default=None, low=-20.0, high=40.0
    )
    poured: Literal["no", "yes"] = given(
        "poured already", default="no", help="then nothing is said of how else to pour it"
    )
    measured_peak: Annotated[float, TEMPERATURE] | None = given(
        "peak that was measured", default=None, low=-20.0, high=300.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.lift_chain.lift_cure`."""
    chain = chain_of(inputs, inputs.depth)
    held = lift_cure(chain, inputs.temperature_low, inputs.temperature_high)
    ahead = (*_hot(inputs, chain, held), *_soft(inputs, held, chain), *_window(inputs, chain))
    findings = (
        *(ahead if inputs.poured == "no" else ()),
        *_measured(inputs, held),
        *model_findings(inputs, chain),
    )
    return Result(tuple(_figures(inputs, chain, held)), findings)


def quick(inputs: Inputs) -> Result:
    """The likeliest course alone, in a few hundredths of a second."""
    chain = chain_of(inputs, inputs.depth)
    return Result(tuple(_figures(inputs, chain, central_cure(chain))))


def _figures(inputs: Inputs, chain: Chain, held: LiftCure) -> Iterator[Figure]:
    assumed = assumed_of(inputs, chain)

    def working(what: str) -> Working:
        numbers = {
            "depth": Amount(inputs.depth, LENGTH),
            "shop": Amount(inputs.temperature, TEMPERATURE),
        }
        return Working(f"{what}: {WAYS}", numbers, MODEL, assumed, simulation=True)

    yield _figure("peak", "hottest, likely", held.peak, TEMPERATURE, working("hottest place of the lift"))
    yield _figure("time-to-peak", "hottest after", held.peak_time, DURATION, working("when it is hottest"))
    for state, (id, title) in TITLES.items():
        if held.states[state].value is not None:
            yield _figure(id, title, held.states[state], DURATION, working(f"when {state.replace('_', ' ')}"))
    if len(chain.lifts) > 1:
        after = Spread(chain.lifts[-1].after)
        yield _figure("after", "after the lift below", after, DURATION, working("as planned, or its window"))
    if held.peak_below is not None:
        yield _figure(
            "peak-below",
            "hottest of the resin below, from this pour on",
            Spread(held.peak_below),
            TEMPERATURE,
            working("hottest place of the lifts below"),
        )

    measured, likely = inputs.measured_peak, held.peak.value
    if measured is not None and likely is not None:
        yield Figure(
            "measured-over",
            "measured peak over the likely one (below zero: under it)",
            measured - likely,
            TEMPERATURE_STEP,
            Working(
                "over = measured - likely",
                {"measured": Amount(measured, TEMPERATURE), "likely": Amount(likely, TEMPERATURE)},
                MODEL,
            ),
        )


def _figure(id: str, title: str, spread: Spread, kind: object, working: Working) -> Figure:
    assert spread.value is not None
    low = spread.value if spread.low is None and spread.high is not None else spread.low
    high = spread.high
    if low is None or high is None:
        return Figure(id, title, spread.value, kind, working)  # type: ignore[arg-type]
    return Figure(id, title, spread.value, kind, working, min(low, spread.value), max(high, spread.value))  # type: ignore[arg-type]


def _hot(inputs: Inputs, chain: Chain, held: LiftCure) -> Iterator[Finding]:
    limit = limit_of(inputs)
    hot = held.peak.high if held.peak.high is not None else held.peak.value
    if hot is not None and hot > limit:
        warm = chain if inputs.temperature_high is None else chain.at(inputs.temperature_high)
        depth = deepest_of(inputs, inputs.depth)
        cooler = warmest_shop(warm, limit)
        ways = []
        parts: dict[str, Amount | str] = {}
        if depth > 0:
            ways.append("{depth} or less in this lift")
            parts["depth"] = Amount(depth, LENGTH)
        if cooler is not None:
            ways.append("keep the shop at {cooler} or less until it is past its peak")
            parts["cooler"] = Amount(cooler, TEMPERATURE)
        if not ways:
            ways.append("take a slower resin: this one gets hotter than {limit} at any depth")
            parts["limit"] = Amount(limit, TEMPERATURE)
        runaway = hot > RUNAWAY
        yield Finding(
            "lift-runs-hot",
            Level.STOP if runaway else Level.WARN,
            phrase(
                "Runaway: in the hot case this lift passes {bound}, with cracks, fumes and smoke."
                if runaway
                else "In the hot case this lift reaches {hot}, over the {bound} that it may.",
                hot=Amount(hot, TEMPERATURE),
                bound=Amount(RUNAWAY if runaway else limit, TEMPERATURE),
            ),
            phrase(f"Pour {', or '.join(ways)}." if depth > 0 else f"{ways[0].capitalize()}.", **parts),
            field="depth",
            figures=("peak",),
            value=Amount(hot, TEMPERATURE),
            margin=1.0,
        )
    if held.peak_below is not None and held.peak_below > limit and (hot is None or hot <= limit):
        yield Finding(
            "lift-below-heats",
            Level.WARN,
            phrase(
                "The resin below is still curing and reaches {below} under this lift.",
                below=Amount(held.peak_below, TEMPERATURE),
            ),
            phrase("Wait until it is past its peak and within 5 K of the shop before you pour on it."),
            field="below",
            figures=("peak-below",),
            value=Amount(held.peak_below, TEMPERATURE),
            margin=1.0,
        )


def _soft(inputs: Inputs, held: LiftCure, chain: Chain) -> Iterator[Finding]:
    if inputs.least_depth is not None and inputs.depth < inputs.least_depth - 1e-9:
        yield Finding(
            "lift-too-thin",
            Level.WARN,
            phrase(
                "This lift is {depth} deep; so thin, the resin may stay soft.",
                depth=Amount(inputs.depth, LENGTH),
            ),
            phrase("Pour {least} or more, as its sheet says.", least=Amount(inputs.least_depth, LENGTH)),
            field="depth",
            value=Amount(inputs.depth, LENGTH),
            worse="down",
            margin=0.0005,
        )
    cold = inputs.temperature if inputs.temperature_low is None else inputs.temperature_low
    if inputs.least_temperature is not None and cold < inputs.least_temperature - 1e-9:
        yield Finding(
            "shop-too-cold",
            Level.WARN,
            phrase(
                "At {cold} the shop is colder than the {least} that this resin cures at.",
                cold=Amount(cold, TEMPERATURE),
                least=Amount(inputs.least_temperature, TEMPERATURE),
            ),
            phrase(
                "Keep it at {least} or more until the form comes off.",
                least=Amount(inputs.least_temperature, TEMPERATURE),
            ),
            field="temperature" if inputs.temperature_low is None else "temperature-low",
            value=Amount(cold, TEMPERATURE),
            worse="down",
            margin=0.5,
        )
    if held.states["demould"].value is None:
        warm = followed(chain).temperature_for("demould", within=14 * 86400.0)
        yield Finding(
            "never-hard",
            Level.WARN,
            phrase("In this shop the lift does not get hard enough to leave the form."),
            phrase("Keep it at {warm} for two weeks.", warm=Amount(warm, TEMPERATURE))
            if warm is not None
            else phrase("Take another resin: no warmth up to 60 °C makes this one hard."),
            field="temperature",
        )


def _window(inputs: Inputs, chain: Chain) -> Iterator[Finding]:
    if len(chain.lifts) < 2 or inputs.below[-1][1] == 0:
        return
    waited = chain.lifts[-1].after
    before = lift_cure(chain.below, inputs.temperature_low, inputs.temperature_high).states
    opens, shuts = before["window_opens"], before["window_shuts"]
    late = opens.high if opens.high is not None else opens.value
    early = shuts.low if shuts.low is not None else shuts.value
    if opens.value is not None and waited < opens.value - 60.0:
        more = (late if late is not None else opens.value) - waited
        yield Finding(
            "window-not-open",
            Level.STOP,
            phrase("The lift below has not set yet when this one is poured."),
            phrase("Wait {more} more.", more=Amount(more, DURATION)),
            field="below",
            value=Amount(more, DURATION),
            margin=1800.0,
        )
    elif early is not None and waited > early:
        yield Finding(
            "window-missed",
            Level.WARN if shuts.value is not None and waited > shuts.value else Level.NOTE,
            phrase(
                "By then the lift below may be too hard to bond to: its window may shut after {shuts}.",
                shuts=Amount(early, DURATION),
            ),
            phrase(
                "Pour it within {shuts} of the lift below, or scuff that with 120 grit, vacuum and wipe it "
                f"({COMMON_PRACTICE}).",
                shuts=Amount(early, DURATION),
            ),
            field="below",
            value=Amount(waited - early, DURATION),
            margin=3600.0,
        )


def _measured(inputs: Inputs, held: LiftCure) -> Iterator[Finding]:
    peak = inputs.measured_peak
    low, high = held.peak.low, held.peak.high
    if peak is None or low is None or high is None or low - 1.0 <= peak <= high + 1.0:
        return
    yield Finding(
        "peak-off-the-band",
        Level.WARN if peak > high else Level.NOTE,
        phrase(
            "The peak that was measured, {peak}, lies outside what was foreseen, {low} to {high}.",
            peak=Amount(peak, TEMPERATURE),
            low=Amount(low, TEMPERATURE),
            high=Amount(high, TEMPERATURE),
        ),
        phrase(
            "Log it as a test pour of the resin, {depth} deep, and the figures are fitted anew.",
            depth=Amount(inputs.depth, LENGTH),
        ),
        field="measured-peak",
        figures=("peak",),
        value=Amount(peak, TEMPERATURE),
        margin=1.0,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift, on the lifts below it."""
    for lift in desk.lifts():
        sources = cure_sources(desk, lift)
        resin = desk.resin_of(lift.casting)
        # The coldest that the resin cures at is asked of `batches`, and there of lifts still to come.
        least = {} if resin is None else optional(least_depth=desk.at("resin", resin, "least-depth"))
        if lift.subject in desk.file.record.poured:
            least["poured"] = assumed("yes", "logged as poured")
        yield Filling(lift.subject, {**sources, **least})


CALCULATOR = Calculator(
    id="lift-cure",
    title="How the lift cures",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=5,
    slow=True,
    quick=quick,
)
