"""What stands behind the row under the cursor: how a figure was worked out, what a check waits for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from workshop.desk import Given
from workshop.figures import Figure, Working
from workshop.plan import Answer, CheckState, PlannedFinding
from workshop.project.path import spell
from workshop.quantity import Amount, Units, show
from workshop.stages import CHECKS
from workshop.standing import CURE_WORDS, Standing
from workshop.tui.lines import Line, Span, line, wrapped
from workshop.tui.rows import (
    LEVEL_LOOK,
    AcceptedRow,
    AnswerRow,
    CautionRow,
    CheckRow,
    FigureRow,
    FindingRow,
    InputRow,
    Row,
)
from workshop.tui.times import moment, span

_SIGNS = (("**2", "²"), ("**3", "³"), ("**", "^"), (" * ", " × "), ("*", " × "), ("sqrt", "√"))


def readable(formula: str) -> str:
    """A formula with the signs a person writes."""
    for sign, shown in _SIGNS:
        formula = formula.replace(sign, shown)
    return formula


def detail(
    row: Row | None,
    now: Standing,
    units: Units,
    zone: tzinfo | None,
    width: int,
    more: Sequence[Line] = (),
) -> list[Line]:
    """The lines for a row; `more` stands in a calculator before its figures."""
    match row:
        case FigureRow():
            figure = row.answer.result.figure(row.figure) if row.answer.result is not None else None
            return _figure(figure, units, width) if figure is not None else []
        case AnswerRow():
            return _answer(row.answer, units, width, more)
        case InputRow():
            return [*_input(row, width), *(((), *more) if more else ())]
        case CheckRow():
            return _check(row.check, now, zone, width)
        case FindingRow() | AcceptedRow():
            return _finding(row.planned, units, width)
        case CautionRow():
            return [line(("TAKE CARE", "title")), (), *wrapped(row.text, width)]
        case _:
            return []


def _figure(figure: Figure, units: Units, width: int) -> list[Line]:
    lines: list[Line] = [
        line(("HOW WORKED OUT", "title")),
        (),
        *wrapped(figure.title, width),
        line((figure.text(units), "strong")),
        (),
    ]
    return lines + _working(figure.working, units, width)


def _working(working: Working, units: Units, width: int) -> list[Line]:
    lines: list[Line] = []
    for step in working.formula.split("; "):
        lines += wrapped(readable(step), width, "teal", indent=4, first=0)
    lines.append(())
    for name, number in working.numbers.items():
        lines += wrapped(f"{name} = {_number(number, units)}", width, "text", indent=4, first=0)
    for text in working.assumed:
        lines += wrapped(f"assumed: {text}", width, "dim", indent=2, first=0)
    lines.append(())
    return lines + wrapped(f"Source: {working.source}", width, "dim", indent=2, first=0)


def _number(number: Amount | tuple[Amount, ...], units: Units) -> str:
    if isinstance(number, Amount):
        return show(number.value, number.kind, units)
    return ", ".join(show(held.value, held.kind, units) for held in number)


def _answer(answer: Answer, units: Units, width: int, more: Sequence[Line] = ()) -> list[Line]:
    lines = wrapped(answer.calculator.title, width, "title")
    lines.append(())
    if answer.needs:
        lines += wrapped("Needs " + " and ".join(need.what for need in answer.needs) + ".", width, "amber")
        lines += [(), *wrapped("Edit enters it; leave it unknown as long as you like.", width, "dim")]
    if answer.fault:
        lines += wrapped(answer.fault, width, "amber")
    lines += [*more, ()] if more else []
    for figure in answer.result.figures if answer.result is not None else ():
        lines += wrapped(f"{figure.title}: {figure.text(units)}", width, indent=2, first=0)
    if answer.result is not None:
        sources = dict.fromkeys(figure.working.source for figure in answer.result.figures)
        lines.append(())
        for source in sources:
            lines += wrapped(f"Source: {source}", width, "dim", indent=2, first=0)
    return lines


def _input(row: InputRow, width: int) -> list[Line]:
    held = row.answer.calculator.field(row.input)
    source = row.answer.sources[row.input]
    lines = [*wrapped(held.title, width, "title"), (), *wrapped(row.value, width, "strong")]
    if held.help:
        lines += [(), *wrapped(held.help, width)]
    lines.append(())
    if isinstance(source, Given) and source.how:
        lines += wrapped(source.how[:1].upper() + source.how[1:], width, "dim")
    for path in source.paths:
        lines += wrapped(spell(path), width, "dim", indent=2, first=0)
    if row.path is not None:
        lines += [(), line(("Edit changes it", "dim"))]
    return lines


def _check(check: CheckState, now: Standing, zone: tzinfo | None, width: int) -> list[Line]:
    lines = [*wrapped(check.check.text, width, "strong"), line((check.subject.path, "tan")), ()]
    if check.done is not None:
        word = "Not needed" if check.not_needed else "Done"
        lines += wrapped(f"{word} {moment(check.done, now.now, zone)}", width, "green")
        if check.not_needed:
            lines += wrapped(f"“{check.not_needed}”", width, "dim")
    for text in check.again:
        lines += wrapped(f"Check again: {text}", width, "amber")
    for before in check.waits_for:
        lines += wrapped(f"First: {CHECKS[before][1].text}", width, "amber", indent=2, first=0)
    timer = check.check.timer
    if timer is not None:
        if lines[-1]:
            lines.append(())
        running = [
            held for held in now.timers if held.timer == timer.id and held.subject == check.subject.path
        ]
        for held in running:
            if held.deadline is None:
                continue
            state = held.deadline.state
            to = f"{state}, {moment(held.deadline.at, now.now, zone)}"
            lines += wrapped(
                f"{timer.title}: {span(held.left(now.now))} to {to.removeprefix(', ')}", width, "teal"
            )
            if state:
                reached = CURE_WORDS.get(held.reached, held.reached)
                said = f"It is {reached} now. The time is by the shop as it was read."
                lines += wrapped(said, width, "dim")
        if not running:
            lines += wrapped(f"Doing it starts: {timer.title}", width, "teal")
        lines += wrapped(f"Then: {timer.at_zero}", width, "dim")
    return lines


def _finding(planned: PlannedFinding, units: Units, width: int) -> list[Line]:
    glyph, word, role = LEVEL_LOOK[planned.finding.level]
    lines: list[Line] = [(Span(f"{glyph} {word}", role),), line((planned.subject, "tan")), ()]
    lines += wrapped(planned.finding.text.say(units), width, "strong")
    lines += [(), *wrapped(planned.finding.remedy.say(units), width)]
    if planned.reason:
        word = "Accepted" if planned.accepted else "Accepted once, and worse since"
        lines += [(), *wrapped(f"{word}: “{planned.reason}”", width, "dim")]
    if planned.path is not None:
        lines += [(), *wrapped(f"Hangs on {spell(planned.path)}", width, "dim")]
    if not planned.accepted:
        lines += [(), line(("Accept keeps it quiet, with a reason", "dim"))]
    return lines
