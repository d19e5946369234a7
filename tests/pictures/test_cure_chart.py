"""The chart of a cure and the profile through it: what they show, at any size and without colour."""

from functools import cache

import pytest

from workshop.calculator import checked_inputs
from workshop.calculators.lift_cure import CALCULATOR, Inputs
from workshop.cure_course import Course, course_of
from workshop.pictures.cure_chart import cure_chart
from workshop.pictures.cure_profile import cure_profile
from workshop.pictures.drawing import Drawing, draw
from workshop.pictures.picture import Axes, Picture, Stroke, Tick
from workshop.quantity import METRIC, Units
from workshop.raster import Layer, row_text

US = Units("us")
SIZES = ((38, 10), (38, 20), (64, 16), (100, 30))


def inputs(**more: object) -> Inputs:
    """A lift of a medium resin in a shop between two temperatures, on an older lift."""
    held = {
        "resin": "medium-casting",
        "temperature": 20.0,
        "temperature-low": 17.0,
        "temperature-high": 23.0,
        "depth": 0.014,
        "below": ((0.01, 86400.0),),
        **more,
    }
    made = checked_inputs(CALCULATOR, held)
    assert isinstance(made, Inputs)
    return made


@cache
def course(band: bool = True) -> Course:
    """Its course."""
    held = inputs()
    return course_of(held, held.depth, band)


def text(drawing: Drawing) -> str:
    """Rows and legend as plain text."""
    return "\n".join(row_text(row) for row in (*drawing.rows, *drawing.legend))


def layers(drawing: Drawing) -> set[Layer | None]:
    """What colours are seen."""
    return {layer for row in drawing.rows for run in row for layer in (run.fore, run.back)}


# The chart


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("colour", [True, False])
def test_temperature_band_limit_window_and_conversion_are_seen_at_every_size(
    colour: bool, size: tuple[int, int]
) -> None:
    drawing = draw(cure_chart(course(), "seat/top", METRIC, 3600.0), *size, colour)
    assert {"series", "second", "limit", "planned", "band"} <= layers(drawing)
    assert all(len(row_text(row)) == size[0] for row in drawing.rows)
    assert len(drawing.rows) <= size[1]
    for word in ("hottest place", "cold to hot case", "window", "limit", "now", "gel"):
        assert word in text(drawing)


def test_no_band_is_drawn_before_it_is_known() -> None:
    drawing = draw(cure_chart(course(False), "seat/top", METRIC), 64, 16)
    assert "band" not in layers(drawing) and "cold to hot case" not in text(drawing)


def test_a_lift_that_is_not_poured_has_no_now() -> None:
    assert "now" not in text(draw(cure_chart(course(), "seat/top", METRIC), 64, 16))


def test_the_axes_are_in_the_units_of_the_project() -> None:
    metric = text(draw(cure_chart(course(), "seat/top", METRIC), 64, 16))
    us = text(draw(cure_chart(course(), "seat/top", US), 64, 16))
    assert "60°" in metric and "limit 60 °C" in metric and " h" in metric
    assert "140°" in us and "limit 140 °F" in us


def test_the_limit_lies_above_a_band_that_stays_within_it() -> None:
    held = course()
    assert held.hot_peak is not None and held.hot_peak > held.peak
    top = max(max(held.hot), held.limit)
    box = cure_chart(held, "seat/top", METRIC).box
    assert box is not None and box[3] > top and box[1] < min(held.cold)


def test_the_band_holds_the_likely_peak_and_cures_within_it() -> None:
    held = course()
    assert max(held.cold) <= held.peak + 0.5 and max(held.hot) >= held.peak
    assert held.conversion[0] < 0.05 and list(held.conversion) == sorted(held.conversion)


def test_the_words_say_what_the_chart_shows() -> None:
    words = " ".join(cure_chart(course(), "seat/top", METRIC, 7200.0).words)
    for said in ("hottest", "hot case", "the limit of 60 °C", "Gel after", "may follow after", "come off"):
        assert said in words
    assert "Now it is 2 h after the pour" in words and "% cured" in words


def test_a_moment_past_the_window_widens_the_chart() -> None:
    held = course()
    box = cure_chart(held, "seat/top", METRIC, held.until * 1.2).box
    assert box is not None and box[2] > held.until


def test_a_runaway_is_a_word_and_not_a_number() -> None:
    held = inputs(resin="fast-coating", depth=0.05, below=())
    picture = cure_chart(course_of(held, held.depth, True), "seat/top", METRIC)
    assert "runaway" in " ".join(picture.words)
    assert any("runaway" in label.text for label in picture.labels)


# The profile


def test_the_profile_goes_from_the_board_through_the_lifts_into_the_air() -> None:
    drawing = draw(cure_profile(course(), "top", ("base",), METRIC), 60, 16)
    assert {"form", "old", "resin", "series"} <= layers(drawing)
    for word in ("air", "top", "base", "board", "°C"):
        assert word in text(drawing)


def test_the_profile_is_hottest_inside_and_ends_at_the_shop() -> None:
    held = course().profile
    surface, floor = held.warm[-1], held.warm[0]
    assert max(held.warm) > max(surface, floor) and held.shop < surface
    assert [level.what for level in held.levels] == ["board", "below", "lift"]


def test_the_profile_in_words_names_each_part() -> None:
    words = " ".join(cure_profile(course(), "top", ("base",), METRIC).words)
    for said in ("hottest in", "board:", "base:", "top:", "Air: 20 °C"):
        assert said in words


# Charts


def test_ticks_give_way_to_coarser_ones_where_there_is_no_room() -> None:
    fine = tuple(Tick(float(value), f"{value} h") for value in range(0, 11))
    coarse = tuple(Tick(float(value), f"{value} h") for value in (0, 5, 10))
    axes = Axes((fine, coarse), ((Tick(0.0, "0"), Tick(1.0, "1")),))
    picture = Picture(
        "chart", "TEST", (0.0, 0.0, 10.0, 1.0), (Stroke("series", ((0.0, 0.0), (10.0, 1.0))),), axes=axes
    )
    assert "1 h" in row_text(draw(picture, 100, 8).rows[-1])
    narrow = row_text(draw(picture, 30, 8).rows[-1])
    assert "╵5 h" in narrow and "╵1 h" not in narrow


def test_a_line_rises_to_the_right() -> None:
    axes = Axes(((Tick(0.0, "0"),),), ((Tick(0.0, "0"),),))
    picture = Picture(
        "chart", "TEST", (0.0, 0.0, 1.0, 1.0), (Stroke("series", ((0.0, 0.0), (1.0, 1.0))),), axes=axes
    )
    rows = [row_text(row) for row in draw(picture, 24, 10, colour=False).rows[:-1]]
    places = [row.index("•") for row in rows if "•" in row]
    assert places == sorted(places, reverse=True) and len(places) == 9
