"""Lengths, viewports and transforms of SVG, as SVG 2 (chapter 8) and CSS Values 3 (section 6) define them."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from svgelements import Length, Matrix

from workshop.outlines.drawing import Floats, OutlineError

__all__ = [
    "PIXEL",
    "Viewport",
    "fitted",
    "nested",
    "numbers",
    "root",
    "size_of",
    "stretch",
    "transform",
    "view_box",
]

PIXEL: Final = 0.0254 / 96
"""A CSS pixel, m: 1/96 in."""

# svgelements knows a millimetre only as 0.0393701 in, which shows in an area's sixth digit.
_PIXELS: Final = {
    "mm": 96 / 25.4,
    "cm": 96 / 2.54,
    "q": 96 / 101.6,
    "in": 96.0,
    "pt": 96 / 72,
    "pc": 16.0,
    "px": 1.0,
    "": 1.0,
}
_BARE: Final = ("", "px")
_NUMBER: Final = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_LENGTH: Final = re.compile(rf"{_NUMBER}\s*(?:[A-Za-z]+|%)?", re.ASCII)
_EACH_NUMBER: Final = re.compile(_NUMBER, re.ASCII)
_TRANSFORMS: Final = re.compile(
    r"(?:[\s,]*(?:matrix|translate|scale|rotate|skewX|skewY)\s*\((?=[^()]*\d)[\s\d.,eE+-]+\))*\s*", re.ASCII
)
_MOST_TRANSFORM: Final = 10_000
"""No transform list that a drawing program writes has as many characters."""


@dataclass(frozen=True, slots=True)
class Viewport:
    """The nearest viewport's size in its own user units: what percentages are of."""

    width: float
    height: float


def size_of(text: str, of: float, what: str) -> float:
    """A length in user units; a percentage is taken of `of`. Raises OutlineError where it cannot be read."""
    bare = text.strip()
    length = Length(bare[:100])
    units = str(length.units or "").lower()
    if len(bare) > 100 or not _LENGTH.fullmatch(bare) or units not in {*_PIXELS, "%"}:
        raise OutlineError(f"{what} is {text[:40]!r}; give a number, alone or in px, mm, cm, in, pt or %.")
    return float(length.amount) * (of / 100 if units == "%" else _PIXELS[units])


def numbers(text: str, what: str) -> Floats:
    """The numbers of a list that is parted by spaces or commas."""
    if _EACH_NUMBER.sub("", text).strip(", \t\r\n\f"):
        raise OutlineError(f"{what} is no list of numbers; save the drawing again.")
    return np.array([float(one) for one in _EACH_NUMBER.findall(text)], dtype=np.float64)


def view_box(text: str | None, what: str) -> tuple[float, float, float, float] | None:
    """The four numbers of a viewBox; raises OutlineError where it has others or no size."""
    if text is None:
        return None
    held = numbers(text, f"{what}: viewBox")
    if len(held) != 4 or not np.isfinite(held).all() or held[2] <= 0 or held[3] <= 0:
        raise OutlineError(
            f"{what}: the viewBox is {text[:60]!r}; it needs four numbers, the last two above 0."
        )
    return float(held[0]), float(held[1]), float(held[2]), float(held[3])


def fitted(
    box: tuple[float, float, float, float], width: float, height: float, ratio: str | None, what: str
) -> Floats:
    """The transform from a viewBox to a viewport at the origin (SVG 2, section 8.2)."""
    words = [word for word in (ratio or "xMidYMid meet").split() if word != "defer"]
    align, slices = words[0] if words else "xMidYMid", words[1:] == ["slice"]
    scale_x, scale_y = width / box[2], height / box[3]
    if align == "none":
        return np.array([[scale_x, 0, -box[0] * scale_x], [0, scale_y, -box[1] * scale_y], [0, 0, 1]])
    found = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", align)
    if not found:
        raise OutlineError(f"{what}: preserveAspectRatio is {ratio!r}; write xMidYMid or leave it out.")
    share = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    scale = max(scale_x, scale_y) if slices else min(scale_x, scale_y)
    left = -box[0] * scale + share[found[1]] * (width - box[2] * scale)
    top = -box[1] * scale + share[found[2]] * (height - box[3] * scale)
    return np.array([[scale, 0, left], [0, scale, top], [0, 0, 1]])


