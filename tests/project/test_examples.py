"""The two examples: they load, come back byte for byte, and say something true to every stage."""

from pathlib import Path

import pytest

from workshop.project.loading import load_text
from workshop.project.model import ProjectFile, last_entry
from workshop.project.project import dump

EXAMPLES = Path(__file__).parents[2] / "projects"


def text_of(name: str) -> str:
    return (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def bench() -> ProjectFile:
    return load_text(text_of("tarn-bench"), "tarn-bench.toml").file


@pytest.mark.parametrize("name", ["tarn-bench", "gannet-shelf"])
def test_an_example_comes_back_byte_for_byte_and_is_marked_as_one(name: str) -> None:
    text = text_of(name)
    project = load_text(text, f"{name}.toml")
    assert dump(project) == text
    assert project.file.example
    assert "[[" not in text


def test_the_bench_is_half_way(bench: ProjectFile) -> None:
    assert list(bench.record.poured) == ["seat/base", "seat/strip"]
    assert [timer.timer for timer in bench.record.timer.values()] == ["cure", "leak-watch"]
    assert [list(subjects) for subjects in bench.record.accepted.values()] == [["ash-narrow"]]
    latest = last_entry(bench.record)
    assert latest is not None and latest.isoformat() == "2026-03-09T20:33:00+01:00"


def test_every_batch_of_the_bench_was_weighed_at_the_sheets_ratio(bench: ProjectFile) -> None:
    """Arithmetic of the scenario: A over B within 1 % of 100 : 42.5."""
    for batch in bench.record.batch.values():
        assert batch.a is not None and batch.b is not None
        assert batch.a.value / batch.b.value == pytest.approx(100 / 42.5, rel=0.01)


def test_the_batches_of_the_bench_fill_what_its_lifts_rose(bench: ProjectFile) -> None:
    """Arithmetic of the scenario: mass over mixed density against channel area times rise, within 15 %.

    The channel is the form less the two pieces, from the mean of the stations' lower widths; the bed's stone
    is taken off by its bucket test.
    """
    resin = bench.resin["slow-blue"]
    assert resin.density_a is not None and resin.density_b is not None
    density = 142.5 / (100 / resin.density_a.value + 42.5 / resin.density_b.value)
    wide, narrow = bench.slab["ash-wide"], bench.slab["ash-narrow"]
    mean_wide = sum(row.lower_left or 0 for row in wide.stations) / len(wide.stations) + 100
    mean_narrow = sum(row.lower_right or 0 for row in narrow.stations) / len(narrow.stations) + 70
    channel = 1.44 * (0.44 - wide.metres(mean_wide) - narrow.metres(mean_narrow))
    bed = (channel - 2 * 0.012 * 1.44) * 0.018 * (1 - 0.92 / 2)
    for subject, rise, stone in (("seat/base", 0.0062, 0.0), ("seat/strip", 0.0229, bed)):
        mixed = sum(
            held.value for batch in bench.record.batches_of(subject) for held in (batch.a, batch.b) if held
        )
        assert mixed / density == pytest.approx(channel * rise - stone, rel=0.15)


def test_the_shelf_is_what_a_newcomer_has_after_five_questions() -> None:
    file = load_text(text_of("gannet-shelf"), "gannet-shelf.toml").file
    assert file.units.system == "us"
    assert file.casting["shelf"].lifts == ()
    assert file.record.done == {}
    assert last_entry(file.record) is None
