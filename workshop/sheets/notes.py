"""Sentences on a sheet: what is measured, what is wrong, what is not known; and what finds no room there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from workshop.sheets.ink import SMALL, Ink, Words, wrapped

STEP: Final = 4.0
"""mm from line to line."""


def noted(
    sentences: Sequence[str], zone: tuple[float, float, float, float]
) -> tuple[tuple[Ink, ...], tuple[str, ...]]:
    """Sentences in a zone of the paper (left, bottom, right, top in mm), and those that found no room.

    A sentence that ends in a colon heads those after it.
    """
    left, bottom, right, top = zone
    parts: list[Ink] = []
    y = top + 5
    for number, sentence in enumerate(sentences):
        rows = wrapped(sentence, SMALL, right - left)
        last = number == len(sentences) - 1
        if y + STEP * (len(rows) - 1) > bottom - (1.5 if last else 1.5 + STEP):
            parts.append(Words(left, min(y, bottom - 1.5), "More on a later sheet.", SMALL, bold=True))
            return tuple(parts), tuple(sentences[number:])
        bold = sentence.endswith(":")
        parts += [
            Words(left, y + STEP * row, text, SMALL, bold=bold, data=(("kind", "note"),))
            for row, text in enumerate(rows)
        ]
        y += STEP * len(rows)
    return tuple(parts), ()


def pages_of(
    sentences: Sequence[str], zone: tuple[float, float, float, float]
) -> tuple[tuple[Ink, ...], ...]:
    """Sentences on as many sheets as they need."""
    made: list[tuple[Ink, ...]] = []
    rest = tuple(sentences)
    while rest:
        parts, left = noted(rest, zone)
        if len(left) == len(rest):
            # A sentence longer than a sheet is cut off rather than begun for ever.
            left = rest[1:]
        made.append(parts)
        rest = left
    return tuple(made)
