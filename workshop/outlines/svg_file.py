"""Outlines from an SVG: a walk over its tree, which fetches nothing and copies no more than it must."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final
from xml.etree.ElementTree import Element, ParseError, TreeBuilder

import numpy as np
from defusedxml import DefusedXmlException, ElementTree, EntitiesForbidden

from workshop.outlines.drawing import (
    DEEPEST,
    MOST_ELEMENTS,
    MOST_POINTS,
    Drawing,
    Floats,
    Line,
    OutlineError,
    within_reach,
)
from workshop.outlines.gathering import gathered
from workshop.outlines.svg_lines import DRAWN, element_lines, too_many_points
from workshop.outlines.svg_viewport import Viewport, nested, root, size_of, stretch, transform

__all__ = ["read_svg"]

_SVG: Final = "{http://www.w3.org/2000/svg}"
_LINK: Final = "{http://www.w3.org/1999/xlink}href"
_GROUPS: Final = frozenset({"svg", "g", "a", "switch"})
_STYLES: Final = frozenset({"display", "visibility", "transform", "clip-path"})
_MOST_COPIES: Final = 2000
_LEFT_OUT: Final = {"text": "text", "image": "picture", "foreignObject": "foreign object"}


def read_svg(data: bytes, name: str, *, unit_metres: float | None, tolerance: float) -> Drawing:
    """Read an SVG's paths and basic shapes, through groups, inner svgs and `use`.

    Texts, pictures, scripts, clip paths and style sheets are passed over; what has display:none is
    skipped. Raises OutlineError where the file is no sound SVG or holds no outline.
    """
    tree = _parsed(data, name)
    if _tag(tree) != "svg":
        raise OutlineError(f"{name} is XML but no SVG; save the drawing as SVG.")
    matrix, port, known = root(tree.attrib, name, unit_metres)
    walk = _Walk(name, tree, tolerance)
    with np.errstate(all="ignore"):
        walk.children(tree, _Place(matrix, port, 0))
    shapes, notes = gathered(walk.lines, walk.notes(), name)
    return Drawing(shapes=shapes, notes=notes, unit_known=known)


class _Builder(TreeBuilder):
    """Builds the tree and refuses one that is too deep or too large while it still grows."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._name = name
        self._depth = 0
        self._count = 0

    def start(self, tag: Any, attrs: Any) -> Any:
        self._depth += 1
        self._count += 1
        if self._depth > DEEPEST:
            raise OutlineError(f"{self._name} has groups more than {DEEPEST} deep; ungroup the drawing.")
        if self._count > MOST_ELEMENTS:
            raise OutlineError(
                f"{self._name} has more than {MOST_ELEMENTS} elements; save the outlines alone."
            )
        return super().start(tag, attrs)

    def end(self, tag: Any) -> Any:
        self._depth -= 1
        return super().end(tag)


def _parsed(data: bytes, name: str) -> Element:
    parser = ElementTree.DefusedXMLParser(
        target=_Builder(name), forbid_dtd=False, forbid_entities=True, forbid_external=True
    )
    try:
        parser.feed(data)
        tree: Element = parser.close()
    except OutlineError:
        raise
    except EntitiesForbidden:
        raise OutlineError(
            f"{name} defines entities, which are not read here; save the drawing as plain SVG."
        ) from None
    except DefusedXmlException:
        raise OutlineError(
            f"{name} refers to another file, which is not fetched; save the drawing as plain SVG."
        ) from None
    except ParseError as error:
        line, column = error.position
        raise OutlineError(
            f"{name} is broken in line {line}, character {column + 1} ({str(error).partition(':')[0]}); "
            "save the drawing again."
        ) from None
    except (ValueError, LookupError):
        raise OutlineError(f"{name} is in an encoding that is not known; save it in UTF-8.") from None
    return tree


def _tag(element: Element) -> str:
    """The element's name in SVG; empty for comments and for other vocabularies."""
    tag = element.tag
    if not isinstance(tag, str):
        return ""
    return tag.removeprefix(_SVG) if tag.startswith(_SVG) or "{" not in tag else ""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the walk stands."""

    matrix: Floats
    port: Viewport | None
    depth: int
    label: str = ""
    """Of the innermost group that has one."""
    group: str = ""
    """The outermost group's id."""
    visible: bool = True


