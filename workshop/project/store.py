"""The one writer of a project file: nothing typed is lost, and nobody else's change is overwritten."""

import getpass
import os
import platform
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from workshop.project.disk import DISK, Disk, clear_staged, put, staged
from workshop.project.faults import ChangedOutside, FileFault
from workshop.project.formats import Document
from workshop.project.lines import comments
from workshop.project.lock import Held, Lock, lock_path
from workshop.project.older import copy_path, folder, older_copies, stamp, stem, thin, wanted
from workshop.project.reading import LARGEST, TOO_LARGE, Stored, bounded, digest_of, dumps, read, reason

__all__ = ["Saved", "Store", "Stored", "dumps", "is_beside", "read"]

_BESIDE = re.compile(r"\..*|.*\.(?:unsaved-[^.]*|commented(?:-\d+)?)\.toml", re.DOTALL)


@dataclass(frozen=True)
class Saved:
    """What a save did.

    `copies` are the older copies this save made; `commented` is where the original with its comments was
    kept, None where it held none; `missed` says why an older copy that was wanted could not be made.
    """

    path: Path
    copies: tuple[Path, ...] = ()
    commented: Path | None = None
    missed: str | None = None


def is_beside(path: Path) -> bool:
    """Whether a file in a projects folder is one put beside a project, and no project of its own."""
    return _BESIDE.fullmatch(path.name) is not None


