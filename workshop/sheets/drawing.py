"""A project's drawing as one SVG file: a sheet for each casting and each slab, true to scale.

The sheets lie under each other without a gap, each as large as its paper: a browser that prints the file
breaks it exactly between two sheets, and a reader who scrolls sees them in order. A casting's sheet goes to
the form and a slab's to the saw, so that each has one of its own.
"""

from __future__ import annotations

from datetime import datetime
from xml.etree.ElementTree import Element
from zoneinfo import ZoneInfo

from workshop.project.project import Project
from workshop.sheets.casting_sheet import casting_sheet
from workshop.sheets.ink import Sheet
from workshop.sheets.notes import noted, pages_of
from workshop.sheets.paper import Paper, drawing_paper
from workshop.sheets.slab_sheet import slab_sheet
from workshop.sheets.svg import as_file, elements, printable, root
from workshop.sheets.title_block import MARGIN, STRIP, Heading, framed


def drawing(project: Project, now: datetime, paper: Paper | None = None) -> bytes:
    """The drawing of a project, on A3 (11 x 17 in where the project counts inches) unless told otherwise."""
    name = " ".join((project.file.project.name or "A project without a name").split())
    zone = project.file.shop.zone
    local = now if zone is None else now.astimezone(ZoneInfo(zone))
    heading = Heading(name, local, project.units, paper or drawing_paper(project.units))
    sheets = sheets_of(project, heading.paper)
    made = root(heading.paper.width, heading.paper.height * len(sheets), ())
    title = Element("title")
    title.text = printable(f"{name}: drawing")
    style = Element("style")
    style.text = f"@page {{ size: {heading.paper.width:g}mm {heading.paper.height:g}mm; margin: 0 }}"
    made.extend((title, style))
    for number, sheet in enumerate(sheets):
        (held,) = elements((framed(sheet, heading, number + 1, len(sheets)),))
        held.set("transform", f"translate(0 {number * heading.paper.height:g})")
        made.append(held)
    return as_file(made)


def sheets_of(project: Project, paper: Paper) -> tuple[Sheet, ...]:
    """Every sheet: castings, slabs, and what found no room on those."""
    file = project.file
    zone = (MARGIN, paper.height - MARGIN - STRIP, paper.width - MARGIN, MARGIN)
    made: list[Sheet] = []
    left_over: list[str] = []
    for one, names in ((casting_sheet, file.casting), (slab_sheet, file.slab)):
        for name in names:
            sheet, rest = one(file, name, paper)
            made.append(sheet)
            left_over += (f"{sheet.title}:", *rest) if rest else ()
    made += [Sheet("More notes", None, page) for page in pages_of(left_over, zone)]
    if not made:
        words, _ = noted(("This project has no casting and no slab yet: there is nothing to draw.",), zone)
        made.append(Sheet("Nothing to draw yet", None, words))
    return tuple(made)
