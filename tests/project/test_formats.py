"""A project file says first which format it has, and an older one is brought up to date."""

from pathlib import Path
from typing import Any

import pytest

from workshop.project.faults import FileFault
from workshop.project.formats import FORMAT, MIGRATIONS, current
from workshop.project.reading import loads

PATH = Path("projects/tarn.toml")


def with_promised_renamed(document: dict[str, Any]) -> dict[str, Any]:
    """An invented migration: a key of the project gets another name."""
    project = document["project"]
    project["due"] = project.pop("promised")
    return document


def with_units_given(document: dict[str, Any]) -> dict[str, Any]:
    """An invented migration: what was assumed before is said."""
    document["project"]["units"] = "metric"
    return document


def brought_up(text: str, **how: Any) -> dict[str, Any]:
    return current(loads(text, PATH), PATH, text, **how)


def test_there_is_a_migration_from_every_older_format() -> None:
    assert len(MIGRATIONS) == FORMAT - 1


def test_a_file_of_the_present_format_is_left_as_it_is() -> None:
    document = {"format": FORMAT, "project": {"name": "Tarn bench"}}
    assert current(document, PATH, "format = 1\n") is document


def test_a_file_without_a_format_is_told_to_put_it_first() -> None:
    with pytest.raises(FileFault) as told:
        brought_up('[project]\nname = "Tarn bench"\n')
    assert told.value.line == 1
    assert f"put format = {FORMAT} on the first line" in str(told.value)


def test_a_file_from_a_newer_program_is_refused_in_one_sentence() -> None:
    with pytest.raises(FileFault) as told:
        brought_up("# by hand\nformat = 7\n")
    assert str(told.value) == (
        f"{PATH}, line 2, format: the file has format 7 and this program reads up to {FORMAT}; "
        "open it with a newer version of this program."
    )


@pytest.mark.parametrize("number", ['"1"', "0", "-1", "1.0", "true", "[1]"])
def test_a_format_that_is_no_whole_number_from_one_is_refused(number: str) -> None:
    with pytest.raises(FileFault, match="not a whole number"):
        brought_up(f"format = {number}\n")


def test_an_older_file_passes_through_every_migration_from_its_format_on() -> None:
    migrations = (with_promised_renamed, with_units_given)
    oldest = 'format = 1\n[project]\npromised = "2026-04-18"\n'
    assert brought_up(oldest, migrations=migrations) == {
        "format": 3,
        "project": {"due": "2026-04-18", "units": "metric"},
    }
    middle = 'format = 2\n[project]\ndue = "2026-04-18"\n'
    assert brought_up(middle, migrations=migrations) == brought_up(oldest, migrations=migrations)


def test_a_file_of_the_first_format_only_gains_keys_it_may_hold() -> None:
    text = 'format = 1\n[slab.ash]\nunit = "mm"\nsaw-lines = [{ id = "s1", square-at = 20 }]\n'
    assert brought_up(text) == {**loads(text, PATH), "format": FORMAT}


def test_migrating_leaves_the_document_that_was_read_alone() -> None:
    read = {"format": 1, "project": {"promised": "2026-04-18"}}
    migrated = current(read, PATH, "format = 1\n", migrations=(with_promised_renamed,))
    assert read == {"format": 1, "project": {"promised": "2026-04-18"}}
    assert list(migrated) == ["format", "project"]
