"""Polygons, lines and series to the cells of a terminal: two colours and one block glyph a cell.

A cell is twice as high as wide. It is sampled in 2 columns by 8 rows, since what a maker looks at (live
edges, lifts, cut planes) lies along the picture, where the eighth blocks show steps that half blocks lose.
Colours belong to the theme: a sample holds a layer, and later layers lie over earlier ones.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor
from operator import itemgetter
from typing import Final, Literal, get_args

Layer = Literal[
    "void",
    "form",
    "planned",
    "old",
    "resin",
    "stone",
    "wood",
    "grain",
    "below",
    "wood-off",
    "resin-off",
    "light",
    "cable",
    "cut",
    "ink",
    "label",
    "dim",
    "series",
    "second",
    "band",
    "limit",
    "trouble",
    "chosen",
    "outline",
]
"""What a sample shows. `below` is a slab's lower face that its upper one leaves in sight; `old` is resin
under the last lift, `planned` resin not poured yet; `-off` is what the planned cuts take away; `label` is
ink on something bright; `second` is a chart's other line; `trouble` is where something is wrong; `chosen` is
the wood of the piece in hand and `outline` its edge."""

LAYERS: Final[tuple[Layer, ...]] = get_args(Layer)
PLACES: Final[Mapping[Layer, int]] = {layer: place for place, layer in enumerate(LAYERS)}

ACROSS: Final = 2
DOWN: Final = 8
"""Samples in a cell."""

SIGNS: Final[Mapping[Layer, str]] = {
    "void": " ",
    "form": "█",
    "planned": "·",
    "old": "▒",
    "resin": "░",
    "stone": "▓",
    "wood": "─",
    "grain": "─",
    "below": "╌",
    "wood-off": "╱",
    "resin-off": "╲",
    "light": "●",
    "cable": "○",
    "cut": "┄",
    "ink": "━",
    "label": "━",
    "dim": "┄",
    "series": "•",
    "second": "◦",
    "band": "░",
    "limit": "╌",
    "trouble": "×",
    "chosen": "═",
    "outline": "━",
}
"""The hatch of each layer where there is no colour."""

WEIGHTS: Final[Mapping[Layer, float]] = {
    "light": 2.0,
    "cable": 4.0,
    "cut": 4.0,
    "ink": 4.0,
    "dim": 4.0,
    "series": 6.0,
    "second": 5.0,
    "limit": 4.0,
    "grain": 0.7,
    "below": 1.2,
    "trouble": 4.0,
    "outline": 1.6,
}
"""What is thin and matters counts more than the area behind it, 1 where nothing is stated."""

BRIGHT: Final[frozenset[Layer | None]] = frozenset(
    {"wood", "grain", "below", "stone", "light", "cable", "cut", "trouble", "chosen", "outline"}
)
"""What words stand on in dark ink."""

Point = tuple[float, float]
Ring = Sequence[Point]

Hatch = Literal["along", "across", "stones"]
"""A pattern on the grid of cells: grain along or across the picture, or stones."""

_STONES: Final = ("XX.XX.X.", ".XX.XXX.", "XX.XX.XX", "X.XXX.XX", ".XX.XX.X", "XX.X.XXX")


@dataclass(frozen=True, slots=True)
class Run:
    """Glyphs in one colour on another; `back` None is the pane's own background."""

    text: str
    fore: Layer
    back: Layer | None = None


Row = tuple[Run, ...]


def row_text(row: Row) -> str:
    """A row without its layers."""
    return "".join(run.text for run in row)


def in_cells(text: str) -> str:
    """Text of exactly one cell a character: whatever else it holds becomes a visible dot."""
    return "".join(sign if _one_cell(sign) else "·" for sign in text)


def _one_cell(sign: str) -> bool:
    kind = unicodedata.category(sign)[0]
    return sign == " " or (kind not in "CMZ" and unicodedata.east_asian_width(sign) not in "WF")


