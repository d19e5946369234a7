"""The kinds of value that stand in a project file, and the two kinds of table that hold them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Annotated, Any, Final
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, GetCoreSchemaHandler, StrictStr
from pydantic_core import CoreSchema, core_schema

from workshop.project.notation import BadValue, read_bare, said
from workshop.quantity import (
    ANGLE,
    COUNT,
    CURRENT,
    DENSITY,
    DISTANCE,
    DURATION,
    FEED_RATE,
    FORCE,
    FREQUENCY,
    LENGTH,
    LINE_POWER,
    LINE_RESISTANCE,
    LIQUID_DENSITY,
    MASS,
    MODULUS,
    MONEY,
    NUMBER,
    PERCENT,
    RATIO,
    ROTATION,
    SCALE_MASS,
    TEMPERATURE,
    VOLTAGE,
    VOLUME,
    WIRE_SIZE,
    Kind,
    Measure,
    QuantityError,
    measure,
)

RESERVED: Final = frozenset({"shop", "project", "destination", "upper", "lower"})
"""Words that mean a subject of their own, so that nothing else may be called so."""

LONGEST_ID: Final = 16


def kebab(name: str) -> str:
    """The key in the file of an attribute: `show_face` is `show-face`, `class_` is `class`."""
    return name.rstrip("_").replace("_", "-")


class Row(BaseModel):
    """A short row or table: keys in kebab-case, none that is not known, never changed in place."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=kebab, arbitrary_types_allowed=True, defer_build=True
    )


class Named(Row):
    """A table with a name, which takes a note."""

    note: StrictStr | None = None


# What a value may be


