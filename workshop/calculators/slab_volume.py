"""How much wood a slab holds, by its outline or by stations along a tape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.calculators.wood_density import SPECIES, density_figure, no_gravity, slab_moisture, wood
from workshop.desk import Desk, Filling, Source, combine
from workshop.figures import Figure, Finding, Level, Number, Result, Working, phrase
from workshop.layout.sources import slab_edges
from workshop.quantity import AREA, BOARD_FEET, LENGTH, MASS, PERCENT, VOLUME, Amount
from workshop.trade.outline import (
    Outline,
    SlabVolume,
    Station,
    board_feet,
    contains,
    crosses_itself,
    mean_outline,
    mean_stations,
    outline_volume,
    station_outline,
    stations_area,
    stations_volume,
)

SOURCE: Final = "surveyor's formula, trapezoids between stations, prismoidal formula: any surveying text"

Corner = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH]]


class Inputs(CalculatorInputs):
    """The slab as it was measured."""

    alternatives = (("stations", "outline", "length"),)

    stations: tuple[tuple[Annotated[float, LENGTH], ...], ...] = given(
        "stations",
        default=(),
        help="rows of along, left, right: distances from a tape to both edges of the upper face; a fourth "
        "and fifth value are those of the lower face",
    )
    outline: tuple[Corner, ...] = given(
        "outline", default=(), help="corners x, y in order round the upper face"
    )
    lower_outline: tuple[Corner, ...] = given(
        "outline of the lower face", default=(), help="as many corners, each below one of the upper face"
    )
    length: Annotated[float, LENGTH] | None = given(
        "length",
        default=None,
        above=0.0,
        high=10.0,
        help="of a slab that is not outlined yet, with its mean width",
    )
    width: Annotated[float, LENGTH] | None = given("mean width", default=None, above=0.0, high=3.0)
    holes: tuple[tuple[Corner, ...], ...] = given(
        "holes",
        default=(),
        help="outlines of what is missing, in the outline's coordinates, or along the tape and left of it",
    )
    thickness: Annotated[float, LENGTH] = given("thickness", above=0.0, high=0.5)
    species: Annotated[str, SPECIES] | None = given("species", default=None)
    moisture: Annotated[float, PERCENT] | None = given(
        "moisture of the wood", default=None, low=0.0, high=2.0
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.outline.stations_volume` and `trade.outline.outline_volume`."""
    slab, faces = _measured(inputs)
    named = (
        ("area", "area of the upper face", slab.upper),
        ("area-middle", "area half-way down", slab.middle),
        ("area-lower", "area of the lower face", slab.lower),
    )
    areas = [
        Figure(key, title, value, AREA, _area_working(face, inputs.holes))
        for (key, title, value), face in zip(named, faces, strict=False)
    ]
    sections: dict[str, Number] = {
        "upper": Amount(slab.upper, AREA),
        "middle": Amount(slab.middle, AREA),
        "lower": Amount(slab.lower, AREA),
        "thickness": Amount(inputs.thickness, LENGTH),
    }
    assumed = ["the edges slope evenly from face to face" if len(faces) > 1 else "both faces are alike"]
    if inputs.holes:
        assumed.append("holes go straight through")
    figures = [
        *areas,
        Figure(
            "volume",
            "volume of wood",
            slab.volume,
            VOLUME,
            Working("volume = thickness/6*(upper + 4*middle + lower)", sections, SOURCE, tuple(assumed)),
        ),
        # The kind's own unit is the board foot, so its figure is a number of them.
        Figure(
            "board-feet",
            "board feet",
            board_feet(slab.volume),
            BOARD_FEET,
            Working(
                "board_feet = volume/(144*0.0254**3)",
                {"volume": Amount(slab.volume, VOLUME)},
                "definition: a board foot is 144 cubic inches",
                ("as it measures, not rounded up",),
            ),
        ),
    ]
    findings = list(_one_face_only(inputs, faces))
    mass, missing = _mass(inputs, slab.volume)
    return Result((*figures, *mass), (*findings, *missing))


Face = tuple[str, tuple[float, ...]]
"""How a section's area is summed, by `strips` or by `turns`, and the terms."""


def _measured(inputs: Inputs) -> tuple[SlabVolume, tuple[Face, ...]]:
    """The slab, and each of its sections that is measured apart."""
    if inputs.stations:
        return _by_stations(inputs)
    outline: Outline = inputs.outline
    if not outline:
        if inputs.length is None or inputs.width is None:
            raise InputError(
                "width", "slab-volume needs the mean width beside the length, such as width='210 mm'"
            )
        outline = ((0.0, 0.0), (inputs.length, 0.0), (inputs.length, inputs.width), (0.0, inputs.width))
    lower = inputs.lower_outline or None
    for key, face in (("outline", outline), ("lower-outline", lower or outline)):
        if len(face) < 3:
            raise InputError(key, f"it has {len(face)} corners; give at least three")
        if crosses_itself(face):
            raise InputError(key, "two of its sides cross; give the corners in order round the slab")
    if lower is not None and len(lower) != len(outline):
        raise InputError(
            "lower-outline",
            f"it has {len(lower)} corners and the upper face {len(outline)}; give one "
            "below each of the upper face, in the same order",
        )
    _check_holes(inputs.holes, outline)
    try:
        slab = outline_volume(outline, inputs.thickness, lower=lower, holes=inputs.holes)
    except ValueError as error:
        raise InputError("holes", str(error)) from None
    faces = (outline,) if lower is None else (outline, mean_outline(outline, lower), lower)
    return slab, tuple(("turns", _turns(face)) for face in faces)


