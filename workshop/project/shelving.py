"""Project files as a shelf of them: a second one like the first, another name, out of sight and back.

Nothing is ever deleted or overwritten, and a file that another process writes is left alone.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Final

from workshop.project.changes import edited
from workshop.project.disk import DISK, Disk
from workshop.project.example import copy_of_example
from workshop.project.faults import FileFault, FileFaults
from workshop.project.folder import Entry, entries, head, made_folder, path_for
from workshop.project.formats import Document
from workshop.project.loading import load_text
from workshop.project.lock import Held, Lock, lock_path
from workshop.project.older import copy_path, older_copies
from workshop.project.project import Project
from workshop.project.reading import dumps, read, reason
from workshop.project.starting import wrong_answer
from workshop.project.store import Store

ARCHIVE: Final = "archive"
"""The folder inside the projects folder where archived projects lie."""


def archived(folder: Path) -> tuple[Entry, ...]:
    """The archived projects, the last touched first; raises FileFault where they cannot be looked into."""
    return entries(folder / ARCHIVE)


def wrong_name(name: str, folder: Path) -> str:
    """Why a new project in `folder` cannot be called so, in one sentence; empty where it can."""
    if not name.strip():
        return "A project needs a name; write one such as Tarn bench."
    if wrong := wrong_answer("name", name):
        return wrong
    try:
        path_for(folder, name)
    except FileFault as fault:
        return f"{fault.path.name} {fault.what}; {fault.mend}."
    return ""


def begin(document: Document, path: Path, now: datetime, *, disk: Disk = DISK) -> Project:
    """Write a new project at `path` (see `path_for`) and return it.

    Raises FileFault, and makes nothing, where the document is wrong or the file cannot be made.
    """
    project = _first_fault(path, lambda: load_text(dumps(document), path.name))
    made_folder(path.parent)
    with Store(path, now=lambda: now, disk=disk, new=True) as store:
        store.save(document)
    return project


def duplicate(path: Path, folder: Path, name: str, now: datetime, *, record: bool, disk: Disk = DISK) -> Path:
    """Make a second project like the one at `path`, called `name`, and return its file in `folder`.

    With `record` it keeps what was done, running timers and all; without it begins at the first check. Of an
    example it makes a project to work in. Raises FileFault, and makes nothing.
    """
    project = _loaded(path)
    copy = path_for(folder, _named(path, name))
    document = _copied(path, project, now) if record else _unbuilt(project)
    document = {"format": document["format"], "project": {}, **document}
    document["project"] = {**document["project"], "name": name.strip()}
    begin(document, copy, now, disk=disk)
    return copy


def rename(path: Path, name: str, now: datetime, *, disk: Disk = DISK) -> None:
    """Give the project at `path` another name; its file keeps the one it has.

    Raises FileFault where it is an example, cannot be read, or is being written by another.
    """
    wanted = _named(path, name)
    with Store(path, now=lambda: now, disk=disk) as store:
        stored = store.stored
        assert stored is not None
        if stored.document.get("example") is True:
            raise _example(path, "keeps its name")
        project = _first_fault(path, lambda: load_text(stored.text, path.name))
        if project.file.project.name == wanted:
            return
        renamed = _first_fault(path, lambda: edited(project, ("project", "name"), wanted, now))
        store.save(dict(renamed.document))


def archive(path: Path, folder: Path, *, disk: Disk = DISK) -> Path:
    """Move a project's file into the archive of `folder` and return where it lies now.

    Its older copies go with it. Raises FileFault, the file standing where it stood, where it is an example,
    is being written by another, or cannot be moved.
    """
    try:
        example = head(path).get("example") is True
    except FileFault:
        # A file that cannot be read may be put out of sight all the same.
        example = False
    if example:
        raise _example(path, "stays where it is")
    return _moved(path, folder / ARCHIVE, disk)


def restore(path: Path, folder: Path, *, disk: Disk = DISK) -> Path:
    """Move an archived project's file back into `folder` and return where it lies now; raises FileFault."""
    return _moved(path, folder, disk)


def _moved(path: Path, into: Path, disk: Disk) -> Path:
    if path.is_symlink():
        raise FileFault(
            path, None, "", "is a link to a file elsewhere", "move that file, and delete the link"
        )
    if not path.is_file():
        raise FileFault(path, None, "", "there is no such file", "look into the folder again")
    made_folder(into)
    copies = older_copies(path)
    with _claimed(path):
        try:
            target = _reserved(into, path.name)
            try:
                disk.replace(path, target)
            except BaseException:
                with suppress(OSError):
                    target.unlink()
                raise
        except OSError as error:
            what = f"could not be moved to {into.name} ({reason(error)}) and stands where it was"
            raise FileFault(path, None, "", what, "check the disk and your rights in both folders") from error
    for copy in copies:
        kept = copy_path(target, copy.at)
        with suppress(OSError):
            kept.parent.mkdir(parents=True, exist_ok=True)
            if not os.path.lexists(kept):
                disk.replace(copy.path, kept)
    return target


def _reserved(into: Path, name: str) -> Path:
    """An empty file under the name, or the next free one like it, so that nothing is overwritten."""
    stem, number = name.removesuffix(".toml"), 1
    while True:
        target = into / (name if number == 1 else f"{stem}-{number}.toml")
        try:
            os.close(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL))
        except FileExistsError:
            number += 1
        else:
            return target


@contextmanager
def _claimed(path: Path) -> Iterator[None]:
    """The file's lock, also of one that cannot be read; where there can be none, nobody has it."""
    lock = Lock(lock_path(path))
    try:
        with suppress(OSError):
            lock.take("a program that moves it")
        yield
    except Held as held:
        raise FileFault(
            path, None, "", f"is being written by {held.holder}", "close it there first"
        ) from held
    finally:
        lock.release()


def _loaded(path: Path) -> Project:
    return _first_fault(path, lambda: load_text(read(path).text, path.name))


def _first_fault(path: Path, made: Callable[[], Project]) -> Project:
    """A project, or the first of all that is wrong with it as a FileFault of the file."""
    try:
        return made()
    except FileFaults as faults:
        fault = faults.faults[0]
        raise FileFault(path, fault.line, fault.field, fault.what, fault.mend) from faults


def _named(path: Path, name: str) -> str:
    if not name.strip():
        raise FileFault(path, None, "project.name", "a project needs a name", "write one such as Tarn bench")
    return name.strip()


def _copied(path: Path, project: Project, now: datetime) -> Document:
    if not project.file.example:
        return dict(project.document)
    try:
        return copy_of_example(project, now)
    except OverflowError:
        what = "its dates cannot be moved up to the present without leaving the years 1 to 9999"
        raise FileFault(path, None, "", what, "copy it without what was done") from None


def _unbuilt(project: Project) -> Document:
    return {key: held for key, held in project.document.items() if key not in ("example", "record")}


def _example(path: Path, what: str) -> FileFault:
    return FileFault(
        path, None, "example", f"is an example and {what}", "copy it, or open it: that makes one of your own"
    )
