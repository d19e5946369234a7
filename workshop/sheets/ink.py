"""What is put on paper, in mm from the sheet's upper left corner, y down: lines, discs and words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from workshop.trade.face_pair import Ring
from workshop.trade.outline import Point

Pen = Literal["thick", "thin", "fine", "hidden", "chain", "saw", "trim", "light", "dotted", "none"]
"""What a line means, by width and dashes alone, so that it survives a black-and-white printer."""
Fill = Literal["none", "white", "pale", "grey", "black"]
Data = tuple[tuple[str, str], ...]
"""Data attributes, by which a reader of the file knows what a line is and can measure it."""

SMALL: Final = 2.9
NORMAL: Final = 3.4
LARGE: Final = 5.0
"""Sizes of letters, mm from line to line; capitals are about seven tenths of it."""
LETTER_WIDE: Final = 0.56
"""How wide a letter of a plain face is at the most on average, as a part of its size."""


@dataclass(frozen=True, slots=True)
class Path:
    """Lines, or areas where closed; a ring inside another is a hole."""

    rings: tuple[Ring, ...]
    pen: Pen = "thin"
    closed: bool = False
    fill: Fill = "none"
    data: Data = ()


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x: float
    y: float
    radius: float
    pen: Pen = "thin"
    fill: Fill = "none"
    data: Data = ()


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text on its base line, turned by degrees against the clock about its place."""

    x: float
    y: float
    text: str
    size: float = NORMAL
    anchor: Literal["start", "middle", "end"] = "start"
    turn: float = 0.0
    bold: bool = False
    halo: bool = False
    """Whether white round the letters keeps hatching off them."""
    data: Data = ()


@dataclass(frozen=True, slots=True)
class Group:
    """What belongs together."""

    parts: tuple[Ink, ...]
    data: Data = ()


Ink = Path | Disc | Words | Group


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a drawing, without its frame and title block."""

    title: str
    over: int | None
    """What its scale divides by, None where nothing is drawn to scale."""
    parts: tuple[Ink, ...]


def line(*points: Point, pen: Pen = "thin", **data: str) -> Path:
    """A line through points."""
    return Path((points,), pen, data=named(data))


def box(
    left: float, top: float, right: float, bottom: float, pen: Pen = "thin", fill: Fill = "none", **data: str
) -> Path:
    """A rectangle on the paper."""
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Path((corners,), pen, True, fill, named(data))


def named(data: dict[str, str]) -> Data:
    """Data attributes of keywords."""
    return tuple(data.items())


def width_of(text: str, size: float) -> float:
    """How wide a text is at the most, mm."""
    return LETTER_WIDE * size * len(text)


def cut_to(text: str, size: float, room: float) -> str:
    """A text shortened to its room."""
    most = max(1, int(room / (LETTER_WIDE * size)))
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def wrapped(text: str, size: float, room: float) -> list[str]:
    """A text in lines that fit their room; a word longer than a line is broken."""
    most = max(4, int(room / (LETTER_WIDE * size)))
    lines: list[str] = []
    held = ""
    for word in text.split():
        while len(word) > most:
            if held:
                lines.append(held)
                held = ""
            lines.append(word[:most])
            word = word[most:]
        longer = f"{held} {word}".strip()
        if len(longer) <= most:
            held = longer
        else:
            lines.append(held)
            held = word
    return [*lines, held] if held else lines
