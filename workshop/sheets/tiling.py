"""Something large cut into sheets of paper that overlap, with marks that two sheets share. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Final

from shapely import LineString, box

from workshop.sheets.hatch import lines_of
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

OVERLAP: Final = 10.0
"""mm that two neighbours both show."""


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet's window: its row and column from 0, and what it shows."""

    row: int
    column: int
    left: float
    top: float
    right: float
    bottom: float

    @property
    def name(self) -> str:
        """A letter for the column and a number for the row: `B3`."""
        return tile_name(self.row, self.column)


@dataclass(frozen=True, slots=True)
class Tiling:
    """How an area of `width` by `height` is laid out in windows."""

    rows: int
    columns: int
    window: tuple[float, float]

    def tiles(self) -> Iterator[Tile]:
        """Row by row."""
        wide, high = self.window
        for row in range(self.rows):
            for column in range(self.columns):
                left, top = column * (wide - OVERLAP), row * (high - OVERLAP)
                yield Tile(row, column, left, top, left + wide, top + high)

    def marks(self, tile: Tile) -> Iterator[Point]:
        """The register marks in a tile: two in the middle of every overlap, at places both sheets show."""
        wide, high = self.window
        for column in (tile.column - 1, tile.column):
            if 0 <= column < self.columns - 1:
                x = (column + 1) * (wide - OVERLAP) + OVERLAP / 2
                yield from ((x, tile.top + high * share) for share in (0.25, 0.75))
        for row in (tile.row - 1, tile.row):
            if 0 <= row < self.rows - 1:
                y = (row + 1) * (high - OVERLAP) + OVERLAP / 2
                yield from ((tile.left + wide * share, y) for share in (0.25, 0.75))


def tiling(width: float, height: float, window: tuple[float, float]) -> Tiling:
    """The fewest windows, overlapping, that cover an area."""
    columns, rows = (
        max(1, ceil((size - OVERLAP) / (room - OVERLAP) - 1e-9))
        for size, room in zip((width, height), window, strict=True)
    )
    return Tiling(rows, columns, window)


def tile_name(row: int, column: int) -> str:
    """`A1`, `B3`, after Z `AA1`."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row + 1}"


def cut_to_tile(ring: Ring, tile: Tile) -> tuple[Ring, ...]:
    """The parts of a line that a tile shows, in the tile's own coordinates."""
    if len(ring) < 2:
        return ()
    part = LineString(ring).intersection(box(tile.left, tile.top, tile.right, tile.bottom))
    return tuple(
        tuple((x - tile.left, y - tile.top) for x, y in run) for run in lines_of(part) if len(run) > 1
    )
