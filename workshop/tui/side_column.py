"""The right side: the casting in plan and section, what stands behind the chosen row, and the cautions.

Beside a lift the chart of its cure and the profile through it stand in place of plan and section.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from textual import work
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message

from workshop.project.project import Project
from workshop.tui.lines import Line, line, wrapped
from workshop.tui.pane import ScrollPane

if TYPE_CHECKING:
    from workshop.cure_course import Course
    from workshop.cure_inputs import CureInputs
    from workshop.pictures.picture import Picture
    from workshop.tui.picture_pane import PicturePane

PLAN_EXTRA = 3
"""Rows of the plan's title and legend."""
SECTION_ROWS = 13
LEAST_SECTION = 9
CHART_ROWS: Final = 13
LEAST_CHART: Final = 10
LEAST_PROFILE: Final = 9
MOST_CHART: Final = 20
WORDS_KEPT: Final = 8
"""Rows of words that stay beside a chart."""
KEPT: Final = 24
"""Courses that are kept."""


@dataclass(frozen=True, slots=True)
class LiftBeside:
    """A lift whose cure is shown: its inputs, and whether its band is known already."""

    subject: str
    inputs: CureInputs
    depth: float
    band: bool
    below: tuple[str, ...]
    """The names of the lifts beneath, from the floor up."""
    since: float | None
    """s since its pour, where it is poured."""

    @property
    def key(self) -> tuple[CureInputs, bool]:
        """What its course depends on."""
        return self.inputs, self.band


class SideColumn(Vertical):
    """Pictures give way to words: they stand only where the row's words leave them room.

    The pictures are brought after the first paint, which does not wait for them. The chart of a lift is
    worked out in a thread; until it is there the last one of that lift stands.
    """

    class Followed(Message):
        """The course of a lift was worked out; None where it cannot be."""

        def __init__(self, lift: LiftBeside, course: Course | None) -> None:
            super().__init__()
            self.lift, self.course = lift, course

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._pictures: tuple[PicturePane, PicturePane] | None = None
        self._shown: tuple[Project, str] | None = None
        self._lift: LiftBeside | None = None
        self._courses: OrderedDict[tuple[CureInputs, bool], Course | None] = OrderedDict()
        self._last: tuple[str, Course] | None = None
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

    def show(
        self,
        project: Project,
        casting: str,
        lines: list[Line],
        cautions: tuple[str, ...],
        lift: LiftBeside | None = None,
    ) -> None:
        """Show a casting (none: "") or the cure of a lift, the lines of a row, and the stage's cautions."""
        width = self.width_of_words
        care = [shown for text in cautions for shown in wrapped(text, width, "dim", indent=2, first=0)]
        self.query_one(ScrollPane).show([*lines, (), (), line(("TAKE CARE", "title")), *care])
        self._words = len(lines)
        self._shown = (project, casting)
        self._lift = lift
        if lift is not None and lift.key not in self._courses:
            self._follow(lift)
        self._draw()

    @work(thread=True, exclusive=True, exit_on_error=False, group="course")
    def _follow(self, lift: LiftBeside) -> None:
        from workshop.calculator import InputError
        from workshop.cure_course import course_of

        try:
            course: Course | None = course_of(lift.inputs, lift.depth, lift.band)
        except (InputError, ValueError, ArithmeticError):
            course = None
        self.post_message(self.Followed(lift, course))

    def on_side_column_followed(self, event: Followed) -> None:
        """Keep a course, and draw it where its lift is still shown."""
        event.stop()
        self._courses[event.lift.key] = event.course
        while len(self._courses) > KEPT:
            self._courses.popitem(last=False)
        if self._lift is not None and self._lift.key == event.lift.key:
            self._draw()

    def on_resize(self) -> None:
        """Another size has room for other pictures."""
        self._draw()

    def _draw(self) -> None:
        if self._pictures is None or self._shown is None:
            return
        if not self._draw_lift():
            self._draw_casting()

    def _draw_lift(self) -> bool:
        """The chart and the profile of a lift; False where there is none to show."""
        held = self._lift
        if held is None:
            return False
        course = self._courses.get(held.key)
        if course is not None:
            self._last = (held.subject, course)
        elif self._last is not None and self._last[0] == held.subject and held.key not in self._courses:
            course = self._last[1]
        if course is None:
            return False
        from workshop.pictures.cure_chart import cure_chart
        from workshop.pictures.cure_profile import cure_profile

        assert self._shown is not None
        units = self._shown[0].units
        name = held.subject.rpartition("/")[2]
        chart = cure_chart(course, held.subject, units, held.since)
        height = self.content_size.height
        chart_rows = min(MOST_CHART, CHART_ROWS + max(0, height - 30) // 3)
        chart_rows = min(chart_rows, max(LEAST_CHART, height - WORDS_KEPT))
        profile_rows = min(SECTION_ROWS + max(0, height - 36) // 3, height - chart_rows - self._words - 4)
        self._place(
            (chart, chart_rows, LEAST_CHART, height),
            (cure_profile(course, name, held.below, units), profile_rows, LEAST_PROFILE, height),
        )
        return True

    def _draw_casting(self) -> None:
        from workshop.pictures.drawing import natural_height
        from workshop.pictures.plan_view import plan_view
        from workshop.pictures.section_view import section_view

        assert self._shown is not None
        project, casting = self._shown
        known = casting in project.file.casting
        drawn = plan_view(project.file, casting) if known else None
        cut = section_view(project.file, casting) if known else None
        width, height = self.content_size
        room = height - self._words - 3
        plan_rows = (natural_height(drawn, width) or 0) + PLAN_EXTRA if drawn is not None else 0
        cut_rows = min(SECTION_ROWS + max(0, height - 36) // 3, room - plan_rows)
        if cut is not None and cut_rows < LEAST_SECTION:
            plan_rows, cut_rows = 0, min(SECTION_ROWS, room)
        self._place((drawn, plan_rows, PLAN_EXTRA + 1, room), (cut, cut_rows, LEAST_SECTION, room))

    def _place(self, *held: tuple[Picture | None, int, int, int]) -> None:
        """Pictures in as many rows as they are given; hidden where those are too few, or too many."""
        assert self._pictures is not None
        for pane, (picture, rows, least, room) in zip(self._pictures, held, strict=True):
            pane.display = picture is not None and least <= rows <= room
            pane.styles.height = max(1, rows)
            pane.show(picture if pane.display else None)
