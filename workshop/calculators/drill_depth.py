"""How deep a pilot hole may go, and how long its screw may be, so that neither comes out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, Missing, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import LENGTH, Amount
from workshop.trade.drilling import BlindHole, blind_hole

LEAST_KEPT: Final = 0.005
"""m of the part that must stay beyond a drill's point and a screw's tip: common practice, no source."""


class Inputs(CalculatorInputs):
    """The part that is drilled, and the screw."""

    part_thickness: Annotated[float, LENGTH] = given(
        "thickness of the part at its thinnest", above=0.0, high=1.0
    )
    through: Annotated[float, LENGTH] = given(
        "what the screw goes through first",
        default=0.0,
        low=0.0,
        high=1.0,
        help="a plate or a leg that lies on the part",
    )
    keep: Annotated[float, LENGTH] = given(
        "what must stay beyond the drill's point", default=0.0, low=0.0, high=0.5
    )
    point: Annotated[float, LENGTH] = given("length of the drill's point", default=0.0, low=0.0, high=0.1)
    screw: Annotated[float, LENGTH] | None = given(
        "length of the screw",
        default=None,
        above=0.0,
        high=1.0,
        help="from under its head; only to see whether it fits",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.drilling.blind_hole`."""
    held = blind_hole(inputs.part_thickness, inputs.through, inputs.keep, inputs.point)
    thickness, keep = Amount(inputs.part_thickness, LENGTH), Amount(inputs.keep, LENGTH)
    point, depth = Amount(inputs.point, LENGTH), Amount(held.depth, LENGTH)
    figures = [
        Figure(
            "drill-depth",
            "depth of the hole at its full width",
            held.depth,
            LENGTH,
            Working(
                "drill_depth = max(0, part - keep - point)",
                {"part": thickness, "keep": keep, "point": point},
                "geometry",
            ),
        ),
        Figure(
            "stop",
            "stop or flag above the tip of the drill",
            held.stop,
            LENGTH,
            Working("stop = depth + point", {"depth": depth, "point": point}, "geometry")
            if held.depth
            else Working("stop = 0", {}, "geometry", assumed=("there is no room for a hole",)),
        ),
        Figure(
            "longest-screw",
            "longest screw",
            held.longest_screw,
            LENGTH,
            Working(
                "longest_screw = through + depth",
                {"through": Amount(inputs.through, LENGTH), "depth": depth},
                "geometry",
                assumed=("measured from under the head, its tip no deeper than the full hole",),
            ),
        ),
    ]
    if inputs.screw is not None:
        figures.append(
            Figure(
                "left-beyond",
                "part left beyond the screw's tip (below zero: it comes through)",
                inputs.part_thickness + inputs.through - inputs.screw,
                LENGTH,
                Working(
                    "left_beyond = part + through - screw",
                    {
                        "part": thickness,
                        "through": Amount(inputs.through, LENGTH),
                        "screw": Amount(inputs.screw, LENGTH),
                    },
                    "geometry",
                ),
            )
        )
    return Result(
        tuple(figures), (*_no_room(inputs, held), *_nothing_kept(inputs, held), *_too_long(inputs, held))
    )


def _no_room(inputs: Inputs, held: BlindHole) -> Iterator[Finding]:
    if held.depth > 0:
        return
    needed = inputs.keep + inputs.point
    yield Finding(
        "no-room-for-hole",
        Level.STOP,
        phrase(
            "The part is {part} thick, and {needed} of it must stay beyond the hole and its point.",
            part=Amount(inputs.part_thickness, LENGTH),
            needed=Amount(needed, LENGTH),
        ),
        phrase("Fasten it where the part is thicker than {needed}.", needed=Amount(needed, LENGTH)),
        field="part-thickness",
        figures=("drill-depth",),
        value=Amount(needed - inputs.part_thickness, LENGTH),
        margin=1e-3,
    )


def _nothing_kept(inputs: Inputs, held: BlindHole) -> Iterator[Finding]:
    if inputs.keep > 0 or not held.depth:
        return
    yield Finding(
        "nothing-kept",
        Level.WARN,
        phrase("Nothing is left beyond the point."),
        phrase(f"Keep at least {{least}} ({COMMON_PRACTICE}).", least=Amount(LEAST_KEPT, LENGTH)),
        field="keep",
        figures=("drill-depth", "longest-screw"),
    )


def _too_long(inputs: Inputs, held: BlindHole) -> Iterator[Finding]:
    if inputs.screw is None:
        return
    left = inputs.part_thickness + inputs.through - inputs.screw
    out = left <= 1e-9
    if not out and inputs.screw <= held.longest_screw + 1e-9:
        return
    if left < -1e-9:
        said = "A screw of {screw} comes out {beyond} beyond the part."
    elif out:
        said = "A screw of {screw} reaches right through the part, and its tip shows."
    else:
        said = "A screw of {screw} leaves {left} of the part beyond its tip, and is longer than the hole."
    longest = min(held.longest_screw, inputs.through + inputs.part_thickness - max(inputs.keep, LEAST_KEPT))
    yield Finding(
        "screw-comes-through",
        Level.STOP if out else Level.WARN,
        phrase(
            said,
            screw=Amount(inputs.screw, LENGTH),
            beyond=Amount(-left, LENGTH),
            left=Amount(left, LENGTH),
        ),
        phrase("Fasten it where the part is thicker than {least}.", least=Amount(LEAST_KEPT, LENGTH))
        if longest <= inputs.through
        else phrase(
            "Take a screw of {longest} or shorter, and drill to {depth} at most.",
            longest=Amount(longest, LENGTH),
            depth=Amount(longest - inputs.through, LENGTH),
        ),
        field="screw",
        figures=("longest-screw", "left-beyond"),
        value=Amount(inputs.screw - longest, LENGTH),
        margin=5e-4,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every set of screws and inserts, in the finished thickness of the casting it holds."""
    for name, fixing in desk.file.fixing.items():
        if fixing.kind == "bolt":
            continue
        place = ("fixing", name)
        known = fixing.casting is not None and fixing.casting in desk.file.casting
        yield Filling(
            name,
            {
                "part-thickness": desk.at("casting", str(fixing.casting), "thickness")
                if known
                else Missing(f"the casting that {name} goes into", ((*place, "casting"),)),
                **optional(
                    through=desk.at(*place, "through"),
                    keep=desk.at(*place, "keep"),
                    point=desk.at(*place, "point"),
                    screw=desk.at(*place, "length"),
                ),
            },
        )


CALCULATOR = Calculator(
    id="drill-depth",
    title="Depth of the pilot holes",
    stage="assembly",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=60,
)
