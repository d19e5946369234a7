"""Templates at full size: every piece and every slab as it is sawn, on sheets that any printer takes.

One HTML file without scripts, an SVG a page, that a browser prints at 100 %. The pages of the style sheet
have no margin: what is drawn keeps off the paper's edge by itself, so that a browser adds no heading and does
not shrink the page.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final
from xml.etree.ElementTree import Element, SubElement, tostring
from zoneinfo import ZoneInfo

from workshop.layout.placed import SawnShape
from workshop.layout.sawing import marked_saws
from workshop.layout.slab_shape import SlabShape, slab_shape
from workshop.project.model import ProjectFile
from workshop.project.project import Project
from workshop.sheets.ink import Data, Pen
from workshop.sheets.paper import Paper, template_paper
from workshop.sheets.slab_sheet import whole_piece
from workshop.sheets.svg import printable, root
from workshop.sheets.template_pages import Placed, index_pages, tile_page, window_of
from workshop.sheets.tiling import Tiling, tiling
from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

MOST: Final = 120
"""Pages of one template: one with more is a mistake in its measures rather than a large table."""
ROUND: Final = 4.0
"""mm of white kept round what is drawn."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a template in m, as it lies along the tape."""

    points: Ring
    pen: Pen
    data: Data


@dataclass(frozen=True, slots=True)
class Template:
    """What is printed at full size under one name."""

    name: str
    lines: tuple[Line, ...]
    labels: tuple[tuple[Point, str], ...]
    grain: float | None
    """Radians against the clock from the tape, None where no arrow is drawn."""


def templates(project: Project, now: datetime, paper: Paper | None = None) -> bytes:
    """The templates of a project, on A4 (US letter where it counts inches) unless told otherwise."""
    sheet = paper or template_paper(project.units)
    found, words = templates_of(project.file)
    placed: list[Placed] = []
    for template in found:
        held = _placed(template, window_of(sheet))
        count = held.tiling.rows * held.tiling.columns
        if count > MOST:
            words = (*words, f"{template.name} would take {count} pages: check its measures.")
        else:
            placed.append(held)
    zone = project.file.shop.zone
    local = now if zone is None else now.astimezone(ZoneInfo(zone))
    title = " ".join((project.file.project.name or "A project without a name").split())
    about = (title, local, sheet, project.units, tuple(placed), words)
    pages = [*index_pages(*about, before=len([*index_pages(*about)]))]
    for held in placed:
        pages += (
            tile_page(held, tile, title, sheet, project.units)
            for tile in held.tiling.tiles()
            if held.shown(tile)
        )
    html = Element("html", lang="en")
    head = SubElement(html, "head")
    SubElement(head, "meta", charset="utf-8")
    SubElement(head, "title").text = printable(f"{title}: templates at full size")
    SubElement(head, "style").text = _style(sheet)
    body = SubElement(html, "body")
    for parts, data in pages:
        section = SubElement(body, "section", {f"data-{name}": printable(value) for name, value in data})
        section.append(root(sheet.width, sheet.height, parts))
    text: str = tostring(html, encoding="unicode")
    return f"<!DOCTYPE html>\n{text}\n".encode()


def templates_of(file: ProjectFile) -> tuple[tuple[Template, ...], tuple[str, ...]]:
    """Every template that can be drawn, pieces first, and a sentence for each that cannot."""
    made: list[Template] = []
    words: list[str] = []
    for name in file.piece:
        try:
            made.append(_of_piece(name, whole_piece(file, name)))
        except ValueError as error:
            words.append(str(error))
    for name, slab in file.slab.items():
        try:
            made.append(_of_slab(file, slab_shape(name, slab)))
        except ValueError as error:
            words.append(str(error))
    if not file.piece and not file.slab:
        words.append("This project has no slab and no piece yet: there is nothing to print.")
    return tuple(made), tuple(words)


def _of_piece(name: str, held: SawnShape) -> Template:
    lines = [_closed(held.pair.outline(1.0), "thick", "piece", name, "upper")]
    if held.both_faces:
        lines.append(_closed(held.pair.outline(0.0), "hidden", "piece", name, "lower"))
    lines += [_closed(hole, "thin", "hole-in-wood", name, "") for hole in held.pair.open_holes()]
    return Template(name, tuple(lines), ((held.mark, name),), held.grain)


def _of_slab(file: ProjectFile, shape: SlabShape) -> Template:
    lines = [_closed(shape.pair.upper, "thick", "slab", shape.name, "upper")]
    if shape.both_faces:
        lines.append(_closed(shape.pair.lower, "hidden", "slab", shape.name, "lower"))
    lines += [_closed(hole, "thin", "hole-in-wood", shape.name, "") for hole in shape.pair.holes]
    for saw in marked_saws(file, shape.name):
        ends = tuple((end.along, end.off) for end in saw.ends)
        lines.append(Line(ends, "saw", (("kind", "saw-line"), ("saw-line", saw.id))))
    far = max(x for x, _ in shape.pair.upper)
    lines.append(Line(((0.0, 0.0), (far, 0.0)), "chain", (("kind", "tape"),)))
    labels = [
        ((piece.mark.x, piece.mark.y), name)
        for name, piece in file.piece.items()
        if piece.slab == shape.name and piece.mark is not None
    ]
    return Template(f"slab {shape.name}", tuple(lines), tuple(labels), None)


def _closed(ring: Ring, pen: Pen, kind: str, name: str, face: str) -> Line:
    own = "slab" if kind == "slab" else "piece"
    data = (("kind", kind), (own, name), *((("face", face),) if face else ()))
    return Line((*ring, ring[0]), pen, data)


def _placed(template: Template, window: tuple[float, float]) -> Placed:
    """A template on paper, along it or across, whichever takes fewer sheets."""
    xs = [x for line in template.lines for x, _ in line.points]
    ys = [y for line in template.lines for _, y in line.points]
    left, bottom, right, top = min(xs), min(ys), max(xs), max(ys)
    length, height = (right - left) * 1000 + 2 * ROUND, (top - bottom) * 1000 + 2 * ROUND
    along, turned = tiling(length, height, window), tiling(height, length, window)
    down = turned.rows * turned.columns < along.rows * along.columns

    def at(point: Point) -> Point:
        # Turned by a quarter with the clock: the tape runs down the paper, its left side to the right.
        if down:
            return (point[1] - bottom) * 1000 + ROUND, (point[0] - left) * 1000 + ROUND
        return (point[0] - left) * 1000 + ROUND, (top - point[1]) * 1000 + ROUND

    chosen: Tiling = turned if down else along
    grain = template.grain
    return Placed(
        template.name,
        chosen,
        tuple((tuple(at(point) for point in line.points), line.pen, line.data) for line in template.lines),
        tuple((at(point), text) for point, text in template.labels),
        None if grain is None else grain - 1.5707963267948966 * down,
        (right - left, top - bottom),
        down,
    )


def _style(paper: Paper) -> str:
    return (
        f"@page {{ size: {paper.width:g}mm {paper.height:g}mm; margin: 0 }} "
        "html, body { margin: 0; padding: 0; background: #fff } "
        f"section {{ width: {paper.width}mm; height: {paper.height}mm; overflow: hidden; "
        "break-after: page; break-inside: avoid } "
        "section:last-child { break-after: auto } "
        "svg { display: block }"
    )
