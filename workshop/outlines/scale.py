"""Whether a drawing is as large as the slab, and which mistake of units explains it if not."""

import math
from dataclasses import dataclass, replace
from typing import Final, Literal

from workshop.outlines.drawing import LARGEST, Drawing, OutlineError, Ring, in_mm
from workshop.trade.outline import Point, outline_area

__all__ = ["ScaleCheck", "extents", "scale_check", "scaled"]

AGREES: Final = 0.005
_WITHIN: Final = 0.01

_READ: Final = {
    "pixels (96 to the inch)": 0.0254 / 96,
    "points (72 to the inch)": 0.0254 / 72,
    "units of 90 to the inch": 0.0254 / 90,
    "mm": 0.001,
    "cm": 0.01,
    "inches": 0.0254,
    "feet": 0.3048,
    "m": 1.0,
}
_MISTAKES: Final = (
    ("pixels (96 to the inch)", "mm"),
    ("mm", "inches"),
    ("inches", "mm"),
    ("mm", "cm"),
    ("cm", "mm"),
    ("mm", "m"),
    ("m", "mm"),
    ("cm", "m"),
    ("m", "cm"),
    ("pixels (96 to the inch)", "points (72 to the inch)"),
    ("points (72 to the inch)", "pixels (96 to the inch)"),
    ("pixels (96 to the inch)", "units of 90 to the inch"),
    ("units of 90 to the inch", "pixels (96 to the inch)"),
    ("mm", "pixels (96 to the inch)"),
    ("points (72 to the inch)", "mm"),
    ("mm", "points (72 to the inch)"),
    ("pixels (96 to the inch)", "cm"),
    ("pixels (96 to the inch)", "inches"),
    ("cm", "inches"),
    ("inches", "cm"),
    ("mm", "feet"),
    ("feet", "mm"),
    ("inches", "feet"),
    ("feet", "inches"),
    ("feet", "m"),
    ("m", "feet"),
    ("inches", "m"),
    ("m", "inches"),
)
"""What a drawing was read as, and in what it was drawn, the commoner mistakes first."""


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """A drawing's length beside the stated one, m."""

    measured: float
    stated: float
    factor: float
    """What the drawing must be multiplied by."""
    likely: str
    """In words: that they agree, which mistake of units explains the factor, or that none does."""

    @property
    def agrees(self) -> bool:
        """Whether the two lengths are within 0.5 %."""
        return abs(self.factor - 1) <= AGREES


def extents(drawing: Drawing) -> tuple[float, float]:
    """Length and width of the largest outline as it lies along the drawing's axes, the longer first, m.

    Of stations the length along the tape and the greatest width.
    """
    if drawing.stations:
        rows = drawing.stations
        width = max(left + right for row in rows for left, right in zip(row[1::2], row[2::2], strict=True))
        return rows[-1][0] - rows[0][0], width
    if not drawing.shapes:
        raise OutlineError("The drawing holds no outline to measure; bring one in first.")
    ring = max((shape.ring for shape in drawing.shapes), key=outline_area)
    sides = [max(held) - min(held) for held in zip(*ring, strict=True)]
    return max(sides), min(sides)


def scale_check(drawing: Drawing, stated_length: float) -> ScaleCheck:
    """Compare the drawing's length (see `extents`) with the slab's, as stated, m."""
    return _check(extents(drawing)[0], stated_length)


def scaled(
    drawing: Drawing, *, stated: float, between: tuple[Point, Point] | Literal["length", "width"]
) -> Drawing:
    """The drawing made so large that `between` measures `stated`, m: two of its points, or an extent.

    It is scaled about its origin. Raises OutlineError where either length is nothing, or the drawing would
    reach further than 100 m.
    """
    if between == "length" or between == "width":
        measured = extents(drawing)[between == "width"]
        what = f"Scaled by {{factor:.6g}} so that its {between} is {in_mm(stated)}."
    else:
        measured = math.dist(*between)
        what = f"Scaled by {{factor:.6g}} so that the two points are {in_mm(stated)} apart."
    factor = _check(measured, stated).factor

    def ring(held: Ring) -> Ring:
        return tuple((x * factor, y * factor) for x, y in held)

    made = replace(
        drawing,
        shapes=tuple(
            replace(shape, ring=ring(shape.ring), holes=tuple(ring(hole) for hole in shape.holes))
            for shape in drawing.shapes
        ),
        stations=tuple(tuple(value * factor for value in row) for row in drawing.stations),
        notes=(*drawing.notes, what.format(factor=factor)),
        unit_known=True,
    )
    reach = max((abs(value) for shape in made.shapes for point in shape.ring for value in point), default=0)
    if reach > LARGEST:
        raise OutlineError(
            f"Scaled by {factor:.4g} the drawing would reach {reach:.4g} m; check the stated length."
        )
    return made


def _check(measured: float, stated: float) -> ScaleCheck:
    if not 0 < stated <= LARGEST:
        raise OutlineError(f"The stated length is {stated:g} m; give one above zero, up to {LARGEST:.0f} m.")
    if not measured > 0:
        raise OutlineError("The two places to measure between are one; take two that lie apart.")
    factor = stated / measured
    return ScaleCheck(measured, stated, factor, _likely(factor))


def _likely(factor: float) -> str:
    if abs(factor - 1) <= AGREES:
        return "agrees"
    best = min(_MISTAKES, key=lambda pair: abs(math.log(factor * _READ[pair[0]] / _READ[pair[1]])))
    read, drawn = best
    if abs(factor * _READ[read] / _READ[drawn] - 1) <= _WITHIN:
        return f"read as {read} but drawn in {drawn}"
    return "no common mistake of units explains it"
