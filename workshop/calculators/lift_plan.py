"""Lifts planned: the fewest that fill a form and stay safe, with their heights and times."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Annotated, Final

from workshop.calculator import Calculator, InputError, given
from workshop.calculators.safe_lift_depth import (
    HEAT,
    THINNEST,
    DepthInputs,
    area_of,
    cooler_or_slower,
    density_of,
    depth_sources,
    farthest,
    sheet_depths,
    unknown_density,
)
from workshop.cure_inputs import MODEL, BedRow, assumed_of, chain_of, limit_of, model_findings, when_open
from workshop.desk import Desk, Filling, Given, LiftPlace, Missing, Source, assumed, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.layout.sources import piece_shape, solid_share
from workshop.quantity import AREA, COUNT, DURATION, LENGTH, LIQUID_DENSITY, MASS, TEMPERATURE, Amount
from workshop.trade.lift_chain import Chain, followed
from workshop.trade.lift_plan import BASE, Asked, Buried, Planned, PlannedLift, Site, Why, plan_lifts

STRIP: Final = 0.01
"""m, the width of a light strip that stands on edge, where it is not known (common practice, no source)."""
DEEPER: Final = 0.0005
"""m by which a lift may be deeper than the plan allows before it is said."""


class Inputs(DepthInputs):
    """How high the casting is to be, and what a lift is bound by."""

    total_depth: Annotated[float, LENGTH] = given(
        "height of the rough casting", low=THINNEST, high=1.0, help="over the form floor"
    )
    base: Annotated[float, LENGTH] = given(
        "depth of the base lift", default=BASE, low=THINNEST, high=0.05, help="6 mm is customary"
    )
    bed: tuple[BedRow, ...] = given(
        "what is buried",
        default=(),
        help="[[from, to, solid share], …], heights over the form floor; a share of 0 % for lights",
    )
    own: tuple[Annotated[float, LENGTH], ...] = given(
        "heights of your own lifts", default=(), help="over the form floor, those that are still to be poured"
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.lift_plan.plan_lifts`."""
    site, asked, allowed = _asked(inputs)
    if asked.total - site.bottom < THINNEST:
        raise InputError(
            "total-depth",
            f"the lifts below fill the form up to {1000 * site.bottom:.1f} mm: give a height over that",
        )
    planned = plan_lifts(site, asked)
    chain = chain_of(inputs, THINNEST)
    if planned is None:
        return Result((), (*_none(inputs, asked), *model_findings(inputs, chain)))
    findings = (
        *_own(inputs, site, asked, planned),
        *_bare(asked, planned),
        *model_findings(inputs, chain),
    )
    figures = tuple(_figures(inputs, site, planned))
    return Result(figures, findings, {"lifts": _table(site, planned, allowed)})


def _asked(inputs: Inputs) -> tuple[Site, Asked, str]:
    depths = sheet_depths(inputs)
    governs = min(depths, key=lambda name: depths[name], default=HEAT)
    most = min(farthest(inputs), *depths.values()) if depths else farthest(inputs)
    # Wide or narrow, by the deepest lift that the plan may hold.
    lift = max(THINNEST, min(most, inputs.total_depth))
    chain = chain_of(inputs.model_copy(update={"bed": ()}), lift)
    last = chain.lifts[-1]
    site = Site(
        chain.below,
        last.after,
        last.temperature,
        inputs.temperature if inputs.temperature_high is None else inputs.temperature_high,
        partial(when_open, low=inputs.temperature_low),
    )
    buried = tuple(Buried(low, high, min(share, 0.9)) for low, high, share in inputs.bed if high > low)
    asked = Asked(
        inputs.total_depth,
        limit_of(inputs),
        most,
        inputs.least_depth or 0.0,
        min(inputs.base, inputs.total_depth),
        buried,
    )
    return site, asked, governs


