"""Dimensions on paper, in mm: lengths between two lines, running dimensions from one wall, and gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from workshop.pictures.picture import taped
from workshop.quantity import Units
from workshop.sheets.ink import SMALL, Data, Group, Ink, Path, Words, line, width_of
from workshop.trade.outline import Point

Outside = Literal["before", "after"]
"""Where a text stands that finds no room between its arrows: before or after them as one reads."""

ARROW = 2.2
"""mm long."""
SLIM = 0.35
"""mm: half as wide."""
BEYOND = 1.0
"""mm that an extension line runs past its dimension line."""
CLEAR = 0.8
"""mm between what is measured and its extension line."""
ROW = 3.5
"""mm that running dimensions keep from each other."""
FLAT = 3.0
"""mm that a running dimension's line has for turning to its text."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One running dimension: where it stands on its axis, what it says, and from where its line comes."""

    at: float
    text: str
    start: float


def tape_text(value: float, units: Units) -> str:
    """A length as it stands in a drawing: whole millimetres without their unit, or inches with theirs."""
    return taped(value, units).removesuffix(" mm")


def level(
    x1: float,
    x2: float,
    y: float,
    text: str,
    ends: tuple[float, float],
    data: Data = (),
    outside: Outside = "after",
) -> Group:
    """A dimension along the paper at `y`, with extension lines from the heights `ends`."""
    parts: list[Ink] = []
    for x, end in zip((x1, x2), ends, strict=True):
        way = 1.0 if y >= end else -1.0
        parts.append(line((x, end + way * CLEAR), (x, y + way * BEYOND)))
    low, high = sorted((x1, x2))
    room = high - low
    wide = width_of(text, SMALL)
    if room >= 2 * ARROW + 1:
        parts += [line((low, y), (high, y)), _arrow((low, y), (-1, 0)), _arrow((high, y), (1, 0))]
    else:
        parts += [line((low - ARROW - 1.5, y), (high + ARROW + 1.5, y))]
        parts += [_arrow((low, y), (1, 0)), _arrow((high, y), (-1, 0))]
    if room >= wide + 1.5:
        parts.append(Words((low + high) / 2, y - 0.8, text, SMALL, "middle", halo=True))
    elif outside == "after":
        parts.append(Words(high + ARROW + 2, y + 1.0, text, SMALL))
    else:
        parts.append(Words(low - ARROW - 2, y + 1.0, text, SMALL, "end"))
    return Group(tuple(parts), (("kind", "dimension"), *data))


def upright(
    y1: float,
    y2: float,
    x: float,
    text: str,
    ends: tuple[float, float],
    data: Data = (),
    outside: Outside = "after",
) -> Group:
    """A dimension up the paper at `x`, with extension lines from the places `ends`; its text reads upward."""
    parts: list[Ink] = []
    for y, end in zip((y1, y2), ends, strict=True):
        way = 1.0 if x >= end else -1.0
        parts.append(line((end + way * CLEAR, y), (x + way * BEYOND, y)))
    low, high = sorted((y1, y2))
    room = high - low
    wide = width_of(text, SMALL)
    if room >= 2 * ARROW + 1:
        parts += [line((x, low), (x, high)), _arrow((x, low), (0, -1)), _arrow((x, high), (0, 1))]
    else:
        parts += [line((x, low - ARROW - 1.5), (x, high + ARROW + 1.5))]
        parts += [_arrow((x, low), (0, 1)), _arrow((x, high), (0, -1))]
    if room >= wide + 1.5:
        parts.append(Words(x - 0.8, (low + high) / 2, text, SMALL, "middle", 90, halo=True))
    elif outside == "after":
        parts.append(Words(x + 1.0, high + ARROW + 2, text, SMALL, "end", 90))
    else:
        parts.append(Words(x + 1.0, low - ARROW - 2, text, SMALL, "start", 90))
    return Group(tuple(parts), (("kind", "dimension"), *data))