def _by_stations(inputs: Inputs) -> tuple[SlabVolume, tuple[Face, ...]]:
    widths = {len(row) for row in inputs.stations}
    if widths not in ({3}, {5}):
        raise InputError(
            "stations",
            "a row is along, left and right, and in all rows or in none the left and right "
            "of the lower face: give 3 or 5 numbers in each",
        )
    upper = [Station(row[0], row[1], row[2]) for row in inputs.stations]
    lower = [Station(row[0], row[3], row[4]) for row in inputs.stations] if widths == {5} else None
    faces = [upper] if lower is None else [upper, list(mean_stations(upper, lower)), lower]
    try:
        for face in faces:
            stations_area(face)
    except ValueError as error:
        raise InputError("stations", str(error)) from None
    _check_holes(inputs.holes, station_outline(upper))
    try:
        slab = stations_volume(upper, inputs.thickness, lower=lower, holes=inputs.holes)
    except ValueError as error:
        raise InputError("holes", str(error)) from None
    return slab, tuple(("strips", _strips(face)) for face in faces)


def _check_holes(holes: Sequence[Outline], outline: Outline) -> None:
    for number, hole in enumerate(holes, 1):
        if len(hole) < 3:
            raise InputError("holes", f"hole {number} has {len(hole)} corners; give at least three")
        if not any(contains(outline, corner) for corner in hole):
            raise InputError(
                "holes",
                f"hole {number} lies outside the slab; read its place again, along the tape and left of it",
            )


def _strips(stations: Sequence[Station]) -> tuple[float, ...]:
    return tuple(
        (b.along - a.along) * (a.left + a.right + b.left + b.right) / 2 for a, b in pairwise(stations)
    )


def _turns(outline: Outline) -> tuple[float, ...]:
    x0, y0 = outline[0]
    local = [(x - x0, y - y0) for x, y in outline]
    return tuple(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise((*local, local[0])))


def _area_working(face: Face, holes: Sequence[Outline]) -> Working:
    how, terms = face
    numbers: dict[str, Number] = {how: tuple(Amount(term, AREA) for term in terms)}
    formula = "area = sum(strips)" if how == "strips" else "area = abs(sum(turns))/2"
    words = (
        "strips lie between two stations: spacing times the mean of both widths"
        if how == "strips"
        else "turns are x1*y2 - x2*y1 from each corner to the next, counted from the first corner"
    )
    if holes:
        numbers["holes"] = tuple(Amount(abs(sum(_turns(hole))) / 2, AREA) for hole in holes)
        formula += " - sum(holes)"
    return Working(formula, numbers, SOURCE, (words,))


def _one_face_only(inputs: Inputs, faces: Sequence[object]) -> Iterator[Finding]:
    if len(faces) == 1:
        yield Finding(
            "lower-face-unknown",
            Level.NOTE,
            phrase("Only one face is measured, so a bevelled edge counts as upright."),
            phrase(
                "Read the lower face at the same stations: a bevel of {bevel} on each edge changes a slab "
                "{wide} wide by a twentieth.",
                bevel=Amount(0.010, LENGTH),
                wide=Amount(0.200, LENGTH),
            ),
            field="stations" if inputs.stations else "outline" if inputs.outline else "length",
            figures=("volume",),
        )


def _mass(inputs: Inputs, volume: float) -> tuple[tuple[Figure, ...], tuple[Finding, ...]]:
    if inputs.species is None and inputs.moisture is None:
        return (), ()
    if inputs.species is None or inputs.moisture is None:
        key = "species" if inputs.species is None else "moisture"
        return (), (
            Finding(
                "mass-unknown",
                Level.NOTE,
                phrase(f"The mass of the slab waits for its {key}."),
                phrase(
                    "Read the moisture at 3 places and depths."
                    if key == "moisture"
                    else f"Give one of the {len(SPECIES.options())} species of the table."
                ),
                field=key,
            ),
        )
    held = wood(inputs.species)
    if held.specific_gravity is None:
        return (), (no_gravity(held, "Weigh the slab, or a block of it sawn to 100 mm each way."),)
    density = density_figure(held, held.specific_gravity, inputs.moisture)
    working = Working(
        f"{density.working.formula}; mass = volume*density",
        {**density.working.numbers, "volume": Amount(volume, VOLUME)},
        density.working.source,
        density.working.assumed,
    )
    return (density, Figure("mass", "mass of the slab", volume * density.value, MASS, working)), ()


def slab_width(desk: Desk, slab: str) -> Source:
    """The width of a slab at its widest, across the grain."""
    held = desk.file.slab[slab]
    if held.stations:
        return combine(
            "the widest station",
            lambda rows: max(row[1] + row[2] for row in rows),
            slab_edges(desk, slab)["stations"],
        )
    if held.outline is not None:
        return combine("the outline at its widest", _extent, slab_edges(desk, slab)["outline"])
    return desk.at("slab", slab, "width")


def _extent(points: Outline) -> float:
    across = [y for _, y in points]
    return max(across) - min(across)


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab as bought."""
    for slab in desk.file.slab:
        yield Filling(
            slab,
            {
                **slab_edges(desk, slab),
                "thickness": desk.at("slab", slab, "thickness"),
                "species": desk.at("slab", slab, "species"),
                "moisture": slab_moisture(desk, slab),
            },
        )


CALCULATOR = Calculator(
    id="slab-volume",
    title="Wood in the slab",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
