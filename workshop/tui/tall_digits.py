"""Digits three rows tall, drawn in half blocks so that a timer is read from across the shop."""

from __future__ import annotations

from typing import Final

_GLYPHS: Final = {
    "0": ("█▀█", "█ █", "▀▀▀"),
    "1": ("▀█ ", " █ ", "▀▀▀"),
    "2": ("▀▀█", "█▀▀", "▀▀▀"),
    "3": ("▀▀█", " ▀█", "▀▀▀"),
    "4": ("█ █", "▀▀█", "  ▀"),
    "5": ("█▀▀", "▀▀█", "▀▀▀"),
    "6": ("█▀▀", "█▀█", "▀▀▀"),
    "7": ("▀▀█", "  █", "  ▀"),
    "8": ("█▀█", "█▀█", "▀▀▀"),
    "9": ("█▀█", "▀▀█", "▀▀▀"),
    ":": ("▄", " ", "▀"),
    "+": (" ▄ ", "▀█▀", "   "),
    "d": ("  █", "█▀█", "▀▀▀"),
    " ": (" ", " ", " "),
}


def tall(text: str) -> tuple[str, str, str]:
    """Three rows of the text; signs it has no shape for are left out."""
    shapes = [_GLYPHS[sign] for sign in text if sign in _GLYPHS]
    return (
        " ".join(shape[0] for shape in shapes),
        " ".join(shape[1] for shape in shapes),
        " ".join(shape[2] for shape in shapes),
    )
