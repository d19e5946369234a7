"""How soon a piece tips: a load on its overhanging edge, or a push from the side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.carry import legs_mass
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import FORCE, LENGTH, MASS, NUMBER, Amount
from workshop.trade.buoyancy import STANDARD_GRAVITY
from workshop.trade.stability import edge_load, tipping_push

STANDARDS: Final = "EN 1730, EN 527 and BIFMA X5.5 hold the loads of such tests"
HEAVY_SITTER: Final = 100.0
"""kg of a person, as an example of what may sit on an edge: common practice, no source."""


class Inputs(CalculatorInputs):
    """The piece on its feet."""

    alternatives = (("outside", "push-height"),)

    mass: Annotated[float, MASS] = given("mass of the whole piece", above=0.0, high=2000.0)
    inside: Annotated[float, LENGTH] = given(
        "centre of gravity inside the line of the feet", above=0.0, high=5.0
    )
    outside: Annotated[float, LENGTH] | None = given(
        "load outside the line of the feet",
        default=None,
        low=0.0,
        high=5.0,
        help="0: the edge stands over the feet, and no load on it tips the piece",
    )
    push_height: Annotated[float, LENGTH] | None = given(
        "height of a push above the floor", default=None, above=0.0, high=5.0
    )
    load: Annotated[float, FORCE] | None = given(
        "load that the edge must bear", default=None, above=0.0, high=20000.0, help="100 kg is 981 N"
    )
    push_wanted: Annotated[float, FORCE] | None = given(
        "push that it must stand", default=None, above=0.0, high=20000.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.stability`."""
    numbers = {
        "m": Amount(inputs.mass, MASS),
        "g": Amount(STANDARD_GRAVITY, NUMBER),
        "b": Amount(inputs.inside, LENGTH),
    }
    figures: list[Figure] = []
    findings: list[Finding] = []
    if inputs.outside:
        load = edge_load(inputs.mass, inputs.inside, inputs.outside)
        figures.append(
            Figure(
                "edge-load",
                "load on the edge that tips it",
                load,
                FORCE,
                Working(
                    "edge_load = m*g*b/a",
                    {**numbers, "a": Amount(inputs.outside, LENGTH)},
                    "static equilibrium",
                ),
            )
        )
        findings += _tips_under_load(inputs, load)
    if inputs.push_height is not None:
        push = tipping_push(inputs.mass, inputs.inside, inputs.push_height)
        figures.append(
            Figure(
                "push",
                "push from the side that tips it",
                push,
                FORCE,
                Working(
                    "push = m*g*b/h",
                    {**numbers, "h": Amount(inputs.push_height, LENGTH)},
                    "static equilibrium",
                    assumed=("the feet do not slide",),
                ),
            )
        )
        findings += _tips_under_push(inputs, push)
    return Result(tuple(figures), tuple(findings))


def _tips_under_load(inputs: Inputs, held: float) -> Iterator[Finding]:
    wanted = inputs.load
    if wanted is None:
        yield Finding(
            "edge-load-unknown",
            Level.NOTE,
            phrase("A load of {force} on its edge tips it.", force=Amount(held, FORCE)),
            phrase(
                f"Set beside it the heaviest person who may sit on that edge ({{person}} is {{weight}}); "
                f"{STANDARDS}.",
                person=Amount(HEAVY_SITTER, MASS),
                weight=Amount(HEAVY_SITTER * STANDARD_GRAVITY, FORCE),
            ),
            field="outside",
            figures=("edge-load",),
            value=Amount(held, FORCE),
            worse="down",
            margin=5.0,
        )
    elif held < wanted - 1e-9:
        yield Finding(
            "tips-under-edge-load",
            Level.STOP,
            phrase(
                "A load of {force} on its edge tips it, and the edge must bear {wanted}.",
                force=Amount(held, FORCE),
                wanted=Amount(wanted, FORCE),
            ),
            phrase(
                "Move the feet out until the edge stands {lever} or less beyond them.",
                lever=Amount(inputs.mass * STANDARD_GRAVITY * inputs.inside / wanted, LENGTH),
            ),
            field="outside",
            figures=("edge-load",),
            value=Amount(held, FORCE),
            worse="down",
            margin=5.0,
        )


