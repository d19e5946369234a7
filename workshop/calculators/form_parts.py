"""The boards of a form, its fixings and its sealant."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.desk import Desk, Filling, Source, combine, first, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.layout.sources import inside_of_form
from workshop.quantity import AREA, COUNT, DISTANCE, LENGTH, NUMBER, VOLUME, Amount
from workshop.trade.form import (
    GREATEST_SPACING,
    SEALANT_SPARE,
    USUAL_CARTRIDGE,
    FormParts,
    fixings_along,
    form_parts,
)

BUTTED: Final = "the walls stand on the floor, the long ones covering the ends of the short ones"


class Inputs(CalculatorInputs):
    """The casting, what is added to it, and the board."""

    length: Annotated[float, LENGTH] = given("length of the casting", above=0.0, high=10.0)
    width: Annotated[float, LENGTH] = given("width of the casting", above=0.0, high=5.0)
    depth: Annotated[float, LENGTH] = given("depth of the casting", above=0.0, high=1.0)
    trim: Annotated[float, LENGTH] = given("trim at each side", default=0.0, low=0.0, high=0.5)
    freeboard: Annotated[float, LENGTH] = given("wall above the last lift", default=0.0, low=0.0, high=0.5)
    board: Annotated[float, LENGTH] = given("thickness of the board", above=0.0, high=0.1)
    bead: Annotated[float, LENGTH] = given(
        "bead under the walls, its diameter", default=0.0, low=0.0, high=0.05
    )
    fillet: Annotated[float, LENGTH] = given("fillet inside, its leg", default=0.0, low=0.0, high=0.05)
    cartridge: Annotated[float, VOLUME] = given(
        "sealant in a cartridge",
        default=USUAL_CARTRIDGE,
        above=0.0,
        high=0.01,
        help="left out: 310 mL as usual",
    )
    fixing_spacing: Annotated[float, LENGTH] = given(
        "spacing of the fixings",
        default=GREATEST_SPACING,
        above=0.0,
        high=5.0,
        help="at most 200 mm",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.form.form_parts`."""
    held = form_parts(
        inputs.length,
        inputs.width,
        inputs.depth,
        inputs.board,
        inputs.trim,
        inputs.freeboard,
        inputs.bead,
        inputs.fillet,
        inputs.fixing_spacing,
    )
    parts = Table(
        "Parts of the form",
        (
            Column("part", "part"),
            Column("count", "count", COUNT),
            Column("length", "length", LENGTH),
            Column("width", "width", LENGTH),
        ),
        tuple((part.name, float(part.count), part.length, part.width) for part in held.parts),
    )
    figures = (*_fixings(inputs, held), *_sealant(inputs, held), *_boards(inputs, held))
    return Result(figures, _too_wide(inputs), {"parts": parts})


def _fixings(inputs: Inputs, held: FormParts) -> tuple[Figure, ...]:
    numbers = {
        "L": Amount(held.length, LENGTH),
        "W": Amount(held.width, LENGTH),
        "spacing": Amount(inputs.fixing_spacing, LENGTH),
    }
    gap = held.length / (fixings_along(held.length, inputs.fixing_spacing) - 1)
    return (
        Figure(
            "fixings",
            "fixings of the walls to the floor",
            float(held.fixings),
            COUNT,
            Working(
                "fixings = 2*(ceil(L/spacing - 1e-9) + 1) + 2*(ceil(W/spacing - 1e-9) + 1)",
                numbers,
                COMMON_PRACTICE,
                assumed=("one at each inner corner of each wall",),
            ),
        ),
        Figure(
            "fixing-gap",
            "from fixing to fixing along a long wall",
            gap,
            LENGTH,
            Working(
                "fixing_gap = L/ceil(L/spacing - 1e-9)",
                {"L": numbers["L"], "spacing": numbers["spacing"]},
                COMMON_PRACTICE,
            ),
        ),
        Figure(
            "corner-fixings",
            "fixings in the four corners",
            float(held.corner_fixings),
            COUNT,
            Working(
                "corner_fixings = 4*(ceil(H/spacing - 1e-9) + 1)",
                {"H": Amount(held.height, LENGTH), "spacing": numbers["spacing"]},
                COMMON_PRACTICE,
            ),
        ),
    )


