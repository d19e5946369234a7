"""Ink as SVG elements, one unit a millimetre. Text goes through the library's escaping, whatever it holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final
from xml.etree.ElementTree import Element, tostring

from workshop.sheets.ink import Data, Disc, Fill, Group, Ink, Path, Pen, Words

NAMESPACE: Final = "http://www.w3.org/2000/svg"
PENS: Final[Mapping[Pen, tuple[float, str, str]]] = {
    "thick": (0.5, "", "#000"),
    "thin": (0.25, "", "#000"),
    "fine": (0.13, "", "#555"),
    "hidden": (0.25, "2 1", "#000"),
    "chain": (0.25, "6 1.2 0.6 1.2", "#000"),
    "saw": (0.5, "7 1.5 1 1.5", "#000"),
    "trim": (0.35, "6 1.2 1 1.2 1 1.2", "#000"),
    "light": (1.0, "0.01 1.9", "#000"),
    "dotted": (0.25, "0.3 1.2", "#000"),
}
"""Width in mm, dashes, colour. Widths follow the row 0.13, 0.18, 0.25, 0.35, 0.5 of ISO 128 (from memory)."""
FILLS: Final[Mapping[Fill, str]] = {
    "none": "none",
    "white": "#fff",
    "pale": "#ececec",
    "grey": "#c8c8c8",
    "black": "#000",
}
HALO: Final = 0.9
"""mm."""


def elements(parts: Iterable[Ink]) -> Iterable[Element]:
    """Each part as an element."""
    return (_element(part) for part in parts)


def root(width: float, height: float, parts: Iterable[Ink]) -> Element:
    """A drawing of a size in mm."""
    made = Element("svg", xmlns=NAMESPACE)
    made.set("width", f"{_number(width)}mm")
    made.set("height", f"{_number(height)}mm")
    made.set("viewBox", f"0 0 {_number(width)} {_number(height)}")
    made.set("font-family", "sans-serif")
    made.extend(elements(parts))
    return made


def as_file(made: Element) -> bytes:
    """A file of its own."""
    text: str = tostring(made, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}\n'.encode()


def printable(text: str) -> str:
    """A text without the signs that no XML file may hold."""
    return "".join(sign if sign.isprintable() else "·" for sign in text)


def _element(part: Ink) -> Element:
    match part:
        case Path():
            made = Element("path", d=" ".join(_way(ring, part.closed) for ring in part.rings if ring))
            _inked(made, part.pen, part.fill)
            if part.fill != "none" and len(part.rings) > 1:
                made.set("fill-rule", "evenodd")
        case Disc():
            made = Element("circle", cx=_number(part.x), cy=_number(part.y), r=_number(part.radius))
            _inked(made, part.pen, part.fill)
        case Words():
            made = _words(part)
        case Group():
            made = Element("g")
            made.extend(elements(part.parts))
    _marked(made, part.data)
    return made


def _words(part: Words) -> Element:
    made = Element("text", x=_number(part.x), y=_number(part.y))
    made.set("font-size", _number(part.size))
    if part.anchor != "start":
        made.set("text-anchor", part.anchor)
    if part.turn:
        made.set("transform", f"rotate({_number(-part.turn)} {_number(part.x)} {_number(part.y)})")
    if part.bold:
        made.set("font-weight", "bold")
    if part.halo:
        made.set("stroke", "#fff")
        made.set("stroke-width", _number(HALO))
        made.set("stroke-linejoin", "round")
        made.set("paint-order", "stroke")
    made.text = printable(part.text)
    return made


def _inked(made: Element, pen: Pen, fill: Fill) -> None:
    made.set("fill", FILLS[fill])
    if pen == "none":
        return
    width, dashes, colour = PENS[pen]
    made.set("stroke", colour)
    made.set("stroke-width", _number(width))
    if dashes:
        made.set("stroke-dasharray", dashes)
    if pen == "light":
        made.set("stroke-linecap", "round")
    made.set("stroke-linejoin", "round")


def _marked(made: Element, data: Data) -> None:
    for name, value in data:
        made.set(f"data-{name}", printable(value))


def _way(ring: Iterable[tuple[float, float]], closed: bool) -> str:
    points = " L".join(f"{_number(x)},{_number(y)}" for x, y in ring)
    return f"M{points} Z" if closed else f"M{points}"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
