"""Our own colours: amber asks, red stops, green is done, teal is resin, tan is wood.

Every theme names the same colours. `contrast` measures text against its ground by WCAG 2.1.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Final

from textual.theme import Theme

TEXT_COLOURS: Final = ("foreground", "quiet", "amber", "stop", "done", "resin", "wood")
"""What text is written in."""
GROUNDS: Final = ("background", "surface", "panel", "cursor_bar")
"""What it is written on."""


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of a theme: text, grounds, and what pictures are filled with."""

    foreground: str
    quiet: str
    amber: str
    stop: str
    done: str
    resin: str
    wood: str
    background: str
    surface: str
    panel: str
    cursor_bar: str
    wood_dark: str
    wood_chosen: str
    resin_deep: str
    stone: str
    strip: str
    form: str


PALETTES: Final = {
    "dusk": Palette(
        foreground="#e4e2da",
        quiet="#a3adae",
        amber="#f0b04f",
        stop="#ff8b7c",
        done="#8fcc75",
        resin="#62c2b8",
        wood="#d0aa74",
        background="#101416",
        surface="#171d20",
        panel="#1f272b",
        cursor_bar="#264043",
        wood_dark="#8f6c3f",
        wood_chosen="#e9cf9f",
        resin_deep="#1f6f77",
        stone="#7f8a92",
        strip="#ffe08a",
        form="#5b6469",
    ),
    "daylight": Palette(
        foreground="#1c2224",
        quiet="#4d5658",
        amber="#7d4a00",
        stop="#a31616",
        done="#2b5f17",
        resin="#0a5a60",
        wood="#6d4718",
        background="#faf8f2",
        surface="#f1eee5",
        panel="#e7e3d7",
        cursor_bar="#d3e4e2",
        wood_dark="#9a7340",
        wood_chosen="#a9763a",
        resin_deep="#6fb5b3",
        stone="#7a848b",
        strip="#d89a00",
        form="#8c8f8a",
    ),
    "contrast": Palette(
        foreground="#ffffff",
        quiet="#d8dcdc",
        amber="#ffc34d",
        stop="#ff9d90",
        done="#a6f082",
        resin="#7ff0e4",
        wood="#ffd79a",
        background="#000000",
        surface="#000000",
        panel="#0c0c0c",
        cursor_bar="#16384a",
        wood_dark="#a9793a",
        wood_chosen="#fff0cf",
        resin_deep="#00808a",
        stone="#a8b2ba",
        strip="#fff3b0",
        form="#8a9296",
    ),
}

_TERMINAL: Final = Palette(
    foreground="ansi_default",
    quiet="ansi_default",
    amber="ansi_yellow",
    stop="ansi_red",
    done="ansi_green",
    resin="ansi_cyan",
    wood="ansi_default",
    background="ansi_default",
    surface="ansi_default",
    panel="ansi_default",
    cursor_bar="ansi_default",
    wood_dark="ansi_yellow",
    wood_chosen="ansi_bright_white",
    resin_deep="ansi_cyan",
    stone="ansi_default",
    strip="ansi_bright_yellow",
    form="ansi_bright_black",
)


def _theme(name: str, palette: Palette, *, dark: bool, ansi: bool = False) -> Theme:
    named = {key.replace("_", "-"): colour for key, colour in asdict(palette).items()}
    return Theme(
        name=name,
        primary=palette.resin,
        secondary=palette.wood,
        accent=palette.amber,
        warning=palette.amber,
        error=palette.stop,
        success=palette.done,
        foreground=palette.foreground,
        background=palette.background,
        surface=palette.surface,
        panel=palette.panel,
        dark=dark,
        ansi=ansi,
        variables={
            **named,
            "border": palette.resin,
            "border-blurred": palette.quiet,
            "block-cursor-background": palette.cursor_bar,
            "block-cursor-foreground": palette.foreground,
            "block-cursor-text-style": "bold",
            "input-cursor-background": palette.foreground,
            "input-cursor-foreground": palette.background,
            "input-cursor-text-style": "none",
            "input-selection-background": palette.cursor_bar,
            "input-selection-foreground": palette.foreground,
            "screen-selection-background": palette.cursor_bar,
            "screen-selection-foreground": palette.foreground,
            "scrollbar": palette.stone,
            "scrollbar-hover": palette.quiet,
            "scrollbar-active": palette.amber,
            "scrollbar-background": palette.surface,
            "scrollbar-background-hover": palette.surface,
            "scrollbar-background-active": palette.surface,
            "scrollbar-corner-color": palette.surface,
            # Textual's own style sheets want these of a theme in the terminal's colours.
            "ansi-background": palette.background,
            "ansi-foreground": palette.foreground,
            **(_ON_BARS if ansi else {}),
        },
    )


_ON_BARS: Final = {
    "block-cursor-background": "ansi_cyan",
    "block-cursor-foreground": "ansi_black",
    "block-cursor-text-style": "none",
    "input-cursor-background": "ansi_default",
    "input-cursor-foreground": "ansi_default",
    "input-cursor-text-style": "reverse",
    "input-selection-background": "ansi_cyan",
    "input-selection-foreground": "ansi_black",
    "screen-selection-background": "ansi_cyan",
    "screen-selection-foreground": "ansi_black",
}
"""Black on cyan is read in every terminal palette that we know of."""


THEMES: Final = (
    _theme("dusk", PALETTES["dusk"], dark=True),
    _theme("daylight", PALETTES["daylight"], dark=False),
    _theme("contrast", PALETTES["contrast"], dark=True),
    _theme("terminal", _TERMINAL, dark=True, ansi=True),
)
DUSK: Final = THEMES[0]


def contrast(text: str, ground: str) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    light, dark = sorted((_luminance(text), _luminance(ground)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` (WCAG 2.1)."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4 for channel in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
