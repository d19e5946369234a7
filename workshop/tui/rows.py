"""The rows of an open stage, from the plan and the moment: findings, checks, calculators, cautions.

Pure: a row knows its words and what it stands for, never a terminal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import tzinfo

from workshop.desk import Given, Missing, Source
from workshop.figures import Level
from workshop.plan import Answer, CheckState, PlannedFinding, StagePlan
from workshop.project.changes import value_at
from workshop.project.path import Path
from workshop.project.project import Project
from workshop.quantity import Units
from workshop.stages.checklist import Over
from workshop.standing import Standing, scope_of
from workshop.tui.lines import Line, Role, Span, clipped, line, spread, width_of, wrapped
from workshop.tui.times import moment, span

LEVEL_LOOK: dict[Level, tuple[str, str, Role]] = {
    Level.NOTE: ("◆", "note", "teal"),
    Level.WARN: ("▲", "warn", "amber"),
    Level.STOP: ("■", "STOP", "red"),
}


@dataclass(frozen=True)
class Row:
    """One thing the cursor can stand on. `key` stays the same while the project changes."""

    key: str

    @property
    def height(self) -> int | None:
        """How many lines it takes at any width, where that is known without laying it out."""
        return None

    def lines(self, width: int) -> list[Line]:
        """The row's lines at a width."""
        raise NotImplementedError


@dataclass(frozen=True)
class HeadingRow(Row):
    """A heading; the cursor passes over it."""

    title: str = ""
    more: str = ""

    def lines(self, width: int) -> list[Line]:
        """A blank line, then the heading."""
        return [
            (),
            clipped(line((self.title, "title"), ("  " + self.more if self.more else "", "dim")), width),
        ]


@dataclass(frozen=True)
class FindingRow(Row):
    """A finding that was not accepted; the same one of several subjects is said once."""

    same: tuple[PlannedFinding, ...] = field(kw_only=True)
    units: Units = field(kw_only=True)
    here: bool = field(kw_only=True)

    @property
    def planned(self) -> PlannedFinding:
        """The first of them."""
        return self.same[0]

    def lines(self, width: int) -> list[Line]:
        """Level and subjects, the sentence, the way out; one line where it is of another page."""
        glyph, word, role = LEVEL_LOOK[self.planned.finding.level]
        bar = Span("▌ ", role)
        subjects = ", ".join(held.subject for held in self.same)
        text = self.planned.finding.text.say(self.units)
        if not self.here:
            head_only = (bar, Span(f"{glyph} {word} ".ljust(7), role), *line(f"{subjects}: {text}"))
            return [clipped(head_only, width)]
        remedy = self.planned.finding.remedy.say(self.units)
        head = wrapped(f"{subjects}: {text}", width - 9, "strong")
        shown: list[Line] = [(bar, Span(f"{glyph} {word} ".ljust(7), role), *head[0])]
        shown += [(bar, Span(" " * 7), *rest) for rest in head[1:]]
        shown += [(bar, Span(" " * 7), *rest) for rest in wrapped(remedy, width - 9, "dim")]
        return shown


@dataclass(frozen=True)
class AcceptedRow(Row):
    """A finding that was accepted with a reason: one quiet line."""

    planned: PlannedFinding = field(kw_only=True)
    units: Units = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """The rule's sentence, cut short, with the reason."""
        reason = self.planned.reason or "accepted"
        return [
            clipped(
                line(
                    ("  ◇ accepted  ", "dim"),
                    (f"{self.planned.subject}: {self.planned.finding.text.say(self.units)} ", "dim"),
                    (f"“{reason}”", "dim"),
                ),
                width,
            )
        ]


@dataclass(frozen=True)
class CheckRow(Row):
    """A line of the checklist."""

    check: CheckState = field(kw_only=True)
    said: str = field(kw_only=True)
    ready: bool = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Box, words, and at the right when it was done or what it waits for."""
        held = self.check
        role: Role = "text" if self.ready else "dim"
        box_role: Role
        if held.again:
            box, box_role, role = "◐", "amber", "text"
        elif held.not_needed:
            box, box_role, role = "◇", "dim", "dim"
        elif held.settled:
            box, box_role, role = "■", "green", "dim"
        else:
            box, box_role = "□", role
        said_role: Role = "amber" if held.again else "teal" if self.said.startswith("▸") else "dim"
        said = line((self.said, said_role))
        first, *rest = wrapped(held.check.text, width - width_of(said) - 3, role)
        head = spread((Span(f"{box} ", box_role), *first), said, width)
        return [head, *((Span("  "), *more) for more in rest)]


@dataclass(frozen=True)
class GroupRow(Row):
    """A part of the checklist that folds: those done, and those that wait, stand folded."""

    title: str = field(kw_only=True)
    done: int = field(kw_only=True)
    total: int = field(kw_only=True)
    open: bool = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Title and count."""
        mark = "▾" if self.open else "▸"
        said = "all done" if self.done == self.total else f"{self.done} of {self.total}"
        return [spread(line((f"{mark} ", "key"), (self.title, "tan")), line((said, "dim")), width)]


