"""The journal: everything that happened, in order, to search, to export, to strike and to correct."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import EXAMPLES, example
from tests.project.documents import documents
from tests.test_undo import without_traces
from workshop.checking import CHECKLIST
from workshop.journal import (
    KINDS,
    SEVERAL,
    Entry,
    NotInJournal,
    as_text,
    corrected,
    editable,
    entries,
    last_done,
    search,
    struck,
)
from workshop.plan import plan
from workshop.project import changes
from workshop.project.changes import History
from workshop.project.doing import reading_taken
from workshop.project.faults import FileFaults
from workshop.project.loading import load_text
from workshop.project.path import spell
from workshop.project.project import Project, dump, from_document
from workshop.quantity import METRIC, Units
from workshop.shapes import plan_json
from workshop.stages import STAGES

NOW = datetime(2026, 3, 9, 20, 40, tzinfo=UTC)
BERLIN = ZoneInfo("Europe/Berlin")
BENCH = example("tarn-bench")
BENCH_ENTRIES = entries(BENCH)


def one(project: Project, words: str) -> Entry:
    """The single entry that holds the words."""
    [found] = search(entries(project), words)
    return found


def test_the_journal_runs_forward_in_time() -> None:
    times = [entry.at for entry in BENCH_ENTRIES if entry.at is not None]
    assert times == sorted(times) and len(times) == len(BENCH_ENTRIES)


def test_every_kind_of_thing_that_happened_is_in_it() -> None:
    kinds = {entry.kind for entry in BENCH_ENTRIES}
    assert kinds == set(KINDS) - {"struck"}


def test_a_pour_reads_as_a_maker_would_say_it() -> None:
    held = one(BENCH, "29.1")
    assert (held.kind, held.subject, held.stage) == ("poured", "seat/strip", "lifts")
    assert held.say() == "poured to 29.1 mm, resin at 21 °C"
    assert held.say(Units("us")) == "poured to 1 1/8 in, resin at 69.8 °F"


def test_a_batch_is_weighed_mixed_and_in_the_form() -> None:
    said = [entry.say() for entry in BENCH_ENTRIES if entry.key.startswith("record.batch.b3")]
    assert said == ["batch b3: A 885 g, B 376 g", "batch b3: mixing ended", "batch b3: in the form"]


def test_a_timer_that_ended_has_a_start_and_an_end() -> None:
    said = [
        (entry.at, entry.say())
        for entry in search(BENCH_ENTRIES, "leak watch", casting="seat", kind="timer")
        if entry.key.startswith("record.ended")
    ]
    assert [words for _, words in said] == ["Leak watch started", "Leak watch ended"]


def test_readings_of_one_moment_are_one_entry() -> None:
    made = BENCH
    for place in ("near left", "far right"):
        made = reading_taken(made, "seat/top", {"depth": "51 mm", "place": place}, NOW, CHECKLIST)
    held = one(made, "51 mm")
    assert held.say() == "depth 51 mm at near left; depth 51 mm at far right"
    assert held.key.count(SEVERAL) == 1


def test_a_note_belongs_to_the_stage_that_was_in_work() -> None:
    assert one(BENCH, "drank twice").stage == "seal-coat"
    assert one(BENCH, "gap 111").stage == "form"
    assert one(BENCH, "chips shifted").stage == "lifts"


def test_the_last_thing_done_is_what_a_maker_did() -> None:
    held = last_done(BENCH_ENTRIES, NOW)
    assert held is not None and held.say() == "temperature 17.5 °C, humidity 52 %"
    earlier = last_done(BENCH_ENTRIES, datetime(2026, 3, 9, 18, 46, tzinfo=UTC))
    assert earlier is not None and earlier.kind == "note"
    assert last_done(BENCH_ENTRIES, datetime(2020, 1, 1, tzinfo=UTC)) is None


# Search


def test_search_narrows_by_stage_casting_and_kind() -> None:
    assert {entry.stage for entry in search(BENCH_ENTRIES, stage="form")} == {"form"}
    assert {entry.subject.split("/")[0] for entry in search(BENCH_ENTRIES, casting="rail")} == {"rail"}
    assert {entry.kind for entry in search(BENCH_ENTRIES, kind="reading")} == {"reading"}
    assert search(BENCH_ENTRIES, "no such thing ever") == ()


@pytest.mark.parametrize("name", EXAMPLES)
@given(data=st.data())
def test_search_finds_every_word_whatever_its_case(name: str, data: st.DataObject) -> None:
    found = entries(example(name))
    if not found:
        return
    entry = data.draw(st.sampled_from(found))
    words = entry.say(METRIC).split()
    some = data.draw(st.lists(st.sampled_from(words), min_size=1, max_size=3))
    assert entry in search(found, " ".join(some).upper())


def test_a_stage_is_found_by_its_title() -> None:
    title = next(stage.title for stage in STAGES if stage.id == "seal-coat")
    assert one(BENCH, "drank twice") in search(BENCH_ENTRIES, title)


# Export


def test_the_export_has_a_line_for_each_entry_under_its_day() -> None:
    lines = as_text(BENCH_ENTRIES, METRIC, BERLIN).splitlines()
    assert sum(line.startswith("  ") for line in lines) == len(BENCH_ENTRIES)
    monday = lines.index("Monday 9 March 2026")
    assert any(line == "  19:31  seat/strip: poured to 29.1 mm, resin at 21 °C" for line in lines[monday:])


def test_an_empty_journal_says_so() -> None:
    assert as_text(entries(example("gannet-shelf"))) == "Nothing happened yet.\n"


@settings(max_examples=60)
@given(documents)
def test_the_export_loses_no_line_of_any_project(document: dict[str, object]) -> None:
    project = from_document(document, "any.toml")
    found = entries(project)
    text = as_text(found, project.units, BERLIN)
    lines = [line for line in text.splitlines() if line.startswith("  ")]
    assert len(lines) == len(found)
    record = project.file.record
    wanted = (
        len(record.journal.notes)
        + len(record.journal.photos)
        + len(record.journal.changes)
        + len(record.journal.struck)
        + len(record.timer)
        + 2 * sum(len(rows) for rows in record.ended.values())
        + sum(len(checks) for held in record.done.values() for checks in held.values())
        + len(record.batch)
        + len(record.poured)
        + len(record.placed)
        + len(record.worked)
        + sum(len(held) for held in record.accepted.values())
        + sum(len({row.at for row in rows}) for rows in record.readings.values())
        + sum(len(lines) for lines in record.logged.values())
    )
    more = sum(timer.heard is not None for timer in record.timer.values()) + sum(
        (held.mix_end is not None) + (held.in_form is not None) for held in record.batch.values()
    )
    assert len(found) == wanted + more
    for note in record.journal.notes:
        words = "".join(sign if sign.isprintable() else "·" for sign in " ".join(note.said.split()))
        assert words in text


def test_a_note_cannot_steer_the_terminal() -> None:
    made = changes.noted(BENCH, "seat", "\x1b[2J gone", NOW)
    assert "\x1b" not in as_text(entries(made))


# Strike and correct


def test_a_struck_note_is_gone_and_stays_as_struck_with_the_reason() -> None:
    key = one(BENCH, "chips shifted").key
    made = struck(BENCH, key, "wrong casting", NOW)
    [held] = search(entries(made), "chips shifted")
    assert held.struck and held.kind == "struck"
    assert "wrong casting" in held.say() and held.at == NOW
    assert len(made.file.record.journal.notes) == len(BENCH.file.record.journal.notes) - 1


@pytest.mark.parametrize(
    ("words", "kind", "place"),
    [
        ("20.9", "reading", ("record", "readings", "seat/base")),
        ("885 g", "batch", ("record", "batch", "b3")),
        ("saw's reach", "check", ("record", "done", "stock-prep", "project", "saw-reach-tested")),
    ],
)
def test_a_reading_a_batch_and_a_check_can_be_struck(words: str, kind: str, place: tuple[str, ...]) -> None:
    [entry] = search(BENCH_ENTRIES, words, kind=kind)
    made = struck(BENCH, entry.key, "a mistake", NOW)
    assert changes.value_at(made, place) is None
    assert made.file.record.journal.struck[-1].path == spell(place)


def test_the_time_that_mixing_ended_is_struck_without_its_batch() -> None:
    made = struck(BENCH, "record.batch.b3.mix-end", "still stirring", NOW)
    assert made.file.record.batch["b3"].mix_end is None and made.file.record.batch["b3"].a is not None


def test_readings_of_one_moment_are_struck_together() -> None:
    made = BENCH
    for place in ("near left", "far right"):
        made = reading_taken(made, "seat/top", {"depth": "51 mm", "place": place}, NOW, CHECKLIST)
    made = struck(made, one(made, "51 mm").key, "wrong lift", NOW)
    assert "seat/top" not in made.file.record.readings
    assert len(made.file.record.journal.struck) == 2


def test_a_note_is_corrected_where_it_stands_and_the_old_words_are_kept() -> None:
    entry = one(BENCH, "chips shifted")
    assert editable(BENCH, entry.key) == entry.say()
    made = corrected(BENCH, entry.key, "Chips shifted near | the cable.", NOW)
    [old, new] = sorted(search(entries(made), "chips shifted"), key=lambda held: not held.struck)
    assert (new.at, new.subject, new.say()) == (entry.at, entry.subject, "Chips shifted near / the cable.")
    assert old.struck and "pushed back with a stick" in old.say()


def test_a_reading_is_corrected_by_a_bare_value_or_key_by_key() -> None:
    key = one(BENCH, "20.9").key
    assert editable(BENCH, key) == "peak 20.9 °C"
    assert one(corrected(BENCH, key, "32.5 °C", NOW), "32.5").say() == "peak 32.5 °C"
    moisture = one(BENCH, "10.9").key
    assert editable(BENCH, moisture) == "moisture 10.9 %; place 760, 0 mm; deep 10 mm"
    made = corrected(BENCH, moisture, "moisture 11.9 %; place 700, 0 mm", NOW)
    assert one(made, "700, 0").say() == "moisture 11.9 % at 700, 0 mm"


def test_a_batch_is_corrected_and_a_check_gets_its_right_time() -> None:
    made = corrected(BENCH, "record.batch.b3", "a 886 g; b 377 g", NOW)
    held = made.file.record.batch["b3"]
    assert held.a is not None and held.b is not None and (held.a.text, held.b.text) == ("886 g", "377 g")
    assert held.mix_start == BENCH.file.record.batch["b3"].mix_start
    key = 'record.done.lifts."seat/strip".depth-read'
    timed = corrected(BENCH, key, "2026-03-09 19:50", NOW)
    assert timed.file.record.done["lifts"]["seat/strip"]["depth-read"].at == datetime(
        2026, 3, 9, 18, 50, tzinfo=UTC
    )


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("record.journal.notes.0", "  ", "needs words"),
        ('record.done.lifts."seat/strip".depth-read', "later", "is not a time"),
        ("record.readings.shop.0", "temperature 17 °C; warm", "begins with no key"),
        ("record.readings.shop.0", "place at the door", "No value is left"),
        ("record.readings.shop.99", "17 °C", "not there any more"),
        ("casting.seat.length", "1 m", "cannot be struck"),
        ('record.placed."seat/near"', "14 mm", "cannot be corrected"),
    ],
)
def test_what_cannot_be_corrected_is_said_in_one_sentence(key: str, text: str, says: str) -> None:
    with pytest.raises(NotInJournal, match=says):
        corrected(BENCH, key, text, NOW)


def test_a_value_that_cannot_be_is_refused() -> None:
    with pytest.raises(FileFaults):
        corrected(BENCH, "record.batch.b3", "a a lot", NOW)


CORRECTABLE = [entry for entry in BENCH_ENTRIES if entry.kind in ("note", "reading", "batch", "check")]


@settings(max_examples=60)
@given(st.sampled_from(CORRECTABLE))
def test_what_is_typed_unchanged_changes_nothing(entry: Entry) -> None:
    assert corrected(BENCH, entry.key, editable(BENCH, entry.key), NOW).document == BENCH.document


@settings(max_examples=25)
@given(st.sampled_from(CORRECTABLE), st.booleans())
def test_striking_and_correcting_are_undone_like_all_else(entry: Entry, strike: bool) -> None:
    if strike:
        made = struck(BENCH, entry.key, "a mistake", NOW)
    elif entry.kind == "note":
        made = corrected(BENCH, entry.key, "Said better.", NOW)
    else:
        return
    later = NOW + timedelta(minutes=1)
    _, restored, _ = History().after("strike", BENCH, made).undone(made, later)
    assert without_traces(restored) == without_traces(BENCH)
    assert plan_json(plan(restored)) == plan_json(plan(BENCH))
    assert load_text(dump(restored), "again.toml").document == restored.document
