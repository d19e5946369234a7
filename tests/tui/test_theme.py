"""Every text of our themes stands out from its ground by 4.5 to 1 (WCAG 2.1, success criterion 1.4.3)."""

import itertools

import pytest

from workshop.settings import THEMES as NAMES
from workshop.tui.theme import GROUNDS, PALETTES, TEXT_COLOURS, THEMES, contrast

PAIRS = [
    pytest.param(getattr(palette, text), getattr(palette, ground), id=f"{name}-{text}-on-{ground}")
    for name, palette in PALETTES.items()
    for text, ground in itertools.product(TEXT_COLOURS, GROUNDS)
]


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_text_is_read_against_its_ground(text: str, ground: str) -> None:
    assert contrast(text, ground) >= 4.5


def test_contrast_is_measured_as_the_guideline_says() -> None:
    # WCAG 2.1: black on white is 21 to 1, a colour on itself 1 to 1; #767676 on white is the well-known 4.54.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#336699", "#336699") == pytest.approx(1)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def test_the_settings_know_every_theme() -> None:
    assert tuple(theme.name for theme in THEMES) == NAMES
