"""The nine stages down the left side, or in one line where the terminal is narrow."""

from __future__ import annotations

from dataclasses import dataclass

from textual.events import Click
from textual.message import Message

from workshop.figures import Level
from workshop.plan import Plan, StagePlan
from workshop.tui.lines import Line, Role, Span, line, spread, width_of
from workshop.tui.pane import Pane


def stage_mark(stage: StagePlan) -> tuple[str, Role]:
    """A stage's state as a glyph: done, begun, untouched."""
    if stage.checks and stage.done == len(stage.checks):
        return "●", "green"
    return ("◐", "amber") if stage.done else ("○", "dim")


def stage_words(stage: StagePlan) -> tuple[str, Role]:
    """A stage's state in words: what stands in its way first."""
    worst = max(
        (held.finding.level for held in stage.open_findings), key=lambda level: level.rank, default=None
    )
    count = f"{stage.done} of {len(stage.checks)}"
    if worst is Level.STOP:
        return f"{count}  ■ STOP", "red"
    if worst is Level.WARN:
        return f"{count}  ▲ warn", "amber"
    if stage.checks and stage.done == len(stage.checks):
        return "all done", "dim"
    return count, "dim"


def _short(stage: StagePlan, room: int) -> str:
    """A stage's state in few cells: the sign of its worst finding, and the count where it fits."""
    worst = stage_words(stage)[0].partition("  ")[2][:1]
    done = f"{stage.done}/{len(stage.checks)}"
    whole = f"{worst} {done}" if worst else done
    return whole if len(whole) <= room else worst


class StageRail(Pane):
    """Number, state and checks done of each stage."""

    @dataclass
    class Chosen(Message):
        """A stage was clicked: its position from 0."""

        number: int

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._plan: Plan | None = None
        self._open = ""
        self.choosing = False

    def show(self, plan: Plan, open_stage: str, choosing: bool = False) -> None:
        """Show a plan with one stage open; `choosing` lights the digits up."""
        self._plan, self._open, self.choosing = plan, open_stage, choosing
        self.refresh()

    def content(self, width: int, height: int) -> list[Line]:
        """Two lines a stage where they fit, one where not, a single line on a narrow terminal."""
        if self._plan is None:
            return []
        if height < 9:
            return [self._single()]
        lines: list[Line] = []
        tall = height >= 3 * 9 - 1
        for number, stage in enumerate(self._plan.stages, 1):
            glyph, role = stage_mark(stage)
            words, words_role = stage_words(stage)
            here = stage.stage.id == self._open
            digit: Role = "key" if self.choosing else "strong" if here else "dim"
            bar = Span("▐" if here else " ", "teal")
            name: Role = "strong" if here else "text"
            head = (bar, Span(f"{glyph} ", role), Span(f"{number} ", digit), Span(stage.stage.title, name))
            if height >= 2 * 9:
                lines += [head, (bar, Span("    "), Span(words, words_role))]
                if tall:
                    lines.append(())
            else:
                room = width - width_of(head) - 1
                lines.append(spread(head, (Span(_short(stage, room), words_role),), width))
        return lines

    def _single(self) -> Line:
        spans: list[Span] = []
        assert self._plan is not None
        for number, stage in enumerate(self._plan.stages, 1):
            glyph, role = stage_mark(stage)
            here = stage.stage.id == self._open
            spans += [Span(glyph, role), Span(f"{number}", "key" if self.choosing or here else "dim")]
            spans.append(Span(f" {stage.stage.title}  " if here else "  ", "strong"))
        return line(*spans)

    def on_click(self, event: Click) -> None:
        """The mouse chooses a stage."""
        height = self.content_size.height
        step = 1 if height < 18 else 3 if height >= 26 else 2
        if height >= 9 and event.y // step < 9:
            self.post_message(self.Chosen(event.y // step))
