"""A lift's resin in equal batches: how many, how large, and how long each can be worked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of, of_tool
from workshop.calculators.resin_volume import CASTING_RESIN
from workshop.cure_inputs import MODEL
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import (
    COUNT,
    DURATION,
    LIQUID_DENSITY,
    MASS,
    NUMBER,
    PERCENT,
    TEMPERATURE,
    TEMPERATURE_STEP,
    VOLUME,
    Amount,
)
from workshop.resin_sheet import read_resin, resin_text
from workshop.trade.batches import (
    HALVES_PER,
    SHEET_TEMPERATURE,
    USABLE_SHARE,
    Batches,
    equal_batches,
    usable_time,
)
from workshop.trade.cure.states import Band

NO_HEAT = "the heat that a bucket gives itself is left out: a large batch gels sooner"


class Inputs(CalculatorInputs):
    """What is to be mixed, in what, and how long it stays liquid."""

    mass: Annotated[float, MASS] = given("resin to mix", above=0.0, high=2000.0)
    bucket: Annotated[float, VOLUME] | None = given(
        "what a bucket holds", default=None, above=0.0, high=0.1, help="left out: one batch"
    )
    bucket_fraction: Annotated[float, PERCENT] = given(
        "how full a bucket is filled", default=1.0, low=0.01, high=1.0
    )
    pot_life: Annotated[float, DURATION] | None = given(
        "pot life on the sheet", default=None, above=0.0, high=864000.0
    )
    pot_mass: Annotated[float, MASS] | None = given(
        "mass that the pot life is stated for", default=None, above=0.0, high=100.0
    )
    pot_temperature: Annotated[float, TEMPERATURE] | None = given(
        "temperature that the pot life is stated at", default=None, low=-10.0, high=60.0
    )
    temperature: Annotated[float, TEMPERATURE] | None = given(
        "temperature of the resin", default=None, low=-10.0, high=60.0
    )
    resin_density: Annotated[float, LIQUID_DENSITY] | None = given(
        "density of the mixed resin", default=None, low=500.0, high=2500.0
    )
    elapsed: Annotated[float, DURATION] | None = given(
        "from mixing to the form", default=None, low=0.0, high=864000.0, help="of a batch as it was poured"
    )
    temperature_low: Annotated[float, TEMPERATURE] | None = given(
        "coldest that the shop gets", default=None, low=-40.0, high=60.0
    )
    least_temperature: Annotated[float, TEMPERATURE] | None = given(
        "coldest that the resin cures at", default=None, low=-10.0, high=60.0
    )
    resin: str | None = given(
        "the resin",
        default=None,
        help="its class, or its sheet as JSON: then the heat that a batch gives itself is counted",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.batches`."""
    density = CASTING_RESIN if inputs.resin_density is None else inputs.resin_density
    largest = None if inputs.bucket is None else inputs.bucket * inputs.bucket_fraction * density
    held = equal_batches(inputs.mass, largest)
    heat = _heat(inputs, held)
    figures = (
        *_batches(inputs, held, largest, density),
        *_times(inputs, held, heat),
        *_pot_share(inputs, held),
        *_warmth(inputs),
    )
    return Result(figures, (*_over_pot_mass(inputs, held, heat), *_late(inputs, heat), *_too_cold(inputs)))


def _heat(inputs: Inputs, held: Batches) -> Band | None:
    """How long a batch can be poured by the model of its own heat; None where the resin is not known."""
    if inputs.resin is None or held.each <= 0:
        return None
    warm = inputs.temperature if inputs.temperature is not None else inputs.pot_temperature
    return read_resin(inputs.resin).pot_life(held.each, SHEET_TEMPERATURE if warm is None else warm)


def _usable(inputs: Inputs, heat: Band | None) -> float | None:
    """Seconds to work a batch: the lesser of the sheet's rule and of what its own heat leaves."""
    ways = []
    if inputs.pot_life is not None:
        ways.append(usable_time(inputs.pot_life, inputs.temperature, inputs.pot_temperature))
    if heat is not None and heat.likely is not None:
        ways.append(USABLE_SHARE * heat.likely)
    return min(ways, default=None)


