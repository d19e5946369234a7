"""What is taken of a casting resin before its data sheet says more, by class of resin.

Sources: each value's in `resin_classes.toml`; most are priors by judgement and marked so there.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from workshop.reference import table

__all__ = ["ResinClass", "Spread", "UnknownResinClass", "all_resin_classes", "resin_class", "sources"]


class UnknownResinClass(ValueError):
    """A class of resin, `text`, that the table does not hold."""

    def __init__(self, text: str) -> None:
        self.text = text
        known = ", ".join(found.id for found in all_resin_classes())
        super().__init__(f'The class of resin "{text}" is not known; write one of {known}.')


@dataclass(frozen=True, slots=True)
class Spread:
    """What a value is likely to be, and its standard deviation."""

    mean: float
    sd: float


@dataclass(frozen=True, slots=True)
class ResinClass:
    """One class; where a spread is of a logarithm, `mean` is the median of the value itself."""

    id: str
    name: str
    rate: Spread
    """1/s at 25 °C; sd of the logarithm."""
    kappa: Spread
    """Sd of the logarithm."""
    heat: Spread
    """J/kg."""
    activation: Spread
    """J/mol."""
    pot_conversion: Spread
    """Conversion at which the pot life ends."""
    tg1: Spread
    """Glass transition when fully cured, °C."""
    cp: Spread
    """J/(kg K); sd of the logarithm."""
    k: Spread
    """W/(m K); sd of the logarithm."""
    film: Spread
    """Factor on every film; sd of the logarithm."""
    density: float
    """kg/m3, mixed."""
    gel: float
    """Conversion at gel."""
    usual_depth: float
    """m."""
    limit: Spread
    """°C that a lift of the rated depth is taken to come to."""
    rated_for_heat: bool
    """Whether the rated depth is set by the heat; if not, the heat only stays below the limit there."""
    indicative: bool
    """Whether the rate law lacks what rules this class's cure."""


def resin_class(text: str) -> ResinClass:
    """The class of this id. Raises UnknownResinClass."""
    for found in all_resin_classes():
        if found.id == text:
            return found
    raise UnknownResinClass(text)


@cache
def all_resin_classes() -> tuple[ResinClass, ...]:
    """Every class, the fastest first and polyester last."""
    held = table("resin_classes")
    return tuple(_resin_class(key, {**held["all"], **row}) for key, row in held["class"].items())


def sources() -> Mapping[str, str]:
    """Where each value comes from, by its name in the table."""
    found: Mapping[str, str] = table("resin_classes")["source"]
    return found


def _resin_class(key: str, row: Mapping[str, Any]) -> ResinClass:
    values: dict[str, Any] = {
        name: Spread(*value) if isinstance(value, tuple) else value for name, value in row.items()
    }
    return ResinClass(id=key, **values)
