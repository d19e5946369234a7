"""Laying pieces out: what each action writes, that it comes back, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from math import radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import example
from workshop.project import laying
from workshop.project.changes import History, noted_changes
from workshop.project.project import Project, from_document
from workshop.quantity import Units

NOW = datetime(2026, 3, 10, 18, 0, tzinfo=UTC)
BENCH = example("tarn-bench")
US = Units("us")


def us_project() -> Project:
    """A shelf in inches with one piece laid down."""
    return from_document(
        {
            "format": 2,
            "project": {"units": "us"},
            "slab": {"hickory": {"length": "64 in", "width": "8 in", "thickness": "1 7/8 in"}},
            "piece": {"p1": {"slab": "hickory", "casting": "shelf", "place": "28 1/2, 4 in"}},
            "casting": {
                "shelf": {"form": {"length": "60 in", "width": "11 in"}},
                "box": {"form": {"length": "30 in", "width": "11 in"}},
            },
        },
        "shelf.toml",
    )


def written(project: Project, piece: str, key: str) -> object:
    """What the document says of a piece."""
    return project.document["piece"][piece].get(key)


def test_a_piece_moves_in_whole_millimetres() -> None:
    made = laying.moved(BENCH, "p1", 0.01, 0.0)
    assert written(made, "p1", "place") == "730, 100 mm"
    assert written(laying.moved(made, "p1", 0.0, -0.001), "p1", "place") == "730, 99 mm"


def test_a_move_leaves_the_other_way_as_it_was() -> None:
    made = laying.placed_at(BENCH, "p1", (0.7203, 0.10025))
    assert written(made, "p1", "place") == "720.3, 100.25 mm"
    assert written(laying.moved(made, "p1", 0.01, 0.0), "p1", "place") == "730, 100.25 mm"


def test_in_inches_a_piece_moves_by_fractions() -> None:
    made = laying.moved(us_project(), "p1", 0.0127, 0.0)
    assert written(made, "p1", "place") == "29, 4 in"
    assert written(laying.moved(made, "p1", 0.0, 0.0254 / 16), "p1", "place") == "29, 4 1/16 in"
    assert written(laying.moved(made, "p1", 0.0, 0.0254 / 32), "p1", "place") == "29, 4 1/32 in"


@pytest.mark.parametrize(
    ("inches", "text"),
    [(28.5, "28 1/2"), (0.75, "3/4"), (-1.5, "-1 1/2"), (-0.25, "-1/4"), (0.0, "0"), (12.013, "12.013")],
)
def test_inches_are_written_as_a_tape_reads_them(inches: float, text: str) -> None:
    assert laying.length_text(inches * 0.0254, US) == text


@settings(deadline=None, derandomize=True)
@given(st.integers(-200, 4000), st.integers(-200, 2000))
def test_a_place_in_thirty_seconds_comes_back_as_it_was(x: int, y: int) -> None:
    place = (x * 0.0254 / 32, y * 0.0254 / 32)
    made = laying.placed_at(us_project(), "p1", place)
    held = made.file.piece["p1"].place
    assert held is not None
    assert (held.x, held.y) == pytest.approx(place, abs=1e-9)
    assert "." not in held.text


@settings(deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.sampled_from([-0.01, -0.001, 0.0, 0.001, 0.01]), st.booleans()), max_size=30))
def test_no_rubbish_gathers_however_often_a_piece_is_moved(moves: list[tuple[float, bool]]) -> None:
    made = BENCH
    x, y = 720, 100
    for by, along in moves:
        made = laying.moved(made, "p1", by if along else 0.0, 0.0 if along else by)
        x, y = (x + round(by * 1000), y) if along else (x, y + round(by * 1000))
    assert written(made, "p1", "place") == f"{x}, {y} mm"


def test_a_full_turn_leaves_nothing_in_the_file() -> None:
    made = laying.turned(BENCH, "p1", radians(15))
    assert written(made, "p1", "turn") == "15°"
    assert written(laying.turned(made, "p1", radians(-16)), "p1", "turn") == "359°"
    for _ in range(23):
        made = laying.turned(made, "p1", radians(15))
    assert made.document == BENCH.document


def test_turned_over_twice_it_lies_as_before() -> None:
    made = laying.flipped(BENCH, "p1")
    assert written(made, "p1", "flip") is True
    assert laying.flipped(made, "p1").document == BENCH.document


def test_a_piece_is_sent_into_another_casting() -> None:
    made = laying.sent(us_project(), "p1", "box", (0.3, 0.1016))
    assert written(made, "p1", "casting") == "box"
    assert written(made, "p1", "place") == "11.811, 4 in"


def test_a_piece_with_a_light_run_along_it_stays_in_its_casting() -> None:
    with pytest.raises(ValueError, match="light run near of seat goes along p1"):
        laying.sent(BENCH, "p1", "rail")


def test_a_piece_is_taken_from_another_slab_and_leaves_its_trims() -> None:
    trimmed = laying.trimmed(BENCH, "p1", [((0.1, -0.05), (0.3, -0.05))])
    made = laying.taken_from(trimmed, "p1", "ash-rail", (0.74, 0.0))
    assert written(made, "p1", "slab") == "ash-rail"
    assert written(made, "p1", "mark") == "740, 0 mm"
    assert made.document["slab"] == BENCH.document["slab"]


def test_a_trim_is_a_saw_line_for_one_piece_in_the_unit_of_the_slab() -> None:
    made = laying.trimmed(BENCH, "p1", [((0.1, -0.05004), (0.3, -0.05))])
    row = made.document["slab"]["ash-wide"]["saw-lines"][-1]
    assert {key: row[key] for key in ("from", "to", "of")} == {
        "from": "100, -50",
        "to": "300, -50",
        "of": "p1",
    }
    ids = [held["id"] for held in made.document["slab"]["ash-wide"]["saw-lines"]]
    assert len(ids) == len(set(ids)) == 4


def test_a_piece_by_its_own_measures_is_not_trimmed() -> None:
    made = BENCH.with_value(("piece", "p1", "length"), "1400 mm").with_value(("piece", "p1", "width"), "9 cm")
    with pytest.raises(ValueError, match="its own length and width"):
        laying.trimmed(made, "p1", [((0.1, 0.0), (0.3, 0.0))])


def test_guides_come_and_go() -> None:
    made = laying.guide_added(BENCH, "seat", "y", 0.22)
    assert made.document["casting"]["seat"]["guides"] == [{"id": "g1", "y": "220 mm"}]
    assert laying.guide_at(made.file, "seat", "y", 0.2202) == "g1"
    assert laying.guide_at(made.file, "seat", "x", 0.22) is None
    assert laying.guide_removed(made, "seat", "g1").document == BENCH.document


def test_a_piece_as_placed_is_not_moved_any_more() -> None:
    placed = BENCH.with_value(
        ("record", "placed", "p1"), {"place": "720, 100 mm", "at": datetime(2026, 3, 7, 10, tzinfo=UTC)}
    )
    assert "logged as placed on 7 Mar 2026" in laying.locked(placed.file, "p1")
    actions: tuple[Callable[[], Project], ...] = (
        lambda: laying.moved(placed, "p1", 0.01, 0.0),
        lambda: laying.turned(placed, "p1", 1.0),
        lambda: laying.flipped(placed, "p1"),
        lambda: laying.sent(placed, "p1", "rail"),
        lambda: laying.taken_from(placed, "p1", "ash-rail", (0.0, 0.0)),
        lambda: laying.trimmed(placed, "p1", []),
    )
    for action in actions:
        with pytest.raises(laying.Locked, match="strike that line"):
            action()
    assert not laying.locked(placed.file, "p2")


def test_a_piece_that_lies_nowhere_cannot_be_moved() -> None:
    with pytest.raises(ValueError, match="not known: set it down first"):
        laying.moved(BENCH.without(("piece", "p1", "place")), "p1", 0.01, 0.0)


def test_undo_gives_back_the_same_document() -> None:
    history, made = History(), BENCH
    actions: tuple[Callable[[Project], Project], ...] = (
        lambda project: laying.moved(project, "p1", 0.01, 0.0),
        lambda project: laying.turned(project, "p1", radians(15)),
        lambda project: laying.flipped(project, "p2"),
        lambda project: laying.trimmed(project, "p2", [((0.1, -0.05), (0.3, -0.05))]),
        lambda project: laying.taken_from(project, "p2", "ash-rail", (0.7, 0.0)),
        lambda project: laying.sent(project, "p3", "seat"),
        lambda project: laying.guide_added(project, "seat", "x", 0.4),
    )
    for action in actions:
        after = action(made)
        history, made = history.after("laid", made, after), after
    while history.steps:
        history, made, _name = history.undone(made, NOW)
    assert made.document == BENCH.document


def test_what_was_laid_out_is_journalled_once_and_taken_back_as_one() -> None:
    history, made = History(), BENCH
    for _ in range(3):
        after = laying.moved(made, "p1", 0.01, 0.0)
        history, made = history.after("moved", made, after), after
    after = laying.guide_added(laying.turned(made, "p1", radians(15)), "seat", "x", 0.4)
    history, made = history.after("turned", made, after), after
    after = noted_changes(made, BENCH.document, NOW)
    history, made = history.after("layout", made, after).folded(0, "layout"), after
    lines = made.document["record"]["journal"]["changes"][-3:]
    assert [line.split(" | ", 1)[1] for line in lines] == [
        "piece.p1.place | 720, 100 mm | 750, 100 mm",
        "piece.p1.turn | unknown | 15°",
        "casting.seat.guides.g1 | unknown | x 400 mm",
    ]
    assert len(history.steps) == 1
    _history, back, name = history.undone(made, NOW)
    assert name == "layout"
    assert back.document["piece"] == BENCH.document["piece"]
    assert back.document["casting"] == BENCH.document["casting"]
    assert back.document["record"]["journal"]["changes"] == BENCH.document["record"]["journal"]["changes"]


def test_nothing_changed_writes_nothing() -> None:
    assert noted_changes(BENCH, BENCH.document, NOW) is BENCH
