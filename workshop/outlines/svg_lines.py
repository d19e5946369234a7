"""The lines of SVG's path and basic shapes, in the element's own coordinates, curves made straight sides."""

import math
import re
from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np
from svgelements import Arc, Close, CubicBezier, Move, Path, QuadraticBezier

from workshop.outlines.drawing import MOST_POINTS, Floats, OutlineError
from workshop.outlines.svg_viewport import numbers

__all__ = ["DRAWN", "element_lines", "too_many_points"]

DRAWN: Final = frozenset({"path", "polygon", "polyline", "rect", "circle", "ellipse", "line"})
_PATH: Final = re.compile(r"[MmZzLlHhVvCcSsQqTtAa\d.,eE+\-\s]*", re.ASCII)
_COMMAND: Final = re.compile(r"([MmLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_NUMBER: Final = re.compile(r"(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_TAKES: Final = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2, "a": 7}

Measure = Callable[[str, str], float]
"""An attribute's length in user units, by its name and its value where it is absent."""


def too_many_points(name: str) -> OutlineError:
    """The refusal of a drawing with more points than any outline needs."""
    return OutlineError(
        f"{name} has more than {MOST_POINTS} points; simplify the outline, or save it alone in a file."
    )


def element_lines(
    tag: str, given: Mapping[str, str], measure: Measure, tolerance: float, room: int, what: str
) -> list[tuple[Floats, bool]]:
    """The lines of one element, each with whether it is closed.

    `tolerance` is how far a side may keep from its curve, in the element's coordinates; `room` how many
    points are left of those that a drawing may have.
    """
    if tag == "path":
        return _path_lines(given.get("d", ""), tolerance, room, what)
    if tag in ("polygon", "polyline"):
        held = numbers(given.get("points", ""), f"{what}: points")
        if len(held) % 2:
            raise OutlineError(f"{what}: the points have an x without its y; save the drawing again.")
        return [(held.reshape(-1, 2), tag == "polygon")] if len(held) else []
    if tag == "line":
        ends = [[measure("x1", "0"), measure("y1", "0")], [measure("x2", "0"), measure("y2", "0")]]
        return [(np.array(ends), False)]
    if tag == "rect":
        return _rectangle(given, measure, tolerance, what)
    if tag == "circle":
        across = down = measure("r", "0")
    else:
        across, down = (
            measure("ry" if given.get(one, "auto") == "auto" else one, "0")
            if one == "rx"
            else measure("rx" if given.get(one, "auto") == "auto" else one, "0")
            for one in ("rx", "ry")
        )
    if across < 0 or down < 0:
        raise OutlineError(f"{what}: the radius is below zero; draw it again.")
    if not (across and down):
        return []
    turns = np.linspace(0, 2 * math.pi, _sides(2 * math.pi, max(across, down), tolerance), endpoint=False)
    centre = (measure("cx", "0"), measure("cy", "0"))
    ring = np.column_stack([centre[0] + across * np.cos(turns), centre[1] + down * np.sin(turns)])
    return [(ring, True)]


def _rectangle(
    given: Mapping[str, str], measure: Measure, tolerance: float, what: str
) -> list[tuple[Floats, bool]]:
    left, top, width, height = (measure(side, "0") for side in ("x", "y", "width", "height"))
    if width < 0 or height < 0:
        raise OutlineError(f"{what}: the width or height is below zero; draw it again.")
    if not (width and height):
        return []
    set_x, set_y = given.get("rx", "auto") != "auto", given.get("ry", "auto") != "auto"
    across = measure("rx" if set_x else "ry", "0") if set_x or set_y else 0.0
    down = measure("ry" if set_y else "rx", "0") if set_x or set_y else 0.0
    across, down = min(max(across, 0), width / 2), min(max(down, 0), height / 2)
    right, bottom = left + width, top + height
    if not (across and down):
        return [(np.array([[left, top], [right, top], [right, bottom], [left, bottom]]), True)]
    centres = (
        (right - across, top + down),
        (right - across, bottom - down),
        (left + across, bottom - down),
        (left + across, top + down),
    )
    steps = _sides(math.pi / 2, max(across, down), tolerance) + 1
    corners = []
    for place, (x, y) in enumerate(centres):
        turns = np.linspace((place - 1) * math.pi / 2, place * math.pi / 2, steps)
        corners.append(np.column_stack([x + across * np.cos(turns), y + down * np.sin(turns)]))
    return [(_without_repeats(np.vstack(corners)), True)]


def _path_lines(text: str, tolerance: float, room: int, what: str) -> list[tuple[Floats, bool]]:
    found = _PATH.match(text)
    if found and found.end() < len(text):
        raise OutlineError(
            f"{what}: the path has {text[found.end()]!r} at character {found.end() + 1}, which no path has; "
            "save the drawing again."
        )
    if _segments(text) > room:
        raise too_many_points(what)
    try:
        segments = list(Path(text))
    except (ValueError, TypeError, IndexError, AttributeError, ArithmeticError):
        raise OutlineError(
            f"{what}: the path breaks off or lacks a number; save the drawing again."
        ) from None
    lines: list[tuple[Floats, bool]] = []
    parts: list[Floats] = []
    left = room

    def finish(closed: bool) -> None:
        nonlocal parts
        if parts:
            lines.append((_without_repeats(np.vstack(parts)), closed))
        parts = []

    for segment in segments:
        if isinstance(segment, Move):
            finish(closed=False)
        elif segment.start is None:
            raise OutlineError(f"{what}: the path does not begin with M; save the drawing again.")
        elif isinstance(segment, Close):
            finish(closed=True)
        else:
            if not parts:
                parts.append(np.array([[segment.start.x, segment.start.y]]))
            parts.append(_side(segment, tolerance, left, what))
            left -= len(parts[-1])
    finish(closed=False)
    return lines


def _segments(text: str) -> int:
    """How many segments path data has, counted before any is made."""
    total = text.count("Z") + text.count("z")
    for command, held in _COMMAND.findall(text):
        total += max(1, len(_NUMBER.findall(held)) // _TAKES[command.lower()])
    return total


def _side(segment: Any, tolerance: float, room: int, what: str) -> Floats:
    """A segment's points after its start."""
    end = np.array([[segment.end.x, segment.end.y]], dtype=np.float64)
    count = 1
    if isinstance(segment, Arc):
        radius = max(abs(float(segment.rx)), abs(float(segment.ry)))
        # An arc without one of its radii is a straight line (SVG 2, section 9.5.1).
        if min(abs(float(segment.rx)), abs(float(segment.ry))) > 0:
            count = _sides(abs(float(segment.sweep)), radius, tolerance)
    elif isinstance(segment, (CubicBezier, QuadraticBezier)):
        count = _steps(segment, tolerance)
    if count > room:
        raise too_many_points(what)
    if count == 1:
        return end
    points = np.asarray(segment.npoint(np.linspace(0, 1, count + 1)[1:]), dtype=np.float64)
    points[-1] = end
    return points


def _steps(segment: Any, tolerance: float) -> int:
    """Into how many even parts a Bezier is cut: a chord keeps within the second derivative's eighth."""
    held = np.array([[one.x, one.y] for one in segment], dtype=np.float64)
    degree = len(held) - 1
    bend = float(np.hypot(*np.diff(held, n=2, axis=0).T).max()) * degree * (degree - 1)
    return _whole(math.sqrt(bend / (8 * tolerance)) if math.isfinite(bend) else math.inf)


def _sides(turn: float, radius: float, tolerance: float) -> int:
    """How many chords keep within the tolerance of an arc, at the most a third of a right angle each."""
    if not (math.isfinite(turn) and math.isfinite(radius)):
        return _whole(math.inf)
    step = 2 * math.acos(max(math.cos(math.pi / 12), 1 - tolerance / radius))
    return _whole(turn / step if step > 0 else math.inf)


def _whole(count: float) -> int:
    return max(1, math.ceil(min(count, MOST_POINTS + 1)))


def _without_repeats(points: Floats) -> Floats:
    """The points without those that repeat the one before, as joints of segments do."""
    kept = np.ones(len(points), dtype=bool)
    kept[1:] = (np.diff(points, axis=0) != 0).any(axis=1)
    return points[kept]