@dataclass(frozen=True)
class AnswerRow(Row):
    """A calculator for one subject: its title, and its figures in short while it is closed."""

    answer: Answer = field(kw_only=True)
    units: Units = field(kw_only=True)
    subject: str = field(kw_only=True)
    open: bool = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """One line; a second one where the figures do not fit beside the title."""
        mark = "▾" if self.open else "▸"
        title = self.answer.calculator.title + (f" · {self.subject}" if self.subject else "")
        head = line((f"{mark} ", "key"), (title, "strong"))
        if self.open:
            return [clipped(head, width)]
        if self.answer.fault:
            return [clipped(head, width), *wrapped(self.answer.fault, width, "amber", indent=4)]
        if self.answer.result is None:
            first, *others = self.answer.needs
            more = f", and {len(others)} more" if others else ""
            return [clipped(head, width), *wrapped(f"needs {first.what}{more}", width, "dim", indent=4)]
        return [clipped(head, width), self._in_short(width)]

    def _in_short(self, width: int) -> Line:
        """As many figures as fit whole, the first ones first."""
        assert self.answer.result is not None
        shown: Line = (Span("    "),)
        for figure in self.answer.result.figures:
            gap = "   " if len(shown) > 1 else ""
            part = line((f"{gap}{figure.title} ", "dim"), (figure.text(self.units), "text"))
            if len(shown) > 1 and width_of((*shown, *part)) > width:
                break
            shown = (*shown, *part)
        return clipped(shown, width)


@dataclass(frozen=True)
class InputRow(Row):
    """One input of an open calculator, with where it comes from."""

    title: str = field(kw_only=True)
    value: str = field(kw_only=True)
    origin: str = field(kw_only=True)
    path: Path | None = field(kw_only=True)
    unknown: bool = field(kw_only=True)
    answer: Answer = field(kw_only=True)
    input: str = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Title, value, origin."""
        value: Role = "dim" if self.unknown else "text"
        mark = "·" if self.path is None else "›"
        left = clipped(
            line(
                f"    {mark} ",
                (_column(self.title, _column_of(self.answer, width)), "dim"),
                (self.value, value),
            ),
            width,
        )
        room = width - width_of(left) - 2
        return [spread(left, clipped(line((self.origin, "dim")), room) if room >= 14 else (), width)]


@dataclass(frozen=True)
class FigureRow(Row):
    """One figure of an open calculator."""

    title: str = field(kw_only=True)
    value: str = field(kw_only=True)
    answer: Answer = field(kw_only=True)
    figure: str = field(kw_only=True)

    def lines(self, width: int) -> list[Line]:
        """Title and value."""
        return [
            clipped(
                line(
                    "    = ",
                    (_column(self.title, _column_of(self.answer, width)), "text"),
                    (self.value, "strong"),
                ),
                width,
            )
        ]


@dataclass(frozen=True)
class TextRow(Row):
    """Words that the cursor passes over: a table's row, a hint."""

    text: str = ""
    role: Role = "dim"
    indent: int = 4

    def lines(self, width: int) -> list[Line]:
        """The words, wrapped."""
        return wrapped(self.text, width, self.role, indent=self.indent)


@dataclass(frozen=True)
class CautionRow(Row):
    """A caution of the stage."""

    text: str = ""

    def lines(self, width: int) -> list[Line]:
        """The sentence under a triangle."""
        first, *rest = wrapped(self.text, width - 2, "text")
        return [(Span("△ ", "amber"), *first), *((Span("  "), *more) for more in rest)]


def _column_of(answer: Answer, width: int) -> int:
    """How wide the titles of an open calculator stand: as its longest one, while a value fits beside it."""
    titles = [held.title for held in answer.calculator.fields if held.key in answer.sources]
    titles += [figure.title for figure in answer.result.figures] if answer.result is not None else []
    return max(8, min(max(map(len, titles), default=8) + 2, width - 20))


def _column(text: str, width: int) -> str:
    cut = clipped((Span(text),), max(4, width - 1))
    shown = "".join(part.text for part in cut)
    return shown + " " * max(1, width - len(shown))


