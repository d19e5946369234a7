"""What differs between two states of a project, made again, taken back, and merged with another's edit."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import example
from tests.project.documents import documents
from workshop.project.changes import (
    ABSENT,
    Change,
    History,
    apply,
    changes,
    check_done,
    check_struck,
    check_waived,
    edited,
    finding_accepted,
    inverse,
    lift_inserted,
    local,
    merged,
    noted,
    stamp,
)
from workshop.project.loading import load_text
from workshop.project.path import Path
from workshop.project.project import Project

NOW = datetime(2026, 3, 9, 19, 40, 12, 345_678, tzinfo=UTC)
TO: Path = ("casting", "seat", "lifts", "strip", "to")

Document = dict[str, Any]


def without_empty_tables(held: Any) -> Any:
    """An empty table says nothing, so that it may come and go."""
    if isinstance(held, dict):
        kept = {key: without_empty_tables(inner) for key, inner in held.items()}
        return {key: inner for key, inner in kept.items() if inner != {}}
    return held


# Differences


def test_a_change_names_its_place_by_id_with_the_value_before_and_after() -> None:
    bench = example("tarn-bench")
    found = changes(bench.document, bench.with_value(TO, "31 mm").document)
    assert found == [Change(TO, "29 mm", "31 mm")]


def test_what_came_and_what_went_is_absent_on_one_side() -> None:
    assert changes({"a": 1}, {"b": 2}) == [Change(("a",), 1, ABSENT), Change(("b",), ABSENT, 2)]


def test_a_row_that_came_is_one_change_of_its_list() -> None:
    bench = example("tarn-bench")
    (found,) = changes(bench.document, lift_inserted(bench, "seat", "strip").document)
    assert found.path == ("casting", "seat", "lifts")


def test_a_truth_is_no_number() -> None:
    assert changes({"a": 1}, {"a": True}) == [Change(("a",), 1, True)]


@given(documents)
def test_a_document_does_not_differ_from_itself(document: Document) -> None:
    assert changes(document, document) == []


@given(documents, documents)
def test_changes_made_again_give_the_later_document(before: Document, after: Document) -> None:
    wanted = changes(before, after)
    assert without_empty_tables(apply(before, wanted)) == without_empty_tables(after)


@given(documents, documents)
def test_changes_taken_back_give_the_earlier_document(before: Document, after: Document) -> None:
    wanted = changes(before, after)
    assert without_empty_tables(apply(after, inverse(wanted))) == without_empty_tables(before)


@given(documents, documents)
def test_making_changes_alters_no_document_in_place(before: Document, after: Document) -> None:
    said = repr(before), repr(after)
    apply(before, changes(before, after))
    assert (repr(before), repr(after)) == said


# Merging with an edit from outside


def test_both_edits_stand_where_they_are_of_different_places() -> None:
    bench = example("tarn-bench")
    ours = bench.with_value(TO, "31 mm").document
    theirs = bench.with_value(("slab", "ash-wide", "thickness"), "50 mm").document
    together = merged(bench.document, ours, theirs)
    assert together["slab"]["ash-wide"]["thickness"] == "50 mm"
    assert together["casting"]["seat"]["lifts"][1]["to"] == "31 mm"


def test_our_edit_stands_where_both_are_of_the_same_place() -> None:
    bench = example("tarn-bench")
    ours, theirs = bench.with_value(TO, "31 mm").document, bench.with_value(TO, "27 mm").document
    assert merged(bench.document, ours, theirs) == ours


def test_our_edit_of_a_row_that_they_took_out_is_passed_over() -> None:
    bench = example("tarn-bench")
    rows = bench.document["casting"]["seat"]["lifts"]
    theirs = bench.with_value(("casting", "seat", "lifts"), [rows[0], rows[2]]).document
    assert merged(bench.document, bench.with_value(TO, "31 mm").document, theirs) == theirs


@given(documents, documents)
def test_without_an_edit_of_ours_theirs_stands(base: Document, theirs: Document) -> None:
    assert merged(base, base, theirs) == theirs


@given(documents, documents)
def test_without_an_edit_of_theirs_ours_stands(base: Document, ours: Document) -> None:
    assert without_empty_tables(merged(base, ours, base)) == without_empty_tables(ours)


# Actions


def test_a_moment_is_written_in_the_shops_zone_to_the_second() -> None:
    bench = example("tarn-bench")
    assert stamp(bench, NOW) == "2026-03-09 20:40:12+01:00"
    assert local(bench, datetime(2026, 3, 29, 1, 0, tzinfo=UTC)).isoformat() == "2026-03-29T03:00:00+02:00"
    assert local(bench, NOW) == NOW.replace(microsecond=0)


def test_an_edit_is_kept_as_typed_with_a_line_in_the_journal() -> None:
    later = edited(example("tarn-bench"), TO, " 1 3/16 in ", NOW)
    lift = later.file.casting["seat"].lifts[1].to
    assert lift is not None
    assert lift.text == " 1 3/16 in "
    line = later.file.record.journal.changes[-1]
    assert (line.path, line.old, line.new) == (".".join(map(str, TO)), "29 mm", "1 3/16 in")


@pytest.mark.parametrize(("text", "old", "new"), [("60 %", "55 %", "60 %"), (None, "55 %", "unknown")])
def test_a_value_may_become_unknown_again(text: str | None, old: str, new: str) -> None:
    later = edited(example("tarn-bench"), ("shop", "humidity"), text, NOW)
    held = later.file.shop.humidity
    assert (held.text if held is not None else None) == text
    line = later.file.record.journal.changes[-1]
    assert (line.old, line.new) == (old, new)


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="|\n\r\t"), max_size=60))
def test_any_text_stays_on_its_line_of_the_journal(text: str) -> None:
    later = noted(example("tarn-bench"), "seat", text, NOW)
    line = later.file.record.journal.notes[-1]
    assert line.subject == "seat"
    assert "\n" not in line.said
    assert line.at == NOW.replace(microsecond=0)
    assert len(later.file.record.journal.notes) == len(example("tarn-bench").file.record.journal.notes) + 1


def test_a_check_is_done_with_what_it_rested_on() -> None:
    rested = {"casting.seat.lifts.strip.to": "29 mm"}
    later = check_done(example("tarn-bench"), "lifts", "lid-on", "seat/strip", NOW, rested)
    entry = later.file.record.done["lifts"]["seat/strip"]["lid-on"]
    assert (entry.at, dict(entry.rested_on)) == (NOW.replace(microsecond=0), rested)


def test_a_check_waived_keeps_its_reason() -> None:
    later = check_waived(example("tarn-bench"), "lifts", "lid-on", "seat/strip", "No dust here", NOW)
    assert later.file.record.done["lifts"]["seat/strip"]["lid-on"].not_needed == "No dust here"


def test_a_check_struck_is_open_and_stays_in_the_journal() -> None:
    later = check_struck(example("tarn-bench"), "lifts", "depth-read", "seat/strip", NOW)
    assert "depth-read" not in later.file.record.done["lifts"]["seat/strip"]
    struck = later.file.record.journal.struck[-1]
    assert struck.path == 'record.done.lifts."seat/strip".depth-read'
    assert "2026-03-09 19:41:00+01:00" in struck.said


def test_a_finding_is_accepted_at_its_value_and_level() -> None:
    later = finding_accepted(example("tarn-bench"), "too-heavy", "seat", "Four of us", NOW, "46 kg", "warn")
    held = later.file.record.accepted["too-heavy"]["seat"]
    assert (held.value, held.level, held.reason) == ("46 kg", "warn", "Four of us")


def test_a_new_lift_takes_an_id_that_no_record_mentions() -> None:
    first = lift_inserted(example("tarn-bench"), "seat", "strip")
    (new,) = {lift.id for lift in first.file.casting["seat"].lifts} - {"base", "strip", "top"}
    done = check_done(first, "lifts", "lid-on", f"seat/{new}", NOW)
    rows = [row for row in done.document["casting"]["seat"]["lifts"] if row["id"] != new]
    gone = done.with_value(("casting", "seat", "lifts"), rows)
    again = lift_inserted(gone, "seat", "strip")
    assert new not in {lift.id for lift in again.file.casting["seat"].lifts}


# Undo


def undone(before: Project, after: Project, name: str = "something") -> Project:
    """The project with its last action taken back a minute later."""
    return History().after(name, before, after).undone(after, NOW + timedelta(minutes=1))[1]


def test_an_action_that_changes_nothing_leaves_nothing_to_undo() -> None:
    bench = example("tarn-bench")
    assert History().after("look", bench, bench) == History()


def test_undoing_an_edit_strikes_its_line() -> None:
    bench = example("tarn-bench")
    restored = undone(bench, edited(bench, TO, "31 mm", NOW))
    journal = restored.file.record.journal
    assert journal.changes == bench.file.record.journal.changes
    (struck,) = journal.struck
    assert "casting.seat.lifts.strip.to | 29 mm | 31 mm" in struck.text


def test_undoing_a_check_strikes_it() -> None:
    bench = example("tarn-bench")
    restored = undone(bench, check_done(bench, "lifts", "lid-on", "seat/strip", NOW))
    assert "lid-on" not in restored.file.record.done["lifts"]["seat/strip"]
    assert "lid-on" in restored.file.record.journal.struck[-1].path


def test_undoing_one_of_two_like_notes_leaves_the_other() -> None:
    bench = example("tarn-bench")
    once = noted(bench, "seat", "dust", NOW)
    restored = undone(once, noted(once, "seat", "dust", NOW))
    assert restored.file.record.journal.notes == once.file.record.journal.notes


def test_undo_leaves_what_was_written_since_from_outside() -> None:
    bench = example("tarn-bench")
    after = edited(bench, TO, "31 mm", NOW)
    outside = noted(after, "seat", "from outside", NOW).with_value(("slab", "ash-wide", "thickness"), "50 mm")
    history = History().after("edit", bench, after)
    _, restored, _ = history.undone(outside, NOW)
    assert restored.document["slab"]["ash-wide"]["thickness"] == "50 mm"
    assert restored.file.record.journal.notes[-1].said == "from outside"
    assert restored.document["casting"]["seat"]["lifts"][1]["to"] == "29 mm"


def test_undo_stands_where_a_note_is_gone_already() -> None:
    bench = example("tarn-bench")
    after = noted(bench, "seat", "dust", NOW)
    emptied = after.without(("record", "journal", "notes"))
    _, restored, _ = History().after("note", bench, after).undone(emptied, NOW)
    assert restored.file.record.journal.notes == ()


def test_a_project_of_which_nothing_is_known_takes_a_note_and_its_undo() -> None:
    empty = load_text("format = 2\n", "new.toml")
    after = noted(empty, "project", "begun", NOW)
    assert undone(empty, after).file.record.journal.notes == ()
