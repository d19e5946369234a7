"""The program in a real terminal, under tmux: keys, resizing, leaving, and a kill while it runs."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
AT = "2026-03-09T20:40:00+01:00"
RAIL = 20
"""Cells at the left in which a bar marks the open stage, and not the row under the cursor."""
PATIENCE = 20.0
"""Seconds to wait for words on the screen; a run that needs them all has failed."""

pytestmark = pytest.mark.skipif(
    shutil.which("tmux") is None,
    reason="tmux is not installed: the screens cannot be tried in a real terminal",
)


def under_cursor(seen: str) -> str:
    """The words on which the cursor's bar stands."""
    return "\n".join(line[RAIL:].partition("▐")[2] for line in seen.splitlines()[2:]).strip()


class Terminal:
    """A terminal of tmux's with a server of its own, so that nothing else is touched."""

    def __init__(self, place: Path, environment: dict[str, str]) -> None:
        self._socket = str(place / "tmux")
        self._environment = environment

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-f", "/dev/null", "-S", self._socket, *words],
            capture_output=True,
            encoding="utf-8",
            env=self._environment,
            cwd=ROOT,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def run(self, *words: str, size: tuple[int, int] = (80, 24)) -> None:
        """Run `workshop` in the terminal; its last screen stays to be read."""
        width, height = size
        self._tmux(
            *("set-option", "-g", "remain-on-exit", "on", ";"),
            *("set-option", "-g", "default-terminal", "tmux-256color", ";"),
            *("new-session", "-d", "-s", "shop", "-x", str(width), "-y", str(height)),
            *(sys.executable, "-m", "workshop", *words),
        )

    def screen(self) -> str:
        """What the terminal shows."""
        return self._tmux("capture-pane", "-p", "-t", "shop")

    def press(self, *keys: str) -> None:
        """Press keys by tmux's names."""
        self._tmux("send-keys", "-t", "shop", *keys)

    def write(self, text: str) -> None:
        """Type text."""
        self._tmux("send-keys", "-t", "shop", "-l", text)

    def until(self, *wanted: str, gone: str = "") -> str:
        """The screen, once it shows all that is wanted and no longer what has to go."""
        end = time.monotonic() + PATIENCE
        while True:
            seen = self.screen()
            if all(text in seen for text in wanted) and not (gone and gone in seen):
                return seen
            assert time.monotonic() < end, f"waited for {wanted}, without {gone!r}:\n{seen}"
            time.sleep(0.03)

    def press_until(self, key: str, row: str) -> None:
        """Press a key, again and again, until the cursor's bar stands on a row with these words."""
        end = time.monotonic() + PATIENCE
        while row not in (here := under_cursor(self.screen())):
            assert time.monotonic() < end, f"{key} does not lead to {row!r}:\n{self.screen()}"
            self.press(key)
            stop = time.monotonic() + 0.5
            while under_cursor(self.screen()) == here and time.monotonic() < stop:
                time.sleep(0.01)

    def resize(self, width: int, height: int) -> None:
        """Give the terminal another size."""
        self._tmux("resize-window", "-t", "shop", "-x", str(width), "-y", str(height))

    @property
    def process(self) -> int:
        """The program's process id."""
        return int(self._tmux("display-message", "-p", "-t", "shop", "#{pane_pid}"))

    def ended(self) -> None:
        """Wait until the program has ended, and let its terminal go."""
        end = time.monotonic() + PATIENCE
        while self._tmux("display-message", "-p", "-t", "shop", "#{pane_dead}").strip() != "1":
            assert time.monotonic() < end, f"the program does not end:\n{self.screen()}"
            time.sleep(0.03)
        self.close()

    def close(self) -> None:
        """End this terminal's server and whatever still runs in it."""
        subprocess.run(
            ["tmux", "-S", self._socket, "kill-server"], capture_output=True, env=self._environment
        )


def environment(bench: Path, **more: str) -> dict[str, str]:
    """What the program finds: UTF-8, a projects folder, a home of its own."""
    held = {key: text for key, text in os.environ.items() if not key.startswith(("TMUX", "TEXTUAL"))}
    return {
        **held,
        "LC_ALL": "C.UTF-8",
        "TERM": "xterm-256color",
        "WORKSHOP_PROJECTS": str(bench.parent),
        **more,
    }


@pytest.fixture
def terminal(tmp_path: Path, bench: Path) -> Iterator[Terminal]:
    """A terminal, ended with the test."""
    held = Terminal(tmp_path, environment(bench))
    yield held
    held.close()