class Store:
    """A project file open for writing, through links to the file they lead to. For one thread at a time.

    Opening reads the file and refuses it with FileFault where another process has claimed it, but writes
    nothing. The lock is taken by `claim`, at the first change or else by the first `save`; two that opened
    without claiming are kept apart by comparing the content before each save.
    """

    def __init__(
        self, path: Path | str, *, now: Callable[[], datetime], disk: Disk = DISK, new: bool = False
    ) -> None:
        """Open `path`, or with `new` a file that is not there yet and is made by the first save."""
        self.path = Path(path)
        self._now = now
        self._disk = disk
        self._digest: str | None = None
        self._ours: str | None = None
        self._format: object = None
        self._unsaved: Path | None = None
        self._unconfirmed = False
        self._stored: Stored | None = None
        if not new:
            self._stored = read(self.path)
        elif os.path.lexists(self.path):
            raise FileFault(self.path, None, "", "is already there", "choose another name")
        elif not self.path.parent.is_dir():
            raise FileFault(self.path, None, "", "its folder is not there", "make the folder first")
        self._target = Path(os.path.realpath(self.path))
        self._lock = Lock(lock_path(self._target))
        self.accept(self._stored)
        try:
            self._lock.look()
        except Held as held:
            raise self._refused(held) from held

    @property
    def stored(self) -> Stored | None:
        """The file as it was opened or last accepted; None for a new one."""
        return self._stored

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let others write the file."""
        self._lock.release()

    def accept(self, stored: Stored | None) -> None:
        """Take `stored` as what the next save may replace: after ChangedOutside, once it has been merged.

        None says that the file is known to be gone and may be made anew.
        """
        self._stored = stored
        self._digest = None if stored is None else stored.digest
        self._format = None if stored is None else stored.document.get("format")

    def claim(self) -> None:
        """Become the one writer; raises FileFault where another is, or where file or folder forbids it."""
        if self._lock.taken:
            return
        try:
            self._writable()
            self._lock.take(
                f"{_user()} on {platform.node() or 'this computer'}, process {os.getpid()}, "
                f"since {self._utc():%Y-%m-%d %H:%M:%S} UTC"
            )
        except Held as held:
            raise self._refused(held) from held
        except OSError as error:
            raise self._not_saved(error) from error
        clear_staged(self._target)

    def save(self, document: Document) -> Saved:
        """Write `document`; where it is what the file holds already, nothing is touched.

        Raises ChangedOutside where the file is no longer what was last read or written here, and FileFault
        where it is claimed by another or cannot be written; the file on disk is whole in every case.
        """
        data = self._encoded(document)
        try:
            self.claim()
        except FileFault as fault:
            if not isinstance(fault.__cause__, Held):
                raise
            beside = self._put_beside(data)
            if beside is None:
                raise
            mend = f"what was typed stands in {beside.name}; {fault.mend}"
            raise FileFault(self.path, None, "", fault.what, mend) from fault
        try:
            return self._save(data, document.get("format"))
        except OSError as error:
            raise self._not_saved(error) from error

    def _save(self, data: bytes, format_number: object) -> Saved:
        on_disk = self._compared(data)
        if on_disk == data:
            self._settled(data, format_number)
            if self._unconfirmed:
                self._confirm()
            return Saved(self.path)
        beside = staged(self._target, data, self._disk, self._writable())
        try:
            commented = self._keep_commented(on_disk)
            copies = self._keep_format(on_disk, format_number)
            older, missed = self._keep_older(on_disk)
            self._compared(data)
            self._disk.replace(beside, self._target)
        except BaseException:
            with suppress(OSError):
                beside.unlink()
            raise
        self._settled(data, format_number)
        self._confirm()
        return Saved(self.path, (*copies, *older), commented, missed)

    def _compared(self, data: bytes) -> bytes | None:
        """What the file holds, None where it is gone; raises ChangedOutside where it is not what it was."""
        try:
            on_disk: bytes | None = bounded(self._target)
        except FileNotFoundError:
            on_disk = None
        digest = None if on_disk is None else digest_of(on_disk)
        if digest == self._digest or on_disk == data:
            return on_disk
        theirs: str | None = None
        if on_disk is not None and len(on_disk) <= LARGEST:
            with suppress(UnicodeDecodeError):
                theirs = on_disk.decode("utf-8").removeprefix("\ufeff")
        raise ChangedOutside(self.path, theirs, self._put_beside(data))

    def _settled(self, data: bytes, format_number: object) -> None:
        self._digest = self._ours = digest_of(data)
        self._format = format_number
        self._unsaved = None

    def _confirm(self) -> None:
        self._unconfirmed = True
        try:
            self._disk.sync_folder(self._target.parent)
        except OSError as error:
            what = f"was written, but the disk did not confirm it ({reason(error)})"
            raise FileFault(self.path, None, "", what, "check the disk and save again") from error
        self._unconfirmed = False

    def _encoded(self, document: Document) -> bytes:
        try:
            data = dumps(document).encode("utf-8")
        except UnicodeEncodeError as error:
            what = f"the character \\u{ord(error.object[error.start]):04x} cannot be saved as UTF-8"
            raise FileFault(self.path, None, "", what, "delete it from the text last typed") from error
        if len(data) > LARGEST:
            raise FileFault(
                self.path, None, "", f"what is to be saved {TOO_LARGE}", "move long records out of it"
            )
        return data

    def _writable(self) -> os.stat_result | None:
        try:
            about = os.stat(self._target)
        except FileNotFoundError:
            return None
        # The folder alone decides whether a file can be replaced, so its own mark has to be asked for.
        if not about.st_mode & 0o222:
            raise FileFault(self.path, None, "", "is marked read-only", "take the mark off, or save a copy")
        return about

    def _keep_commented(self, on_disk: bytes | None) -> Path | None:
        if on_disk is None or digest_of(on_disk) == self._ours or b"#" not in on_disk:
            return None
        if not comments(on_disk.decode("utf-8", "replace")):
            return None
        number = 1
        while True:
            ending = "" if number == 1 else f"-{number}"
            beside = self._target.with_name(f"{stem(self._target)}.commented{ending}.toml")
            if not os.path.lexists(beside):
                put(beside, on_disk, self._disk)
                return beside
            if beside.is_file() and bounded(beside) == on_disk:
                return beside
            number += 1

    def _keep_format(self, on_disk: bytes | None, format_number: object) -> tuple[Path, ...]:
        """Keep a dated copy, never thinned, of a file in another format than the one that replaces it."""
        if on_disk is None or format_number == self._format:
            return ()
        number = self._format if isinstance(self._format, int) else "unknown"
        name = f"{stem(self._target)}.format-{number}-{stamp(self._utc())}.toml"
        copy = folder(self._target) / name
        copy.parent.mkdir(parents=True, exist_ok=True)
        put(copy, on_disk, self._disk)
        self._disk.sync_folder(copy.parent)
        return (copy,)

    def _keep_older(self, on_disk: bytes | None) -> tuple[tuple[Path, ...], str | None]:
        """Keep what is about to be replaced; a failure is told but does not stop the save."""
        now = self._utc()
        if on_disk is None or not wanted((copy.at for copy in older_copies(self._target)), now):
            return (), None
        copy = copy_path(self._target, now)
        try:
            copy.parent.mkdir(parents=True, exist_ok=True)
            put(copy, on_disk, Disk(sync_file=_unsynced, replace=self._disk.replace))
        except OSError as error:
            return (), f"No older copy was kept in {copy.parent} ({reason(error)})."
        thin(self._target, now)
        return (copy,), None

    def _put_beside(self, data: bytes) -> Path | None:
        """Keep what cannot be saved; again and again in the same file until a save succeeds."""
        if self._unsaved is None:
            number = 1
            while True:
                ending = "" if number == 1 else f"-{number}"
                name = f"{stem(self._target)}.unsaved-{stamp(self._utc())}{ending}.toml"
                if not os.path.lexists(self._target.with_name(name)):
                    break
                number += 1
            self._unsaved = self._target.with_name(name)
        try:
            put(self._unsaved, data, self._disk)
        except OSError:
            return None
        return self._unsaved

    def _utc(self) -> datetime:
        return self._now().astimezone(UTC)

    def _refused(self, held: Held) -> FileFault:
        what = f"is being written by {held.holder}"
        return FileFault(self.path, None, "", what, "close it there, or open it here for reading only")

    def _not_saved(self, error: OSError) -> FileFault:
        if isinstance(error, PermissionError):
            mend = "give yourself the right to write in its folder, or save a copy elsewhere"
        else:
            mend = "make room or check the disk, then save again"
        what = f"could not be saved ({reason(error)}) and stands as it was"
        return FileFault(self.path, None, "", what, mend)


def _unsynced(descriptor: int) -> None:
    """For copies, which are worth less than the time a sync takes."""


def _user() -> str:
    try:
        return getpass.getuser()
    except Exception:  # without a name in the system each platform raises something else
        return "somebody"
