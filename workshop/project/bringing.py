"""A slab's outline brought from a drawing into a project's file, as the command line does it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import cast

from workshop.project.changes import noted_changes
from workshop.project.faults import FileFault
from workshop.project.loading import load_text
from workshop.project.slab_outlines import Brought, Face, brought, outline_taken, read_drawing, turn_words
from workshop.project.slabs import slab_of
from workshop.project.store import Store
from workshop.quantity import LENGTH, QuantityError, Units, parse, show, typed_with_unit


def bring(
    path: Path,
    slab: str,
    drawing: Path,
    face: str,
    shape: int | None,
    length: str | None,
    to_scale: bool,
    now: Callable[[str | None], datetime],
) -> tuple[str, ...]:
    """Write the outline of a slab into the project at `path`; what was found and done, a sentence each.

    `length` is what was measured on the slab, `now` gives the time in a zone. Raises FileFault, FileFaults or
    ValueError, and writes nothing, where the file cannot be written, the drawing cannot be read, or its scale
    is wrong or not known; with `to_scale` a wrong one is put right.
    """
    with Store(path, now=lambda: now(None)) as store:
        stored = store.stored
        assert stored is not None
        if stored.document.get("example") is True:
            mend = "open it: that makes a copy of your own"
            raise FileFault(path, None, "example", "is an example and is never written", mend)
        project = load_text(stored.text, path.name)
        slab_of(project, slab)
        units = project.units
        held = brought(read_drawing(drawing), cast(Face, face), shape)
        said = [_found(held, drawing, units), *held.drawing.notes]
        if turned := turn_words(held):
            said.append(turned)
        held, checked = _to_length(held, drawing, length, to_scale, units)
        said.append(checked)
        made = outline_taken(project, slab, held)
        noted = noted_changes(made, project.document, now(project.file.shop.zone))
        saved = store.save(dict(noted.document))
        long, wide = (show(round(side, 4), LENGTH, units) for side in held.size)
        said.append(f"Wrote {slab} into {path}: {long} by {wide}.")
        if saved.commented is not None:
            said.append(f"Your file held comments, which are kept in {saved.commented.name}.")
        return tuple(said)


def _found(held: Brought, drawing: Path, units: Units) -> str:
    """What the drawing holds, before it is scaled."""
    long, wide = (show(round(side, 4), LENGTH, units) for side in held.size)
    if held.drawing.stations:
        return f"{drawing.name} holds {len(held.drawing.stations)} stations: {long} by {wide}."
    taken = "its two faces" if held.face == "both" else "this one"
    count = f"{held.shapes} outline{'s' * (held.shapes != 1)}"
    return f"{drawing.name} holds {count}, {taken} {long} by {wide}."


def _to_length(
    held: Brought, drawing: Path, length: str | None, to_scale: bool, units: Units
) -> tuple[Brought, str]:
    """What is brought, as long as measured where that is asked for, and the verdict on its scale."""
    if length is None:
        if to_scale:
            raise ValueError("--scale needs --length, the length measured on the slab.")
        if not held.drawing.unit_known:
            raise ValueError(
                f"{drawing.name} does not say how long its unit is: "
                "add --length with the length measured on the slab, such as --length '1500 mm'."
            )
        return held, "The scale was not checked: --length takes a length measured on the slab."
    try:
        stated = parse(typed_with_unit(length, 0.03, LENGTH, units), LENGTH)
    except QuantityError as error:
        raise ValueError(f"--length: {error}") from error
    check = held.check(stated)
    measured, wanted = (show(round(side, 4), LENGTH, units) for side in (check.measured, check.stated))
    if check.agrees:
        return held, f"The scale agrees: {measured} drawn, {wanted} measured."
    words = f"{measured} drawn, {wanted} measured; {check.likely}"
    if not to_scale:
        raise ValueError(
            f"The scale of {drawing.name} is wrong: {words}; "
            "correct --length, or add --scale to make it as long as measured."
        )
    return held.scaled(stated), f"The scale was wrong and is put right: {words}."
