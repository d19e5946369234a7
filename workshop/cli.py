"""The command line. Commands import what they need when they run, so that help comes up at once."""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from workshop.options import (
    Command,
    Refused,
    everywhere,
    forgiving_options,
    given_options,
    instead,
    one_line,
    refusing,
)
from workshop.project.questions import QUESTIONS

if TYPE_CHECKING:
    from workshop.calculator import Calculator
    from workshop.plan import Plan
    from workshop.project.project import Project
    from workshop.quantity import Units

as_json_option = click.option("--json", "as_json", is_flag=True, help="Write JSON, in SI units.")


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@everywhere
@click.pass_context
def main(context: click.Context) -> None:
    """Walk a build of timber slabs and cast resin through its nine stages.

    Without a command the list of projects opens.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a sign gets a question mark, not a crash.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    if context.invoked_subcommand is None:
        _screens(None)


def at_terminal(*streams: IO[str]) -> bool:
    """Whether a person is at the other end of these streams."""
    return all(stream.isatty() for stream in streams)


def _screens(file: str | None) -> None:
    from workshop.clock import Clock

    options, faults = forgiving_options()
    path = None
    zone = _read(options.file(file)).file.shop.zone if file is not None else None
    if not at_terminal(sys.stdin, sys.stdout) and "TEXTUAL_DRIVER" not in os.environ:
        raise Refused("The screens need a terminal; use check, plan, calc or schema where there is none.")
    if file is not None:
        from workshop.project.example import open_path

        with refusing():
            path = open_path(options.file(file), options.folder, options.now(zone))
    from workshop.settings import settings_path

    # Nothing that is made before the first paint is garbage; the app looks for some from then on.
    gc.disable()
    try:
        from workshop.tui.app import WorkshopApp

        with refusing():
            app = WorkshopApp(
                folder=options.folder,
                file=path,
                clock=Clock(at=options.moment(zone)),
                settings=options.settings,
                settings_file=settings_path(),
                faults=faults,
            )
        app.run()
    finally:
        gc.enable()


def _read(path: Path) -> Project:
    from workshop.project.loading import load_text
    from workshop.project.reading import read

    with refusing():
        return load_text(read(path).text, str(path))


def _written(shape: Any) -> None:
    """JSON on standard output, in UTF-8 whatever the terminal's encoding."""
    text = json.dumps(_finite(shape), ensure_ascii=False, indent=2, allow_nan=False, default=str)
    click.echo(text.encode("utf-8", "replace"))


def _finite(held: Any) -> Any:
    if isinstance(held, float):
        return held if held - held == 0 else None
    if isinstance(held, Mapping):
        return {str(key): _finite(inner) for key, inner in held.items()}
    if isinstance(held, list | tuple):
        return [_finite(inner) for inner in held]
    return held


# Commands on a project


@main.command("open")
@click.argument("file")
@everywhere
def open_file(file: str) -> None:
    """Open a project FILE, or a copy of it where it is an example."""
    _screens(file)


def _answered_by_option(command: Command) -> Command:
    for question in reversed(QUESTIONS):
        command = click.option(
            f"--{question.key}", metavar="TEXT", help=f"{question.asks}, such as {question.example}."
        )(command)
    return command


@main.command(short_help="Make a new project called NAME.")
@click.argument("name")
@_answered_by_option
@everywhere
def new(name: str, **flags: str | None) -> None:
    """Make a new project called NAME; what is not answered stays unknown."""
    from workshop.brought import brought
    from workshop.project.folder import path_for
    from workshop.project.shelving import begin
    from workshop.project.starting import new_document, with_own, wrong_answer
    from workshop.settings import settings_path

    options = given_options()
    answers = {key.replace("_", "-"): text for key, text in flags.items() if text is not None}
    if not name.strip():
        raise Refused("A project needs a name, such as: workshop new 'Tarn bench'.")
    with refusing():
        path = path_for(options.folder, name)
        for key, text in {"name": name, **answers}.items():
            if wrong := wrong_answer(key, text):
                raise Refused(one_line(f"{key if key == 'name' else f'--{key}'}: {wrong}"))
        own = brought(settings_path())
        asked = not answers and at_terminal(sys.stdin)
        answers = _answered(own.answers) if asked else {**own.answers, **answers}
        begin(with_own(new_document({"name": name, **answers}), own.tables), path, options.now())
    click.echo(f"Made {path}")


