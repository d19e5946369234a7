"""A picture to the cells of a terminal: to scale, with a scale bar, heights beside it and a legend."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, pi, sin
from typing import Final

from workshop.pictures.chart import chart_rows
from workshop.pictures.picture import Key, Label, Mark, Picture, Shape, Spot, Stroke, said
from workshop.pictures.ruler import SIDE, numbers, unit
from workshop.raster import ACROSS, DOWN, SIGNS, Canvas, Layer, Point, Ring, Row, Run, in_cells

STRETCHES: Final = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0)
"""By how much a section may be higher than true."""
LEAST_WIDTH: Final = 12
LEAST_HEIGHT: Final = 3
"""Cells under which nothing can be told apart."""
LEAST_ROOM: Final = 16
"""Cells that a section keeps beside its heights."""
BARS: Final[Mapping[str, tuple[float, ...]]] = {
    "metric": tuple(size * 10**power for power in (-3, -2, -1, 0) for size in (1.0, 2.0, 5.0)),
    "us": tuple(0.0254 * inches for inches in (0.25, 0.5, 1, 2, 3, 6, 12, 24, 48)),
}
SLIVER: Final = 0.35
"""The part of a row for which a plan is rather drawn a little smaller."""
STRONG: Final = 4
"""The rank from which a height is read in ink."""
REMOVED: Final[Mapping[Layer, Layer]] = {
    "wood": "wood-off",
    "chosen": "wood-off",
    "grain": "wood-off",
    "below": "wood-off",
    "resin": "resin-off",
    "old": "resin-off",
    "planned": "resin-off",
    "stone": "resin-off",
}


@dataclass(frozen=True, slots=True)
class Drawing:
    """Rows of exactly the width asked for, at most as many as there is room for, and the legend's rows.

    No rows where the picture holds nothing to draw or there is no room: the words stand for it then.
    """

    rows: tuple[Row, ...]
    legend: tuple[Row, ...]
    stretch: float = 1.0
    """How much higher than true to the width."""


@dataclass(frozen=True, slots=True)
class _Scale:
    """From metres to samples: m a cell, the stretch of the height, the upper left corner of the box."""

    cell: float
    stretch: float
    left: float
    top: float
    margin: int
    """Empty cells at the left."""

    def at(self, point: Point) -> Point:
        return (
            (point[0] - self.left) / self.cell * ACROSS + self.margin * ACROSS,
            (self.top - point[1]) * self.stretch / (2 * self.cell) * DOWN,
        )

    def ring(self, ring: Ring) -> tuple[Point, ...]:
        return tuple(self.at(point) for point in ring)


def draw(picture: Picture, width: int, height: int, colour: bool = True) -> Drawing:
    """A picture in at most `width` by `height` cells, the last row for its scale; hatched without colour."""
    legend = legend_rows(picture.legend, width, colour)
    if picture.box is None or width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return Drawing((), legend)
    left, bottom, right, top = picture.box
    if right <= left or top <= bottom:
        return Drawing((), legend)
    if picture.kind == "chart":
        made = chart_rows(picture, width, height, colour)
        return Drawing(made, legend_rows(_seen(picture.legend, made), width, colour))
    marks = picture.marks
    side = max((len(mark.text) for mark in marks), default=-2) + 2
    if side and width - side < LEAST_ROOM:
        side, marks = 0, ()
    ruler = SIDE if picture.ruler and width - SIDE >= LEAST_ROOM else 0
    room = width - side - ruler
    cell = (right - left) / room
    deep = top - bottom
    stretch = 1.0
    if picture.kind == "section":
        fits = [held for held in STRETCHES if deep * held / (2 * cell) <= height - 1]
        stretch = max(fits, default=1.0)
    if picture.kind == "plan":
        cell = _whole_rows(deep, cell)
    cell = max(cell, deep * stretch / (2 * (height - 1)))
    rows = min(height - 1, max(1, ceil(deep * stretch / (2 * cell) - 1e-9)))
    margin = max(0, int((room - (right - left) / cell) / 2)) if picture.kind == "plan" else 0
    scale = _Scale(cell, stretch, left, top, margin)
    canvas = Canvas(room, rows)
    _shapes(canvas, scale, picture)
    for label in picture.labels:
        _label(canvas, scale, label)
    for spot in picture.drawn:
        if isinstance(spot, Spot):
            _spot(canvas, scale, spot)
    drawn = canvas.rows(colour)
    legend = legend_rows(_seen(picture.legend, drawn), width, colour)
    if side:
        drawn = tuple(
            (*row, *beside) for row, beside in zip(drawn, _beside(marks, scale, rows, side), strict=True)
        )
    if ruler:
        beside = _left_numbers(picture, scale, rows)
        drawn = tuple((*number, *row) for number, row in zip(beside, drawn, strict=True))
        return Drawing((*drawn, _near_numbers(picture, scale, width)), legend, stretch)
    return Drawing((*drawn, _foot(picture, scale, width)), legend, stretch)


def _seen(keys: Sequence[Key], rows: Sequence[Row]) -> tuple[Key, ...]:
    """The entries of what can be seen in a drawing: a bevel may be too narrow for its cells."""
    layers = {layer for row in rows for run in row for layer in (run.fore, run.back)}
    return tuple(
        key
        for key in keys
        if (any(key.sign in run.text for row in rows for run in row) if key.sign else key.layer in layers)
    )


def natural_height(picture: Picture, width: int) -> int | None:
    """The rows that a plan takes at its full width with its scale; None for others, which take any."""
    if picture.box is None or picture.kind != "plan":
        return None
    left, bottom, right, top = picture.box
    if right <= left or top <= bottom:
        return None
    deep, room = top - bottom, width - (SIDE if picture.ruler and width - SIDE >= LEAST_ROOM else 0)
    return ceil(deep / (2 * _whole_rows(deep, (right - left) / max(1, room))) - 1e-9) + 1


def _whole_rows(deep: float, cell: float) -> float:
    """A size of cell at which a plan does not take a further row for a small part of one."""
    rows = deep / (2 * cell)
    return deep / (2 * floor(rows)) if rows >= 2 and rows - floor(rows) < SLIVER else cell


def _shapes(canvas: Canvas, scale: _Scale, picture: Picture) -> None:
    for held in picture.drawn:
        if isinstance(held, Spot):
            continue
        if isinstance(held, Stroke):
            wide, high = max(1.0, held.wide * ACROSS), max(1.0, held.high * DOWN)
            path = [
                (_within(x, wide / 2, canvas.across), _within(y, high / 2, canvas.down))
                for x, y in scale.ring(held.points)
            ]
            canvas.line(path, held.layer, wide, high)
            continue
        rings = [scale.ring(ring) for ring in held.rings]
        if held.removed:
            canvas.recolour(rings, REMOVED)
            continue
        if held.least != (0.0, 0.0) and _small(canvas, rings[0], held):
            continue
        if held.hatch is not None and held.over is None:
            canvas.fill(rings, held.layer, held.hatch)
            continue
        canvas.fill(rings, held.layer)
        if held.hatch is not None and held.over is not None:
            canvas.fill(rings, held.over, held.hatch)


def _within(place: float, half: float, size: int) -> float:
    """A line's place moved in so that it is seen where it runs along the picture's own edge."""
    if -half <= place < half:
        return half
    return size - half if size - half < place <= size + half else place


def _spot(canvas: Canvas, scale: _Scale, spot: Spot) -> None:
    x, y = scale.at((spot.x, spot.y))
    radius = spot.diameter / scale.cell * ACROSS / 2
    if radius >= ACROSS:
        ring = [
            (x + radius * cos(turn), y + radius * DOWN / (2 * ACROSS) * scale.stretch * sin(turn))
            for turn in (step * pi / 8 for step in range(16))
        ]
        canvas.fill([ring], spot.layer)
        return
    canvas.text(min(floor(x / ACROSS), canvas.width - 1), floor(y / DOWN), spot.sign, "ink")


def _small(canvas: Canvas, ring: Ring, held: Shape) -> bool:
    """Draw a shape that is less than its least size as a block of that size about its middle."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    wide, high = held.least[0] * ACROSS, held.least[1] * DOWN
    if max(xs) - min(xs) >= wide and max(ys) - min(ys) >= high:
        return False
    wide, high = max(wide, max(xs) - min(xs)), max(high, max(ys) - min(ys))
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    left = min(max(middle[0] - wide / 2, 0.0), canvas.across - wide)
    canvas.block(left, middle[1] - high / 2, wide, high, held.layer)
    return True


