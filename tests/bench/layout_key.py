"""How long a key press on a large layout takes to its frame; run by hand: `python tests/bench/layout_key.py`.

Twelve pieces with outlines of 400 points at both faces, in three lifts over a bed of stone. Each press moves
the piece in hand by 1 mm; all that stands beside the picture follows. An empty repaint of the same screen is
timed beside it, so that the two can be told apart on any computer.
"""

import asyncio
import sys
import tempfile
from collections.abc import Iterator
from datetime import datetime
from math import sin
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[2]))

from textual.pilot import Pilot

from workshop.clock import Clock
from workshop.project.reading import dumps
from workshop.tui.app import WorkshopApp
from workshop.tui.layout_base import LayoutBase

PIECES = 12
POINTS = 400
PRESSES = 40
SIZE = (120, 36)


def outline(number: int, out: float) -> Iterator[str]:
    """A slab's outline, 600 mm long, with wavy edges."""
    half = POINTS // 2
    for step in range(half):
        yield f"{step * 600 / (half - 1):.1f}, {-45 - out + 4 * sin(step * 0.13 + number):.1f}"
    for step in range(half):
        yield f"{600 - step * 600 / (half - 1):.1f}, {45 + out + 4 * sin(step * 0.11 + number):.1f}"


def document(bed: bool = True) -> dict[str, object]:
    """Four rows of three pieces."""
    slabs, pieces = {}, {}
    for number in range(PIECES):
        slabs[f"s{number}"] = {
            "thickness": "40 mm",
            "unit": "mm",
            "outline": "; ".join(outline(number, 0)),
            "lower-outline": "; ".join(outline(number, 8)),
        }
        pieces[f"p{number}"] = {
            "slab": f"s{number}",
            "mark": "300, 0 mm",
            "casting": "top",
            "place": f"{320 + number % 3 * 620}, {70 + number // 3 * 140} mm",
        }
    top: dict[str, object] = {
        "length": "1860 mm",
        "width": "540 mm",
        "resin": "blue",
        "residue": "3 %",
        "reserve": "5 %",
        "lifts": [{"id": "l1", "to": "8 mm"}, {"id": "l2", "to": "25 mm"}, {"id": "l3", "to": "40 mm"}],
        "form": {"length": "1880 mm", "width": "560 mm", "depth": "50 mm", "board": "18 mm", "trim": "10 mm"},
    }
    if bed:
        slate = {"region": "resin", "inset": "6 mm", "from": "6 mm", "to": "20 mm", "packing": "50 %"}
        top["bed"] = {"slate": slate}
    packs = [{"size": "1.5 kg", "price": "39.50 EUR"}, {"size": "7.5 kg", "price": "142.00 EUR"}]
    resin = {
        "ratio-by-weight": "100 : 42.5",
        "density-a": "1.15 kg/L",
        "density-b": "0.98 kg/L",
        "packs": packs,
    }
    return {"format": 2, "slab": slabs, "piece": pieces, "resin": {"blue": resin}, "casting": {"top": top}}


async def timed(pilot: Pilot[None], press: bool) -> float:
    """Seconds from a key, or from nothing, to a screen that was drawn anew."""
    screen = pilot.app.screen
    assert isinstance(screen, LayoutBase)
    begun = perf_counter()
    if press:
        await screen.run_action("move(1, 0)")
    else:
        for widget in screen.walk_children():
            widget.refresh()
    screen.refresh()
    await pilot.pause(0)
    return perf_counter() - begun


async def run(bed: bool) -> tuple[float, float, float]:
    """The middle time of a press, the longest, and of an empty repaint."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        file = Path(folder) / "large.toml"
        file.write_text(dumps(document(bed)), encoding="utf-8")
        clock = Clock(at=datetime.fromisoformat("2026-03-09T20:40:00+01:00"))
        app = WorkshopApp(Path(folder), file, clock)
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause(1)
            await pilot.press("l")
            await pilot.pause(0.5)
            await pilot.press("n", "n", "n", "n", "v", "v", "v", "f")
            await pilot.pause(0.2)
            presses = [await timed(pilot, True) for _ in range(PRESSES)]
            empty = [await timed(pilot, False) for _ in range(PRESSES)]
    return median(presses[2:]), max(presses[2:]), median(empty)


def main() -> None:
    """Print the times, in ms."""
    for words, bed in (("without a bed", False), ("over a bed", True)):
        press, longest, empty = (seconds * 1e3 for seconds in asyncio.run(run(bed)))
        print(f"{words:14} a key {press:5.1f} ms (at most {longest:5.1f}), an empty repaint {empty:5.1f} ms")


if __name__ == "__main__":
    main()
