"""Slabs bought on sight become pieces: outlines, saw lines, marks, and places where wanted parts fit."""

from __future__ import annotations

from collections.abc import Callable

from textual import work

from workshop.layout.slab_shape import SlabShape, beside_edge
from workshop.pictures.slab_view import face_extent
from workshop.project.changes import noted_changes
from workshop.project.project import Project
from workshop.project.slab_outlines import outline_taken
from workshop.project.slabs import (
    Edge,
    free_piece,
    newest_line,
    saw_line_added,
    saw_line_dropped,
    saw_line_moved,
    unmarked,
)
from workshop.quantity import LENGTH, QuantityError, parse, show, typed_with_unit
from workshop.trade.face_pair import side_of
from workshop.trade.outline import Point
from workshop.tui.ask import Ask
from workshop.tui.choose import ChoiceRow, Choose
from workshop.tui.layout_rows import length_words
from workshop.tui.pane import ScrollPane
from workshop.tui.slab_actions import SLAB_ACTIONS
from workshop.tui.slab_bring import BringScreen
from workshop.tui.slab_fitting import marked
from workshop.tui.slab_searching import SlabSearching
from workshop.tui.slab_words import cursor_place
from workshop.tui.worksheet import Worksheet

IN_PLACES = frozenset(
    {"move", "take", "stop", "zoom", "numbers", "back", "go_back", "slab_keys", "page", "command_palette"}
)
"""What can be done while places are looked at."""
INSIDE = 0.02
"""m: how far inside an edge a saw line runs where the cursor does not say."""


