"""Tall digits: three rows of one width, every sign of a countdown, and no two alike."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from workshop.tui.tall_digits import tall
from workshop.tui.times import countdown

SIGNS = "0123456789:+d"


@given(st.text(max_size=12))
def test_three_rows_are_equally_wide(text: str) -> None:
    assert len({len(row) for row in tall(text)}) == 1


def test_every_sign_has_a_shape_of_its_own() -> None:
    assert len({tall(sign) for sign in SIGNS}) == len(SIGNS)


@given(st.timedeltas(min_value=timedelta(days=-400), max_value=timedelta(days=400)))
def test_no_sign_of_a_countdown_is_left_out(length: timedelta) -> None:
    shown = countdown(length)
    assert set(shown) <= {*SIGNS, " "}
    # Sign and gap take four cells, a colon or a space two; the gap after the last one is not drawn.
    assert len(tall(shown)[0]) == sum(2 if sign in ": " else 4 for sign in shown) - 1


def test_only_block_elements_are_used() -> None:
    used = set("".join("".join(tall(sign)) for sign in SIGNS)) - {" "}
    assert all(0x2580 <= ord(sign) <= 0x259F for sign in used)
