"""The first plan of a new project: the casting to scale, and what each stage needs first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.events import Resize
from textual.screen import Screen

from workshop.pictures.plan_view import plan_view
from workshop.plan import Plan, StagePlan
from workshop.tui.key_row import KeyRow
from workshop.tui.lines import Line, Span, clipped, line, wrapped
from workshop.tui.new_project import Made
from workshop.tui.pane import ScrollPane
from workshop.tui.picture_pane import PicturePane
from workshop.tui.scope_line import ScopeLine

COLUMN: Final = 20
"""Cells of a stage's number and title."""
FILE: Final = 24
"""Cells that the file's name takes of the heading at most."""


def first_needs(plan: Plan) -> Iterator[tuple[StagePlan, str]]:
    """Each stage with the first thing that its figures lack, in words; empty where they lack nothing."""
    for stage in plan.stages:
        lacking = next((need.what for answer in stage.answers for need in answer.needs), "")
        # What another figure lacks comes as one text; its first part is enough to begin with.
        yield stage, lacking.partition(" and ")[0]


class FirstPlan(Screen[bool]):
    """Shows the plan; dismisses with whether the build is to be opened."""

    CSS_PATH = "first_plan.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "leave(True)", "Open the build"),
        Binding("escape,q", "leave(False)", "Back to the list"),
        Binding("up", "scroll(-1)", "Up"),
        Binding("down", "scroll(1)", "Down"),
    ]

    def __init__(self, made: Made) -> None:
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (150, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-short"), (24, "-middling"), (32, "-tall")]
        self._made = made

    def compose(self) -> ComposeResult:
        """Heading, picture and needs, keys."""
        file = self._made.plan.project.file
        yield ScopeLine(id="heading")
        with Container(id="middle"):
            yield PicturePane(plan_view(file, next(iter(file.casting), "")), id="picture")
            yield ScrollPane(id="needs")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """What it is called, where it lies, which keys."""
        name = self._made.plan.project.file.project.name or self._made.path.stem
        left = line(("FIRST PLAN", "title"), (f"  {name}", "strong"))
        self.query_one(ScopeLine).show(left, clipped(line((self._made.path.name, "dim")), FILE))
        self.query_one(KeyRow).show_pairs(
            [("enter", "open the build"), ("↑ ↓", "scroll"), ("escape", "back to the list")]
        )

    def on_resize(self, event: Resize) -> None:
        """Lay the words out for the width there is."""
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        pane = self.query_one(ScrollPane)
        pane.show(list(self._lines(max(20, pane.scrollable_content_region.width))))

    def _lines(self, width: int) -> Iterator[Line]:
        yield line(("WHAT EACH STAGE NEEDS FIRST", "title"))
        for number, (stage, need) in enumerate(first_needs(self._made.plan), 1):
            head = line((f"{number} ", "key"), (stage.stage.title.ljust(COLUMN - 2), "strong"))
            first, *rest = wrapped(need or "nothing for now", width - COLUMN, "text" if need else "dim")
            yield (*head, *first)
            for more in rest:
                yield (Span(" " * COLUMN), *more)

    def action_scroll(self, steps: int) -> None:
        """Scroll by lines."""
        self.query_one(ScrollPane).scroll_relative(y=steps, animate=False)

    def action_leave(self, opens: bool) -> None:
        """To the build, or back to the list."""
        self.dismiss(opens)
