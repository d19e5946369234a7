"""Scales and sizes of paper against the standards that name them."""

import pytest

from workshop.sheets.paper import A3_LANDSCAPE, A4, LETTER, SCALES, TABLOID_LANDSCAPE, scale_for
from workshop.sheets.svg import PENS

# ISO 5455:1979 (EN ISO 5455:1994), Technical drawings: Scales, table of clause 5.1: full size and the
# reductions. Exact.
ISO_5455 = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)

# ISO 216, trimmed sizes of the A series in mm, as tables of page sizes give them. Exact as stated; the
# standard allows 2 mm.
ISO_216 = {"A4": (210, 297), "A3": (297, 420)}

# ASME Y14.1, sizes A and B in inches, upright: from memory. The letter and ledger sizes of CSS Paged Media
# (8.5 x 11 in and 11 x 17 in), which were read, are the same.
ASME_Y14_1 = {"A": (8.5, 11.0), "B": (11.0, 17.0)}

# ISO 128-2 (ISO 128-20), widths of lines in mm. From memory.
ISO_128_WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)


def test_only_recommended_scales_are_used() -> None:
    assert SCALES == ISO_5455


def test_recommended_scales_go_on_by_powers_of_ten() -> None:
    """The note under the same table: further scales follow from a recommended one by whole powers of ten."""
    assert {over * 10 for over in SCALES if over <= 1000} <= set(SCALES)


def test_a_sheets_of_iso_216() -> None:
    assert (A4.width, A4.height) == ISO_216["A4"]
    assert (A3_LANDSCAPE.height, A3_LANDSCAPE.width) == ISO_216["A3"]


def test_halving_an_a3_sheet_gives_an_a4() -> None:
    """ISO 216's principle of halving, to the millimetre that it rounds down."""
    assert A3_LANDSCAPE.width // 2 == A4.width
    assert A3_LANDSCAPE.height == A4.height


def test_sheets_in_inches() -> None:
    assert (LETTER.width / 25.4, LETTER.height / 25.4) == pytest.approx(ASME_Y14_1["A"])
    assert (TABLOID_LANDSCAPE.height / 25.4, TABLOID_LANDSCAPE.width / 25.4) == pytest.approx(ASME_Y14_1["B"])


def test_lines_are_as_wide_as_the_standards_row() -> None:
    assert {width for width, _dashes, _colour in PENS.values()} <= set(ISO_128_WIDTHS)


def test_outlines_are_twice_as_wide_as_dimension_lines() -> None:
    """ISO 128: wide to narrow as 2 to 1 (from memory)."""
    assert PENS["thick"][0] == 2 * PENS["thin"][0] == 2 * PENS["hidden"][0]


@pytest.mark.parametrize(
    ("length", "room", "over"),
    [(0.2, 200, 1), (0.201, 200, 2), (1.0, 200, 5), (1.44, 200, 10), (3.9, 200, 20)],
)
def test_a_drawing_takes_the_largest_scale_at_which_it_fits(length: float, room: float, over: int) -> None:
    assert scale_for(length, 0.01, room, 1000) == over
