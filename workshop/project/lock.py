"""One writer for a file: a lock of the operating system, free again when its process ends or is killed."""

import errno
import os
import sys
import time
from contextlib import suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

# Beyond the holder's name: on Windows a locked byte cannot be read by others.
_LOCKED_BYTE = 1 << 30
_TRIES = 5
_UNSUPPORTED = (errno.ENOTSUP, errno.ENOLCK, errno.ENOSYS, errno.EINVAL)


class Held(Exception):
    """Somebody else holds the lock; `holder` is who and since when, as they wrote it."""

    def __init__(self, holder: str) -> None:
        super().__init__(holder)
        self.holder = holder


def lock_path(path: Path) -> Path:
    """Where the lock of the file at `path` lies."""
    return path.parent / ".workshop" / f".{path.name.removesuffix('.toml')}.lock"


class Lock:
    """The lock on the sidecar file `path`, which stays there when the lock is released."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._descriptor: int | None = None

    @property
    def taken(self) -> bool:
        """Whether this object holds the lock."""
        return self._descriptor is not None

    def look(self) -> None:
        """Raise Held where somebody else holds the lock; creates and writes nothing."""
        if self.taken:
            return
        try:
            descriptor = os.open(self._path, os.O_RDWR | getattr(os, "O_BINARY", 0))
        except OSError:
            return
        try:
            if not _locked(descriptor):
                raise Held(_holder(descriptor))
        finally:
            os.close(descriptor)

    def take(self, holder: str) -> None:
        """Take the lock and write `holder` into it; raises Held, or OSError where it cannot be made."""
        if self.taken:
            return
        self._path.parent.mkdir(exist_ok=True)
        descriptor = os.open(self._path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
        try:
            # Somebody who only looks holds it for an instant.
            for left in range(_TRIES - 1, -1, -1):
                if _locked(descriptor):
                    break
                if not left:
                    raise Held(_holder(descriptor))
                time.sleep(0.02)
            os.ftruncate(descriptor, 0)
            os.write(descriptor, holder.encode())
        except BaseException:
            os.close(descriptor)
            raise
        self._descriptor = descriptor

    def release(self) -> None:
        """Let the lock go, where it is held."""
        if self._descriptor is not None:
            descriptor, self._descriptor = self._descriptor, None
            with suppress(OSError):
                os.ftruncate(descriptor, 0)
            os.close(descriptor)


def _locked(descriptor: int) -> bool:
    try:
        if sys.platform == "win32":
            os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
            try:
                msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
            finally:
                os.lseek(descriptor, 0, os.SEEK_SET)
        else:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        # A file system without locks: comparing the content before each save still guards the file.
        return error.errno in _UNSUPPORTED
    return True


def _holder(descriptor: int) -> str:
    with suppress(OSError):
        os.lseek(descriptor, 0, os.SEEK_SET)
        return os.read(descriptor, 1000).decode("utf-8", "replace").strip() or "somebody else"
    return "somebody else"
