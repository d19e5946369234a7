"""What of a slab is used and left, and whether a wanted piece still comes out of what is left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.desk import Desk, Filling, combine, optional
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.layout.placed import as_sawn, extent
from workshop.layout.sawing import Sawn
from workshop.layout.sawn_sources import sawn_slab, wanted_pieces
from workshop.quantity import AREA, LENGTH, MONEY, PERCENT, VOLUME, Amount
from workshop.trade.fitting import Part, Shortfall, Stock, places, rectangle, shortfall
from workshop.trade.outline import contains, crosses_itself
from workshop.trade.slab_yield import SlabYield, slab_yield

TOLERANCE: Final = 1e-6
"""m²: as much more than the slab may come out of it by rounding."""

Corner = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH]]
Size = tuple[Annotated[float, LENGTH], Annotated[float, LENGTH]]


class Inputs(CalculatorInputs):
    """A slab, what is sawn out of it, what is left of it, and what is still wanted."""

    slab_area: Annotated[float, AREA] = given("area of the slab", above=0.0, high=30.0)
    piece_areas: tuple[Annotated[float, AREA], ...] = given(
        "areas of the pieces", default=(), help='such as ["0.26 m²", "0.18 m²"]'
    )
    offcut_areas: tuple[Annotated[float, AREA], ...] = given(
        "areas of the offcuts worth keeping", default=(), help="what neither they nor the pieces hold is dust"
    )
    piece_names: tuple[str, ...] = given(
        "names of the pieces", default=(), help="in the order of their areas"
    )
    piece_sizes: tuple[Size, ...] = given(
        "length and width of each piece", default=(), help="in the order of their areas"
    )
    outlines: tuple[tuple[Corner, ...], ...] = given(
        "outlines of the offcuts", default=(), help="corners x along the grain and y across it, in order"
    )
    holes: tuple[tuple[Corner, ...], ...] = given(
        "holes in the offcuts", default=(), help="outlines in the same coordinates"
    )
    thickness: Annotated[float, LENGTH] | None = given("thickness", default=None, above=0.0, high=0.5)
    price: Annotated[float, MONEY] | None = given("price of the slab", default=None, low=0.0, high=1e6)
    wanted_length: Annotated[float, LENGTH] | None = given(
        "length of a wanted piece", default=None, above=0.0, high=10.0, help="along the grain"
    )
    wanted_width: Annotated[float, LENGTH] | None = given(
        "width of a wanted piece", default=None, above=0.0, high=5.0
    )
    wanted: tuple[tuple[str, Annotated[float, LENGTH], Annotated[float, LENGTH]], ...] = given(
        "wanted pieces", default=(), help="rows of name, length along the grain, width; each tried alone"
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.slab_yield.slab_yield`, and `trade.fitting` for the wanted pieces."""
    try:
        held = slab_yield(inputs.slab_area, inputs.piece_areas, inputs.offcut_areas)
    except ValueError as error:
        raise InputError("piece-areas", str(error)) from None
    figures = [*_areas(inputs, held), *_volumes(inputs, held), *_costs(inputs, held)]
    findings = [*_more_than_the_slab(held)]
    tables = _tables(inputs)
    wanted = _wanted(inputs)
    if wanted:
        tried = [(part, *_tried(part, _stocks(inputs))) for part in wanted]
        figures += _margins(inputs, tried)
        findings += _too_large(inputs, tried)
        tables["wanted"] = _wanted_table(tried)
    return Result(tuple(figures), tuple(findings), tables)


def _areas(inputs: Inputs, held: SlabYield) -> Iterator[Figure]:
    slab = Amount(inputs.slab_area, AREA)
    pieces = tuple(Amount(area, AREA) for area in inputs.piece_areas)
    offcuts = tuple(Amount(area, AREA) for area in inputs.offcut_areas)
    yield Figure(
        "used",
        "goes into pieces",
        held.used,
        AREA,
        Working("used = sum(pieces)", {"pieces": pieces}, "geometry"),
    )
    yield Figure(
        "left",
        "is left over",
        held.left,
        AREA,
        Working("left = sum(offcuts)", {"offcuts": offcuts}, "geometry"),
    )
    yield Figure(
        "yield",
        "used part of the slab",
        held.share,
        PERCENT,
        Working("share = sum(pieces)/slab", {"pieces": pieces, "slab": slab}, "geometry"),
    )
    yield Figure(
        "kerf-loss",
        "goes into dust and slivers (below zero: more than the slab is taken)",
        held.lost,
        AREA,
        Working(
            "lost = slab - sum(pieces) - sum(offcuts)",
            {"slab": slab, "pieces": pieces, "offcuts": offcuts},
            "geometry",
        ),
    )


