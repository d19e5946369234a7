"""What screws in wood hold against being pulled out, and the holes to drill for them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.wood_density import SPECIES, from_memory, no_gravity, wood
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Number, Result, Working, phrase
from workshop.quantity import COUNT, FORCE, LENGTH, NUMBER, PERCENT, Amount
from workshop.reference.species import UnknownSpecies, species
from workshop.trade.fasteners import (
    Grain,
    LeadHole,
    ScrewKind,
    allowable_withdrawal,
    grain_factor,
    lag_root_diameter,
    lag_thread,
    lead_hole,
    ultimate_withdrawal,
    wood_screw_thread,
)
from workshop.trade.timber import oven_dry_specific_gravity

NDS: Final = {"lag": "AWC NDS 2018, eq. 12.2-1", "wood": "AWC NDS 2018, eq. 12.2-2"}
ULTIMATE: Final = {
    "lag": "USDA Wood Handbook, FPL-GTR-190 (2010), eq. 8-14; its constant from memory",
    "wood": "USDA Wood Handbook, FPL-GTR-190 (2010), eq. 8-10, from memory",
}
ONE_ALLOWED: Final = {
    "lag": "1800*G**1.5*(D/0.0254)**0.75*(L/0.0254)*4.4482216152605",
    "wood": "2850*G**2*(D/0.0254)*(L/0.0254)*4.4482216152605",
}
ONE_ULTIMATE: Final = {"lag": "125.4*G**1.5*(D*1000)**0.75*(L*1000)", "wood": "108.25*G**2*(D*1000)*(L*1000)"}

LEAST_THREAD: Final = {"lag": 4, "wood": 6}
"""Shank diameters of thread that a screw should have in the wood (NDS 12.1.4.6 and 12.1.5.6, from memory)."""
UNDRILLED_SHARE: Final = 0.70
"""Lead hole, of the root diameter, where the rules ask for none (the share of the next harder woods)."""


class Inputs(CalculatorInputs):
    """The screw and the wood it bites in."""

    alternatives = (("species", "specific-gravity"),)

    kind: ScrewKind = given("kind of screw", help="wood: a wood screw; lag: a coach or lag screw")
    diameter: Annotated[float, LENGTH] = given("shank diameter", above=0.0, high=0.035)
    thread_in_wood: Annotated[float, LENGTH] = given(
        "thread in the wood", low=0.0, high=0.4, help="without the tapered tip; resin and stone hold nothing"
    )
    species: Annotated[str, SPECIES] | None = given("species", default=None)
    specific_gravity: Annotated[float, NUMBER] | None = given(
        "oven-dry specific gravity",
        default=None,
        above=0.0,
        high=1.5,
        help="goes before the species where both are given",
    )
    grain: Grain = given("grain the screw runs into", default="side")
    count: Annotated[float, COUNT] = given("how many screws", default=1.0, low=0.0, high=1000.0)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.fasteners.allowable_withdrawal`, `ultimate_withdrawal` and `lead_hole`."""
    gravity = _gravity(inputs)
    if isinstance(gravity, Finding):
        return Result((), (gravity,))
    value, steps, numbers, notes = gravity
    screw = (inputs.kind, value, inputs.diameter, inputs.thread_in_wood, inputs.grain)
    numbers = {
        **numbers,
        "count": Amount(inputs.count, COUNT),
        "grain": Amount(grain_factor(inputs.kind, inputs.grain), NUMBER),
        "D": Amount(inputs.diameter, LENGTH),
        "L": Amount(inputs.thread_in_wood, LENGTH),
    }
    notes += _grain_note(inputs)
    holes = lead_hole(inputs.kind, value, inputs.diameter)
    figures = (
        Figure(
            "withdrawal",
            "allowed pull",
            inputs.count * allowable_withdrawal(*screw).force,
            FORCE,
            Working(
                f"{steps}withdrawal = count*grain*{ONE_ALLOWED[inputs.kind]}",
                numbers,
                NDS[inputs.kind],
                (*notes, "dry wood, load of normal duration"),
            ),
        ),
        Figure(
            "withdrawal-ultimate",
            "pull at which they come out",
            inputs.count * ultimate_withdrawal(*screw).force,
            FORCE,
            Working(
                f"{steps}withdrawal_ultimate = count*grain*{ONE_ULTIMATE[inputs.kind]}",
                numbers,
                ULTIMATE[inputs.kind],
                (*notes, "the mean of tests, not for design"),
            ),
        ),
        *_hole_figures(inputs, holes),
    )
    return Result(figures, tuple(_findings(inputs, value, holes)))


