"""Plans and calculations as text for people, readable at 80 columns, without colour where it is piped."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from io import StringIO

import click
from rich import box
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from workshop.calculator import Calculation, Calculator, InputField
from workshop.figures import Figure, Finding, Level, Number, Table
from workshop.lift_table import in_words, lift_table
from workshop.meanwhile import old
from workshop.plan import Answer, CheckState, Plan, StagePlan
from workshop.quantity import DURATION, METRIC, Amount, Units, show
from workshop.returning import Return
from workshop.standing import Standing, at_zero, happening, timer_title

WIDTH = 80
_STYLES = {Level.NOTE: "cyan", Level.WARN: "yellow", Level.STOP: "bold red"}


def printed(parts: Iterable[RenderableType]) -> None:
    """Write to standard output: in colour on a terminal, unless NO_COLOR is set, and plain into a pipe."""
    console = Console(highlight=False, markup=False, emoji=False)
    if console.is_terminal:
        console.print(*parts, sep="\n")
        return
    page = StringIO()
    Console(
        file=page,
        width=WIDTH,
        highlight=False,
        markup=False,
        emoji=False,
        no_color=True,
        force_terminal=False,
    ).print(*parts, sep="\n")
    for line in page.getvalue().splitlines():
        click.echo(line.rstrip())


def _row(*cells: RenderableType, widths: Sequence[int | None]) -> Grid:
    """Cells side by side, each wrapped in its own column; a width of None takes what is left."""
    grid = Grid.grid(padding=(0, 1, 0, 0), expand=True)
    for width in widths:
        grid.add_column(width=width, ratio=None if width is not None else 1, overflow="fold")
    grid.add_row(*cells)
    return grid


def _in(part: RenderableType, by: int) -> Padding:
    return Padding(part, (0, 0, 0, by))


def _plain(text: str, style: str = "") -> Text:
    # What stands in a file must not steer the terminal.
    return Text(
        "".join(sign if sign.isprintable() or sign == "\n" else "·" for sign in text), style, overflow="fold"
    )


# A calculation


def calculation_text(calculation: Calculation, units: Units = METRIC) -> Iterator[RenderableType]:
    """Figures with their working, findings, tables."""
    units = calculation.result.units(units)
    yield _plain(calculation.calculator.title, "bold")
    for figure in calculation.result.figures:
        yield ""
        yield _figure(figure, units, 2)
        yield _in(_working(figure, units), 4)
    for table in calculation.result.tables.values():
        yield ""
        yield _in(_table(table, units), 2)
    for finding in calculation.result.findings:
        yield ""
        yield _in(_finding(finding, units), 2)


def _figure(figure: Figure, units: Units, by: int) -> RenderableType:
    return _in(_row(_plain(figure.title), _plain(figure.text(units), "bold"), widths=(38 - by, None)), by)


def _working(figure: Figure, units: Units) -> RenderableType:
    working = figure.working
    numbers = ", ".join(f"{name} = {_number(number, units)}" for name, number in working.numbers.items())
    said = [
        ("model" if working.simulation else "formula", working.formula),
        ("numbers", numbers),
        *(("assumed", assumed) for assumed in working.assumed),
        ("source", working.source),
    ]
    return Group(*(_row(_plain(word, "dim"), _plain(text), widths=(8, None)) for word, text in said if text))


def _number(number: Number, units: Units) -> str:
    if isinstance(number, Amount):
        return show(number.value, number.kind, units)
    return f"({', '.join(show(held.value, held.kind, units) for held in number)})"


def _table(table: Table, units: Units) -> Grid:
    grid = Grid(
        title=table.title,
        title_justify="left",
        title_style="",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        show_edge=False,
    )
    for column in table.columns:
        grid.add_column(column.title, justify="right" if column.kind is not None else "left", overflow="fold")
    for row in table.text_rows(units):
        grid.add_row(*(_plain(cell) for cell in row))
    return grid


def _finding(finding: Finding, units: Units, accepted: str | None = None) -> RenderableType:
    said = [finding.text.say(units), finding.remedy.say(units)]
    word = _plain(finding.level.value, _STYLES[finding.level])
    if accepted is not None:
        word = _plain("accepted", "dim")
        said += [accepted] if accepted else []
    return _row(word, Group(*(_plain(line) for line in said)), widths=(8, None))


# The catalogue


def catalogue_text(by_stage: Mapping[str, Sequence[Calculator]]) -> Iterator[RenderableType]:
    """All calculators under the titles of their stages."""
    for number, (title, calculators) in enumerate(by_stage.items()):
        if number:
            yield ""
        yield _plain(title, "bold")
        for calculator in calculators:
            yield _in(_row(_plain(calculator.id), _plain(calculator.title), widths=(24, None)), 2)


def inputs_text(calculator: Calculator) -> Iterator[RenderableType]:
    """What a calculator takes: each key with its words, and what may be left out."""
    yield _plain(f"{calculator.title} ({calculator.id})", "bold")
    for held in calculator.fields:
        words = Group(*(_plain(line) for line in _said(held)))
        yield _in(_row(_plain(held.key), words, widths=(24, None)), 2)
    for group in calculator.inputs.alternatives:
        yield _in(_plain(f"It needs {' or '.join(group)}."), 2)


def _said(field: InputField) -> Iterator[str]:
    yield field.title + ("" if field.required else " (may be left out)")
    if field.help:
        yield field.help
    if field.choices:
        yield f"one of {', '.join(field.choices)}"
    elif field.kind is not None:
        yield f"such as {field.kind.example}"
    if not field.required and field.default is not None:
        yield f"taken as {field.text(field.default)}"


# A plan


def standing_lines(plan: Plan, held: Standing) -> Iterator[str]:
    """What is in work, and each running timer with its time left."""
    where, what = happening(plan, held)
    yield f"{where}: {what}" if where else what
    for timer in held.timers:
        name = f"{timer_title(timer.timer)}, {timer.subject}"
        if timer.deadline is None:
            yield f"{name}: nothing more to come"
            continue
        left = timer.left(held.now).total_seconds()
        state = f" ({timer.deadline.state})" if timer.deadline.state else ""
        if timer.ringing:
            yield f"{name}: rings{state} since {show(-left, DURATION)}; {at_zero(timer.timer)}"
        else:
            yield f"{name}: {show(left, DURATION)} left{state}"


def returning_lines(held: Return, units: Units) -> Iterator[str]:
    """What a maker should know on coming back; nothing where the page is not worth showing."""
    if not held.applies:
        return
    yield f"You were away for {old(held.away)}."
    for title, rows in held.sections:
        yield f"{title}:"
        for row in rows:
            yield f"- {row.say(units)}"


def plan_text(plan: Plan, only: str | None = None, standing: Iterable[str] = ()) -> Iterator[RenderableType]:
    """The nine stages with checks done, findings and figures; of one stage the checks by name too."""
    yield _plain(plan.project.file.project.name or "A project without a name", "bold")
    for line in standing:
        yield _plain(line)
    for number, held in enumerate(plan.stages, 1):
        if only is None or held.stage.id == only:
            yield ""
            yield from _stage(number, held, plan.project.units, named=only is not None)
            if held.stage.id == "lifts":
                for casting in plan.project.file.casting:
                    table = lift_table(plan, casting)
                    if table is not None:
                        yield _in(_plain(table.title, "underline"), 2)
                        for lift, said in in_words(table, plan.project.units):
                            yield _in(_row(_plain(lift), _plain(said), widths=(8, None)), 4)


def _stage(number: int, held: StagePlan, units: Units, named: bool) -> Iterator[RenderableType]:
    done = f"{held.done} of {len(held.checks)} checks done"
    yield _row(_plain(f"{number} {held.stage.title}", "bold"), _plain(done), widths=(38, None))
    if named:
        for check in held.checks:
            yield _in(
                _row(
                    _plain(_mark(check)),
                    _plain(check.check.text),
                    _plain(check.subject.path, "dim"),
                    widths=(1, None, 20),
                ),
                2,
            )
        for caution in held.stage.cautions:
            yield _in(_row(_plain("caution"), _plain(caution), widths=(8, None)), 2)
    for planned in held.findings:
        yield _in(_finding(planned.finding, units, planned.reason or "" if planned.accepted else None), 2)
    subject = ""
    for answer in held.answers:
        if answer.subject != subject:
            subject = answer.subject
            yield _in(_plain(subject, "underline"), 2)
        yield from _answer(answer, units)


def _mark(check: CheckState) -> str:
    if check.again:
        return "?"
    return "■" if check.settled else "□"


def _answer(answer: Answer, units: Units) -> Iterator[RenderableType]:
    yield _in(_plain(answer.calculator.title), 4)
    if answer.result is not None:
        for figure in answer.result.figures:
            yield _figure(figure, units, 6)
    elif answer.fault:
        yield _in(_plain(answer.fault), 6)
    else:
        yield _in(_plain(f"needs {'; '.join(need.what for need in answer.needs)}"), 6)
