"""What a file brings in: shapes or stations in metres, and how much of a file is read at most."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from workshop.trade.outline import Point

__all__ = [
    "DEEPEST",
    "LARGEST",
    "MOST_BYTES",
    "MOST_ELEMENTS",
    "MOST_POINTS",
    "UNIT_METRES",
    "Drawing",
    "Floats",
    "Line",
    "OpenOutline",
    "OutlineError",
    "Ring",
    "Shape",
    "in_mm",
    "within_reach",
]

Ring = tuple[Point, ...]
Floats = NDArray[np.float64]
"""Points as rows of x and y."""

MOST_BYTES: Final = 20_000_000
MOST_POINTS: Final = 200_000
MOST_ELEMENTS: Final = 100_000
"""Elements of a drawing, copies of blocks and of `use` counted each time."""
DEEPEST: Final = 100
"""How deep groups, copies and blocks may stand in each other."""
LARGEST: Final = 100.0
"""No coordinate of a slab is further from zero than this, m."""

UNIT_METRES: Final = {
    "mm": 0.001,
    "cm": 0.01,
    "dm": 0.1,
    "m": 1.0,
    "in": 0.0254,
    "inch": 0.0254,
    "inches": 0.0254,
    "ft": 0.3048,
    "feet": 0.3048,
    "µm": 1e-6,
    "um": 1e-6,
}
"""The units that a table's header may name."""


class OutlineError(ValueError):
    """A file or an outline that cannot be used: one sentence that says what, where and how to mend it."""


class OpenOutline(OutlineError):
    """A line whose ends are too far apart to be an outline."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One closed outline with its holes, m; the first point is not repeated at the end."""

    ring: Ring
    holes: tuple[Ring, ...] = ()
    layer: str = ""
    """The group's label or id in an SVG, the layer in a DXF, the layer column in a CSV."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """What a file holds: shapes, or the stations of a table, all in metres with y upward."""

    shapes: tuple[Shape, ...] = ()
    stations: tuple[tuple[float, ...], ...] = ()
    """Rows of at, left, right and, where the lower face was read too, lower left and lower right."""
    notes: tuple[str, ...] = ()
    """What was mended or left out, a sentence each."""
    unit_known: bool = True
    """Whether the file says how long its unit is; if not, check the scale against a stated length."""


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line as a reader found it, before mending: m, y upward."""

    points: Floats
    closed: bool
    layer: str = ""
    """Lines of one layer are joined with each other, and what lies within another is its hole."""
    name: str = ""
    """What the shape is called; the layer where empty."""


def in_mm(length: float) -> str:
    """A length in m as text in mm, for a sentence."""
    return f"{length * 1000:.3g} mm" if abs(length) < 0.1 else f"{length * 1000:.0f} mm"


def within_reach(points: Floats, what: str) -> Floats:
    """The points themselves; raises OutlineError where one is no finite number or beyond 100 m."""
    if not np.isfinite(points).all():
        raise OutlineError(f"{what} has a coordinate that is no finite number; draw it again.")
    if points.size and float(np.abs(points).max()) > LARGEST:
        raise OutlineError(
            f"{what} reaches {float(np.abs(points).max()):.4g} m from the origin, more than {LARGEST:.0f} m; "
            "check its unit, or move it nearer."
        )
    return points