def _gravity(inputs: Inputs) -> tuple[float, str, dict[str, Number], tuple[str, ...]] | Finding:
    """Oven-dry specific gravity, with the steps, numbers and notes of its working."""
    if inputs.specific_gravity is not None:
        return inputs.specific_gravity, "", {"G": Amount(inputs.specific_gravity, NUMBER)}, ()
    held = wood(inputs.species or "")
    if held.specific_gravity is None:
        return no_gravity(
            held,
            "Give specific-gravity by hand: the dry grams of a block over its cubic "
            "centimetres, such as 0.60.",
        )
    shrinkage = held.shrinkage_volumetric
    return (
        oven_dry_specific_gravity(held.specific_gravity, shrinkage),
        "Gb = G12*(1 - S0*(1 - 0.12/0.30)); G = Gb/(1 - S0); ",
        {"G12": Amount(held.specific_gravity, NUMBER), "S0": Amount(shrinkage, PERCENT)},
        (
            "G oven-dry, from the table's at 12 % by Wood Handbook eq. 4-11 and 4-12",
            *from_memory(held, "specific_gravity", "shrinkage_volumetric"),
        ),
    )


def _grain_note(inputs: Inputs) -> tuple[str, ...]:
    if inputs.grain == "side":
        return ()
    if inputs.kind == "lag":
        return ("end grain counts three quarters (NDS 12.2.1)",)
    return ("a wood screw in end grain counts nothing (NDS 12.2.2)",)


def _hole_figures(inputs: Inputs, holes: LeadHole) -> tuple[Figure, ...]:
    diameter = Amount(inputs.diameter, LENGTH)
    if holes.root is None:
        numbers: dict[str, Number] = {
            "D": diameter,
            "least": Amount(holes.least / inputs.diameter, PERCENT),
            "greatest": Amount(holes.greatest / inputs.diameter, PERCENT),
        }
        pilot = Figure(
            "pilot-hole",
            "lead hole for the thread",
            holes.thread,
            LENGTH,
            Working(
                "pilot_hole = (least + greatest)/2*D",
                numbers,
                holes.source,
                ("the middle of the range that the rule gives",),
            ),
            low=holes.least,
            high=holes.greatest,
        )
    else:
        numbers = {"root": Amount(holes.root, LENGTH), "share": Amount(holes.thread / holes.root, PERCENT)}
        pilot = Figure(
            "pilot-hole",
            "lead hole for the thread",
            holes.thread,
            LENGTH,
            Working(
                "pilot_hole = share*root",
                numbers,
                holes.source,
                ("root diameter by the shank, from memory: NDS 2018, table L3",),
            ),
        )
    shank = Figure(
        "shank-hole",
        "hole for the shank",
        holes.shank,
        LENGTH,
        Working(
            "shank_hole = share*D",
            {"D": diameter, "share": Amount(holes.shank / inputs.diameter, PERCENT)},
            holes.source,
        ),
    )
    root = lag_root_diameter(inputs.diameter) if inputs.kind == "lag" else None
    if root is None:
        return (pilot, shank)
    return (
        pilot,
        shank,
        Figure(
            "root-diameter",
            "root diameter of the screw",
            root,
            LENGTH,
            Working(
                "root_diameter = inches*0.0254", {"inches": Amount(root / 0.0254, NUMBER)}, "ASME B18.2.1"
            ),
        ),
    )


