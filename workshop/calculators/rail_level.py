"""The sled's rails: how far they lie apart in height, what goes under them, how far the sled sags."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.project.path import Path
from workshop.quantity import FORCE, LENGTH, MASS, MODULUS, NUMBER, SECOND_MOMENT, Amount
from workshop.trade.beams import STEEL_MODULUS, sag_under_point_load, tube
from workshop.trade.buoyancy import STANDARD_GRAVITY
from workshop.trade.levelling import RAIL_TOLERANCE, RailLevel, rail_level

Point = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH], Annotated[float, LENGTH]]
TubeSection = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH], Annotated[float, LENGTH]]


class Inputs(CalculatorInputs):
    """Heights of the rails, the sled and what it carries."""

    alternatives = (("readings", "heights", "load", "load-force"),)

    readings: tuple[Point, ...] = given(
        "readings", default=(), help="rows of x, y, height above one level datum"
    )
    heights: tuple[Annotated[float, LENGTH], ...] = given(
        "heights", default=(), help="the same without their places, where the points go by number"
    )
    tolerance: Annotated[float, LENGTH] = given(
        "how far the rails may lie apart",
        default=RAIL_TOLERANCE,
        above=0.0,
        high=0.05,
        help="left out: 1/32 in (common practice, no source)",
    )
    span: Annotated[float, LENGTH] | None = given("span of the sled", default=None, above=0.0, high=5.0)
    load: Annotated[float, MASS] | None = given(
        "load in the middle of the sled",
        default=None,
        low=0.0,
        high=500.0,
        help="the router, and the hands on it",
    )
    load_force: Annotated[float, FORCE] | None = given(
        "the same as a force", default=None, low=0.0, high=5000.0, help="goes before the load as a mass"
    )
    section: TubeSection | None = given(
        "tube of the sled", default=None, help="breadth, height and wall of the tube that carries the router"
    )
    inertia: Annotated[float, SECOND_MOMENT] | None = given(
        "second moment of area",
        default=None,
        above=0.0,
        high=1e-3,
        help="of a sled that is no tube; goes before its section",
    )
    modulus: Annotated[float, MODULUS] = given(
        "modulus of elasticity",
        default=STEEL_MODULUS,
        above=0.0,
        high=1e12,
        help="left out: steel, 210 GPa; aluminium has 70 GPa",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.levelling.rail_level` and `trade.beams`."""
    figures: list[Figure] = []
    findings: list[Finding] = []
    tables = {}
    heights = tuple(row[2] for row in inputs.readings) or inputs.heights
    if heights:
        if len(heights) < 2:
            raise InputError(
                "readings" if inputs.readings else "heights", "read the rails at 2 places at least"
            )
        level = rail_level(heights)
        figures += _level(inputs, heights, level)
        findings += _uneven(inputs, level)
        tables["shims"] = _shims(inputs, heights, level)
    beam = _beam(inputs)
    if beam is not None:
        figures += beam
        findings += _sags(inputs, beam[0].value)
    elif inputs.load is not None or inputs.load_force is not None:
        raise InputError(
            "span" if inputs.span is None else "section",
            "a load sags the sled by its span and its tube: give both, such as span='640 mm' "
            "section='[40, 40, 2]'",
        )
    return Result(tuple(figures), tuple(findings), tables)


def _level(inputs: Inputs, heights: tuple[float, ...], level: RailLevel) -> Iterator[Figure]:
    amounts = tuple(Amount(height, LENGTH) for height in heights)
    yield Figure(
        "height-range",
        "rails apart in height",
        level.height_range,
        LENGTH,
        Working("height_range = max(heights) - min(heights)", {"heights": amounts}, "geometry"),
    )
    yield Figure(
        "range-share",
        "rails apart, of what is allowed",
        level.height_range / inputs.tolerance,
        NUMBER,
        Working(
            "range_share = apart/allowed",
            {"apart": Amount(level.height_range, LENGTH), "allowed": Amount(inputs.tolerance, LENGTH)},
            COMMON_PRACTICE,
        ),
    )
    for number, (height, shim) in enumerate(zip(amounts, level.shims, strict=True), 1):
        yield Figure(
            f"shim-{number}",
            f"under point {number}",
            shim,
            LENGTH,
            Working("shim = max(heights) - height", {"heights": amounts, "height": height}, "geometry"),
        )


def _shims(inputs: Inputs, heights: tuple[float, ...], level: RailLevel) -> Table:
    shims = zip(heights, level.shims, strict=True)
    if inputs.readings:
        return Table(
            "Under the rails",
            (
                Column("x", "x", LENGTH),
                Column("y", "y", LENGTH),
                Column("height", "height", LENGTH),
                Column("shim", "shim", LENGTH),
            ),
            tuple((row[0], row[1], *pair) for row, pair in zip(inputs.readings, shims, strict=True)),
        )
    return Table(
        "Under the rails",
        (Column("point", "point"), Column("height", "height", LENGTH), Column("shim", "shim", LENGTH)),
        tuple((str(number), *pair) for number, pair in enumerate(shims, 1)),
    )


