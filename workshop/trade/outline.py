"""Areas and volumes of slabs: outlines, stations along a tape, two unlike faces, holes, board feet.

Lengths in metres, areas in square metres, volumes in cubic metres. Sources: the surveyor's formula, the
trapezoidal rule, Simpson's rule and the prismoidal formula, as any surveying text gives them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

__all__ = [
    "BOARD_FOOT",
    "Outline",
    "Point",
    "SlabVolume",
    "Station",
    "board_feet",
    "contains",
    "crosses_itself",
    "mean_outline",
    "mean_stations",
    "outline_area",
    "outline_volume",
    "prismoid",
    "simpson",
    "station_outline",
    "stations_area",
    "stations_volume",
    "trapezoid",
]

Point = tuple[float, float]
Outline = Sequence[Point]

BOARD_FOOT = 144 * 0.0254**3
"""One board foot, m3: 144 cubic inches."""


@dataclass(frozen=True, slots=True)
class Station:
    """A place along a tape, with the distances from the tape to the left and to the right edge (m).

    An edge that the tape does not reach, so that both lie on one side of it, has a negative distance.
    """

    along: float
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class SlabVolume:
    """A slab's volume with the three sections that it rests on, all less the holes."""

    volume: float
    upper: float
    """Area of the upper face."""
    middle: float
    """Area half-way between the faces."""
    lower: float
    """Area of the lower face."""
    holes: float
    """Area of the holes, which go straight through and are taken off each section."""


def outline_area(outline: Outline) -> float:
    """Area inside a closed outline by the surveyor's formula; which way round does not matter."""
    if len(outline) < 3:
        raise ValueError(f"The outline has {len(outline)} points; give at least three.")
    # Taking one corner as the origin keeps the products small, so that an outline far from zero loses no
    # digits.
    x0, y0 = outline[0]
    local = [(x - x0, y - y0) for x, y in outline]
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in _edges(local))) / 2


def trapezoid(along: Sequence[float], ordinates: Sequence[float]) -> float:
    """Area under ordinates read at increasing places along a line, straight between them."""
    if len(along) != len(ordinates) or len(along) < 2:
        raise ValueError(
            f"There are {len(along)} places and {len(ordinates)} ordinates; give as many of each, "
            "two at the least."
        )
    if any(second <= first for first, second in pairwise(along)):
        raise ValueError(
            "The places along the line do not rise from each to the next; put them in order, each once."
        )
    return sum(
        (x2 - x1) * (y1 + y2) / 2 for (x1, y1), (x2, y2) in pairwise(zip(along, ordinates, strict=True))
    )


def simpson(ordinates: Sequence[float], spacing: float) -> float:
    """Simpson's rule over evenly spaced ordinates; over areas it is the prismoidal rule for volumes.

    Raises ValueError where the number of ordinates is even, which the rule cannot take.
    """
    if len(ordinates) < 3 or len(ordinates) % 2 == 0:
        raise ValueError(
            f"There are {len(ordinates)} ordinates; Simpson's rule needs an odd number, three at the least."
        )
    if spacing <= 0:
        raise ValueError(f"The spacing is {spacing:g} m; give one above zero.")
    return (
        spacing / 3 * (ordinates[0] + ordinates[-1] + 4 * sum(ordinates[1:-1:2]) + 2 * sum(ordinates[2:-1:2]))
    )


def prismoid(first: float, middle: float, last: float, length: float) -> float:
    """Volume between two end sections a `length` apart, with the section half-way (prismoidal formula)."""
    if length < 0:
        raise ValueError(f"The length is {length:g} m; give one of zero or more.")
    return length / 6 * (first + 4 * middle + last)


def stations_area(stations: Sequence[Station]) -> float:
    """Area of a face read at stations, its edges straight between them.

    Raises ValueError where the stations are out of order or an edge passes the other.
    """
    for station in stations:
        if station.left + station.right < 0:
            raise ValueError(
                f"At {station.along:g} m along the tape the left edge lies "
                f"{-station.left - station.right:g} m beyond the right one; read both distances again."
            )
    return trapezoid([s.along for s in stations], [s.left + s.right for s in stations])


def station_outline(stations: Sequence[Station]) -> tuple[Point, ...]:
    """The outline that stations describe: x along the tape, y to its left, counter-clockwise."""
    right = [(s.along, -s.right) for s in stations]
    left = [(s.along, s.left) for s in reversed(stations)]
    return tuple(right + left)


def mean_stations(upper: Sequence[Station], lower: Sequence[Station]) -> tuple[Station, ...]:
    """The stations half-way between two faces that were read at the same places along one tape."""
    if [s.along for s in upper] != [s.along for s in lower]:
        raise ValueError(
            "The two faces are not read at the same places along the tape; give both at each station."
        )
    return tuple(
        Station(a.along, (a.left + b.left) / 2, (a.right + b.right) / 2)
        for a, b in zip(upper, lower, strict=True)
    )


def mean_outline(upper: Outline, lower: Outline) -> tuple[Point, ...]:
    """The outline half-way between two faces whose corners answer each other, in the same order."""
    if len(upper) != len(lower):
        raise ValueError(
            f"The upper face has {len(upper)} corners and the lower {len(lower)}; "
            "give as many of each, in the same order."
        )
    return tuple(((x1 + x2) / 2, (y1 + y2) / 2) for (x1, y1), (x2, y2) in zip(upper, lower, strict=True))


def stations_volume(
    upper: Sequence[Station],
    thickness: float,
    *,
    lower: Sequence[Station] | None = None,
    holes: Sequence[Outline] = (),
) -> SlabVolume:
    """Volume of a slab read at stations, by the prismoidal formula where the lower face is read too."""
    below = upper if lower is None else lower
    sections = (stations_area(upper), stations_area(mean_stations(upper, below)), stations_area(below))
    return _volume(sections, thickness, holes)


def outline_volume(
    upper: Outline,
    thickness: float,
    *,
    lower: Outline | None = None,
    holes: Sequence[Outline] = (),
) -> SlabVolume:
    """Volume of a slab by its outline, by the prismoidal formula where the lower face's is given too."""
    below = upper if lower is None else lower
    sections = (outline_area(upper), outline_area(mean_outline(upper, below)), outline_area(below))
    return _volume(sections, thickness, holes)


def board_feet(volume: float) -> float:
    """A volume in board feet of 144 cubic inches, as it measures: no rounding up of thin stock."""
    return volume / BOARD_FOOT


def contains(outline: Outline, point: Point) -> bool:
    """Whether a point lies inside an outline (even-odd rule); on the edge itself either answer may come."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in _edges(outline):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


def crosses_itself(outline: Outline) -> bool:
    """Whether two sides of an outline cross, so that its area means nothing."""
    edges = _edges(outline)
    return any(_cross(*edges[i], *edges[j]) for i in range(len(edges)) for j in range(i + 2, len(edges)))


def _volume(sections: tuple[float, float, float], thickness: float, holes: Sequence[Outline]) -> SlabVolume:
    taken = sum(outline_area(hole) for hole in holes)
    if holes and taken >= min(sections):
        raise ValueError(
            f"The holes take {taken:.4g} m2 and the smaller face has {min(sections):.4g} m2; "
            "measure the holes again."
        )
    upper, middle, lower = (section - taken for section in sections)
    return SlabVolume(prismoid(upper, middle, lower, thickness), upper, middle, lower, taken)


def _edges(outline: Outline) -> list[tuple[Point, Point]]:
    return [(outline[i - 1], outline[i]) for i in range(len(outline))]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
