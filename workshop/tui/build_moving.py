"""Going about in a build: rows, parts of a page, pages, stages."""

from __future__ import annotations

from textual.widgets import Static

from workshop.standing import standing
from workshop.tui.actions import BUILD_ACTIONS
from workshop.tui.build_base import BuildBase
from workshop.tui.detail import detail
from workshop.tui.keymap import in_force
from workshop.tui.lines import Line, line, wrapped
from workshop.tui.reader import Reader
from workshop.tui.rows import (
    AnswerRow,
    CheckRow,
    FigureRow,
    FindingRow,
    HeadingRow,
    Row,
    can_stand_on,
    scopes,
)
from workshop.tui.stage_rail import StageRail
from workshop.tui.worksheet import Worksheet

LAST = 9


class Moving(BuildBase):
    """The keys that change nothing."""

    def action_cursor(self, steps: int) -> None:
        """Move the cursor."""
        self.query_one(Worksheet).move(steps)

    def action_section(self) -> None:
        """Move the cursor to the next part of the page: findings, to do, numbers, take care."""
        sheet = self.query_one(Worksheet)
        listed = list(sheet.rows)
        heads = [number for number, row in enumerate(listed) if isinstance(row, HeadingRow)]
        here = listed.index(sheet.row) if sheet.row is not None else 0
        start = next((head for head in heads if head > here), -1)
        after = next((row for row in listed[start + 1 :] if can_stand_on(row)), None)
        if after is not None:
            sheet.stand_on(after.key)

    def action_page(self, steps: int) -> None:
        """Open another part of the stage."""
        known = scopes(self.stage)
        place = [held.path for held in known].index(self.scope.path)
        self._scope[self._stage] = known[(place + steps) % len(known)].path
        self._show()
        self.query_one(Worksheet).scroll_home(animate=False)
        self._stand_on_first()

    def _stand_on_first(self) -> None:
        """The cursor goes to a check that waits for nothing, else a finding, else numbers that lack one."""
        sheet = self.query_one(Worksheet)
        ranked = sorted(
            (rank, number) for number, row in enumerate(sheet.rows) if (rank := _rank(row)) < LAST
        )
        if ranked:
            sheet.stand_on(sheet.rows[ranked[0][1]].key)

    def action_go(self) -> None:
        """The next digit opens a stage."""
        self._going = True
        self.query_one(StageRail).show(self.plan, self._stage, True)
        self.say("Which stage? Press its digit, 1 to 9.")

    def action_stage(self, number: int) -> None:
        """A digit after g opens a stage; any other digit does nothing.

        A binding like g's own, so that the two are dealt with in order however fast they come.
        """
        if self._going:
            self._gone()
            self._open_stage(number - 1)

    def _gone(self) -> None:
        self._going = False
        self.query_one("#message", Static).set_class(False, "-shown")
        self.query_one(StageRail).show(self.plan, self._stage)

    def _open_stage(self, number: int) -> None:
        self._going = False
        self._stage = self.plan.stages[number].stage.id
        self._show()
        self.query_one(Worksheet).scroll_home(animate=False)
        self._stand_on_first()

    def action_next_open(self) -> None:
        """Go to the next check that waits for nothing."""
        self._standing = standing(self._plan, self.clock.now(), self._states)
        if not self._standing.next:
            self.say("Nothing waits to be done.")
            return
        check = self._standing.next[0]
        self.show_subject(self._standing.stage, check.subject.path, f"check:{check.key}")

    def on_worksheet_moved(self, event: Worksheet.Moved) -> None:
        """Show what stands behind the row."""
        self._show_detail(event.row)

    def on_stage_rail_chosen(self, event: StageRail.Chosen) -> None:
        """A click on a stage opens it."""
        self._open_stage(event.number)

    def action_how(self) -> None:
        """How a figure was worked out, or what stands behind the row."""
        row = self.query_one(Worksheet).row
        if row is None:
            return
        now, units, zone = self._standing, self.plan.project.units, self.zone
        if isinstance(row, AnswerRow) and row.answer.result is not None:
            answer = row.answer
            figures = [
                FigureRow(
                    f"figure:{row.key}:{figure.id}",
                    title=figure.title,
                    value="",
                    answer=answer,
                    figure=figure.id,
                )
                for figure in row.answer.result.figures
            ]

            def lines(width: int) -> list[Line]:
                more = self._more(row, width)
                shown = [*more, ()] if more else []
                for figure in figures:
                    shown += [*detail(figure, now, units, zone, width), ()]
                return shown
        else:

            def lines(width: int) -> list[Line]:
                return detail(row, now, units, zone, width)

        self.app.push_screen(Reader(lines))

    def action_keys(self) -> None:
        """All keys."""

        def lines(width: int) -> list[Line]:
            listed: list[Line] = [line(("KEYS", "title")), ()]
            keys = [(action.key_shown, action.words) for action in in_force(self.app, BUILD_ACTIONS)]
            for key, words in (*keys, ("ctrl+p", "Every action and every figure by name")):
                first, *rest = wrapped(words, width - 11)
                listed.append((*line((key.rjust(9), "key"), "  "), *first))
                listed += [(*line(" " * 11), *more) for more in rest]
            return listed

        self.app.push_screen(Reader(lines))


def _rank(row: Row) -> int:
    """What a page is opened for: the lowest comes first."""
    match row:
        case CheckRow() if row.ready and not row.check.settled:
            return 0
        case FindingRow():
            return 1
        case AnswerRow() if row.answer.needs:
            return 2
        case CheckRow() if not row.check.settled:
            return 3
        case AnswerRow():
            return 4
    return LAST
