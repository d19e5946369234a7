"""A casting's sheet: its plan and its section, a legend, and in sentences what a drawing does not say."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from workshop.layout.as_placed import CastingAsPlaced, casting_as_placed
from workshop.layout.troubles import SEAM, gaps, troubles
from workshop.pictures.picture import said, sizes, taped
from workshop.pictures.section_view import default_place
from workshop.project.model import ProjectFile
from workshop.quantity import Units
from workshop.sheets.casting_plan import Box, drawn_plan, form_size, plan_scale
from workshop.sheets.casting_section import drawn_section
from workshop.sheets.dimension import tape_text
from workshop.sheets.ink import NORMAL, Ink, Sheet, Words
from workshop.sheets.notes import noted
from workshop.sheets.paper import Paper
from workshop.sheets.title_block import MARGIN, STRIP, Key, legend, legend_height

PLAN_HIGH: Final = 0.6
"""The part of a sheet's height that a long casting's plan takes."""
PLAN_WIDE: Final = 0.58
"""The part of its width that a broad one's takes."""
NOTES_WIDE: Final = 97.0
"""mm of a long casting's legend and notes."""


def casting_sheet(file: ProjectFile, name: str, paper: Paper) -> tuple[Sheet, tuple[str, ...]]:
    """A casting's sheet, and the sentences that found no room on it; raises KeyError for an unknown one."""
    held = casting_as_placed(file, name)
    if held is None:
        raise KeyError(name)
    plan_zone, section_zone, notes_zone = _zones(held, paper)
    x = default_place(held)
    section = None if x is None else drawn_section(file, held, section_zone, x)
    plan = drawn_plan(file, held, plan_zone, x if section is not None else None)
    parts: list[Ink] = []
    keys: dict[str, Key] = {}
    for view in (plan, section):
        if view is not None:
            parts += view.parts
            keys |= {key.text: key for key in view.keys}
    left, bottom, right, top = notes_zone
    if keys:
        parts.append(Words(left, top + 5, "LEGEND", NORMAL, bold=True))
        parts.append(legend(tuple(keys.values()), left, top + 11, 2, (right - left) / 2))
        top += 9 + legend_height(tuple(keys.values()), 2)
    sentences = tuple(_sentences(file, held, plan is not None, section is not None))
    words, rest = noted(sentences, (left, bottom, right, top))
    return Sheet(f"Casting {name}", plan.over if plan else None, (*parts, *words)), rest


def _zones(held: CastingAsPlaced, paper: Paper) -> tuple[Box, Box, Box]:
    """Where plan, section and notes go: under each other for a long casting, side by side for a broad one."""
    left, top = MARGIN, MARGIN
    right, bottom = paper.width - MARGIN, paper.height - MARGIN - STRIP - 2
    foot = top + PLAN_HIGH * (bottom - top)
    side = right - NOTES_WIDE
    long = ((left, foot, right, top), (left, bottom, side - 4, foot), (side, bottom, right, foot))
    half = left + PLAN_WIDE * (right - left)
    below = top + 0.42 * (bottom - top)
    broad = ((left, bottom, half, top), (half + 4, below, right, top), (half + 4, bottom, right, below))
    one, two = plan_scale(held, long[0]), plan_scale(held, broad[0])
    return broad if two is not None and (one is None or two < one) else long


def _sentences(file: ProjectFile, held: CastingAsPlaced, plan: bool, section: bool) -> Iterator[str]:
    units = file.units
    size = held.held
    if size.length is not None and size.width is not None:
        known = [
            measure.value for measure in (size.length, size.width, size.thickness) if measure is not None
        ]
        yield f"Finished size {sizes(known, units)}{' mm' if units.system == 'metric' else ''}."
    yield from _places(held, units)
    yield from _holes(file, held, units)
    yield from _troubles(held, units)
    missing = [*held.unknown]
    if held.length is None or held.width is None:
        missing.append(f"The inner size of the form of {held.id} is not known.")
    if not plan and form_size(held) is not None:
        missing.append(f"{held.id} is too large for any standard scale on this paper: check its measures.")
    if not section:
        missing.append("No section: it needs the form's inner width, and its depth or a lift's height.")
    missing += [f"The thickness of {piece.id} is not known." for piece in held.pieces if not piece.thickness]
    if not file.pieces_of(held.id):
        missing.append(f"No piece lies in {held.id} yet.")
    if not held.lifts:
        missing.append(f"No lift of {held.id} is planned yet.")
    if missing:
        yield "Not drawn, because not known:"
        yield from missing


def _places(held: CastingAsPlaced, units: Units) -> Iterator[str]:
    """How far each piece lies off the two walls nearest to it, along and across."""
    out = {(trouble.pieces[0], trouble.wall) for trouble in troubles(held) if trouble.kind == "outside"}
    every = {(gap.pieces[0], gap.wall): gap for gap in gaps(held) if gap.wall is not None}
    found = {key: gap for key, gap in every.items() if key not in out}
    for piece in held.pieces:
        words = []
        for pair in (("left", "right"), ("near", "far")):
            near = [found[piece.id, wall] for wall in pair if (piece.id, wall) in found]
            if not near:
                continue
            gap = min(near, key=lambda one: one.width)
            if gap.width <= SEAM:
                words.append(f"against the {gap.wall} wall")
            else:
                inside = gap.wall in ("near", "far") and 0 <= gap.at[0] <= (held.length or 0.0)
                where = f" at {tape_text(gap.at[0], units)} along" if inside else ""
                words.append(f"{taped(gap.width, units)} off the {gap.wall} wall{where}")
        if words:
            turned = ", its lower face up" if piece.flip else ""
            yield f"{piece.id}: {', '.join(words)}{turned}."


def _holes(file: ProjectFile, held: CastingAsPlaced, units: Units) -> Iterator[str]:
    rows: list[tuple[str, tuple[tuple[float, float], ...], float]]
    rows = [(f"Cable {name}", ((hole.x, hole.y),), hole.diameter) for name, hole in held.holes]
    for cut in held.held.cuts:
        if cut.kind in ("hole", "screw") and cut.at is not None:
            size = cut.diameter.value if cut.diameter else 0.0
            rows.append((f"{cut.kind.capitalize()} {cut.id}", ((cut.at.x, cut.at.y),), size))
    for name, fixing in file.fixing.items():
        if fixing.casting == held.id and fixing.places:
            size = fixing.diameter.value if fixing.diameter else 0.0
            rows.append((f"Fixing {name}", tuple((place.x, place.y) for place in fixing.places), size))
    if rows:
        yield "Holes and screws, from the left and the near wall:"
    for name, places, size in rows:
        at = "; ".join(f"{tape_text(x, units)}, {tape_text(y, units)}" for x, y in places)
        yield f"{name}: {at}{f' (diameter {said(size, units)})' if size else ''}."


def _troubles(held: CastingAsPlaced, units: Units) -> Iterator[str]:
    found = troubles(held)
    if found:
        yield "To mend before it is cast:"
    for trouble in found:
        names, amount = " and ".join(trouble.pieces), said(trouble.amount, units)
        if trouble.kind == "overlap":
            yield f"{names} overlap by {amount}: move one of them."
        elif trouble.kind == "outside":
            yield f"{names} reaches {amount} past the {trouble.wall} wall: move it, or saw it shorter."
        else:
            beside = f"{names} and the {trouble.wall} wall" if trouble.wall else names
            yield f"The gap between {beside} is {amount}: too narrow for resin to run in."
