"""What the model makes of a resin: its constants with their bands, and the sheet's figures against it."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite
from typing import Final

import numpy as np

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.cure_inputs import MODEL, indicative
from workshop.desk import Desk, Filling, Missing, Source
from workshop.figures import Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.quantity import (
    ACTIVATION,
    CURE_RATE,
    DURATION,
    HEAT_OF_CURE,
    MASS,
    NUMBER,
    TEMPERATURE,
    Amount,
    Kind,
)
from workshop.resin_sheet import read_resin, resin_text
from workshop.trade.cure.isothermal import film_time
from workshop.trade.cure.kinetics import Array, Resin
from workshop.trade.cure.states import band
from workshop.trade.known_resin import KnownResin
from workshop.trade.resin_fit import Residual

ROOM: Final = 23.0
"""°C at which a film and a cup are compared."""
CUP: Final = 0.1
"""kg."""
TEST_MASS: Final = 1.0
TEST_SHOP: Final = 21.0


class Inputs(CalculatorInputs):
    """A resin."""

    resin: str = given("the resin", help="its class, its sheet as JSON, or its constants as JSON")


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.resin_fit.fit`."""
    known = read_resin(inputs.resin)
    fitted = known.fitted
    residuals = () if fitted is None else fitted.residuals
    findings = (*_contradicts(residuals), *indicative(known))
    return Result(tuple(_figures(known, spread=True)), findings, _tables(residuals))


def quick(inputs: Inputs) -> Result:
    """The likeliest constants alone."""
    known = read_resin(inputs.resin)
    return Result(tuple(_figures(known, spread=False)))


def _figures(known: KnownResin, spread: bool) -> Iterator[Figure]:
    fitted = known.fitted
    wide = known.draws("all").resin if spread and fitted is not None else None
    assumed = ("as given",) if fitted is None else fitted.assumed

    def working(what: str, numbers: dict[str, Amount] | None = None) -> Working:
        return Working(what, numbers or {}, MODEL, assumed, simulation=True)

    constants = "as given" if fitted is None else "what sheet, test pours and class make likeliest"
    for id, title, name, kind in (
        ("k25", "rate of the cure at 25 °C", "k25", CURE_RATE),
        ("heat", "heat of the cure", "heat", HEAT_OF_CURE),
        ("activation", "activation energy of the cure", "activation", ACTIVATION),
        ("ultimate-tg", "glass transition when fully cured", "tg1", TEMPERATURE),
    ):
        likely = float(np.ravel(getattr(known.central, name))[0])
        many = None if wide is None else np.asarray(getattr(wide, name), dtype=float)
        yield _banded(id, title, likely, many, kind, working(constants))
    yield _banded(
        "gel-time",
        "a thin film at 23 °C gels after",
        float(_film(known.central)[0]),
        None if wide is None else _film(wide),
        DURATION,
        working(f"the cure at {ROOM:g} °C, without heat of its own, to the gel"),
    )
    cup = known.pot_life(CUP, ROOM) if spread else None
    if cup is not None and cup.likely is not None:
        yield Figure(
            "pot-life",
            "100 g at 23 °C can be poured for",
            cup.likely,
            DURATION,
            working("a cup of this mass that heats itself, half of the draws", {"mass": Amount(CUP, MASS)}),
            cup.low if cup.high is not None else None,
            cup.high if cup.low is not None else None,
        )


def _film(resin: Resin) -> Array:
    count = int(np.size(resin.k25))
    return film_time(resin, np.full(count, ROOM), resin.gel)


def _banded(id: str, title: str, likely: float, many: Array | None, kind: Kind, working: Working) -> Figure:
    held = None if many is None else band(many)
    if held is None or held.low is None or held.high is None:
        return Figure(id, title, likely, kind, working)
    return Figure(id, title, likely, kind, working, min(held.low, likely), max(held.high, likely))


def _tables(residuals: tuple[Residual, ...]) -> dict[str, Table]:
    """The times and the temperatures of the sheet, apart."""
    made = {}
    for id, title, kind, warm in (
        ("times", "Times on the sheet, and by the model", DURATION, False),
        ("temperatures", "Temperatures on the sheet, and by the model", TEMPERATURE, True),
    ):
        rows = tuple(
            (_words(held.key), held.stated, held.model if isfinite(held.model) else "never", held.text)
            for held in residuals
            if _is_warm(held.key) is warm
        )
        if rows:
            made[id] = Table(
                title,
                (
                    Column("figure", "figure"),
                    Column("sheet", "stated", kind),
                    Column("model", "by the model", kind),
                    Column("said", ""),
                ),
                rows,
            )
    return made


def _is_warm(key: str) -> bool:
    return key in ("rated-depth", "ultimate-tg") or (key.endswith("-peak") and not key.endswith("to-peak"))


def _words(key: str) -> str:
    if key == "rated-depth":
        return "peak of a lift of the rated depth"
    return key.replace("-", " ")


def _contradicts(residuals: tuple[Residual, ...]) -> Iterator[Finding]:
    said = [held for held in residuals if held.text]
    if not said:
        return
    yield Finding(
        "sheet-contradicts",
        Level.NOTE,
        phrase("{said}.", said="; ".join(held.text[0].upper() + held.text[1:] for held in said)),
        phrase(
            "Log a test pour of {mass} at {shop} with its peak and gel time: it counts for more.",
            mass=Amount(TEST_MASS, MASS),
            shop=Amount(TEST_SHOP, TEMPERATURE),
        ),
        field="resin",
        value=Amount(float(len(said)), NUMBER),
        margin=0.5,
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting's resin, by its sheet and the pours that were logged."""
    for casting in desk.file.casting:
        resin = casting_resin(desk, casting)
        density: Source = resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin)
        yield Filling(casting, {"resin": resin_text(desk, casting, density)})


CALCULATOR = Calculator(
    id="resin-fit",
    title="What the model makes of the resin",
    stage="lifts",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=3,
    slow=True,
    quick=quick,
)
