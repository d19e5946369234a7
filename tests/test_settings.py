"""The maker's own settings: validated like a project, with defaults for all that is not said."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from workshop.project.faults import FileFaults
from workshop.project.hours import QuietHours
from workshop.settings import DEFAULTS, is_quiet, own_tables, read_settings, settings_from, with_setting

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
