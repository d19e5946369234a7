"""The pages of a template: one a tile, and an index with a small map of where each tile lies."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from math import cos, sin
from typing import Final

from workshop.pictures.picture import said
from workshop.quantity import Units
from workshop.sheets.dimension import tape_text
from workshop.sheets.ink import (
    LARGE,
    NORMAL,
    SMALL,
    Data,
    Disc,
    Ink,
    Path,
    Pen,
    Words,
    box,
    cut_to,
    line,
    width_of,
    wrapped,
)
from workshop.sheets.paper import INCH, Paper
from workshop.sheets.tiling import OVERLAP, Tile, Tiling, cut_to_tile, tile_name
from workshop.sheets.title_block import MARGIN, cross
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

HEAD: Final = 14.0
FOOT: Final = 9.0
"""mm above and below a window for words."""
MAP_HIGH: Final = 34.0
"""mm of an index's entry."""
METRIC_SQUARE: Final = 100.0
US_SQUARE: Final = 4 * INCH

Page = tuple[tuple[Ink, ...], Data]


@dataclass(frozen=True)
class Placed:
    """A template on paper in mm from its upper left corner, and the sheets it takes."""

    name: str
    tiling: Tiling
    lines: tuple[tuple[Ring, Pen, Data], ...]
    labels: tuple[tuple[Point, str], ...]
    grain: float | None
    """Radians against the clock on the paper."""
    size: tuple[float, float]
    """m along and across the tape."""
    turned: bool
    """Whether the tape runs down the paper."""

    @cached_property
    def _names(self) -> frozenset[str]:
        return frozenset(
            tile.name
            for tile in self.tiling.tiles()
            if any(cut_to_tile(points, tile) for points, _pen, _data in self.lines)
        )

    def shown(self, tile: Tile) -> bool:
        """Whether anything of it lies in a tile; a blank one is not printed."""
        return tile.name in self._names

    @property
    def pages(self) -> int:
        """How many sheets it takes."""
        return len(self._names)

    @property
    def last(self) -> str:
        """The name of the tile at the lower right."""
        return tile_name(self.tiling.rows - 1, self.tiling.columns - 1)


def window_of(paper: Paper) -> tuple[float, float]:
    """How much of a page shows the template, mm."""
    return paper.width - 2 * MARGIN, paper.height - 2 * MARGIN - HEAD - FOOT


def tile_page(held: Placed, tile: Tile, project: str, paper: Paper, units: Units) -> Page:
    """One sheet of a template."""
    wide, high = window_of(paper)
    left, top = MARGIN, MARGIN + HEAD
    right, bottom = left + wide, top + high
    parts: list[Ink] = [*_square(left, top, wide, high, units)]
    label = f"{held.name}  {tile.name} of {held.last}"
    parts.append(
        Words(left, MARGIN + 6, cut_to(label, LARGE, wide - 70), LARGE, bold=True, data=_label(label))
    )
    parts.append(Words(left, MARGIN + 11.5, cut_to(project, SMALL, wide - 80), SMALL))
    parts.append(Words(right, MARGIN + 6, "Full size, 1:1", NORMAL, "end", bold=True))
    parts.append(Words(right, MARGIN + 11.5, _joins(held, tile), SMALL, "end"))
    parts.append(box(left, top, right, bottom, "thin", kind="window"))
    parts += _laps(held, tile, left, top, right, bottom)
    for points, pen, data in held.lines:
        runs = tuple(tuple((x + left, y + top) for x, y in run) for run in cut_to_tile(points, tile))
        if runs:
            parts.append(Path(runs, pen, data=data))
    for point, text in held.labels:
        parts += _mark(held, tile, point, text, left, top)
    for x, y in held.tiling.marks(tile):
        px, py = x - tile.left + left, y - tile.top + top
        data = (("kind", "register-mark"), ("at", f"{x:.3f} {y:.3f}"))
        parts += [Disc(px, py, 2.0, data=data), *cross(px, py, 4.0)]
    parts.append(Words(left, bottom + 5.5, _foot(units), SMALL))
    return tuple(parts), (
        ("page", "tile"),
        ("template", held.name),
        ("tile", tile.name),
        ("x", f"{tile.left - left:.6f}"),
        ("y", f"{tile.top - top:.6f}"),
    )


