"""The dimensions of a casting's plan: form and finished part, where each piece lies, the narrowest gaps."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from shapely import LineString
from shapely.ops import nearest_points

from workshop.layout.as_placed import CastingAsPlaced
from workshop.layout.placed import PlacedPiece
from workshop.layout.room import at_share
from workshop.layout.troubles import SEAM, SHARES
from workshop.quantity import Units
from workshop.sheets.dimension import (
    Outside,
    between,
    level,
    merged,
    running_along,
    running_up,
    tape_text,
    upright,
)
from workshop.sheets.ink import Ink, Words
from workshop.sheets.paper import View
from workshop.trade.outline import Point

TIERS = (9.0, 15.5)
"""mm off the form at which the finished part's and the form's dimensions stand."""
SMALLER = 2.5
"""mm: letters of a remark."""


def plan_dimensions(
    held: CastingAsPlaced, view: View, inside: tuple[float, float], units: Units
) -> Iterator[Ink]:
    """All dimensions of a plan whose form, or finished part where no form is known, is `inside` m."""
    if held.length is None or held.width is None:
        yield from _overall(view, inside, 0.0, TIERS[0], "finished", units)
    else:
        board = held.board or 0.0
        trimmed = held.finished is not None and held.finished != (0.0, 0.0, *inside)
        if held.finished is not None and trimmed:
            yield from _chains(view, inside, held.finished, board, units)
        yield from _overall(view, inside, board, TIERS[1 if trimmed else 0], "form", units)
        yield from _places(held.pieces, view, inside, board, units)
    yield from _gaps(held.pieces, view, inside, units)


def _overall(
    view: View, inside: tuple[float, float], board: float, off: float, what: str, units: Units
) -> Iterator[Ink]:
    length, width = inside
    near, left = view.down(0.0), view.across(0.0)
    yield level(
        left,
        view.across(length),
        view.down(-board) + off,
        tape_text(length, units),
        (near, near),
        (("measures", f"{what}-length"),),
    )
    yield upright(
        near,
        view.down(width),
        view.across(-board) - off,
        tape_text(width, units),
        (left, left),
        (("measures", f"{what}-width"),),
    )


def _chains(
    view: View,
    inside: tuple[float, float],
    finished: tuple[float, float, float, float],
    board: float,
    units: Units,
) -> Iterator[Ink]:
    """What is trimmed off, the finished part, and what is trimmed off beyond it: along, then across."""
    near, left = view.down(0.0), view.across(0.0)
    # Across, the first part lies lowest on the paper, where text after it would run into the next.
    along: tuple[Outside, Outside, Outside] = ("before", "after", "after")
    across: tuple[Outside, Outside, Outside] = ("after", "after", "before")
    stops = (0.0, finished[0], finished[2], inside[0])
    names = ("trim", "finished-length", "trim")
    for (one, two), side, name in zip(pairwise(stops), along, names, strict=True):
        if two - one > 1e-6:
            text, data = tape_text(two - one, units), (("measures", name),)
            y = view.down(-board) + TIERS[0]
            yield level(view.across(one), view.across(two), y, text, (near, near), data, side)
    stops = (0.0, finished[1], finished[3], inside[1])
    names = ("trim", "finished-width", "trim")
    for (one, two), side, name in zip(pairwise(stops), across, names, strict=True):
        if two - one > 1e-6:
            text, data = tape_text(two - one, units), (("measures", name),)
            x = view.across(-board) - TIERS[0]
            yield upright(view.down(one), view.down(two), x, text, (left, left), data, side)


def _places(
    pieces: tuple[PlacedPiece, ...], view: View, inside: tuple[float, float], board: float, units: Units
) -> Iterator[Ink]:
    """Where each piece's upper face begins and ends, from the left and from the near wall."""
    length, width = inside
    up: list[tuple[float, str, float, str]] = []
    along: list[tuple[float, str, float, str]] = []
    for piece in pieces:
        by_x = sorted(piece.upper)
        by_y = sorted(piece.upper, key=lambda point: point[1])
        for corner in (by_x[0], by_x[-1]):
            if -1e-6 <= corner[0] <= length + 1e-6:
                x, y = view.at(corner)
                along.append((x, tape_text(corner[0], units), y, piece.id))
        for corner in (by_y[0], by_y[-1]):
            if -1e-6 <= corner[1] <= width + 1e-6:
                x, y = view.at(corner)
                up.append((y, tape_text(corner[1], units), x, piece.id))
    right, top = view.across(length + board) + 4, view.down(width + board) - 6
    if up:
        yield running_up(merged(up), right, view.down(0.0), (("measures", "from-near-wall"),))
        for row, text in enumerate(("from the", "near wall")):
            yield Words(right + 1, view.down(0.0) + 6.5 + 3 * row, text, SMALLER)
    if along:
        yield running_along(merged(along), top, view.across(0.0), (("measures", "from-left-wall"),))
        end = max(x for x, _text, _start, _name in along)
        yield Words(end + 4, top + 1, "from the left wall", SMALLER)


def _gaps(
    pieces: tuple[PlacedPiece, ...], view: View, inside: tuple[float, float], units: Units
) -> Iterator[Ink]:
    """The narrowest resin between neighbours, where it is."""
    for one, two in combinations(pieces, 2):
        found = _narrowest(one, two)
        if found is None:
            continue
        width, start, end, share = found
        run = LineString([start, end])
        others = (piece for piece in pieces if piece.id not in (one.id, two.id))
        if width <= SEAM or any(at_share(piece, 1.0).intersects(run) for piece in others):
            continue
        if not all(0 <= x <= inside[0] and 0 <= y <= inside[1] for x, y in (start, end)):
            continue
        text = f"{tape_text(width, units)} narrowest{', lower face' if share == 0 else ''}"
        side: Outside = "before" if start[0] > inside[0] / 2 else "after"
        data = (("measures", "gap"), ("pieces", f"{one.id} {two.id}"))
        yield between(view.at(start), view.at(end), text, data, side)


def _narrowest(one: PlacedPiece, two: PlacedPiece) -> tuple[float, Point, Point, float] | None:
    """How wide the least gap of both faces is, its two ends, and at which share of the thickness it lies."""
    best: tuple[float, Point, Point, float] | None = None
    for share in SHARES:
        first, second = at_share(one, share), at_share(two, share)
        if first.is_empty or second.is_empty:
            continue
        width = float(first.distance(second))
        if best is None or width < best[0]:
            a, b = nearest_points(first, second)
            best = (width, (a.x, a.y), (b.x, b.y), share)
    return best
