"""Lines of text in roles: what every pane is made of before a terminal gives it colours.

Whatever a maker typed passes through `plain` here and is never read as markup.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import Literal

from rich.cells import cell_len, chop_cells, set_cell_size

Role = Literal["text", "strong", "dim", "title", "amber", "red", "green", "teal", "tan", "key"]


@dataclass(frozen=True, slots=True)
class Span:
    """Text in one role."""

    text: str
    role: Role = "text"


Line = tuple[Span, ...]


def plain(text: str) -> str:
    """Text fit for one line of a terminal: control and direction characters become a visible dot."""
    return "".join(
        "·" if unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp") else sign for sign in text
    )


def line(*spans: Span | tuple[str, Role] | str) -> Line:
    """A line from spans, pairs or bare text."""
    made = []
    for span in spans:
        if isinstance(span, str):
            made.append(Span(plain(span)))
        elif isinstance(span, Span):
            made.append(Span(plain(span.text), span.role))
        else:
            made.append(Span(plain(span[0]), span[1]))
    return tuple(made)


def width_of(spans: Line) -> int:
    """How many cells a line takes."""
    return sum(cell_len(span.text) for span in spans)


def text_of(spans: Line) -> str:
    """A line without its roles."""
    return "".join(span.text for span in spans)


def clipped(spans: Line, width: int) -> Line:
    """A line of at most `width` cells; what is cut off ends in an ellipsis."""
    if width_of(spans) <= width:
        return spans
    if width <= 0:
        return ()
    made: list[Span] = []
    left = max(0, width - 1)
    for span in spans:
        size = cell_len(span.text)
        if size > left:
            made.append(Span(set_cell_size(span.text, left) + "…", span.role))
            break
        made.append(span)
        left -= size
    return tuple(made)


def spread(left: Line, right: Line, width: int) -> Line:
    """Two lines at both ends of a row; the left one gives way."""
    room = width - width_of(right) - (1 if right else 0)
    cut = clipped(left, max(0, room))
    gap = width - width_of(cut) - width_of(right)
    return (*cut, Span(" " * max(0, gap)), *right)


def wrapped(
    text: str, width: int, role: Role = "text", indent: int = 0, first: int | None = None
) -> list[Line]:
    """Words in lines of at most `width` cells; `first` is the indent of the first line where it differs."""
    room = max(8, width)
    lines: list[Line] = []
    start = indent if first is None else first
    held, size = "", start
    for word in plain(text).split():
        for piece in chop_cells(word, room - max(start, indent)):
            cells = cell_len(piece)
            if held and size + 1 + cells > room:
                lines.append((Span(" " * (start if not lines else indent)), Span(held, role)))
                held, size = piece, indent + cells
            else:
                size += cells + (1 if held else 0)
                held = f"{held} {piece}" if held else piece
    lines.append((Span(" " * (start if not lines else indent)), Span(held, role)))
    return lines
