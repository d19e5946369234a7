"""A picture before it meets a terminal: polygons by layer in metres, labels, heights, and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from workshop.quantity import LENGTH, METRIC, Units, show
from workshop.raster import Hatch, Layer, Point, Ring


@dataclass(frozen=True, slots=True)
class Shape:
    """Filled rings in one layer, the rings inside being holes; a hatch lies over them in another.

    A shape under `least` cells each way is drawn as large as that, so that a small hole stays in sight.
    """

    layer: Layer
    rings: tuple[Ring, ...]
    hatch: Hatch | None = None
    over: Layer | None = None
    """The layer of the hatch; with a hatch and none, the hatch alone is drawn in `layer`."""
    least: tuple[float, float] = (0.0, 0.0)
    """Cells wide and high at the least."""
    removed: bool = False
    """Whether the planned cuts take away what lies inside: it is shown so, and the layer is not drawn."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line, at least as thick as stated in cells each way."""

    layer: Layer
    points: tuple[Point, ...]
    wide: float = 0.5
    high: float = 0.125


@dataclass(frozen=True, slots=True)
class Spot:
    """A hole: a sign where it is smaller than that, else its outline."""

    layer: Layer
    x: float
    y: float
    diameter: float
    sign: str


Drawn = Shape | Stroke | Spot


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a place. They are left out where the picture is too small for their room (m wide, m high)."""

    x: float
    y: float
    text: str
    layer: Layer = "ink"
    room: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A height beside a section. Where there are more than rows, the least of `rank` stay."""

    height: float
    text: str
    layer: Layer = "dim"
    rank: int = 1


@dataclass(frozen=True, slots=True)
class Key:
    """One entry of the legend; `sign` where the picture shows one."""

    layer: Layer
    text: str
    sign: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """A place on an axis and its words."""

    at: float
    text: str


Ticks = tuple[tuple[Tick, ...], ...]
"""Sets of ticks from the finest to the coarsest: a chart takes the first that has room."""


@dataclass(frozen=True, slots=True)
class Axes:
    """What a chart is read by, in the units of its box: along its foot, at its left and at its right."""

    foot: Ticks
    left: Ticks
    right: Ticks = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """What is drawn, in m, y (or the height) upward; `box` is left, bottom, right, top.

    A chart's box is in the units of its axes, each stretched to the room there is.
    """

    kind: Literal["plan", "section", "chart"]
    title: str
    box: tuple[float, float, float, float] | None
    drawn: tuple[Drawn, ...] = ()
    labels: tuple[Label, ...] = ()
    marks: tuple[Mark, ...] = ()
    legend: tuple[Key, ...] = ()
    words: tuple[str, ...] = ()
    """The same for those who do not see it."""
    units: Units = METRIC
    ruler: bool = False
    """Whether a plan has its lengths numbered along the near and the left side, in place of a scale."""
    axes: Axes | None = None
    """What a chart is read by."""


def outlined(left: float, bottom: float, right: float, top: float) -> Stroke:
    """A size of which no more is known, as an outline."""
    corners = rectangle(left, bottom, right, top)
    return Stroke("dim", (*corners, corners[0]))


def rectangle(left: float, bottom: float, right: float, top: float) -> tuple[Point, ...]:
    """Its four corners."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def said(value: float, units: Units) -> str:
    """A length with its unit."""
    return show(value, LENGTH, units)


def bare(value: float, units: Units) -> str:
    """A length as a maker reads it in a drawing: millimetres without their unit."""
    return said(value, units).removesuffix(" mm")


def sizes(values: Sequence[float], units: Units) -> str:
    """`1400 x 400` for a title; `60 x 9 in` where the project counts inches."""
    shown = [bare(value, units) for value in values]
    return " x ".join([*(text.removesuffix(" in") for text in shown[:-1]), *shown[-1:]])


def taped(value: float, units: Units) -> str:
    """A length as a tape reads it: whole millimetres, or the project's inch fraction."""
    return said(round(value, 3) if units.system == "metric" else value, units)


def ranged(low: float, high: float, units: Units) -> str:
    """`104 to 112 mm`, or one length where both read the same."""
    one, two = said(low, units), said(high, units)
    return two if one == two else f"{one.rpartition(' ')[0] or one} to {two}"


def listed(parts: Sequence[str]) -> str:
    """`a, b and c`."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