class _Walk:
    """One walk over one tree, with what it has found and how much it has used up."""

    def __init__(self, name: str, tree: Element, tolerance: float) -> None:
        self.lines: list[Line] = []
        self._name = name
        self._tolerance = tolerance
        self._ids = {one.attrib["id"]: one for one in reversed(list(tree.iter())) if "id" in one.attrib}
        self._left_out: Counter[str] = Counter()
        self._visited = 0
        self._copies = 0
        self._points = 0

    def notes(self) -> tuple[str, ...]:
        """What was left out, a sentence each."""
        return tuple(
            f"{count} {word}{'s' if count > 1 else ''} left out." for word, count in self._left_out.items()
        )

    def children(self, element: Element, place: _Place) -> None:
        """Walk what stands in an element."""
        for child in element:
            self._element(child, place)

    def _element(self, element: Element, place: _Place) -> None:
        tag = _tag(element)
        if tag in _LEFT_OUT:
            self._left_out[_LEFT_OUT[tag]] += 1
        if tag not in _GROUPS and tag not in DRAWN and tag != "use":
            return
        self._visited += 1
        if self._visited > MOST_ELEMENTS:
            raise OutlineError(
                f"{self._name} draws more than {MOST_ELEMENTS} elements; save it without copies."
            )
        if place.depth >= DEEPEST:
            raise OutlineError(
                f"{self._name} has groups or copies more than {DEEPEST} deep; ungroup the drawing."
            )
        style = _style(element)
        if style.get("display") == "none":
            return
        if "clip-path" in style and style["clip-path"] != "none":
            self._left_out["clip path"] += 1
        inner = replace(place, depth=place.depth + 1)
        if style.get("visibility") in ("hidden", "collapse", "visible"):
            inner = replace(inner, visible=style["visibility"] == "visible")
        turn = transform(style.get("transform"), self._called(element))
        inner = replace(inner, matrix=inner.matrix @ turn)
        if tag in DRAWN:
            self._draw(tag, element, inner)
        elif tag == "use":
            self._use(element, inner)
        elif tag == "svg":
            self._inner_svg(element, element.attrib, inner, placed=True)
        else:
            self.children(element, _grouped(element, inner))

    def _use(self, element: Element, place: _Place) -> None:
        what = self._called(element)
        self._copies += 1
        if self._copies > _MOST_COPIES:
            raise OutlineError(
                f"{self._name} makes more than {_MOST_COPIES} copies; save it with the outlines drawn singly."
            )
        link = element.get("href", element.get(_LINK, ""))
        if not link.startswith("#"):
            raise OutlineError(
                f"{what} copies from {link[:40]!r}, outside the file, which is not fetched; "
                "save the drawing with everything in it."
            )
        source = self._ids.get(link[1:])
        if source is None:
            self._left_out["copy of what is not there"] += 1
            return
        port = place.port or Viewport(0.0, 0.0)
        left = size_of(element.get("x", "0"), port.width, f"{what}: x")
        top = size_of(element.get("y", "0"), port.height, f"{what}: y")
        moved = place.matrix @ np.array([[1, 0, left], [0, 1, top], [0, 0, 1.0]])
        inner = replace(_grouped(element, place), matrix=moved)
        tag = _tag(source)
        if tag in ("svg", "symbol"):
            sides: tuple[str, ...] = ("width", "height")
            sized = {side: element.attrib[side] for side in sides if side in element.attrib}
            self._inner_svg(source, source.attrib | sized, inner, placed=tag == "svg")
        else:
            self._element(source, inner)

    def _inner_svg(self, element: Element, given: Mapping[str, str], place: _Place, *, placed: bool) -> None:
        held = nested(given, place.port, self._called(element), placed=placed)
        if held is not None:
            matrix, port = held
            self.children(element, replace(place, matrix=place.matrix @ matrix, port=port))

    def _draw(self, tag: str, element: Element, place: _Place) -> None:
        if not place.visible:
            return
        what = self._called(element)

        def measure(attribute: str, absent: str) -> float:
            text = element.get(attribute, absent)
            port = place.port
            if port is None and text.strip().endswith("%"):
                raise OutlineError(f"{what}: {attribute} is {text!r} of a size that the file does not give.")
            if port is None:
                of = 0.0
            elif attribute in ("x", "cx", "x1", "x2", "rx", "width"):
                of = port.width
            elif attribute in ("y", "cy", "y1", "y2", "ry", "height"):
                of = port.height
            else:
                of = float(np.hypot(port.width, port.height) / np.sqrt(2))
            return size_of(text, of, f"{what}: {attribute}")

        scale = stretch(place.matrix)
        if not scale > 0:
            return
        room = MOST_POINTS - self._points
        for points, closed in element_lines(
            tag, element.attrib, measure, self._tolerance / scale, room, what
        ):
            self._points += len(points)
            if self._points > MOST_POINTS:
                raise too_many_points(self._name)
            placed = points @ place.matrix[:2, :2].T + place.matrix[:2, 2]
            layer = place.label or place.group
            self.lines.append(Line(within_reach(placed, what), closed, layer, layer or element.get("id", "")))

    def _called(self, element: Element) -> str:
        tag, known = _tag(element), element.get("id")
        return f"{self._name}, {tag} {known[:40]!r}" if known else f"{self._name}, a {tag}"


def _grouped(element: Element, place: _Place) -> _Place:
    """The place within a group, which may name what is in it."""
    label = next((held for name, held in element.attrib.items() if name.rpartition("}")[2] == "label"), "")
    return replace(
        place,
        label=label or place.label,
        group=place.group or element.get("id", ""),
    )


def _style(element: Element) -> dict[str, str]:
    """The presentation attributes that matter here; the style attribute goes before them."""
    held: dict[str, str] = {name: element.attrib[name].strip() for name in _STYLES if name in element.attrib}
    for part in element.get("style", "").split(";"):
        name, _, value = part.partition(":")
        if name.strip() in _STYLES:
            held[name.strip()] = value.replace("!important", "").strip()
    return held
