"""The folder where projects live: which one it is, what lies in it, and what a new file in it is called."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from workshop.project.faults import FileFault
from workshop.project.formats import current
from workshop.project.reading import LARGEST, TOO_LARGE, bounded, decoded, loads, read, reason
from workshop.project.store import is_beside

ENVIRONMENT: Final = "WORKSHOP_PROJECTS"
"""The environment variable that names the projects folder."""

LONGEST_NAME: Final = 60

_RECORD = re.compile(r"^\[record\b", re.MULTILINE)
_ACCENT = re.compile(r"(?<=[a-z])[\u0300-\u036f]+")
_PARTING = re.compile(r"[\W_]+")
_DEVICE = re.compile(r"con|prn|aux|nul|com\d|lpt\d")


def projects_folder(
    asked: Path | None = None,
    *,
    settled: str | None = None,
    here: Path | None = None,
    environment: Mapping[str, str] | None = None,
) -> Path:
    """Where projects live: the folder asked for, else the environment's, else the one that the settings name,
    else `projects` here if it is there, else `workshop` in the user's documents. It need not exist yet.
    """
    if asked is not None:
        return asked.expanduser()
    named = (os.environ if environment is None else environment).get(ENVIRONMENT, "").strip()
    if named:
        return Path(named).expanduser()
    if settled is not None and settled.strip():
        return Path(settled.strip()).expanduser()
    beside = (Path.cwd() if here is None else here) / "projects"
    if beside.is_dir():
        return beside
    from platformdirs import user_documents_path

    return user_documents_path() / "workshop"


@dataclass(frozen=True, slots=True)
class Entry:
    """A project file in the folder: its name, or the fault for which it cannot be read."""

    path: Path
    name: str
    """The project's name, the file's where it has none."""
    fault: FileFault | None
    touched: datetime | None
    """When the file was last written (UTC), None where the system does not say."""
    example: bool = False


def entries(folder: Path) -> tuple[Entry, ...]:
    """The projects in a folder, the last touched first; none where there is no such folder.

    Only the head of each file is read. Raises FileFault where the folder cannot be looked into.
    """
    try:
        paths = [
            path
            for path in folder.iterdir()
            if path.suffix == ".toml" and not is_beside(path) and not path.is_dir()
        ]
    except FileNotFoundError:
        return ()
    except OSError as error:
        what = f"cannot be looked into ({reason(error)})"
        raise FileFault(folder, None, "", what, "name the folder that holds the projects") from error
    found = [_entry(path) for path in paths]
    return tuple(sorted(found, key=lambda entry: (-_seconds(entry), entry.path.name)))


def _seconds(entry: Entry) -> float:
    return entry.touched.timestamp() if entry.touched is not None else 0.0


def _entry(path: Path) -> Entry:
    touched = None
    with suppress(OSError, OverflowError, ValueError):
        touched = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    try:
        document = head(path)
    except FileFault as fault:
        return Entry(path, path.stem, fault, touched)
    project = document.get("project")
    name = project.get("name") if isinstance(project, dict) else None
    return Entry(
        path,
        name if isinstance(name, str) and name.strip() else path.stem,
        None,
        touched,
        document.get("example") is True,
    )


def head(path: Path) -> dict[str, Any]:
    """A file's document without its record where that stands last, else the whole; raises FileFault."""
    try:
        data = bounded(path) if path.is_file() else None
    except (OSError, ValueError):
        data = None
    if data is None:
        return read(path).document
    if len(data) > LARGEST:
        raise FileFault(path, None, "", TOO_LARGE, "move long records out of it")
    text = decoded(path, data)
    record = _RECORD.search(text)
    if record is not None:
        with suppress(FileFault):
            return current(loads(text[: record.start()], path), path, text)
    return current(loads(text, path), path, text)


def slug(name: str) -> str:
    """A project's name as a file is called on any system, without ending: `Tarn bench` is `tarn-bench`."""
    plain = _ACCENT.sub("", unicodedata.normalize("NFKD", name.casefold()))
    parted = _PARTING.sub("-", unicodedata.normalize("NFC", plain)).strip("-")[:LONGEST_NAME].strip("-")
    if not parted:
        return "project"
    return f"{parted}-project" if _DEVICE.fullmatch(parted) else parted


def path_for(folder: Path, name: str) -> Path:
    """Where a new project of this name belongs; raises FileFault where something lies there already."""
    path = folder / f"{slug(name)}.toml"
    if os.path.lexists(path):
        raise FileFault(path, None, "", "is already there", "choose another name")
    return path


def made_folder(folder: Path) -> Path:
    """The folder, made where it is not there yet; raises FileFault."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = f"cannot be made ({reason(error)})"
        raise FileFault(folder, None, "", what, "name another folder for the projects") from error
    return folder


def located(name: str, folder: Path) -> Path:
    """The file that a maker means: a path, else a project of the folder by its file name or its name."""
    path = Path(name).expanduser()
    with suppress(OSError, ValueError):
        if path.exists() or path.name != name:
            return path
        for inside in (folder / name, folder / f"{name}.toml", folder / f"{slug(name)}.toml"):
            if inside.is_file():
                return inside
    return path