@dataclass(frozen=True, slots=True)
class Scope:
    """What one page of a stage is about: a slab, a casting, a lift, a coat."""

    path: str
    title: str
    done: int
    total: int


def scopes(stage: StagePlan) -> tuple[Scope, ...]:
    """A stage's pages, in the order of its checks; calculators of other subjects stand with the first."""
    counts: dict[str, list[int]] = {}
    titles: dict[str, str] = {}
    for check in stage.checks:
        path = scope_of(check.subject)
        held = counts.setdefault(path, [0, 0])
        held[0] += check.settled
        held[1] += 1
        if check.subject.over is not Over.BATCH:
            titles.setdefault(path, check.subject.title)
    found = [Scope(path, titles.get(path, path), done, total) for path, (done, total) in counts.items()]
    return tuple(found) or (Scope("project", "", 0, 0),)


def scope_for(subject: str, known: tuple[Scope, ...]) -> str:
    """The page on which a calculator's subject stands: its own, its casting's, a part's, else the first."""
    paths = [scope.path for scope in known]
    parts = subject.split("/")
    for length in range(len(parts), 0, -1):
        if "/".join(parts[:length]) in paths:
            return "/".join(parts[:length])
    return next((path for path in paths if path.startswith(parts[0] + "/")), paths[0])


def rows(
    stage: StagePlan,
    now: Standing,
    scope: Scope,
    project: Project,
    zone: tzinfo | None,
    opened: frozenset[str],
    cautions: bool = True,
) -> tuple[Row, ...]:
    """Every row of a stage's page.

    `opened` are the calculators and groups that were opened or folded by hand; `cautions` close the page
    unless they stand beside it.
    """
    known = scopes(stage)
    return (
        *_finding_rows(stage, scope, known, project.units),
        *_check_rows(stage, now, scope, zone, opened),
        *_answer_rows(stage, scope, known, project, opened),
        *(_caution_rows(stage) if cautions else ()),
    )


def _caution_rows(stage: StagePlan) -> Iterator[Row]:
    yield HeadingRow("head:care", "TAKE CARE")
    for number, text in enumerate(stage.stage.cautions):
        yield CautionRow(f"care:{number}", text)


def _finding_rows(stage: StagePlan, scope: Scope, known: tuple[Scope, ...], units: Units) -> Iterator[Row]:
    together: dict[tuple[object, ...], list[PlannedFinding]] = {}
    for planned in stage.findings:
        if not planned.accepted:
            finding = planned.finding
            said = (finding.rule, finding.level, finding.text.say(units), finding.remedy.say(units))
            together.setdefault(said, []).append(planned)
    merged = [
        (any(scope_for(held.subject, known) == scope.path for held in same), same)
        for same in together.values()
    ]
    merged.sort(key=lambda pair: (-pair[1][0].finding.level.rank, not pair[0]))
    for here, same in merged:
        if here or same[0].finding.level is not Level.NOTE:
            yield FindingRow(f"finding:{same[0].key}", same=tuple(same), units=units, here=here)
    for planned in stage.findings:
        if planned.accepted:
            yield AcceptedRow(f"finding:{planned.key}", planned=planned, units=units)


def _check_rows(
    stage: StagePlan, now: Standing, scope: Scope, zone: tzinfo | None, toggled: frozenset[str]
) -> Iterator[Row]:
    here = [check for check in stage.checks if scope_of(check.subject) == scope.path]
    if not stage.checks and stage.stage.id == "lifts":
        yield TextRow("none", "No lift is planned yet: i plans the first one.", "text", 0)
    if not here:
        return
    yield HeadingRow("head:todo", "TO DO", f"{scope.done} of {scope.total} done")
    groups: dict[str, list[CheckState]] = {}
    for check in sorted(here, key=lambda held: _group_order(stage, held.check.group)):
        groups.setdefault(_group_title(check), []).append(check)
    for title, checks in groups.items():
        is_open = True
        if title:
            ready = any((not check.settled and not check.waits_for) or check.again for check in checks)
            is_open = ready != (f"group:{scope.path}:{title}" in toggled)
            yield GroupRow(
                f"group:{scope.path}:{title}",
                title=title,
                open=is_open,
                done=sum(check.settled for check in checks),
                total=len(checks),
            )
        for check in checks if is_open else ():
            yield CheckRow(
                f"check:{check.key}", check=check, said=_said(check, now, zone), ready=not check.waits_for
            )


def _group_title(check: CheckState) -> str:
    """The group under which a check stands; each batch is one of its own."""
    if check.subject.over is Over.BATCH:
        return f"{check.check.group} batch {check.subject.path.rsplit('/', 1)[-1]}".strip()
    return check.check.group