def _answered(first: Mapping[str, str]) -> dict[str, str]:
    """Ask one thing at a time; a wrong answer is explained and asked again. `first` holds the maker's own."""
    from workshop.project.starting import wrong_answer

    click.echo("Press Enter where you do not know yet.")
    answers: dict[str, str] = {}
    for question in QUESTIONS:
        own = first.get(question.key, "")
        while True:
            text = click.prompt(f"{question.asks} ({question.example})", default=own, show_default=bool(own))
            wrong = wrong_answer(question.key, text)
            if not wrong:
                break
            click.echo(wrong)
        if text.strip():
            answers[question.key] = text.strip()
    return answers


@main.command(short_help="Check a project FILE; 0 clean, 1 a stop stands, 2 cannot be read.")
@click.argument("file")
@everywhere
def check(file: str) -> None:
    """Check a project FILE.

    Exit status 0: clean; 1: a stop stands that was not accepted; 2: the file cannot be read.
    """
    from workshop.figures import Level

    plan = _plan(_read(given_options().file(file)))
    stops = [held for held in plan.findings if held.finding.level is Level.STOP and not held.accepted]
    for held in stops:
        units = plan.project.units
        click.echo(f"stop {held.key}: {held.finding.text.say(units)} {held.finding.remedy.say(units)}")
    if stops:
        raise SystemExit(1)
    click.echo(f"{plan.project.file.project.name or file}: no stop stands.")


def _plan(project: Project) -> Plan:
    from workshop.calculators import catalogue
    from workshop.plan import plan

    return plan(project, catalogue())


@main.command("plan", short_help="Show what follows from a project FILE.")
@click.argument("file")
@click.option("--stage", metavar="ID", help="Only this stage, with its checks by name.")
@as_json_option
@everywhere
def show_plan(file: str, stage: str | None, as_json: bool) -> None:
    """Show what follows from a project FILE: nine stages with checks, findings and figures."""
    from workshop.stages import STAGES

    options = given_options()
    if stage is not None and stage not in (held.id for held in STAGES):
        known = [held.id for held in STAGES]
        raise Refused(f"--stage: there is no stage {stage!r}; {instead(stage, known)}")
    project = _read(options.file(file))
    made = _plan(project)
    from workshop.standing import standing

    now = standing(made, options.now(project.file.shop.zone))
    if as_json:
        from workshop.shapes import plan_json, standing_json

        # Without --at the answer depends on the file alone, so that two answers can be compared.
        more = {"standing": standing_json(now)} if options.at is not None else None
        _written(plan_json(made, stage, more))
        return
    from workshop.returning import coming_back
    from workshop.terminal import plan_text, printed, returning_lines, standing_lines

    back = coming_back(made, now, None, now.now)
    lines = (*standing_lines(made, now), *returning_lines(back, project.units))
    printed(plan_text(made, stage, lines))


@main.command("export", short_help="Write a project FILE out: drawing, templates, journal.")
@click.argument("file")
@click.option("--as", "kind", metavar="KIND", required=True, help="drawing, templates or journal.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="PATH", help="Where to write it; else to here."
)
@everywhere
def export(file: str, kind: str, output: Path | None) -> None:
    """Write what a project FILE holds in a form for others: --as drawing, templates or journal."""
    from workshop.exports import EXPORTS

    held = EXPORTS.get(kind)
    if held is None:
        raise Refused(one_line(f"--as: there is no export {kind!r}; {instead(kind, list(EXPORTS))}"))
    options = given_options()
    path = options.file(file)
    project = _read(path)
    made = held.make(project, options.now(project.file.shop.zone))
    if output is None:
        click.echo(made, nl=False)
        return
    if output.suffix.lower() == ".toml":
        raise Refused(
            one_line(f"-o: {output} is a project's name; choose a file that ends in {held.ending}.")
        )
    try:
        output.write_bytes(made)
    except OSError as error:
        said = error.strerror or str(error)
        raise Refused(one_line(f"-o: {output} cannot be written ({said}); choose another place.")) from error
    click.echo(one_line(f"Wrote {output}"))