def depth_in_plan(bench: Path) -> tuple[float, float]:
    """From the command line: the strip lift's depth in metres, and its mixed mass in kilograms."""
    done = subprocess.run(
        [sys.executable, "-m", "workshop", "plan", str(bench), "--json", "--stage", "lifts"],
        capture_output=True,
        encoding="utf-8",
        env=environment(bench),
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    stage = next(held for held in json.loads(done.stdout)["stages"] if held["id"] == "lifts")
    calculators = next(held for held in stage["subjects"] if held["subject"] == "seat/strip")["calculators"]
    depth = calculators["resin-volume"]["inputs"]["depth"]
    return (
        float(depth["value"] if isinstance(depth, dict) else depth),
        float(calculators["mix"]["figures"]["mass"]["value"]),
    )


def line_with(seen: str, words: str) -> str:
    """The line of a screen that holds the words."""
    return next(line for line in seen.splitlines() if words in line)


def written(bench: Path, text: str) -> None:
    """Wait until the file holds a text."""
    end = time.monotonic() + PATIENCE
    while text not in bench.read_text(encoding="utf-8"):
        assert time.monotonic() < end, f"{text!r} is not written"
        time.sleep(0.03)


def edit_depth(terminal: Terminal, text: str) -> None:
    """Open the volume of the strip lift and type over the height it goes to."""
    # The figures come a moment after the checks.
    terminal.until("▲")
    terminal.press_until("Down", "Resin to mix")
    terminal.press("Enter")
    terminal.until("▾ Resin to mix")
    terminal.press_until("Down", "depth of the resin")
    terminal.press("e")
    terminal.until("The height of lift seat/strip")
    terminal.write(text)


def test_an_evening_in_a_real_terminal(terminal: Terminal, bench: Path) -> None:
    terminal.run("open", str(bench), "--at", AT)
    terminal.until("LIFTS", "seat lift 2 of 3", "Leak watch")
    terminal.press_until("Down", "Log the peak")
    terminal.press("Space")
    terminal.until("r takes the reading")
    terminal.press("k")
    terminal.until("Nothing rings")
    terminal.press("Space")
    terminal.until("Log the peak: how hot and when   ", "20:4")
    terminal.press_until("Up", "Pass the bubbles")
    terminal.press("t")
    terminal.until("Bubbles: 10 25 45 min")
    before = depth_in_plan(bench)
    edit_depth(terminal, "1 1/8 in")
    # Before enter is pressed: 2.69 kg at 29 mm, a little less at 28.6 mm.
    seen = terminal.until("1 1/8 in", "mass to mix", gone="2.69 kg")
    assert 2.6 < float(line_with(seen, "→ ").split()[-2]) < 2.68
    terminal.press("Enter")
    written(bench, 'to = "1 1/8 in"')
    after = depth_in_plan(bench)
    assert after[0] == pytest.approx(1.125 * 0.0254 - 0.0062)
    assert after[1] < before[1]
    terminal.press("u")
    terminal.until("Taken back: edit of to")
    terminal.press_until("Down", "mass to mix")
    assert "2.69 kg" in line_with(terminal.screen(), "= mass to mix")
    terminal.resize(60, 20)
    terminal.until("◐4 Lifts")
    terminal.resize(80, 24)
    terminal.until("4 Lifts", gone="◐4 Lifts")
    terminal.press("q")
    terminal.until("PROJECTS", "Tarn bench")
    terminal.press("q")
    terminal.ended()
    assert depth_in_plan(bench) == before
    terminal.run("open", str(bench), "--at", AT)
    seen = terminal.until("LIFTS", "Bubbles")
    done = line_with(seen, "Log the peak")
    assert "■" in done and "20:4" in done


def test_what_the_screen_calls_saved_survives_a_kill(terminal: Terminal, bench: Path) -> None:
    terminal.run("open", str(bench), "--at", AT)
    terminal.until("LIFTS", "seat lift 2 of 3")
    edit_depth(terminal, "27 mm")
    terminal.press("Enter")
    begun = time.monotonic()
    terminal.until("saved", gone="The height of lift seat/strip")
    terminal.until(" saved", gone="saving")
    # A second by the design; the rest is this machine's.
    assert time.monotonic() - begun < 5
    os.kill(terminal.process, signal.SIGKILL)
    terminal.ended()
    assert depth_in_plan(bench)[0] == pytest.approx(0.0208)
    terminal.run("open", str(bench), "--at", AT)
    terminal.until("LIFTS", "seat lift 2 of 3")


def test_without_colour_every_state_is_a_word_or_a_sign(tmp_path: Path, bench: Path) -> None:
    terminal = Terminal(tmp_path, environment(bench, NO_COLOR="1"))
    try:
        terminal.run("open", str(bench), "--at", "2026-03-09T21:40:00+01:00")
        seen = terminal.until("LIFTS", "saved", "▲")
        assert "LATE, rings" in seen
        assert "◐ 4 Lifts" in seen and "○ 6 Fill" in seen and "▲" in seen
        assert "□ " in seen and "waits" in seen
        terminal.press("g", "3")
        terminal.until("SEAL COAT", "▲ warn")
        terminal.press("g", "1")
        terminal.until("STOCK PREP", "◇ accepted", "all done")
        terminal.press("k", "g", "4")
        terminal.until("LIFTS", gone="LATE, rings")
    finally:
        terminal.close()
