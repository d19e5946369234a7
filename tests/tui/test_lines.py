"""Lines of text: never wider than asked, no word lost, and nothing in them that could steer a terminal."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from workshop.tui.lines import Line, Span, clipped, line, plain, spread, text_of, width_of, wrapped

texts = st.text(max_size=60) | st.text(
    st.sampled_from("ab 漢字\u200d\u0301é[]/\t\n\x1b\u202e👩"), max_size=60
)
lines = st.lists(texts, max_size=4).map(lambda held: line(*held))
widths = st.integers(1, 120)

HOSTILE = (
    "[/foo]",
    "[red]x[/red]",
    "a\tb\nc\r\nd",
    "\x1b[31mred\x1b[0m \x07\x9b2J",
    "\u202eabc\u202c \u2066x\u2069 \u200f",
    "漢字かな" * 40,
    "👩\u200d👩\u200d👧 e\u0301\u0301\u0301",
    "x" * 5000,
    "",
)
hostile = pytest.mark.parametrize("text", HOSTILE, ids=lambda text: ascii(text[:12]))


@given(texts)
@example("\x1b[31m\x9b\u202e\u200d\t\n\u2028")
def test_plain_text_holds_nothing_that_steers_a_terminal(text: str) -> None:
    made = plain(text)
    assert len(made) == len(text)
    assert not {unicodedata.category(sign) for sign in made} & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}


def test_plain_text_keeps_what_can_be_read() -> None:
    assert plain("57 mm [seat/strip] 漢字 é") == "57 mm [seat/strip] 漢字 é"


@given(lines, widths)
def test_a_clipped_line_is_never_wider_than_asked(spans: Line, width: int) -> None:
    cut = clipped(spans, width)
    assert width_of(cut) <= width
    if width_of(spans) <= width:
        assert cut == spans


@given(lines, lines, widths)
def test_the_left_end_gives_way_and_the_right_end_stays(left: Line, right: Line, width: int) -> None:
    made = spread(left, right, width)
    assert text_of(made).endswith(text_of(right))
    if width_of(right) <= width:
        assert width_of(made) <= width


def test_two_ends_fill_the_row() -> None:
    assert text_of(spread(line("Mix"), line("5 min"), 14)) == "Mix      5 min"
    assert text_of(spread(line("Pass the bubbles"), line("5 min"), 14)) == "Pass th… 5 min"


@given(texts, st.integers(8, 120), st.integers(0, 4), st.none() | st.integers(0, 4))
@example("漢" * 30, 9, 4, 0)
@example("x" * 200, 8, 4, 4)
def test_wrapped_lines_fit_and_hold_every_sign(text: str, width: int, indent: int, first: int | None) -> None:
    made = wrapped(text, width, indent=indent, first=first)
    assert all(width_of(held) <= width for held in made)
    assert "".join("".join(text_of(held) for held in made).split()) == "".join(plain(text).split())


def test_words_are_parted_between_lines_and_none_is_lost() -> None:
    made = [text_of(held) for held in wrapped("Never add hardener for speed", 14, indent=2, first=0)]
    assert made == ["Never add", "  hardener for", "  speed"]


@hostile
@pytest.mark.parametrize("width", [8, 20, 60, 200])
def test_hostile_text_is_shown_as_text(text: str, width: int) -> None:
    for held in wrapped(text, width):
        assert width_of(held) <= width
        assert "\x1b" not in text_of(held) and "\n" not in text_of(held)
    assert width_of(clipped(line(text), width)) <= width


def test_a_span_is_measured_in_cells() -> None:
    assert width_of((Span("漢字"), Span("ab"))) == cell_len("漢字") + 2 == 6
