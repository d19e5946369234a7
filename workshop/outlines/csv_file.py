"""Outlines and stations from a table: x and y a row, or a place along the tape and what was read there."""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from workshop.outlines.drawing import (
    LARGEST,
    MOST_POINTS,
    UNIT_METRES,
    Drawing,
    Line,
    OutlineError,
)
from workshop.outlines.gathering import gathered

__all__ = ["read_csv"]

_HEADS: Final = {
    "x": "x",
    "y": "y",
    "at": "at",
    "along": "at",
    "station": "at",
    "left": "left",
    "right": "right",
    "lowerleft": "lower-left",
    "lowerright": "lower-right",
    "layer": "layer",
    "outline": "layer",
    "piece": "layer",
    "slab": "layer",
}
_MOST_IN_A_CELL: Final = 60
_STATION: Final = ("at", "left", "right", "lower-left", "lower-right")
_WAYS: Final = "x,y or at,left,right or at,left,right,lower-left,lower-right"
_POINTED: Final = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_COMMAED: Final = re.compile(r"[+-]?(\d+,?\d*|,\d+)(e[+-]?\d+)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Column:
    kind: str
    unit: float | None
    """Metres, where the header names a unit."""


@dataclass(frozen=True, slots=True)
class _Row:
    number: int
    cells: tuple[str, ...]
    """Empty for a blank row."""


def read_csv(data: bytes, name: str, *, unit_metres: float | None) -> Drawing:
    """Read a table of outlines or of stations.

    An outline has a row for each point, `x,y`, with or without a header; a blank row, or another value in
    the column `layer`, parts two outlines. Stations need their header, `at,left,right` with or without
    `lower-left,lower-right`. A header may name the unit: `x (mm)`, `x_mm`. Values are parted by semicolon
    or tab, with either decimal sign, or by comma with the decimal point.
    Raises OutlineError, with the line, where a row cannot be read in one way only.
    """
    text = _text(data, name)
    separator = ";" if ";" in text else "\t" if "\t" in text else ","
    rows = _rows(text, separator, name)
    if not any(row.cells for row in rows):
        raise OutlineError(f"{name} holds no values; give rows of {_WAYS}.")
    first = next(place for place, row in enumerate(rows) if row.cells)
    headed = not any(_looks_a_number(cell) for cell in rows[first].cells)
    columns = _columns(rows[first], name) if headed else (_Column("x", None), _Column("y", None))
    body = rows[first + headed :]
    known = [column.unit for column in columns if column.unit is not None]
    unit = unit_metres or (known[0] if known else UNIT_METRES["mm"])
    decimals = _Decimals(name, separator)
    kinds = [column.kind for column in columns]
    factors = [unit_metres or column.unit or unit for column in columns]
    stated = unit_metres is not None or bool(known)
    if "at" in kinds:
        return Drawing(stations=_stations(body, kinds, factors, decimals), unit_known=stated)
    shapes, notes = gathered(_outlines(body, kinds, factors, decimals), (), name)
    return Drawing(shapes=shapes, notes=notes, unit_known=stated)


class _Decimals:
    """Reads the numbers of one table, which all have the same decimal sign."""

    def __init__(self, name: str, separator: str) -> None:
        self.name = name
        self._separator = separator
        self._sign: tuple[str, int] | None = None

    def number(self, row: _Row, place: int, factor: float) -> float:
        """A cell's value in m; raises OutlineError with the line where it is none."""
        cell = row.cells[place].strip() if place < len(row.cells) else ""
        where = f"{self.name}, line {row.number}"
        if not cell:
            raise OutlineError(f"{where}: value {place + 1} is missing; fill it in or take the row out.")
        short = len(cell) <= _MOST_IN_A_CELL
        pointed = short and _POINTED.fullmatch(cell)
        commaed = short and self._separator != "," and _COMMAED.fullmatch(cell)
        if not pointed and not commaed:
            raise OutlineError(f"{where}: {cell[:40]!r} is no number; write one such as 57.5.")
        sign = "." if "." in cell else "," if "," in cell else ""
        if sign:
            if self._sign is not None and self._sign[0] != sign:
                raise OutlineError(
                    f"{where}: {cell[:40]!r} has the decimal sign {sign!r} where line {self._sign[1]} has "
                    f"{self._sign[0]!r}; write all numbers in one way, without thousands signs."
                )
            self._sign = self._sign or (sign, row.number)
        value = float(cell.replace(",", ".")) * factor
        if not abs(value) <= LARGEST:
            raise OutlineError(
                f"{where}: {cell[:40]} comes to {value:.4g} m, more than {LARGEST:.0f} m; check the unit."
            )
        return value


def _text(data: bytes, name: str) -> str:
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise OutlineError(
            f"{name}, line {line} is not UTF-8 text; save the table as CSV in UTF-8."
        ) from None
    found = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", text)
    if found:
        line = text.count("\n", 0, found.start()) + 1
        raise OutlineError(f"{name}, line {line} is not text; save the table as CSV in UTF-8.")
    return text


def _rows(text: str, separator: str, name: str) -> list[_Row]:
    if text.count("\n") > MOST_POINTS:
        raise OutlineError(
            f"{name} has more than {MOST_POINTS} rows; take only as many points as the outline needs."
        )
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows = []
    try:
        for cells in reader:
            kept = tuple(cell.strip() for cell in cells)
            if kept and kept[0].startswith("#"):
                continue
            rows.append(_Row(reader.line_num, kept if any(kept) else ()))
    except csv.Error:
        raise OutlineError(
            f"{name}, line {reader.line_num} cannot be split into values; check its quotation marks."
        ) from None
    return rows


def _looks_a_number(cell: str) -> bool:
    return bool(cell) and (cell[0].isdigit() or cell[0] in "+-.,")


def _columns(row: _Row, name: str) -> tuple[_Column, ...]:
    columns = tuple(_column(cell, row, name) for cell in row.cells)
    kinds = [column.kind for column in columns if column.kind != "layer"]
    if sorted(kinds) != ["x", "y"] and tuple(kinds) not in (_STATION[:3], _STATION):
        raise OutlineError(f"{name}, line {row.number}: the columns are not {_WAYS}; name them so.")
    if len(columns) - len(kinds) > 1:
        raise OutlineError(f"{name}, line {row.number} has two columns for the layer; keep one.")
    return columns


def _column(cell: str, row: _Row, name: str) -> _Column:
    head = cell[:_MOST_IN_A_CELL].strip().lower()
    for unit, metres in UNIT_METRES.items():
        found = re.fullmatch(rf"(.*?)[\s_]*(?:\({unit}\)|\[{unit}\]|(?<=[\s_]){unit})", head)
        if found:
            head, length = found[1], metres
            break
    else:
        length = None
    kind = _HEADS.get(re.sub(r"[\s_-]", "", head))
    if kind is None:
        raise OutlineError(
            f"{name}, line {row.number}: column {cell[:40]!r} is not known; the columns are {_WAYS}, each "
            "with its unit if need be, such as x (mm)."
        )
    return _Column(kind, length)


def _check_width(row: _Row, wanted: int, name: str) -> None:
    # An empty cell at the end is a separator too many, as spreadsheets leave them.
    cells = row.cells
    while len(cells) > wanted and not cells[-1]:
        cells = cells[:-1]
    if len(cells) != wanted:
        raise OutlineError(
            f"{name}, line {row.number} has {len(cells)} values where {wanted} are expected; "
            f"give {wanted} a row, parted by semicolons where the comma is the decimal sign, and begin with "
            f"a header ({_WAYS})."
        )


def _outlines(
    rows: Sequence[_Row], kinds: Sequence[str], factors: Sequence[float], decimals: _Decimals
) -> list[Line]:
    x, y = kinds.index("x"), kinds.index("y")
    layered = kinds.index("layer") if "layer" in kinds else None
    lines: list[Line] = []
    points: list[tuple[float, float]] = []
    layer = ""

    def finish() -> None:
        if points:
            lines.append(Line(np.array(points, dtype=np.float64), closed=True, layer=layer))
            points.clear()

    for row in rows:
        if not row.cells:
            finish()
            continue
        _check_width(row, len(kinds), decimals.name)
        if layered is not None and row.cells[layered] != layer:
            finish()
            layer = row.cells[layered]
        points.append((decimals.number(row, x, factors[x]), decimals.number(row, y, factors[y])))
    finish()
    return lines


def _stations(
    rows: Sequence[_Row], kinds: Sequence[str], factors: Sequence[float], decimals: _Decimals
) -> tuple[tuple[float, ...], ...]:
    held = [row for row in rows if row.cells]
    for row in held:
        _check_width(row, len(kinds), decimals.name)
    stations = tuple(
        tuple(
            decimals.number(row, place, factors[place])
            for place, kind in enumerate(kinds)
            if kind in _STATION
        )
        for row in held
    )
    if len(stations) < 2:
        raise OutlineError(f"{decimals.name} has {len(stations)} stations; give two at the least.")
    for (before, after), row in zip(pairwise(stations), held[1:], strict=True):
        if after[0] <= before[0]:
            raise OutlineError(
                f"{decimals.name}, line {row.number}: the station does not lie beyond the one before it; "
                "put the rows in order along the tape, each place once."
            )
    for station, row in zip(stations, held, strict=True):
        if any(left + right < 0 for left, right in zip(station[1::2], station[2::2], strict=True)):
            raise OutlineError(
                f"{decimals.name}, line {row.number}: the left edge lies beyond the right one; "
                "read both distances again."
            )
    return stations
