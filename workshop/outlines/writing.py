"""Outlines written as a plain SVG in millimetres, to be cut, printed or brought in again."""

from collections.abc import Sequence
from xml.sax.saxutils import quoteattr

from workshop.outlines.drawing import OutlineError, Ring, Shape

__all__ = ["as_svg"]


def as_svg(shapes: Sequence[Shape]) -> bytes:
    """An SVG of the shapes in mm, to 0.001 mm, y downward as SVG has it; one path a shape, grouped by layer.

    The file's own coordinates keep the shapes' origin, so that they come in again where they were.
    Raises OutlineError where there is nothing to write.
    """
    points = [point for shape in shapes for point in shape.ring]
    if not points:
        raise OutlineError("There is no outline to write; bring one in first.")
    left, right = min(x for x, _ in points) * 1000, max(x for x, _ in points) * 1000
    top, bottom = -max(y for _, y in points) * 1000, -min(y for _, y in points) * 1000
    width, height = right - left, bottom - top
    if width <= 0 or height <= 0:
        raise OutlineError("The outlines have no area; give at least one with length and width.")
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_text(width)}mm" height="{_text(height)}mm" '
        f'viewBox="{_text(left)} {_text(top)} {_text(width)} {_text(height)}">',
    ]
    for layer in dict.fromkeys(shape.layer for shape in shapes):
        named = "".join(sign for sign in layer if sign.isprintable())
        lines.append(f"<g id={quoteattr(named)}>" if named else "<g>")
        lines += [
            f'<path fill="none" stroke="black" stroke-width="0.25" fill-rule="evenodd" d="{_path(shape)}"/>'
            for shape in shapes
            if shape.layer == layer
        ]
        lines.append("</g>")
    lines.append("</svg>\n")
    return "\n".join(lines).encode("utf-8")


def _path(shape: Shape) -> str:
    return " ".join(_ring(ring) for ring in (shape.ring, *shape.holes))


def _ring(ring: Ring) -> str:
    corners = [f"{_text(x * 1000)},{_text(-y * 1000)}" for x, y in ring]
    return f"M {' L '.join(corners)} Z"


def _text(value: float) -> str:
    # Adding zero keeps the sign off a value that is rounded to nothing.
    return f"{round(value, 3) + 0.0:.3f}"
