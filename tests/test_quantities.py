"""What a maker types is understood, kept as typed, and shown so that it can be typed again."""

import math
from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from workshop.quantity import (
    ANGLE,
    AREA,
    BOARD_FEET,
    COUNT,
    DURATION,
    FEED_RATE,
    FREQUENCY,
    KINDS,
    LENGTH,
    LINE_POWER,
    LINE_RESISTANCE,
    LIQUID_DENSITY,
    MASS,
    MONEY,
    NUMBER,
    PERCENT,
    RATIO,
    ROTATION,
    SCALE_MASS,
    SPREAD_RATE,
    TEMPERATURE,
    TEMPERATURE_STEP,
    VOLUME,
    WIRE_SIZE,
    Kind,
    Measure,
    QuantityError,
    Units,
    currency_of,
    measure,
    parse,
    show,
    typed_with_unit,
    unit_shown,
)

UNITS = (Units("metric"), Units("us", 16, "CAD"), Units("us", 32, "USD"))
kinds = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name.replace(" ", "-"))
units = pytest.mark.parametrize("units", UNITS, ids=lambda held: f"{held.system}-{held.inch_fraction}")


def values(kind: Kind) -> st.SearchStrategy[float]:
    """Values a shop meets, in SI: from a hair's breadth to a lorry, and below zero where there is one."""
    if kind is RATIO:
        return st.floats(0.01, 1000)
    if kind is TEMPERATURE:
        return st.floats(-40, 400)
    return st.one_of(st.floats(-1e4, 1e4), st.floats(1e-8, 1e-2), st.integers(-50, 50).map(float))


# Showing


@kinds
@units
@given(data=st.data())
def test_what_is_shown_reads_back_as_what_is_shown(kind: Kind, units: Units, data: st.DataObject) -> None:
    shown = show(data.draw(values(kind)), kind, units)
    assert show(parse(shown, kind), kind, units) == shown


def last_place(value: float, kind: Kind, units: Units) -> float:
    """One in the last place with which a value is shown, in SI."""
    if kind in (MONEY, RATIO):
        return 0.01 if kind is MONEY else 0.001
    unit = unit_shown(value, kind, units)
    shown = abs(parse(show(value, kind, units), kind))
    scale = next(held for held in kind.scales(units) if held.unit == unit and shown < held.below)
    step = 1 / units.inch_fraction if scale.digits is None else 10.0**-scale.digits
    return step if not unit else abs(parse(f"{step:.6f} {unit}", kind) - parse(f"0 {unit}", kind))


@kinds
@units
@settings(max_examples=50)
@given(data=st.data())
def test_what_is_shown_lies_within_half_its_last_place(kind: Kind, units: Units, data: st.DataObject) -> None:
    value = data.draw(values(kind))
    shown = parse(show(value, kind, units), kind)
    assert abs(shown - value) <= 0.5 * last_place(value, kind, units) * (1 + 1e-6) + 1e-12 * abs(value)


@kinds
@units
def test_nothing_is_never_shown_as_less_than_nothing(kind: Kind, units: Units) -> None:
    if kind is RATIO:
        return
    for value in (-1e-12, 0.0, -0.0):
        assert not show(value, kind, units).startswith("-")


@kinds
def test_the_example_in_every_error_can_be_typed(kind: Kind) -> None:
    for written in kind.example.replace(", ", " or ").split(" or "):
        assert isinstance(parse(written, kind), float)


@pytest.mark.parametrize(
    ("value", "kind", "units", "shown"),
    [
        (0.057, LENGTH, UNITS[0], "57 mm"),
        (0.057, LENGTH, UNITS[1], "2 1/4 in"),
        (0.9995e-3, LENGTH, UNITS[0], "1 mm"),
        (1.875 * 0.0254, LENGTH, UNITS[1], "1 7/8 in"),
        (1.40625 * 0.0254, LENGTH, UNITS[2], "1 13/32 in"),
        (-0.5 * 0.0254, LENGTH, UNITS[1], "-1/2 in"),
        (5.9999e-3, VOLUME, UNITS[0], "6 L"),
        (0.9996e-3, VOLUME, UNITS[0], "1 L"),
        (19.23e-3, SCALE_MASS, UNITS[0], "19.2 g"),
        (0.2504, SCALE_MASS, UNITS[0], "250 g"),
        (3.1e-6, VOLUME, UNITS[0], "3.1 mL"),
        (6.42, MASS, UNITS[0], "6.42 kg"),
        (18.0, TEMPERATURE, UNITS[0], "18 °C"),
        (18.0, TEMPERATURE, UNITS[1], "64.4 °F"),
        (0.55, PERCENT, UNITS[0], "55 %"),
        (math.pi / 4, ANGLE, UNITS[0], "45°"),
        (39.5, MONEY, UNITS[0], "39.50 EUR"),
        (39.5, MONEY, UNITS[2], "39.50 USD"),
        (2.0, RATIO, UNITS[0], "2 : 1"),
        (math.inf, LENGTH, UNITS[0], "without limit"),
        (math.nan, LENGTH, UNITS[0], "unknown"),
    ],
)
def test_a_value_is_shown_as_the_trade_writes_it(value: float, kind: Kind, units: Units, shown: str) -> None:
    assert show(value, kind, units) == shown


