"""Outlines from a DXF: the closed and joined lines of its model space, blocks set in."""

import io
import logging
import re
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from workshop.outlines.drawing import (
    MOST_ELEMENTS,
    MOST_POINTS,
    Drawing,
    Floats,
    Line,
    OutlineError,
    within_reach,
)
from workshop.outlines.gathering import gathered

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

__all__ = ["read_dxf"]

_UNITS: Final = {
    1: 0.0254,
    2: 0.3048,
    3: 1609.344,
    4: 0.001,
    5: 0.01,
    6: 1.0,
    7: 1000.0,
    8: 0.0254e-6,
    9: 0.0254e-3,
    10: 0.9144,
    11: 1e-10,
    12: 1e-9,
    13: 1e-6,
    14: 0.1,
    15: 10.0,
    16: 100.0,
    21: 1200 / 3937,
    22: 100 / 3937,
    23: 3600 / 3937,
    24: 6336000 / 3937,
}
"""Metres in a drawing unit by the number in the header variable $INSUNITS (the list in `ezdxf.enums`)."""
_DRAWN: Final = frozenset({"LWPOLYLINE", "POLYLINE", "LINE", "ARC", "SPLINE", "CIRCLE", "ELLIPSE"})
_ARC_CURVES: Final = 12
"""Curves that stand for an arc; in quarters they would be off by 0.03 % of the radius."""
_DEEPEST_BLOCK: Final = 16
_MOST_INSERTED: Final = 2000
"""Entities that blocks may add to a drawing."""
_POINT_CODE: Final = re.compile(rb"^[ \t]*1[0-8][ \t]*\r?$", re.MULTILINE)
_ENTITY_CODE: Final = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Z]", re.MULTILINE)
_END: Final = re.compile(rb"\n[ \t]*0[ \t]*\r?\n[ \t]*EOF\Z")


def read_dxf(data: bytes, name: str, *, unit_metres: float | None, tolerance: float) -> Drawing:
    """Read a DXF's polylines, lines, arcs, splines, circles and ellipses, those of inserted blocks too.

    Lines and arcs whose ends lie within 0.1 mm are joined. Layers that are off or frozen are skipped. A
    damaged file is mended as far as it goes, with notes.
    Raises OutlineError where the file is no sound DXF or holds no outline, and where the library that
    reads DXF is not installed.
    """
    _check(data, name)
    document, notes = _document(data, name)
    code = document.header.get("$INSUNITS", 0)
    found = _UNITS.get(code) if isinstance(code, int) else None
    unit = unit_metres or found or 0.001
    walk = _Walk(name, document, unit, tolerance)
    with _quiet(), np.errstate(all="ignore"):
        walk.entities(document.modelspace(), 0, None)
    shapes, told = gathered(walk.lines, (*notes, *walk.notes()), name)
    return Drawing(shapes=shapes, notes=told, unit_known=unit_metres is not None or found is not None)


def _check(data: bytes, name: str) -> None:
    """What can be told without reading the whole."""
    if b"Binary DXF\r\n\x1a" in data[:40]:
        raise OutlineError(f"{name} is a DXF in its binary form; save it as a text DXF.")
    if b"\x00" in data:
        raise OutlineError(f"{name} is no text DXF; save the drawing as a text DXF.")
    if b"SECTION" not in data[:100_000]:
        raise OutlineError(f"{name} is no DXF; save the drawing as a text DXF.")
    if not _END.search(b"\n" + data.rstrip()[-200:]):
        line = data.count(b"\n") + 1
        raise OutlineError(f"{name} breaks off in line {line}, without its EOF; save or copy it again.")
    if sum(1 for _ in _POINT_CODE.finditer(data)) > 2 * MOST_POINTS:
        raise OutlineError(f"{name} has more than {MOST_POINTS} points; save the outlines alone.")
    if sum(1 for _ in _ENTITY_CODE.finditer(data)) > MOST_ELEMENTS:
        raise OutlineError(f"{name} has more than {MOST_ELEMENTS} entities; save the outlines alone.")


def _document(data: bytes, name: str) -> tuple["Document", tuple[str, ...]]:
    try:
        with _quiet():
            from ezdxf import recover
    except ImportError:
        raise OutlineError(
            f"{name} is a DXF, and the library that reads one is not installed; "
            "run pip install 'workshop[dxf]'."
        ) from None
    try:
        with _quiet():
            document, audit = recover.read(io.BytesIO(data))
    except Exception as error:
        # A damaged file makes the library stumble in many ways, each of which means the same here.
        told = re.sub(r"\s+", " ", str(error)).strip().rstrip(".")[:120]
        raise OutlineError(
            f"{name} is too damaged to read{f' ({told})' if told else ''}; save it again as DXF."
        ) from None
    if audit.errors:
        raise OutlineError(f"{name} is damaged: {_sentence(audit.errors[0].message)}; save it again as DXF.")
    return document, tuple(f"Damage mended: {_sentence(one.message)}." for one in audit.fixes[:5])