class Canvas:
    """A picture of `width` by `height` cells; its coordinates are samples, y downward from the top."""

    def __init__(self, width: int, height: int) -> None:
        if width < 0 or height < 0:
            raise ValueError(f"A canvas of {width} by {height} cells cannot be: give two sizes of 0 or more.")
        self.width, self.height = width, height
        self.across, self.down = width * ACROSS, height * DOWN
        self._samples = [bytearray(self.across) for _ in range(self.down)]
        self._texts: dict[tuple[int, int], tuple[str, Layer]] = {}

    def layer_at(self, x: int, y: int) -> Layer:
        """What one sample shows."""
        return LAYERS[self._samples[y][x]]

    def fill(self, rings: Iterable[Ring], layer: Layer, hatch: Hatch | None = None) -> None:
        """The samples whose middle lies inside the rings (even-odd rule, so that a ring inside is a hole).

        With a hatch only the samples of its pattern are set.
        """
        place = PLACES[layer]
        for y, start, end in self._spans(rings):
            row = self._samples[y]
            if hatch is None:
                row[start:end] = bytes((place,)) * (end - start)
                continue
            period, offsets = _pattern(hatch, y)
            for offset in offsets:
                first = start + (offset - start) % period
                if first < end:
                    row[first:end:period] = bytes((place,)) * len(range(first, end, period))

    def recolour(self, rings: Iterable[Ring], change: Mapping[Layer, Layer]) -> None:
        """Change layers inside the rings into others, such as wood into wood that is planed off."""
        table = bytes(PLACES[change.get(layer, layer)] for layer in LAYERS) + bytes(256 - len(LAYERS))
        for y, start, end in self._spans(rings):
            row = self._samples[y]
            row[start:end] = row[start:end].translate(table)

    def line(self, points: Sequence[Point], layer: Layer, wide: float = 1.0, high: float = 1.0) -> None:
        """A path as wide and as high as stated in samples, one at the least."""
        wide, high = max(1.0, wide), max(1.0, high)
        for (x1, y1), (x2, y2) in pairwise(points):
            cut = _clipped((x1, y1), (x2, y2), (-wide, -high, self.across + wide, self.down + high))
            if cut is None:
                continue
            (x1, y1), (x2, y2) = cut
            steps = max(1, ceil(max(abs(x2 - x1) / wide, abs(y2 - y1) / high) * 2))
            for step in range(steps + 1):
                x, y = x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps
                self.block(x - wide / 2, y - high / 2, wide, high, layer)

    def block(self, left: float, top: float, wide: float, high: float, layer: Layer) -> None:
        """A rectangle on whole samples, at least one each way, cut at the canvas."""
        x1, y1 = floor(left + 0.5), floor(top + 0.5)
        x2, y2 = x1 + max(1, floor(wide + 0.5)), y1 + max(1, floor(high + 0.5))
        start, end = max(0, x1), min(self.across, x2)
        for y in range(max(0, y1), min(self.down, y2)):
            if start < end:
                self._samples[y][start:end] = bytes((PLACES[layer],)) * (end - start)

    def series(
        self, values: Sequence[float | None], low: float, high: float, layer: Layer, wide: float = 1.0
    ) -> None:
        """Values spread over the width, from `low` at the bottom to `high` at the top.

        A column shows the least and the greatest of its values and joins the column before it; None breaks
        the line.
        """
        if not values or high <= low or not self.across:
            return
        rows: dict[int, tuple[float, float, float]] = {}
        for number, value in enumerate(values):
            if value is None:
                continue
            x = min(self.across - 1, number * self.across // len(values))
            y = (high - value) / (high - low) * (self.down - 1)
            least, greatest, _last = rows.get(x, (y, y, y))
            rows[x] = (min(least, y), max(greatest, y), y)
        for x, (top, bottom, _last) in rows.items():
            before = rows.get(x - 1)
            if before is not None:
                top, bottom = min(top, before[2]), max(bottom, before[2])
            top, bottom = max(-1.0, top), min(float(self.down), bottom)
            if top <= bottom:
                self.block(x, top - wide / 2, 1, bottom - top + wide, layer)
        self._bridge(values, low, high, layer, wide)

    def _bridge(
        self, values: Sequence[float | None], low: float, high: float, layer: Layer, wide: float
    ) -> None:
        """Join values that stand further apart than a column."""
        if len(values) >= self.across:
            return
        at = [
            None
            if value is None
            else (
                number * self.across // len(values) + 0.5,
                (high - value) / (high - low) * (self.down - 1) + 0.5,
            )
            for number, value in enumerate(values)
        ]
        for one, two in pairwise(at):
            if one is not None and two is not None:
                self.line((one, two), layer, 1.0, wide)

    def text(self, x: int, y: int, text: str, layer: Layer = "ink") -> bool:
        """Words from a cell on, over what is drawn there; False and nothing drawn where they do not fit."""
        signs = in_cells(text)
        cells = [(x + step, y) for step in range(len(signs))]
        if not signs or y < 0 or y >= self.height or x < 0 or x + len(signs) > self.width:
            return False
        if any(cell in self._texts for cell in cells):
            return False
        self._texts.update(
            {cell: (sign, layer) for cell, sign in zip(cells, signs, strict=True) if sign != " "}
        )
        return True

    def rows(self, colour: bool = True) -> tuple[Row, ...]:
        """The picture, every row exactly as wide as the canvas; without colour each layer has its hatch."""
        return tuple(self._row(y, colour) for y in range(self.height))

    def _row(self, y: int, colour: bool) -> Row:
        samples = self._samples[y * DOWN : (y + 1) * DOWN]
        made: list[tuple[list[str], Layer, Layer | None]] = []
        for x in range(self.width):
            start = x * ACROSS
            key = b"".join([row[start : start + ACROSS] for row in samples])
            text = self._texts.get((x, y))
            fore: Layer
            back: Layer | None
            if text is not None:
                sign, fore = text
                back = _main_layer(key) if colour else None
                if fore == "ink" and back in BRIGHT:
                    fore = "label"
            elif colour:
                sign, fore, back = _block_glyph(key)
            else:
                fore, back = _main_layer(key), None
                sign = SIGNS[fore]
            if made and made[-1][1] == fore and made[-1][2] == back:
                made[-1][0].append(sign)
            else:
                made.append(([sign], fore, back))
        return tuple(Run("".join(signs), fore, back) for signs, fore, back in made)

    def _spans(self, rings: Iterable[Ring]) -> Iterable[tuple[int, int, int]]:
        """Runs of samples inside rings: row, first, one past the last."""
        crossings: dict[int, list[float]] = {}
        for ring in rings:
            x1, y1 = ring[-1]
            for x2, y2 in ring:
                if y1 != y2:
                    top, bottom = (y1, y2) if y1 < y2 else (y2, y1)
                    first, last = max(0, ceil(top - 0.5)), min(self.down, ceil(bottom - 0.5))
                    slope = (x2 - x1) / (y2 - y1)
                    for y in range(first, last):
                        crossings.setdefault(y, []).append(x1 + (y + 0.5 - y1) * slope)
                x1, y1 = x2, y2
        for y, found in crossings.items():
            found.sort()
            for left, right in zip(found[::2], found[1::2], strict=False):
                start = ceil(max(left - 0.5, 0.0))
                end = ceil(min(right - 0.5, self.across))
                if start < end:
                    yield y, start, end


_PERIODS: Final[Mapping[Hatch, int]] = {"along": 17, "across": 13 * 2 * ACROSS, "stones": len(_STONES[0])}
"""After how many samples along a row each hatch begins anew."""


@lru_cache(maxsize=8192)
def _pattern(hatch: Hatch, y: int) -> tuple[int, tuple[int, ...]]:
    """The samples of a row on which a hatch lies: its period, and those of one."""
    period = _PERIODS[hatch]
    return period, tuple(x for x in range(period) if _on(hatch, x, y))


def _on(hatch: Hatch, x: int, y: int) -> bool:
    if hatch == "along":
        line = y // DOWN
        return y % DOWN == DOWN - 1 and (x + 7 * line) % 17 < (11 if line % 2 else 8)
    if hatch == "across":
        line = x // ACROSS
        return line % 2 == 1 and x % ACROSS == 1 and (y // 4 + 5 * line) % 13 < 9
    return _STONES[y // 4 % len(_STONES)][x % len(_STONES[0])] == "X"


def _clipped(one: Point, two: Point, box: tuple[float, float, float, float]) -> tuple[Point, Point] | None:
    """The part of a line inside a box (Liang and Barsky's clipping)."""
    (x1, y1), (x2, y2) = one, two
    start, end = 0.0, 1.0
    for step, room in (
        (x1 - x2, x1 - box[0]),
        (x2 - x1, box[2] - x1),
        (y1 - y2, y1 - box[1]),
        (y2 - y1, box[3] - y1),
    ):
        if step == 0:
            if room < 0:
                return None
            continue
        part = room / step
        if step < 0:
            start = max(start, part)
        else:
            end = min(end, part)
    if start > end:
        return None
    return (
        (x1 + start * (x2 - x1), y1 + start * (y2 - y1)),
        (x1 + end * (x2 - x1), y1 + end * (y2 - y1)),
    )


# Glyphs of a cell: which of its samples, row by row, the glyph covers, and which it leaves.


Glyph = tuple[str, Callable[[bytes], tuple[int, ...]], Callable[[bytes], tuple[int, ...]]]


def _glyph(sign: str, rows: Sequence[Sequence[int]]) -> Glyph:
    covered = [y * ACROSS + x for y, row in enumerate(rows) for x in row]
    left = [sample for sample in range(ACROSS * DOWN) if sample not in covered]
    inside: Callable[[bytes], tuple[int, ...]] = itemgetter(*covered)
    outside: Callable[[bytes], tuple[int, ...]] = itemgetter(*left)
    return sign, inside, outside


def _quarters(sign: str, upper: Sequence[int], lower: Sequence[int]) -> Glyph:
    return _glyph(sign, [upper] * (DOWN // 2) + [lower] * (DOWN // 2))


_LEVEL: Final = tuple(
    _glyph(sign, [()] * (DOWN - eighths) + [(0, 1)] * eighths)
    for eighths, sign in enumerate("▁▂▃▄▅▆▇", start=1)
)
_UPRIGHT: Final = (
    _quarters("▌", (0,), (0,)),
    _quarters("▖", (), (0,)),
    _quarters("▗", (), (1,)),
    _quarters("▘", (0,), ()),
    _quarters("▝", (1,), ()),
    _quarters("▚", (0,), (1,)),
)


@lru_cache(maxsize=16384)
def _block_glyph(key: bytes) -> tuple[str, Layer, Layer]:
    """The glyph and the two layers that show the most of a cell's samples, by weight."""
    places = set(key)
    if len(places) == 1:
        return " ", LAYERS[key[0]], LAYERS[key[0]]
    weights = [(place, WEIGHTS.get(LAYERS[place], 1.0)) for place in sorted(places)]
    level = key[::ACROSS] == key[1::ACROSS]
    best = (0.0, " ", 0, 0)
    for sign, covered, left in _LEVEL if level else (*_LEVEL, *_UPRIGHT):
        inside, outside = bytes(covered(key)), bytes(left(key))
        most, fore = max((inside.count(place) * weight, place) for place, weight in weights)
        rest, back = max((outside.count(place) * weight, place) for place, weight in weights)
        if most + rest > best[0] + 1e-9:
            best = (most + rest, sign, fore, back)
    _score, sign, fore, back = best
    return (" ", LAYERS[back], LAYERS[back]) if fore == back else (sign, LAYERS[fore], LAYERS[back])


@lru_cache(maxsize=16384)
def _main_layer(key: bytes) -> Layer:
    """The layer that counts most in a cell."""
    return LAYERS[
        max(set(key), key=lambda place: (key.count(place) * WEIGHTS.get(LAYERS[place], 1.0), place))
    ]
