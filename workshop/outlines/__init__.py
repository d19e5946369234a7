"""Slab outlines brought in from drawings (SVG, DXF) and tables (CSV), mended, scaled and written out."""

from workshop.outlines.drawing import Drawing, OutlineError, Shape
from workshop.outlines.reading import read_outlines
from workshop.outlines.scale import ScaleCheck, scale_check, scaled
from workshop.outlines.writing import as_svg

__all__ = [
    "Drawing",
    "OutlineError",
    "ScaleCheck",
    "Shape",
    "as_svg",
    "read_outlines",
    "scale_check",
    "scaled",
]
