"""Where the cure's inputs come from in a project: as poured and as read where known, else as planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import pairwise
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.calculators.wood_density import slab_moisture
from workshop.desk import Desk, Given, LiftPlace, Missing, Source, assumed, combine, first, optional
from workshop.layout.as_placed import casting_as_placed
from workshop.layout.room import room_of
from workshop.layout.sources import piece_shape, solid_share
from workshop.project.path import Path
from workshop.resin_sheet import resin_text

EITHER_WAY: Final = 4.0
"""K by which a shop of which one reading is known may be colder and warmer: common practice, no source."""
WITHIN: Final = 0.05
"""m: a channel as wide as the form but for this is a wide form."""


def cure_sources(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """The inputs of `lift-cure` for a lift, without what its sheet says of least depth and temperature."""
    return {"depth": depth_of(desk, lift), **surroundings(desk, lift)}


def surroundings(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """All of them but the depth."""
    casting = lift.casting
    place: Path = ("casting", casting)
    resin = casting_resin(desk, casting)
    density: Source = resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin)
    below = _lifts_below(desk, lift)
    return {
        "resin": resin_text(desk, casting, density),
        "temperature": shop_temperature(desk),
        "below": _below(desk, lift, below),
        **optional(
            temperature_low=_low(desk),
            temperature_high=_high(desk),
            pour_temperature=_poured_at(desk, lift),
            below_temperatures=_below_temperatures(desk, below),
            under=desk.at(*place, "form", "stands-on"),
            board=desk.at(*place, "form", "board"),
            bed=_beds(desk, lift),
            shop_log=_log(desk, lift),
            limit=_limit(desk, casting),
            measured_peak=_measured(desk, lift),
            **({} if isinstance(resin, Missing) else {"recoat_limit": desk.at(*resin, "recoat-limit")}),
        ),
        **_banks(desk, lift),
    }


def depth_of(desk: Desk, lift: LiftPlace) -> Source:
    """How deep a lift is, as poured where that was read."""
    return combine(
        "its height less that of the lift below",
        lambda low, high: high - low,
        _top_below(desk, lift),
        top_of(desk, lift),
    )


def top_of(desk: Desk, lift: LiftPlace) -> Source:
    """The height a lift reaches, as poured where that was read."""
    return first(
        desk.at("record", "poured", lift.subject, "to"),
        desk.at(*lift.path, "to", what=f"the height of {lift.subject}"),
    )


def _top_below(desk: Desk, lift: LiftPlace) -> Source:
    below = _lifts_below(desk, lift)
    return top_of(desk, below[-1]) if below else assumed(0.0, "form floor")


def _lifts_below(desk: Desk, lift: LiftPlace) -> tuple[LiftPlace, ...]:
    return tuple(held for held in desk.lifts() if held.casting == lift.casting and held.number < lift.number)


def shop_temperature(desk: Desk) -> Source:
    """The shop's mean of day and night, else its last reading."""
    mean = combine(
        "half-way between the day's high and the night's low",
        lambda low, high: (low + high) / 2,
        desk.at("shop", "temperature-low"),
        desk.at("shop", "temperature-high"),
    )
    if isinstance(mean, Given):
        return mean
    last = _last_shop(desk)
    return (
        last if last is not None else Missing("the temperature of the shop", (("shop", "temperature-low"),))
    )


def _last_shop(desk: Desk) -> Given | None:
    rows = desk.file.record.readings.get("shop", ())
    known = [(row.at, number) for number, row in enumerate(rows) if row.temperature is not None]
    if not known:
        return None
    number = max(known)[1]
    value = rows[number].temperature
    assert value is not None
    return Given(value.value, (("record", "readings", "shop", number, "temperature"),), "the last reading")


def _low(desk: Desk) -> Source:
    return first(desk.at("shop", "temperature-low"), _off(desk, -EITHER_WAY))


def _high(desk: Desk) -> Source:
    return first(desk.at("shop", "temperature-high"), _off(desk, EITHER_WAY))


def _off(desk: Desk, step: float) -> Source:
    last = _last_shop(desk)
    if last is None:
        return Missing("the temperature of the shop")
    return combine("4 K either way of the last reading", lambda value: value + step, last)


def _poured_at(desk: Desk, lift: LiftPlace) -> Source:
    return first(
        desk.at("record", "poured", lift.subject, "resin-temperature"),
        desk.at(*lift.path, "pour-temperature"),
    )


def _moment(desk: Desk, lift: LiftPlace) -> datetime | None:
    poured = desk.file.record.poured.get(lift.subject)
    return poured.at if poured is not None else None


def _after(desk: Desk, below: LiftPlace, lift: LiftPlace) -> Source:
    """How long after the lift below it one is poured."""
    one, two = _moment(desk, below), _moment(desk, lift)
    if one is not None and two is not None:
        paths = (("record", "poured", below.subject, "at"), ("record", "poured", lift.subject, "at"))
        return Given(max(60.0, (two - one).total_seconds()), paths, "as poured")
    return first(desk.at(*lift.path, "after"), assumed(0.0, "once the window of the lift below is open"))


