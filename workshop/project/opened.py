"""A project that is open for work: its state, the actions of this sitting, and what is still to be saved."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path

from workshop.project.changes import History, merged
from workshop.project.faults import ChangedOutside, FileFault, FileFaults
from workshop.project.loading import load_text
from workshop.project.pending import Pending
from workshop.project.project import Project
from workshop.project.reading import loads, read
from workshop.project.store import Saved, Store


@dataclass(frozen=True)
class Sitting:
    """A project and the actions done to it since it was opened."""

    project: Project
    history: History = field(default_factory=History)

    def after(self, name: str, project: Project) -> Sitting:
        """The sitting with one more action."""
        return Sitting(project, self.history.after(name, self.project, project))

    def undone(self, now: datetime) -> tuple[Sitting, str]:
        """The sitting without its last action, and that one's name; raises IndexError where there is none."""
        history, project, name = self.history.undone(self.project, now)
        return Sitting(project, history), name


class Opened:
    """One project file open for writing. Actions come from one thread, `save` may run in another."""

    def __init__(self, path: Path, wall: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        """Open a project file; raises FileFault or FileFaults, and writes nothing."""
        self.path = path
        self._wall = wall
        self._store = Store(path, now=wall)
        stored = self._store.stored
        assert stored is not None
        self._base = load_text(stored.text, path.name)
        self._sitting = Sitting(self._base)
        self._pending = Pending()
        self._lock = threading.Lock()
        self._saving = threading.Lock()

    @property
    def project(self) -> Project:
        """The project as it is now."""
        return self._sitting.project

    @property
    def unsaved(self) -> bool:
        """Whether something is not on disk yet."""
        return self._pending.since is not None

    @property
    def can_undo(self) -> str:
        """The name of the action that undo would take back, or nothing."""
        steps = self._sitting.history.steps
        return steps[-1].name if steps else ""

    def act(self, name: str, action: Callable[[Project], Project]) -> None:
        """Do a named action; raises FileFaults, and changes nothing, where the result would not be valid."""
        with self._lock:
            self._become(self._sitting.after(name, action(self._sitting.project)))

    def take(self, action: Callable[[Project], Project]) -> None:
        """Take in what was measured without the maker: nothing that undo takes back."""
        with self._lock:
            project = action(self._sitting.project)
            if project is not self._sitting.project:
                self._become(replace(self._sitting, project=project))

    @property
    def done(self) -> int:
        """How many actions can be taken back."""
        return len(self._sitting.history.steps)

    def fold(self, since: int, name: str) -> None:
        """From now on the actions after the first `since` are taken back as one."""
        with self._lock:
            self._sitting = replace(self._sitting, history=self._sitting.history.folded(since, name))

    def undo(self, now: datetime) -> str:
        """Take the last action back and return its name; raises IndexError where there is none."""
        with self._lock:
            sitting, name = self._sitting.undone(now)
            self._become(sitting)
        return name

    def _become(self, sitting: Sitting) -> None:
        self._store.claim()
        self._sitting = sitting
        self._pending = self._pending.changed(self._wall())

    def due(self) -> bool:
        """Whether it is time to save."""
        return self._pending.due(self._wall())

    def save(self) -> Saved | None:
        """Write what is unsaved; an edit made outside meanwhile is kept, ours wins only where both meet.

        Raises FileFault where nothing could be written; what was typed stays unsaved here and is tried again.
        """
        with self._saving:
            with self._lock:
                if not self.unsaved:
                    return None
                project, self._pending = self._sitting.project, Pending()
            try:
                saved = self._write(project)
            except FileFault:
                with self._lock:
                    self._pending = self._pending.changed(self._wall())
                raise
            return saved

    def _write(self, project: Project) -> Saved:
        try:
            saved = self._store.save(dict(project.document))
        except ChangedOutside as outside:
            if outside.theirs is None:
                raise
            project = self._taken_in(project, outside)
            saved = self._store.save(dict(project.document))
        self._base = project
        return saved

    def _taken_in(self, project: Project, outside: ChangedOutside) -> Project:
        """Merge an edit made outside; where it cannot be read, say so and leave the file alone."""
        stored = read(self.path)
        try:
            theirs = load_text(stored.text, self.path.name)
            both = theirs.with_document(merged(self._base.document, project.document, theirs.document))
        except FileFaults as faults:
            raise outside from faults
        if outside.kept is not None:
            outside.kept.unlink(missing_ok=True)
        self._store.accept(replace(stored, document=loads(stored.text, self.path)))
        with self._lock:
            ours = self._sitting.project
            now_both = theirs.with_document(merged(self._base.document, ours.document, theirs.document))
            self._sitting = replace(self._sitting, project=now_both)
        return both

    def close(self) -> None:
        """Save what is unsaved and let others write the file."""
        try:
            self.save()
        finally:
            self._store.close()
