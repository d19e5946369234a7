"""A file's text becomes a project, or every fault of it with its line."""

from datetime import date, datetime
from pathlib import Path
from time import perf_counter
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.project.documents import Document, documents
from workshop.project.faults import FileFaults
from workshop.project.formats import FORMAT
from workshop.project.loading import load_text
from workshop.project.path import find, put
from workshop.project.project import Project, dump, from_document
from workshop.project.reading import dumps

EXAMPLES = Path(__file__).parents[2] / "projects"
BENCH = (EXAMPLES / "tarn-bench.toml").read_text(encoding="utf-8")
quiet = settings(deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module")
def bench() -> Project:
    return load_text(BENCH, "tarn-bench.toml")


def faults_of(text: str) -> list[tuple[int | None, str]]:
    with pytest.raises(FileFaults) as caught:
        load_text(text, "bench.toml")
    return [(fault.line, str(fault)) for fault in caught.value.faults]


def line_with(text: str, part: str, after: str = "") -> int:
    start = text.index(after) if after else 0
    return text.count("\n", 0, text.index(part, start)) + 1


def test_five_wrong_values_give_five_messages_each_with_its_line() -> None:
    wrong = (
        ('humidity = "55 %"', 'humidity = "155 %"'),
        ('kerf = "1.8 mm"', 'kerf = "1.8 kg"'),
        ("bought = 2026-02-10", 'bought = "in spring"'),
        ('slab = "ash-rail"', 'slab = "ash-rial"'),
        ('grip = "fair"', 'grip = "firm"'),
    )
    text = BENCH
    for right, put_instead in wrong:
        text = text.replace(right, put_instead, 1)
    found = faults_of(text)
    assert [line for line, _ in found] == [line_with(text, put_instead) for _, put_instead in wrong]
    for (line, message), (_, put_instead) in zip(found, wrong, strict=True):
        assert message.startswith(f"bench.toml, line {line}, ")
        assert put_instead.split('"')[1] in message
        assert "; " in message


def test_the_same_wrong_key_in_two_tables_is_found_in_each() -> None:
    text = BENCH.replace('thickness = "52 mm"', 'thicknes = "52 mm"')
    found = faults_of(text)
    assert [line for line, _ in found] == [
        line_with(text, "thicknes =", "[slab.ash-wide]"),
        line_with(text, "thicknes =", "[slab.ash-narrow]"),
    ]
    assert all("unknown key `thicknes`; did you mean `thickness`?" in message for _, message in found)


def test_a_wrong_row_of_a_list_is_named_by_its_id() -> None:
    text = BENCH.replace('to = "29 mm"', 'to = "5 mm"')
    line = line_with(text, '{ id = "strip", to = "5 mm" }')
    assert faults_of(text)[0][1].startswith(f"bench.toml, line {line}, casting.seat.lifts.strip.to: ")


def test_a_text_that_is_no_toml_says_where() -> None:
    assert faults_of("format = 2\n[slab.oak\n")[0][0] == 2


def test_a_value_is_found_by_the_keys_of_the_file(bench: Project) -> None:
    assert bench.at(("casting", "seat", "lifts", "strip", "to")).text == "29 mm"
    assert (
        bench.at(("record", "done", "form", "seat", "water-test", "not-needed"))
        == "The board's edge would swell"
    )
    assert bench.at(("shop", "quiet")) is None
    assert bench.at(("casting", "gone", "lifts")) is None


def test_a_changed_value_makes_a_new_project_and_leaves_the_old_one(bench: Project) -> None:
    path = ("casting", "seat", "lifts", "strip", "to")
    changed = bench.with_value(path, "28 mm")
    assert (bench.at(path).text, changed.at(path).text) == ("29 mm", "28 mm")
    assert changed.file.slab is bench.file.slab
    assert changed.file.record is bench.file.record
    assert changed.file.casting["rail"] is bench.file.casting["rail"]
    assert changed.with_value(path, "29 mm") == bench
    assert bench.without(("carry", "grip")).at(("carry", "grip")) is None


def test_a_value_that_cannot_stand_is_refused_and_nothing_is_changed(bench: Project) -> None:
    with pytest.raises(FileFaults, match=r"casting\.seat\.lifts\.strip\.to: .* is not a length"):
        bench.with_value(("casting", "seat", "lifts", "strip", "to"), "deep")
    with pytest.raises(FileFaults, match="there is no slab 'ash-wide'"):
        bench.without(("slab", "ash-wide"))


def test_a_change_of_one_value_is_validated_in_under_15_ms(bench: Project) -> None:
    began = perf_counter()
    for number in range(20):
        bench.with_value(("casting", "seat", "lifts", "strip", "to"), f"{20 + number / 8} mm")
    assert (perf_counter() - began) / 20 < 0.015


def test_ids_given_in_memory_are_written_at_the_next_save() -> None:
    text = 'format = 2\n\n[casting.seat]\nlifts = [\n    { to = "6 mm" },\n    { to = "29 mm" },\n]\n'
    written = dump(load_text(text, "seat.toml"))
    assert '{ id = "l1", to = "6 mm" }' in written
    assert dump(load_text(written, "seat.toml")) == written


@quiet
@given(documents)
def test_any_valid_project_survives_saving_and_loading(document: Document) -> None:
    project = from_document(document, "any.toml")
    text = dump(project)
    again = load_text(text, "any.toml")
    assert again.document == project.document
    assert again.file == project.file
    assert dump(again) == text


def leaves(held: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    if isinstance(held, dict):
        return [leaf for key, inner in held.items() for leaf in leaves(inner, (*path, key))]
    if isinstance(held, list):
        return [leaf for number, inner in enumerate(held) for leaf in leaves(inner, (*path, number))]
    return [path]


LEAVES = leaves(load_text(BENCH, "").document)
QUANTITY_LIKE = st.text("0123456789./,:;- xtoamkgLin°C%²³|\"'\n½_+eE", max_size=200)


@settings(quiet, max_examples=400)
@given(
    st.sampled_from(LEAVES),
    st.one_of(
        st.text(max_size=200),
        QUANTITY_LIKE,
        st.sampled_from(
            (
                "",
                "nan",
                "inf",
                "1e999",
                "1/0",
                "[red]",
                "\0",
                "..",
                "/etc",
                "9" * 200,
                "upper",
                "AWG 999999",
                "-0",
            )
        ),
    ),
)
def test_no_text_as_a_value_does_anything_but_load_or_be_named_in_a_fault(
    path: tuple[str | int, ...], text: str
) -> None:
    document = put(load_text(BENCH, "").document, path, text)
    written = dumps(document)
    try:
        project = load_text(written, "bench.toml")
    except FileFaults as caught:
        message = str(caught)
        assert any(part in message for part in (text, repr(text), text.strip(), repr(text.strip()))), message
    else:
        assert find(project.document, path) == text
        assert dump(project) == written


@quiet
@given(st.text(max_size=200))
def test_no_text_as_a_whole_file_does_anything_but_load_or_name_its_faults(text: str) -> None:
    for whole in (text, f"format = 2\n{text}"):
        try:
            assert load_text(whole, "any.toml").file.format == FORMAT
        except FileFaults as caught:
            assert "any.toml" in str(caught)


@quiet
@given(
    st.sampled_from(LEAVES),
    st.recursive(
        st.one_of(
            st.integers(),
            st.floats(),
            st.booleans(),
            st.dates(date(1, 1, 1)),
            st.datetimes(datetime(1, 1, 1)),
        ),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)
        ),
        max_leaves=5,
    ),
)
def test_no_value_of_another_type_does_anything_but_load_or_be_refused(
    path: tuple[str | int, ...], value: Any
) -> None:
    written = dumps(put(load_text(BENCH, "").document, path, value))
    try:
        assert load_text(written, "bench.toml").file.format == FORMAT
    except FileFaults as caught:
        assert all(fault.line is not None for fault in caught.faults)
