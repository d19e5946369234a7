"""A copy of an example looks as if its work had been done up to an hour ago."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.project.example import copy_of_example, open_path
from workshop.project.faults import FileFault
from workshop.project.loading import load_text
from workshop.project.model import last_entry
from workshop.project.reading import dumps, loads, read

EXAMPLE = """\
format = 2
example = true

[project]
name = "Tarn bench"
units = "metric"
promised = 2026-04-18

[shop]
zone = "Europe/Berlin"

[shop.exceptions]
2026-03-20 = "closed"

[slab.ash-wide]
species = "ash, white"
bought = 2026-02-10
note = "Bought 2026-02-10"

[casting.seat]
length = "1400 mm"
resin = "slow-blue"
lifts = [
    { id = "base", to = "6 mm" },
    { id = "top", to = "52 mm", pour = 2026-03-11 },
]

[resin.slow-blue]
class = "slow casting"

[record.done.form.seat]
board-sound = 2026-02-28 09:15:00+01:00

[record.done.form.seat.level-both-ways]
at = 2026-03-05 20:30:00+01:00
rested-on = { "casting.seat.lifts.top.pour" = "2026-03-11", "shop.exceptions.2026-03-20" = "closed" }

[record.readings]
shop = [
    { at = 2026-03-07 08:30:00+01:00, temperature = "16.5 °C" },
    { at = 2026-03-09 17:40:00+01:00, temperature = "17 °C" },
]

[record.logged]
shop = [
    "2026-03-09 17:00:00+01:00 | every 10 min | temperature | 16.4 16.6 °C",
]