def _sealant(inputs: Inputs, held: FormParts) -> tuple[Figure, ...]:
    share = held.sealant / inputs.cartridge
    numbers = {"sealant": Amount(held.sealant, VOLUME), "cartridge": Amount(inputs.cartridge, VOLUME)}
    return (
        Figure(
            "seam",
            "seams to seal",
            held.seam,
            DISTANCE,
            Working(
                "seam = 2*(L + W) + 4*H",
                {
                    "L": Amount(held.length, LENGTH),
                    "W": Amount(held.width, LENGTH),
                    "H": Amount(held.height, LENGTH),
                },
                "geometry",
                assumed=("under all walls, and up the four corners",),
            ),
        ),
        Figure(
            "sealant",
            "sealant",
            held.sealant,
            VOLUME,
            Working(
                f"sealant = {SEALANT_SPARE}*seam*(pi*bead**2/4 + fillet**2/2)",
                {
                    "seam": Amount(held.seam, DISTANCE),
                    "bead": Amount(inputs.bead, LENGTH),
                    "fillet": Amount(inputs.fillet, LENGTH),
                },
                COMMON_PRACTICE,
                assumed=("a fifth more for nozzle and waste",),
            ),
        ),
        Figure(
            "cartridges",
            "cartridges",
            float(ceil(share - 1e-9)),
            COUNT,
            Working("cartridges = ceil(sealant/cartridge - 1e-9)", numbers, "rounded up to whole ones"),
        ),
        Figure(
            "cartridges-exact",
            "cartridges before rounding up",
            share,
            NUMBER,
            Working("cartridges_exact = sealant/cartridge", numbers, "geometry"),
        ),
    )


def _boards(inputs: Inputs, held: FormParts) -> tuple[Figure, ...]:
    length, width, trim = (
        Amount(inputs.length, LENGTH),
        Amount(inputs.width, LENGTH),
        Amount(inputs.trim, LENGTH),
    )
    board = Amount(inputs.board, LENGTH)
    floor, _long, short = held.parts
    return (
        Figure(
            "floor-length",
            "length of floor and long walls",
            floor.length,
            LENGTH,
            Working(
                "floor_length = L + 2*trim + 2*board",
                {"L": length, "trim": trim, "board": board},
                "geometry",
                assumed=(BUTTED,),
            ),
        ),
        Figure(
            "floor-width",
            "width of the floor",
            floor.width,
            LENGTH,
            Working(
                "floor_width = W + 2*trim + 2*board",
                {"W": width, "trim": trim, "board": board},
                "geometry",
                assumed=(BUTTED,),
            ),
        ),
        Figure(
            "short-wall",
            "length of the short walls",
            short.length,
            LENGTH,
            Working("short_wall = W + 2*trim", {"W": width, "trim": trim}, "geometry", assumed=(BUTTED,)),
        ),
        Figure(
            "wall-height",
            "height of the walls",
            held.height,
            LENGTH,
            Working(
                "wall_height = depth + freeboard",
                {"depth": Amount(inputs.depth, LENGTH), "freeboard": Amount(inputs.freeboard, LENGTH)},
                "geometry",
            ),
        ),
        Figure(
            "board-area",
            "board, without kerf and offcuts",
            held.area,
            AREA,
            Working(
                "board_area = sum(count*length*width)",
                {
                    "count": tuple(Amount(part.count, COUNT) for part in held.parts),
                    "length": tuple(Amount(part.length, LENGTH) for part in held.parts),
                    "width": tuple(Amount(part.width, LENGTH) for part in held.parts),
                },
                "geometry",
            ),
        ),
    )


def _too_wide(inputs: Inputs) -> tuple[Finding, ...]:
    if inputs.fixing_spacing <= GREATEST_SPACING + 1e-9:
        return ()
    return (
        Finding(
            "fixings-too-far-apart",
            Level.WARN,
            phrase(
                "Fixings {spacing} apart let the wall stand off its bead between them "
                f"({COMMON_PRACTICE}).",
                spacing=Amount(inputs.fixing_spacing, LENGTH),
            ),
            phrase("Set them {most} apart or closer.", most=Amount(GREATEST_SPACING, LENGTH)),
            field="fixing-spacing",
            figures=("fixings",),
            value=Amount(inputs.fixing_spacing, LENGTH),
            margin=0.01,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every form by its inner size, which has trim and freeboard in it."""
    for casting in desk.file.casting:
        form = ("casting", casting, "form")
        yield Filling(
            casting,
            {
                "length": inside_of_form(desk, casting, "length"),
                "width": inside_of_form(desk, casting, "width"),
                "depth": _depth(desk, casting),
                "board": desk.at(*form, "board"),
                **optional(
                    **{
                        key.replace("-", "_"): desk.at(*form, key)
                        for key in ("bead", "fillet", "cartridge", "fixing-spacing")
                    }
                ),
            },
        )


def _depth(desk: Desk, casting: str) -> Source:
    form, lifts = ("casting", casting, "form"), desk.file.casting[casting].lifts
    own = desk.at(*form, "depth")
    if not lifts:
        return own
    return first(
        own,
        combine(
            "the height of the last lift and the freeboard",
            lambda to, freeboard: to + freeboard,
            desk.at("casting", casting, "lifts", lifts[-1].id, "to"),
            desk.at(*form, "freeboard"),
        ),
    )


CALCULATOR = Calculator(
    id="form-parts",
    title="Parts of the form",
    stage="form",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=20,
)
