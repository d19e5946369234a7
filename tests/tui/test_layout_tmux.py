"""Laying out in a real terminal: three pieces set down, one turned and moved to a gap, taken back."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tui.test_tmux import AT, Terminal, environment, line_with, pytestmark, written

__all__ = ["pytestmark"]

BOARD = """[slab.board-{number}]
species = "ash, white"
length = "{length} mm"
width = "100 mm"
thickness = "40 mm"

[piece.p{number}]
slab = "board-{number}"
casting = "top"

"""

FORM = """format = 2
[shop]
zone = "Europe/Berlin"

[resin.clear]
density-a = "1.1 kg/L"
density-b = "1.1 kg/L"
ratio-by-weight = "2 : 1"
packs = [{ size = "5 kg", price = "90.00 EUR" }]

[casting.top]
length = "1200 mm"
width = "500 mm"
resin = "clear"
lifts = [{ id = "l1", to = "40 mm" }]

[casting.top.form]
length = "1200 mm"
width = "500 mm"
depth = "50 mm"
board = "18 mm"

"""


@pytest.fixture
def table(tmp_path: Path) -> Path:
    """A form of 1200 by 500 mm, and three boards that lie nowhere yet: two of 1200 mm, one of 1000 mm."""
    folder = tmp_path / "tables"
    folder.mkdir()
    file = folder / "table.toml"
    boards = "".join(
        BOARD.format(number=number, length=length) for number, length in ((1, 1200), (2, 1000), (3, 1200))
    )
    file.write_text(FORM + boards, encoding="utf-8")
    return file


@pytest.fixture
def terminal(tmp_path: Path, table: Path) -> Iterator[Terminal]:
    """A terminal, ended with the test."""
    held = Terminal(tmp_path, environment(table))
    yield held
    held.close()


def litres(seen: str) -> float:
    """The resin of all lifts."""
    found = re.search(r"all +([\d.]+) L", line_with(seen, "all "))
    assert found, seen
    return float(found.group(1))


def test_three_pieces_are_laid_down_and_one_is_moved_to_a_gap(terminal: Terminal, table: Path) -> None:
    terminal.run("open", str(table), "--at", AT, size=(120, 36))
    terminal.until("layout")
    terminal.press("l")
    terminal.until("PLAN 1200 x 500", "not laid down yet")
    # The first arrow sets a piece down in the middle of the form, the others move it on.
    terminal.press(*["Down"] * 21)
    terminal.until("600, 50  0°")
    terminal.press("n", *["Up"])
    terminal.until("▸ p2", "600, 250  0°")
    terminal.press("n", *["Up"] * 21)
    terminal.until("▸ p3", "600, 450  0°")
    terminal.press("n", "n")
    # All wood in the form: 1200 x 500 x 40 less 1200, 1000 and 1200 by 100 by 40 mm.
    seen = terminal.until("▸ p2", "gap p2–p1 100 mm", "gap p2–p3 100 mm")
    assert litres(seen) == pytest.approx(24 - 4.8 - 4 - 4.8, abs=0.05)
    terminal.press("o", ",")
    seen = terminal.until("600, 250  15°", "lower face up", "p1 and p2 overlap", "p2 and p3 overlap")
    overlapping = litres(seen)
    assert overlapping > 10.4
    terminal.press(".")
    seen = terminal.until("600, 250  0°", gone="overlap")
    assert litres(seen) == pytest.approx(10.4, abs=0.05) and litres(seen) < overlapping
    terminal.press(*["Down"] * 4, "f", *["Down"] * 5)
    seen = terminal.until("gap p2–p1 55 mm", "600, 205")
    terminal.press("u")
    terminal.until("gap p2–p1 56 mm", "Taken back: moved p2")
    # A second press within 300 ms would count as the same one.
    time.sleep(0.4)
    terminal.press("u")
    terminal.until("gap p2–p1 57 mm")
    terminal.press("q")
    terminal.until("STOCK PREP")
    written(table, 'place = "600, 207 mm"')
    written(table, "piece.p2.place | unknown | 600, 207 mm")