def between(one: Point, two: Point, text: str, data: Data = (), side: Outside = "after") -> Group:
    """The distance between two places, dimensioned right where it is, its text beside it."""
    length = hypot(two[0] - one[0], two[1] - one[1])
    if length <= 0:
        return Group((), data)
    dx, dy = (two[0] - one[0]) / length, (two[1] - one[1]) / length
    if length >= 2 * ARROW + 1:
        parts: list[Ink] = [line(one, two, kind="dimension-line")]
        parts += [_arrow(one, (-dx, -dy)), _arrow(two, (dx, dy))]
    else:
        out = ARROW + 1.5
        parts = [line(one, two, kind="dimension-line")]
        parts += [line((one[0] - dx * out, one[1] - dy * out), one)]
        parts += [line(two, (two[0] + dx * out, two[1] + dy * out))]
        parts += [_arrow(one, (dx, dy)), _arrow(two, (-dx, -dy))]
    x, y = (one[0] + two[0]) / 2, (one[1] + two[1]) / 2
    if abs(dy) >= abs(dx):
        if side == "after":
            parts.append(Words(x + 1.5, y + 1.0, text, SMALL, halo=True))
        else:
            parts.append(Words(x - 1.5, y + 1.0, text, SMALL, "end", halo=True))
    else:
        parts.append(Words(x, y - 1.2, text, SMALL, "middle", halo=True))
    return Group(tuple(parts), (("kind", "dimension"), *data))


def running_up(ticks: Sequence[Tick], x: float, zero: float | None, data: Data = ()) -> Group:
    """Running dimensions beside a view: each a line to the column at `x`, its text there.

    With `zero` an axis stands at `x`, its origin marked by a ring's place. Texts that would touch are moved
    apart. A column to the left of where its lines start has its texts to its left.
    """
    rows = sorted(ticks, key=lambda tick: tick.at)
    parts: list[Ink] = []
    for tick, place in zip(rows, spread([tick.at for tick in rows]), strict=True):
        way = 1.0 if x >= tick.start else -1.0
        parts.append(
            Path((((tick.start, tick.at), (x, tick.at), (x + way * FLAT, place)),), "thin"),
        )
        anchor: Literal["start", "end"] = "start" if way > 0 else "end"
        parts.append(Words(x + way * (FLAT + 0.7), place + 1.0, tick.text, SMALL, anchor))
    if zero is not None and rows:
        ends = [zero, *(tick.at for tick in rows)]
        parts.append(line((x, min(ends)), (x, max(ends))))
    return Group(tuple(parts), (("kind", "dimension"), *data))


def running_along(ticks: Sequence[Tick], y: float, zero: float | None, data: Data = ()) -> Group:
    """The same along a view; the texts read upward, above where `y` lies above the lines' starts."""
    rows = sorted(ticks, key=lambda tick: tick.at)
    parts: list[Ink] = []
    for tick, place in zip(rows, spread([tick.at for tick in rows]), strict=True):
        way = 1.0 if y >= tick.start else -1.0
        parts.append(
            Path((((tick.at, tick.start), (tick.at, y), (place, y + way * FLAT)),), "thin"),
        )
        anchor: Literal["start", "end"] = "start" if way < 0 else "end"
        parts.append(Words(place + 1.0, y + way * (FLAT + 0.7), tick.text, SMALL, anchor, 90))
    if zero is not None and rows:
        ends = [zero, *(tick.at for tick in rows)]
        parts.append(line((min(ends), y), (max(ends), y)))
    return Group(tuple(parts), (("kind", "dimension"), *data))


def spread(places: Sequence[float], gap: float = ROW) -> list[float]:
    """Rising places moved as little as can be, so that each keeps its gap (pooled adjacent violators)."""
    blocks: list[tuple[float, int]] = []
    for number, place in enumerate(places):
        total, count = place - gap * number, 1
        while blocks and blocks[-1][0] / blocks[-1][1] > total / count:
            before = blocks.pop()
            total, count = total + before[0], count + before[1]
        blocks.append((total, count))
    levels = [total / count for total, count in blocks for _ in range(count)]
    return [place + gap * number for number, place in enumerate(levels)]


def merged(rows: Sequence[tuple[float, str, float, str]]) -> tuple[Tick, ...]:
    """Ticks of (place, length as text, start, whose), those that read the same put together."""
    held: dict[tuple[float, str], tuple[float, list[str]]] = {}
    for at, text, start, whose in rows:
        key = (round(at, 1), text)
        first, names = held.setdefault(key, (start, []))
        if whose not in names:
            names.append(whose)
        held[key] = (first, names)
    return tuple(Tick(at, f"{text} {', '.join(names)}", start) for (at, text), (start, names) in held.items())


def _arrow(tip: Point, way: tuple[float, float]) -> Path:
    """A filled arrow head that points the way (of length one)."""
    dx, dy = way
    x, y = tip[0] - dx * ARROW, tip[1] - dy * ARROW
    ring = (tip, (x - dy * SLIM, y + dx * SLIM), (x + dy * SLIM, y - dx * SLIM))
    return Path((ring,), "none", True, "black")