# Reading


@pytest.mark.parametrize(
    ("typed", "kind", "value"),
    [
        ("57 mm", LENGTH, 0.057),
        ("57mm", LENGTH, 0.057),
        ("1,5 mm", LENGTH, 0.0015),
        (".5 mm", LENGTH, 0.0005),
        ("−3 mm", LENGTH, -0.003),
        ("1 7/8 in", LENGTH, 1.875 * 0.0254),
        ('1-7/8"', LENGTH, 1.875 * 0.0254),
        ("1½ in", LENGTH, 1.5 * 0.0254),
        ("1 ½ in", LENGTH, 1.5 * 0.0254),
        ("½ in", LENGTH, 0.5 * 0.0254),
        ("5' 3 1/2\"", LENGTH, 63.5 * 0.0254),
        ("5'3\"", LENGTH, 63 * 0.0254),
        ("-5' 3\"", LENGTH, -63 * 0.0254),
        ("5 ft 3 in", LENGTH, 63 * 0.0254),
        ("5 ft. 3 in.", LENGTH, 63 * 0.0254),
        ("1 m 20 cm", LENGTH, 1.2),
        ("2 gal", VOLUME, 2 * 231 * 0.0254**3),
        ("1.5 L", VOLUME, 0.0015),
        ("8 fl oz", VOLUME, 231 * 0.0254**3 / 16),
        ("0.5 m³", VOLUME, 0.5),
        ("1 gal 2 qt", VOLUME, 1.5 * 231 * 0.0254**3),
        ("24 m2/L", SPREAD_RATE, 24000),
        ("980 ft2/gal", SPREAD_RATE, 980 * 0.3048**2 / (231 * 0.0254**3)),
        ("6 lb 3 oz", MASS, (6 + 3 / 16) * 0.45359237),
        ("884 g", SCALE_MASS, 0.884),
        ("884", SCALE_MASS, 0.884),
        ("64 °F", TEMPERATURE, 32 / 1.8),
        ("64 degF", TEMPERATURE, 32 / 1.8),
        ("64F", TEMPERATURE, 32 / 1.8),
        ("18 °C", TEMPERATURE, 18.0),
        ("-5 °C", TEMPERATURE, -5.0),
        ("291.15 K", TEMPERATURE, 18.0),
        ("3 K", TEMPERATURE_STEP, 3.0),
        ("55 %", PERCENT, 0.55),
        ("55%", PERCENT, 0.55),
        ("55 % RH", PERCENT, 0.55),
        ("55", PERCENT, 0.55),
        ("0.55", PERCENT, 0.55),
        ("0.5 %", PERCENT, 0.005),
        ("9.6 W/m", LINE_POWER, 9.6),
        ("0.15 ohm/m", LINE_RESISTANCE, 0.15),
        ("0.15 Ω/m", LINE_RESISTANCE, 0.15),
        ("0.75 mm²", WIRE_SIZE, 0.75e-6),
        ("0.75 mm2", WIRE_SIZE, 0.75e-6),
        ("0.75 mm^2", WIRE_SIZE, 0.75e-6),
        ("AWG 18", WIRE_SIZE, math.pi / 4 * (0.127e-3 * 92 ** (18 / 39)) ** 2),
        ("18 AWG", WIRE_SIZE, math.pi / 4 * (0.127e-3 * 92 ** (18 / 39)) ** 2),
        ("awg 4/0", WIRE_SIZE, math.pi / 4 * (0.46 * 0.0254) ** 2),
        ("3.5 m/min", FEED_RATE, 3.5 / 60),
        ("14000 rpm", ROTATION, 14000 / 60),
        ("14000", ROTATION, 14000 / 60),
        ("35 min", DURATION, 2100.0),
        ("1 h 30 min", DURATION, 5400.0),
        ("7 d", DURATION, 604800.0),
        ("1.12 kg/L", LIQUID_DENSITY, 1120.0),
        ("6.5 board ft", BOARD_FEET, 6.5),
        ("6.5", BOARD_FEET, 6.5),
        ("0.56 m²", AREA, 0.56),
        ("6 sq ft", AREA, 6 * 0.3048**2),
        ("231 cu in", VOLUME, 231 * 0.0254**3),
        ("0.2 1/min", FREQUENCY, 0.2 / 60),
        ("0.2/min", FREQUENCY, 0.2 / 60),
        ("45°", ANGLE, math.pi / 4),
        ("3", COUNT, 3.0),
        ("0.6", NUMBER, 0.6),
        ("100 : 42.5", RATIO, 100 / 42.5),
        ("2:1", RATIO, 2.0),
        ("2 to 1", RATIO, 2.0),
        ("39.50 EUR", MONEY, 39.5),
        ("39,50 EUR", MONEY, 39.5),
        (0, LENGTH, 0.0),
    ],
)
def test_a_quantity_is_read_as_the_trade_writes_it(typed: str | int, kind: Kind, value: float) -> None:
    assert parse(typed, kind) == pytest.approx(value, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize(
    ("typed", "kind", "said"),
    [
        ("57", LENGTH, "57 has no unit: write a length such as 57 mm or 2 1/4 in"),
        (57, LENGTH, "57 has no unit: write a length such as 57 mm or 2 1/4 in"),
        ("57 kg", LENGTH, "'57 kg' is not a length: write 57 mm or 2 1/4 in"),
        ("soon", DURATION, "'soon' is not a time span: write 35 min, 10 h or 7 d"),
        ("", LENGTH, "'' is not a length: write 57 mm or 2 1/4 in"),
        ("3 in 5 ft", LENGTH, "'3 in 5 ft' is not a length: write 57 mm or 2 1/4 in"),
        ("5 ft 3", LENGTH, "'5 ft 3' is not a length: write 57 mm or 2 1/4 in"),
        ("18 °C 3 °C", TEMPERATURE, "'18 °C 3 °C' is not a temperature: write 18 °C or 64 °F"),
        ("0", TEMPERATURE, "0 has no unit: write a temperature such as 18 °C or 64 °F"),
        ("1,500 mm", LENGTH, "1,500 could mean two numbers: write 1.500 or 1500"),
        ("1/0 in", LENGTH, "1/0 divides by zero: write a fraction such as 1 7/8"),
        ("1e999 mm", LENGTH, "1e999 is too large: write a number such as 57"),
        ("AWG 99", WIRE_SIZE, "AWG 99 is outside the gauge: write AWG 4/0 to AWG 40, such as AWG 18"),
        ("2 : 0", RATIO, "'2 : 0' has a part of nothing: write a ratio such as 100 : 42.5 or 2 : 1"),
        ("39.50", MONEY, "'39.50' is not a price: write 39.50 EUR"),
        ("39.505 EUR", MONEY, "'39.505 EUR' is not a price: write 39.50 EUR"),
    ],
)
def test_an_error_says_what_is_wrong_and_what_to_write(typed: str | int, kind: Kind, said: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(typed, kind)
    assert str(raised.value) == said


SIGNS = (
    "1",
    "7/8",
    "1 7/8",
    "½",
    "12.5",
    "1,5",
    "-",
    "+",
    " ",
    "mm",
    "in",
    '"',
    "'",
    "ft",
    "°F",
    "°C",
    "K",
    "%",
    "lb",
    "oz",
    "kg",
    "/",
    ":",
    "*",
    "**",
    "**2",
    "²",
    "⁹",
    "^",
    "e5",
    "e",
    "(",
    ")",
    "AWG",
    "EUR",
    "nan",
    "inf",
    "1/0",
    "m/s",
    "board ft",
    "\n",
    "\u00a0",
    "0x10",
    "1_0",
    "٣",
    "¹",
    "\ud83d",
    "{0}",
    "_",
    "@",
    "#",
    "delta_degF",
    "min",
    "d",
    "percent",
    " squared",
    "cubic ",
    "sq ",
)
fragments = (
    st.lists(
        st.one_of(st.sampled_from(SIGNS), st.text(max_size=4)),
        max_size=12,
    )
    .map("".join)
    .map(lambda text: text[:200])
)


@kinds
@given(text=st.one_of(st.text(max_size=200), fragments))
@example("1 m**999999999")
@example("1 m**9**9**9**9")
@example("1 sq square cubic m cubed squared")
@example("1 m⁹ ⁹⁹ ⁹⁹ ⁹⁹")
@example("1 kkkkkkkkkkkkkkkkkkkkkkm")
@example("9" * 200)
@example("1/" + "9" * 198)
@example("0." + "9" * 190 + " mm")
@example("1 (((((((((((((((((((((m")
@example("1e400 mm")
@example("1 __import__('os')")
def test_any_text_is_a_quantity_or_an_error_that_says_what_to_write(kind: Kind, text: str) -> None:
    try:
        value = parse(text, kind)
    except QuantityError as error:
        sentence = str(error)
        assert "write" in sentence
        assert any(character.isdigit() for character in sentence.partition("write")[2])
    else:
        assert math.isfinite(value)


@pytest.mark.parametrize("text", ["57 mm " * 40, "9" * 201, "x" * 100_000])
def test_a_text_too_long_for_a_quantity_is_refused_without_repeating_it(text: str) -> None:
    with pytest.raises(QuantityError) as raised:
        parse(text, LENGTH)
    assert len(str(raised.value)) < 200


@pytest.mark.parametrize("value", [True, False, math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_no_quantity(value: float) -> None:
    for kind in KINDS:
        with pytest.raises(QuantityError):
            parse(value, kind)


# Keeping


@kinds
@units
@given(data=st.data())
def test_what_was_typed_is_kept(kind: Kind, units: Units, data: st.DataObject) -> None:
    shown = show(data.draw(values(kind)), kind, units)
    padding = st.sampled_from(["", " ", "  "])
    typed = data.draw(padding) + shown + data.draw(padding)
    assert measure(typed, kind) == Measure(typed, parse(shown, kind), kind)


@given(st.decimals(-1000, 1000, places=3))
def test_a_decimal_from_the_file_is_kept_to_its_last_place(value: Decimal) -> None:
    held = measure(value, NUMBER)
    assert (held.text, held.value) == (str(value), float(value))


@pytest.mark.parametrize("thing", [None, [], {}, object(), b"57 mm"])
def test_what_is_neither_text_nor_number_is_refused(thing: object) -> None:
    with pytest.raises(QuantityError):
        measure(thing, LENGTH)


# Digits typed on a screen


@pytest.mark.parametrize(
    ("typed", "value", "kind", "units", "gained"),
    [
        ("60", 0.057, LENGTH, UNITS[0], "60 mm"),
        ("60", None, LENGTH, UNITS[0], "60 mm"),
        ("2 3/8", 0.057, LENGTH, UNITS[1], "2 3/8 in"),
        ("0.5", 0.4e-3, VOLUME, UNITS[0], "0.5 mL"),
        ("3", 2e-3, VOLUME, UNITS[0], "3 L"),
        ("19", 18.0, TEMPERATURE, UNITS[0], "19 °C"),
        ("-5", 18.0, TEMPERATURE, UNITS[1], "-5 °F"),
        ("60", 0.55, PERCENT, UNITS[0], "60 %"),
        ("0.5", 0.55, PERCENT, UNITS[0], "0.5 %"),
        ("45", 0.5, ANGLE, UNITS[0], "45°"),
        ("3", 2.0, COUNT, UNITS[0], "3"),
        ("42", 39.5, MONEY, UNITS[2], "42 USD"),
        ("2", 1.0, RATIO, UNITS[0], "2"),
        (" 60 cm ", 0.057, LENGTH, UNITS[0], "60 cm"),
        ("soon", 0.057, LENGTH, UNITS[0], "soon"),
    ],
)
def test_bare_digits_gain_the_unit_they_were_shown_with(
    typed: str, value: float | None, kind: Kind, units: Units, gained: str
) -> None:
    assert typed_with_unit(typed, value, kind, units) == gained


@kinds
@units
@given(data=st.data())
def test_the_digits_alone_typed_again_change_nothing(kind: Kind, units: Units, data: st.DataObject) -> None:
    value = data.draw(values(kind))
    shown = show(value, kind, units)
    unit = unit_shown(value, kind, units)
    assert shown.endswith(unit) or kind is RATIO
    digits = shown.removesuffix(unit).strip() if kind is not RATIO else shown
    again = typed_with_unit(digits, value, kind, units)
    assert parse(again, kind) == pytest.approx(parse(shown, kind), rel=1e-12)


@pytest.mark.parametrize("code", ["EUR", "USD", "CAD", "GBP", "SEK"])
def test_a_price_keeps_its_currency(code: str) -> None:
    assert currency_of(f"39.50 {code}") == code
