"""A pane drawn line by line from lines in roles: the base of every widget of ours."""

from __future__ import annotations

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget

from workshop.tui.lines import Line, Role, clipped, width_of

ROLES: tuple[Role, ...] = ("text", "strong", "dim", "title", "amber", "red", "green", "teal", "tan", "key")


def role_classes() -> set[str]:
    """The component classes that a style sheet gives its colours."""
    return {f"role--{role}" for role in ROLES}


def role_style(widget: Widget, role: Role) -> Style:
    """A role's colour as the theme has it, without a background of its own."""
    style = widget.get_component_rich_style(f"role--{role}", partial=True)
    return style


def strip_of(widget: Widget, spans: Line, width: int, back: Style | None = None) -> Strip:
    """A line as a strip exactly `width` cells wide on the widget's background."""
    base = widget.rich_style + back if back is not None else widget.rich_style
    cut = clipped(spans, width)
    segments = [Segment(span.text, base + _on(back, role_style(widget, span.role))) for span in cut]
    segments.append(Segment(" " * max(0, width - width_of(cut)), base))
    return Strip(segments, width)


def _on(back: Style | None, style: Style) -> Style:
    """A role on a bar: reversed the bar has one colour, and each role only its weight."""
    if back is None or not back.reverse:
        return style
    return Style(bold=style.bold, underline=style.underline)


class Pane(Widget):
    """Shows lines from the top; what does not fit is cut."""

    COMPONENT_CLASSES: ClassVar[set[str]] = role_classes()

    _content: list[Line] | None = None

    def content(self, width: int, height: int) -> list[Line]:
        """The lines to show."""
        raise NotImplementedError

    def render_line(self, y: int) -> Strip:
        """One line of the content; every line is made anew only when the pane is refreshed."""
        width, height = self.content_size.width, self.content_size.height
        if y == 0 or self._content is None:
            self._content = self.content(width, height)
        spans = self._content[y] if y < len(self._content) else ()
        return strip_of(self, spans, width)


class ScrollPane(ScrollView):
    """Shows lines that scroll down, never sideways."""

    COMPONENT_CLASSES: ClassVar[set[str]] = role_classes()

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._lines: list[Line] = []

    def show(self, lines: list[Line]) -> None:
        """Put other lines in place of those shown."""
        self._lines = lines
        self.virtual_size = Size(self.scrollable_content_region.width, len(lines))
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """The line that stands at this height now."""
        width = self.scrollable_content_region.width
        place = y + int(self.scroll_offset.y)
        return strip_of(self, self._lines[place] if place < len(self._lines) else (), width)
