"""How fast the bench's build screen is there and how little it takes when idle, against an empty program.

The screen is there when its header, checks, timers and keys are; figures and pictures follow at once.

Run by hand on Linux: `python tests/bench/first_paint.py`. Both programs run in a terminal of 120 by 36 in
turns, so that the ratios mean the same on every computer.
"""

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Sequence
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
ROUNDS = 9
IDLE = 20.0
"""Seconds that the idle program is watched."""
MOST_PAINT = 4.0
"""The build screen may take this many times what an empty program takes."""
MOST_IDLE = 0.5
"""Percent of a core."""

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("painted")
Empty().run()
"""
WHOLE = (b"SECTION", "▲".encode())
"""What the screen shows once the figures and the pictures have come too."""
TIMERS = """
[record.timer.u{number}]
timer = "check-{number}"
rule = "{number} h"
of = "seat/strip"
started = 2026-03-09 20:35:00+01:00
"""
_IMPORTED = re.compile(rb"import time:\s+(\d+) \|\s+\d+ \|\s+([\w.]+)")


class Terminal:
    """A program in a terminal of its own."""

    def __init__(self, command: Sequence[str], folder: Path) -> None:
        self.start = time.perf_counter()
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 36, 120, 0, 0))
        environment = {
            **os.environ,
            "TERM": "xterm-256color",
            "COLORTERM": "truecolor",
            "PYTHONPATH": str(ROOT),
            "WORKSHOP_SETTINGS": str(folder / "settings.toml"),
            # As installed: every module compiled before, by the first round.
            "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
        }
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        self.child = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment, cwd=folder, close_fds=True
        )
        os.close(theirs)
        self.ours = ours
        self.written = b""

    def read(self, seconds: float) -> None:
        """Take what the program writes for so long, or until it writes something."""
        if select.select([self.ours], [], [], seconds)[0]:
            try:
                self.written += os.read(self.ours, 1 << 16)
            except OSError:
                raise SystemExit(f"the program ended: {self.written.decode(errors='replace')}") from None

    def painted(self, words: Sequence[bytes]) -> float:
        """Seconds from the start until all these words have been written."""
        end = self.start + 60
        while not all(word in self.written for word in words):
            if time.perf_counter() > end:
                raise SystemExit(f"not painted within a minute: {self.written[-2000:]!r}")
            self.read(1.0)
        return time.perf_counter() - self.start

    def idle(self, seconds: float) -> float:
        """Percent of a core that the program takes while nobody touches it."""
        # The figures that take long are worked out first.
        self._watch(15.0)
        before = self._used()
        self._watch(seconds)
        return 100 * (self._used() - before) / seconds

    def _watch(self, seconds: float) -> None:
        end = time.perf_counter() + seconds
        while (left := end - time.perf_counter()) > 0:
            self.read(left)

    def _used(self) -> float:
        """Seconds of processor time so far (the kernel's schedstat, in nanoseconds, of every thread)."""
        threads = Path(f"/proc/{self.child.pid}/task").iterdir()
        return sum(int((thread / "schedstat").read_text().split()[0]) for thread in threads) / 1e9

    def close(self) -> None:
        """End it."""
        self.child.kill()
        self.child.wait()
        os.close(self.ours)


def project_in(folder: Path) -> Path:
    """The bench in a folder, with eight timers that run."""
    text = (ROOT / "projects" / "tarn-bench.toml").read_text(encoding="utf-8")
    path = folder / "bench.toml"
    more = "".join(TIMERS.format(number=number) for number in range(1, 7))
    path.write_text(text.replace("example = true\n", "") + more, encoding="utf-8")
    return path


def imports(written: bytes) -> dict[str, float]:
    """Milliseconds that each package took of its own, from what `-X importtime` wrote."""
    found: dict[str, float] = {}
    for microseconds, name in _IMPORTED.findall(written):
        top = name.decode().split(".")[0]
        found[top] = found.get(top, 0.0) + int(microseconds) / 1e3
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))


def main() -> None:
    """Print first paint, idle time and imports."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = project_in(folder)
        empty = ([sys.executable, "-c", EMPTY], [b"painted"])
        asked = ["-m", "workshop", "open", str(path), "--at", "2026-03-09T20:40:00+01:00"]
        words = [b"Tarn bench", b"LIFTS", b"Leak watch", b"leave"]
        build = ([sys.executable, *asked], words)
        paints: dict[str, list[float]] = {"empty": [], "build": [], "whole": []}
        idles: dict[str, float] = {}
        for number in range(ROUNDS + 1):
            for kind, (command, said) in (("empty", empty), ("build", build)):
                program = Terminal(command, folder)
                try:
                    took = program.painted(said)
                    # The first round only compiles, and warms up the disk.
                    if number:
                        paints[kind].append(took)
                    if number and kind == "build":
                        paints["whole"].append(program.painted(WHOLE))
                    if number == ROUNDS:
                        idles[kind] = program.idle(IDLE)
                finally:
                    program.close()
        program = Terminal([sys.executable, "-X", "importtime", *asked], folder)
        try:
            program.painted(words)
            taken = imports(program.written)
        finally:
            program.close()
    usual = {kind: median(took) for kind, took in paints.items()}
    ratio = usual["build"] / usual["empty"]
    print(f"first paint  empty {usual['empty'] * 1e3:4.0f} ms, build {usual['build'] * 1e3:4.0f} ms")
    met = "met" if ratio <= MOST_PAINT else "MISSED"
    print(f"             {ratio:.2f} times, at most {MOST_PAINT:.0f}: {met}")
    print(
        f"             with figures and pictures {usual['whole'] * 1e3:.0f} ms, "
        f"{usual['whole'] / usual['empty']:.2f} times"
    )
    met = "met" if idles["build"] <= MOST_IDLE else "MISSED"
    print(f"idle         empty {idles['empty']:.2f} %, eight timers {idles['build']:.2f} % of a core")
    print(f"             at most {MOST_IDLE} %: {met}")
    print(f"imported before the first paint, {sum(taken.values()):.0f} ms with the tracing:")
    for top, milliseconds in list(taken.items())[:16]:
        print(f"  {top:24} {milliseconds:6.1f} ms")


if __name__ == "__main__":
    main()