def _figures(inputs: Inputs, site: Site, planned: Planned) -> Iterator[Figure]:
    lifts = planned.lifts
    late = followed(_cold(inputs, planned)).states.central("demould")
    never = () if late is not None else ("the last lift does not get hard enough in this shop: see its cure",)
    yield Figure(
        "lifts",
        "lifts to pour",
        float(len(lifts)),
        COUNT,
        Working(
            "the fewest lifts whose hot case stays within the limit, each poured once the one below has set",
            {
                "height": Amount(inputs.total_depth - site.bottom, LENGTH),
                "limit": Amount(limit_of(inputs), TEMPERATURE),
            },
            MODEL,
            (
                *never,
                *(
                    (f"a base lift of 6 mm ({COMMON_PRACTICE})",)
                    if inputs.base == BASE and not site.start.lifts
                    else ()
                ),
                *assumed_of(inputs, planned.chain),
            ),
            simulation=True,
        ),
    )
    if late is not None:
        waits = tuple(Amount(lift.after, DURATION) for lift in lifts[1:])
        yield Figure(
            "total-time",
            "from the first pour until the form may come off",
            sum(wait.value for wait in waits) + late,
            DURATION,
            Working(
                "total_time = sum(waits) + demould" if waits else "total_time = demould",
                {**({"waits": waits} if waits else {}), "demould": Amount(late, DURATION)},
                MODEL,
                ("in the shop at its coldest",) if inputs.temperature_low is not None else (),
            ),
        )
    if inputs.area is not None:
        depth = inputs.total_depth - site.bottom
        yield Figure(
            "total-resin",
            "resin in the form",
            inputs.area * depth * density_of(inputs),
            MASS,
            Working(
                "total_resin = area*height*density",
                {
                    "area": Amount(inputs.area, AREA),
                    "height": Amount(depth, LENGTH),
                    "density": Amount(density_of(inputs), LIQUID_DENSITY),
                },
                "geometry",
                (*unknown_density(inputs), "without what stays in the buckets"),
            ),
        )


def _cold(inputs: Inputs, planned: Planned) -> Chain:
    chain = planned.chain
    return chain if inputs.temperature_low is None else chain.at(inputs.temperature_low)


def _table(site: Site, planned: Planned, allowed: str) -> Table:
    start = len(site.start.lifts)
    return Table(
        "Lifts",
        (
            Column("lift", "lift", COUNT),
            Column("to", "up to", LENGTH),
            Column("depth", "depth", LENGTH),
            Column("after", "after the one below", DURATION),
            Column("peak", "hottest, likely", TEMPERATURE),
            Column("hot", "hot case", TEMPERATURE),
            Column("why", "what sets it"),
        ),
        tuple(
            (
                float(start + number),
                lift.high,
                lift.depth,
                lift.after if start + number > 1 else "",
                lift.peak,
                lift.hot,
                _words(lift, allowed, len(planned.lifts) - (planned.lifts[0].why in ("base", "least"))),
            )
            for number, lift in enumerate(planned.lifts, 1)
        ),
    )


def _words(lift: PlannedLift, allowed: str, sharing: int) -> str:
    shared = "the height, in even lifts" if sharing > 1 else "what is left to fill"
    words: dict[Why, str] = {
        "base": "base lift",
        "least": "base lift, the sheet's least depth",
        "buried": "what is buried, which a lift covers",
        "most": allowed if allowed != HEAT else "as deep as the model is asked",
        "heat": HEAT,
        "even": shared + ("" if allowed == HEAT else f", within {allowed}"),
    }
    return words[lift.why]


def _none(inputs: Inputs, asked: Asked) -> Iterator[Finding]:
    least = max(asked.least, THINNEST)
    too_hot = min(least, asked.most)
    remedy, parts = cooler_or_slower(inputs, too_hot)
    if asked.most < least:
        remedy = "Look both up on the sheet again: it allows {most} and asks for {least}."
        parts = {"most": Amount(asked.most, LENGTH), "least": Amount(least, LENGTH)}
    yield Finding(
        "no-safe-lifts",
        Level.STOP,
        phrase(
            "There is no way to fill the form in safe lifts of {least} or more.", least=Amount(least, LENGTH)
        ),
        phrase(remedy, **parts),
        field="resin",
    )


