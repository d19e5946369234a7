"""How soon a piece tips: a load on its overhanging edge, or a push from the side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.carry import mass_on_legs
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import FORCE, LENGTH, MASS, NUMBER, Amount
from workshop.trade.buoyancy import STANDARD_GRAVITY
from workshop.trade.stability import LEAST_EDGE_LOAD, LEAST_PUSH, edge_load, tipping_push

RULE: Final = "ANSI/BIFMA X5.5-2021 asks 25 lb on the edge and 10 lb of push of a desk on castors"


class Inputs(CalculatorInputs):
    """The piece on its feet."""

    alternatives = (("outside", "push-height"),)

    mass: Annotated[float, MASS] = given("mass of the whole piece", above=0.0, high=2000.0)
    inside: Annotated[float, LENGTH] = given(
        "centre of gravity inside the line of the feet", above=0.0, high=5.0
    )
    outside: Annotated[float, LENGTH] | None = given(
        "load outside the line of the feet", default=None, above=0.0, high=5.0
    )
    push_height: Annotated[float, LENGTH] | None = given(
        "height of a push above the floor", default=None, above=0.0, high=5.0
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
    if inputs.outside is not None:
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
        findings += _tips(
            "tips-under-edge-load",
            "A load of {force} on its edge tips it",
            load,
            LEAST_EDGE_LOAD,
            "Move the feet out until the edge stands over them by {lever} or less, or fasten it to the wall.",
            inputs.mass * STANDARD_GRAVITY * inputs.inside / LEAST_EDGE_LOAD,
            "outside",
            "edge-load",
        )
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
        findings += _tips(
            "tips-under-push",
            "A push of {force} tips it",
            push,
            LEAST_PUSH,
            "Set the feet {lever} or more from its centre of gravity, or fasten it to the wall.",
            LEAST_PUSH * inputs.push_height / (inputs.mass * STANDARD_GRAVITY),
            "push-height",
            "push",
        )
    return Result(tuple(figures), tuple(findings))


def _tips(
    rule: str, said: str, force: float, least: float, remedy: str, lever: float, field: str, figure: str
) -> Iterator[Finding]:
    if force >= least - 1e-9:
        return
    yield Finding(
        rule,
        Level.WARN,
        phrase(f"{said}; {RULE}.", force=Amount(force, FORCE)),
        phrase(remedy, lever=Amount(lever, LENGTH)),
        field=field,
        figures=(figure,),
        value=Amount(force, FORCE),
        worse="down",
        margin=5.0,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """The piece on its legs, over its front edge: the feet as wide as the frame."""
    if not desk.file.frame.legs:
        return
    half = combine("half the width of the frame", lambda width: width / 2, desk.at("frame", "width"))
    yield Filling(
        "project",
        {
            "mass": mass_on_legs(desk),
            "inside": half,
            **_above_zero(outside=_overhang(desk)),
            "push-height": _top(desk),
        },
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
