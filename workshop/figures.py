"""What every calculator returns: figures with their working, tables, and findings with the way out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, Final, Literal

from workshop.quantity import METRIC, Amount, Kind, Units, show

COMMON_PRACTICE: Final = "common practice, no source"
"""The source line of a rule of the trade that no document states."""

Number = Amount | tuple[Amount, ...]


class Level(StrEnum):
    """How much a finding matters; a stop warns before what cannot be undone, it forbids nothing."""

    NOTE = "note"
    WARN = "warn"
    STOP = "stop"

    @property
    def rank(self) -> int:
        """0 for a note, 2 for a stop."""
        return list(Level).index(self)


@dataclass(frozen=True, slots=True)
class Phrase:
    """A sentence with amounts in it, said in whatever units a project shows."""

    template: str
    parts: tuple[tuple[str, Amount | str], ...] = ()

    def say(self, units: Units = METRIC) -> str:
        """The sentence in the given units."""
        shown = {
            name: part if isinstance(part, str) else show(part.value, part.kind, units)
            for name, part in self.parts
        }
        return self.template.format_map(shown)


def phrase(template: str, **parts: Amount | str) -> Phrase:
    """A sentence whose `{names}` are filled by amounts (shown in the project's units) or words."""
    return Phrase(template, tuple(parts.items()))


@dataclass(frozen=True, slots=True)
class Working:
    """How a figure came about.

    `formula` is one or more assignments, `; ` between them, the last of which gives the figure: operators
    `+ - * / **`, parentheses, and abs, acos, asin, atan, ceil, cos, exp, floor, log, max, min, pi, round,
    sin, sqrt, sum, tan. Its names stand in `numbers`, in SI (°C for temperatures). A `simulation` is
    described in words instead and is not evaluated.
    """

    formula: str
    numbers: Mapping[str, Number]
    source: str
    assumed: tuple[str, ...] = ()
    simulation: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """One computed number with its kind, working, and band where it is uncertain."""

    id: str
    title: str
    value: float
    kind: Kind
    working: Working
    low: float | None = None
    high: float | None = None

    def text(self, units: Units = METRIC) -> str:
        """The figure as a maker reads it; a band is said as `46 (41 to 52)`."""
        said = show(self.value, self.kind, units)
        if self.low is None or self.high is None:
            return said
        return f"{said} ({show(self.low, self.kind, units)} to {show(self.high, self.kind, units)})"


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table: its key, its heading, and the kind of its numbers (None: words)."""

    id: str
    title: str
    kind: Kind | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows that belong together: grits, cuts, parts."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[float | str, ...], ...]

    def text_rows(self, units: Units = METRIC) -> list[list[str]]:
        """Every cell as a maker reads it."""
        return [
            [_cell(cell, column.kind, units) for column, cell in zip(self.columns, row, strict=True)]
            for row in self.rows
        ]


def _cell(cell: float | str, kind: Kind | None, units: Units) -> str:
    return str(cell) if isinstance(cell, str) or kind is None else show(cell, kind, units)


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the maker should know, with the way out.

    `field` names the input it hangs on, `figures` those it rests on. `value` is what an acceptance stores;
    the finding comes back when its level rises, or when the value worsens (in the direction of `worse`) by
    more than `margin` in SI.
    """

    rule: str
    level: Level
    text: Phrase
    remedy: Phrase
    field: str | None = None
    figures: tuple[str, ...] = ()
    value: Amount | None = None
    worse: Literal["up", "down"] = "up"
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class Result:
    """What one calculation gives."""

    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...] = ()
    tables: Mapping[str, Table] = field(default_factory=dict)
    currency: str | None = None
    """ISO 4217 code of its prices, where the inputs name one."""

    def units(self, units: Units) -> Units:
        """The units to show it in: prices in the currency they were typed in."""
        return units if self.currency is None else replace(units, currency=self.currency)

    def figure(self, id: str) -> Figure | None:
        """The figure of this id, or None."""
        return next((held for held in self.figures if held.id == id), None)


def number_json(number: Number) -> Any:
    """A working's number in SI, or a list of them."""
    return number.value if isinstance(number, Amount) else [held.value for held in number]
