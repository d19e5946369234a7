"""How far a slab's width moves between the moisture it is cast at and the one it will live at."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.slab_volume import slab_width
from workshop.calculators.wood_density import SPECIES, from_memory, slab_moisture, wood
from workshop.desk import Desk, Filling
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Number, Result, Working, phrase
from workshop.quantity import LENGTH, NUMBER, PERCENT, Amount
from workshop.reference.species import Species
from workshop.trade.timber import (
    COEFFICIENT_RANGE,
    FIBRE_SATURATION,
    BoardMovement,
    CuttingDirection,
    DimensionalChange,
    board_movement,
)

SOURCES: Final = {
    "13-2": "USDA Wood Handbook, FPL-GTR-190 (2010), eq. 13-2 and table 13-5",
    "13-3": "USDA Wood Handbook, FPL-GTR-190 (2010), eq. 13-3 and table 4-3",
}

MUCH: Final = 0.002
"""A change of width that fixings and seams must make room for (common practice, no source)."""
VERY_MUCH: Final = 0.004
"""A change of width that opens seams unless the piece is narrower or drier (common practice, no source)."""


class Inputs(CalculatorInputs):
    """The slab and its two moistures."""

    species: Annotated[str, SPECIES] = given("species")
    width: Annotated[float, LENGTH] = given("width across the grain", low=0.0, high=3.0)
    cutting_direction: CuttingDirection = given(
        "cutting direction",
        help="how the slab was sawn from the log: its width lies along the rings (tangential), across them "
        "(radial), between the two, or it is a cross-cut round",
    )
    moisture_from: Annotated[float, PERCENT] = given("moisture when cast", low=0.0, high=2.0)
    moisture_to: Annotated[float, PERCENT] = given("moisture where it will live", low=0.0, high=2.0)


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.timber.board_movement`."""
    held = wood(inputs.species)
    moved = board_movement(
        inputs.width,
        inputs.cutting_direction,
        inputs.moisture_from,
        inputs.moisture_to,
        shrinkage_radial=held.shrinkage_radial,
        shrinkage_tangential=held.shrinkage_tangential,
        change_radial=held.change_radial,
        change_tangential=held.change_tangential,
    )
    if moved.change is None:
        figures = tuple(
            Figure(
                f"change-{direction}",
                title,
                change.change,
                LENGTH,
                _working(inputs, held, ((direction, change),), f"change-{direction}"),
            )
            for direction, title, change in (
                ("tangential", "change along the rings", moved.tangential),
                ("radial", "change from heart to edge", moved.radial),
            )
            if change is not None
        )
    else:
        parts = tuple(
            (direction, change)
            for direction, change in (("tangential", moved.tangential), ("radial", moved.radial))
            if change is not None
        )
        figures = (
            Figure(
                "change", "change of width", moved.change, LENGTH, _working(inputs, held, parts, "change")
            ),
        )
    return Result(figures, tuple(_findings(inputs, held, moved, figures)))


def _working(
    inputs: Inputs,
    wood: Species,
    parts: tuple[tuple[str, DimensionalChange], ...],
    figure: str,
) -> Working:
    numbers: dict[str, Number] = {
        "width": Amount(inputs.width, LENGTH),
        "moisture_from": Amount(inputs.moisture_from, PERCENT),
        "moisture_to": Amount(inputs.moisture_to, PERCENT),
    }
    terms, assumed, unread, sources = [], [], [], []
    for direction, change in parts:
        letter = direction[0].upper()
        step = f"(min(moisture_to, {FIBRE_SATURATION:.2f}) - min(moisture_from, {FIBRE_SATURATION:.2f}))"
        if change.equation == "13-2":
            numbers[f"C_{letter}"] = Amount(change.ratio / 100, NUMBER)
            terms.append(f"width*C_{letter}*100*{step}")
            unread.append(f"change_{direction}")
        else:
            numbers[f"S_{letter}"] = Amount(change.ratio, PERCENT)
            terms.append(
                f"width*{step}/({FIBRE_SATURATION:.2f}/S_{letter} - {FIBRE_SATURATION:.2f} "
                f"+ min(moisture_from, {FIBRE_SATURATION:.2f}))"
            )
            unread.append(f"shrinkage_{direction}")
        if SOURCES[change.equation] not in sources:
            sources.append(SOURCES[change.equation])
    if any(change.equation == "13-2" for _, change in parts):
        assumed.append("C is the table's coefficient, for each percent of moisture")
    if any(change.equation == "13-3" for _, change in parts):
        assumed.append("the algebra of eq. 13-3 is from memory, its limits were read")
    if len(parts) == 2:
        assumed.append("sawn between the two: the mean of both directions")
    if max(inputs.moisture_from, inputs.moisture_to) > FIBRE_SATURATION:
        assumed.append(f"nothing moves above {FIBRE_SATURATION:.0%} moisture")
    formula = terms[0] if len(terms) == 1 else f"({terms[0]} + {terms[1]})/2"
    return Working(
        f"{figure.replace('-', '_')} = {formula}",
        numbers,
        "; ".join(sources),
        (*assumed, *from_memory(wood, *unread)),
    )


