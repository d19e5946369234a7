"""What to buy of something that is sold in packs, A/B kits among them, which nobody divides."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Final

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.desk import Desk, Filling, Given, Missing, Source, assumed, combine, first
from workshop.figures import Column, Figure, Result, Table, Working
from workshop.layout.sources import piece_shape
from workshop.quantity import (
    COUNT,
    DISTANCE,
    MASS,
    MONEY,
    VOLUME,
    Amount,
    Kind,
    QuantityError,
    currency_of,
    parse,
    read_number,
)
from workshop.trade.buying import Pack, Purchase, cheapest

NEEDS: Final = {"need": MASS, "need_volume": VOLUME, "need_length": DISTANCE, "need_count": COUNT}


class Inputs(CalculatorInputs):
    """How much is needed, and how it is sold."""

    alternatives = (("need", "need-volume", "need-length", "need-count"),)

    need: Annotated[float, MASS] | None = given("mass needed", default=None, low=0.0, high=1e5)
    need_volume: Annotated[float, VOLUME] | None = given("volume needed", default=None, low=0.0, high=100.0)
    need_length: Annotated[float, DISTANCE] | None = given("length needed", default=None, low=0.0, high=1e5)
    need_count: Annotated[float, COUNT] | None = given("pieces needed", default=None, low=0.0, high=1e6)
    packs: tuple[tuple[str, str], ...] = given(
        "packs",
        help="rows of size and price as text with their units; a size is a mass, volume, length or count as "
        "the need is, and a kit of parts A and B counts as one",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.buying.cheapest`."""
    kind, need = _need(inputs)
    packs, currency = _packs(inputs, kind)
    bought = cheapest(need, packs)
    sizes = tuple(Amount(pack.size, kind) for pack in packs)
    prices = tuple(Amount(pack.price / 100, MONEY) for pack in packs)
    counts = tuple(Amount(count, COUNT) for count in bought.counts)
    figures = [
        Figure(
            "cost",
            "least cost",
            bought.cost / 100,
            MONEY,
            Working(
                "cost = sum(counts*prices)",
                {"counts": counts, "prices": prices},
                "least cost, then least left over, of all ways to buy",
            ),
        ),
        Figure(
            "left",
            "left over",
            bought.left,
            kind,
            Working(
                "left = max(0, sum(counts*sizes) - need)",
                {"counts": counts, "sizes": sizes, "need": Amount(need, kind)},
                "what is bought less what is needed",
            ),
        ),
        Figure(
            "packs",
            "packs",
            float(sum(bought.counts)),
            COUNT,
            Working("packs = sum(counts)", {"counts": counts}, "least cost, then least left over"),
        ),
    ]
    for number, (size, price) in enumerate(zip(sizes, prices, strict=True), 1):
        figures.append(
            Figure(
                f"at-rate-{number}",
                f"what is needed at the rate of pack {number}, if it could be divided",
                need * price.value / size.value,
                MONEY,
                Working(
                    "at_rate = need*price/size",
                    {"need": Amount(need, kind), "price": price, "size": size},
                    "the price of a unit",
                ),
            )
        )
    return Result(tuple(figures), (), {"buy": _table(kind, packs, bought)}, currency)


def _need(inputs: Inputs) -> tuple[Kind, float]:
    for name, kind in NEEDS.items():
        need = getattr(inputs, name)
        if need is not None:
            return kind, float(need)
    raise InputError("need", "say how much is needed, such as need='6.4 kg'")


def _packs(inputs: Inputs, kind: Kind) -> tuple[tuple[Pack, ...], str | None]:
    """The packs in SI and hundredths, and their one currency where it is typed; raises InputError."""
    if not inputs.packs:
        raise InputError("packs", 'there is none: give size and price, such as [["1.5 kg", "39.50 EUR"]]')
    packs = []
    try:
        currencies = {currency_of(price) for _, price in inputs.packs if not _is_bare(price)}
        for size, price in inputs.packs:
            paid = read_number(price) if _is_bare(price) else parse(price, MONEY)
            packs.append(Pack(parse(size, kind), round(paid * 100)))
    except QuantityError as error:
        raise InputError("packs", str(error)) from None
    if len(currencies) > 1:
        raise InputError("packs", f"prices in {' and '.join(sorted(currencies))}: write all in one currency")
    if min(pack.size for pack in packs) <= 0 or min(pack.price for pack in packs) < 0:
        raise InputError(
            "packs", f"a pack holds nothing or costs less than nothing: write a size such as {kind.example}"
        )
    return tuple(packs), next(iter(currencies), None)


def _is_bare(price: str) -> bool:
    """Whether a price is a number alone, in whatever currency the answer is read in."""
    return price.replace(".", "", 1).isdecimal()