def _batches(inputs: Inputs, held: Batches, largest: float | None, density: float) -> Iterator[Figure]:
    mass = Amount(inputs.mass, MASS)
    yield Figure(
        "batches",
        "batches",
        float(held.batches),
        COUNT,
        Working(
            "batches = 1" if largest is None else "batches = max(1, ceil(mass/largest - 1e-9))",
            {} if largest is None else {"mass": mass, "largest": Amount(largest, MASS)},
            COMMON_PRACTICE,
            assumed=(
                "one bucket holds it all" if largest is None else "all alike",
                *((NO_HEAT,) if inputs.resin is None else ()),
            ),
        ),
    )
    yield Figure(
        "each",
        "in each batch",
        held.each,
        MASS,
        Working(
            "each = mass/batches", {"mass": mass, "batches": Amount(held.batches, COUNT)}, COMMON_PRACTICE
        ),
    )
    if inputs.bucket is not None and largest is not None:
        yield Figure(
            "largest",
            "most that a bucket takes",
            largest,
            MASS,
            Working(
                "largest = bucket*fraction*density",
                {
                    "bucket": Amount(inputs.bucket, VOLUME),
                    "fraction": Amount(inputs.bucket_fraction, PERCENT),
                    "density": Amount(density, LIQUID_DENSITY),
                },
                "definition of density",
                assumed=()
                if inputs.resin_density is not None
                else ("1.1 kg/L as of a usual casting resin (common practice, no source)",),
            ),
        )


def _times(inputs: Inputs, held: Batches, heat: Band | None) -> Iterator[Figure]:
    usable = _usable(inputs, heat)
    if usable is None:
        return
    yield Figure(
        "usable-time", "from mixing to the form at most", usable, DURATION, _rule(inputs, held, heat)
    )
    if heat is not None and heat.likely is not None:
        yield Figure(
            "model-pot-life",
            "pot life of such a batch by its own heat",
            heat.likely,
            DURATION,
            Working(
                "a cup of this mass that heats itself, until it can no longer be poured",
                {"mass": Amount(held.each, MASS)},
                MODEL,
                (
                    *_assumed(inputs),
                    *(
                        (f"mixed at 20 °C ({COMMON_PRACTICE})",)
                        if inputs.temperature is None and inputs.pot_temperature is None
                        else ()
                    ),
                ),
                simulation=True,
            ),
            heat.low if heat.high is not None else None,
            heat.high if heat.low is not None else None,
        )
    if inputs.temperature is not None and inputs.pot_life is not None:
        stated = SHEET_TEMPERATURE if inputs.pot_temperature is None else inputs.pot_temperature
        yield Figure(
            "warmer",
            "warmer than the pot life is stated for (below zero: colder)",
            inputs.temperature - stated,
            TEMPERATURE_STEP,
            Working(
                "warmer = T - T_sheet",
                {"T": Amount(inputs.temperature, TEMPERATURE), "T_sheet": Amount(stated, TEMPERATURE)},
                "the pot life on the sheet",
                assumed=()
                if inputs.pot_temperature is not None
                else (f"the sheet's pot life taken to hold at 20 °C ({COMMON_PRACTICE})",),
            ),
        )
    if inputs.elapsed is not None:
        yield Figure(
            "time-left",
            "time to spare when it was in the form (below zero: late)",
            usable - inputs.elapsed,
            DURATION,
            Working(
                "time_left = usable - elapsed",
                {"usable": Amount(usable, DURATION), "elapsed": Amount(inputs.elapsed, DURATION)},
                COMMON_PRACTICE,
            ),
        )


def _assumed(inputs: Inputs) -> tuple[str, ...]:
    fitted = None if inputs.resin is None else read_resin(inputs.resin).fitted
    return () if fitted is None else fitted.assumed


