"""What a project's slab gives when it is sawn up, and which pieces are still wanted, as sources."""

from __future__ import annotations

from workshop.desk import Desk, Given, Missing, Source, combine
from workshop.layout.placed import as_sawn
from workshop.layout.sawing import Sawn, sawn
from workshop.layout.sources import slab_edges
from workshop.project.timber import Piece


def sawn_slab(desk: Desk, slab: str) -> Source:
    """A slab sawn up, once every piece that is sawn out of it is marked."""
    marks: list[Source] = []
    for piece, held in desk.file.piece.items():
        if held.slab == slab and (held.mark is not None or not _own_measures(held)):
            marks.append(desk.at("piece", piece, "mark"))
            marks += [desk.at("piece", piece, key) for key in ("length", "width") if _own_measures(held)]
    lines = Given(None, tuple(("slab", slab, "saw-lines", row.id) for row in desk.file.slab[slab].saw_lines))
    kerf = next((desk.at("tool", name, "kerf") for name, tool in desk.file.tool.items() if tool.kerf), None)

    def saw(*_rest: object) -> Sawn | str:
        try:
            for piece, held in desk.file.piece.items():
                if held.slab == slab and held.mark is not None:
                    as_sawn(desk.file, piece)
            return sawn(desk.file, slab)
        except ValueError as error:
            return str(error)

    found = combine(
        "",
        saw,
        *slab_edges(desk, slab).values(),
        lines,
        *marks,
        *(() if kerf is None else (kerf,)),
    )
    if isinstance(found, Given) and isinstance(found.value, str):
        return Missing(f"a shape of {slab} that can be sawn ({found.value})", found.paths)
    return found


def _own_measures(piece: Piece) -> bool:
    return piece.length is not None and piece.width is not None


def wanted_pieces(desk: Desk, slab: str) -> Source:
    """Pieces that no slab, or this one without a mark, is chosen for, and that are no thicker than it."""
    thick = desk.file.slab[slab].thickness
    rows, sources = [], []
    for piece, held in desk.file.piece.items():
        if held.mark is not None or held.length is None or held.width is None:
            continue
        if held.slab not in (None, slab):
            continue
        if thick is not None and held.thickness is not None and held.thickness.value > thick.value + 1e-9:
            continue
        rows.append((piece, held.length.value, held.width.value))
        sources += [desk.at("piece", piece, key) for key in ("length", "width")]
    if not rows:
        return Missing("a wanted piece", (("piece",),))
    return combine("no slab is marked for it yet", lambda *_all: tuple(rows), *sources)
