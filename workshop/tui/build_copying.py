"""Writing a copy of the open project out: a drawing, full-size templates, the journal."""

from __future__ import annotations

from pathlib import Path

from textual import work
from textual.worker import Worker

from workshop.tui.build_sawing import Sawing
from workshop.tui.choose import ChoiceRow, Choose


class CopyingOut(Sawing):
    """The key that writes the project out in a form for others."""

    @work
    async def action_copy_out(self) -> None:
        """Ask for the form, then write it beside the project while the keys stay free."""
        from workshop.exports import EXPORTS

        choices = tuple(
            ChoiceRow(key=kind, words=held.title, about=f"As {self._name_of(kind, held.ending).name}")
            for kind, held in EXPORTS.items()
        )
        kind = await self.app.push_screen_wait(
            Choose("Write out", "Beside the project; a copy of the day before is replaced.", choices)
        )
        if kind is not None:
            self.say(f"Writing the {EXPORTS[kind].title.lower()} …", 30)
            self._copy_out(kind)

    def _name_of(self, kind: str, ending: str) -> Path:
        path = self.opened.path
        return path.with_name(f"{path.stem}-{kind}{ending}")

    @work(thread=True, exclusive=True, exit_on_error=False, group="copy")
    def _copy_out(self, kind: str) -> str:
        from workshop.exports import EXPORTS

        held = EXPORTS[kind]
        path = self._name_of(kind, held.ending)
        path.write_bytes(held.make(self.opened.project, self.clock.now()))
        return f"Written: {path}"

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A copy is written, or could not be."""
        if event.worker.group == "copy" and event.worker.is_finished:
            error = event.worker.error
            if isinstance(error, OSError):
                self.say(f"Not written: {error.strerror or error}.", 30)
            else:
                self.say(f"Not written: {error}" if error is not None else str(event.worker.result), 30)
