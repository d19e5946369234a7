"""Short texts that say several things in one breath: places, outlines, sections, coverages.

Each keeps what was typed in `text` and holds what it means in SI, so that a file comes back as written.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, ClassVar, Final, NoReturn, Self

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from workshop.quantity import (
    COAT_MASS,
    LENGTH,
    SPREAD_RATE,
    QuantityError,
    parse,
    read_number,
)

LONGEST: Final = 40_000
"""Characters that one text may hold: an outline of some two thousand points."""


class BadValue(ValueError):
    """A value that cannot stand where it does: what is wrong, and how to mend it."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what}; {mend}")
        self.what = what
        self.mend = mend


def said(value: object) -> str:
    """What stands in the file, as a message quotes it: a long text is cut short."""
    if isinstance(value, str):
        return repr(value if len(value) <= 200 else f"{value[:200]}…")
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping | list):
        return "a table" if isinstance(value, Mapping) else "a list"
    text = str(value)
    return text if len(text) <= 200 else f"{text[:200]}…"


@dataclass(frozen=True, slots=True)
class Written:
    """A text of a stated form. `text` is as typed; the other fields are what it means."""

    text: str
    FORM: ClassVar[str] = "a text"
    EXAMPLE: ClassVar[str] = ""

    @classmethod
    def read(cls, text: str) -> Self:
        """The value of a text of this form; raises BadValue or QuantityError."""
        raise NotImplementedError

    @classmethod
    def refuse(cls, text: object) -> NoReturn:
        """Say what this form wants, with an example."""
        raise BadValue(f"{said(text)} is not {cls.FORM}", f"write one such as {cls.EXAMPLE}")

    @classmethod
    def take(cls, value: object) -> Self:
        """What stands in the file, read; a value already read passes."""
        if isinstance(value, cls):
            return value
        if not isinstance(value, str) or len(value) > LONGEST:
            cls.refuse(value)
        form: Any = cls
        held: Self = _read(form, value)
        return held

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.take,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda held: held.text),
            metadata={"pydantic_js_functions": [cls._json_schema]},
        )

    @classmethod
    def _json_schema(cls, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        return {
            "type": "string",
            "description": f"{cls.FORM}, for example {cls.EXAMPLE}",
            "examples": [cls.EXAMPLE],
        }


@lru_cache(maxsize=32768)
def _read(form: Any, text: str) -> Any:
    return form.read(text)


# Places and sizes


_UNIT = re.compile(r"(?<=[\d½¼¾⅛⅜⅝⅞\s])\s*([^\d\s.,/+½¼¾⅛⅜⅝⅞-][^\d,]*)$")


def _lengths(text: str, parts: list[str]) -> list[float]:
    """SI lengths of parts of which the last may state the unit for all."""
    unit = _UNIT.search(text.rstrip())
    shared = unit.group(1).strip() if unit else ""
    return [
        parse(part if _UNIT.search(part.rstrip()) else f"{part} {shared}".rstrip(), LENGTH) for part in parts
    ]


def read_bare(text: str) -> float:
    """A number without a unit, signed, with a decimal point or a fraction; raises QuantityError."""
    plain = text.strip()
    if not plain or len(plain) > 100 or "_" in plain:
        raise QuantityError(f"{plain!r} is not a number: write one such as 57, 0.5 or 1 7/8")
    if plain[0] in "-−" and "/" in plain:
        return -read_number(plain[1:])
    return read_number(plain.replace("−", "-"))


@dataclass(frozen=True, slots=True)
class Point(Written):
    """A place in a plane: `x` and `y` in m, in the coordinates of the table it stands in."""

    x: float = 0.0
    y: float = 0.0
    FORM: ClassVar[str] = "a place"
    EXAMPLE: ClassVar[str] = "720, 100 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`x, y unit`, or a unit with each."""
        parts = text.split(",")
        if len(parts) != 2 or len(text) > 200:
            cls.refuse(text)
        x, y = _lengths(text, parts)
        return cls(text, x, y)


@dataclass(frozen=True, slots=True)
class HolePlace(Written):
    """The middle of a hole and its width: `x`, `y` and `diameter` in m."""

    x: float = 0.0
    y: float = 0.0
    diameter: float = 0.0
    FORM: ClassVar[str] = "a hole's place and diameter"
    EXAMPLE: ClassVar[str] = "1440, 205, 14 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`x, y, diameter unit`."""
        parts = text.split(",")
        if len(parts) != 3 or len(text) > 200:
            cls.refuse(text)
        x, y, diameter = _lengths(text, parts)
        if diameter <= 0:
            cls.refuse(text)
        return cls(text, x, y, diameter)


@dataclass(frozen=True, slots=True)
class PlainPoint(Written):
    """A place in bare numbers, which count in the `unit` of the table they stand in."""

    x: float = 0.0
    y: float = 0.0
    FORM: ClassVar[str] = "a place in the table's unit"
    EXAMPLE: ClassVar[str] = "0, -100"

    @classmethod
    def read(cls, text: str) -> Self:
        """`x, y`."""
        parts = text.split(",")
        if len(parts) != 2:
            cls.refuse(text)
        return cls(text, read_bare(parts[0]), read_bare(parts[1]))


@dataclass(frozen=True, slots=True)
class Ring(Written):
    """A closed outline in bare numbers, which count in the `unit` of the table it stands in."""

    points: tuple[tuple[float, float], ...] = ()
    FORM: ClassVar[str] = "an outline of at least three points in the table's unit"
    EXAMPLE: ClassVar[str] = "612, 41; 640, 58; 655, 44"

    @classmethod
    def read(cls, text: str) -> Self:
        """`x, y; x, y; x, y`."""
        rows = [row.split(",") for row in text.split(";") if row.strip()]
        if len(rows) < 3 or any(len(row) != 2 for row in rows):
            cls.refuse(text)
        return cls(text, tuple((read_bare(row[0]), read_bare(row[1])) for row in rows))


@dataclass(frozen=True, slots=True)
class Region(Written):
    """Where a bed lies: the resin (all that is not wood), or an outline with its unit at the end.

    `points` are in m, None for all of the resin.
    """

    points: tuple[tuple[float, float], ...] | None = None
    FORM: ClassVar[str] = "a region"
    EXAMPLE: ClassVar[str] = "resin, or 100, 120; 300, 120; 300, 200 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`resin`, or `x, y; x, y; x, y unit`."""
        if text.strip() == "resin":
            return cls(text)
        rows = [row.split(",") for row in text.split(";") if row.strip()]
        if len(rows) < 3 or any(len(row) != 2 for row in rows):
            cls.refuse(text)
        flat = _lengths(text, [part for row in rows for part in row])
        return cls(text, tuple(zip(flat[::2], flat[1::2], strict=True)))


_BY = re.compile(r"\s*[x×]\s*")


@dataclass(frozen=True, slots=True)
class Section(Written):
    """A rectangular tube: `breadth`, `height` and `wall` in m."""

    breadth: float = 0.0
    height: float = 0.0
    wall: float = 0.0
    FORM: ClassVar[str] = "a tube's section"
    EXAMPLE: ClassVar[str] = "60 x 40 x 3 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`breadth x height x wall unit`."""
        parts = _BY.split(text)
        if len(parts) != 3 or len(text) > 200:
            cls.refuse(text)
        breadth, height, wall = _lengths(text, parts)
        if min(breadth, height, wall) <= 0:
            cls.refuse(text)
        if 2 * wall > min(breadth, height):
            raise BadValue(
                f"{text.strip()!r} has walls thicker than half the tube",
                "write breadth x height x wall, such as 60 x 40 x 3 mm",
            )
        return cls(text, breadth, height, wall)


@dataclass(frozen=True, slots=True)
class SheetSize(Written):
    """A sheet as sold: `length` and `width` in m."""

    length: float = 0.0
    width: float = 0.0
    FORM: ClassVar[str] = "a sheet's size"
    EXAMPLE: ClassVar[str] = "2500 x 1250 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`length x width unit`."""
        parts = _BY.split(text)
        if len(parts) != 2 or len(text) > 200:
            cls.refuse(text)
        length, width = _lengths(text, parts)
        if min(length, width) <= 0:
            cls.refuse(text)
        return cls(text, length, width)


@dataclass(frozen=True, slots=True)
class LengthRange(Written):
    """From a least to a greatest length: `low` and `high` in m."""

    low: float = 0.0
    high: float = 0.0
    FORM: ClassVar[str] = "a range"
    EXAMPLE: ClassVar[str] = "10 mm to 22 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """`low to high`, each with its unit or the unit at the end."""
        parts = re.split(r"\bto\b", text)
        if len(parts) != 2 or len(text) > 200:
            cls.refuse(text)
        low, high = _lengths(text, parts)
        if low < 0 or high < low:
            raise BadValue(
                f"{text.strip()!r} does not rise", "write the lesser length first, such as 10 mm to 22 mm"
            )
        return cls(text, low, high)


@dataclass(frozen=True, slots=True)
class Spot(Written):
    """Where a reading was taken: any words; if they are a place (`760, 0 mm`), its `x` and `y` in m."""

    x: float | None = None
    y: float | None = None
    FORM: ClassVar[str] = "a place or a word for it"
    EXAMPLE: ClassVar[str] = "near left, or 760, 0 mm"

    @classmethod
    def read(cls, text: str) -> Self:
        """Any text."""
        try:
            point = Point.read(text)
        except ValueError:
            return cls(text)
        return cls(text, point.x, point.y)


@dataclass(frozen=True, slots=True)
class Coverage(Written):
    """How far a coat goes: either `area_per_volume` in 1/m (m² from a m³) or `mass_per_area` in kg/m²."""

    area_per_volume: float | None = None
    mass_per_area: float | None = None
    FORM: ClassVar[str] = "a coverage"
    EXAMPLE: ClassVar[str] = "24 m²/L or 200 g/m²"

    @classmethod
    def read(cls, text: str) -> Self:
        """An area per volume, or a mass per area."""
        for kind in (SPREAD_RATE, COAT_MASS):
            try:
                value = parse(text, kind)
            except QuantityError:
                continue
            if value <= 0:
                break
            return cls(text, value, None) if kind is SPREAD_RATE else cls(text, None, value)
        cls.refuse(text)

    def mass(self, density: float) -> float:
        """Mass per area in kg/m² for a liquid of this density in kg/m³."""
        if self.mass_per_area is not None:
            return self.mass_per_area
        return density / (self.area_per_volume or math.inf)
