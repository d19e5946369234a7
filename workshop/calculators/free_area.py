"""The free area of a lift by what was poured and how far it rose, and what that changes for later lifts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, LiftPlace, Missing, Source, assumed, combine, first, optional
from workshop.figures import (
    COMMON_PRACTICE,
    Column,
    Figure,
    Finding,
    Level,
    Number,
    Result,
    Table,
    Working,
    phrase,
)
from workshop.layout.sources import inside_of_form, stone_in_depth, wood_in_depth
from workshop.quantity import AREA, LENGTH, PERCENT, VOLUME, Amount
from workshop.trade.poured_area import area_correction, poured_area

NOTED: Final = 0.05
"""A free area that differs by more is worth following up (common practice, no source)."""
ROUNDING: Final = 1e-9


class Inputs(CalculatorInputs):
    """A lift as poured, its free area as drawn, and the lifts still to come."""

    volume: Annotated[float, VOLUME] = given(
        "resin poured into the form", above=0.0, high=1.0, help="without what stayed in the buckets"
    )
    rise: Annotated[float, LENGTH] = given("how far the level rose", above=0.0, high=1.0)
    planned_area: Annotated[float, AREA] | None = given(
        "free area as drawn", default=None, above=0.0, high=50.0, help="mean over the height of the lift"
    )
    later: tuple[tuple[str, Annotated[float, VOLUME]], ...] = given(
        "later lifts", default=(), help='rows of lift and planned volume, such as [["top", "3.1 L"]]'
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.poured_area`."""
    area = poured_area(inputs.volume, inputs.rise)
    figures = [
        Figure(
            "area",
            "free area as poured",
            area,
            AREA,
            Working(
                "area = volume/rise",
                {"volume": Amount(inputs.volume, VOLUME), "rise": Amount(inputs.rise, LENGTH)},
                "geometry: displaced volume",
                ("mean over the height of the lift",),
            ),
        )
    ]
    if inputs.planned_area is None:
        return Result(tuple(figures))
    factor = area_correction(area, inputs.planned_area)
    figures.append(
        Figure(
            "correction",
            "area as poured, of the area as drawn",
            factor,
            PERCENT,
            Working(
                "correction = area/planned",
                {"area": Amount(area, AREA), "planned": Amount(inputs.planned_area, AREA)},
                "geometry: displaced volume",
            ),
        )
    )
    if not inputs.later:
        return Result(tuple(figures), tuple(_differs(inputs, factor)))
    volumes = tuple(Amount(volume, VOLUME) for _, volume in inputs.later)
    numbers: dict[str, Number] = {"later": volumes, "correction": Amount(factor, PERCENT)}
    assumed_too = ("later lifts differ from the drawing as this one does",)
    planned = sum(volume for _, volume in inputs.later)
    figures += [
        Figure(
            "later-volume",
            "later lifts with this correction",
            planned * factor,
            VOLUME,
            Working("volume = sum(later)*correction", numbers, COMMON_PRACTICE, assumed_too),
        ),
        Figure(
            "later-more",
            "more than planned (below zero: less)",
            planned * (factor - 1),
            VOLUME,
            Working("more = sum(later)*(correction - 1)", numbers, COMMON_PRACTICE, assumed_too),
        ),
    ]
    return Result(tuple(figures), tuple(_differs(inputs, factor)), {"later": _table(inputs, factor)})


def _table(inputs: Inputs, factor: float) -> Table:
    return Table(
        "Later lifts",
        (
            Column("lift", "lift"),
            Column("planned", "planned", VOLUME),
            Column("corrected", "with the correction", VOLUME),
            Column("more", "more", VOLUME),
        ),
        tuple((lift, volume, volume * factor, volume * (factor - 1)) for lift, volume in inputs.later),
    )