def _rule(inputs: Inputs, held: Batches, heat: Band | None) -> Working:
    """How the usable time came about: by the sheet, by the batch's own heat, or the lesser of both."""
    likely = None if heat is None else heat.likely
    numbers: dict[str, Amount] = {}
    terms, said = [], []
    if inputs.pot_life is not None:
        term = "pot_life"
        numbers["pot_life"] = Amount(inputs.pot_life, DURATION)
        if inputs.temperature is None:
            said.append("no warmer than on the sheet")
        else:
            stated = SHEET_TEMPERATURE if inputs.pot_temperature is None else inputs.pot_temperature
            term = f"pot_life*min(1, 2**((T_sheet - T)/{HALVES_PER}))"
            numbers["T_sheet"] = Amount(stated, TEMPERATURE)
            numbers["T"] = Amount(inputs.temperature, TEMPERATURE)
            said.append("the pot life halves for each 10 K warmer, and colder gains nothing")
            if inputs.pot_temperature is None:
                said.append(f"the sheet names no temperature: taken as 20 °C ({COMMON_PRACTICE})")
        terms.append(term)
    if likely is not None:
        terms.append("by_heat")
        numbers["by_heat"] = Amount(likely, DURATION)
    elif heat is not None:
        said.append("by its own heat a batch lasts more than three days")
    else:
        said.append(_no_heat(inputs, held))
    both = f"min({', '.join(terms)})" if len(terms) > 1 else terms[0]
    return Working(f"usable_time = {USABLE_SHARE}*{both}", numbers, COMMON_PRACTICE, tuple(said))


def _no_heat(inputs: Inputs, held: Batches) -> str:
    if inputs.pot_mass is not None and held.each > inputs.pot_mass * (1 + 1e-9):
        return f"{NO_HEAT}, and this one is {_times_over(held.each / inputs.pot_mass)} the mass on the sheet"
    return NO_HEAT


def _pot_share(inputs: Inputs, held: Batches) -> Iterator[Figure]:
    if inputs.pot_mass is not None:
        yield Figure(
            "pot-share",
            "a batch, as many times the mass that the pot life is stated for",
            held.each / inputs.pot_mass,
            NUMBER,
            Working(
                "pot_share = each/pot_mass",
                {"each": Amount(held.each, MASS), "pot_mass": Amount(inputs.pot_mass, MASS)},
                "the pot life on the sheet",
            ),
        )


def _warmth(inputs: Inputs) -> Iterator[Figure]:
    if inputs.temperature_low is not None and inputs.least_temperature is not None:
        yield Figure(
            "warmth",
            "the shop over the coldest that the resin cures at",
            inputs.temperature_low - inputs.least_temperature,
            TEMPERATURE_STEP,
            Working(
                "warmth = shop - least",
                {
                    "shop": Amount(inputs.temperature_low, TEMPERATURE),
                    "least": Amount(inputs.least_temperature, TEMPERATURE),
                },
                "the resin's sheet",
            ),
        )


def _times_over(share: float) -> str:
    """`31 times`, `1.4 times`."""
    said = f"{share:.0f}" if share >= 9.5 else f"{share:.2f}".rstrip("0").rstrip(".")
    return f"{said} times"


def _over_pot_mass(inputs: Inputs, held: Batches, heat: Band | None) -> Iterator[Finding]:
    if inputs.pot_mass is None or held.each <= inputs.pot_mass * (1 + 1e-9):
        return
    share = held.each / inputs.pot_mass
    likely = None if heat is None else heat.likely
    yield Finding(
        "batch-over-pot-mass",
        Level.WARN,
        phrase(
            "A batch of {each} is {times} what the pot life is stated for; it heats itself and gels sooner"
            + (", likely after {life}." if likely is not None else "."),
            each=Amount(held.each, MASS),
            times=_times_over(share),
            life=Amount(likely or 0.0, DURATION),
        ),
        phrase(
            "Mix {count} batches of {pot_mass} or less, or ask for a pot life at {each}.",
            count=Amount(equal_batches(inputs.mass, inputs.pot_mass).batches, COUNT),
            pot_mass=Amount(inputs.pot_mass, MASS),
            each=Amount(held.each, MASS),
        ),
        field="pot-mass",
        figures=("each", "pot-share", "usable-time"),
        value=Amount(share, NUMBER),
        margin=0.1,
    )


