"""A printed file read back: its elements by their data attributes, its paths as points in mm."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring
from shapely import Polygon

from workshop.project.project import Project
from workshop.sheets.drawing import drawing
from workshop.sheets.templates import templates

Point = tuple[float, float]
NOW = datetime(2026, 3, 9, 19, 40, tzinfo=UTC)


def drawn(project: Project) -> Element:
    """A project's drawing, read as strictly as any XML."""
    made: Element = fromstring(drawing(project, NOW))
    return made


def printed(project: Project) -> Element:
    """A project's templates, read the same way."""
    made: Element = fromstring(templates(project, NOW))
    return made


def marked(within: Element, **data: str) -> list[Element]:
    """The elements with all these data attributes."""
    wanted = {f"data-{name.replace('_', '-')}": value for name, value in data.items()}
    return [one for one in within.iter() if all(one.get(key) == value for key, value in wanted.items())]


def only(within: Element, **data: str) -> Element:
    """The one element with all these data attributes."""
    found = marked(within, **data)
    assert len(found) == 1, f"{len(found)} elements with {data}"
    return found[0]


def rings(path: Element) -> list[list[Point]]:
    """The runs of a path in mm, where it stands in its sheet."""
    return [
        [(float(x), float(y)) for x, y in (pair.split(",") for pair in run.strip(" Z").split(" L"))]
        for run in (path.get("d") or "").split("M")
        if run.strip()
    ]


def region(path: Element) -> Polygon:
    """A closed path's first ring as an area in mm²."""
    assert (path.get("d") or "").endswith("Z")
    return Polygon(rings(path)[0])


def texts(within: Element) -> list[str]:
    """Every line of text, in order."""
    return [one.text or "" for one in within.iter() if local(one) == "text"]


def local(one: Element) -> str:
    """An element's name without its namespace."""
    return str(one.tag).rpartition("}")[2]


def parents(within: Element) -> Iterator[tuple[Element, Element]]:
    """Every element with what holds it."""
    for one in within.iter():
        for held in one:
            yield held, one
