"""A new project from a few answers."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.project.loading import load_text
from workshop.project.project import dump
from workshop.project.reading import dumps
from workshop.project.starting import QUESTIONS, new_document, with_own, wrong_answer

SHELF = {
    "name": "Gannet shelf",
    "units": "us",
    "zone": "America/New_York",
    "species": "hickory",
    "slab-length": "5 ft 4 in",
    "slab-width": "8 in",
    "slab-thickness": "1 7/8 in",
    "casting": "shelf",
    "length": "5 ft",
    "width": "9 in",
    "thickness": "1 1/2 in",
    "resin-class": "slow casting",
}

WRITTEN = """\
format = 2

[project]
name = "Gannet shelf"
units = "us"

[shop]
zone = "America/New_York"

[slab.hickory]
species = "hickory"
length = "5 ft 4 in"
width = "8 in"
thickness = "1 7/8 in"

[piece.p1]
slab = "hickory"
casting = "shelf"

[piece.p2]
slab = "hickory"
casting = "shelf"

[resin.resin-1]
class = "slow casting"

[casting.shelf]
length = "5 ft"
width = "9 in"
thickness = "1 1/2 in"
resin = "resin-1"
"""


def test_answers_give_a_file_as_a_maker_would_write_it() -> None:
    assert dumps(new_document(SHELF)) == WRITTEN


def test_no_answers_give_a_project_in_which_all_is_unknown() -> None:
    project = load_text(dumps(new_document({})), "new.toml")
    [slab], [casting] = project.file.slab.values(), project.file.casting.values()
    assert (slab.species, slab.length, casting.length, casting.thickness) == (None, None, None, None)
    assert list(project.file.pieces_of(next(iter(project.file.casting)))) == ["p1", "p2"]


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.sets(st.sampled_from(sorted(SHELF))))
def test_any_part_of_the_answers_gives_a_valid_file_that_comes_back_as_it_was(known: set[str]) -> None:
    text = dumps(new_document({key: SHELF[key] for key in known}))
    assert dump(load_text(text, "new.toml")) == text


@settings(deadline=None, derandomize=True, max_examples=100)
@given(st.text(max_size=30), st.text(max_size=30))
def test_any_words_for_species_and_casting_give_ids_that_the_file_takes(species: str, casting: str) -> None:
    text = dumps(new_document({"species": species, "casting": casting}))
    assert len(load_text(text, "new.toml").file.casting) == 1


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: str(question.key))
def test_each_question_takes_its_own_example(question: object) -> None:
    key, example = question.key, question.example  # type: ignore[attr-defined]
    for answer in ("metric", "us") if key == "units" else (example.split(" or ")[0].split(", medium")[0],):
        assert wrong_answer(key, answer) == ""


@pytest.mark.parametrize(
    ("key", "text", "says"),
    [
        ("units", "furlongs", "us"),
        ("zone", "Tarn/Side", "zone"),
        ("species", "hickry", "hickory"),
        ("slab-length", "60", "unit"),
        ("slab-thickness", "-2 in", "above zero"),
        ("length", "5 kg", "length"),
        ("casting", "upper", "seat"),
        ("casting", "???", "seat"),
        ("resin-class", "gelatine", "slow-casting"),
    ],
)
def test_a_wrong_answer_is_explained_in_one_line(key: str, text: str, says: str) -> None:
    wrong = wrong_answer(key, text)
    assert says in wrong and "\n" not in wrong


OWN: dict[str, dict[str, Any]] = {
    "project": {"currency": "USD"},
    "shop": {"temperature-low": "62 °F", "humidity": "45 %"},
    "person": {"ana": {"lifting": "20 kg"}},
    "tool": {"saw": {"kerf": "1.8 mm"}, "hickory": {"volume": "5 L"}},
    "price": {"hourly": "40.00 USD"},
}


def test_what_the_maker_brings_stands_in_the_new_project_and_answers_go_before() -> None:
    document = with_own(new_document(SHELF), {**OWN, "project": {"currency": "USD", "units": "metric"}})
    file = load_text(dumps(document), "new.toml").file
    assert (file.project.units, file.project.currency) == ("us", "USD")
    assert file.shop.zone == "America/New_York"
    assert file.shop.humidity is not None and file.shop.humidity.text == "45 %"
    assert file.price.hourly is not None and list(file.person) == ["ana"]
    assert list(document)[:5] == ["format", "project", "shop", "person", "tool"]


def test_a_tool_called_like_something_of_the_project_gets_a_number() -> None:
    document = with_own(new_document({**SHELF, "casting": "saw"}), OWN)
    assert list(document["tool"]) == ["saw-2", "hickory-2"]
    assert list(load_text(dumps(document), "new.toml").file.casting) == ["saw"]


def test_of_a_maker_who_brings_nothing_the_document_stays_as_it_is() -> None:
    document = new_document(SHELF)
    assert dumps(with_own(document, {})) == dumps(document)


def test_a_later_change_in_one_project_does_not_reach_the_tables_it_came_from() -> None:
    document = with_own(new_document(SHELF), OWN)
    document["tool"]["saw"]["kerf"] = "3 mm"
    assert OWN["tool"]["saw"] == {"kerf": "1.8 mm"}
