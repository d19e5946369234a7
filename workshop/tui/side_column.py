"""The right side: the casting in plan and section, what stands behind the chosen row, and the cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical

from workshop.project.project import Project
from workshop.tui.lines import Line, line, wrapped
from workshop.tui.pane import ScrollPane

if TYPE_CHECKING:
    from workshop.tui.picture_pane import PicturePane

PLAN_EXTRA = 3
"""Rows of the plan's title and legend."""
SECTION_ROWS = 13
LEAST_SECTION = 9


class SideColumn(Vertical):
    """Pictures give way to words: they stand only where the row's words leave them room.

    The pictures are brought after the first paint, which does not wait for them.
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._pictures: tuple[PicturePane, PicturePane] | None = None
        self._shown: tuple[Project, str] | None = None
        self._words = 0

    def compose(self) -> ComposeResult:
        """The words; the pictures follow."""
        yield ScrollPane(id="detail")

    def on_mount(self) -> None:
        """Bring the pictures once the screen stands."""
        self.call_after_refresh(self._bring)

    async def _bring(self) -> None:
        from workshop.tui.picture_pane import PicturePane

        self._pictures = (PicturePane(id="plan"), PicturePane(id="section"))
        await self.mount(*self._pictures, before=0)
        self._draw()

    @property
    def width_of_words(self) -> int:
        """How wide the words may be."""
        return max(20, self.query_one(ScrollPane).scrollable_content_region.width)

    def show(self, project: Project, casting: str, lines: list[Line], cautions: tuple[str, ...]) -> None:
        """Show a casting (none: ""), the lines of a row, and the stage's cautions below them."""
        width = self.width_of_words
        care = [shown for text in cautions for shown in wrapped(text, width, "dim", indent=2, first=0)]
        self.query_one(ScrollPane).show([*lines, (), (), line(("TAKE CARE", "title")), *care])
        self._words = len(lines)
        self._shown = (project, casting)
        self._draw()

    def on_resize(self) -> None:
        """Another size has room for other pictures."""
        self._draw()

    def _draw(self) -> None:
        if self._pictures is None or self._shown is None:
            return
        from workshop.pictures.drawing import natural_height
        from workshop.pictures.plan_view import plan_view
        from workshop.pictures.section_view import section_view

        project, casting = self._shown
        plan, section = self._pictures
        known = casting in project.file.casting
        drawn = plan_view(project.file, casting) if known else None
        cut = section_view(project.file, casting) if known else None
        width, height = self.content_size
        room = height - self._words - 3
        plan_rows = (natural_height(drawn, width) or 0) + PLAN_EXTRA if drawn is not None else 0
        cut_rows = min(SECTION_ROWS + max(0, height - 36) // 3, room - plan_rows)
        if cut is not None and cut_rows < LEAST_SECTION:
            plan_rows, cut_rows = 0, min(SECTION_ROWS, room)
        for pane, picture, rows, least in (
            (plan, drawn, plan_rows, PLAN_EXTRA + 1),
            (section, cut, cut_rows, LEAST_SECTION),
        ):
            pane.display = picture is not None and least <= rows <= room
            pane.styles.height = max(1, rows)
            pane.show(picture if pane.display else None)
