"""One declaration of a calculator, which serves the screens, the command line, the sheets and the tests.

A calculator is an id, a title, the stage it belongs to, a frozen model of its inputs, a function that adapts
pure computation in `trade/`, and how a project fills the inputs. Inputs are SI floats annotated with a kind:

    class Inputs(CalculatorInputs):
        temperature: Annotated[float, TEMPERATURE] = given("air temperature", low=-1.0, high=60.0)

Only this module walks those annotations, and only `quantity` parses and prints.
"""

from __future__ import annotations

import difflib
import json
import math
import types
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import (
    TYPE_CHECKING,
    Annotated,
    Any,
    ClassVar,
    Final,
    Literal,
    get_args,
    get_origin,
    get_type_hints,
)

from pydantic import BaseModel, ConfigDict, Field

from workshop.figures import Result
from workshop.quantity import COUNT, LENGTH, METRIC, Kind, QuantityError, Units, parse, show

if TYPE_CHECKING:
    from workshop.desk import Desk, Filling

REQUIRED: Final = ...


def kebab(name: str) -> str:
    """`edge_area` as it is written on the command line and in the file: `edge-area`."""
    return name.replace("_", "-")


class CalculatorInputs(BaseModel):
    """The base of every calculator's inputs.

    `alternatives` are groups of keys of which at least one must be given.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", alias_generator=kebab, populate_by_name=True, defer_build=True
    )
    alternatives: ClassVar[tuple[tuple[str, ...], ...]] = ()


def given(
    title: str,
    *,
    default: Any = REQUIRED,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    help: str = "",
) -> Any:
    """An input's words and sensible range (SI, bounds included; `above` excludes its bound)."""
    return Field(
        default, title=title, description=help, json_schema_extra={"low": low, "high": high, "above": above}
    )


@dataclass(frozen=True, slots=True)
class Choice:
    """A named thing out of a list: `options` are its ids, `read` accepts other spellings."""

    name: str
    options: Callable[[], Sequence[str]]
    read: Callable[[str], str]


@dataclass(frozen=True, slots=True)
class InputField:
    """One input as a form needs it."""

    key: str
    name: str
    title: str
    help: str
    hint: Any
    kind: Kind | None
    choices: tuple[str, ...]
    required: bool
    default: Any
    low: float | None
    high: float | None
    above: float | None

    def text(self, value: Any, units: Units = METRIC) -> str:
        """An input's value as a maker reads it."""
        if value is None:
            return ""
        if self.kind is not None and isinstance(value, float | int):
            return show(float(value), self.kind, units)
        if isinstance(value, tuple):
            return f"{len(value)} rows"
        if isinstance(value, str) and value.startswith("{"):
            return "by its sheet"
        return str(value).replace("_", " ")


class InputError(ValueError):
    """An input that cannot be used: the key, and one sentence that says what is expected."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__(f"{key}: {message}" if key else message)
        self.key = key
        self.message = message


@dataclass(frozen=True)
class Calculator:
    """A calculator of the catalogue."""

    id: str
    title: str
    stage: str
    inputs: type[CalculatorInputs]
    compute: Callable[[Any], Result]
    fill: Callable[[Desk], Iterator[Filling]] | None = None
    order: int = 50
    """Where it stands within its stage: lower comes first."""
    slow: bool = False
    """Whether it takes long enough that a screen should not wait for it."""
    quick: Callable[[Any], Result] | None = None
    """For a slow one, what it can say at once: the likeliest figures, without band or findings."""

    @property
    def fields(self) -> tuple[InputField, ...]:
        """The inputs in the order of their declaration."""
        return _fields(self.inputs)

    def field(self, key: str) -> InputField:
        """The input of this key; raises InputError with a suggestion."""
        for held in self.fields:
            if held.key == key:
                return held
        close = difflib.get_close_matches(key, [held.key for held in self.fields], 1)
        hint = f"did you mean {close[0]}?" if close else f"it takes {', '.join(f.key for f in self.fields)}"
        raise InputError(key, f"{self.id} takes no such input; {hint}")


@dataclass(frozen=True)
class Calculation:
    """A calculator's inputs and what came of them."""

    calculator: Calculator
    inputs: CalculatorInputs
    result: Result


@cache
def _fields(model: type[CalculatorInputs]) -> tuple[InputField, ...]:
    hints = get_type_hints(model, include_extras=True)
    fields = []
    for name, info in model.model_fields.items():
        hint = _without_none(hints[name])
        marks = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
        kind, choices = _kind(hint), _choices(hint)
        fields.append(
            InputField(
                key=kebab(name),
                name=name,
                title=info.title or name.replace("_", " "),
                help=info.description or "",
                hint=hint,
                kind=kind,
                choices=choices,
                required=info.is_required(),
                default=None if info.is_required() else info.default,
                low=_bound(marks.get("low")),
                high=_bound(marks.get("high")),
                above=_bound(marks.get("above")),
            )
        )
    return tuple(fields)


def _bound(value: Any) -> float | None:
    return None if value is None else float(value)


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (types.UnionType, getattr(types, "UnionType", None)) or str(get_origin(hint)) == (
        "typing.Union"
    ):
        parts = [part for part in get_args(hint) if part is not type(None)]
        return parts[0]
    return hint


def _kind(hint: Any) -> Kind | None:
    if get_origin(hint) is Annotated:
        return next((mark for mark in hint.__metadata__ if isinstance(mark, Kind)), None)
    return None