def _findings(inputs: Inputs, gravity: float, holes: LeadHole) -> Iterator[Finding]:
    if inputs.grain == "end":
        if inputs.kind == "wood":
            yield Finding(
                "screw-in-end-grain",
                Level.STOP,
                phrase("A wood screw in end grain may carry no pull at all."),
                phrase(
                    "Drive it into side grain, or let a hardwood dowel of {dowel} in across the grain "
                    "for it to bite; a lag screw would keep 75 % of its value.",
                    dowel=Amount(2 * inputs.diameter, LENGTH),
                ),
                field="grain",
                figures=("withdrawal",),
            )
        elif inputs.thread_in_wood:
            yield Finding(
                "screw-in-end-grain",
                Level.NOTE,
                phrase("In end grain a lag screw counts 75 % of what it holds in side grain."),
                phrase(
                    "Take a third more thread, {thread}, to make it up.",
                    thread=Amount(inputs.thread_in_wood * 4 / 3, LENGTH),
                ),
                field="grain",
                figures=("withdrawal",),
            )
    least = LEAST_THREAD[inputs.kind] * inputs.diameter
    if inputs.thread_in_wood < least - 1e-9:
        yield Finding(
            "thread-short",
            Level.WARN,
            phrase(
                "Only {thread} of thread bites; a screw wants {times} shank diameters in the wood before it "
                "takes a load from the side (NDS, from memory).",
                thread=Amount(inputs.thread_in_wood, LENGTH),
                times=str(LEAST_THREAD[inputs.kind]),
            ),
            phrase(
                "Use a screw with {least} or more in the wood, or a thinner one.", least=Amount(least, LENGTH)
            ),
            field="thread-in-wood",
            figures=("withdrawal",),
            value=Amount(inputs.thread_in_wood, LENGTH),
            worse="down",
            margin=0.001,
        )
    if holes.root is not None and holes.thread == 0.0:
        yield Finding(
            "no-lead-hole-required",
            Level.NOTE,
            phrase(
                "At a specific gravity of {gravity} the rule asks for no lead hole.",
                gravity=Amount(gravity, NUMBER),
            ),
            phrase(
                f"Near an edge or a seam drill {{hole}} all the same ({COMMON_PRACTICE}).",
                hole=Amount(UNDRILLED_SHARE * holes.root, LENGTH),
            ),
            field="specific-gravity" if inputs.specific_gravity is not None else "species",
            figures=("pilot-hole",),
        )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every set of screws that holds a leg to a casting."""
    for name, fixing in desk.file.fixing.items():
        if fixing.kind in ("insert", "bolt"):
            continue
        place = ("fixing", name)
        yield Filling(
            name,
            {
                "kind": combine(
                    "by the name of its kind",
                    lambda kind: kind.removesuffix(" screw"),
                    desk.at(*place, "kind"),
                ),
                "diameter": desk.at(*place, "diameter"),
                "thread-in-wood": first(
                    desk.at(*place, "thread-in-wood", what=f"the length of {name}, and what it goes through"),
                    _thread(desk, name, fixing.kind),
                ),
                "species": _wood(desk, fixing.casting),
                "count": _count(desk, name),
                **optional(grain=desk.at(*place, "grain")),
            },
        )


def _thread(desk: Desk, name: str, kind: str | None) -> Source:
    """The thread in the wood of a screw whose thread is not measured, without the point of a lag screw."""
    place = ("fixing", name)
    lag = kind is not None and kind.startswith("lag")
    sources = [desk.at(*place, "length"), desk.at(*place, "through")]
    if lag:
        return combine(
            f"length less what it goes through, no more than half the screw and 1/2 in, less its tip "
            f"({COMMON_PRACTICE})",
            lag_thread,
            *sources,
            desk.at(*place, "diameter"),
        )
    return combine(
        f"length less what it goes through, at most two thirds of the screw ({COMMON_PRACTICE})",
        wood_screw_thread,
        *sources,
    )


def _wood(desk: Desk, casting: str | None) -> Source:
    if casting is None or casting not in desk.file.casting:
        return Missing("the casting that the screws go into")
    pieces = desk.file.pieces_of(casting).values()
    woods = tuple(
        desk.at("slab", piece.slab, "species")
        for piece in pieces
        if piece.slab is not None and piece.slab in desk.file.slab
    )
    if not woods:
        return Missing(f"the wood in {casting}")
    return combine("the lightest wood in the casting", _lightest, *woods)


def _lightest(*names: str) -> str:
    try:
        return min(names, key=lambda name: species(name).specific_gravity or 0.0)
    except UnknownSpecies as error:
        return error.text


def _count(desk: Desk, name: str) -> Source:
    places = len(desk.file.fixing[name].places)
    if places:
        return Given(float(places), (("fixing", name, "places"),), "as many as there are places")
    return desk.at("fixing", name, "count")


CALCULATOR = Calculator(
    id="screw-hold",
    title="Hold of the screws",
    stage="assembly",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