def _volumes(inputs: Inputs, held: SlabYield) -> Iterator[Figure]:
    if inputs.thickness is None:
        return
    thickness = Amount(inputs.thickness, LENGTH)
    for key, title, area in (
        ("used-volume", "wood in the pieces", held.used),
        ("left-volume", "wood left over", held.left),
    ):
        yield Figure(
            key,
            title,
            area * inputs.thickness,
            VOLUME,
            Working(
                "volume = area*thickness",
                {"area": Amount(area, AREA), "thickness": thickness},
                "geometry",
                ("where the faces differ, the wood that both have",),
            ),
        )


def _costs(inputs: Inputs, held: SlabYield) -> Iterator[Figure]:
    if inputs.price is None:
        return
    for key, title, area in (
        ("wood-cost-used", "price of the wood in the pieces", held.used),
        ("wood-cost-left", "price of what is left over", held.left),
    ):
        yield Figure(
            key,
            title,
            inputs.price * area / inputs.slab_area,
            MONEY,
            Working(
                "cost = price*area/slab",
                {
                    "price": Amount(inputs.price, MONEY),
                    "area": Amount(area, AREA),
                    "slab": Amount(inputs.slab_area, AREA),
                },
                COMMON_PRACTICE,
                ("the slab costs the same everywhere",),
            ),
        )


def _more_than_the_slab(held: SlabYield) -> Iterator[Finding]:
    if held.lost < -TOLERANCE:
        short = Amount(-held.lost, AREA)
        yield Finding(
            "timber-short",
            Level.STOP,
            phrase("Pieces and offcuts take {short} more wood than the slab holds.", short=short),
            phrase(
                "Lay the pieces apart so that no two lie on the same wood, or saw {short} from another slab.",
                short=short,
            ),
            field="piece-areas",
            figures=("kerf-loss",),
            value=short,
            margin=1e-4,
        )


def _tables(inputs: Inputs) -> dict[str, Table]:
    """Pieces and offcuts with what is known of each."""
    made = {}
    sizes = {"pieces": inputs.piece_sizes, "offcuts": tuple(_size(ring) for ring in inputs.outlines)}
    names = {"pieces": inputs.piece_names, "offcuts": ()}
    areas = {"pieces": inputs.piece_areas, "offcuts": inputs.offcut_areas}
    for key, title, one in (("pieces", "Pieces", "piece"), ("offcuts", "Offcuts", "offcut")):
        if not areas[key]:
            continue
        named = names[key] if len(names[key]) == len(areas[key]) else _numbered(one, len(areas[key]))
        sized = len(sizes[key]) == len(areas[key])
        columns = [Column("name", one), Column("area", "area", AREA)]
        if sized:
            columns[1:1] = [Column("length", "length", LENGTH), Column("width", "width", LENGTH)]
        made[key] = Table(
            title,
            tuple(columns),
            tuple(
                (name, *(sizes[key][number] if sized else ()), area)
                for number, (name, area) in enumerate(zip(named, areas[key], strict=True))
            ),
        )
    return made


def _numbered(word: str, count: int) -> tuple[str, ...]:
    return tuple(f"{word} {number}" for number in range(1, count + 1))


def _size(ring: Sequence[tuple[float, float]]) -> Size:
    if not ring:
        return 0.0, 0.0
    left, bottom, right, top = extent(tuple(ring))
    return right - left, top - bottom


def _wanted(inputs: Inputs) -> list[Part]:
    rows = list(inputs.wanted)
    if inputs.wanted_length is not None and inputs.wanted_width is not None:
        rows.insert(0, ("wanted", inputs.wanted_length, inputs.wanted_width))
    elif inputs.wanted_length is not None or inputs.wanted_width is not None:
        other = "wanted-width" if inputs.wanted_width is None else "wanted-length"
        raise InputError(other, "a wanted piece needs both its length and its width, such as '400 mm'")
    try:
        return [rectangle(*row) for row in rows]
    except ValueError as error:
        raise InputError("wanted", str(error)) from None


def _stocks(inputs: Inputs) -> tuple[Stock, ...]:
    made = []
    for number, ring in enumerate(inputs.outlines, 1):
        if len(ring) < 3 or crosses_itself(ring):
            raise InputError("outlines", f"offcut {number} is no outline; give its corners in order round it")
        inside = tuple(hole for hole in inputs.holes if any(contains(ring, corner) for corner in hole))
        try:
            made.append(Stock(f"offcut {number}", tuple(ring), inside))
        except ValueError as error:
            raise InputError("outlines", str(error)) from None
    return tuple(made)


