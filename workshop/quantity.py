"""Text with units in and out: the only place where a quantity is parsed or printed.

Inside the program a quantity is a float in the SI unit of its `Kind` (temperatures in °C, percentages as
fractions). Units are those of `reference/units.txt`, read into one small pint registry of our own when the
first one is met. What a maker typed is kept as typed in a `Measure`.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction as Exact
from functools import cache, lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Final, Literal, NoReturn

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from workshop.factors import FACTORS

if TYPE_CHECKING:
    from pint import UnitRegistry

System = Literal["metric", "us"]

AWG_BASE: Final = 92.0
"""Each 39 gauge steps divide the diameter by 92: ASTM B258, definition of the American wire gauge."""
AWG_36_DIAMETER: Final = 0.127e-3
"""Diameter of gauge 36 in m: ASTM B258."""


class QuantityError(ValueError):
    """A quantity that cannot be read: one sentence with what was expected and an example."""


@dataclass(frozen=True, slots=True)
class Units:
    """How a project shows its quantities: the system, the finest inch fraction and the currency."""

    system: System = "metric"
    inch_fraction: int = 16
    currency: str = "EUR"


METRIC: Final = Units()


@dataclass(frozen=True, slots=True)
class Scale:
    """One way to print a kind: values below `below` (in SI) are shown in `unit` with `digits` decimals.

    `digits = None` prints inches as fractions.
    """

    unit: str
    digits: int | None
    below: float = math.inf
    keep_zeros: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """What sort of quantity a value is: its SI unit, how it is shown, and what a bare number means.

    `unit` is the pint name of the SI unit; `bare` the unit of a number typed without one (None: refused).
    """

    name: str
    unit: str
    metric: tuple[Scale, ...]
    example: str
    us: tuple[Scale, ...] = ()
    """Where US units are shown otherwise; empty: as in metric."""
    bare: str | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Annotating `Measure` reads text of this kind; annotating a float only marks it."""
        if source is not Measure:
            return handler(source)
        return core_schema.no_info_plain_validator_function(
            lambda value: value if isinstance(value, Measure) else measure(value, self),
            serialization=core_schema.plain_serializer_function_ser_schema(lambda held: held.text),
            metadata={"pydantic_js_functions": [self._json_schema]},
        )

    def _json_schema(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        words: dict[str, Any] = {"description": f"{self.name}, for example {self.example}"}
        return {"type": ["string", "number"], **words} if self.bare else {"type": "string", **words}

    def scales(self, units: Units) -> tuple[Scale, ...]:
        """The ways to print this kind in a project's units, finest first."""
        return self.us if units.system == "us" and self.us else self.metric


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as typed, with its value in the SI unit of its kind."""

    text: str
    value: float
    kind: Kind


@dataclass(frozen=True, slots=True)
class Amount:
    """A value with its kind: what a sentence or a working carries, to be printed in any units."""

    value: float
    kind: Kind


LENGTH = Kind(
    "a length",
    "meter",
    metric=(Scale("mm", 2, 1e-3), Scale("mm", 1)),
    us=(Scale("in", 3, 0.125 * 0.0254), Scale("in", None)),
    example="57 mm or 2 1/4 in",
)
GRAIN = Kind("a grain size", "meter", metric=(Scale("µm", 0),), example="125 µm")
DISTANCE = Kind(
    "a distance",
    "meter",
    metric=(Scale("mm", 0, 1.0), Scale("m", 1)),
    us=(Scale("in", None, 24 * 0.0254), Scale("ft", 1)),
    example="2.5 m or 8 ft",
)
AREA = Kind(
    "an area",
    "meter ** 2",
    metric=(Scale("cm²", 0, 0.1), Scale("m²", 2)),
    us=(Scale("in²", 0, 0.0929), Scale("ft²", 1)),
    example="0.56 m² or 6 ft²",
)
VOLUME = Kind(
    "a volume",
    "meter ** 3",
    metric=(Scale("mL", 1, 1e-4), Scale("mL", 0, 1e-3), Scale("L", 2)),
    us=(
        Scale("fl oz", 2, 10 * 29.5735295625e-6),
        Scale("fl oz", 1, 0.946352946e-3),
        Scale("gal", 2),
    ),
    example="1.5 L or 2 qt",
)
BOARD_FEET = Kind(
    "a volume of timber",
    "board_foot",
    metric=(Scale("board ft", 1),),
    example="6.5 board ft",
    bare="board_foot",
)
MASS = Kind(
    "a mass",
    "kilogram",
    metric=(Scale("g", 0, 1.0), Scale("kg", 2)),
    us=(Scale("oz", 1, 0.45359237), Scale("lb", 1)),
    example="6.42 kg or 6 lb 3 oz",
)
SCALE_MASS = Kind(
    "a mass read on a scale",
    "kilogram",
    metric=(Scale("g", 1, 0.2), Scale("g", 0, 10.0), Scale("kg", 2)),
    us=(Scale("oz", 2, 0.45359237), Scale("oz", 1, 22 * 0.45359237), Scale("lb", 1)),
    example="884 g or 31.2 oz",
    bare="g",
)
DENSITY = Kind(
    "a density",
    "kilogram / meter ** 3",
    metric=(Scale("kg/m³", 0),),
    us=(Scale("lb/ft³", 1),),
    example="1.12 kg/L or 70 lb/ft³",
)
LIQUID_DENSITY = Kind(
    "a liquid's density",
    "kilogram / meter ** 3",
    metric=(Scale("kg/L", 3),),
    us=(Scale("lb/gal", 2),),
    example="1.12 kg/L or 9.35 lb/gal",
)
TEMPERATURE = Kind(
    "a temperature",
    "degree_Celsius",
    metric=(Scale("°C", 1),),
    us=(Scale("°F", 1),),
    example="18 °C or 64 °F",
)
TEMPERATURE_STEP = Kind("a temperature difference", "kelvin", metric=(Scale("K", 1),), example="3 K")
PERCENT = Kind("a percentage", "dimensionless", metric=(Scale("%", 1),), example="55 %", bare="%")
DURATION = Kind(
    "a time span",
    "second",
    metric=(
        Scale("s", 0, 60.0),
        Scale("min", 0, 5400.0),
        Scale("h", 1, 172800.0),
        Scale("d", 1),
    ),
    example="35 min, 10 h or 7 d",
)
FEED_RATE = Kind(
    "a feed rate",
    "meter / second",
    metric=(Scale("m/min", 2),),
    us=(Scale("ft/min", 1),),
    example="3.5 m/min or 11 ft/min",
)
RIM_SPEED = Kind(
    "a rim speed",
    "meter / second",
    metric=(Scale("m/s", 0),),
    us=(Scale("ft/min", 0),),
    example="46 m/s or 9000 ft/min",
)
ROTATION = Kind(
    "a speed of rotation", "revolution / second", metric=(Scale("rpm", 0),), example="14000 rpm", bare="rpm"
)
FREQUENCY = Kind(
    "a number of lifts a minute", "1 / second", metric=(Scale("/min", 2),), example="0.2 /min", bare="/min"
)
FORCE = Kind("a force", "newton", metric=(Scale("N", 0),), us=(Scale("lbf", 0),), example="140 N or 31 lbf")
MODULUS = Kind(
    "a modulus of elasticity",
    "pascal",
    metric=(Scale("MPa", 0, 1e9), Scale("GPa", 1)),
    us=(Scale("psi", 0),),
    example="210 GPa or 30000000 psi",
)
SECOND_MOMENT = Kind(
    "a second moment of area",
    "meter ** 4",
    metric=(Scale("cm⁴", 2),),
    us=(Scale("in⁴", 4),),
    example="25.4 cm⁴ or 0.61 in⁴",
)
HEAT_OF_CURE = Kind(
    "a heat of reaction", "joule / kilogram", metric=(Scale("kJ/kg", 0),), example="270 kJ/kg"
)
ACTIVATION = Kind("an activation energy", "joule / mole", metric=(Scale("kJ/mol", 1),), example="54 kJ/mol")
CURE_RATE = Kind("a rate of cure", "1 / second", metric=(Scale("1/h", 4),), example="0.1 1/h")
VOLTAGE = Kind("a voltage", "volt", metric=(Scale("V", 1),), example="24 V", bare="V")
CURRENT = Kind("a current", "ampere", metric=(Scale("A", 2),), example="1.12 A", bare="A")
LINE_POWER = Kind(
    "a power per length", "watt / meter", metric=(Scale("W/m", 1),), us=(Scale("W/ft", 2),), example="9.6 W/m"
)
LINE_RESISTANCE = Kind(
    "a resistance per length",
    "ohm / meter",
    metric=(Scale("ohm/m", 3),),
    us=(Scale("ohm/ft", 3),),
    example="0.15 ohm/m or 0.045 ohm/ft",
)
WIRE_SIZE = Kind("a wire size", "meter ** 2", metric=(Scale("mm²", 2),), example="0.75 mm² or AWG 18")
SPREAD_RATE = Kind(
    "a coverage",
    "1 / meter",
    metric=(Scale("m²/L", 1),),
    us=(Scale("ft²/gal", 0),),
    example="24 m²/L or 980 ft²/gal",
)
COAT_MASS = Kind(
    "a mass per area",
    "kilogram / meter ** 2",
    metric=(Scale("g/m²", 0),),
    us=(Scale("oz/ft²", 2),),
    example="200 g/m² or 0.65 oz/ft²",
)
ANGLE = Kind("an angle", "radian", metric=(Scale("°", 1),), example="45°", bare="°")
COUNT = Kind("a count", "dimensionless", metric=(Scale("", 0),), example="3", bare="")
NUMBER = Kind("a number", "dimensionless", metric=(Scale("", 3),), example="0.6", bare="")
RATIO = Kind(
    "a mixing ratio", "dimensionless", metric=(Scale("", 3),), example="100 : 42.5 or 2 : 1", bare=""
)
MONEY = Kind("a price", "currency", metric=(Scale("", 2, keep_zeros=True),), example="39.50 EUR")

KINDS: Final = tuple(held for held in tuple(globals().values()) if isinstance(held, Kind))
"""Every kind, for tests that go through all of them."""


# Reading


_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_SPELLED = str.maketrans(
    {
        "²": "**2",
        "³": "**3",
        "⁴": "**4",
        "·": "*",
        "×": "*",
        "−": "-",
        "–": "-",
        "\u00a0": " ",
        "\u202f": " ",
        "″": '"',
        "”": '"',
        "“": '"',
        "′": "'",
        "’": "'",
        "º": "°",
        "Ω": "Ω",
    }
)
_NUMBER = r"(?:\d+(?:\s+|-)\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?|[.,]\d+)"
_PART = re.compile(rf"\s*({_NUMBER})\s*((?:1\s*/\s*)?[^\d\s.,](?:\*\*\d|[^\d*]|\*(?!\*))*)?\s*")
_POWER = re.compile(r"(?<=[A-Za-z])\^?([234])(?![\w.]|/\d)")
_SQUARED = re.compile(r"\b(sq|square|cu|cubic)\.? ([A-Za-z]+)", re.IGNORECASE)
_SAFE_POWER = re.compile(r"\*\*[234](?!\s*\*\*)")
_GAUGE = re.compile(r"(?:AWG\s*#?\s*(\d+)(/0)?|#?\s*(\d+)(/0)?\s*AWG)", re.IGNORECASE)
_SIGNED = re.compile(r"\s*([-+]?)\s*(.*)", re.DOTALL)
_NAMES = {
    '"': "in",
    "'": "ft",
    "''": "in",
    "board ft": "board_foot",
    "board feet": "board_foot",
    "board foot": "board_foot",
    "bd ft": "board_foot",
    "fl oz": "fl_oz",
    "fl. oz": "fl_oz",
    "fl. oz.": "fl_oz",
    "in.": "in",
    "ft.": "ft",
    "lb.": "lb",
    "oz.": "oz",
    "°": "degree",
    "/min": "1/min",
    "% RH": "%",
    "%RH": "%",
    "% MC": "%",
    "%MC": "%",
    "°C": "degC",
    "°F": "degF",
    "C": "degC",
    "F": "degF",
}


@cache
def registry() -> UnitRegistry[float]:
    """The shop's units as a pint registry, built when first asked for (pint takes a while to import)."""
    from pint import UnitRegistry

    text = (resources.files("workshop.reference") / "units.txt").read_text(encoding="utf-8")
    return UnitRegistry[float](text.splitlines(), autoconvert_offset_to_baseunit=True, cache_folder=None)


@lru_cache(maxsize=4096)
def _factor(unit: str, target: str) -> tuple[float, float]:
    """Slope and intercept that turn a value in `unit` into one in `target`; raises what pint raises."""
    if (unit, target) in FACTORS:
        return FACTORS[unit, target]
    return worked_out(unit, target)


def worked_out(unit: str, target: str) -> tuple[float, float]:
    """The same from pint itself, which is imported here."""
    ureg = registry()
    zero = float(ureg.Quantity(0.0, unit).to(target).magnitude)
    one = float(ureg.Quantity(1.0, unit).to(target).magnitude)
    return one - zero, zero


def _in_unit(value: float, unit: str, target: str) -> float:
    slope, intercept = _factor(unit, target)
    return value * slope + intercept


def _pint_name(unit: str) -> str:
    plain = " ".join(unit.translate(_SPELLED).split())
    plain = _NAMES.get(plain, plain)
    plain = _SQUARED.sub(lambda held: f"{held[2]}**{2 if held[1].lower().startswith('s') else 3}", plain)
    plain = f"1{plain}" if plain.startswith("/") else plain
    return plain.replace("fl oz", "fl_oz").replace("board ft", "board_foot").replace("%", "percent")


def _is_unit(name: str) -> bool:
    """Whether a name may go to pint, which works out powers of powers for as long as they take."""
    plain = _SAFE_POWER.sub("", name.removeprefix("1"))
    return (
        "**" not in plain
        and all(sign.isalpha() or sign in " _*/.°" for sign in plain)
        and not ({"squared", "cubed", "square", "cubic", "sq"} & set(re.split(r"[ */]+", plain)))
    )


def read_number(text: str) -> float:
    """A decimal, a fraction or a mixed fraction (`1 7/8`, `1-7/8`); raises QuantityError otherwise."""
    plain = text.strip()
    if re.fullmatch(r"\d{1,3},\d{3}", plain):
        raise QuantityError(
            f"{plain} could mean two numbers: write {plain.replace(',', '.')} or {plain.replace(',', '')}"
        )
    mixed = re.fullmatch(r"(?:(\d+)(?:\s+|-))?(\d+)/(\d+)", plain)
    if mixed:
        whole, top, bottom = (int(part or 0) for part in mixed.groups())
        if bottom == 0:
            raise QuantityError(f"{plain} divides by zero: write a fraction such as 1 7/8")
        return float(whole + Exact(top, bottom))
    try:
        value = float(plain.replace(",", "."))
    except ValueError:
        raise QuantityError(f"{plain!r} is not a number: write one such as 57, 0.5 or 1 7/8") from None
    if not math.isfinite(value):
        raise QuantityError(f"{plain} is too large: write a number such as 57")
    return value


def parse(text: str | float | int, kind: Kind) -> float:
    """The SI value of a text of the given kind.

    Raises QuantityError, in one sentence with an example, where the text is not of that kind.
    """
    if isinstance(text, bool):
        _refuse(str(text).lower(), kind)
    if not isinstance(text, str):
        return _bare(float(text), str(text), kind)
    return _parse_text(text, kind)


@lru_cache(maxsize=65536)
def _parse_text(text: str, kind: Kind) -> float:
    if len(text) > 200:
        _refuse(text[:20] + "…", kind)
    if kind is WIRE_SIZE and (gauge := _GAUGE.fullmatch(text.strip())):
        return _gauge_area(gauge)
    if kind is RATIO:
        return _ratio(text)
    if kind is MONEY:
        return _money(text)[0]
    plain = text
    for sign, fraction in _VULGAR.items():
        plain = re.sub(rf"(?<=\d){sign}", f" {fraction}", plain).replace(sign, fraction)
    matched = _SIGNED.fullmatch(_POWER.sub(r"**\1", plain.translate(_SPELLED)))
    sign, rest = matched.groups() if matched else ("", plain)
    total, place, last = 0.0, 0, math.inf
    parts = 0
    while place < len(rest):
        part = _PART.match(rest, place)
        if part is None:
            _refuse(text, kind)
        value = read_number(part.group(1))
        if part.group(2) is None:
            if parts or part.end() != len(rest):
                _refuse(text, kind)
            return _bare(-value if sign == "-" else value, text, kind)
        value, size = _one_part(-value if sign == "-" else value, part.group(2), text, kind)
        if size >= last or (parts and kind in (TEMPERATURE, PERCENT)):
            _refuse(text, kind)
        total, last, place, parts = total + value, size, part.end(), parts + 1
    if not parts:
        _refuse(text, kind)
    return total


def _one_part(value: float, unit: str, text: str, kind: Kind) -> tuple[float, float]:
    """One number with its unit in SI, and how large the unit is (parts must shrink: 5 ft 3 in)."""
    name = _pint_name(unit)
    if not _is_unit(name):
        _refuse(text, kind)
    try:
        slope, intercept = _factor(name, kind.unit)
    except Exception:  # pint raises a dozen types on text that is no unit, tokenizer errors among them
        _refuse(text, kind)
    # 15 digits are all that was typed; the last ones are noise of the conversion (52 mm is 0.052 m).
    converted = float(f"{value * slope + intercept:.15g}")
    if not math.isfinite(converted):
        _refuse(text, kind)
    return converted, slope


def _bare(value: float, text: str, kind: Kind) -> float:
    if not math.isfinite(value):
        _refuse(text, kind)
    if kind is PERCENT:
        # A fraction is what the JSON carries, so it must be taken back; a percentage under 1 needs its sign.
        return value if abs(value) <= 1 else value / 100
    if kind.bare is None:
        if value == 0 and kind is not TEMPERATURE:
            return 0.0
        raise QuantityError(f"{text.strip()} has no unit: write {kind.name} such as {kind.example}")
    return _in_unit(value, _pint_name(kind.bare), kind.unit) if kind.bare else value


def _refuse(text: str, kind: Kind) -> NoReturn:
    raise QuantityError(f"{text.strip()!r} is not {kind.name}: write {kind.example}")


def _gauge_area(gauge: re.Match[str]) -> float:
    digits, slash = (gauge.group(1), gauge.group(2)) if gauge.group(1) else (gauge.group(3), gauge.group(4))
    number = 1 - int(digits) if slash else int(digits)
    if not -3 <= number <= 40:
        raise QuantityError(f"AWG {digits} is outside the gauge: write AWG 4/0 to AWG 40, such as AWG 18")
    diameter: float = AWG_36_DIAMETER * AWG_BASE ** ((36 - number) / 39)
    return math.pi / 4 * diameter * diameter


def _ratio(text: str) -> float:
    parts = [part for part in re.split(r"\s*(?::|/|\bto\b)\s*", text.strip()) if part]
    if len(parts) not in (1, 2):
        _refuse(text, RATIO)
    try:
        top, bottom = read_number(parts[0]), read_number(parts[1]) if len(parts) == 2 else 1.0
    except QuantityError:
        _refuse(text, RATIO)
    if top <= 0 or bottom <= 0:
        raise QuantityError(f"{text.strip()!r} has a part of nothing: write a ratio such as {RATIO.example}")
    return top / bottom


def _money(text: str) -> tuple[float, str]:
    matched = re.fullmatch(r"\s*(-?\d+(?:[.,]\d{1,2})?)\s*([A-Z]{3})\s*", text)
    if matched is None:
        _refuse(text, MONEY)
    return float(matched.group(1).replace(",", ".")), matched.group(2)


def currency_of(text: str) -> str:
    """The ISO 4217 code of a price as typed."""
    return _money(text)[1]


def measure(text: object, kind: Kind) -> Measure:
    """A `Measure` of what was typed, or a QuantityError."""
    if not isinstance(text, str | int | float) and not hasattr(text, "as_tuple"):
        _refuse(str(text), kind)
    typed = text if isinstance(text, str) else str(text)
    return Measure(typed, parse(text if isinstance(text, str) else float(typed), kind), kind)


# Printing


def show(value: float, kind: Kind, units: Units = METRIC) -> str:
    """A value as a maker reads it: `57 mm`, `1 7/8 in`, `6.42 kg`, `18 °C`, `55 %`."""
    if not math.isfinite(value):
        return "without limit" if value > 0 else "unknown"
    if kind is MONEY:
        return f"{round(value, 2) + 0.0:.2f} {units.currency}"
    if kind is RATIO:
        return f"{_print(value, kind, kind.metric[0], units)} : 1"
    scales = kind.scales(units)
    shown = [_print(value, kind, scale, units) for scale in scales]
    for number, scale in enumerate(scales):
        # A value that rounds up to the next scale's start is printed in that scale.
        if number + 1 == len(scales) or abs(_as_printed(value, kind, scale, units)) < scale.below:
            return shown[number]
    return shown[-1]


def unit_shown(value: float, kind: Kind, units: Units = METRIC) -> str:
    """The unit in which `show` prints this value, which bare digits typed on a screen then gain."""
    if kind is MONEY:
        return units.currency
    for scale in kind.scales(units):
        if abs(_as_printed(value, kind, scale, units)) < scale.below:
            return scale.unit
    return kind.scales(units)[-1].unit


def typed_with_unit(text: str, value: float | None, kind: Kind, units: Units = METRIC) -> str:
    """What was typed, with the unit shown added where only digits were typed."""
    plain = text.strip()
    bare = re.fullmatch(rf"[-+]?\s*{_NUMBER}", plain) is not None
    if not bare or kind is RATIO:
        return plain
    unit = unit_shown(value if value is not None else 1.0, kind, units)
    return f"{plain}{'' if unit in ('', '°') else ' '}{unit}"


def _target(kind: Kind, scale: Scale) -> str:
    return _pint_name(scale.unit) if scale.unit else "dimensionless"


def _in_scale(value: float, kind: Kind, scale: Scale) -> float:
    return _in_unit(value, kind.unit, _target(kind, scale)) if scale.unit else value


def _rounded(number: float, scale: Scale, units: Units) -> float:
    if scale.digits is None:
        return float(Exact(round(number * units.inch_fraction), units.inch_fraction))
    return round(number, scale.digits)


def _as_printed(value: float, kind: Kind, scale: Scale, units: Units) -> float:
    """The value again after rounding, in SI: what a reader of the text would take it for."""
    if not scale.unit:
        return _rounded(value, scale, units)
    slope, intercept = _factor(kind.unit, _target(kind, scale))
    return (_rounded(value * slope + intercept, scale, units) - intercept) / slope


def _print(value: float, kind: Kind, scale: Scale, units: Units) -> str:
    number = _in_scale(value, kind, scale)
    if scale.digits is None:
        text = _fraction(number, units.inch_fraction)
    else:
        text = f"{number:.{scale.digits}f}"
        if "." in text and not scale.keep_zeros:
            text = text.rstrip("0").rstrip(".")
        if text in ("-0", "-0.0"):
            text = "0"
    return f"{text}{'' if scale.unit in ('', '°') else ' '}{scale.unit}"


def _fraction(number: float, finest: int) -> str:
    steps = round(abs(number) * finest)
    whole, rest = divmod(steps, finest)
    sign = "-" if number < 0 and steps else ""
    if not rest:
        return f"{sign}{whole}"
    part = Exact(rest, finest)
    fraction = f"{part.numerator}/{part.denominator}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"
