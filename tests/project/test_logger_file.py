"""A temperature logger's file is read as loggers write it, and its new readings join the record."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import example
from workshop.project.logger_file import LoggerFileError, log_taken, read_log
from workshop.project.project import Project

BERLIN = ZoneInfo("Europe/Berlin")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    "text",
    [
        "time,temperature\n2026-03-10 18:00,16.5\n2026-03-10 18:10,16.7\n",
        "2026-03-10T18:00:00+01:00,16.5\n2026-03-10T18:10:00+01:00,16.7\n",
        "Datum;Zeit;Temp. (°C);rF\n10.03.2026;18:00;16,5;55\n10.03.2026;18:10;16,7;55\n",
        "serial 4417\n\nDate\tTime\tTemperature °F\n2026-03-10\t18:00\t61.7\n2026-03-10\t18:10\t62.06\n",
        "time,temperature\n2026-03-10 18:00,16.5 °C\n2026-03-10 18:10,16.7 °C\n2026-03-10 18:2",
        "2026-03-10 18:10,16.7\n2026-03-10 18:00,16.5\n2026-03-10 18:20,\n2026-03-10 18:30,-127\n",
    ],
)
def test_a_log_is_read_as_loggers_write_it(text: str) -> None:
    found = read_log(text.encode(), "log.csv", BERLIN)
    assert [moment for moment, _ in found] == [at("2026-03-10T18:00+01:00"), at("2026-03-10T18:10+01:00")]
    assert [value for _, value in found] == pytest.approx([16.5, 16.7], abs=1e-6)


def test_what_is_no_log_is_refused_with_its_line() -> None:
    with pytest.raises(LoggerFileError, match=r"log\.csv, line 1: there is no time and temperature"):
        read_log(b"hello\nworld\n", "log.csv", BERLIN)
    with pytest.raises(LoggerFileError, match="line 3: '03/09/26 5pm' is no time"):
        read_log(b"time,temperature\n2026-03-10 18:00,16\n03/09/26 5pm,17\n", "log.csv", BERLIN)
    assert read_log(b"", "log.csv", None) == ()


def readings_of(project: Project) -> list[tuple[datetime, float]]:
    lines = project.file.record.logged.get("shop", ())
    return [reading for line in lines for reading in line.readings()]


def test_only_what_is_new_joins_the_record_and_only_once() -> None:
    bench = example("tarn-bench")
    before = readings_of(bench)
    old, new = (before[-1][0], 5.0), (before[-1][0] + timedelta(minutes=10), 17.6)
    later = (new[0] + timedelta(minutes=10), 17.8)
    once = log_taken(bench, [old, new, later])
    assert readings_of(once) == [*before, *((moment, pytest.approx(value)) for moment, value in (new, later))]
    assert log_taken(once, [old, new, later]) is once
    assert once.file.record.logged["shop"][-1].text == (
        "2026-03-09 19:00:00+01:00 | every 10 min | temperature | 17.6 17.8 °C"
    )


@given(
    st.lists(st.tuples(st.integers(0, 20000), st.floats(-20, 40)), unique_by=lambda row: row[0], max_size=30)
)
def test_whatever_a_logger_wrote_comes_back_to_a_tenth_of_a_degree(rows: list[tuple[int, float]]) -> None:
    start = datetime(2026, 4, 1, tzinfo=UTC)
    wrote = sorted((start + timedelta(minutes=minute), value) for minute, value in rows)
    bench = example("tarn-bench")
    kept = readings_of(log_taken(bench, wrote))[len(readings_of(bench)) :]
    assert [moment for moment, _ in kept] == [moment for moment, _ in wrote]
    assert [value for _, value in kept] == pytest.approx([value for _, value in wrote], abs=0.051)
