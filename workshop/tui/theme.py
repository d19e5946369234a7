"""Our own colours: amber asks, red stops, green is done, teal is resin, tan is wood."""

from __future__ import annotations

from typing import Final

from textual.theme import Theme

DUSK: Final = Theme(
    name="dusk",
    primary="#58b7ae",
    secondary="#c9a26b",
    accent="#f0b04f",
    warning="#f0b04f",
    error="#ff7b6b",
    success="#86c46c",
    foreground="#e4e2da",
    background="#101416",
    surface="#171d20",
    panel="#1f272b",
    dark=True,
    variables={
        "amber": "#f0b04f",
        "stop": "#ff7b6b",
        "done": "#86c46c",
        "resin": "#58b7ae",
        "wood": "#c9a26b",
        "quiet": "#98a2a3",
        "cursor-bar": "#2a4547",
        "block-cursor-background": "#2a4547",
        "input-cursor-background": "#e4e2da",
        "input-selection-background": "#2a4547 90%",
    },
)