@dataclass(frozen=True, slots=True)
class Checked:
    """Marks a plain type of which every value is looked at by `take`, which raises BadValue.

    The rest describes it to editors: JSON types, format, an example, words.
    """

    take: Callable[[object], Any]
    types: tuple[str, ...]
    format: str = ""
    example: str = ""
    words: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.take, metadata={"pydantic_js_functions": [self._json_schema]}
        )

    def _json_schema(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        said: dict[str, Any] = {"type": self.types[0] if len(self.types) == 1 else list(self.types)}
        if self.format:
            said["format"] = self.format
        if self.example:
            said["examples"] = [self.example]
        if self.words:
            said["description"] = self.words
        return said


def _moment(value: object) -> datetime:
    if not isinstance(value, datetime):
        raise BadValue(
            f"{said(value)} is not a time", "write one without quotes, such as 2026-03-07 11:24:00+01:00"
        )
    if value.tzinfo is None:
        raise BadValue(f"{value} has no offset from UTC", f"write the offset too, such as {value}+01:00")
    return value


def _day(value: object) -> date:
    if isinstance(value, datetime) or not isinstance(value, date):
        raise BadValue(f"{said(value)} is not a day", "write one without quotes, such as 2026-04-18")
    return value


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0 or value > 1_000_000:
        raise BadValue(f"{said(value)} is not a count", "write a whole number such as 4")
    return value


def _number(value: object) -> float:
    """A bare number of the table's unit; text may hold a fraction of an inch."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal | str):
        raise BadValue(f"{said(value)} is not a number", "write one without a unit, such as 57")
    try:
        number = read_bare(value) if isinstance(value, str) else float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number) or abs(number) > 1e9:
        raise BadValue(f"{said(value)} is no size a shop can work to", "write a number such as 57")
    return number


def _zone(value: object) -> str:
    if not isinstance(value, str) or not _known_zone(value):
        raise BadValue(
            f"{said(value)} is not a time zone", "write one of the IANA zones, such as Europe/Berlin"
        )
    return value


@lru_cache(maxsize=256)
def _known_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (LookupError, ValueError, OSError):
        return False
    return True


def _amount(value: object) -> Measure:
    """What is in stock: a count, or a mass, volume or length with its unit."""
    for kind in (COUNT, MASS, VOLUME, DISTANCE):
        try:
            held = measure(value, kind)
        except (QuantityError, ValueError):
            continue
        if held.value < 0:
            break
        return held
    raise BadValue(f"{said(value)} is not an amount", "write a count such as 12, or 1.5 kg, 2 L or 5 m")


Moment = Annotated[
    datetime,
    Checked(
        _moment, ("string",), "date-time", "2026-03-07 11:24:00+01:00", "a time with its offset from UTC"
    ),
]
Day = Annotated[date, Checked(_day, ("string",), "date", "2026-04-18", "a day")]
Whole = Annotated[int, Checked(_count, ("integer",), "", "", "a count")]
Bare = Annotated[
    float, Checked(_number, ("number", "string"), "", "", "a number in the table's unit, such as 57")
]
Zone = Annotated[str, Checked(_zone, ("string",), "", "Europe/Berlin", "an IANA time zone")]
Amount = Annotated[
    Measure,
    Checked(_amount, ("string", "number"), "", "12", "a count, or an amount such as 1.5 kg, 2 L or 5 m"),
]
Text = StrictStr
Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]*$", max_length=LONGEST_ID)]
Subject = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*(/[a-z0-9][a-z0-9-]*)*$", max_length=80)]
Word = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]*$", max_length=40)]


# Quantities within what a shop meets


def _within(kind: Kind, low: float, high: float, *, above: bool = False, mend: str = "") -> AfterValidator:
    def check(held: Measure) -> Measure:
        if held.value < low or (above and held.value <= low) or held.value > high:
            if held.value > high:
                what = "is more than can be"
            else:
                what = "must be above zero" if above and low == 0 else "is less than can be"
            raise BadValue(
                f"{held.text.strip()!r} {what} here", mend or f"write {kind.name} such as {kind.example}"
            )
        return held

    return AfterValidator(check)


Length = Annotated[Measure, LENGTH, _within(LENGTH, 0, 100, above=True)]
Height = Annotated[Measure, LENGTH, _within(LENGTH, 0, 100)]
Offset = Annotated[Measure, LENGTH, _within(LENGTH, -100, 100)]
Distance = Annotated[Measure, DISTANCE, _within(DISTANCE, 0, 10_000, above=True)]
Volume = Annotated[Measure, VOLUME, _within(VOLUME, 0, 100)]
Mass = Annotated[Measure, MASS, _within(MASS, 0, 100_000)]
Weighed = Annotated[Measure, SCALE_MASS, _within(SCALE_MASS, 0, 10_000)]
Density = Annotated[Measure, DENSITY, _within(DENSITY, 0, 25_000, above=True)]
LiquidDensity = Annotated[Measure, LIQUID_DENSITY, _within(LIQUID_DENSITY, 0, 5_000, above=True)]
AirTemperature = Annotated[
    Measure,
    TEMPERATURE,
    _within(TEMPERATURE, -40, 60, mend="write an air temperature between -40 °C and 60 °C, such as 18 °C"),
]
Temperature = Annotated[
    Measure,
    TEMPERATURE,
    _within(TEMPERATURE, -40, 400, mend="write a temperature between -40 °C and 400 °C, such as 60 °C"),
]
Share = Annotated[Measure, PERCENT, _within(PERCENT, 0, 1, mend="write a percentage from 0 % to 100 %")]
Rate = Annotated[Measure, PERCENT, _within(PERCENT, 0, 10)]
Loss = Annotated[
    Measure, PERCENT, _within(PERCENT, 0, 0.99, mend="write a percentage below 100 %, such as 3 %")
]
Moisture = Annotated[
    Measure,
    PERCENT,
    _within(PERCENT, 0, 3, mend="write the water as a percentage of the dry wood, such as 9.5 %"),
]
Duration = Annotated[Measure, DURATION, _within(DURATION, 0, 1e9, above=True)]
FeedRate = Annotated[Measure, FEED_RATE, _within(FEED_RATE, 0, 100, above=True)]
Rotation = Annotated[Measure, ROTATION, _within(ROTATION, 0, 10_000, above=True)]
Frequency = Annotated[Measure, FREQUENCY, _within(FREQUENCY, 0, 10)]
Force = Annotated[Measure, FORCE, _within(FORCE, 0, 1e7)]
Modulus = Annotated[Measure, MODULUS, _within(MODULUS, 0, 1e12, above=True)]
Voltage = Annotated[Measure, VOLTAGE, _within(VOLTAGE, 0, 1000, above=True)]
Current = Annotated[Measure, CURRENT, _within(CURRENT, 0, 1000)]
LinePower = Annotated[Measure, LINE_POWER, _within(LINE_POWER, 0, 1000)]
LineResistance = Annotated[Measure, LINE_RESISTANCE, _within(LINE_RESISTANCE, 0, 1000)]
WireSize = Annotated[Measure, WIRE_SIZE, _within(WIRE_SIZE, 0, 1e-3, above=True)]
Angle = Annotated[Measure, ANGLE, _within(ANGLE, -2 * math.pi, 2 * math.pi)]
Ratio = Annotated[Measure, RATIO, _within(RATIO, 0, 1000, above=True)]
Factor = Annotated[Measure, NUMBER, _within(NUMBER, 0, 1000, above=True)]
Price = Annotated[Measure, MONEY, _within(MONEY, 0, 1e9)]


class Pack(Row):
    """A pack as sold; `size` is what it holds."""

    price: Price | None = None
