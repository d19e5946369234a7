"""The plan: every check, figure and finding of a project, as a pure function of it.

What depends on the moment (timers, what is due, how old a reading is) is in `standing`.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from threading import Lock
from typing import Any

from workshop.calculator import Calculator, CalculatorInputs, InputError, checked_inputs
from workshop.calculators import catalogue
from workshop.desk import Desk, Filling, Given, Missing, Source
from workshop.figures import Finding, Level, Result
from workshop.project.model import ProjectFile
from workshop.project.path import NoSuchPlace, Path, find, spell, unspell
from workshop.project.project import Project
from workshop.quantity import Amount, QuantityError, parse, show
from workshop.stages import STAGES
from workshop.stages.checklist import Check, Over, Stage, Subject, subjects


@dataclass(frozen=True, slots=True)
class Answer:
    """One calculator for one subject: where its inputs came from, and its result or what it needs."""

    calculator: Calculator
    subject: str
    sources: Mapping[str, Source]
    inputs: CalculatorInputs | None
    result: Result | None
    needs: tuple[Missing, ...]
    fault: str = ""
    pending: bool = False
    """Whether it is still to be worked out, or waits for another that is."""


@dataclass(frozen=True, slots=True)
class CheckState:
    """One check for one subject. `waits_for` are the checks before it that are not done."""

    check: Check
    subject: Subject
    done: datetime | None
    not_needed: str
    again: tuple[str, ...]
    """What has changed since it was done, in words: the check is marked "check again"."""
    waits_for: tuple[str, ...]

    @property
    def key(self) -> str:
        """`lid-on@seat/base`."""
        return f"{self.check.id}@{self.subject.path}"

    @property
    def settled(self) -> bool:
        """Done or waived."""
        return self.done is not None


@dataclass(frozen=True, slots=True)
class PlannedFinding:
    """A finding in its place: key `rule@subject`, the place in the file it hangs on, whether accepted."""

    key: str
    finding: Finding
    subject: str
    calculator: str
    path: Path | None
    accepted: bool
    reason: str = ""


@dataclass(frozen=True, slots=True)
class StagePlan:
    """A stage of a project. Findings come with the gravest first, accepted ones last."""

    stage: Stage
    checks: tuple[CheckState, ...]
    answers: tuple[Answer, ...]
    findings: tuple[PlannedFinding, ...]

    @property
    def done(self) -> int:
        """How many checks are done or waived."""
        return sum(check.settled for check in self.checks)

    @property
    def open_findings(self) -> tuple[PlannedFinding, ...]:
        """Those that nobody accepted."""
        return tuple(held for held in self.findings if not held.accepted)


@dataclass(frozen=True, slots=True)
class Plan:
    """A project with everything that follows from it."""

    project: Project
    stages: tuple[StagePlan, ...]

    @property
    def pending(self) -> bool:
        """Whether some figures are still to be worked out."""
        return any(answer.pending for stage in self.stages for answer in stage.answers)

    def stage(self, id: str) -> StagePlan:
        """The stage of this id; raises KeyError."""
        for held in self.stages:
            if held.stage.id == id:
                return held
        raise KeyError(id)

    @property
    def findings(self) -> Iterator[PlannedFinding]:
        """All findings, stage by stage."""
        for held in self.stages:
            yield from held.findings

    def check(self, key: str) -> tuple[StagePlan, CheckState]:
        """The check of this key, `lid-on@seat/base`, with its stage; raises KeyError."""
        for held in self.stages:
            for check in held.checks:
                if check.key == key:
                    return held, check
        raise KeyError(key)


Compute = Callable[[Any], Result]


class _Computed:
    """What calculators gave for inputs they were given before; the screens' workers share it."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[tuple[Compute, CalculatorInputs], Result | str] = OrderedDict()
        self._running: dict[tuple[Compute, CalculatorInputs], Lock] = {}
        self._lock = Lock()

    def known(self, compute: Compute, inputs: CalculatorInputs) -> Result | str | None:
        """A result, or what is wrong with the inputs; None where they were never computed."""
        with self._lock:
            found = self._held.get((compute, inputs))
            if found is not None:
                self._held.move_to_end((compute, inputs))
            return found

    def result(self, compute: Compute, inputs: CalculatorInputs) -> Result | str:
        """A result, or what is wrong with the inputs, computed now where it is not known."""
        found = self.known(compute, inputs)
        if found is not None:
            return found
        key = (compute, inputs)
        with self._lock:
            running = self._running.setdefault(key, Lock())
        # Of several workers that ask for the same, one computes; the others wait for what it finds.
        with running:
            found = self.known(compute, inputs)
            if found is None:
                try:
                    found = compute(inputs)
                except (ValueError, ArithmeticError) as error:
                    found = str(error)
                with self._lock:
                    self._held[key] = found
                    if len(self._held) > self._most:
                        self._held.popitem(last=False)
        with self._lock:
            self._running.pop(key, None)
        return found


