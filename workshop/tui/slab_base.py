"""What the slabs' screen shows: a slab to scale, its words, and the places where a wanted part would lie."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Final, Literal

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.events import Resize
from textual.widgets import Static

from workshop.layout.placed import extent
from workshop.layout.sawing import MarkedSaw, marked_saws
from workshop.layout.slab_shape import SlabShape, slab_shape
from workshop.pictures.drawing import legend_rows, natural_height
from workshop.pictures.layout_view import zoomed
from workshop.pictures.slab_view import Box, SlabHand, face_extent, slab_view, whole_box
from workshop.project.opened import Opened
from workshop.trade.fitting import Placement
from workshop.trade.outline import Point
from workshop.tui.drawing_base import DrawingBase, beside_title
from workshop.tui.key_row import KeyRow
from workshop.tui.layout_rows import length_words, side_by_side
from workshop.tui.lines import Line, line
from workshop.tui.pane import ScrollPane
from workshop.tui.picture_pane import PicturePane
from workshop.tui.scope_line import ScopeLine
from workshop.tui.slab_actions import SLAB_ACTIONS, SLABS
from workshop.tui.slab_fitting import Wood, part_ring
from workshop.tui.slab_words import cursor_place, slab_lines
from workshop.tui.worksheet import Worksheet

BESIDE: Final = 46
"""Cells of the column beside the picture."""
UNDER: Final = 9
"""Rows that the words keep under the picture."""
COLUMNS: Final = 76
"""Cells from which the words stand in two columns."""

Mode = Literal["", "places", "together"]


@dataclass(frozen=True, slots=True)
class Offer:
    """One wanted part where it would lie."""

    placement: Placement
    wood: Wood
    piece: str | None
    """The piece of the project that is wanted; None for a new one."""


class SlabBase(DrawingBase):
    """A slab, the cursor or the saw line in hand, and the words."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in SLAB_ACTIONS),
        Binding("escape", "back", "Back", show=False),
    ]

    def __init__(
        self,
        opened: Opened,
        slab: str,
        now: Callable[[], datetime],
        bounced: Callable[[str], bool],
    ) -> None:
        """Look at a slab; `bounced` says whether an action repeats itself within a blink."""
        super().__init__(opened, now, bounced, id=SLABS)
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (70, "-narrow"), (100, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-tiny"), (18, "-low"), (26, "-high")]
        self.slab = slab
        self._numbers = False
        self._line = ""
        self._first: Point | None = None
        self._cursor: Point = (0.0, 0.0)
        self._mode: Mode = ""
        self._offers: tuple[Offer, ...] = ()
        self._centre()

    def compose(self) -> ComposeResult:
        """Head, picture, words, places, keys."""
        yield ScopeLine(id="slab-head")
        with Container(id="slab-body"):
            yield PicturePane(id="slab-picture")
            yield self._unfocused(ScrollPane(id="slab-beside"))
            yield self._unfocused(Worksheet(id="slab-places"))
        yield Static("", id="message")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Show the slab."""
        self.query_one(KeyRow).show(SLAB_ACTIONS)
        self.call_after_refresh(self.show_all)

    def on_resize(self, event: Resize) -> None:
        """Lay it all out for the room there is."""
        self.call_after_refresh(self.show_all)

    # What is in hand

    @property
    def slabs(self) -> tuple[str, ...]:
        """The slabs of the project."""
        return tuple(self.opened.project.file.slab)

    @property
    def shape(self) -> SlabShape | None:
        """The slab's shape, None while it is not measured."""
        try:
            return slab_shape(self.slab, self.opened.project.file.slab[self.slab])
        except ValueError:
            return None

    @property
    def in_numbers(self) -> bool:
        """Whether words stand in place of the picture."""
        return self._numbers or self.app.no_color or self.size.width < 70 or self.size.height < 16

    def _centre(self) -> None:
        """The cursor goes to the middle of the slab, on its tape."""
        shape = self.shape
        if shape is not None:
            left, _bottom, right, _top = face_extent(shape)
            grid = 0.01 if self.units.system == "metric" else 0.0254 / 2
            self._cursor = (round((left + right) / 2 / grid) * grid, 0.0)

    @property
    def offers(self) -> tuple[Offer, ...]:
        """The places found so far."""
        return self._offers

    @property
    def offer(self) -> Offer | None:
        """The place under the cursor of the list."""
        row = self.query_one("#slab-places", Worksheet).row
        kind, _, number = row.key.partition(":") if row is not None else ("", "", "")
        if kind != "offer" or int(number) >= len(self._offers):
            return None
        return self._offers[int(number)]

    @property
    def shown_offers(self) -> tuple[Offer, ...]:
        """The places that the picture shows: one of several, or all that lie on the slab together."""
        if self._mode == "together":
            return tuple(held for held in self._offers if held.wood.slab == self.slab)
        one = self.offer
        return (one,) if self._mode and one is not None else ()

    @property
    def saws(self) -> tuple[MarkedSaw, ...]:
        """The saw lines that meet the slab."""
        try:
            return marked_saws(self.opened.project.file, self.slab)
        except ValueError:
            return ()

    @property
    def _about(self) -> Point:
        """What the picture turns to when it is enlarged."""
        shown = self.offer if self._mode else None
        if shown is not None:
            left, bottom, right, top = extent(part_ring(shown.placement, shown.wood))
            return (left + right) / 2, (bottom + top) / 2
        saw = next((saw for saw in self.saws if saw.id == self._line), None)
        if saw is not None:
            one, two = saw.ends
            return (one.along + two.along) / 2, (one.off + two.off) / 2
        return self._cursor

    # Showing

    def show_all(self) -> None:
        """Everything, from the project as it is."""
        if not self.is_attached or self.slab not in self.slabs:
            return
        if self._line and all(
            row.id != self._line for row in self.opened.project.file.slab[self.slab].saw_lines
        ):
            self._line = ""
        self.set_class(self.in_numbers, "-in-numbers")
        self.set_class(bool(self._mode), "-choosing")
        if not self.in_numbers:
            self._show_picture()
        if not self._mode:
            self._show_words()
        self._show_head()

    def _show_picture(self) -> None:
        file = self.opened.project.file
        parts = tuple(
            (held.piece or held.placement.part.id, part_ring(held.placement, held.wood))
            for held in self.shown_offers
        )
        cursor = None if self._line or self._mode else self._cursor
        hand = SlabHand(self._line, cursor, self._first, parts)
        high = self._high
        picture = slab_view(file, self.slab, hand)
        assert picture is not None
        wide = self.size.width - 2
        legend = len(legend_rows(picture.legend, wide)) + 1
        natural = (natural_height(picture, wide) or 3) + legend
        least = UNDER if self.size.width < 100 else UNDER + 4
        beside = self.size.width >= 100 and natural > high - least
        rows = high if beside else min(natural if self._zoom == 1 else high, high - UNDER)
        if self._zoom > 1:
            across = wide - BESIDE if beside else wide
            picture = slab_view(file, self.slab, hand, self._box(across, rows - legend)) or picture
        self.set_class(beside, "-beside")
        pane = self.query_one("#slab-picture", PicturePane)
        pane.styles.height = rows
        pane.show(picture)

    @property
    def _high(self) -> int:
        """Rows between the head and the keys."""
        keys = 1 if self.has_class("-tiny") else 2
        message = self.query_one("#message", Static)
        return self.size.height - 1 - keys - (message.size.height if message.display else 0)

    def _box(self, wide: int, high: int) -> Box | None:
        shape = self.shape
        if shape is None:
            return None
        ratio = 2 * max(3, high - 1) / max(10, wide - 6)
        return zoomed(whole_box(shape), self._about, self._zoom, ratio)

    def _show_words(self) -> None:
        pane = self.query_one("#slab-beside", ScrollPane)
        beside = self.has_class("-beside") and not self.in_numbers
        width = (BESIDE if beside else self.size.width) - 3
        columns = width >= COLUMNS
        half = (width - 3) // 2 if columns else width
        one, two = slab_lines(self.opened.project, self.slab, self._line, self._cursor, half)
        lines: list[Line]
        if columns:
            lines = side_by_side(one, two, width, half + 3)
        else:
            lines = [*one, (), *two] if beside else [*one, *two]
        pane.show(lines)

    def _show_head(self) -> None:
        place = self.slabs.index(self.slab) + 1
        left = line(("SLABS", "title"), (f"  {self.slab}", "tan"))
        step = length_words(self.step, self.units)
        times = f"  {self._zoom} times" if self._zoom > 1 and not self.in_numbers else ""
        count = f"  ◂ {place} of {len(self.slabs)} ▸" if len(self.slabs) > 1 else ""
        long, short = self._hand_words
        rights = [
            line((hand, "amber"), (more, "dim"))
            for hand, more in (
                (long, f"{step} a press{times}{count}"),
                (long, f"{step}{times}{count}"),
                (short, f"{step} a press{times}{count}"),
                (short, f"{step}{times}{count}"),
                (short, f"{step}{times}"),
                (short, step),
                ("", f"{step}{times}{count}"),
                ("", step),
            )
        ]
        self.query_one(ScopeLine).show(left, beside_title(left, rights, self.size.width - 2))

    @property
    def _hand_words(self) -> tuple[str, str]:
        """What is in hand or where the cursor stands, long and short."""
        if self._mode:
            return "", ""
        here = cursor_place(self._cursor, self.units)
        if self._first is not None:
            return f"from {cursor_place(self._first, self.units)} to {here}  ", f"second point {here}  "
        if self._line:
            return f"{self._line} in hand  ", f"{self._line}  "
        # A narrow screen has it in the words alone.
        return (f"cursor {here}  ", f"{here}  ") if self.size.width >= 70 else ("", "")
