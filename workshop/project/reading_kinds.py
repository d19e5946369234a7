"""What a maker reads off an instrument: each kind of reading, and how far one press of an arrow moves it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from workshop.quantity import (
    CURRENT,
    DURATION,
    LENGTH,
    MASS,
    METRIC,
    PERCENT,
    TEMPERATURE,
    VOLTAGE,
    VOLUME,
    Kind,
    Scale,
    Units,
    parse,
    show,
)


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """A key of a reading: what it is called, its kind, how far an arrow moves it, and its bounds in SI.

    `metric` and `us` count last printed decimals (or finest inch fractions) for each press.
    """

    key: str
    title: str
    kind: Kind
    metric: int = 1
    us: int = 1
    low: float = 0.0
    high: float = math.inf


READING_KINDS: Final[Mapping[str, ReadingKind]] = MappingProxyType(
    {
        held.key: held
        for held in (
            ReadingKind("temperature", "temperature", TEMPERATURE, 5, 10, -40.0, 60.0),
            ReadingKind("humidity", "humidity", PERCENT, 10, 10, high=1.0),
            ReadingKind("moisture", "wood moisture", PERCENT, high=3.0),
            ReadingKind("deep", "depth of the pins", LENGTH, 10, high=100.0),
            ReadingKind("peak", "peak temperature", TEMPERATURE, 5, 10, -40.0, 400.0),
            ReadingKind("gel", "time from mixing to gel", DURATION, 5, 5),
            ReadingKind("depth", "depth", LENGTH, high=100.0),
            ReadingKind("height", "height", LENGTH, high=100.0),
            ReadingKind("thickness", "thickness", LENGTH, high=100.0),
            ReadingKind("mass", "mass", MASS),
            ReadingKind("volume", "volume", VOLUME, 10, high=100.0),
            ReadingKind("current", "current drawn", CURRENT, high=1000.0),
            ReadingKind("volts", "voltage", VOLTAGE, high=1000.0),
        )
    }
)
"""By key in the file; `place` and `face` stand beside them and say where it was taken."""

WHERE: Final = ("place", "face", "deep")
"""Keys of a reading that say where it was taken: alone they are no reading."""

_PLAIN: Final[Mapping[str, ReadingKind]] = MappingProxyType(
    {
        TEMPERATURE.name: ReadingKind("", "", TEMPERATURE, 5, 10, -273.0),
        PERCENT.name: ReadingKind("", "", PERCENT, 10, 10),
        DURATION.name: ReadingKind("", "", DURATION, 5, 5),
    }
)


def step_of(text: str, kind: Kind, units: Units = METRIC, key: str = "") -> tuple[float, str]:
    """How far one press moves a value: in SI, and as text in the units shown (`0.5 °C`, `1/16 in`).

    `text` is the last value, whose size decides the unit shown; where it is empty, a usual size does.
    """
    value = parse(text.strip() or re.split(", | or ", kind.example)[0], kind)
    scale, count = _scale(value, kind, units), _count(kind, units, key)
    finest = 1.0 / units.inch_fraction if scale.digits is None else 10.0**-scale.digits
    if not scale.unit:
        return count * finest, f"{count * finest:g}"
    said = f"{count * finest:g} {scale.unit}"
    if kind is TEMPERATURE:
        return parse(said, kind) - parse(f"0 {scale.unit}", kind), said
    if scale.digits is None:
        said = f"{Fraction(count, units.inch_fraction)} {scale.unit}"
    return parse(said, kind), said


def nudged(text: str, steps: int, kind: Kind, units: Units = METRIC, key: str = "") -> str:
    """A value moved by so many steps, as text in the units shown; raises QuantityError for no value.

    `key` names the reading, whose own step and bounds then count (humidity moves by 1 %, moisture by 0.1 %).
    """
    value = parse(text, kind)
    held = _held(kind, key)
    moved = value + steps * step_of(text, kind, units, key)[0]
    return show(min(max(moved, held.low), held.high), kind, units)


def _held(kind: Kind, key: str) -> ReadingKind:
    known = READING_KINDS.get(key)
    return known if known is not None else _PLAIN.get(kind.name, ReadingKind("", "", kind))


def _count(kind: Kind, units: Units, key: str) -> int:
    held = _held(kind, key)
    return held.us if units.system == "us" else held.metric


def _scale(value: float, kind: Kind, units: Units) -> Scale:
    scales = kind.scales(units)
    return next((scale for scale in scales if abs(value) < scale.below), scales[-1])
