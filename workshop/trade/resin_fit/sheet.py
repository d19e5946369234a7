"""What a resin's data sheet and a maker's test pours say, checked before anything is made of it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import isfinite
from typing import Final

from workshop.reference.resin_classes import resin_class

__all__ = ["ROOM", "Pour", "Sheet", "checked"]

ROOM: Final = 23.0
"""°C that a sheet's figures are taken to hold at where it does not say: common practice, no source."""
_COLDEST: Final = -10.0
_WARMEST: Final = 80.0

_WORDS: Final = {
    "density": "density",
    "pot_life": "pot life",
    "pot_mass": "mass of the pot life",
    "pot_temperature": "temperature of the pot life",
    "set_time": "set time",
    "set_temperature": "temperature of the set time",
    "rated_depth": "rated depth",
    "rated_temperature": "temperature of the rated depth",
    "demould_time": "demould time",
    "full_cure": "full cure",
    "ultimate_tg": "ultimate glass transition",
    "temperature": "temperature",
    "mass": "mass",
    "depth": "depth",
    "peak": "peak",
    "time_to_peak": "time to the peak",
    "gel": "gel time",
}
_WARM: Final = frozenset(
    {"pot_temperature", "set_temperature", "rated_temperature", "ultimate_tg", "temperature", "peak"}
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A data sheet's figures in SI, temperatures in °C; None is not on the sheet."""

    resin_class: str
    """An id of the table of resin classes."""
    density: float | None = None
    """kg/m3, mixed."""
    pot_life: float | None = None
    """s, of `pot_mass` at `pot_temperature`."""
    pot_mass: float | None = None
    """kg."""
    pot_temperature: float | None = None
    set_time: float | None = None
    """s until a thin film has set."""
    set_temperature: float | None = None
    rated_depth: float | None = None
    """m."""
    rated_temperature: float | None = None
    demould_time: float | None = None
    """s."""
    full_cure: float | None = None
    """s."""
    ultimate_tg: float | None = None
    """°C."""


@dataclass(frozen=True, slots=True)
class Pour:
    """A logged test pour, either a cup of `mass` (kg) or a `depth` (m) in a wide form raised on battens."""

    temperature: float
    """°C of the resin and of the shop."""
    mass: float | None = None
    depth: float | None = None
    peak: float | None = None
    """°C, in the middle."""
    time_to_peak: float | None = None
    """s since mixing."""
    gel: float | None = None
    """s since mixing."""


def checked(sheet: Sheet, pours: tuple[Pour, ...]) -> None:
    """Raise ValueError for figures from which nothing can be made."""
    resin_class(sheet.resin_class)
    _values(sheet, "The sheet's")
    if sheet.pot_life is not None and sheet.pot_mass is None:
        raise ValueError(
            "The sheet's pot life stands without its mass; give the mass that it was measured with, because "
            "the gel time depends on the volume and both must be stated (ASTM D2471, sections 1.1 and 4.1)."
        )
    for number, pour in enumerate(pours, 1):
        _values(pour, f"Test pour {number}'s")
        if (pour.mass is None) == (pour.depth is None):
            raise ValueError(
                f"Test pour {number} needs either the mass of its cup or the depth of its lift; "
                "give one of them."
            )
        if pour.peak is not None and pour.peak <= pour.temperature:
            raise ValueError(
                f"Test pour {number}'s peak of {pour.peak:g} °C does not lie above the "
                f"{pour.temperature:g} °C that it was poured at; "
                "leave the peak out where the resin stayed cool."
            )


def _values(given: Sheet | Pour, whose: str) -> None:
    for name in (field.name for field in fields(given)):
        value = getattr(given, name)
        if value is None or isinstance(value, str):
            continue
        warm = name in _WARM
        if not isfinite(value) or (value <= 0 and not warm):
            raise ValueError(
                f"{whose} {_WORDS[name]} is {value:g}; give a value above zero, or leave it out."
            )
        if name.endswith("temperature") and not _COLDEST < value < _WARMEST:
            raise ValueError(f"{whose} {_WORDS[name]} is {value:g} °C; give the temperature of a shop.")