@main.command("outline", short_help="Bring a slab's outline from a drawing into a project FILE.")
@click.argument("file")
@click.argument("slab")
@click.argument("drawing", type=click.Path(path_type=Path))
@click.option(
    "--face",
    type=click.Choice(["upper", "lower", "both"]),
    default="upper",
    help="Which face it is of; both where the drawing holds both.",
)
@click.option("--shape", type=int, metavar="N", help="Which outline of the drawing, counted from 1.")
@click.option("--length", metavar="TEXT", help="Length measured on the slab, such as '1500 mm'.")
@click.option("--scale", "to_scale", is_flag=True, help="Make it as long as measured where the two differ.")
@everywhere
def bring_outline(
    file: str, slab: str, drawing: Path, face: str, shape: int | None, length: str | None, to_scale: bool
) -> None:
    """Bring the outline of SLAB from DRAWING (SVG, DXF or CSV) into a project FILE.

    It is laid along the slab's tape: its left end at 0, the tape down its middle. Nothing is written where
    the scale is wrong or cannot be known.
    """
    from workshop.project.bringing import bring

    options = given_options()
    path = options.file(file)
    with refusing():
        try:
            lines = bring(path, slab, drawing, face, shape, length, to_scale, options.now)
        except ValueError as error:
            raise Refused(one_line(str(error))) from error
    for line in lines:
        click.echo(one_line(line))


@main.command("history", short_help="List the older copies of a project FILE.")
@click.argument("file")
@as_json_option
@everywhere
def history(file: str, as_json: bool) -> None:
    """List the older copies kept of a project FILE, the newest first."""
    from zoneinfo import ZoneInfo

    from workshop.project.older import older_copies

    path = given_options().file(file)
    zone = _read(path).file.shop.zone
    copies = older_copies(path)
    where = ZoneInfo(zone) if zone is not None else None
    if as_json:
        _written([{"at": copy.at.astimezone(where).isoformat(), "path": str(copy.path)} for copy in copies])
        return
    for copy in copies:
        click.echo(one_line(f"{copy.at.astimezone(where):%Y-%m-%d %H:%M:%S}  {copy.path}"))
    if not copies:
        click.echo(one_line(f"No older copy of {path.name} is kept yet."))


# Calculators


