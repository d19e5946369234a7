"""What the layout screen shows: the form to scale, the piece in hand, and what follows from where it lies."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from math import cos, pi, sin
from time import perf_counter
from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Vertical
from textual.events import Resize
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Static

from workshop.layout.as_placed import CastingAsPlaced, casting_as_placed
from workshop.layout.placed import PlacedPiece
from workshop.layout.section_line import within
from workshop.layout.snapping import Way
from workshop.layout.troubles import LEAST_GAP, Gap, Trouble, gaps_of, troubles
from workshop.layout_figures import layout_figures
from workshop.pictures.drawing import legend_rows, natural_height
from workshop.pictures.layout_view import Box, Hand, layout_view, whole_box, zoomed
from workshop.pictures.picture import Picture
from workshop.pictures.section_view import section_view
from workshop.project.laying import grid
from workshop.project.model import ProjectFile
from workshop.project.opened import Opened
from workshop.quantity import Measure, Units
from workshop.trade.face_pair import Line as Cut
from workshop.trade.outline import Point
from workshop.tui.drawing_base import DrawingBase, beside_title
from workshop.tui.key_row import KeyRow
from workshop.tui.layout_actions import LAYOUT, LAYOUT_ACTIONS
from workshop.tui.layout_rows import (
    WordsRow,
    length_words,
    pair_words,
    piece_lines,
    piece_row,
    resin_lines,
    side_by_side,
)
from workshop.tui.lines import Line, Role, line, wrapped
from workshop.tui.pane import ScrollPane
from workshop.tui.picture_pane import LEAST, PicturePane
from workshop.tui.rows import Row
from workshop.tui.scope_line import ScopeLine
from workshop.tui.worksheet import Worksheet

CUTS: Final = ("across", "along", "off")
BESIDE: Final = 38
"""Cells of the column beside the picture."""
UNDER: Final = 6
"""Rows that the words keep under the picture."""
CUT_ROWS: Final = 9
"""Rows under which no section is drawn."""
SLOW: Final = 0.012
"""Seconds from which a section waits until no key comes for a moment."""
MOMENT: Final = 0.12


class LayoutBody(Container):
    """Pictures, list and words; it tells when it has another size."""

    class Changed(Message):
        """It has another size."""

    def on_resize(self, event: Resize) -> None:
        """Tell so."""
        self.post_message(self.Changed())


class LayoutBase(DrawingBase):
    """The form, the pieces in it, and the words beside them."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(action.binding() for action in LAYOUT_ACTIONS),
        Binding("tab", "next_piece", "The next piece", show=False),
        Binding("escape", "go_back", "Back", show=False),
    ]

    def __init__(
        self,
        opened: Opened,
        casting: str,
        now: Callable[[], datetime],
        bounced: Callable[[str], bool],
    ) -> None:
        """Lay out the pieces of a casting; `bounced` says whether an action repeats itself within a blink."""
        super().__init__(opened, now, bounced, id=LAYOUT)
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (70, "-narrow"), (100, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-tiny"), (18, "-low")]
        self.casting = casting
        self._way: Way = "far"
        self._numbers = False
        self._pointing = False
        self._cut = "across"
        self._slant = 0.0
        self._cut_asked = False
        self._cut_took = 0.0
        self._fitted = (0, 0)
        self._waiting: Timer | None = None
        self._held: CastingAsPlaced | None = None
        self._cursor: Point = (0.0, 0.0)
        self._piece = next(iter(self.pieces), "")
        self._centre()

    def compose(self) -> ComposeResult:
        """Head, pictures, words, list, keys."""
        yield ScopeLine(id="layout-head")
        with LayoutBody(id="layout-body"):
            with Vertical(id="layout-pictures"):
                yield PicturePane(id="layout-plan")
                yield PicturePane(id="layout-cut")
            yield self._unfocused(Worksheet(id="layout-list"))
            yield self._unfocused(ScrollPane(id="layout-beside"))
        yield Static("", id="message")
        yield KeyRow(id="keys")

    def on_mount(self) -> None:
        """Show the casting."""
        self.query_one(KeyRow).show(LAYOUT_ACTIONS)
        self.call_after_refresh(self.show_all)

    def on_resize(self, event: Resize) -> None:
        """Lay it all out for the room there is."""
        self.call_after_refresh(self.show_all)

    # What is in hand

    @property
    def units(self) -> Units:
        """How this project shows its quantities."""
        return self.opened.project.units

    @property
    def pieces(self) -> tuple[str, ...]:
        """The pieces of the casting, and those that are in none."""
        file = self.opened.project.file
        loose = (name for name, piece in file.piece.items() if piece.casting is None)
        return (*file.pieces_of(self.casting), *loose)

    @property
    def placed(self) -> PlacedPiece | None:
        """The piece in hand where it lies, None where that is not known."""
        held = self._held
        return next((piece for piece in held.pieces if piece.id == self._piece), None) if held else None

    @property
    def in_numbers(self) -> bool:
        """Whether the list stands in place of the picture."""
        return self._numbers or self.app.no_color or self.size.width < 70 or self.size.height < 14

    @property
    def least_gap(self) -> float:
        """m: the narrowest gap that the casting's resin runs into, by its sheet where that says so."""
        project = self.opened.project
        held = project.at(("resin", project.file.casting[self.casting].resin or "", "least-gap"))
        return held.value if isinstance(held, Measure) else LEAST_GAP

    def _centre(self) -> None:
        """The cursor goes to the middle of the form."""
        self._cursor = middle(self.opened.project.file, self.casting, self.units) or self._cursor

    @property
    def _about(self) -> Point:
        """What the picture and the section turn to."""
        placed = self.placed
        return self._cursor if self._pointing or placed is None else placed.mark

    # Showing

    def show_all(self) -> None:
        """Everything, from the project as it is."""
        if not self.is_attached:
            return
        project = self.opened.project
        held = casting_as_placed(project.file, self.casting)
        self._held = held
        if held is None:
            return
        if self._piece not in self.pieces:
            self._piece = next(iter(self.pieces), "")
        found = troubles(held, self.least_gap)
        self.set_class(self.in_numbers, "-in-numbers")
        words = self._words(held, found)
        if self.in_numbers:
            self._show_list(held, found, words)
        else:
            self._show_plan(held, found)
        self.query_one("#layout-beside", ScrollPane).show(words)
        self._show_head()

    def _show_head(self) -> None:
        castings = list(self.opened.project.file.casting)
        left = line(("LAYOUT", "title"), (f"  {self.casting}", "tan"))
        step = f"{length_words(self.step, self.units)}, {1 if self._fine else 15}°"
        times = f"  {self._zoom} times" if self._zoom > 1 and not self.in_numbers else ""
        count = f"  ◂ {castings.index(self.casting) + 1} of {len(castings)} ▸" if len(castings) > 1 else ""
        role: Role = "amber" if self._pointing else "dim"
        long, short = self._cursor_words
        rights = [
            line((told, role), (more, "dim"))
            for told, more in (
                (f"{long}{step} a press{times}", count),
                (f"{short}{step} a press{times}", count),
                (f"{short}{step}{times}", count),
                (f"{short}{step}{times}", ""),
                (f"{short}{step}", ""),
                (short.rstrip() or step, ""),
            )
        ]
        self.query_one(ScopeLine).show(left, beside_title(left, rights, self.size.width - 2))

    @property
    def _cursor_words(self) -> tuple[str, str]:
        """Where the cursor stands, long and short; empty while arrows move the piece."""
        if not self._pointing:
            return "", ""
        at = round(self._cursor[0], 4), round(self._cursor[1], 4)
        x, y = (length_words(value, self.units) for value in at)
        unit = " mm" if self.units.system == "metric" else ""
        return f"cursor {x} along, {y} across  ", f"cursor {pair_words(at, self.units)}{unit}  "

    def _gaps(self, held: CastingAsPlaced, name: str, found: Sequence[Trouble]) -> tuple[Gap, ...]:
        """The gaps round a piece, without those to pieces that it overlaps."""
        overlaps = {trouble.pieces for trouble in found if trouble.kind == "overlap"}
        return tuple(
            gap
            for gap in gaps_of(held, name)
            if gap.pieces not in overlaps and gap.pieces[::-1] not in overlaps
        )

    def _words(self, held: CastingAsPlaced, found: Sequence[Trouble]) -> list[Line]:
        project, narrow = self.opened.project, self.size.width < 100
        width = max(20, (self.size.width if narrow else BESIDE) - 3)
        columns = narrow and width >= 70 and not self.in_numbers
        gaps = self._gaps(held, self._piece, found) if self.placed is not None else ()
        wide = width - 36 if columns else width
        piece = piece_lines(project.file, held, self._piece, self.placed, gaps, found, self.least_gap, wide)
        resin = resin_lines(layout_figures(project, held), self.units, 34 if columns else width)
        if columns:
            return side_by_side(piece, resin, width, width - 34)
        no_form = _NO_FORM if whole_box(held) is None else ()
        if self.in_numbers:
            lacks = [shown for text in no_form for shown in wrapped(text, width, "amber")]
            return [*lacks, line(("RESIN", "title")), *resin]
        # Where there is no picture its words say it.
        told = () if no_form else held.unknown
        unknown = [shown for text in told for shown in wrapped(text, width, "dim", 2, 0)]
        return [*piece, (), line(("RESIN", "title")), *resin, *unknown]

    def _show_list(self, held: CastingAsPlaced, found: Sequence[Trouble], words: list[Line]) -> None:
        file = self.opened.project.file
        placed = {piece.id: piece for piece in held.pieces}
        rows: list[Row] = [
            piece_row(
                file,
                held,
                name,
                placed.get(name),
                self._gaps(held, name, found) if name in placed else (),
                found,
                self.least_gap,
            )
            for name in self.pieces
        ]
        if self.size.width < 100:
            rows.append(WordsRow("words", said=((), *words)))
        self.query_one(Worksheet).show(tuple(rows), f"piece:{self._piece}")

    def _show_plan(self, held: CastingAsPlaced, found: Sequence[Trouble]) -> None:
        plan = self.query_one("#layout-plan", PicturePane)
        wide, high = self._fitted = self._room
        box = self._box(held, wide, high)
        hand = Hand(self._piece, self._cursor if self._pointing else None, self._line(held))
        picture = layout_view(self.opened.project.file, held, found, hand, box)
        rows = high
        if picture is not None:
            legend = len(legend_rows(picture.legend, wide))
            natural = (natural_height(picture, wide) or high) + legend + 1
            rows = min(high, natural)
        self._give_room(held, rows, high)
        plan.show(picture or Picture("plan", f"LAYOUT {held.id}", None, words=(*_NO_FORM, *held.unknown)))

    @property
    def _room(self) -> tuple[int, int]:
        """Cells that the plan may take."""
        wide, high = self.query_one(LayoutBody).size
        return (wide - BESIDE - 2, high) if self.size.width >= 100 else (wide - 2, high - self._under)

    @property
    def _under(self) -> int:
        """Rows of the words under the picture: one more for what is still to pour, where some is poured."""
        begun = self._held is not None and any(lift.poured for lift in self._held.lifts)
        return UNDER + (1 if begun else 0)

    def _give_room(self, held: CastingAsPlaced, rows: int, high: int) -> None:
        """The plan gets its rows; the section what is left, or as much as it must have where asked for."""
        plan, cut = self.query_one("#layout-plan", PicturePane), self.query_one("#layout-cut", PicturePane)
        narrow = self.size.width < 100
        left = (high + self._under if narrow and self._cut_asked else high) - rows
        shown = self._cut != "off" and (left > CUT_ROWS or self._cut_asked)
        if shown and left <= CUT_ROWS:
            rows = max(LEAST[1] + 1, rows + left - CUT_ROWS - 1)
            left = CUT_ROWS + 1
        _set_height(plan, rows)
        if cut.display != shown:
            cut.display = shown
        beside = self.query_one("#layout-beside", ScrollPane)
        hidden = narrow and shown and self._cut_asked
        if beside.display == hidden:
            beside.display = not hidden
        if shown:
            _set_height(cut, min(left - 1, 16 + max(0, left - 20) // 2))
            self._show_cut(held)

    def _box(self, held: CastingAsPlaced, wide: int, high: int) -> Box | None:
        whole = whole_box(held)
        if whole is None or self._zoom == 1:
            return None
        ratio = 2 * max(3, high - 3) / max(10, wide - 6)
        return zoomed(whole, self._about, self._zoom, ratio)

    # The section

    def _line(self, held: CastingAsPlaced) -> Cut | None:
        """The line of the section, None where none is shown."""
        if self._cut == "off" or held.length is None or held.width is None:
            return None
        x, y = self._about
        if not self._slant:
            return ((0.0, y), (held.length, y)) if self._cut == "along" else ((x, 0.0), (x, held.width))
        way = self._slant + (0.0 if self._cut == "along" else pi / 2)
        dx, dy = cos(way), sin(way)
        run = within(((x, y), (x + dx, y + dy)), (0.0, 0.0, held.length, held.width))
        if run is None:
            return None
        low, high = run
        return (x + dx * low, y + dy * low), (x + dx * high, y + dy * high)

    def _show_cut(self, held: CastingAsPlaced) -> None:
        """At once where that is quick, else when no key comes for a moment."""
        if self._waiting is not None:
            self._waiting.stop()
            self._waiting = None
        if self._cut_took < SLOW:
            self._draw_cut()
        else:
            self._waiting = self.set_timer(MOMENT, self._draw_cut)

    def _draw_cut(self) -> None:
        held, begun = self._held, perf_counter()
        way = self._line(held) if held is not None else None
        if held is None or way is None:
            return
        self.query_one("#layout-cut", PicturePane).show(section_of(self.opened, held.id, way))
        self._cut_took = perf_counter() - begun

    def on_layout_body_changed(self, event: LayoutBody.Changed) -> None:
        """The pictures give way to the words over the keys."""
        if not self.in_numbers and self._room != self._fitted:
            self.show_all()


_NO_FORM: Final = ("The inner length and width of the form are not known: enter them on the form stage.",)


def middle(file: ProjectFile, casting: str, units: Units) -> Point | None:
    """The middle of a form, on what pieces are moved by; None while its inside is not known."""
    held = casting_as_placed(file, casting)
    if held is None or held.length is None or held.width is None:
        return None
    step = grid(units)
    return round(held.length / 2 / step) * step, round(held.width / 2 / step) * step


def section_of(opened: Opened, casting: str, way: Cut) -> Picture | None:
    """The section along a line."""
    return section_view(opened.project.file, casting, line=way)


def _set_height(pane: PicturePane, rows: int) -> None:
    held = pane.styles.height
    if held is None or held.value != rows:
        pane.styles.height = rows
