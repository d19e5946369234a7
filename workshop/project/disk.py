"""Writing a file so that a crash, a full disk or a kill leaves the old one or the new one, whole."""

import errno
import os
import secrets
import stat
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

if sys.platform == "darwin":
    import fcntl

_STAGED = ".tmp"


def sync_file(descriptor: int) -> None:
    """Wait until an open file's bytes are on the medium; raises OSError."""
    if sys.platform == "darwin":
        # fsync on macOS leaves the bytes in the drive's own cache.
        with suppress(OSError):
            fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
            return
    os.fsync(descriptor)


def sync_folder(folder: Path) -> None:
    """Wait until a folder's names are on the medium, where the system can; raises OSError."""
    if sys.platform == "win32":
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except PermissionError:
        # A folder may be writable without being readable.
        return
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.ENOSYS, errno.EBADF):
            raise
    finally:
        os.close(descriptor)


def replace(source: Path, target: Path) -> None:
    """Put `source` in the place of `target` in one step; raises OSError."""
    # On Windows a scanner that has just opened the target forbids this for a moment.
    tries = 8 if sys.platform == "win32" else 1
    for left in range(tries - 1, -1, -1):
        try:
            os.replace(source, target)
            return
        except PermissionError:
            if not left:
                raise
            time.sleep(0.03)


@dataclass(frozen=True)
class Disk:
    """The three steps that can fail on a real disk, so that a test can make them fail."""

    sync_file: Callable[[int], None] = sync_file
    sync_folder: Callable[[Path], None] = sync_folder
    replace: Callable[[Path, Path], None] = replace


DISK = Disk()


def staged(target: Path, data: bytes, disk: Disk = DISK, like: os.stat_result | None = None) -> Path:
    """`data` written and synced in a new hidden file beside `target`, with the mode and owner of `like`.

    Raises OSError, leaving nothing behind.
    """
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}{_STAGED}")
    mode = 0o666 if like is None else stat.S_IMODE(like.st_mode)
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    descriptor = os.open(beside, flags, mode | 0o200)
    try:
        with open(descriptor, "wb") as file:
            file.write(data)
            file.flush()
            disk.sync_file(file.fileno())
        if like is not None:
            if sys.platform != "win32":
                with suppress(OSError):
                    os.chown(beside, like.st_uid, like.st_gid)
            os.chmod(beside, mode)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
    return beside


def put(target: Path, data: bytes, disk: Disk = DISK, like: os.stat_result | None = None) -> None:
    """Write `data` to `target` whole or not at all; raises OSError."""
    beside = staged(target, data, disk, like)
    try:
        disk.replace(beside, target)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise


def clear_staged(target: Path) -> None:
    """Remove what a killed process left beside `target`; only for the one that holds its lock."""
    prefix = f".{target.name}."
    with suppress(OSError):
        for entry in os.listdir(target.parent):
            middle = entry[len(prefix) : -len(_STAGED)]
            if entry.startswith(prefix) and entry.endswith(_STAGED) and len(middle) == 8:
                with suppress(OSError):
                    (target.parent / entry).unlink()
