"""The slot in a leg or plate that lets wood move with its bolt, and where in it the bolt stands today."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import LENGTH, NUMBER, PERCENT, Amount
from workshop.trade.slots import CLEARANCE, slot

WASHER = 2.0
"""Bolt diameters that a usual washer still spans: common practice, no source."""


class Inputs(CalculatorInputs):
    """What moves, and what holds it."""

    movement: Annotated[float, LENGTH] = given(
        "movement of the wood over the year",
        low=-0.2,
        high=0.2,
        help="from its driest to its dampest, at the bolt; its sign does not matter",
    )
    bolt: Annotated[float, LENGTH] = given("diameter of the bolt", above=0.0, high=0.1)
    position: Annotated[float, PERCENT] = given(
        "where the wood stands between driest and dampest",
        default=0.5,
        low=0.0,
        high=1.0,
        help="0 % at its driest, 100 % at its dampest; left out: in the middle",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.slots.slot`."""
    held = slot(inputs.movement, inputs.bolt, inputs.position)
    bolt, movement = Amount(inputs.bolt, LENGTH), Amount(inputs.movement, LENGTH)
    slot_length = Amount(held.length, LENGTH)
    figures = (
        Figure(
            "slot",
            "length of the slot",
            held.length,
            LENGTH,
            Working(
                f"slot = bolt + abs(movement) + {CLEARANCE}",
                {"bolt": bolt, "movement": movement},
                COMMON_PRACTICE,
                assumed=(
                    "along the movement, across the grain",
                    "the slot is in the leg or plate, and the bolt stands in the wood",
                ),
            ),
        ),
        Figure(
            "bolt-place",
            "middle of the bolt from the slot's end towards the fixed fastening",
            held.bolt_place,
            LENGTH,
            Working(
                f"bolt_place = bolt/2 + {CLEARANCE}/2 + position*abs(movement)",
                {"bolt": bolt, "movement": movement, "position": Amount(inputs.position, PERCENT)},
                COMMON_PRACTICE,
                assumed=("as the wood swells it carries the bolt away from the fixed fastening",),
            ),
        ),
        Figure(
            "bolt-place-share",
            "the same, of the slot",
            held.bolt_place / held.length,
            PERCENT,
            Working(
                "bolt_place_share = place/slot",
                {"place": Amount(held.bolt_place, LENGTH), "slot": slot_length},
                COMMON_PRACTICE,
            ),
        ),
        Figure(
            "slot-share",
            "length of the slot, in bolt diameters",
            held.length / inputs.bolt,
            NUMBER,
            Working("slot_share = slot/bolt", {"slot": slot_length, "bolt": bolt}, "geometry"),
        ),
    )
    return Result(figures, _wide(inputs, held.length))


def _wide(inputs: Inputs, length: float) -> tuple[Finding, ...]:
    if length <= WASHER * inputs.bolt + 1e-9:
        return ()
    return (
        Finding(
            "slot-wants-washer",
            Level.NOTE,
            phrase(
                "A slot of {slot} is longer than a usual washer on a bolt of {bolt} spans.",
                slot=Amount(length, LENGTH),
                bolt=Amount(inputs.bolt, LENGTH),
            ),
            phrase(
                f"Put a plate or washer of {{washer}} or more over it ({COMMON_PRACTICE}).",
                washer=Amount(length + inputs.bolt, LENGTH),
            ),
            field="movement",
            figures=("slot",),
            value=Amount(length, LENGTH),
            margin=1e-3,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every set of fastenings: the wood of its casting from the driest to the dampest air of its place."""
    for name, fixing in desk.file.fixing.items():
        place = ("fixing", name)
        low, high = (_change(desk, fixing.casting, end) for end in ("low", "high"))
        yield Filling(
            name,
            {
                "movement": combine(
                    "all wood of the casting over its whole width, from driest to dampest",
                    lambda low, high: max(low, high, 0.0) - min(low, high, 0.0),
                    low,
                    high,
                ),
                "bolt": desk.at(*place, "diameter"),
                **optional(position=combine("as dry as it was cast", _position, low, high)),
            },
        )


def _position(low: float, high: float) -> float:
    dry, damp = min(low, high, 0.0), max(low, high, 0.0)
    return -dry / (damp - dry) if damp > dry else 0.5


def _change(desk: Desk, casting: str | None, end: str) -> Source:
    """How far all wood of a casting together moves from as cast to one end of the year, in m."""
    if casting is None or casting not in desk.file.casting:
        return Missing("the casting that is fastened", (("fixing",),))
    slabs = [
        piece.slab
        for piece in desk.file.pieces_of(casting).values()
        if piece.slab is not None and piece.slab in desk.file.slab
    ]
    if not slabs:
        return Missing(f"the wood in {casting}", (("piece",),))
    return combine(
        "",
        lambda *all: sum(all),
        *(desk.figure("wood-movement", f"{slab}/{end}", "change") for slab in slabs),
    )


CALCULATOR = Calculator(
    id="slot-length",
    title="Slots for the movement",
    stage="assembly",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=65,
)
