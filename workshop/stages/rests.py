"""What a check rests on: the places in the file whose change, later, asks for the check again."""

from __future__ import annotations

from workshop.project.model import ProjectFile
from workshop.project.path import Path
from workshop.stages.checklist import Subject


def form_size(file: ProjectFile, subject: Subject) -> tuple[Path, ...]:
    """The form's inner sizes."""
    return tuple(("casting", subject.casting, "form", key) for key in ("length", "width", "depth"))


def pieces_in_place(file: ProjectFile, subject: Subject) -> tuple[Path, ...]:
    """Where each piece of the casting lies, and how it is turned."""
    pieces = [id for id, piece in file.piece.items() if piece.casting == subject.casting]
    return tuple(("piece", id, key) for id in pieces for key in ("place", "turn"))


def lift_height(file: ProjectFile, subject: Subject) -> tuple[Path, ...]:
    """The height the lift goes to."""
    return (("casting", subject.casting, "lifts", subject.path.rsplit("/", 1)[-1], "to"),)


def batch_ratio(file: ProjectFile, subject: Subject) -> tuple[Path, ...]:
    """The ratio on the resin's sheet by which the batch was judged."""
    resin = file.casting[subject.casting].resin
    return () if resin is None else (("resin", resin, "ratio-by-weight"), ("resin", resin, "ratio-by-volume"))


def trim_lines(file: ProjectFile, subject: Subject) -> tuple[Path, ...]:
    """Where each trim line lies."""
    return tuple(
        ("casting", subject.casting, "cuts", cut.id, key)
        for cut in file.casting[subject.casting].cuts
        if cut.kind == "trim line"
        for key in ("x", "y")
    )
