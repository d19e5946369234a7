"""Resin on the shelf past its dates."""

from datetime import date

from workshop.figures import Level
from workshop.project.loading import load_text
from workshop.project.model import ProjectFile
from workshop.shelf import ResinDate, resin_dates

SHELF = """
format = 2

[resin.blue]
best-before = 2027-01-31

[resin.clear]
opened = 2026-01-10
shelf-life = "180 d"

[resin.unknown]
class = "laminating"
"""


def file() -> ProjectFile:
    return load_text(SHELF, "shelf.toml").file


def on(day: date) -> dict[str, ResinDate]:
    """What is said on a day, by resin."""
    return {held.resin: held for held in resin_dates(file(), day)}


def test_nothing_is_said_long_before() -> None:
    assert resin_dates(file(), date(2026, 3, 9)) == ()


def test_a_resin_is_good_on_its_last_day_and_noted_a_month_before() -> None:
    assert on(date(2027, 1, 1))["blue"].level is Level.NOTE
    assert on(date(2027, 1, 31))["blue"].level is Level.NOTE
    assert on(date(2027, 2, 1))["blue"].level is Level.WARN


def test_it_keeps_only_so_long_once_opened() -> None:
    # 180 days after 10 January 2026 is 9 July 2026, counted on a calendar.
    assert on(date(2026, 7, 9))["clear"].level is Level.NOTE
    late = on(date(2026, 7, 12))["clear"]
    assert late.level is Level.WARN
    assert "3 days longer" in late.text


def test_the_gravest_comes_first_and_each_has_a_way_out_with_a_number() -> None:
    said = resin_dates(file(), date(2027, 1, 15))
    assert [held.level for held in said] == [Level.WARN, Level.NOTE]
    assert all(any(sign.isdigit() for sign in held.remedy) for held in said)


def test_resin_opened_long_ago_is_tried_first_where_its_sheet_says_nothing() -> None:
    # common practice, no source: half a year
    text = "format = 2\n[resin.old]\nopened = 2026-01-01\n"
    held = load_text(text, "shelf.toml").file
    assert resin_dates(held, date(2026, 6, 30)) == ()
    assert "crystals" in resin_dates(held, date(2026, 7, 1))[0].remedy