def _tried(part: Part, stocks: tuple[Stock, ...]) -> tuple[float, str, Shortfall | None]:
    """The margin of a wanted piece (below zero: short by), the offcut it means, and how it is short."""
    found = places(part, stocks, most=1)
    if found:
        return found[0].margin, found[0].stock.id, None
    short = shortfall(part, stocks)
    least = short.least
    if least is None:
        return -min(_size(part.ring)), "none", short
    return -least, "none" if short.stock is None else short.stock.id, short


def _margins(inputs: Inputs, tried: list[tuple[Part, float, str, Shortfall | None]]) -> Iterator[Figure]:
    least = min(tried, key=lambda row: row[1])
    rows = [("wanted-margin", "", least)]
    if len(tried) > 1:
        rows += [(f"wanted-margin-{row[0].id}", f" of {row[0].id}", row) for row in tried]
    for key, of, (part, margin, stock, _) in rows:
        length, width = _size(part.ring)
        yield Figure(
            key,
            f"room round the wanted piece{of} (below zero: short by)",
            margin,
            LENGTH,
            Working(
                f"the {part.id} piece laid with the grain where it is farthest from every edge and hole"
                + (f": on {stock}" if margin >= 0 else f"; it comes nearest on {stock}"),
                {"length": Amount(length, LENGTH), "width": Amount(width, LENGTH)},
                "geometry: polygons",
                simulation=True,
            ),
        )


def _too_large(inputs: Inputs, tried: list[tuple[Part, float, str, Shortfall | None]]) -> Iterator[Finding]:
    part, margin, _, short = min(tried, key=lambda row: row[1])
    if short is None:
        return
    name = "The wanted piece" if part.id == "wanted" else f"The wanted piece {part.id}"
    ways = [
        ("shorten it by {along}", short.along),
        ("narrow it by {across}", short.across),
    ]
    words = [way for way, by in ways if by is not None]
    by = {
        key: Amount(value, LENGTH)
        for key, value in (("along", short.along), ("across", short.across))
        if value is not None
    }
    length, width = _size(part.ring)
    remedy = (
        phrase(f"{' or '.join(words).capitalize()}, or saw it out of another slab.", **by)
        if words
        else phrase(
            "Saw it out of another slab: one that holds {length} by {width}.",
            length=Amount(length, LENGTH),
            width=Amount(width, LENGTH),
        )
    )
    text = (
        phrase(f"{name} finds no offcut worth keeping on this slab.")
        if short.stock is None
        else phrase(
            f"{name} does not come out of what is left: it is short by {{short}}.",
            short=Amount(-margin, LENGTH),
        )
    )
    # Another slab may well hold it, so that this alone is nothing wrong.
    yield Finding(
        "wanted-too-large",
        Level.NOTE,
        text,
        remedy,
        field="wanted" if inputs.wanted else "wanted-length",
        figures=("wanted-margin",),
        value=Amount(-margin, LENGTH),
        margin=0.001,
    )


def _wanted_table(tried: list[tuple[Part, float, str, Shortfall | None]]) -> Table:
    return Table(
        "Wanted pieces",
        (
            Column("name", "piece"),
            Column("length", "length", LENGTH),
            Column("width", "width", LENGTH),
            Column("stock", "out of"),
            Column("margin", "room round it", LENGTH),
        ),
        tuple((part.id, *_size(part.ring), stock, margin) for part, margin, stock, _ in tried),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every slab with the pieces marked on it; pieces known by their measures alone are wanted ones."""
    for slab in desk.file.slab:
        cut = sawn_slab(desk, slab)
        price = desk.at("slab", slab, "price")
        yield Filling(
            slab,
            {
                "slab-area": combine("the wood that both faces hold", lambda held: held.area, cut),
                "piece-areas": combine(
                    "sawn out along the saw lines", lambda held: tuple(held.pieces.values()), cut
                ),
                "offcut-areas": combine(
                    "what is left", lambda held: tuple(offcut.area for offcut in held.offcuts), cut
                ),
                **optional(
                    piece_names=combine("", lambda held: tuple(held.pieces), cut),
                    piece_sizes=combine("", lambda held: _sizes(desk, held), cut),
                    outlines=combine("", lambda held: tuple(offcut.ring for offcut in held.offcuts), cut),
                    holes=combine(
                        "", lambda held: tuple(hole for offcut in held.offcuts for hole in offcut.holes), cut
                    ),
                    thickness=desk.at("slab", slab, "thickness"),
                    price=price,
                    wanted=wanted_pieces(desk, slab),
                ),
            },
        )


def _sizes(desk: Desk, held: Sawn) -> tuple[Size, ...]:
    return tuple(_size(as_sawn(desk.file, piece).pair.outline(1.0)) for piece in held.pieces)


CALCULATOR = Calculator(
    id="slab-yield",
    title="Used and left of the slab",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=70,
)
