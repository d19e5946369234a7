"""Grain sizes of coated abrasives against published tables.

Sources: FEPA 43-1 / ISO 6344-2 (macrogrits) and ISO 6344-3 (microgrits, ds50), read in public reference
tables; a second public chart with older, sieve-based averages, which may differ by 8 %; ANSI B74.18 / CAMI,
two public tables.
"""

from itertools import pairwise

import pytest

from workshop.trade.abrasives import grades, grit

# FEPA 43-1 / ISO 6344-2 and -3, exact as printed, in micrometres. P280 52.2: from memory (one copy says
# 52.5).
ISO_SIZES = {
    "P12": 1815.0,
    "P16": 1324.0,
    "P20": 1000.0,
    "P24": 764.0,
    "P30": 642.0,
    "P36": 538.0,
    "P40": 425.0,
    "P50": 336.0,
    "P60": 269.0,
    "P80": 201.0,
    "P100": 162.0,
    "P120": 125.0,
    "P150": 100.0,
    "P180": 82.0,
    "P220": 68.0,
    "P240": 58.5,
    "P280": 52.2,
    "P320": 46.2,
    "P360": 40.5,
    "P400": 35.0,
    "P500": 30.2,
    "P600": 25.8,
    "P800": 21.8,
    "P1000": 18.3,
    "P1200": 15.3,
    "P1500": 12.6,
    "P2000": 10.3,
    "P2500": 8.4,
}

# ANSI B74.18 / CAMI, exact as printed, in micrometres.
CAMI_SIZES = {
    "36": 535.0,
    "60": 268.0,
    "80": 192.0,
    "100": 141.0,
    "120": 116.0,
    "150": 93.0,
    "180": 78.0,
    "220": 66.0,
    "320": 36.0,
    "400": 23.0,
    "500": 20.0,
    "600": 16.0,
}


@pytest.mark.parametrize(("name", "size"), list(ISO_SIZES.items()))
def test_p_grades(name: str, size: float) -> None:
    assert grit(name).size * 1e6 == pytest.approx(size, rel=1e-9)


def test_no_p_grade_is_missing() -> None:
    assert [grade.name for grade in grades("iso")] == list(ISO_SIZES)


@pytest.mark.parametrize(
    ("name", "older"),
    [("P60", 260), ("P80", 197), ("P100", 156), ("P120", 127), ("P150", 97), ("P180", 78), ("P220", 65)],
)
def test_older_averages_lie_within_eight_percent(name: str, older: float) -> None:
    assert grit(name).size * 1e6 == pytest.approx(older, rel=0.08)


@pytest.mark.parametrize(("name", "size"), list(CAMI_SIZES.items()))
def test_cami_grades(name: str, size: float) -> None:
    assert grit(name, "cami").size * 1e6 == pytest.approx(size, rel=1e-9)


# Trade equivalents as stated beside the tables: tolerance 25 %, since the systems grade differently.
@pytest.mark.parametrize(
    ("p", "cami"), [("P400", "320"), ("P800", "400"), ("P1000", "500"), ("P1200", "600")]
)
def test_systems_part_beyond_220(p: str, cami: str) -> None:
    assert grit(p).size == pytest.approx(grit(cami, "cami").size, rel=0.25)
    assert grit(cami, "cami").size < grit("P" + cami).size * 0.8


@pytest.mark.parametrize("grading", ["iso", "cami"])
def test_each_grade_is_finer_than_the_one_before(grading: str) -> None:
    sizes = [grade.size for grade in grades("iso" if grading == "iso" else "cami")]
    assert all(coarse > fine for coarse, fine in pairwise(sizes))