def _beam(inputs: Inputs) -> tuple[Figure, Figure] | None:
    """Sag and stiffness of the sled, where span, load and tube are known."""
    if (inputs.load is None and inputs.load_force is None) or inputs.span is None:
        return None
    if inputs.inertia is not None:
        inertia = inputs.inertia
        working = Working("inertia = I", {"I": Amount(inertia, SECOND_MOMENT)}, "as given")
    elif inputs.section is not None:
        breadth, height, wall = inputs.section
        try:
            inertia = tube(breadth, height, wall).inertia
        except ValueError as error:
            raise InputError("section", str(error)) from None
        working = Working(
            "r = 2*t; s = t; k = H - 2*t; c = (10 - 3*pi)/(12 - 3*pi); "
            "q = 1/3 - pi/16 - 1/(3*(12 - 3*pi)); "
            "outer = q*r**4 + (1 - pi/4)*r**2*(H/2 - r*c)**2; "
            "inner = q*s**4 + (1 - pi/4)*s**2*(k/2 - s*c)**2; "
            "inertia = B*H**3/12 - (B - 2*t)*k**3/12 - 4*outer + 4*inner",
            {"B": Amount(breadth, LENGTH), "H": Amount(height, LENGTH), "t": Amount(wall, LENGTH)},
            "EN 10219-2:2006, annex, its formulas from memory",
            assumed=("corners rounded by twice the wall outside and once inside",),
        )
    else:
        return None
    if inputs.load_force is not None or inputs.load is None:
        force, weight = inputs.load_force or 0.0, "P"
        carried: dict[str, Amount] = {"P": Amount(force, FORCE)}
    else:
        force, weight = inputs.load * STANDARD_GRAVITY, "m*g"
        carried = {"m": Amount(inputs.load, MASS), "g": Amount(STANDARD_GRAVITY, NUMBER)}
    sag = sag_under_point_load(force, inputs.span, inputs.modulus, inertia)
    return (
        Figure(
            "sag",
            "sled sags in its middle",
            sag,
            LENGTH,
            Working(
                f"sag = {weight}*L**3/(48*E*I)",
                {
                    **carried,
                    "L": Amount(inputs.span, LENGTH),
                    "E": Amount(inputs.modulus, MODULUS),
                    "I": Amount(inertia, SECOND_MOMENT),
                },
                "standard structural tables: simply supported beam, point load at centre",
                assumed=("one tube carries the load", "its own weight left out"),
            ),
        ),
        Figure("inertia", "second moment of area of the sled", inertia, SECOND_MOMENT, working),
    )


def _uneven(inputs: Inputs, level: RailLevel) -> Iterator[Finding]:
    if level.height_range <= inputs.tolerance * (1 + 1e-9):
        return
    number = max(range(len(level.shims)), key=lambda place: level.shims[place]) + 1
    yield Finding(
        "rails-uneven",
        Level.WARN,
        phrase(
            "The rails lie {apart} apart in height, and {allowed} is allowed"
            + (f" ({COMMON_PRACTICE})." if inputs.tolerance == RAIL_TOLERANCE else "."),
            apart=Amount(level.height_range, LENGTH),
            allowed=Amount(inputs.tolerance, LENGTH),
        ),
        phrase(
            "Shim point {number} by {shim} and the others as listed, then read all of them again.",
            number=str(number),
            shim=Amount(level.height_range, LENGTH),
        ),
        field="readings" if inputs.readings else "heights",
        figures=("height-range", f"shim-{number}"),
        value=Amount(level.height_range, LENGTH),
        margin=1e-4,
    )


def _sags(inputs: Inputs, sag: float) -> Iterator[Finding]:
    if inputs.span is None or sag <= inputs.tolerance * (1 + 1e-9):
        return
    yield Finding(
        "sled-sags",
        Level.WARN,
        phrase(
            "The sled sags {sag} in its middle, and cuts the face hollow by as much.",
            sag=Amount(sag, LENGTH),
        ),
        phrase(
            "Bring the rails {span} apart or closer, or take a stiffer tube.",
            span=Amount(inputs.span * (inputs.tolerance / sag) ** (1 / 3), LENGTH),
        ),
        field="span",
        figures=("sag",),
        value=Amount(sag, LENGTH),
        margin=5e-5,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every sled with its span, and with the heights of its rails as they were last read at each place."""
    for tool, held in desk.file.tool.items():
        heights = _heights(desk, tool)
        if held.span is None and isinstance(heights, Missing):
            continue
        section = combine(
            "", lambda held: (held.breadth, held.height, held.wall), desk.at("tool", tool, "section")
        )
        beam = optional(
            section=section, **{key: desk.at("tool", tool, key) for key in ("span", "load", "modulus")}
        )
        yield Filling(
            tool,
            {
                "heights": heights,
                **optional(tolerance=desk.at("tool", tool, "tolerance")),
                **(beam if {"section", "span", "load"} <= beam.keys() else {}),
            },
        )


def _heights(desk: Desk, tool: str) -> Source:
    """The last height read at each place; those without a place all count."""
    last: dict[str, tuple[float, Path]] = {}
    rows = enumerate(desk.file.record.readings.get(tool, ()))
    for number, row in sorted(rows, key=lambda pair: pair[1].at):
        if row.height is not None:
            place = row.place.text if row.place is not None else str(number)
            last[place] = (row.height.value, ("record", "readings", tool, number, "height"))
    if len(last) < 2:
        return Missing(f"the heights of the rails of {tool}", (("record", "readings", tool),))
    return Given(
        tuple(height for height, _ in last.values()),
        tuple(path for _, path in last.values()),
        "the last reading at each place",
    )


CALCULATOR = Calculator(
    id="rail-level",
    title="Rails of the sled",
    stage="flattening",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=40,
)
