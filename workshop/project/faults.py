"""What can be wrong with a project file, as sentences that say where and how to mend it."""

from pathlib import Path


class FileFault(Exception):
    """A fault of a project file; `str()` is one sentence: file, line, field: what; how to mend it."""

    def __init__(self, path: Path, line: int | None, field: str, what: str, mend: str) -> None:
        super().__init__(path, line, field, what, mend)
        self._path = path
        self._line = line
        self._field = field
        self._what = what
        self._mend = mend

    @property
    def path(self) -> Path:
        """The file."""
        return self._path

    @property
    def line(self) -> int | None:
        """The 1-based line, None where the fault is of the whole file."""
        return self._line

    @property
    def field(self) -> str:
        """The key path as spelled in the file, empty where the fault is of no one key."""
        return self._field

    @property
    def what(self) -> str:
        """What is wrong, without a full stop."""
        return self._what

    @property
    def mend(self) -> str:
        """How to mend it, without a full stop; may be empty."""
        return self._mend

    def __str__(self) -> str:
        place = [str(self._path)]
        if self._line is not None:
            place.append(f"line {self._line}")
        if self._field:
            place.append(self._field)
        mend = f"; {self._mend}" if self._mend else ""
        stop = "" if mend.endswith("?") else "."
        return f"{', '.join(place)}: {self._what}{mend}{stop}"


class FileFaults(Exception):
    """Everything that is wrong with a project file at once; `str()` is a line for each fault."""

    def __init__(self, faults: tuple[FileFault, ...]) -> None:
        super().__init__(faults)
        self._faults = faults

    @property
    def faults(self) -> tuple[FileFault, ...]:
        """The faults, in the order of the file."""
        return self._faults

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self._faults)


class ChangedOutside(FileFault):
    """Somebody else changed, moved or deleted the file since it was last read or written here.

    Nothing of theirs is overwritten. `theirs` is the text now in the file (None where there is no file or
    no text); `kept` is the file beside it that holds what was to be saved (None where that failed too).
    """

    def __init__(self, path: Path, theirs: str | None, kept: Path | None) -> None:
        what = (
            "was moved, deleted or made unreadable by somebody else"
            if theirs is None
            else ("was changed by somebody else since it was read here")
        )
        mend = (
            f"nothing was overwritten and what was typed stands in {kept.name}, so compare the two"
            if kept is not None
            else "nothing was overwritten, and what was typed could not be put beside it, so keep it open"
        )
        super().__init__(path, None, "", what, mend)
        # BaseException rebuilds from these when it is copied or sent between processes.
        self.args = (path, theirs, kept)
        self._theirs = theirs
        self._kept = kept

    @property
    def theirs(self) -> str | None:
        """The text now in the file."""
        return self._theirs

    @property
    def kept(self) -> Path | None:
        """The file that holds what was to be saved."""
        return self._kept