_COMPUTED = _Computed(8192)
PENDING = Missing("a moment: it is being worked out")
"""What a figure lacks that is still to come."""


class _Making:
    """Runs fillings, and those they ask for, each once."""

    def __init__(self, project: Project, calculators: Mapping[str, Calculator], defer: bool) -> None:
        self._defer = defer
        self._desk = Desk(project, self.figure)
        self._calculators = calculators
        self._answers: dict[str, dict[str, Answer]] = {}

    def answers(self, calculator: Calculator) -> Mapping[str, Answer]:
        """The calculator's answers by subject."""
        if calculator.id not in self._answers:
            held: dict[str, Answer] = {}
            self._answers[calculator.id] = held
            for filling in calculator.fill(self._desk) if calculator.fill is not None else ():
                held[filling.subject] = _answer(calculator, filling, self._defer)
        return self._answers[calculator.id]

    def figure(self, calculator: str, subject: str, figure: str) -> Source:
        """A figure of another calculator, or what that one needs."""
        answer = self.answers(self._calculators[calculator]).get(subject)
        if answer is not None and answer.pending and answer.result is None:
            return PENDING
        if answer is None:
            return Missing(f"{self._calculators[calculator].title.lower()} for {subject}")
        paths = tuple(dict.fromkeys(path for source in answer.sources.values() for path in source.paths))
        found = answer.result.figure(figure) if answer.result is not None else None
        if found is None:
            needs = answer.needs or (Missing(answer.fault or f"{figure} for {subject}"),)
            return Missing(
                " and ".join(need.what for need in needs),
                tuple(path for need in needs for path in need.paths),
            )
        return Given(found.value, paths, f"from {answer.calculator.title.lower()}")


def _answer(calculator: Calculator, filling: Filling, defer: bool) -> Answer:
    known = {key: source.value for key, source in filling.inputs.items() if isinstance(source, Given)}
    missing = {key: source for key, source in filling.inputs.items() if isinstance(source, Missing)}
    needs = tuple(
        missing[field.key] for field in calculator.fields if field.key in missing and field.required
    )
    for group in calculator.inputs.alternatives:
        if not any(key in known for key in group):
            needs += tuple(missing[key] for key in group if key in missing)[:1]
    needs = tuple({need.what: need for need in needs}.values())
    pending = any(PENDING.what in source.what for source in missing.values())
    if needs or pending:
        return Answer(
            calculator, filling.subject, filling.inputs, None, None, needs or (PENDING,), pending=pending
        )
    try:
        inputs = checked_inputs(calculator, known)
    except InputError as error:
        return Answer(calculator, filling.subject, filling.inputs, None, None, (), str(error))
    if defer and calculator.slow and _COMPUTED.known(calculator.compute, inputs) is None:
        if calculator.quick is None:
            return Answer(calculator, filling.subject, filling.inputs, inputs, None, (PENDING,), pending=True)
        first = _COMPUTED.result(calculator.quick, inputs)
        if isinstance(first, Result):
            return Answer(calculator, filling.subject, filling.inputs, inputs, first, (), pending=True)
    result = _COMPUTED.result(calculator.compute, inputs)
    if isinstance(result, str):
        return Answer(calculator, filling.subject, filling.inputs, inputs, None, (), result)
    return Answer(calculator, filling.subject, filling.inputs, inputs, result, ())


def plan(
    project: Project, calculators: Mapping[str, Calculator] | None = None, *, defer: bool = False
) -> Plan:
    """Everything that follows from a project: nine stages with checks, figures and findings.

    With `defer`, a calculator that takes long answers `pending` unless it was run on these inputs before; a
    plan without it, made in a worker, brings the rest.
    """
    known = catalogue() if calculators is None else calculators
    making = _Making(project, known, defer)
    checks = _checks(project)
    settled = {held.key for held in checks.values() if held.settled}
    order = {path: number for number, path in enumerate(_subject_order(project.file))}
    made = []
    for stage in STAGES:
        answers = [
            answer
            for calculator in known.values()
            if calculator.stage == stage.id
            for answer in making.answers(calculator).values()
        ]
        answers.sort(key=lambda answer: order.get(answer.subject, len(order)))
        findings = [
            _planned(project, answer, finding)
            for answer in answers
            if answer.result is not None
            for finding in answer.result.findings
        ]
        findings.sort(key=lambda held: (held.accepted, -held.finding.level.rank))
        made.append(
            StagePlan(
                stage,
                tuple(
                    _with_waits(held, checks, settled)
                    for held in checks.values()
                    if held.check in stage.checks
                ),
                tuple(answers),
                tuple(findings),
            )
        )
    return Plan(project, tuple(made))


