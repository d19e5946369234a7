"""Whether the saw gets through a slab, and in how many passes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import of_tool
from workshop.desk import Desk, Filling, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import COUNT, LENGTH, Amount
from workshop.trade.saw_reach import SawReach, saw_reach


class Inputs(CalculatorInputs):
    """A slab and a saw."""

    thickness: Annotated[float, LENGTH] = given("thickness of the slab", above=0.0, high=1.0)
    depth_on_rail: Annotated[float, LENGTH] = given("depth of cut on the rail", above=0.0, high=1.0)
    depth_off_rail: Annotated[float, LENGTH] | None = given(
        "depth of cut off the rail",
        default=None,
        above=0.0,
        high=1.0,
        help="the rail's thickness more; left out: the saw stays on its rail",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.saw_reach.saw_reach`."""
    held = saw_reach(inputs.thickness, inputs.depth_on_rail, inputs.depth_off_rail)
    thickness, rail = Amount(inputs.thickness, LENGTH), Amount(inputs.depth_on_rail, LENGTH)
    count = Amount(len(held.passes), COUNT)
    figures = [
        Figure(
            "passes",
            "passes in the same kerf",
            float(len(held.passes)),
            COUNT,
            Working(
                "passes = n",
                {"n": count},
                COMMON_PRACTICE,
                assumed=tuple(f"from the {one.face} face, {one.stand}" for one in held.passes),
            ),
        ),
        Figure(
            "left-standing",
            "left standing by the pass on the rail",
            held.left_standing,
            LENGTH,
            Working("left_standing = max(0, t - rail)", {"t": thickness, "rail": rail}, "geometry"),
        ),
        Figure(
            "spare-on-rail",
            "room under the slab on the rail (below zero: it falls short)",
            inputs.depth_on_rail - inputs.thickness,
            LENGTH,
            Working("spare_on_rail = rail - t", {"t": thickness, "rail": rail}, "geometry"),
        ),
    ]
    if inputs.depth_off_rail is not None:
        figures.append(
            Figure(
                "spare-off-rail",
                "room under the slab off the rail (below zero: it falls short)",
                inputs.depth_off_rail - inputs.thickness,
                LENGTH,
                Working(
                    "spare_off_rail = free - t",
                    {"t": thickness, "free": Amount(inputs.depth_off_rail, LENGTH)},
                    "geometry",
                ),
            )
        )
    passes = Table(
        "Passes",
        (Column("face", "from the face"), Column("stand", "saw"), Column("depth", "reaches", LENGTH)),
        tuple((one.face, one.stand, one.depth) for one in held.passes),
    )
    return Result(tuple(figures), _falls_short(held), {"passes": passes})


def _falls_short(held: SawReach) -> tuple[Finding, ...]:
    if held.unreached > 0:
        return (
            Finding(
                "saw-too-small",
                Level.STOP,
                phrase(
                    "The saw leaves {left} in the middle of the slab, whichever way it is led.",
                    left=Amount(held.unreached, LENGTH),
                ),
                phrase(
                    "Saw the last {left} by hand, or take a saw that reaches {more} deeper from each face.",
                    left=Amount(held.unreached, LENGTH),
                    more=Amount(held.unreached / 2, LENGTH),
                ),
                field="thickness",
                figures=("left-standing",),
                value=Amount(held.unreached, LENGTH),
                margin=0.001,
            ),
        )
    if held.left_standing == 0:
        return ()
    remedies = {
        True: "Finish the kerf off the rail in pass 2 of {passes}, the blade in the kerf all the way.",
        False: "Finish the kerf from the other face in pass 2 of {passes}, along a line squared over.",
    }
    return (
        Finding(
            "saw-short-on-rail",
            Level.NOTE,
            phrase("On its rail the saw leaves {left} standing.", left=Amount(held.left_standing, LENGTH)),
            phrase(remedies[held.passes[1].stand == "off the rail"], passes=Amount(len(held.passes), COUNT)),
            field="thickness",
            figures=("passes", "left-standing"),
            value=Amount(held.left_standing, LENGTH),
            margin=0.001,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab with the saw of the shop."""
    for slab in desk.file.slab:
        yield Filling(
            slab,
            {
                "thickness": desk.at("slab", slab, "thickness"),
                "depth-on-rail": of_tool(desk, "depth-on-rail"),
                **optional(depth_off_rail=of_tool(desk, "depth-off-rail")),
            },
        )


CALCULATOR = Calculator(
    id="saw-reach",
    title="Reach of the saw",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=60,
)
