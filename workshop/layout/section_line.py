"""A casting turned so that a line through it becomes the line across at 0: how a section sees it."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, hypot, pi

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.trade.face_pair import Line, Ring, moved
from workshop.trade.outline import Point

Box = tuple[float, float, float, float]


def across_at(held: CastingAsPlaced, x: float) -> Line:
    """The line across a casting at a place along it."""
    return (x, 0.0), (x, held.width if held.width is not None else 1.0)


def within(line: Line, box: Box) -> tuple[float, float] | None:
    """Where a line, running on both ways, lies in a box (left, bottom, right, top), in m from its start."""
    (ax, ay), (bx, by) = line
    length = hypot(bx - ax, by - ay)
    if length == 0:
        return None
    dx, dy = (bx - ax) / length, (by - ay) / length
    low, high = -1e9, 1e9
    for start, step, least, most in ((ax, dx, box[0], box[2]), (ay, dy, box[1], box[3])):
        if abs(step) < 1e-12:
            if not least <= start <= most:
                return None
            continue
        one, two = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, one), min(high, two)
    return (low, high) if high > low else None


def turned_to(held: CastingAsPlaced, line: Line) -> CastingAsPlaced | None:
    """The casting in a frame whose x is 0 on the line and whose y runs along it from the form's wall.

    None where the line does not run through the form; where its size is not known, the line starts at its
    first point. Its trim lines and fixings stay where they were.
    """
    run, width = (0.0, 0.0), held.width
    if held.length is not None and held.width is not None:
        found = within(line, (0.0, 0.0, held.length, held.width))
        if found is None:
            return None
        run, width = found, found[1] - found[0]
    (ax, ay), (bx, by) = line
    length = hypot(bx - ax, by - ay)
    dx, dy = (bx - ax) / length, (by - ay) / length
    start = (ax + dx * run[0], ay + dy * run[0])

    def ring(points: Ring) -> Ring:
        return tuple(_seen(point, start, (dx, dy)) for point in points)

    finished = None
    if held.finished is not None:
        left = within((start, (start[0] + dx, start[1] + dy)), held.finished)
        # Where nothing is left, all of the section is cut away.
        near, far = (0.0, 0.0) if left is None else left
        finished = (-1.0, near, 1.0, far)
    return replace(
        held,
        length=None,
        width=width,
        finished=finished,
        pieces=tuple(_piece(piece, start, (dx, dy)) for piece in held.pieces),
        beds=tuple(
            replace(bed, points=None if bed.points is None else ring(bed.points)) for bed in held.beds
        ),
        lights=tuple(replace(run, path=ring(run.path)) for run in held.lights),
    )


def _seen(point: Point, start: Point, way: Point) -> Point:
    x, y = point[0] - start[0], point[1] - start[1]
    return x * way[1] - y * way[0], x * way[0] + y * way[1]


def crossing(line: Line, other: Line) -> float | None:
    """How far along a line from its start another one crosses it, m; None where they run side by side."""
    (ax, ay), (bx, by) = line
    (cx, cy), (ex, ey) = other
    length = hypot(bx - ax, by - ay)
    dx, dy = (bx - ax) / length, (by - ay) / length
    ux, uy = ex - cx, ey - cy
    across = dx * uy - dy * ux
    if abs(across) < 1e-9 * hypot(ux, uy):
        return None
    return ((cx - ax) * uy - (cy - ay) * ux) / across


def _piece(piece: PlacedPiece, start: Point, way: Point) -> PlacedPiece:
    """The piece as the section's frame has it: turned so that the line's way becomes straight up."""

    def ring(points: Ring) -> Ring:
        return tuple(_seen(point, start, way) for point in points)

    turn = pi / 2 - atan2(way[1], way[0])
    return PlacedPiece(
        piece.id,
        moved(piece.pair, start, (0.0, 0.0), turn, False),
        piece.both_faces,
        piece.thickness,
        piece.turn + turn,
        piece.grain + turn,
        piece.flip,
        _seen(piece.mark, start, way),
        ring(piece.upper),
        None if piece.lower is None else ring(piece.lower),
        tuple(ring(hole) for hole in piece.holes),
        (ring(piece.left[0]), ring(piece.left[1])),
        (ring(piece.right[0]), ring(piece.right[1])),
    )
