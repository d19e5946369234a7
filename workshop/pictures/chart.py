"""A chart to the cells of a terminal: each axis stretched to the room there is, with its ticks in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor
from typing import Final

from workshop.pictures.picture import Label, Picture, Shape, Spot, Stroke, Tick, Ticks
from workshop.raster import ACROSS, DOWN, Canvas, Layer, Point, Row, Run, in_cells

APART: Final = 2
"""Cells that stay free between two ticks along the foot."""
ROWS_APART: Final = 2
"""Rows from one tick to the next at the sides."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """From the units of the axes to samples."""

    box: tuple[float, float, float, float]
    across: int
    down: int

    def at(self, point: Point) -> Point:
        left, bottom, right, top = self.box
        return (
            (point[0] - left) / (right - left) * self.across,
            (top - point[1]) / (top - bottom) * self.down,
        )


def chart_rows(picture: Picture, width: int, height: int, colour: bool) -> tuple[Row, ...]:
    """Rows exactly `width` wide, `height` at most: the chart between its side ticks, over its foot's."""
    if picture.box is None or picture.axes is None:
        return ()
    bottom, top = picture.box[1], picture.box[3]
    rows = height - 1
    left = _fitting(picture.axes.left, bottom, top, rows)
    right = _fitting(picture.axes.right, bottom, top, rows)
    before = max((len(tick.text) for tick in left), default=-1) + 1
    after = max((len(tick.text) for tick in right), default=-1) + 1
    room = width - before - after
    if room < 8:
        return ()
    canvas = Canvas(room, rows)
    frame = _Frame(picture.box, canvas.across, canvas.down)
    for held in picture.drawn:
        if isinstance(held, Shape):
            canvas.fill([[frame.at(point) for point in ring] for ring in held.rings], held.layer, held.hatch)
        elif isinstance(held, Stroke):
            wide, high = held.wide * ACROSS, held.high * DOWN
            canvas.line([_seen(frame.at(point), canvas) for point in held.points], held.layer, wide, high)
    for spot in picture.drawn:
        if isinstance(spot, Spot):
            x, y = frame.at((spot.x, spot.y))
            canvas.text(floor(x / ACROSS), floor(y / DOWN), spot.sign, spot.layer)
    for label in picture.labels:
        _write(canvas, frame, label)
    drawn = canvas.rows(colour)
    at_left, at_right = _by_row(left, frame, rows), _by_row(right, frame, rows)
    made: list[Row] = []
    for number, row in enumerate(drawn):
        words = [Run(f"{at_left.get(number, ''):>{before - 1}} ", "dim")] if before else []
        made.append(
            (*words, *row, *([Run(f" {at_right.get(number, ''):<{after - 1}}", "dim")] if after else []))
        )
    return (*made, _foot(picture.axes.foot, frame, before, room, width))


def _seen(point: Point, canvas: Canvas) -> Point:
    """A place moved in by half a sample at the chart's own edges, so that a line along them is seen."""
    x, y = point
    if 0 <= y <= canvas.down:
        y = min(max(y, 0.5), canvas.down - 0.5)
    return (min(max(x, 0.5), canvas.across - 0.5) if 0 <= x <= canvas.across else x), y


def _fitting(sets: Ticks, bottom: float, top: float, rows: int) -> tuple[Tick, ...]:
    """The finest ticks that stand at least two rows apart."""
    for ticks in sets:
        seen = sorted((tick for tick in ticks if bottom <= tick.at <= top), key=lambda tick: tick.at)
        places = [(tick.at - bottom) / (top - bottom) * rows for tick in seen]
        if all(two - one >= ROWS_APART for one, two in pairwise(places)):
            return tuple(seen)
    return ()


def _by_row(ticks: Sequence[Tick], frame: _Frame, rows: int) -> dict[int, str]:
    found: dict[int, str] = {}
    for tick in ticks:
        row = min(rows - 1, floor(frame.at((0.0, tick.at))[1] / DOWN))
        found.setdefault(row, in_cells(tick.text))
    return found


def _foot(sets: Ticks, frame: _Frame, before: int, room: int, width: int) -> Row:
    """The finest ticks along the foot that do not run into one another, each under its place."""
    signs = [" "] * width
    for ticks in sets:
        places: list[tuple[int, str]] = []
        end = -APART
        for tick in ticks:
            column = min(room - 1, floor(frame.at((tick.at, 0.0))[0] / ACROSS))
            text = f"╵{in_cells(tick.text)}"
            if not frame.box[0] <= tick.at <= frame.box[2] or column + len(text) > room:
                continue
            if column < end + APART:
                break
            places.append((column, text))
            end = column + len(text)
        else:
            for column, text in places:
                signs[before + column : before + column + len(text)] = text
            break
    return (Run("".join(signs), "dim"),)


def _write(canvas: Canvas, frame: _Frame, label: Label) -> None:
    """Words centred over their place, on the nearest row that is free; moved in from the edges."""
    x, y = frame.at((label.x, label.y))
    column = min(max(0, round(x / ACROSS - len(label.text) / 2)), canvas.width - len(label.text))
    row = min(max(0, floor(y / DOWN)), canvas.height - 1)
    layer: Layer = label.layer
    for step in (0, -1, 1, -2, 2):
        if canvas.text(column, row + step, label.text, layer):
            return