@main.command("calc", short_help="Run a calculator, show its inputs, or list all.")
@click.argument("calculator", required=False, metavar="[ID]")
@click.argument("values", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--from", "source", metavar="FILE", help="Fill the inputs from this project.")
@click.option("--for", "subject", metavar="SUBJECT", help="Which part of the project, such as seat/strip.")
@click.option("--units", "system", type=click.Choice(["metric", "us"]), help="Units to show.")
@as_json_option
@everywhere
def calc(
    calculator: str | None,
    values: tuple[str, ...],
    source: str | None,
    subject: str | None,
    system: str | None,
    as_json: bool,
) -> None:
    """Run the calculator ID on values with units; without ID list all, with ID alone show its inputs."""
    from workshop.calculator import Calculation, InputError, calculate

    if calculator is None:
        if source is not None or subject is not None:
            raise Refused("--from and --for fill a calculator; write its ID too, such as: workshop calc mix.")
        _list_calculators(as_json)
        return
    held = _calculator(calculator)
    texts = _texts(values)
    if subject is not None and source is None:
        raise Refused("--for names a part of a project; write --from FILE too.")
    if source is None and not values and _needs_inputs(held):
        _show_inputs(held, as_json)
        return
    try:
        if source is None:
            units, done = _units(system), calculate(held, texts)
        else:
            project = _read(given_options().file(source))
            from workshop.filling import filled

            subject, inputs = filled(_plan(project), held, subject, texts)
            units = _units(system) if system is not None else project.units
            done = Calculation(held, inputs, held.compute(inputs))
    except (InputError, ValueError, ArithmeticError) as error:
        said = one_line(str(error))
        raise Refused(said if said.endswith((".", "?")) else f"{said}.") from error
    if as_json:
        from workshop.shapes import calculation_json

        _written(calculation_json(done, subject or "", units))
        return
    from workshop.terminal import calculation_text, printed

    printed(calculation_text(done, units))


def _units(system: str | None) -> Units:
    from workshop.quantity import METRIC, Units

    held = given_options().settings
    us = (system or held.units) == "us"
    return Units(
        "us" if us else "metric",
        held.inch_fraction or METRIC.inch_fraction,
        held.currency or ("USD" if us else METRIC.currency),
    )


def _calculator(name: str) -> Calculator:
    from workshop.calculators import catalogue

    known = catalogue()
    plain = name.strip().lower().replace("_", "-")
    if plain not in known:
        import difflib

        close = difflib.get_close_matches(plain, known, 1)
        hint = f"did you mean {close[0]}?" if close else "workshop calc lists them all."
        raise Refused(f"There is no calculator {name!r}; {hint}")
    return known[plain]


def _texts(values: tuple[str, ...]) -> dict[str, str]:
    texts: dict[str, str] = {}
    for value in values:
        key, equals, text = value.partition("=")
        key = key.strip()
        if not equals or not key:
            raise Refused(one_line(f"{value!r} is not KEY=VALUE; write one such as thickness='57 mm'."))
        if key in texts:
            raise Refused(one_line(f"{key} is given twice; write it once."))
        texts[key] = text
    return texts


def _needs_inputs(held: Calculator) -> bool:
    return bool(held.inputs.alternatives) or any(field.required for field in held.fields)


def _show_inputs(held: Calculator, as_json: bool) -> None:
    if as_json:
        from workshop.shapes import calculator_json

        _written(calculator_json(held))
        return
    from workshop.terminal import inputs_text, printed

    printed(inputs_text(held))


def _list_calculators(as_json: bool) -> None:
    from workshop.calculators import catalogue
    from workshop.stages import STAGES

    titles = {stage.id: stage.title for stage in STAGES}
    by_stage: dict[str, list[Calculator]] = {title: [] for title in titles.values()}
    for held in catalogue().values():
        by_stage.setdefault(titles.get(held.stage, held.stage), []).append(held)
    if as_json:
        from workshop.shapes import calculator_json

        _written([calculator_json(held) for group in by_stage.values() for held in group])
        return
    from workshop.terminal import catalogue_text, printed

    printed(catalogue_text({title: group for title, group in by_stage.items() if group}))


@main.command("schema")
@everywhere
def show_schema() -> None:
    """Write the JSON Schema of the project file, for editors."""
    from workshop.project.schema import schema

    _written(schema())


@main.command("settings", short_help="Show the settings in force and where they lie.")
@click.option("--schema", "as_schema", is_flag=True, help="Write the JSON Schema of the settings file.")
@as_json_option
@everywhere
def show_settings(as_schema: bool, as_json: bool) -> None:
    """Show where the settings lie and what is in force; --schema writes their JSON Schema, for editors."""
    from workshop.project.faults import FileFaults
    from workshop.settings import Settings, settings_path

    if as_schema:
        from workshop.project.schema import schema

        _written(schema(Settings, "Settings file"))
        return
    from workshop.settings_text import key_faults, settings_document, settings_text

    held, path = given_options().settings, settings_path()
    with refusing():
        if faults := key_faults(held, path):
            raise FileFaults(faults)
        if as_json:
            _written({"path": str(path), "settings": settings_document(held, path)})
            return
        for line in settings_text(held, path):
            click.echo(line)