def _below(desk: Desk, lift: LiftPlace, below: Sequence[LiftPlace]) -> Source:
    if not below:
        return assumed((), "the form floor")
    chain = [*below, lift]
    gaps = [_after(desk, one, two) for one, two in pairwise(chain)]
    depths = [depth_of(desk, held) for held in below]

    def rows(*values: float) -> tuple[tuple[float, float], ...]:
        return tuple(zip(values[: len(below)], values[len(below) :], strict=True))

    return combine("the lifts below, as poured where they are", rows, *depths, *gaps)


def _below_temperatures(desk: Desk, below: Sequence[LiftPlace]) -> Source:
    if not below:
        return Missing("")
    shop = shop_temperature(desk)
    return combine("", lambda *all: tuple(all), *(first(_poured_at(desk, held), shop) for held in below))


def _beds(desk: Desk, lift: LiftPlace) -> Source:
    parts = []
    for name in desk.file.casting[lift.casting].bed:
        place: Path = ("casting", lift.casting, "bed", name)
        parts.append(
            combine(
                "",
                _within,
                _top_below(desk, lift),
                top_of(desk, lift),
                desk.at(*place, "from"),
                desk.at(*place, "to"),
                solid_share(desk, lift.casting, name),
            )
        )
    known = [part for part in parts if isinstance(part, Given) and part.value is not None]
    return combine("beds in this lift", lambda *all: tuple(all), *known) if known else Missing("")


def _within(
    low: float, high: float, start: float, end: float, share: float
) -> tuple[float, float, float] | None:
    bottom, top = max(low, start), min(high, end)
    return (bottom - low, top - low, min(share, 0.9)) if top > bottom and share > 0 else None


def _log(desk: Desk, lift: LiftPlace) -> Source:
    """What was read in the shop from the first pour of the casting on; nothing before a lift is poured."""
    at = _moment(desk, lift)
    if at is None:
        return Missing("")
    chain = (*_lifts_below(desk, lift), lift)
    begun = min((moment for held in chain if (moment := _moment(desk, held)) is not None), default=at)
    rows, paths = [], []
    for number, row in enumerate(desk.file.record.readings.get("shop", ())):
        if row.temperature is not None and row.at >= begun:
            rows.append(((row.at - at).total_seconds(), row.temperature.value))
            paths.append(("record", "readings", "shop", number, "temperature"))
    for line in desk.file.record.logged.get("shop", ()):
        for moment, value in line.readings() if line.quantity == "temperature" else ():
            if moment >= begun:
                rows.append(((moment - at).total_seconds(), value))
    return Given(tuple(sorted(rows)), tuple(paths), "read in the shop") if rows else Missing("")


def _limit(desk: Desk, casting: str) -> Source:
    """The least of what resin and light strips stand."""
    found = []
    resin = desk.resin_of(casting)
    if resin is not None:
        found.append(desk.at("resin", resin, "limit-temperature"))
    for run in desk.file.casting[casting].light_run.values():
        if run.strip is not None:
            found.append(desk.at("light-strip", run.strip, "limit-temperature"))
    known = [source for source in found if isinstance(source, Given)]
    return combine("the least of resin and lights", lambda *all: min(all), *known) if known else Missing("")


def _measured(desk: Desk, lift: LiftPlace) -> Source:
    rows = desk.file.record.readings.get(lift.subject, ())
    peaks = [(row.peak.value, number) for number, row in enumerate(rows) if row.peak is not None]
    if not peaks:
        return Missing("")
    value, number = max(peaks)
    return Given(value, (("record", "readings", lift.subject, number, "peak"),), "as read")


def _banks(desk: Desk, lift: LiftPlace) -> dict[str, Source]:
    """The width of the resin where it is widest between the wood, and that wood."""
    held = casting_as_placed(desk.file, lift.casting)
    room = None if held is None else room_of(held)
    if held is None or room is None or not room.pieces:
        return {}
    level = next((level for level in held.lifts if level.id == lift.id), None)
    if level is None:
        return {}
    free = room.free((level.low + level.high) / 2)
    if free.is_empty:
        return {}
    width = 2 * max(
        (float(shapely.maximum_inscribed_circle(part, tolerance=0.002).length) for part in _parts(free)),
        default=0.0,
    )
    if width <= 0 or width > room.width - WITHIN:
        return {}
    shapes = [piece_shape(desk, piece.id) for piece in room.pieces]
    made = combine("the widest place between the wood", lambda *_shapes: width, *shapes)
    slabs = [slab for piece in room.pieces if (slab := desk.file.piece[piece.id].slab) is not None]
    wide = min(piece.extent[3] - piece.extent[1] for piece in room.pieces)
    sources: dict[str, Source] = {
        "width": made,
        "wood_width": Given(max(0.005, min(2.0, wide)), made.paths, "the narrowest piece"),
    }
    for slab in slabs[:1]:
        sources["wood_gravity"] = desk.figure("wood-density", slab, "specific-gravity")
        sources["wood_moisture"] = slab_moisture(desk, slab)
    return optional(**sources)


def _parts(region: BaseGeometry) -> Iterator[shapely.Polygon]:
    for part in shapely.get_parts(region):
        if part.geom_type == "Polygon" and part.area > 1e-5:
            yield part