def _choices(hint: Any) -> tuple[str, ...]:
    if get_origin(hint) is Literal:
        return tuple(str(option) for option in get_args(hint))
    if get_origin(hint) is Annotated:
        for mark in hint.__metadata__:
            if isinstance(mark, Choice):
                return tuple(mark.options())
        return _choices(get_args(hint)[0])
    return ()


def read_value(text: Any, hint: Any, inside_list: bool = False) -> Any:
    """A text, or decoded JSON, as the annotated type, in SI; raises QuantityError."""
    hint = _without_none(hint)
    kind = _kind(hint)
    if kind is not None:
        if inside_list and kind is LENGTH and isinstance(text, int | float) and not isinstance(text, bool):
            return float(text) / 1000.0  # bare lengths in lists are millimetres
        value = parse(text, kind)
        if kind is COUNT and not value.is_integer():
            raise QuantityError(f"{text} is not a whole number: write {kind.example}")
        return value
    base = get_args(hint)[0] if get_origin(hint) is Annotated else hint
    marks = hint.__metadata__ if get_origin(hint) is Annotated else ()
    for mark in marks:
        if isinstance(mark, Choice):
            return mark.read(str(text))
    if get_origin(base) is Literal:
        return _read_choice(str(text), _choices(base))
    if get_origin(base) is tuple:
        return _read_tuple(text, base)
    return str(text)


def _read_choice(text: str, options: tuple[str, ...]) -> str:
    plain = "-".join(text.strip().lower().replace("_", " ").split())
    if plain in options:
        return plain
    raise QuantityError(f"{text!r} is none of {', '.join(options)}")


def _read_tuple(text: Any, hint: Any) -> tuple[Any, ...]:
    rows = text
    if isinstance(text, str):
        try:
            rows = json.loads(text)
        except (ValueError, RecursionError):
            raise QuantityError(
                f"{text[:60]!r} is not a list: write it as JSON, such as [[0, 92, 108]]"
            ) from None
    if not isinstance(rows, list | tuple):
        raise QuantityError(f"{str(rows)[:60]} is not a list: write it as JSON, such as [[0, 92, 108]]")
    kinds = get_args(hint)
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(read_value(row, kinds[0], inside_list=True) for row in rows)
    if len(rows) != len(kinds):
        raise QuantityError(f"{json.dumps(rows, default=str)[:60]} has {len(rows)} numbers, not {len(kinds)}")
    return tuple(read_value(row, kind, inside_list=True) for row, kind in zip(rows, kinds, strict=True))


def inputs_from_text(calculator: Calculator, texts: Mapping[str, Any]) -> CalculatorInputs:
    """Inputs as typed (text with units, JSON for lists) as the calculator's model; raises InputError."""
    values: dict[str, Any] = {}
    for key, text in texts.items():
        held = calculator.field(key)
        try:
            values[held.key] = read_value(text, held.hint)
        except QuantityError as error:
            other = _other_kind(calculator, key, text)
            if other is None:
                raise InputError(key, str(error)) from None
            values[other[0]] = other[1]
    return checked_inputs(calculator, values)


def _other_kind(calculator: Calculator, key: str, text: Any) -> tuple[str, Any] | None:
    """The alternative of the same name that takes this kind: `need` in litres is `need-volume`."""
    for group in calculator.inputs.alternatives:
        for other in group if key in group else ():
            if other.startswith(f"{key}-"):
                try:
                    return other, read_value(text, calculator.field(other).hint)
                except QuantityError:
                    continue
    return None


def checked_inputs(calculator: Calculator, values: Mapping[str, Any]) -> CalculatorInputs:
    """Inputs in SI as the calculator's model, each in its sensible range; raises InputError."""
    for held in calculator.fields:
        if held.key not in values:
            if held.required:
                raise InputError(
                    held.key, f"{calculator.id} needs {_article(held.title)}{_for_example(held)}"
                )
            continue
        value = values[held.key]
        if held.kind is not None and isinstance(value, float | int):
            _check_range(held, float(value))
    for group in calculator.inputs.alternatives:
        if not any(key in values for key in group):
            raise InputError(group[0], f"{calculator.id} needs {' or '.join(group)}")
    return calculator.inputs.model_validate(dict(values))


def _article(title: str) -> str:
    return title if title.startswith(("the ", "a ", "an ")) else f"the {title}"


def _for_example(held: InputField) -> str:
    if held.choices:
        return f": one of {', '.join(held.choices[:8])}"
    return f", such as {held.key}={held.kind.example.split(' or ')[0].split(',')[0]!r}" if held.kind else ""


def _check_range(held: InputField, value: float) -> None:
    assert held.kind is not None
    said = show(value, held.kind)
    if not math.isfinite(value):
        raise InputError(held.key, f"{held.title} must be a number, such as {held.kind.example}")
    if held.low is not None and value < held.low - 1e-12:
        raise InputError(
            held.key, f"{said} is too little: {held.title} starts at {show(held.low, held.kind)}"
        )
    if held.above is not None and value <= held.above:
        raise InputError(
            held.key, f"{said} is too little: {held.title} must be over {show(held.above, held.kind)}"
        )
    if held.high is not None and value > held.high + 1e-12:
        raise InputError(held.key, f"{said} is too much: {held.title} ends at {show(held.high, held.kind)}")


def calculate(calculator: Calculator, texts: Mapping[str, Any]) -> Calculation:
    """Run a calculator on inputs as typed; raises InputError."""
    inputs = inputs_from_text(calculator, texts)
    return Calculation(calculator, inputs, calculator.compute(inputs))