def _own(inputs: Inputs, site: Site, asked: Asked, planned: Planned) -> Iterator[Finding]:
    """Where the maker's own lifts are more than needed, or one is deeper than the plan allows."""
    if not inputs.own:
        return
    lifts = planned.lifts
    heights = ", ".join("{to" + str(number) + "}" for number in range(len(lifts)))
    tops = {f"to{number}": Amount(lift.high, LENGTH) for number, lift in enumerate(lifts)}
    lows = (site.bottom, *inputs.own)
    depths = [high - low for low, high in zip(lows, inputs.own, strict=False)]
    # Fewer lifts than the fewest safe ones: then one of them is deeper than its heat allows.
    fewer = len(inputs.own) < len(lifts)
    most = min(asked.most, max(lift.depth for lift in lifts)) if fewer else asked.most
    deepest = max(depths)
    if deepest > most + DEEPER:
        number = depths.index(deepest) + 1 + len(site.start.lifts)
        yield Finding(
            "lift-over-plan",
            Level.NOTE,
            phrase(
                "Lift {number} is planned {depth} deep, and {most} is what one lift may be.",
                number=str(number),
                depth=Amount(deepest, LENGTH),
                most=Amount(most, LENGTH),
            ),
            phrase(f"Pour up to {heights}.", **tops),
            field="own",
            figures=("lifts",),
            value=Amount(deepest, LENGTH),
            margin=DEEPER,
        )
    elif len(inputs.own) > len(lifts):
        yield Finding(
            "more-lifts-than-needed",
            Level.NOTE,
            phrase(
                "{own} lifts are planned, and {fewest} would do.",
                own=str(len(inputs.own)),
                fewest=str(len(lifts)),
            ),
            phrase(f"Pour up to {heights}, or leave it: more lifts only take longer.", **tops),
            field="own",
            figures=("lifts",),
            value=Amount(float(len(inputs.own)), COUNT),
            margin=0.5,
        )


def _bare(asked: Asked, planned: Planned) -> Iterator[Finding]:
    held = planned.bare(asked)
    if held is None:
        return
    top = max(lift.high for lift in planned.lifts if lift.high <= held.high + 1e-9)
    yield Finding(
        "buried-in-two-lifts",
        Level.NOTE,
        phrase(
            "What is buried from {low} to {high} is more than one lift covers.",
            low=Amount(held.low, LENGTH),
            high=Amount(held.high, LENGTH),
        ),
        phrase("Lay it in two goes, the first up to {top}.", top=Amount(top, LENGTH)),
        field="bed",
        figures=("lifts",),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting of which something is still to be poured."""
    for casting, held in desk.file.casting.items():
        lifts = tuple(lift for lift in desk.lifts() if lift.casting == casting)
        open_lifts = tuple(lift for lift in lifts if lift.subject not in desk.file.record.poured)
        if held.lifts and not open_lifts:
            continue
        lift = open_lifts[0] if open_lifts else LiftPlace(casting, "base", 1, assumed(0.0, "form floor"))
        sources = {key: source for key, source in depth_sources(desk, lift).items() if key != "bed"}
        yield Filling(
            casting,
            {
                "total-depth": _total(desk, casting, lifts),
                **sources,
                **optional(
                    area=area_of(desk, open_lifts), bed=_buried(desk, casting), own=_planned(desk, open_lifts)
                ),
            },
        )


def _total(desk: Desk, casting: str, lifts: tuple[LiftPlace, ...]) -> Source:
    """The planned height of the last lift, else the thickest piece."""
    shapes = [piece_shape(desk, piece) for piece in desk.file.pieces_of(casting)]
    thickest: Source = Missing(f"the lifts of {casting}", (("casting", casting, "lifts"),))
    if shapes:
        thickest = combine("the thickest piece", lambda *all: max(held.thickness for held in all), *shapes)
    if not lifts:
        return thickest
    return first(desk.at(*lifts[-1].path, "to", what=f"the height of {lifts[-1].subject}"), thickest)


def _planned(desk: Desk, lifts: tuple[LiftPlace, ...]) -> Source:
    heights = [desk.at(*lift.path, "to") for lift in lifts]
    return combine("as planned", lambda *all: all, *heights) if heights else Missing("")


def _buried(desk: Desk, casting: str) -> Source:
    held = desk.file.casting[casting]
    parts = []
    for name in held.bed:
        place = ("casting", casting, "bed", name)
        share = first(solid_share(desk, casting, name), assumed(0.0, "not known"))
        parts.append(combine("", lambda *row: row, desk.at(*place, "from"), desk.at(*place, "to"), share))
    for name, run in held.light_run.items():
        wide: Source = assumed(STRIP, "a usual strip")
        if run.strip is not None:
            wide = first(desk.at("light-strip", run.strip, "width"), wide)
        height = desk.at("casting", casting, "light-run", name, "height")
        parts.append(
            combine("", lambda at, width: (max(0.0, at - width / 2), at + width / 2, 0.0), height, wide)
        )
    known = [part for part in parts if isinstance(part, Given)]
    return combine("beds and lights", lambda *all: all, *known) if known else Missing("")


CALCULATOR = Calculator(
    id="lift-plan",
    title="Lifts planned",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=4,
    slow=True,
)