def _table(kind: Kind, packs: tuple[Pack, ...], bought: Purchase) -> Table:
    return Table(
        "Buy",
        (
            Column("count", "packs", COUNT),
            Column("size", "of", kind),
            Column("price", "at", MONEY),
            Column("cost", "together", MONEY),
        ),
        tuple(
            (float(count), pack.size, pack.price / 100, count * pack.price / 100)
            for count, pack in zip(bought.counts, packs, strict=True)
            if count
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """What is still needed of each resin, light strip and finish, less what is there."""
    for resin in desk.file.resin:
        masses = [*_lift_masses(desk, resin), *_seal_masses(desk, resin)]
        if masses:
            have = first(desk.at("resin", resin, "have"), assumed(0.0, "none there"))
            need = combine("what is still to be mixed, less what is there", _less, have, *masses)
            yield Filling(resin, {"need": need, "packs": _sold(desk, "resin", resin)})
    for strip in desk.file.light_strip:
        lengths = list(_run_lengths(desk, strip))
        if lengths:
            have = first(desk.at("light-strip", strip, "have"), assumed(0.0, "none there"))
            need = combine("all runs still to be laid, less what is there", _less, have, *lengths)
            yield Filling(strip, {"need-length": need, "packs": _sold(desk, "light-strip", strip)})
    coats = list(_coats(desk))
    if coats:
        have = first(desk.at("finish", "have"), assumed(0.0, "none there"))
        need = combine("all coats still to be laid, less what is there", _less, have, *coats)
        yield Filling("finish", {"need-volume": need, "packs": _sold(desk, "finish")})


def _less(have: float, *needs: float) -> float:
    return max(0.0, sum(needs) - have)


def _sold(desk: Desk, *place: str) -> Source:
    """Sizes and prices as text, of the packs that have both."""
    rows = desk.at(*place, "packs")
    if isinstance(rows, Missing):
        return rows

    def written(held: tuple[Any, ...]) -> tuple[tuple[str, str], ...]:
        return tuple(
            (row.size.text, row.price.text) for row in held if row.size is not None and row.price is not None
        )

    sold = combine("", written, rows)
    if isinstance(sold, Given) and not sold.value:
        return Missing(f"the size and price of a pack of {place[-1]}", sold.paths)
    return sold


def _lift_masses(desk: Desk, resin: str) -> Iterator[Source]:
    """The masses of all lifts that are not poured yet; what the lifts are, where none is planned."""
    for casting, held in desk.file.casting.items():
        if held.resin == resin and not held.lifts:
            yield Missing(f"the lifts of {casting}", (("casting", casting, "lifts"),))
    for lift in desk.lifts():
        if desk.resin_of(lift.casting) == resin and lift.subject not in desk.file.record.poured:
            yield desk.figure("resin-volume", lift.subject, "mass")


def _seal_masses(desk: Desk, resin: str) -> Iterator[Source]:
    """The seal coats of all castings whose wood is not covered yet."""
    if desk.file.seal_coat.resin != resin:
        return
    done = desk.file.record.done.get("seal-coat", {})
    for casting in desk.file.casting:
        if "faces-covered" not in done.get(casting, {}):
            yield desk.figure("seal-coat", casting, "mass")


def _run_lengths(desk: Desk, strip: str) -> Iterator[Source]:
    """The lengths of all runs of a strip that are neither placed nor buried under a poured lift."""
    record = desk.file.record
    for casting, held in desk.file.casting.items():
        poured = [
            row.to.value
            for subject, row in record.poured.items()
            if subject.split("/")[0] == casting and row.to is not None
        ]
        for run, light in held.light_run.items():
            buried = light.height is not None and any(light.height.value < to for to in poured)
            if light.strip == strip and f"{casting}/{run}" not in record.placed and not buried:
                yield first(
                    desk.at("casting", casting, "light-run", run, "length"), _along_piece(desk, light.piece)
                )


def _along_piece(desk: Desk, piece: str | None) -> Source:
    if piece is None or piece not in desk.file.piece:
        return Missing("the length of a light run", (("casting",),))
    return combine(
        "half of both edges of the piece along the grain",
        lambda shape: shape.edge / shape.thickness / 2,
        piece_shape(desk, piece),
    )


def _coats(desk: Desk) -> Iterator[Source]:
    """The finish of all coats that are not laid yet on a casting."""
    if desk.file.finish.thickness is not None:
        for casting in desk.file.casting:
            yield desk.figure("flood-coat", casting, "volume")
        return
    done = desk.file.record.done.get("finish", {})
    for casting in desk.file.casting:
        if not desk.file.finish.coats:
            yield Missing("the coats of the finish", (("finish", "coats"),))
        for coat in desk.file.finish.coats:
            if "zone-by-zone" not in done.get(f"{casting}/{coat.id}", {}):
                yield desk.figure("finish-coat", f"{casting}/{coat.id}", "amount")


CALCULATOR = Calculator(
    id="pack-sizes",
    title="Packs to buy",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=90,
)