def _label(text: str) -> Data:
    return (("label", text),)


def _joins(held: Placed, tile: Tile) -> str:
    """Which sheets go on beside and below it."""
    parts = []
    if tile.column + 1 < held.tiling.columns:
        parts.append(f"{tile_name(tile.row, tile.column + 1)} to its right")
    if tile.row + 1 < held.tiling.rows:
        parts.append(f"{tile_name(tile.row + 1, tile.column)} below")
    return ", ".join(parts)


def _laps(held: Placed, tile: Tile, left: float, top: float, right: float, bottom: float) -> Iterator[Ink]:
    """Up to where the next sheet lies over this one."""
    if tile.column + 1 < held.tiling.columns:
        yield line((right - OVERLAP, top), (right - OVERLAP, bottom), pen="dotted", kind="overlap")
    if tile.row + 1 < held.tiling.rows:
        yield line((left, bottom - OVERLAP), (right, bottom - OVERLAP), pen="dotted", kind="overlap")


def _square(left: float, top: float, wide: float, high: float, units: Units) -> Iterator[Ink]:
    """A square to measure, in fine dots with solid corners, so that it is not taken for an outline."""
    side = US_SQUARE if units.system == "us" else METRIC_SQUARE
    x, y = left + (wide - side) / 2, top + (high - side) / 2
    yield box(x, y, x + side, y + side, "dotted", kind="check-square")
    for cx, way in ((x, 1), (x + side, -1)):
        for cy, down in ((y, 1), (y + side, -1)):
            yield line((cx + 6 * way, cy), (cx, cy), (cx, cy + 6 * down), pen="thin")
    text = f"square to measure: {said(side / 1000, units)} each way"
    yield Words(x + side / 2, y + 4, text, SMALL, "middle", halo=True)


def _mark(held: Placed, tile: Tile, point: Point, text: str, left: float, top: float) -> Iterator[Ink]:
    """A piece's mark with its id and its grain, on the tile that shows it."""
    if not (tile.left <= point[0] < tile.right and tile.top <= point[1] < tile.bottom):
        return
    x, y = point[0] - tile.left + left, point[1] - tile.top + top
    yield from cross(x, y, 5.0)
    yield Words(x + 3, y - 3, f"{text}, its mark", NORMAL, bold=True, halo=True)
    if held.grain is not None:
        dx, dy = 18 * cos(held.grain), -18 * sin(held.grain)
        yield line((x + dx / 3, y + dy / 3), (x + dx, y + dy), pen="thick", kind="grain-arrow")
        for side in (1.0, -1.0):
            back = (x + 0.82 * dx - side * 0.09 * dy, y + 0.82 * dy + side * 0.09 * dx)
            yield line((x + dx, y + dy), back, pen="thick")


def _foot(units: Units) -> str:
    side = US_SQUARE if units.system == "us" else METRIC_SQUARE
    return f"Print at 100 %. If the square is not {said(side / 1000, units)} each way, do not use this sheet."


# The index


def index_pages(
    project: str,
    now: datetime,
    paper: Paper,
    units: Units,
    placed: tuple[Placed, ...],
    words: tuple[str, ...],
    before: int = 0,
) -> Iterator[Page]:
    """What there is, how to print and join it, and a map of each template's tiles.

    The tiles begin after as many pages as this takes, which `before` says.
    """
    first = before + 1
    left, right, bottom = MARGIN, paper.width - MARGIN, paper.height - MARGIN
    parts: list[Ink] = [
        Words(
            left,
            MARGIN + 7,
            cut_to(f"{project}: templates at full size", LARGE, right - left),
            LARGE,
            bold=True,
        ),
        Words(left, MARGIN + 13, f"{now:%Y-%m-%d} · {paper.name} · {_count(placed)}", NORMAL),
    ]
    y = MARGIN + 21
    for sentence in (*_cautions(units, placed), *(("Not printed:", *words) if words else ())):
        rows = wrapped(sentence, SMALL, right - left)
        if y + 4.2 * len(rows) > bottom:
            yield tuple(parts), (("page", "index"),)
            parts, y = [], MARGIN + 6
        for row in rows:
            parts.append(Words(left, y, row, SMALL, bold=sentence.endswith(":")))
            y += 4.2
    y += 2
    for held in placed:
        if y + MAP_HIGH > bottom:
            yield tuple(parts), (("page", "index"),)
            parts, y = [], MARGIN + 2
        parts += _map(held, left, y, right, first, units)
        first += held.pages
        y += MAP_HIGH
    yield tuple(parts), (("page", "index"),)


