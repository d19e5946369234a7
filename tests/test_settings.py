"""The maker's own settings: validated like a project, with defaults for all that is not said."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from workshop.project.faults import FileFault, FileFaults
from workshop.project.hours import QuietHours
from workshop.settings import (
    DEFAULTS,
    is_quiet,
    keep_setting,
    own_tables,
    quiet_until,
    read_settings,
    settings_from,
    with_setting,
)

PLACE = Path("settings.toml")


def test_without_a_file_every_setting_has_its_default(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "settings.toml") == DEFAULTS
    assert own_tables(tmp_path / "settings.toml") == {}


def test_what_is_set_is_read() -> None:
    held = settings_from(
        'units = "us"\ntheme = "daylight"\n[keys]\nundo = "z"\n[tool.saw]\nkerf = "1.8 mm"\n', PLACE
    )
    assert (held.units, held.theme, held.keys["undo"]) == ("us", "daylight", "z")
    assert held.tool["saw"].kerf is not None


def test_every_fault_is_named_with_its_line() -> None:
    text = 'theme = "neon"\nquiet = "late"\n\n[shop]\nhumidity = "wet"\ntemprature-low = "15 °C"\n'
    with pytest.raises(FileFaults) as caught:
        settings_from(text, PLACE)
    assert [fault.line for fault in caught.value.faults] == [1, 2, 5, 6]
    assert "temperature-low" in str(caught.value)


def test_one_setting_changed_keeps_the_others(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('format = 1\nunits = "us"\n', encoding="utf-8")
    held = settings_from(with_setting(path, "theme", "contrast"), path)
    assert (held.units, held.theme) == ("us", "contrast")


@pytest.mark.parametrize(
    ("hour", "quiet"), [(21, False), (22, True), (23, True), (0, True), (6, True), (7, False), (12, False)]
)
def test_quiet_hours_run_past_midnight(hour: int, quiet: bool) -> None:
    night = QuietHours.read("22:00 to 7:00")
    assert is_quiet(night, datetime(2026, 3, 9, hour, 0, tzinfo=UTC), UTC) is quiet


def test_without_quiet_hours_everything_rings() -> None:
    assert not is_quiet(None, datetime(2026, 3, 9, 3, 0, tzinfo=UTC), UTC)


@pytest.mark.parametrize(
    "text",
    [
        '# mine\nformat = 1\ntheme = "dusk"  # for the evening\n\n[keys]\nundo = "z" # by the thumb\n',
        '# mine\nformat = 1\n\n[keys]\nundo = "z" # by the thumb\n',
        '[keys]\nundo = "z" # by the thumb\n',
    ],
)
def test_a_setting_changed_leaves_what_else_the_maker_wrote(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text, encoding="utf-8")
    keep_setting(path, "theme", "daylight")
    kept = path.read_text(encoding="utf-8")
    assert settings_from(kept, path).theme == "daylight"
    assert 'undo = "z" # by the thumb' in kept
    assert ("# mine" in kept) is ("# mine" in text)


def test_a_setting_over_several_lines_is_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('format = 1\ntheme = """\\\n  dusk"""\nunits = "us"\n', encoding="utf-8")
    held = settings_from(with_setting(path, "theme", "contrast"), path)
    assert (held.theme, held.units) == ("contrast", "us")


def test_the_first_setting_makes_the_file_and_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "config" / "workshop" / "settings.toml"
    keep_setting(path, "theme", "terminal")
    assert read_settings(path).theme == "terminal"


def test_a_link_to_settings_kept_elsewhere_stays_one(tmp_path: Path) -> None:
    kept, path = tmp_path / "kept.toml", tmp_path / "settings.toml"
    kept.write_text("format = 1\n", encoding="utf-8")
    path.symlink_to(kept)
    keep_setting(path, "theme", "daylight")
    assert path.is_symlink()
    assert read_settings(kept).theme == "daylight"


def test_settings_that_cannot_be_written_are_a_fault_in_a_sentence(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    with pytest.raises(FileFault, match="cannot be written"):
        keep_setting(blocked / "settings.toml", "theme", "daylight")


@pytest.mark.parametrize(
    ("hours", "hour", "until"),
    [
        ("22:00 to 7:00", 23, "7:00"),
        ("22:00 to 7:00", 6, "7:00"),
        ("22:00 to 7:00", 7, None),
        ("0:00 to 6:30, 22:00 to 24:00", 23, "6:30"),
        ("12:00 to 13:00, 20:00 to 6:15", 12, "13:00"),
        ("closed", 3, None),
    ],
)
def test_quiet_hours_say_when_they_end(hours: str, hour: int, until: str | None) -> None:
    assert quiet_until(QuietHours.read(hours), datetime(2026, 3, 9, hour, 0, tzinfo=UTC), UTC) == until
