"""How heavy a wood is at the moisture it has."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, Choice, InputError, given
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import DENSITY, DURATION, NUMBER, PERCENT, Amount, QuantityError
from workshop.reference.species import Species, UnknownSpecies, all_species, species
from workshop.trade.timber import FIBRE_SATURATION, density, specific_gravity

SOURCE: Final = "USDA Wood Handbook, FPL-GTR-190 (2010), eq. 4-7, 4-11 and 4-12"

CASTING_MARK: Final = 0.10
"""Moisture that a maker dries wood to before casting (common practice, no source)."""
CASTING_LIMIT: Final = 0.12
"""Moisture above which most resins' sheets refuse wood (common practice, no source)."""
FORTNIGHT: Final = 14 * 86400.0
STEADY_DRIFT: Final = 0.005
"""Change of moisture in a fortnight up to which wood counts as steady (common practice, no source)."""


def _read(text: str) -> str:
    try:
        return species(text).id
    except UnknownSpecies as error:
        raise QuantityError(str(error)) from None


SPECIES: Final = Choice("a species", lambda: tuple(wood.id for wood in all_species()), _read)
"""A wood of the handbook's tables, by id or by name."""


class Inputs(CalculatorInputs):
    """The wood."""

    species: Annotated[str, SPECIES] = given("species")
    moisture: Annotated[float, PERCENT] = given("moisture of the wood", low=0.0, high=2.0)
    moisture_limit: Annotated[float, PERCENT] | None = given(
        "wettest wood that the resin's sheet allows", default=None, above=0.0, high=2.0
    )
    moisture_before: Annotated[float, PERCENT] | None = given(
        "moisture at the reading before", default=None, low=0.0, high=2.0
    )
    between: Annotated[float, DURATION] | None = given(
        "time between the two readings", default=None, above=0.0, high=1e9
    )


def wood(text: str) -> Species:
    """The wood of an input `species`; raises InputError with the nearest names."""
    try:
        return species(text)
    except UnknownSpecies as error:
        raise InputError("species", str(error)) from None


def from_memory(wood: Species, *fields: str) -> tuple[str, ...]:
    """What a working says where values of the table were not read in a source."""
    unread = [field.replace("_", " ") for field in fields if field in wood.from_memory]
    return (f"from memory, not read in the handbook: {', '.join(unread)} of {wood.name}",) if unread else ()


def gravity_working(wood: Species, at_12: float, moisture: float) -> Working:
    """The working of the specific gravity on the volume at a moisture, `G`."""
    return Working(
        f"Gb = G12*(1 - S0*(1 - 0.12/{FIBRE_SATURATION:.2f})); "
        f"S = S0*max(0, 1 - moisture/{FIBRE_SATURATION:.2f}); G = Gb/(1 - S)",
        {
            "G12": Amount(at_12, NUMBER),
            "S0": Amount(wood.shrinkage_volumetric, PERCENT),
            "moisture": Amount(moisture, PERCENT),
        },
        SOURCE,
        (f"G12 and S0: {wood.source}", *from_memory(wood, "specific_gravity", "shrinkage_volumetric")),
    )


def density_figure(wood: Species, at_12: float, moisture: float) -> Figure:
    """The density at a moisture, as a figure."""
    gravity = gravity_working(wood, at_12, moisture)
    value = density(specific_gravity(at_12, wood.shrinkage_volumetric, moisture).value, moisture)
    return Figure(
        "density",
        "density",
        value,
        DENSITY,
        Working(
            f"{gravity.formula}; density = 1000*G*(1 + moisture)", gravity.numbers, SOURCE, gravity.assumed
        ),
    )