def _subject_order(file: ProjectFile) -> Iterator[str]:
    yield "project"
    yield "shop"
    yield from file.slab
    for casting, held in file.casting.items():
        yield casting
        yield from (f"{casting}/{face}" for face in ("lower", "upper"))
        yield from (f"{casting}/{lift.id}" for lift in held.lifts)


def _planned(project: Project, answer: Answer, finding: Finding) -> PlannedFinding:
    source = answer.sources.get(finding.field) if finding.field is not None else None
    path = source.paths[0] if source is not None and source.paths else None
    held = project.file.record.accepted.get(finding.rule, {}).get(answer.subject)
    accepted = held is not None and not _worsened(finding, held.value, held.level)
    reason = held.reason if held is not None and held.reason is not None else ""
    return PlannedFinding(
        f"{finding.rule}@{answer.subject}",
        finding,
        answer.subject,
        answer.calculator.id,
        path,
        accepted,
        reason,
    )


def _worsened(finding: Finding, value: str | None, level: str | None) -> bool:
    """Whether an accepted finding is graver now: a higher level, or a value past the rule's margin."""
    if level is not None and finding.level.rank > Level(level).rank:
        return True
    if finding.value is None or value is None:
        return False
    try:
        before = parse(value, finding.value.kind)
    except QuantityError:
        return True
    change = finding.value.value - before
    return (change if finding.worse == "up" else -change) > finding.margin + _rounding(finding.value)


def _rounding(amount: Amount) -> float:
    """How far a value moves when printed, so that an acceptance holds for the value it was given for."""
    return abs(parse(show(amount.value, amount.kind), amount.kind) - amount.value) + 1e-12


def _checks(project: Project) -> dict[str, CheckState]:
    """Every check for every subject it applies to, in the order of the stages."""
    file = project.file
    every = {over: tuple(subjects(file, over)) for over in Over}
    found: dict[str, CheckState] = {}
    for stage in STAGES:
        done = file.record.done.get(stage.id, {})
        for over in Over:
            for subject in every[over]:
                for check in stage.checks:
                    if check.over is over and (check.applies is None or check.applies(file, subject)):
                        entry = done.get(subject.path, {}).get(check.id)
                        found[f"{check.id}@{subject.path}"] = CheckState(
                            check,
                            subject,
                            entry.at if entry is not None else None,
                            (entry.not_needed or "") if entry is not None else "",
                            _changed_since(project, entry.rested_on if entry is not None else {}),
                            (),
                        )
    return found


def _changed_since(project: Project, rested_on: Mapping[str, str]) -> tuple[str, ...]:
    changed = []
    for place, before in rested_on.items():
        now = text_at(project, unspell(place))
        if now != before:
            owner, key = place.split(".")[-2:]
            changed.append(f"{owner} {key} was {before}, now {now or 'unknown'}")
    return tuple(changed)


def text_at(project: Project, path: Path) -> str:
    """What the file says at a place, as text; empty where nothing stands."""
    try:
        return str(find(project.document, path))
    except NoSuchPlace:
        return ""


def rested_on(project: Project, check: Check, subject: Subject) -> dict[str, str]:
    """The values a check rests on right now, to be stored with it."""
    if check.rests_on is None:
        return {}
    places = check.rests_on(project.file, subject)
    return {spell(path): text for path in places if (text := text_at(project, path))}


def _with_waits(held: CheckState, checks: Mapping[str, CheckState], settled: set[str]) -> CheckState:
    waits = tuple(before for before in held.check.after if not _met(before, held.subject, checks, settled))
    if not waits:
        return held
    return CheckState(held.check, held.subject, held.done, held.not_needed, held.again, waits)


def _met(check: str, subject: Subject, checks: Mapping[str, CheckState], settled: set[str]) -> bool:
    """Whether a prerequisite is done on the same subject, else its ancestor, else all its descendants."""
    parts = subject.path.split("/")
    for length in range(len(parts), 0, -1):
        key = f"{check}@{'/'.join(parts[:length])}"
        if key in checks:
            return key in settled
    if f"{check}@project" in checks:
        return f"{check}@project" in settled
    prefix = "" if subject.over is Over.PROJECT else f"{subject.path}/"
    below = [
        key for key, held in checks.items() if held.check.id == check and held.subject.path.startswith(prefix)
    ]
    return all(key in settled for key in below)