[record.journal]
changes = [
    "2026-03-08 19:10:00+01:00 | casting.seat.lifts.top.pour | 2026-03-10 | 2026-03-11",
]
photos = [
    "2026-03-04 19:25:00+01:00 | seat | photos/dry-fit.jpg | Dry fit",
]
notes = [
    "2026-03-09 19:45:00+01:00 | seat | Chips pushed back, as on 2026-03-08; code A-2026-03-08 stays.",
]
"""

ZONES = ("Europe/Berlin", "America/New_York", "Asia/Kolkata", "Australia/Lord_Howe", "UTC")


def copied(text: str, now: datetime) -> dict[str, Any]:
    return copy_of_example(load_text(text, "tarn-bench.toml"), now)


def test_the_last_entry_lies_exactly_an_hour_back() -> None:
    now = datetime(2027, 7, 1, 12, 0, tzinfo=UTC)
    copy = load_text(dumps(copied(EXAMPLE, now)), "copy.toml")
    assert last_entry(copy.file.record) == now - timedelta(hours=1)


def test_a_copy_is_no_example_and_else_keeps_its_keys_in_order() -> None:
    copy = copied(EXAMPLE, datetime(2027, 7, 1, 12, 0, tzinfo=UTC))
    assert list(copy) == [key for key in loads(EXAMPLE, Path("x")) if key != "example"]


def test_dates_times_calendar_days_and_lines_move_by_one_shift() -> None:
    # One year and a day, 366 days, after the last note, so that every day moves by 366.
    now = datetime(2027, 3, 10, 19, 45, tzinfo=timezone(timedelta(hours=1)))
    copy = copied(EXAMPLE, now)
    record = copy["record"]
    assert copy["project"]["promised"] == date(2027, 4, 19)
    assert copy["shop"]["exceptions"] == {"2027-03-21": "closed"}
    assert copy["slab"]["ash-wide"]["bought"] == date(2027, 2, 11)
    assert copy["casting"]["seat"]["lifts"][1]["pour"] == date(2027, 3, 12)
    assert str(record["readings"]["shop"][1]["at"]) == "2027-03-10 16:40:00+01:00"
    assert record["logged"]["shop"][0].startswith("2027-03-10 16:00:00+01:00 | every 10 min")
    assert record["journal"]["changes"] == [
        "2027-03-09 18:10:00+01:00 | casting.seat.lifts.top.pour | 2027-03-11 | 2027-03-12"
    ]
    assert record["journal"]["photos"][0].startswith("2027-03-05 18:25:00+01:00 | seat")


def test_a_note_keeps_words_that_only_look_like_a_date() -> None:
    now = datetime(2027, 3, 10, 19, 45, tzinfo=timezone(timedelta(hours=1)))
    [note] = copied(EXAMPLE, now)["record"]["journal"]["notes"]
    assert note == (
        "2027-03-10 18:45:00+01:00 | seat | Chips pushed back, as on 2027-03-09; code A-2026-03-08 stays."
    )


def test_what_a_check_rested_on_still_agrees_with_the_plan() -> None:
    copy = copied(EXAMPLE, datetime(2027, 7, 1, 12, 0, tzinfo=UTC))
    rested_on = copy["record"]["done"]["form"]["seat"]["level-both-ways"]["rested-on"]
    [day] = copy["shop"]["exceptions"]
    assert rested_on == {
        "casting.seat.lifts.top.pour": str(copy["casting"]["seat"]["lifts"][1]["pour"]),
        f"shop.exceptions.{day}": "closed",
    }


def test_in_summer_a_time_of_winter_gets_the_offset_of_summer() -> None:
    copy = copied(EXAMPLE, datetime(2026, 7, 1, 12, 0, tzinfo=UTC))
    [note] = copy["record"]["journal"]["notes"]
    assert note.startswith("2026-07-01 13:00:00+02:00 | ")


def test_nothing_moves_where_nothing_is_recorded() -> None:
    text = EXAMPLE[: EXAMPLE.index("[record")]
    copy = copied(text, datetime(2030, 1, 1, tzinfo=UTC))
    assert copy == {key: held for key, held in loads(text, Path("x")).items() if key != "example"}


def test_an_example_is_copied_once_and_never_written(tmp_path: Path) -> None:
    example, folder = tmp_path / "tarn-bench.toml", tmp_path / "projects"
    example.write_text(EXAMPLE, encoding="utf-8")
    now = datetime(2027, 7, 1, 12, 0, tzinfo=UTC)
    copy = open_path(example, folder, now)
    assert copy == folder / "my-tarn-bench.toml"
    assert example.read_text(encoding="utf-8") == EXAMPLE
    first = copy.read_bytes()
    assert dumps(read(copy).document).encode() == first
    assert open_path(example, folder, now + timedelta(days=3)) == copy
    assert copy.read_bytes() == first


def test_a_project_that_is_no_example_is_opened_itself(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("format = 2\n", encoding="utf-8")
    assert open_path(path, tmp_path / "projects", datetime(2027, 7, 1, tzinfo=UTC)) == path
    assert list(tmp_path.iterdir()) == [path]


def test_an_example_of_which_a_date_would_leave_the_calendar_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "odd.toml"
    path.write_text(EXAMPLE.replace("2026-04-18", "9999-12-31"), encoding="utf-8")
    with pytest.raises(FileFault, match="cannot be moved"):
        open_path(path, tmp_path / "projects", datetime(2027, 7, 1, tzinfo=UTC))


def moment(at: datetime, minutes: int) -> datetime:
    return at.replace(microsecond=0, tzinfo=UTC).astimezone(timezone(timedelta(minutes=minutes)))


def intervals(held: Sequence[Any]) -> list[timedelta]:
    return [late - early for early, late in pairwise(held)]


moments = st.builds(
    moment, st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1)), st.integers(-12 * 60, 14 * 60)
)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    st.lists(moments, min_size=1, max_size=6),
    st.datetimes(datetime(1950, 1, 1), datetime(2150, 1, 1)),
    st.sampled_from(ZONES),
)
def test_intervals_between_times_are_kept(times: list[datetime], now: datetime, zone: str) -> None:
    document = {
        "format": 2,
        "shop": {"zone": zone},
        "record": {
            "readings": {"shop": [{"at": at} for at in times]},
            "journal": {"notes": [f"{at} | shop | aired" for at in times]},
        },
    }
    text = dumps(document)
    now = now.replace(tzinfo=UTC)
    copy = copied(text, now)
    again = loads(dumps(copy), Path("copy.toml"))
    moved = [row["at"] for row in again["record"]["readings"]["shop"]]
    lines = [datetime.fromisoformat(line.split(" | ")[0]) for line in again["record"]["journal"]["notes"]]

    assert lines == moved
    assert intervals(moved) == intervals(times)
    assert max(moved) == now.replace(microsecond=0) - timedelta(hours=1)
    assert again == copy
    assert dumps(again) == dumps(copy)
    for at in moved:
        assert at.microsecond == 0
        local = at.astimezone(ZoneInfo(zone))
        # Before there were zones their offsets had seconds, which TOML cannot write.
        assert abs(at.utcoffset() - local.utcoffset()) <= timedelta(seconds=0 if local.year > 1945 else 30)


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    st.lists(st.dates(date(1990, 1, 1), date(2100, 1, 1)), min_size=2, max_size=5),
    moments,
    st.datetimes(datetime(1950, 1, 1), datetime(2150, 1, 1)),
)
def test_days_stay_as_far_apart_as_they_were_and_near_to_the_times(
    days: list[date], last: datetime, now: datetime
) -> None:
    document = {
        "format": 2,
        "casting": {
            "seat": {"lifts": [{"id": f"l{number}", "pour": day} for number, day in enumerate(days, 1)]}
        },
        "record": {"readings": {"shop": [{"at": last}]}},
    }
    now = now.replace(tzinfo=UTC)
    copy = copied(dumps(document), now)
    moved = [row["pour"] for row in copy["casting"]["seat"]["lifts"]]
    assert intervals(moved) == intervals(days)
    shift = copy["record"]["readings"]["shop"][0]["at"] - last
    assert abs((moved[0] - days[0]) - shift) <= timedelta(hours=12)