def _group_order(stage: StagePlan, group: str) -> int:
    groups = list(dict.fromkeys(check.group for check in stage.stage.checks))
    return groups.index(group)


def _said(check: CheckState, now: Standing, zone: tzinfo | None) -> str:
    if check.again:
        return "check again"
    if check.not_needed:
        return "not needed"
    if check.done is not None:
        return moment(check.done, now.now, zone)
    running = next(
        (
            timer
            for timer in now.timers
            if check.check.timer is not None
            and timer.timer == check.check.timer.id
            and timer.subject == check.subject.path
        ),
        None,
    )
    if running is not None and running.deadline is not None:
        return f"▸ {span(running.left(now.now))}"
    if check.waits_for:
        return "waits"
    return "▸ timer" if check.check.timer is not None else ""


def _answer_rows(
    stage: StagePlan, scope: Scope, known: tuple[Scope, ...], project: Project, opened: frozenset[str]
) -> Iterator[Row]:
    here = [answer for answer in stage.answers if scope_for(answer.subject, known) == scope.path]
    if not here:
        return
    yield HeadingRow("head:numbers", "NUMBERS")
    for answer in here:
        key = f"{answer.calculator.id}@{answer.subject}"
        subject = "" if answer.subject == scope.path else answer.subject.removeprefix(scope.path + "/")
        is_open = key in opened
        yield AnswerRow(f"answer:{key}", answer=answer, units=project.units, subject=subject, open=is_open)
        if is_open:
            yield from _open_rows(answer, key, project)


def editable(project: Project, path: Path) -> bool:
    """Whether a value is one that is typed in a line: no table, no list, nothing of the record."""
    return path[0] != "record" and not isinstance(value_at(project, path), list | dict)


def place_of(source: Source, subject: str) -> Path | None:
    """The one place where an input is entered: of a pair the subject's own, None where it is worked out."""
    if isinstance(source, Missing) or len(source.paths) == 1:
        return source.paths[0] if source.paths else None
    own = [path for path in source.paths if subject.rpartition("/")[2] in path]
    return own[0] if len(source.paths) == 2 and len(own) == 1 else None


def _open_rows(answer: Answer, key: str, project: Project) -> Iterator[Row]:
    units = project.units
    for held in answer.calculator.fields:
        source = answer.sources.get(held.key)
        if source is None:
            continue
        path = place_of(source, answer.subject)
        if path is not None and not editable(project, path):
            path = None
        if isinstance(source, Missing):
            unknown = "needed" if held.required else "unknown, left out"
            yield InputRow(
                f"input:{key}:{held.key}",
                title=held.title,
                value="—",
                origin=unknown,
                path=path,
                unknown=True,
                answer=answer,
                input=held.key,
            )
        else:
            yield InputRow(
                f"input:{key}:{held.key}",
                title=held.title,
                value=held.text(source.value, units),
                origin=origin_of(source),
                path=path,
                unknown=False,
                answer=answer,
                input=held.key,
            )
    if answer.fault:
        yield TextRow(f"fault:{key}", answer.fault, "amber")
    if answer.result is None:
        return
    for figure in answer.result.figures:
        yield FigureRow(
            f"figure:{key}:{figure.id}",
            title=figure.title,
            value=figure.text(units),
            answer=answer,
            figure=figure.id,
        )
    for name, table in answer.result.tables.items():
        yield TextRow(f"table:{key}:{name}", table.title, "dim")
        cells = [[column.title for column in table.columns], *table.text_rows(units)]
        widths = [max(len(row[column]) for row in cells) for column in range(len(table.columns))]
        for number, row in enumerate(cells):
            text = "  ".join(
                cell.rjust(size) if number and column else cell.ljust(size)
                for column, (cell, size) in enumerate(zip(row, widths, strict=True))
            )
            yield TableRow(f"table:{key}:{name}:{number}", text, "dim" if number == 0 else "text")


@dataclass(frozen=True)
class TableRow(Row):
    """A line of a table whose columns stay aligned."""

    text: str = ""
    role: Role = "text"

    def lines(self, width: int) -> list[Line]:
        """The line, cut at the width."""
        return [clipped(line(("      " + self.text, self.role)), width)]


def origin_of(source: Given) -> str:
    """Where a value comes from, in a few words."""
    if source.how:
        return source.how
    return "" if source.paths else "assumed"


def can_stand_on(row: Row) -> bool:
    """Whether the cursor stops at this row."""
    return not isinstance(row, HeadingRow | TextRow | TableRow)
