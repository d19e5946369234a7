"""Lines drawn piece by piece, joined end to end into chains."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Final

import numpy as np

from workshop.outlines.drawing import Floats, OutlineError

__all__ = ["JOINED_WITHIN", "joined"]

JOINED_WITHIN: Final = 1e-4
"""Ends as near as this meet, m."""

_MOST_MEETING: Final = 50
"""No drawing of an outline has as many lines that end in one place."""

_Cell = tuple[int, int]


def joined(lines: Sequence[Floats], within: float = JOINED_WITHIN) -> tuple[Floats, ...]:
    """The chains that open lines make, each end joined to the nearest that lies `within`, m.

    A chain that comes back to its start ends there, with its first point repeated. A line that was drawn
    twice is taken once. Where more than two ends meet, the nearest go together.
    """
    held = [line for line in _single(lines, within) if len(line) > 1]
    ends = _Ends(held, within)
    free = [True] * len(held)
    chains = []
    for start, line in enumerate(held):
        if not free[start]:
            continue
        free[start] = False
        parts = [line]
        for _ in range(2):
            while not _meet(parts[0][0], parts[-1][-1], within) or _short(parts, within):
                found = ends.nearest(parts[-1][-1], free)
                if found is None:
                    break
                place, turned = found
                free[place] = False
                parts.append(held[place][::-1] if turned else held[place])
            # Then the other end is grown in the same way.
            parts = [part[::-1] for part in reversed(parts)]
        chains.append(_chain(parts, within))
    return tuple(chains)


class _Ends:
    """Where the lines end, by the cells of a grid that is as wide as ends may lie apart."""

    def __init__(self, lines: Sequence[Floats], within: float) -> None:
        self._lines = lines
        self._within = within
        self._cells: defaultdict[_Cell, list[tuple[int, bool]]] = defaultdict(list)
        for place, line in enumerate(lines):
            self._cells[self._cell(line[0])].append((place, False))
            self._cells[self._cell(line[-1])].append((place, True))
        for cell in self._cells.values():
            if len(cell) > _MOST_MEETING:
                place, turned = cell[0]
                x, y = lines[place][-1 if turned else 0] * 1000
                raise OutlineError(
                    f"More than {_MOST_MEETING} lines end at ({x:.1f}, {y:.1f}) mm; put the outline alone in "
                    "a layer."
                )

    def _cell(self, point: Floats) -> _Cell:
        return int(point[0] // self._within), int(point[1] // self._within)

    def nearest(self, point: Floats, free: Sequence[bool]) -> tuple[int, bool] | None:
        """The free line that begins (or, turned, ends) nearest to a point, if one is near enough."""
        best: tuple[float, int, bool] | None = None
        x, y = self._cell(point)
        for cell in ((x + dx, y + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)):
            held = self._cells.get(cell)
            if held is None:
                continue
            # Ends that are used up are let go, so that a bundle of them is not searched again and again.
            held[:] = [one for one in held if free[one[0]]]
            for place, turned in held:
                end = self._lines[place][-1 if turned else 0]
                away = float(np.hypot(*(end - point)))
                if away <= self._within and (best is None or (away, place, turned) < best):
                    best = (away, place, turned)
        return None if best is None else best[1:]


def _single(lines: Sequence[Floats], within: float) -> list[Floats]:
    seen: set[tuple[tuple[int, ...], ...]] = set()
    kept = []
    for line in lines:
        rounded = [tuple(int(value) for value in np.round(point / within)) for point in line]
        key = min(tuple(rounded), tuple(reversed(rounded)))
        if key not in seen:
            seen.add(key)
            kept.append(line)
    return kept


def _meet(one: Floats, other: Floats, within: float) -> bool:
    return float(np.hypot(*(one - other))) <= within


def _short(parts: Sequence[Floats], within: float) -> bool:
    """Whether a chain is still a mere speck, whose ends meet because nothing lies between them."""
    points = np.vstack(parts)
    return len(points) < 3 or bool((np.ptp(points, axis=0) <= within).all())


def _chain(parts: Sequence[Floats], within: float) -> Floats:
    """The parts as one line; where two meet, the point half-way stands for both ends."""
    points = [parts[0]]
    for part in parts[1:]:
        meeting = (points[-1][-1] + part[0]) / 2
        points[-1] = points[-1][:-1]
        points.append(np.vstack([meeting, part[1:]]))
    chain = np.vstack(points)
    if len(parts) > 1 and len(chain) > 3 and _meet(chain[0], chain[-1], within):
        chain[0] = chain[-1] = (chain[0] + chain[-1]) / 2
    return chain
