"""A shop of its own for every test: a copy of the bench, a clock that moves when told, and keys to press."""

from __future__ import annotations

import time
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import pytest
from rich.cells import cell_len
from textual.events import Key
from textual.geometry import Region
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, Label, Static
from textual.worker import WorkerFailed

from workshop.calculators import catalogue
from workshop.clock import Clock
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.project.project import Project
from workshop.project.reading import read
from workshop.settings import DEFAULTS, Settings
from workshop.tui.app import WorkshopApp
from workshop.tui.build_screen import BuildScreen
from workshop.tui.rows import Row, can_stand_on
from workshop.tui.worksheet import Worksheet

EVENING = datetime.fromisoformat("2026-03-09T20:40:00+01:00")
"""The strip lift of the bench's seat was poured an hour ago; its leak watch was heard seven minutes ago."""

EXAMPLES = Path(__file__).parents[2] / "projects"
BOUNCE = 0.31
"""Seconds between two presses that are meant: a little more than the 0.3 s within which a glove bounces."""
PATIENCE = 30.0
"""Seconds to wait for what has to come; a test that runs into it has failed."""
HOPS = 8
"""Queues that a key may pass: the program's, the focused widget's, its parents' up to the screen, and on."""
SIZES = ((80, 24), (120, 36), (200, 50), (60, 20))


@dataclass
class ShopClock:
    """Wall and monotonic clock of the shop, and the one that counts key presses."""

    wall: datetime = EVENING
    monotonic: float = 1000.0
    keys: float = 1000.0

    def later(self, **span: float) -> None:
        """Let time pass while the computer is awake."""
        length = timedelta(**span)
        self.wall += length
        self.monotonic += length.total_seconds()
        self.keys += length.total_seconds()

    def asleep(self, **span: float) -> None:
        """Let time pass while the computer sleeps: its monotonic clock stands still."""
        self.wall += timedelta(**span)

    def clock(self) -> Clock:
        """The clock as the program is given it."""
        return Clock(wall=lambda: self.wall, monotonic=lambda: self.monotonic)


@dataclass
class Shop:
    """The program as it runs in a test, seen as its maker sees it."""

    app: WorkshopApp
    pilot: Pilot[None]
    time: ShopClock
    file: Path
    rung: list[float] = field(default_factory=list)

    async def press(self, *keys: str) -> None:
        """Press keys one after the other, unhurried."""
        for key in keys:
            self.time.keys += BOUNCE
            await self._strike(key, key if len(key) == 1 else None)
        await self.settle()

    async def write(self, text: str) -> None:
        """Type text into the field that has the focus, in place of what is selected."""
        for sign in text:
            await self._strike("space" if sign == " " else sign, sign)
        await self.settle()

    async def _strike(self, key: str, sign: str | None) -> None:
        """One key, through the program's own queue. Pilot's `press` waits two idle spells for each."""
        self.app.post_message(Key(key, sign))
        await self._dealt_with()

    async def settle(self) -> None:
        """Wait until messages and saves are dealt with; a question that stands open is not waited for."""
        await self._dealt_with()
        while busy := [
            held for held in self.app.workers if held.group in ("save", "plan") and not held.is_finished
        ]:
            with suppress(WorkerFailed):
                await self.app.workers.wait_for_complete(busy)
            await self._dealt_with()

    async def _dealt_with(self) -> None:
        """Every message that is under way, and those it brings about."""
        for _ in range(HOPS):
            await self.pilot.pause(0)

    async def until(self, reached: Callable[[], bool], what: str) -> None:
        """Wait for the program's own intervals to bring something about."""
        end = time.monotonic() + PATIENCE
        while not reached():
            assert time.monotonic() < end, f"{what} did not come about:\n{self.dump()}"
            await self.pilot.pause(0.02)
        await self.settle()

    async def saved(self) -> ProjectFile:
        """Let the second pass after which everything is on disk, and read the file again."""
        self.time.later(seconds=1)
        await self.until(lambda: not self.build.opened.unsaved, "the save")
        return self.on_disk.file

    @property
    def on_disk(self) -> Project:
        """The project as the file has it."""
        return load_text(read(self.file).text, self.file.name)

    @property
    def build(self) -> BuildScreen:
        """The build screen, also where something is asked over it."""
        return next(screen for screen in self.app.screen_stack if isinstance(screen, BuildScreen))

    @property
    def on_build(self) -> bool:
        """Whether the build screen is on top, with nothing asked over it."""
        return self.app.screen is self.build

    @property
    def project(self) -> Project:
        """The project as the program holds it."""
        return self.build.opened.project

    @property
    def sheet(self) -> Worksheet:
        """The rows of the screen that is on top."""
        return self.app.screen.query_one(Worksheet)

    @property
    def row(self) -> Row:
        """The row under the cursor."""
        row = self.sheet.row
        assert row is not None
        return row

    async def stand_on(self, key: str) -> None:
        """Walk to a row with the arrow keys."""
        keys = [row.key for row in self.sheet.rows if can_stand_on(row)]
        assert key in keys, f"no row {key} among {keys}"
        steps = keys.index(key) - keys.index(self.row.key)
        pages, rows = divmod(abs(steps), 10)
        ways = ("pagedown", "down") if steps > 0 else ("pageup", "up")
        await self.press(*[ways[0]] * pages, *[ways[1]] * rows)
        assert self.row.key == key, f"the arrows lead to {self.row.key}"

    def dump(self) -> str:
        """The screen as plain text, a line for each row of the terminal."""
        return dump(self.app.screen)

    def message(self) -> str:
        """What is said over the timers, empty where nothing is."""
        static = self.app.screen.query_one("#message", Static)
        return str(static.content) if static.display else ""

    def fault(self) -> str:
        """What stands under the field that is edited, empty where nothing is wrong."""
        label = self.build.query_one("#editor-fault", Label)
        return str(label.content) if label.display else ""

    @property
    def field(self) -> Input:
        """The field in which a value is edited."""
        return self.build.query_one("#editor-input", Input)