def no_gravity(wood: Species, remedy: str) -> Finding:
    """What to say where the handbook gives no specific gravity."""
    return Finding(
        "no-specific-gravity",
        Level.WARN,
        phrase("The Wood Handbook gives no specific gravity for {wood}.", wood=wood.name),
        phrase(remedy),
        field="species",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.timber.specific_gravity` and `trade.timber.density`."""
    held = wood(inputs.species)
    findings = (*_too_wet(inputs), *_drifting(inputs))
    at_12 = held.specific_gravity
    if at_12 is None:
        remedy = "Weigh a block sawn to 100 mm each way: its grams are its density in kg/m³."
        return Result(tuple(_drift(inputs)), (no_gravity(held, remedy), *findings))
    gravity = specific_gravity(at_12, held.shrinkage_volumetric, inputs.moisture)
    return Result(
        (
            density_figure(held, at_12, inputs.moisture),
            Figure(
                "specific-gravity",
                "specific gravity at this moisture",
                gravity.value,
                NUMBER,
                gravity_working(held, at_12, inputs.moisture),
            ),
            *_room(inputs),
            *_drift(inputs),
        ),
        findings,
    )


def _room(inputs: Inputs) -> Iterator[Figure]:
    if inputs.moisture_limit is not None:
        yield Figure(
            "moisture-room",
            "drier than the resin's sheet asks (below zero: too wet)",
            inputs.moisture_limit - inputs.moisture,
            PERCENT,
            Working(
                "moisture_room = limit - moisture",
                {
                    "limit": Amount(inputs.moisture_limit, PERCENT),
                    "moisture": Amount(inputs.moisture, PERCENT),
                },
                "the resin's sheet",
            ),
        )


def _drift(inputs: Inputs) -> Iterator[Figure]:
    if inputs.moisture_before is not None and inputs.between is not None:
        yield Figure(
            "drift",
            "change of moisture in a fortnight",
            (inputs.moisture - inputs.moisture_before) / inputs.between * FORTNIGHT,
            PERCENT,
            Working(
                f"drift = (moisture - before)/between*{FORTNIGHT:.0f}",
                {
                    "moisture": Amount(inputs.moisture, PERCENT),
                    "before": Amount(inputs.moisture_before, PERCENT),
                    "between": Amount(inputs.between, DURATION),
                },
                COMMON_PRACTICE,
            ),
        )


def _drifting(inputs: Inputs) -> Iterator[Finding]:
    for drift in _drift(inputs):
        if abs(drift.value) <= STEADY_DRIFT + 1e-9:
            return
        yield Finding(
            "wood-drifting",
            Level.WARN if inputs.moisture > CASTING_MARK else Level.NOTE,
            phrase(
                "The wood still {goes} by {drift} in a fortnight; up to {steady} counts as steady "
                f"({COMMON_PRACTICE}).",
                goes="dries" if drift.value < 0 else "takes up water",
                drift=Amount(abs(drift.value), PERCENT),
                steady=Amount(STEADY_DRIFT, PERCENT),
            ),
            phrase("Read it again 14 days after the last reading, at the same place and depth."),
            field="moisture-before",
            figures=("drift",),
            value=Amount(abs(drift.value), PERCENT),
            margin=0.005,
        )


def _too_wet(inputs: Inputs) -> tuple[Finding, ...]:
    moisture, sheet = inputs.moisture, inputs.moisture_limit
    limit = CASTING_LIMIT if sheet is None else sheet
    mark = min(CASTING_MARK, limit)
    if moisture <= mark:
        return ()
    refused = moisture > limit
    allows, source = (
        ("most resins allow", f" ({COMMON_PRACTICE})") if sheet is None else ("its sheet allows", "")
    )
    text = (
        f"The wood reads {{moisture}}, wetter than the {{limit}} that {allows}{source}."
        if refused
        else f"The wood reads {{moisture}}; {{mark}} is the mark for casting ({COMMON_PRACTICE}), {{limit}} "
        f"the most that {allows}{source}."
    )
    limits = {"mark": Amount(mark, PERCENT), "limit": Amount(limit, PERCENT)}
    return (
        Finding(
            "wood-wet",
            Level.STOP if refused else Level.WARN,
            phrase(text, moisture=Amount(moisture, PERCENT), **limits),
            phrase(
                "Leave it in drier air until two readings a fortnight apart say {mark}, or go by your "
                "resin's sheet.",
                **limits,
            ),
            field="moisture",
            value=Amount(moisture, PERCENT),
            margin=0.005,
        ),
    )


def slab_moisture(desk: Desk, slab: str) -> Source:
    """The wettest reading of the last day on which the slab was read before it was cast."""
    cast = _cast_at(desk, slab)
    read = [
        (number, reading)
        for number, reading in enumerate(desk.file.record.readings.get(slab, ()))
        if reading.moisture is not None and (cast is None or reading.at <= cast)
    ]
    if not read:
        return Missing(f"a moisture reading of {slab}", (("record", "readings", slab),))
    last = max(reading.at for _, reading in read).date()
    number, wettest = max(
        (
            (number, reading.moisture.value)
            for number, reading in read
            if reading.moisture is not None and reading.at.date() == last
        ),
        key=lambda pair: pair[1],
    )
    return Given(
        wettest, (("record", "readings", slab, number, "moisture"),), f"the wettest reading of {last}"
    )


def _reading_before(desk: Desk, slab: str) -> dict[str, Source]:
    """The wettest reading of the day before the last one on which the slab was read, and how long ago."""
    cast = _cast_at(desk, slab)
    read = [
        (reading.at, number, reading.moisture.value)
        for number, reading in enumerate(desk.file.record.readings.get(slab, ()))
        if reading.moisture is not None and (cast is None or reading.at <= cast)
    ]
    days = sorted({at.date() for at, _, _ in read})
    if len(days) < 2:
        return {}
    last = max(row for row in read if row[0].date() == days[-1])
    before = max((row for row in read if row[0].date() == days[-2]), key=lambda row: row[2])
    place = ("record", "readings", slab)
    return {
        "moisture-before": Given(
            before[2], ((*place, before[1], "moisture"),), f"the wettest reading of {days[-2]}"
        ),
        "between": Given(
            (last[0] - before[0]).total_seconds(),
            ((*place, last[1], "at"), (*place, before[1], "at")),
            "between the two readings",
        ),
    }


def _sheet_limit(desk: Desk, slab: str) -> Source:
    """The lowest limit for wood of all resins that meet the slab."""
    resins = {
        desk.resin_of(piece.casting)
        for piece in desk.file.piece.values()
        if piece.slab == slab and piece.casting in desk.file.casting
    }
    limits = [
        desk.at("resin", name, "moisture-limit")
        for name in sorted(name for name in resins if name is not None)
    ]
    known = [limit for limit in limits if isinstance(limit, Given)]
    if not known:
        return Missing("the moisture that the resin's sheet allows", (("resin",),))
    return combine("the strictest sheet", lambda *all: min(all), *known)


def _cast_at(desk: Desk, slab: str) -> datetime | None:
    """When the first resin was poured round a piece of this slab."""
    castings = {piece.casting for piece in desk.file.piece.values() if piece.slab == slab}
    poured = desk.file.record.poured
    return min(
        (
            held.at
            for subject, held in poured.items()
            if held.at is not None and subject.split("/")[0] in castings
        ),
        default=None,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab as it was last read."""
    for slab in desk.file.slab:
        yield Filling(
            slab,
            {
                "species": desk.at("slab", slab, "species"),
                "moisture": slab_moisture(desk, slab),
                **optional(moisture_limit=_sheet_limit(desk, slab)),
                **_reading_before(desk, slab),
            },
        )


CALCULATOR = Calculator(
    id="wood-density",
    title="Density of the wood",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
