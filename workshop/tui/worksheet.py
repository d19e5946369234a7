"""The open stage: rows under one cursor, drawn line by line."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import ClassVar

from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from workshop.tui.lines import Line, Span
from workshop.tui.pane import role_classes, strip_of
from workshop.tui.rows import Row, can_stand_on

HEAD = 5
"""A cursor within this many lines of the top shows the top, headings and all."""


class Worksheet(ScrollView, inherit_bindings=False):
    """Rows with a cursor. It keeps its row by key while the rows change."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {*role_classes(), "worksheet--cursor"}
    can_focus = True

    @dataclass
    class Moved(Message):
        """The cursor stands on another row."""

        worksheet: Worksheet
        row: Row | None

        @property
        def control(self) -> Worksheet:
            """The sender."""
            return self.worksheet

    @dataclass
    class Pressed(Message):
        """A row was clicked."""

        worksheet: Worksheet
        row: Row

        @property
        def control(self) -> Worksheet:
            """The sender."""
            return self.worksheet

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows: tuple[Row, ...] = ()
        self._lines: dict[int, list[Line]] = {}
        """The lines of the rows that were laid out; a row of known height waits until it is in sight."""
        self._starts: list[int] = []
        self._height = 0
        self._cursor = ""

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        return next((row for row in self._rows if row.key == self._cursor), None)

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every row shown."""
        return self._rows

    def show(self, rows: tuple[Row, ...], cursor: str | None = None) -> None:
        """Show other rows; the cursor goes to `cursor`, else stays on its row, else on the nearest."""
        place = self._place()
        self._rows = rows
        standing = [row for row in rows if can_stand_on(row)]
        keys = [row.key for row in standing]
        if cursor is not None and cursor in keys:
            self._cursor = cursor
        elif self._cursor not in keys:
            self._cursor = keys[min(place, len(keys) - 1)] if keys else ""
        self._lay_out()
        self.post_message(self.Moved(self, self.row))

    def _place(self) -> int:
        keys = [row.key for row in self._rows if can_stand_on(row)]
        return keys.index(self._cursor) if self._cursor in keys else 0

    def _lay_out(self) -> None:
        self._lines, self._starts, self._height = {}, [], 0
        for number, row in enumerate(self._rows):
            self._starts.append(self._height)
            self._height += row.height if row.height is not None else len(self._lines_of(number))
        self.virtual_size = Size(self._width, self._height)
        self.refresh()
        self.call_after_refresh(self._scroll_to_cursor)

    def _lines_of(self, number: int) -> list[Line]:
        """The lines of a row, laid out once."""
        if number not in self._lines:
            self._lines[number] = self._rows[number].lines(max(10, self._width - 2))
        return self._lines[number]

    def _row_at(self, place: int) -> int:
        """The number of the row that holds a line."""
        return bisect_right(self._starts, place) - 1

    @property
    def _width(self) -> int:
        return max(10, self.scrollable_content_region.width)

    def on_resize(self, event: Resize) -> None:
        """Lay the rows out for the new width, from the top as far as the cursor allows."""
        self.scroll_to(y=0, animate=False, force=True)
        self._lay_out()

    def render_line(self, y: int) -> Strip:
        """One line, on the cursor's bar where its row is under the cursor."""
        place = y + int(self.scroll_offset.y)
        width = self._width
        if place >= self._height:
            return strip_of(self, (), width)
        number = self._row_at(place)
        row, lines = self._rows[number], self._lines_of(number)
        line = place - self._starts[number]
        spans = lines[line] if line < len(lines) else ()
        here = row.key == self._cursor
        mark = Span("▐" if here else " ", "teal")
        back = self.get_component_rich_style("worksheet--cursor") if here else None
        return strip_of(self, (mark, *spans), width, back)

    def move(self, steps: int) -> None:
        """Move the cursor by rows; at either end it stays, and the page scrolls to what lies beyond."""
        keys = [row.key for row in self._rows if can_stand_on(row)]
        if not keys:
            return
        place = self._place()
        wanted = max(0, min(len(keys) - 1, place + steps))
        if wanted == place:
            self.scroll_relative(y=steps, animate=False)
            return
        self.stand_on(keys[wanted])

    def stand_on(self, key: str) -> None:
        """Put the cursor on the row with this key, if it is there."""
        if any(row.key == key for row in self._rows):
            self._cursor = key
            self.refresh()
            self._scroll_to_cursor()
            self.post_message(self.Moved(self, self.row))

    def _scroll_to_cursor(self) -> None:
        region = self.region_of(self._cursor)
        if region is not None:
            if region.y <= HEAD:
                region = Region(0, 0, region.width, region.bottom)
            self.scroll_to_region(region, animate=False, force=True)

    def region_of(self, key: str) -> Region | None:
        """Where a row lies in the scrolled space."""
        for number, row in enumerate(self._rows):
            if row.key == key and number < len(self._starts):
                end = self._starts[number + 1] if number + 1 < len(self._starts) else self._height
                return Region(0, self._starts[number], self._width, end - self._starts[number])
        return None

    def on_click(self, event: Click) -> None:
        """The mouse moves the cursor; a click on the row it stands on presses it."""
        place = event.y + int(self.scroll_offset.y)
        if 0 <= place < self._height:
            row = self._rows[self._row_at(place)]
            if can_stand_on(row):
                if row.key == self._cursor:
                    self.post_message(self.Pressed(self, row))
                else:
                    self.stand_on(row.key)