def _label(canvas: Canvas, scale: _Scale, label: Label) -> None:
    x, y = scale.at((label.x, label.y))
    if label.room is not None:
        wide = label.room[0] / scale.cell
        high = label.room[1] * scale.stretch / (2 * scale.cell)
        if wide < len(label.text) + 2 or high < 1.0:
            return
    column = min(max(0, round(x / ACROSS - len(label.text) / 2)), canvas.width - len(label.text))
    row = min(max(0, floor(y / DOWN)), canvas.height - 1)
    for step in (0, 1, -1, 2, -2):
        if canvas.text(column, row + step, label.text, label.layer):
            return


# Heights beside a section


def _beside(marks: Sequence[Mark], scale: _Scale, rows: int, side: int) -> Iterator[Row]:
    """A readout for each row: a height on the row where it lies, or the nearest that is free."""
    kept = sorted(marks, key=lambda mark: -mark.rank)[:rows]
    kept.sort(key=lambda mark: -mark.height)
    want = [min(rows - 1.0, max(0.0, scale.at((0.0, mark.height))[1] / DOWN - 0.5)) for mark in kept]
    at = dict(zip(apart(want, rows), zip(kept, want, strict=True), strict=True))
    for row in range(rows):
        if row not in at:
            yield (Run(" " * side, "void"),)
            continue
        mark, wanted = at[row]
        sign = "╶" if abs(wanted - row) <= 0.75 else " "
        text = in_cells(mark.text)[: side - 2]
        yield (
            Run(f"{sign} ", mark.layer),
            Run(text, "ink" if mark.rank >= STRONG else "dim"),
            *((Run(" " * (side - 2 - len(text)), "void"),) if len(text) < side - 2 else ()),
        )


