"""A pour evening with keys alone in a real terminal, and coming back to it three weeks later."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tui.test_tmux import Terminal, environment, written
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.project.reading import read

EVENING = "2026-03-11T18:00:00+01:00"
"""The second evening after the second lift: its window opened in the night before and shut in the day."""
WEEKS_LATER = "2026-04-01T18:30:00+02:00"
BOUNCE = 0.31
"""Two presses of one key within 0.3 s are one: so long passes between two that are meant."""

pytestmark = pytest.mark.skipif(
    shutil.which("tmux") is None,
    reason="tmux is not installed: the screens cannot be tried in a real terminal",
)

every_size = pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])


class Evening:
    """Hands at a terminal: each press waits for what it brings about."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal
        self._last = ("", 0.0)

    def press(self, key: str, *wanted: str, gone: str = "") -> str:
        """Press a key as it is meant, and wait for what it shows."""
        last, at = self._last
        while last == key and time.monotonic() - at < BOUNCE:
            time.sleep(0.01)
        self.terminal.press(key)
        seen = self.terminal.until(*wanted, gone=gone)
        self._last = (key, time.monotonic())
        return seen

    def write(self, text: str, *wanted: str) -> str:
        """Type text, and wait for what it shows."""
        self.terminal.write(text)
        seen = self.terminal.until(*(wanted or (text,)))
        # The key before it was dealt with by now, and perhaps only just.
        self._last = (self._last[0], time.monotonic())
        return seen


@pytest.fixture
def hands(tmp_path: Path, bench: Path) -> Iterator[Evening]:
    """A terminal with hands at it, ended with the test."""
    terminal = Terminal(tmp_path, environment(bench))
    yield Evening(terminal)
    terminal.close()


def on_disk(bench: Path) -> ProjectFile:
    """The project as the file has it."""
    return load_text(read(bench).text, bench.name).file


@every_size
def test_a_pour_evening_and_three_weeks_later(hands: Evening, bench: Path, size: tuple[int, int]) -> None:
    hands.terminal.run("open", str(bench), "--at", EVENING, size=size)
    hands.terminal.until("WHILE YOU WERE AWAY", "seat/strip: window shut", "scuff first")
    hands.press("q", "LIFTS", "LATE, rings")

    # The alarms of the night are heard, one after the other.
    while "LATE, rings" in hands.terminal.screen():
        ringing = hands.terminal.screen().count("LATE, rings")
        hands.terminal.press("k")
        stop = time.monotonic() + 20
        while hands.terminal.screen().count("LATE, rings") == ringing and time.monotonic() < stop:
            time.sleep(0.03)

    # The air, in one go.
    hands.press("r", "Take a reading", "temperature")
    hands.write("18")
    hands.press("Enter", "And the humidity")
    hands.write("50")
    hands.press("Enter", "Read: shop 18 °C, 50 %", "18 °C 50 %")

    # Two batches of the last lift: the first is good.
    hands.press("Right", "lift 3 of 3")
    hands.press("b", "Weigh seat/top, batch 1 of 2", "As planned: A")
    hands.write("1417", "B 602 g")
    hands.press("Enter", "B 602 g")
    hands.write("602", "good", "Mix it")
    hands.press("Enter", "Batch b4: A 1417 g, B 602 g", gone="Weigh seat/top")
    hands.press("b", "Batch b4 mixed at 18:0")
    hands.press("b", "Batch b4 in form at 18:0")

    # The second is off: it is shown before mixing, logged, and put right.
    hands.press("b", "Weigh seat/top, batch 2 of 2")
    hands.write("1417", "B 602 g")
    hands.press("Enter", "B 602 g")
    hands.write("540", "STOP", "Do not pour", "Weigh in 62", "of part B")
    hands.press("Enter", "Enter once more logs it")
    hands.press("Enter", "Off its ratio: b puts it right", gone="Weigh seat/top")
    hands.press("b", "Batch b5 of seat/top is off its ratio", "Weigh in 62", "of part B")
    hands.press("Enter", "STOP")
    hands.write("602", "good")
    hands.press("Enter", "Batch b5: A 1417 g, B 602 g", gone="is off its ratio")
    hands.press("b", "Batch b5 mixed at 18:0")
    hands.press("b", "Batch b5 in form at 18:0")

    # Poured: three timers at once.
    hands.press("p", "seat/top is poured", "52 mm", "Starts: cure")
    hands.press("Enter", "Resin temperature: not known")
    hands.write("21", "Resin temperature: 21 °C")
    hands.press("Enter", "seat/top poured to 52 mm", "Now running: cure, leak watch, bubbles")

    # A note from the list, and the view from across the room.
    hands.press("n", "No leak.", "enter keeps it")
    hands.press("Down", "its letter or enter puts it in")
    hands.press("Enter", "enter keeps it")
    hands.press("Enter", "Noted.")
    written(bench, "No leak.")
    hands.press("v", "Look for leaks, read a depth stick", gone="LIFTS")
    hands.press("v", "LIFTS", "seat lift 3 of 3")
    hands.press("q", "PROJECTS", "Tarn bench")
    hands.press("q")
    hands.terminal.ended()

    record = on_disk(bench).record
    weighed = {id: held for id, held in record.batch.items() if held.of == "seat/top"}
    assert [held.b.text for held in weighed.values() if held.b is not None] == ["602 g", "602 g"]
    assert all(held.mix_end is not None and held.in_form is not None for held in weighed.values())
    assert any("record.batch.b5.b" in line.path and "540 g" in line.said for line in record.journal.struck)
    top = record.poured["seat/top"]
    assert top.to is not None and top.resin_temperature is not None
    assert (top.to.text, top.resin_temperature.text) == ("52 mm", "21 °C")
    assert {held.timer for held in record.timer.values() if held.of == "seat/top"} == {
        "cure",
        "leak-watch",
        "bubbles",
    }
    assert record.journal.notes[-1].said == "No leak."

    # Three weeks later the page says what that means.
    hands.terminal.run("open", str(bench), "--at", WEEKS_LATER, size=size)
    seen = " ".join(hands.terminal.until("away for 20 days", "WHILE YOU WERE AWAY", "seat/top").split())
    assert "full cure reached" not in seen, "in a shop at 17 °C three weeks do not cure it through"
    assert "bubbles ended 20 days ago: too late to pass them" in seen
    hands.press("q", "LIFTS", "Tarn bench")
    hands.press("q", "PROJECTS")
    hands.press("q")
    hands.terminal.ended()