def _differs(inputs: Inputs, factor: float) -> Iterator[Finding]:
    by = abs(factor - 1)
    if by <= NOTED + ROUNDING:
        return
    amount = Amount(by, PERCENT)
    off = Amount(abs(inputs.volume - (inputs.planned_area or 0.0) * inputs.rise), VOLUME)
    if factor > 1:
        yield Finding(
            "takes-more",
            Level.WARN,
            phrase(
                "This lift took {off} more than its height says ({by}): a leak, thirsty wood, or a gap "
                "that is not drawn.",
                off=off,
                by=amount,
            ),
            phrase(
                "Look for a leak, then mix {by} more for every later lift, or draw the gap that is missing.",
                by=amount,
            ),
            field="planned-area",
            figures=("area", "correction"),
            value=amount,
            margin=0.02,
        )
        return
    yield Finding(
        "takes-less",
        Level.NOTE,
        phrase(
            "This lift took {off} less than its height says ({by}): more wood or stone stands in the form "
            "than is drawn, or the form is narrower.",
            off=off,
            by=amount,
        ),
        phrase("Mix {by} less for every later lift, and measure the form and the pieces again.", by=amount),
        field="planned-area",
        figures=("area", "correction"),
        value=amount,
        margin=0.02,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every lift that was poured to a height, by its batches as weighed."""
    below: dict[str, Source] = {}
    for lift in desk.lifts():
        low = below.get(lift.casting, assumed(0.0, "form floor"))
        poured = desk.file.record.poured.get(lift.subject)
        to = first(
            desk.at("record", "poured", lift.subject, "to"),
            desk.at(*lift.path, "to", what=f"the height of {lift.subject}"),
        )
        below[lift.casting] = to
        if poured is None or poured.to is None:
            continue
        rise = combine("the height as poured less that below it", lambda low, high: high - low, low, to)
        yield Filling(
            lift.subject,
            {
                "volume": _poured_volume(desk, lift),
                "rise": rise,
                **optional(planned_area=_drawn(desk, lift, low, to, rise), later=_later(desk, lift)),
            },
        )


def _poured_volume(desk: Desk, lift: LiftPlace) -> Source:
    """What went into the form, in m³, less what the wood drank in the first lift; tint counts as resin."""
    masses: list[Source] = []
    for name, batch in desk.file.record.batch.items():
        if batch.of == lift.subject:
            masses += [desk.at("record", "batch", name, key) for key in ("a", "b")]
            if batch.tint is not None:
                masses.append(desk.at("record", "batch", name, "tint"))
    if not masses:
        return Missing(f"the batches of {lift.subject} as weighed", (("record", "batch"),))
    resin = casting_resin(desk, lift.casting)
    place = ("casting", lift.casting)
    soak = first(desk.at(*place, "soak"), assumed(0.0, "none")) if lift.number == 1 else assumed(0.0, "none")
    return combine(
        "all batches as weighed, less what stayed in the buckets and in the wood",
        lambda density, residue, soak, *masses: sum(masses) / density * (1 - residue) - soak,
        resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin),
        first(desk.at(*place, "residue"), assumed(0.0, "none")),
        soak,
        *masses,
    )


def _drawn(desk: Desk, lift: LiftPlace, low: Source, to: Source, rise: Source) -> Source:
    """The mean free area between the heights as poured, by the outlines of wood and beds."""
    return combine(
        "form less wood less stone between the heights as poured",
        lambda length, width, rise, wood, stone: length * width - (wood + stone) / rise,
        inside_of_form(desk, lift.casting, "length"),
        inside_of_form(desk, lift.casting, "width"),
        rise,
        wood_in_depth(desk, lift.casting, low, to)
        if desk.file.pieces_of(lift.casting)
        else assumed(0.0, "no piece stands in it"),
        stone_in_depth(desk, lift.casting, low, to),
    )


def _later(desk: Desk, lift: LiftPlace) -> Source:
    """The lifts of the casting that are still to be poured, with what is planned to be mixed for each."""
    names, volumes = [], []
    for other in desk.lifts():
        if other.casting == lift.casting and other.number > lift.number:
            if other.subject in desk.file.record.poured:
                continue
            names.append(other.id)
            volumes.append(desk.figure("resin-volume", other.subject, "volume"))
    if not names:
        return Missing(f"a later lift of {lift.casting}", (("casting", lift.casting, "lifts"),))
    return combine("as planned", lambda *held: tuple(zip(names, held, strict=True)), *volumes)


CALCULATOR = Calculator(
    id="free-area",
    title="Free area as poured",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=40,
)