def dump(screen: Screen[object]) -> str:
    """What the widgets of a screen draw, put together as plain text."""
    width, height = screen.size
    pieces: list[list[tuple[int, str]]] = [[] for _ in range(height)]
    for widget in screen.walk_children(Widget):
        shown = all(held.display for held in (widget, *widget.ancestors) if held is not screen.app)
        if not shown or any(child.display for child in widget.children):
            continue
        place = widget.region
        for number, strip in enumerate(widget.render_lines(Region(0, 0, place.width, place.height))):
            if 0 <= place.y + number < height:
                pieces[place.y + number].append((place.x, strip.text))
    lines = []
    for row in pieces:
        made = ""
        for x, text in sorted(row):
            made += " " * (x - cell_len(made)) + text
        assert cell_len(made) <= width, f"wider than the terminal: {made!r}"
        lines.append(made.rstrip())
    return "\n".join(lines)


Start = Callable[..., AbstractAsyncContextManager[Shop]]


@pytest.fixture
def shop_clock(monkeypatch: pytest.MonkeyPatch) -> ShopClock:
    """The shop's clock at the evening of the second pour."""
    held = ShopClock()
    for module in ("build_base", "build_screen", "list_screen"):
        monkeypatch.setattr(f"workshop.tui.{module}.time", SimpleNamespace(monotonic=lambda: held.keys))
    return held


WITH_BANDS = ("test_cure_on_screen", "test_dumps", "test_return_screen")
"""Tests that look at what takes long to work out; all others are shown the likeliest figures alone."""


@pytest.fixture(autouse=True)
def likeliest_figures(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the calculators that take long, only what they can say at once."""
    if request.module.__name__.rpartition(".")[2] in WITH_BANDS:
        return
    known = {
        id: replace(held, compute=held.quick, slow=False, quick=None) if held.quick is not None else held
        for id, held in catalogue().items()
        if not held.slow or held.quick is not None
    }
    monkeypatch.setattr("workshop.plan.catalogue", lambda: known)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A bench to work on: the example's file, no example any more, its dates as they are."""
    text = (EXAMPLES / "tarn-bench.toml").read_text(encoding="utf-8")
    folder = tmp_path / "projects"
    folder.mkdir(exist_ok=True)
    path = folder / "bench.toml"
    path.write_text(text.replace("example = true\n", ""), encoding="utf-8")
    return path


@pytest.fixture
def start(bench: Path, shop_clock: ShopClock) -> Start:
    """`async with start(size=(80, 24)) as shop`: the program with the bench open."""

    @asynccontextmanager
    async def started(
        size: tuple[int, int] = (80, 24),
        file: Path | None = bench,
        folder: Path = bench.parent,
        settings: Settings = DEFAULTS,
        settings_file: Path | None = None,
    ) -> AsyncIterator[Shop]:
        app = WorkshopApp(folder, file, shop_clock.clock(), settings, settings_file)
        rung: list[float] = []
        app.bell = lambda: rung.append(shop_clock.keys)  # type: ignore[method-assign]
        async with app.run_test(size=size) as pilot:
            shop = Shop(app, pilot, shop_clock, file or bench, rung)
            await shop.settle()
            yield shop

    return started
