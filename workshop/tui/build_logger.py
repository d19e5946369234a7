"""What is measured without the maker: a logger's file that grows, and a peak that the resin is fitted to."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path as FilePath
from typing import Final

from textual import work
from textual.message import Message

from workshop.project.logger_file import LoggerFileError, log_taken, read_log
from workshop.project.test_pours import poured_as_test
from workshop.tui.build_copying import CopyingOut

LOOK_EVERY: Final = 20.0
"""Seconds between two looks at the logger's file."""


class Logger(CopyingOut):
    """Watches the logger's file, and takes a logged peak as a test pour."""

    _log_seen: tuple[str, int, int] | None = None
    _log_fault = ""

    class Logged(Message):
        """The logger's file was read, or could not be."""

        def __init__(self, readings: tuple[tuple[datetime, float], ...], fault: str) -> None:
            super().__init__()
            self.readings, self.fault = readings, fault

    @property
    def _log(self) -> FilePath | None:
        name = self.opened.project.file.shop.logger
        return None if name is None else self.opened.path.parent / name

    def look_at_log(self) -> None:
        """Read the logger's file where it has changed since the last look."""
        path = self._log
        if path is not None:
            self._read_log(path)

    @work(thread=True, exclusive=True, exit_on_error=False, group="log")
    def _read_log(self, path: FilePath) -> None:
        try:
            found = path.stat()
            seen = (str(path), found.st_mtime_ns, found.st_size)
            if seen == self._log_seen:
                return
            readings = read_log(path.read_bytes(), path.name, self.zone)
            self._log_seen = seen
            self.post_message(self.Logged(readings, ""))
        except LoggerFileError as error:
            self._log_seen = seen
            self.post_message(self.Logged((), str(error)))
        except OSError as error:
            self.post_message(self.Logged((), f"{path.name} cannot be read: {error.strerror or error}."))

    def on_logger_logged(self, event: Logged) -> None:
        """Take new readings into the record; they are nothing that undo takes back."""
        event.stop()
        if event.fault:
            if event.fault != self._log_fault:
                self.say(event.fault, 30)
            self._log_fault = event.fault
            return
        self._log_fault = ""
        before = self.opened.project
        self.opened.take(lambda project: log_taken(project, event.readings))
        if self.opened.project is not before:
            self._replan()

    def action_refit(self) -> None:
        """Take the peak that was logged of the open lift as a test pour of its resin."""
        if self._bounced("refit"):
            return
        subject = self.scope.path
        try:
            action = poured_as_test(self.opened.project, subject)
        except ValueError as error:
            self.say(str(error))
            return
        if self.act("test pour", action):
            self.say(f"The resin is fitted to the peak of {subject} from now on.")