def _sentence(message: str) -> str:
    return re.sub(r"\s+", " ", message).strip().rstrip(".")[:160]


@contextmanager
def _quiet() -> Iterator[None]:
    """The library's own messages would run across the screen; what matters comes back as notes."""
    logger = logging.getLogger("ezdxf")
    before = logger.disabled
    logger.disabled = True
    try:
        yield
    finally:
        logger.disabled = before


class _Walk:
    """One walk over a model space, with what it has found and how much it has used up."""

    def __init__(self, name: str, document: "Document", unit: float, tolerance: float) -> None:
        from ezdxf import path

        self.lines: list[Line] = []
        self._path = path
        self._name = name
        self._unit = unit
        self._tolerance = tolerance
        self._hidden = {
            layer.dxf.name.lower() for layer in document.layers if layer.is_off() or layer.is_frozen()
        }
        self._left_out: Counter[str] = Counter()
        self._inserted = 0
        self._points = 0

    def notes(self) -> tuple[str, ...]:
        """What was left out, a sentence each."""
        return tuple(f"{count} of {kind} left out." for kind, count in sorted(self._left_out.items()))

    def entities(self, held: Any, depth: int, block_layer: str | None) -> None:
        """Read entities; those on layer 0 of a block belong to the layer that the block is set into."""
        for entity in held:
            if depth:
                self._inserted += 1
                self._check_inserted()
            layer = entity.dxf.get("layer", "0")
            if layer == "0" and block_layer is not None:
                layer = block_layer
            kind = entity.dxftype()
            if layer.lower() in self._hidden or entity.dxf.get("invisible", 0):
                self._left_out["what is hidden"] += 1
            elif kind in _DRAWN:
                self._draw(entity, layer)
            elif kind == "INSERT":
                self._insert(entity, depth, layer)
            else:
                self._left_out[kind] += 1

    def _check_inserted(self) -> None:
        if self._inserted > _MOST_INSERTED:
            raise OutlineError(
                f"{self._name} sets in more than {_MOST_INSERTED} copies of blocks; explode the slabs' "
                "blocks and save them alone."
            )

    def _insert(self, entity: Any, depth: int, layer: str) -> None:
        if depth >= _DEEPEST_BLOCK:
            raise OutlineError(
                f"{self._name} has blocks more than {_DEEPEST_BLOCK} deep in each other; explode them."
            )
        self._inserted += max(1, int(entity.mcount))
        self._check_inserted()
        inserts = entity.multi_insert() if entity.mcount > 1 else (entity,)
        for one in inserts:
            self.entities(one.virtual_entities(), depth + 1, layer)

    def _draw(self, entity: Any, layer: str) -> None:
        what = f"{self._name}, {entity.dxftype()} on layer {layer[:40]!r}"
        if entity.dxftype() == "POLYLINE" and (entity.is_polygon_mesh or entity.is_poly_face_mesh):
            self._left_out["meshes"] += 1
            return
        try:
            control = self._control(entity)
            if not len(control):
                return
            # Looked at before any curve is cut, which takes the longer the wilder its numbers are.
            within_reach(control * self._unit, what)
            points = self._flat(entity) * self._unit
        except OutlineError:
            raise
        except Exception:
            # Whatever the library stumbles over, it is the entity's numbers that are wrong.
            raise OutlineError(f"{what} has values that make no line; draw it again.") from None
        self._points += len(points)
        if self._points > MOST_POINTS:
            raise OutlineError(f"{self._name} has more than {MOST_POINTS} points; simplify the outlines.")
        closed = bool(getattr(entity, "closed", False) or getattr(entity, "is_closed", False))
        meets = len(points) > 2 and bool((points[0] == points[-1]).all())
        self.lines.append(Line(within_reach(points, what), closed or meets, layer, layer))

    def _control(self, entity: Any) -> Floats:
        """The points that steer an entity's line, in drawing units."""
        if entity.dxftype() == "SPLINE":
            held = [*entity.control_points, *entity.fit_points]
            return np.array([(float(one[0]), float(one[1])) for one in held]).reshape(-1, 2)
        return _plane(self._path.make_path(entity, segments=_ARC_CURVES).control_vertices())

    def _flat(self, entity: Any) -> Floats:
        """An entity's line as points, in drawing units."""
        distance = self._tolerance / self._unit
        if entity.dxftype() == "SPLINE":
            return _plane(entity.flattening(distance, 4))
        path = self._path.make_path(entity, segments=_ARC_CURVES)
        return _plane(path.flattening(distance, 2) if path.has_curves else path.control_vertices())


def _plane(points: Any) -> Floats:
    return np.array([(one.x, one.y) for one in points], dtype=np.float64).reshape(-1, 2)
