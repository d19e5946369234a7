"""Temperature through the thickness at the peak: board, older lifts, fresh lift, air."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING, Final

from workshop.pictures.picture import Axes, Drawn, Key, Label, Picture, Shape, Stroke, rectangle
from workshop.pictures.ticks import heights, temperatures, whole_degrees
from workshop.quantity import DURATION, Units, show
from workshop.raster import Layer

if TYPE_CHECKING:
    from workshop.cure_course import Course

AIR: Final = 0.18
"""The part of the thickness for which air is shown above it."""
LAYERS: Final[dict[str, Layer]] = {"board": "form", "below": "old", "lift": "resin"}


def cure_profile(course: Course, name: str, below: Sequence[str], units: Units) -> Picture:
    """The profile of a lift by its `name`; `below` are the names of the lifts beneath, from the floor up."""
    held = course.profile
    bottom = held.levels[0].low
    top = held.levels[-1].high
    high = top + AIR * (top - bottom)
    coldest, warmest = min(*held.warm, held.shop), max(*held.warm, held.shop)
    left, right = floor((coldest - 1.0) / 5) * 5.0, ceil((warmest + 1.0) / 5) * 5.0
    drawn: list[Drawn] = [
        Shape(LAYERS[level.what], (rectangle(left, level.low, right, level.high),)) for level in held.levels
    ]
    drawn += (
        Stroke("dim", ((left, level.high), (right, level.high)), high=0.0)
        for level, above in pairwise(held.levels)
        if level.what == above.what == "below"
    )
    line = (
        *zip(held.warm, held.heights, strict=True),
        (held.shop, top + (high - top) / 4),
        (held.shop, high),
    )
    drawn.append(Stroke("series", line, wide=0.5, high=0.25))
    names = ["board", *below, name]
    labels = [Label(right, (top + high) / 2, "air", "dim")]
    labels += (
        Label(right, (level.low + level.high) / 2, text)
        for level, text in zip(held.levels, names[-len(held.levels) :], strict=True)
    )
    keys = [Key("series", "temperature"), Key("resin", "this lift")]
    keys += [Key("old", "lifts below")] if below else []
    floor_at = held.levels[0].high
    return Picture(
        "chart",
        f"THROUGH IT AT ITS PEAK, {show(course.peak_time, DURATION, units)}",
        (left, bottom, right, high),
        tuple(drawn),
        tuple(labels),
        legend=(*keys, Key("form", "board")),
        words=_words(course, name, below, units),
        units=units,
        axes=Axes(temperatures(left, right, units, unit=True), heights(floor_at, top, units)),
    )


def _words(course: Course, name: str, below: Sequence[str], units: Units) -> tuple[str, ...]:
    held = course.profile

    def warm(value: float) -> str:
        return whole_degrees(value, units)

    hottest = max(range(len(held.warm)), key=lambda number: held.warm[number])
    at = held.heights[hottest]
    where = next((level.what for level in held.levels if level.low <= at <= level.high), "lift")
    place = {"board": "the board", "below": "the resin below", "lift": name}[where]
    said = [f"At its peak, {show(course.peak_time, DURATION, units)} after the pour: hottest in {place}."]
    for level, text in zip(held.levels, ["board", *below, name][-len(held.levels) :], strict=True):
        inside = [
            value
            for height, value in zip(held.heights, held.warm, strict=True)
            if level.low <= height <= level.high
        ]
        if inside:
            said.append(f"{text}: {warm(min(inside))} to {warm(max(inside))}.")
    return (*said, f"Air: {warm(held.shop)}.")