class SlabScreen(SlabSearching):
    """The keys of the slabs."""

    CSS_PATH = "slab_screen.tcss"
    _brought: tuple[str, ...] = ("", "upper", "", "")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """While places are looked at only what concerns them counts."""
        return not self._mode or action in IN_PLACES

    # Moving

    def action_move(self, x: int, y: int) -> None:
        """Move the cursor, the saw line in hand, or through the places."""
        if self._mode:
            self.query_one("#slab-places", Worksheet).move(-y)
            return
        dx, dy = x * self.step, y * self.step
        if self._line:
            slab, held = self.slab, self._line
            self.tried(f"moved {held}", lambda project: saw_line_moved(project, slab, held, dx, dy))
            return
        self._point(self._cursor[0] + dx, self._cursor[1] + dy)

    def _point(self, x: float, y: float) -> None:
        shape = self.shape
        if shape is not None:
            left, bottom, right, top = face_extent(shape)
            x, y = min(max(left, x), right), min(max(bottom, y), top)
        self._cursor = (round(x, 9), round(y, 9))
        self.quiet()
        self.show_all()

    def action_page(self, steps: int) -> None:
        """The words further up or down."""
        if self._mode:
            self.query_one("#slab-places", Worksheet).move(5 * steps)
        else:
            self.query_one("#slab-beside", ScrollPane).scroll_relative(y=5 * steps, animate=False)

    def action_next_slab(self) -> None:
        """The next slab."""
        known = self.slabs
        self.slab = known[(known.index(self.slab) + 1) % len(known)]
        self._line, self._first, self._zoom = "", None, 1
        self._centre()
        self.quiet()
        self.query_one("#slab-beside", ScrollPane).scroll_home(animate=False)
        self.show_all()

    def action_next_line(self) -> None:
        """The next saw line in hand, after the last one the cursor."""
        known = ["", *(row.id for row in self.opened.project.file.slab[self.slab].saw_lines)]
        self._line = known[(known.index(self._line) + 1) % len(known)]
        self._first = None
        self.quiet()
        if len(known) == 1:
            self.say("There is no saw line yet: a adds one at the cursor.")
        self.show_all()

    # Saw lines

    def _measured(self) -> SlabShape | None:
        """The slab's shape; where there is none yet, that is said."""
        shape = self.shape
        if shape is None:
            self.say(f"{self.slab} is not measured yet: b brings its outline from a file.")
        return shape

    @work
    async def action_add_line(self) -> None:
        """A saw line at the cursor: square to the tape, along an edge, or between two points."""
        if self._bounced("add_line"):
            return
        self.quiet()
        shape = self._measured()
        if shape is None:
            return
        slab, cursor = self.slab, self._cursor
        if self._first is not None:
            first, self._first = self._first, None
            self._add(lambda project: saw_line_added(project, slab, from_=first, to=cursor))
            return
        chosen = await self.app.push_screen_wait(self._ways(shape, cursor))
        if chosen == "square":
            at = cursor[0]
            self._add(lambda project: saw_line_added(project, slab, square_at=at))
        elif chosen == "points":
            self._first, self._line = cursor, ""
            self.show_all()
            self.say("Move the cursor to the second point, then press a again. Escape leaves it.")
        elif chosen in ("left", "right"):
            edge: Edge = "left" if chosen == "left" else "right"
            offset = await self._offset(shape, edge, cursor)
            if offset is not None:
                held = offset
                self._add(lambda project: saw_line_added(project, slab, edge=edge, offset=held))

    def _ways(self, shape: SlabShape, cursor: Point) -> Choose:
        units = self.units
        edges = [
            ChoiceRow(
                edge,
                words=f"Along the {edge} edge",
                about=f"so far inside it; the cursor lies {inside} inside",
            )
            for edge in ("left", "right")
            for inside in (length_words(_inside(shape, edge, cursor), units),)
        ]
        rows = (
            ChoiceRow("square", words="Square to the tape", about=f"at {length_words(cursor[0], units)}"),
            *edges,
            ChoiceRow(
                "points", words="Between two points", about=f"the first one at {cursor_place(cursor, units)}"
            ),
        )
        return Choose("How does the saw line run?", f"On {self.slab}", rows)

    async def _offset(self, shape: SlabShape, edge: Edge, cursor: Point) -> float | None:
        """How far inside an edge, as it is typed; None where it was left."""
        near = _inside(shape, edge, cursor)
        text: str | None = show(near if near > 0 else INSIDE, LENGTH, self.units)
        wrong = ""
        while True:
            about = "Measured square to the line between the two ends of the edge."
            text = await self.app.push_screen_wait(
                Ask(f"How far inside the {edge} edge?", about, text or "", wrong)
            )
            if text is None:
                return None
            try:
                return parse(typed_with_unit(text, 0.03, LENGTH, self.units), LENGTH)
            except QuantityError as error:
                wrong = str(error)

    def _add(self, action: Callable[[Project], Project]) -> None:
        slab = self.slab
        if self.tried("saw line", action):
            self._line = newest_line(self.opened.project, slab)
            self.show_all()
            self.say(f"{self._line} is in hand: arrows move it, x drops it, tab takes the next.")

    def action_drop_line(self) -> None:
        """Drop the saw line in hand."""
        if self._bounced("drop_line"):
            return
        slab, held = self.slab, self._line
        if not held:
            self.say("Take a saw line in hand first, with tab.")
        elif self.tried(f"dropped {held}", lambda project: saw_line_dropped(project, slab, held)):
            self.say(f"{held} is dropped.")

    # Pieces and outlines

    @work
    async def action_mark(self) -> None:
        """Mark a piece at the cursor, one that waits for its mark or a new one."""
        if self._bounced("mark") or self._measured() is None:
            return
        if self._line:
            self._line = ""
            self.show_all()
            self.say("The cursor is in hand again: move it into the piece, then press p.")
            return
        slab, cursor, project = self.slab, self._cursor, self.opened.project
        new = free_piece(project)
        name: str | None = new
        if waiting := unmarked(project, slab):
            rows = [ChoiceRow(piece, words=piece, about=f"comes out of {slab}") for piece in waiting]
            rows.append(ChoiceRow(new, words=new, about="a new piece"))
            name = await self.app.push_screen_wait(Choose("Which piece lies here?", "", tuple(rows)))
        if name is None:
            return
        piece = name
        if self.tried(f"marked {piece}", lambda project: marked(project, slab, cursor, piece)):
            self.say(f"{piece} is marked at {cursor_place(cursor, self.units)} on {slab}.")

    @work
    async def action_bring(self) -> None:
        """Bring the outline from a file."""
        if self._bounced("bring"):
            return
        self.quiet()
        slab, folder = self.slab, self.opened.path.parent
        screen = BringScreen(slab, folder, self.units, self._bounced, self._brought)
        typed = await self.app.push_screen_wait(screen)
        held = screen.held
        if typed is None or held is None:
            return
        self._brought = (typed[0], typed[1], "", "")
        lost = self.opened.project.file.slab[slab].lower_outline is not None and held.face == "upper"
        if self.tried(f"outline of {slab}", lambda project: outline_taken(project, slab, held)):
            self._line, self._zoom = "", 1
            self._centre()
            self.show_all()
            long, wide = (length_words(round(side, 4), self.units) for side in held.size)
            more = " Its lower face is not known any more: bring that too." if lost else ""
            self.say(f"{slab} is {long} by {wide} now.{more}")

    # Looking

    def action_numbers(self) -> None:
        """The words, or the picture again."""
        self._numbers = not self._numbers
        if not self._numbers and self.in_numbers:
            self.say("There is no room or no colour for the picture here.")
        else:
            self.quiet()
        self.show_all()

    def action_slab_keys(self) -> None:
        """All keys."""
        self.show_keys("KEYS OF THE SLABS", SLAB_ACTIONS)

    # Taking back and leaving

    def action_take_back(self) -> None:
        """Take the last action back."""
        name = self.taken_back()
        if name:
            if self.slab not in self.slabs:
                self.slab = self.slabs[0]
            self.show_all()
            self.say(f"Taken back: {name}.")

    def action_back(self) -> None:
        """Out of the places, out of a saw line half given, else back to the build."""
        if self._mode:
            self._leave_places()
            self.quiet()
        elif self._first is not None:
            self._first = None
            self.quiet()
            self.show_all()
        else:
            self.action_go_back()

    def action_go_back(self) -> None:
        """Back to the build, what was changed written into the journal as one action."""
        if self._mode:
            self._leave_places()
            return
        opened, before, now = self.opened, self._before, self._now()
        if opened.done > self._since:
            opened.act("slabs", lambda project: noted_changes(project, before, now))
            opened.fold(self._since, "slabs")
        self.dismiss(None)


def _inside(shape: SlabShape, edge: str, point: Point) -> float:
    """How far a point lies inside the line between an edge's two ends, m."""
    start, end = beside_edge(shape.pair.upper, edge, 0.0)
    left, _bottom, right, _top = face_extent(shape)
    far = ((left + right) / 2, -100.0 if edge == "left" else 100.0)
    return side_of((start, end), far).distance(point)