def _findings(
    inputs: Inputs,
    wood: Species,
    moved: BoardMovement,
    figures: tuple[Figure, ...],
) -> Iterator[Finding]:
    most = max(figures, key=lambda figure: abs(figure.value))
    shrinks = most.value < 0
    size = Amount(abs(most.value), LENGTH)
    if size.value > MUCH:
        # The change is all but in proportion to the step of moisture, so the step that keeps it small is too.
        near = inputs.moisture_to + (inputs.moisture_from - inputs.moisture_to) * MUCH / size.value
        dry = Amount(near, PERCENT)
        yield Finding(
            "moves-much",
            Level.WARN if size.value > VERY_MUCH else Level.NOTE,
            phrase(
                f"The width will {'shrink' if shrinks else 'swell'} by {{size}} between casting and where it "
                f"lives; over {{much}} wants room ({COMMON_PRACTICE}).",
                size=size,
                much=Amount(MUCH, LENGTH),
            ),
            phrase(
                f"Fix it through slots that let it move {{size}}, or cast it at {{dry}} or "
                f"{'less' if shrinks else 'more'}.",
                size=size,
                dry=dry,
            ),
            field="moisture-from",
            figures=(most.id,),
            value=size,
            margin=0.0005,
        )
    if inputs.cutting_direction == "cross-cut" and shrinks:
        tangential, radial = (abs(figure.value) for figure in figures)
        yield Finding(
            "round-tears",
            Level.WARN,
            phrase(
                "A round that dries after casting shrinks by {along} along its rings but only {across} "
                "from heart to edge, and tears open from the edge inward.",
                along=Amount(tangential, LENGTH),
                across=Amount(radial, LENGTH),
            ),
            phrase(
                "Dry it to {dry} before casting, or saw one kerf from edge to heart and let the resin "
                "fill it.",
                dry=Amount(inputs.moisture_to, PERCENT),
            ),
            field="moisture-from",
            figures=tuple(figure.id for figure in figures),
            value=Amount(tangential - radial, LENGTH),
            margin=0.0005,
        )
    low, high = COEFFICIENT_RANGE
    parts = [change for change in (moved.tangential, moved.radial) if change is not None]
    ends = (("moisture-from", inputs.moisture_from), ("moisture-to", inputs.moisture_to))
    outside = [key for key, moisture in ends if not low <= moisture <= high]
    if outside and all(change.equation == "13-3" for change in parts):
        yield Finding(
            "outside-coefficients",
            Level.NOTE,
            phrase(
                "A step from {start} to {end} leaves the {low} to {high} in which the coefficients hold, so "
                "the whole change goes by the total shrinkage, which is less exact.",
                start=Amount(inputs.moisture_from, PERCENT),
                end=Amount(inputs.moisture_to, PERCENT),
                low=Amount(low, PERCENT),
                high=Amount(high, PERCENT),
            ),
            phrase(
                "Bring the wood to between {low} and {high} before casting, and read it again."
                if "moisture-from" in outside
                else "Leave it more room than that, or measure a strip of {strip} there after a fortnight.",
                low=Amount(low, PERCENT),
                high=Amount(high, PERCENT),
                strip=Amount(0.300, LENGTH),
            ),
            field=outside[0],
            figures=tuple(figure.id for figure in figures),
        )
    elif any(change.equation == "13-3" for change in parts):
        yield Finding(
            "no-coefficient",
            Level.NOTE,
            phrase(
                "The table holds no coefficient of change for {wood} in this direction, so the change goes "
                "by the total shrinkage.",
                wood=spoken(wood.name),
            ),
            phrase(
                "Where it matters, measure a strip of {strip} now and again in a fortnight.",
                strip=Amount(0.300, LENGTH),
            ),
            field="species",
            figures=tuple(figure.id for figure in figures),
        )


def spoken(name: str) -> str:
    """`black willow`, of a table's `willow, black`."""
    head, comma, rest = name.partition(", ")
    return f"{rest} {head}" if comma else name


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab over its whole width, to the driest and to the dampest air of the place it goes to."""
    for slab in desk.file.slab:
        for end in ("low", "high"):
            yield Filling(
                f"{slab}/{end}",
                {
                    "species": desk.at("slab", slab, "species"),
                    "width": slab_width(desk, slab),
                    "cutting-direction": desk.at("slab", slab, "cutting-direction"),
                    "moisture-from": slab_moisture(desk, slab),
                    "moisture-to": desk.figure("equilibrium-moisture", f"destination/{end}", "moisture"),
                },
            )


CALCULATOR = Calculator(
    id="wood-movement",
    title="Movement of the wood",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
