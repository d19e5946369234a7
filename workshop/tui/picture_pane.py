"""A picture in the theme's colours with its legend, or its words where it cannot be seen."""

from __future__ import annotations

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.color import Color
from textual.strip import Strip
from textual.widget import Widget

from workshop.pictures.drawing import draw, legend_rows, natural_height
from workshop.pictures.picture import Picture
from workshop.raster import LAYERS, Layer, Row
from workshop.tui.lines import Line, clipped, line, wrapped
from workshop.tui.pane import role_classes, strip_of

LEAST: tuple[int, int] = (24, 6)
"""Cells under which words say more than a picture."""


class PicturePane(Widget):
    """Title, picture and legend; words instead where the pane is small or there is no colour.

    A terminal's own sixteen colours cannot be mixed, so there the layers show by their hatches.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        *role_classes(),
        *(f"picture--{layer}" for layer in LAYERS),
    }

    DEFAULT_CSS = """
    PicturePane {
        & > .picture--form { color: $form; }
        & > .picture--planned { color: $resin-deep 34%; }
        & > .picture--old { color: $resin-deep 62%; }
        & > .picture--resin { color: $resin-deep; }
        & > .picture--stone { color: $stone; }
        & > .picture--wood { color: $wood; }
        & > .picture--grain { color: $wood 82%; }
        & > .picture--below { color: $wood-dark; }
        & > .picture--wood-off { color: $wood 38%; }
        & > .picture--resin-off { color: $resin-deep 18%; }
        & > .picture--light { color: $strip; }
        & > .picture--cable { color: $foreground; }
        & > .picture--cut { color: $foreground; }
        & > .picture--ink { color: $foreground; }
        & > .picture--label { color: $background; }
        & > .picture--dim { color: $quiet; }
        & > .picture--series { color: $wood; }
        & > .picture--second { color: $resin; }
        & > .picture--band { color: $wood 35%; }
        & > .picture--limit { color: $stop; }
        & > .picture--trouble { color: $stop; }
        & > .picture--chosen { color: $wood-chosen; }
        & > .picture--outline { color: $foreground; }
        & > .role--text { color: $foreground; }
        & > .role--dim { color: $quiet; }
        & > .role--title { color: $wood; text-style: bold; }
    }
    """

    def __init__(self, picture: Picture | None = None, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._picture = picture
        self._made: tuple[tuple[object, ...], list[Strip]] | None = None

    def show(self, picture: Picture | None) -> None:
        """Show another picture."""
        self._picture = picture
        self.refresh()

    @property
    def in_words(self) -> bool:
        """Whether the pane shows the words in place of the picture."""
        size = self.content_size
        return self.app.no_color or size.width < LEAST[0] or size.height < LEAST[1]

    def render_line(self, y: int) -> Strip:
        """One line; all are made anew when the picture, the size or the theme has changed."""
        width, height = self.content_size
        about = (self._picture, width, height, self.app.theme, self.in_words, self.rich_style)
        if self._made is None or self._made[0] != about:
            self._made = (about, self._strips(width, height))
        strips = self._made[1]
        return strips[y] if y < len(strips) else strip_of(self, (), width)

    def _strips(self, width: int, height: int) -> list[Strip]:
        picture = self._picture
        if picture is None or not width:
            return []
        if not self.in_words:
            hatched = self.app.current_theme.ansi
            rest = height - 1
            legend = legend_rows(picture.legend, width, not hatched)
            most = natural_height(picture, width) or rest * 2 // 3
            drawing = draw(picture, width, max(rest - len(legend), min(most, rest - 1)), not hatched)
            if drawing.rows:
                rows = [*drawing.rows, *drawing.legend][:rest]
                title = line((picture.title, "title"))
                styles: dict[tuple[Layer, Layer | None], Style] = {}
                return [strip_of(self, title, width), *(self._drawn(row, width, styles) for row in rows)]
        lines: list[Line] = [clipped(line((picture.title, "title")), width)]
        lines += [text for sentence in picture.words for text in wrapped(sentence, width, "text", 2, 0)]
        if len(lines) > height:
            lines = [*lines[: max(0, height - 1)], line(("…", "dim"))]
        return [strip_of(self, text, width) for text in lines[:height]]

    def _drawn(self, row: Row, width: int, styles: dict[tuple[Layer, Layer | None], Style]) -> Strip:
        own = self.rich_style
        used = sum(len(run.text) for run in row)
        segments = []
        for run in row:
            style = styles.get((run.fore, run.back))
            if style is None:
                style = styles[run.fore, run.back] = own + self._style(run.fore, run.back)
            segments.append(Segment(run.text, style))
        return Strip([*segments, Segment(" " * (width - used), own)], width)

    def _style(self, fore: Layer, back: Layer | None) -> Style:
        return Style(
            color=None if fore == "void" else self._colour(fore).rich_color,
            bgcolor=None if back is None or back == "void" else self._colour(back).rich_color,
        ) + (Style(color=self._ground.rich_color) if fore == "void" and back is not None else Style())

    def _colour(self, layer: Layer) -> Color:
        colour = self.get_component_styles(f"picture--{layer}").color
        return colour if colour.ansi is not None else self._ground + colour

    @property
    def _ground(self) -> Color:
        return self.background_colors[1]