def apart(wanted: Sequence[float], rows: int) -> tuple[int, ...]:
    """Rows for things in order, each its own and the squares of their shifts the least (pooling neighbours).

    There must be at least as many rows as things.
    """
    pools: list[tuple[float, int]] = []
    for number, row in enumerate(wanted):
        total, count = row - number, 1
        while pools and pools[-1][0] / pools[-1][1] >= total / count:
            before, size = pools.pop()
            total, count = total + before, count + size
        pools.append((total, count))
    free = [total / count for total, count in pools for _ in range(count)]
    last = rows - len(wanted)
    return tuple(min(last, max(0, floor(shift + 0.5))) + number for number, shift in enumerate(free))


# Ruler


def _left_numbers(picture: Picture, scale: _Scale, rows: int) -> Iterator[Row]:
    """The numbers across the form, from the near side up, each before the row in which it lies."""
    assert picture.box is not None
    at: dict[int, str] = {}
    for value, text in numbers(picture.box[1], picture.box[3], 4 * scale.cell, picture.units):
        row = floor(scale.at((0.0, value))[1] / DOWN)
        if 0 <= row < rows:
            at.setdefault(row, text)
    for row in range(rows):
        text = f"{at[row][: SIDE - 2]:>{SIDE - 2}}╶ " if row in at else " " * SIDE
        yield (Run(text[: SIDE - 1], "dim"), Run(" ", "void"))


def _near_numbers(picture: Picture, scale: _Scale, width: int) -> Row:
    """The numbers along the form under the picture, each after the tick at which it counts."""
    assert picture.box is not None
    signs = [" "] * width
    end = 0
    for value, text in numbers(picture.box[0], picture.box[2], 9 * scale.cell, picture.units):
        column = SIDE + floor(scale.at((value, 0.0))[0] / ACROSS)
        shown = f"╵{text}"
        if column >= max(SIDE, end) and column + len(shown) <= width:
            signs[column : column + len(shown)] = shown
            end = column + len(shown) + 1
    signs[:2] = unit(picture.units)
    return (Run("".join(signs), "dim"),)


# Scale and legend


def _foot(picture: Picture, scale: _Scale, width: int) -> Row:
    """A true scale bar, and by how much the height is stretched."""
    room = width - scale.margin
    most = max(1.0, room / 3) * scale.cell
    bar = max((size for size in BARS[picture.units.system] if size <= most), default=most)
    halves = max(1, floor(2 * bar / scale.cell + 0.5))
    line = "━" * (halves // 2) + "╸" * (halves % 2)
    text = f" {said(bar, picture.units)}"
    if scale.stretch != 1.0:
        text += f"   height x{scale.stretch:g}"
    text = text[: max(0, room - len(line))]
    row = [Run(" " * scale.margin, "void")] if scale.margin else []
    row += [Run(line, "ink"), Run(text, "dim")]
    left = width - scale.margin - len(line) - len(text)
    return (*row, Run(" " * left, "void")) if left else tuple(row)


def legend_rows(keys: Sequence[Key], width: int, colour: bool = True) -> tuple[Row, ...]:
    """The legend in rows of at most `width` cells, each entry a swatch of its layer and its words."""
    rows: list[Row] = []
    held: list[Run] = []
    used = 0
    for key in keys:
        text = in_cells(key.text)[: max(0, width - 2)]
        size = 2 + len(text)
        if held and used + 2 + size > width:
            rows.append(tuple(held))
            held, used = [], 0
        if held:
            held.append(Run("  ", "dim"))
            used += 2
        held += [Run(key.sign or ("■" if colour else SIGNS[key.layer]), key.layer), Run(f" {text}", "dim")]
        used += size
    if held:
        rows.append(tuple(held))
    return tuple(rows) if width >= LEAST_WIDTH else ()