def _tips_under_push(inputs: Inputs, held: float) -> Iterator[Finding]:
    wanted = inputs.push_wanted
    if wanted is None or held >= wanted - 1e-9 or inputs.push_height is None:
        return
    yield Finding(
        "tips-under-push",
        Level.WARN,
        phrase(
            "A push of {force} tips it, and it must stand {wanted}.",
            force=Amount(held, FORCE),
            wanted=Amount(wanted, FORCE),
        ),
        phrase(
            "Set the feet {lever} or more from its centre of gravity, or fasten it to the wall.",
            lever=Amount(wanted * inputs.push_height / (inputs.mass * STANDARD_GRAVITY), LENGTH),
        ),
        field="push-height",
        figures=("push",),
        value=Amount(held, FORCE),
        worse="down",
        margin=5.0,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """The piece on its legs, over its front edge: feet as wide as the frame, the piece at its lightest."""
    if not desk.file.frame.legs:
        return
    half = combine("half the width of the frame", lambda width: width / 2, desk.at("frame", "width"))
    yield Filling(
        "project",
        {
            "mass": _least_mass(desk),
            "inside": half,
            **_above_zero(outside=_overhang(desk)),
            "push-height": _top(desk),
        },
    )


def _least_mass(desk: Desk) -> Source:
    """The piece at its lightest, since what is lighter tips sooner."""
    fixed = {fixing.casting for fixing in desk.file.fixing.values()}
    castings = tuple(casting for casting in desk.file.casting if casting in fixed) or tuple(desk.file.casting)
    if not castings:
        return Missing("the castings", (("casting",),))
    legs = legs_mass(desk)
    how = "as light as its lightest wood or resin through and through, on the safe side" + (
        "" if isinstance(legs, Given) else ", without legs"
    )
    masses = [_light_casting(desk, casting) for casting in castings]
    return combine(how, lambda *all: sum(all), *masses, *([legs] if isinstance(legs, Given) else []))


def _light_casting(desk: Desk, casting: str) -> Source:
    """A finished casting in kg, all of it as light as the lightest thing in it."""
    resin = casting_resin(desk, casting)
    woods = {
        piece.slab
        for piece in desk.file.pieces_of(casting).values()
        if piece.slab is not None and piece.slab in desk.file.slab
    }
    densities = [desk.figure("wood-density", slab, "density") for slab in sorted(woods)]
    mixed = resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin)
    if isinstance(mixed, Given) or not densities:
        densities.append(mixed)
    return combine(
        "",
        lambda length, width, thickness, *all: length * width * thickness * min(all),
        *(desk.at("casting", casting, key) for key in ("length", "width", "thickness")),
        *densities,
    )


def _overhang(desk: Desk) -> Source:
    castings = {
        fixing.casting
        for fixing in desk.file.fixing.values()
        if fixing.casting is not None and fixing.casting in desk.file.casting
    }
    if not castings:
        return Missing("the casting on the legs", (("fixing",),))
    return combine(
        "how far the widest casting stands over the frame at one side",
        lambda frame, *widths: (max(widths) - frame) / 2,
        desk.at("frame", "width"),
        *(desk.at("casting", casting, "width") for casting in sorted(castings)),
    )


def _top(desk: Desk) -> Source:
    return first(
        desk.at("project", "seat-height"), desk.at("frame", "height", what="the height of the frame")
    )


def _above_zero(**sources: Source) -> dict[str, Source]:
    """Only the known ones that are a lever at all: feet wider than the top leave none outside."""
    return {
        key: source
        for key, source in optional(**sources).items()
        if isinstance(source, Given) and source.value > 0
    }


CALCULATOR = Calculator(
    id="tip-over",
    title="Tipping over",
    stage="assembly",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=70,
)