def _count(placed: tuple[Placed, ...]) -> str:
    pages = sum(held.pages for held in placed)
    return "1 page" if pages == 1 else f"{pages} pages"


def _run(first: int, pages: int) -> str:
    return f"page {first}" if pages == 1 else f"pages {first} to {first + pages - 1}"


def _cautions(units: Units, placed: tuple[Placed, ...]) -> tuple[str, ...]:
    side = said((US_SQUARE if units.system == "us" else METRIC_SQUARE) / 1000, units)
    lap = said(OVERLAP / 1000, units)
    blank = any(held.pages < held.tiling.rows * held.tiling.columns for held in placed)
    return (
        "Print at 100 %, single-sided, not fitted to the page.",
        f"Measure the square on the first page with a rule: {side} each way. If it is not, mend the "
        "printer's setting and print again.",
        f"Neighbours overlap by {lap}: lay the rings with crosses on each other and tape them.",
        "Measure the joined template against its length below before you mark the wood.",
        "Solid thick: upper face. Dashed: lower face. Thick dash and dot: saw line. The kerf lies outside a "
        "piece.",
        "Paper grows when it is damp: join and use the sheets on the day that they are printed.",
        *(("A dash on a map is a blank sheet, which is not printed.",) if blank else ()),
    )


def _map(held: Placed, left: float, top: float, right: float, first: int, units: Units) -> Iterator[Ink]:
    """A template's name, size and pages, and its tiles with their names over its outline."""
    wide, high = held.tiling.window
    across = held.tiling.columns * (wide - OVERLAP) + OVERLAP
    down = held.tiling.rows * (high - OVERLAP) + OVERLAP
    # The tape runs along the map, also where it runs down the sheets.
    if held.turned:
        across, down = down, across
    room = (right - left - 62, MAP_HIGH - 5)
    by = min(room[0] / across, room[1] / down)
    x0 = left + 60

    def at(point: Point) -> Point:
        if held.turned:
            return x0 + point[1] * by, top + down * by - point[0] * by
        return x0 + point[0] * by, top + point[1] * by

    size = f"{tape_text(held.size[0], units)} x {said(held.size[1], units)}"
    yield Words(left, top + 5, cut_to(held.name, NORMAL, 58), NORMAL, bold=True)
    yield Words(left, top + 10, size, SMALL)
    tiles = "A1" if held.last == "A1" else f"A1 to {held.last}"
    yield Words(left, top + 14.5, f"{tiles}, on {_run(first, held.pages)}", SMALL)
    if held.turned:
        yield Words(left, top + 19, "length down the sheets", SMALL)
    for tile in held.tiling.tiles():
        one, two = at((tile.left, tile.top)), at((tile.right, tile.bottom))
        corners = sorted((one[0], two[0])), sorted((one[1], two[1]))
        data = (("kind", "map-tile"), ("tile", tile.name))
        ring = (
            (corners[0][0], corners[1][0]),
            (corners[0][1], corners[1][0]),
            (corners[0][1], corners[1][1]),
            (corners[0][0], corners[1][1]),
        )
        yield Path((ring,), "fine", True, data=data)
    for points, pen, _data in held.lines:
        if pen in ("thick", "saw"):
            yield Path((tuple(at(point) for point in points),), "thin")
    for tile in held.tiling.tiles():
        x, y = at(((tile.left + tile.right) / 2, (tile.top + tile.bottom) / 2))
        text = tile.name if held.shown(tile) else "–"
        wide_text = width_of(text, SMALL)
        if wide_text < (tile.right - tile.left) * by + 1:
            yield Words(x, y + 1, text, SMALL, "middle", halo=True)