def root(
    given: Mapping[str, str], name: str, unit_metres: float | None
) -> tuple[Floats, Viewport | None, bool]:
    """The outermost svg's transform to metres with y upward, its viewport, and whether its unit is known.

    The drawing keeps the origin of its own coordinates: of the viewBox only the scale is taken.
    """
    box = view_box(given.get("viewBox"), name)
    width, width_known = _outer(given, "width", name)
    height, height_known = _outer(given, "height", name)
    known = unit_metres is not None or width_known or height_known
    across, down = 1.0, 1.0
    port = None
    if box is not None:
        if width is not None and height is not None:
            fit = fitted(box, width, height, given.get("preserveAspectRatio"), name)
            across, down = float(fit[0, 0]), float(fit[1, 1])
        elif width is not None:
            across = down = width / box[2]
        elif height is not None:
            across = down = height / box[3]
        port = Viewport(box[2], box[3])
    elif width is not None and height is not None:
        port = Viewport(width, height)
    if unit_metres is not None:
        return np.diag([unit_metres, -unit_metres, 1.0]), port, known
    return np.diag([across * PIXEL, -down * PIXEL, 1.0]), port, known


def _outer(given: Mapping[str, str], side: str, name: str) -> tuple[float | None, bool]:
    """An outermost size in pixels, or None where it is absent or relative, and whether it has a real unit."""
    text = given.get(side, "auto").strip()
    if text == "auto" or text.endswith("%"):
        return None, False
    size = size_of(text, 0.0, f"{name}: {side}")
    if not 0 < size < float("inf"):
        raise OutlineError(f"{name}: {side} is {text[:40]!r}; give one above zero.")
    return size, str(Length(text).units or "").lower() not in _BARE


def nested(
    given: Mapping[str, str], outer: Viewport | None, what: str, *, placed: bool = True
) -> tuple[Floats, Viewport] | None:
    """The transform and viewport of an inner svg or a symbol; None where its size is zero: it shows nothing.

    A symbol is not `placed` by its own x and y, its `use` places it.
    """
    full = outer or Viewport(0.0, 0.0)
    sides = [given.get(side, "100%") for side in ("width", "height")]
    box = view_box(given.get("viewBox"), what)
    if outer is None and any(side.strip().endswith("%") for side in sides) and box is None:
        # Without a size anywhere nothing is scaled; percentages in it are refused when one is met.
        width = height = 0.0
    else:
        width = size_of(sides[0], full.width, f"{what}: width")
        height = size_of(sides[1], full.height, f"{what}: height")
        if outer is None and box is not None and not (width and height):
            width, height = box[2], box[3]
        if not (width > 0 and height > 0):
            return None
    left = size_of(given.get("x", "0"), full.width, f"{what}: x") if placed else 0.0
    top = size_of(given.get("y", "0"), full.height, f"{what}: y") if placed else 0.0
    moved = np.array([[1, 0, left], [0, 1, top], [0, 0, 1.0]])
    if box is None:
        return moved, Viewport(width, height)
    fit = fitted(box, width, height, given.get("preserveAspectRatio"), what)
    return np.asarray(moved @ fit), Viewport(box[2], box[3])


def transform(text: str | None, what: str) -> Floats:
    """A transform list as a matrix that takes columns (x, y, 1)."""
    if not text or text.strip() == "none":
        return np.eye(3)
    # svgelements passes over what it does not know, and the outline would stand elsewhere unsaid.
    if len(text) > _MOST_TRANSFORM or not _TRANSFORMS.fullmatch(text):
        raise OutlineError(
            f"{what}: the transform {text[:40]!r} is not known; save the drawing as plain SVG."
        )
    try:
        held = Matrix(text)
        return np.array([[held.a, held.c, held.e], [held.b, held.d, held.f], [0, 0, 1]], dtype=np.float64)
    except (TypeError, ValueError, IndexError, OverflowError):
        raise OutlineError(
            f"{what}: the transform {text[:40]!r} lacks a number; save the drawing again."
        ) from None


def stretch(matrix: Floats) -> float:
    """The most that a transform lengthens anything."""
    flat = matrix[:2, :2]
    if not np.isfinite(matrix).all():
        return float("inf")
    return float(np.linalg.norm(flat, 2))
