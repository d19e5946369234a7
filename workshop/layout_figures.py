"""What a layout comes to, figure by figure while pieces are moved: free area, resin of each lift, its cost.

The same sums as the plan's, over the wood and stone of one casting alone, so that they follow every key.
"""

from __future__ import annotations

from dataclasses import dataclass

from workshop.calculator import InputError, checked_inputs
from workshop.calculators import pack_sizes, resin_volume
from workshop.desk import Desk, Given, LiftPlace, Missing, Source
from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.room import Filler, Level, Room, room_of
from workshop.layout.sources import solid_share
from workshop.project.project import Project


@dataclass(frozen=True, slots=True)
class LiftFigures:
    """The resin of one lift as planned: m³ and kg to mix. None where that is not known, `lacks` says why."""

    id: str
    poured: bool
    volume: float | None = None
    mass: float | None = None
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class LayoutFigures:
    """What a casting's layout comes to."""

    free: float | None
    """m² of the form that wood leaves free at the upper faces."""
    lifts: tuple[LiftFigures, ...]
    resin: str | None
    cost: float | None
    """Of the whole packs that hold the resin of all lifts, in the project's currency."""
    at_rate: float | None
    """Of the resin alone, at the rate of the cheapest pack."""

    @property
    def volume(self) -> float | None:
        """m³ of all lifts, None while one is not known."""
        return _sum([lift.volume for lift in self.lifts])

    @property
    def mass(self) -> float | None:
        """kg of all lifts, None while one is not known."""
        return _sum([lift.mass for lift in self.lifts])


def layout_figures(project: Project, held: CastingAsPlaced) -> LayoutFigures:
    """What the layout of a casting comes to."""
    desk = Desk(project, _no_figure)
    room = room_of(held)
    whole = _all_lying(project, held, room)
    fillers = _fillers(desk, held)
    poured = {lift.id for lift in held.lifts if lift.poured}
    lifts = tuple(
        _lift(desk, lift, room if whole else None, fillers, lift.id in poured)
        for lift in desk.lifts()
        if lift.casting == held.id
    )
    resin = desk.resin_of(held.id)
    mass = _sum([lift.mass for lift in lifts])
    cost, rate = (None, None) if resin is None or mass is None else _cost(project, resin, mass)
    return LayoutFigures(_free(held, room), lifts, resin, cost, rate)


def _free(held: CastingAsPlaced, room: Room | None) -> float | None:
    if room is None or any(piece.thickness is None for piece in held.pieces):
        return None
    return room.free_area(min((piece.thickness or 0.0 for piece in room.pieces), default=0.0))


def _all_lying(project: Project, held: CastingAsPlaced, room: Room | None) -> bool:
    """Whether all the wood of a casting lies in its form with a shape that is known."""
    names = project.file.pieces_of(held.id)
    entered = any(piece.wood_volume is not None for piece in names.values())
    return room is not None and len(room.pieces) == len(names) > 0 and not entered


def _fillers(desk: Desk, held: CastingAsPlaced) -> tuple[Filler, ...] | None:
    """The beds with their solid share; None where one is not known, so that the plan leaves out all stone."""
    made = []
    for name in desk.file.casting[held.id].bed:
        share = solid_share(desk, held.id, name)
        bed = next((bed for bed in held.beds if bed.id == name), None)
        if not isinstance(share, Given) or bed is None or bed.low is None or bed.high is None:
            return None
        made.append(Filler(bed, share.value))
    return tuple(made)


def _lift(
    desk: Desk, lift: LiftPlace, room: Room | None, fillers: tuple[Filler, ...] | None, poured: bool
) -> LiftFigures:
    inputs = _inputs(desk, lift, room, fillers)
    lacks = [held.what for held in inputs.values() if isinstance(held, Missing)]
    if lacks:
        return LiftFigures(lift.id, poured, lacks=lacks[0])
    known = {key: held.value for key, held in inputs.items() if isinstance(held, Given)}
    try:
        result = resin_volume.CALCULATOR.compute(checked_inputs(resin_volume.CALCULATOR, known))
    except (InputError, ValueError) as error:
        return LiftFigures(lift.id, poured, lacks=str(error))
    volume, mass = result.figure("volume"), result.figure("mass")
    return LiftFigures(lift.id, poured, volume.value if volume else None, mass.value if mass else None)


def _inputs(
    desk: Desk, lift: LiftPlace, room: Room | None, fillers: tuple[Filler, ...] | None
) -> dict[str, Source]:
    to = desk.at(*lift.path, "to")
    if room is None or isinstance(lift.below, Missing) or isinstance(to, Missing):
        return resin_volume.lift_inputs(desk, lift)
    level: Level = room.level(lift.below.value, to.value, fillers or ())
    return {
        "length": Given(room.length),
        "width": Given(room.width),
        "depth": Given(to.value - lift.below.value),
        "wood-volume": Given(level.wood),
        "bed-solid": Given(level.stone),
        **resin_volume.losses(desk, lift),
    }


def _cost(project: Project, resin: str, mass: float) -> tuple[float | None, float | None]:
    """What the packs cost that hold a mass, and the mass at the rate of the cheapest."""
    packs = tuple(
        (pack.size.text, pack.price.text)
        for pack in project.file.resin[resin].packs
        if pack.size is not None and pack.price is not None
    )
    if not packs:
        return None, None
    try:
        result = pack_sizes.compute(pack_sizes.Inputs(need=mass, packs=packs))
    except (InputError, ValueError):
        return None, None
    cost = result.figure("cost")
    rates = [figure.value for figure in result.figures if figure.id.startswith("at-rate")]
    return cost.value if cost is not None else None, min(rates, default=None)


def _sum(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if known and len(known) == len(values) else None


def _no_figure(calculator: str, subject: str, figure: str) -> Source:
    return Missing(f"{figure} of {calculator} for {subject}")
