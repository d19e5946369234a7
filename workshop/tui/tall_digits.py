"""Digits drawn in half blocks, three rows tall or as large as there is room, to be read across the shop."""

from __future__ import annotations

from typing import Final

# Each sign five pixels high; a pixel is half a cell tall, so it is square.
_SHAPES: Final = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": ("## ", " # ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", "###", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ":": (" ", "#", " ", "#", " "),
    "+": ("   ", " # ", "###", " # ", "   "),
    "-": ("   ", "   ", "###", "   ", "   "),
    "d": ("  #", "  #", "###", "# #", "###"),
    " ": (" ", " ", " ", " ", " "),
}
PIXELS_HIGH: Final = 5


def pixels_wide(text: str) -> int:
    """How many pixels a text takes, one between its signs."""
    shapes = [_SHAPES[sign] for sign in text if sign in _SHAPES]
    return sum(len(shape[0]) for shape in shapes) + max(0, len(shapes) - 1)


def largest(text: str, width: int, height: int) -> int:
    """The largest scale at which a text fits into so many cells; at least 1."""
    across = width // max(1, pixels_wide(text))
    down = 2 * height // PIXELS_HIGH
    return max(1, min(across, down))


def digits(text: str, scale: int = 1) -> list[str]:
    """The text in half blocks, each pixel `scale` cells wide; signs it has no shape for are left out."""
    shapes = [_SHAPES[sign] for sign in text if sign in _SHAPES]
    pixels: list[str] = []
    for row in range(PIXELS_HIGH):
        flat = " ".join(shape[row] for shape in shapes)
        pixels += ["".join(pixel * scale for pixel in flat)] * scale
    if len(pixels) % 2:
        pixels.append(" " * len(pixels[0]) if pixels else "")
    blocks = {("#", "#"): "█", ("#", " "): "▀", (" ", "#"): "▄", (" ", " "): " "}
    return [
        "".join(blocks[pair] for pair in zip(top, bottom, strict=True))
        for top, bottom in zip(pixels[::2], pixels[1::2], strict=True)
    ]


def tall(text: str) -> tuple[str, str, str]:
    """The text in three rows."""
    first, second, third = digits(text)
    return first, second, third
