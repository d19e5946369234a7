"""What stands behind the row of a lift's cure: all lifts of the casting, and what moves the peak most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from workshop.lift_table import in_words, lift_table
from workshop.plan import Plan
from workshop.quantity import DURATION, LENGTH, TEMPERATURE, TEMPERATURE_STEP, Units, show
from workshop.tui.lines import Line, clipped, line, text_of, wrapped

if TYPE_CHECKING:
    from workshop.trade.lift_moves import Move

UNDER: Final = {"battens": "on battens", "bench": "flat on the bench", "concrete": "on concrete"}
SMALL: Final = 0.05
"""K under which a change is none."""


def lifts_lines(plan: Plan, casting: str, width: int) -> list[Line]:
    """The casting's lifts: a table where it fits, else some lines for each."""
    table = lift_table(plan, casting)
    if table is None:
        return []
    units = plan.project.units
    heading = wrapped(table.title.upper(), width, "title")
    cells = [[column.title for column in table.columns], *table.text_rows(units)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(table.columns))]
    if sum(widths) + 2 * (len(widths) - 1) <= width:
        return [
            *heading,
            *(
                clipped(
                    line(
                        (
                            "  ".join(
                                cell.rjust(size) if place else cell.ljust(size)
                                for place, (cell, size) in enumerate(zip(row, widths, strict=True))
                            ),
                            "dim" if number == 0 else "text",
                        )
                    ),
                    width,
                )
                for number, row in enumerate(cells)
            ),
        ]
    for lift, said in in_words(table, units):
        first, *rest = wrapped(f"{lift}  {said}", width, "text", indent=2, first=0)
        heading += [line((lift, "tan"), text_of(first).removeprefix(lift)), *rest]
    return heading


def moves_lines(moves: tuple[Move, ...] | None, units: Units, width: int) -> list[Line]:
    """What moves the lift's hot peak most, the greatest first; None while that is being worked out."""
    lines: list[Line] = wrapped("WHAT MOVES THE HOT PEAK MOST", width, "title")
    if moves is None:
        return [*lines, line(("working it out", "dim"))]
    for number, move in enumerate(moves, 1):
        lines += wrapped(f"{number} {_move(move, units)}", width, "text", indent=2, first=0)
    return lines


def _move(move: Move, units: Units) -> str:
    ways = []
    for way in move.ways:
        change = "nothing" if abs(way.change) < SMALL else _signed(way.change, units)
        if isinstance(way.to, str):
            said = UNDER[way.to]
        elif move.lever in ("shop", "pour"):
            said = show(way.to, TEMPERATURE, units)
        elif move.lever == "depth":
            said = show(way.to, LENGTH, units)
        elif move.lever == "wait":
            said = show(way.to, DURATION, units)
        else:
            said = "none"
        ways.append(f"{said}: {change}")
    names = {
        "shop": "shop at",
        "pour": "poured at",
        "depth": "depth",
        "under": "form",
        "bed": "stones",
        "wait": "wait after the lift below",
    }
    return f"{names[move.lever]} {', '.join(ways)}"


def _signed(change: float, units: Units) -> str:
    return f"{'+' if change > 0 else '−'}{show(abs(change), TEMPERATURE_STEP, units)}"