def _late(inputs: Inputs, heat: Band | None) -> Iterator[Finding]:
    usable = _usable(inputs, heat)
    if usable is None or inputs.elapsed is None:
        return
    if inputs.elapsed <= usable + 1e-9:
        return
    past = inputs.elapsed > usable / USABLE_SHARE
    yield Finding(
        "batch-late",
        Level.STOP if past else Level.WARN,
        phrase(
            "The batch was in the form {elapsed} after mixing, "
            + ("past its pot life of {life}." if past else "later than the {usable} in which it flows well."),
            elapsed=Amount(inputs.elapsed, DURATION),
            life=Amount(usable / USABLE_SHARE, DURATION),
            usable=Amount(usable, DURATION),
        ),
        phrase(
            "Look for trapped bubbles and try its hardness after a day; have the next batch in the form "
            "within {usable}.",
            usable=Amount(usable, DURATION),
        ),
        field="elapsed",
        figures=("usable-time", "time-left"),
        value=Amount(inputs.elapsed, DURATION),
        margin=60.0,
    )


def _too_cold(inputs: Inputs) -> Iterator[Finding]:
    low, least = inputs.temperature_low, inputs.least_temperature
    if low is None or least is None or low >= least - 1e-9:
        return
    yield Finding(
        "shop-too-cold",
        Level.STOP,
        phrase(
            "The shop falls to {low}, and the resin cures from {least} up.",
            low=Amount(low, TEMPERATURE),
            least=Amount(least, TEMPERATURE),
        ),
        phrase(
            "Keep the shop at {least} or more from the pour until demould, without a flame near vapour.",
            least=Amount(least, TEMPERATURE),
        ),
        field="temperature-low",
        figures=("warmth",),
        value=Amount(least - low, TEMPERATURE_STEP),
        margin=0.5,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift as planned, and every batch of one as it was weighed and poured."""
    for lift in desk.lifts():
        resin = casting_resin(desk, lift.casting)
        if isinstance(resin, Missing):
            yield Filling(lift.subject, {"mass": resin})
            continue
        poured = lift.subject in desk.file.record.poured
        yield Filling(
            lift.subject,
            {
                "mass": desk.figure("resin-volume", lift.subject, "mass"),
                **_sheet(desk, resin, lift.subject),
                **optional(
                    bucket=of_tool(desk, "volume"),
                    bucket_fraction=of_tool(desk, "fraction"),
                    resin_density=mixed_density_of(desk, *resin),
                    resin=resin_text(desk, lift.casting, mixed_density_of(desk, *resin)),
                ),
                **(
                    {}
                    if poured
                    else optional(
                        temperature_low=desk.at("shop", "temperature-low"),
                        least_temperature=desk.at(*resin, "least-temperature"),
                    )
                ),
            },
        )
    for batch, held in desk.file.record.batch.items():
        casting, _, lift_id = held.of.partition("/")
        if casting not in desk.file.casting or desk.file.casting[casting].lift(lift_id) is None:
            continue
        resin = casting_resin(desk, casting)
        weighed = combine(
            "part A and part B as weighed",
            lambda a, b: a + b,
            *(desk.at("record", "batch", batch, part) for part in ("a", "b")),
        )
        yield Filling(
            f"{held.of}/{batch}",
            {
                "mass": weighed,
                **(
                    {}
                    if isinstance(resin, Missing)
                    else {
                        **_sheet(desk, resin, held.of),
                        **optional(resin=resin_text(desk, casting, mixed_density_of(desk, *resin))),
                    }
                ),
                **optional(elapsed=_elapsed(desk, batch)),
            },
        )


def _sheet(desk: Desk, resin: tuple[str, str], lift: str) -> dict[str, Source]:
    """The pot life with what it is stated for, and the resin's temperature: as poured, else the warmest."""
    return optional(
        pot_life=desk.at(*resin, "pot-life"),
        pot_mass=desk.at(*resin, "pot-mass"),
        pot_temperature=desk.at(*resin, "pot-temperature"),
        temperature=first(
            desk.at("record", "poured", lift, "resin-temperature"), desk.at("shop", "temperature-high")
        ),
    )


def _elapsed(desk: Desk, batch: str) -> Source:
    place = ("record", "batch", batch)
    took = combine(
        "from the start of mixing to the form",
        lambda end, start: (end - start).total_seconds(),
        desk.at(*place, "in-form"),
        desk.at(*place, "mix-start"),
    )
    if isinstance(took, Given) and took.value < 0:
        return Missing(f"a time in form of {batch} after its mixing", took.paths)
    return took


CALCULATOR = Calculator(
    id="batches",
    title="Batches",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=25,
)
