"""The stable JSON shapes of calculations and plans: values in SI with pint unit names."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from workshop.calculator import Calculation, Calculator, CalculatorInputs
from workshop.desk import Given, Missing, Source
from workshop.figures import Figure, Finding, Result, Table, number_json
from workshop.plan import Answer, CheckState, Plan, PlannedFinding, StagePlan
from workshop.project.path import Path, spell
from workshop.project.timers import TimerState
from workshop.quantity import METRIC, MONEY, Kind, Units
from workshop.standing import Standing


def unit_name(kind: Kind, units: Units) -> str:
    """The pint name of a kind's SI unit, or the currency's ISO 4217 code."""
    return units.currency if kind is MONEY else kind.unit


def figure_json(figure: Figure, units: Units = METRIC) -> dict[str, Any]:
    """One figure with its working."""
    working = figure.working
    return {
        "title": figure.title,
        "value": figure.value,
        "unit": unit_name(figure.kind, units),
        "low": figure.low,
        "high": figure.high,
        "text": figure.text(units),
        "working": {
            "formula": working.formula,
            "numbers": {name: number_json(number) for name, number in working.numbers.items()},
            "assumed": list(working.assumed),
            "source": working.source,
            "simulation": working.simulation,
        },
    }


def table_json(table: Table, units: Units = METRIC) -> dict[str, Any]:
    """A table: its columns with units, its rows in SI, and the rows as text."""
    return {
        "title": table.title,
        "columns": [
            {
                "id": column.id,
                "title": column.title,
                "unit": unit_name(column.kind, units) if column.kind is not None else None,
            }
            for column in table.columns
        ],
        "rows": [list(row) for row in table.rows],
        "text": table.text_rows(units),
    }


def finding_json(finding: Finding, key: str, units: Units = METRIC) -> dict[str, Any]:
    """One finding with the way out."""
    return {
        "key": key,
        "level": finding.level.value,
        "text": finding.text.say(units),
        "remedy": finding.remedy.say(units),
        "field": finding.field,
        "figures": list(finding.figures),
    }


def _inputs_json(inputs: CalculatorInputs) -> dict[str, Any]:
    return {
        key: held for key, held in inputs.model_dump(mode="json", by_alias=True).items() if held is not None
    }


def _result_json(result: Result, units: Units) -> dict[str, Any]:
    units = result.units(units)
    return {
        "figures": {figure.id: figure_json(figure, units) for figure in result.figures},
        "tables": {id: table_json(table, units) for id, table in result.tables.items()},
    }


def calculation_json(calculation: Calculation, subject: str = "", units: Units = METRIC) -> dict[str, Any]:
    """The shape of `workshop calc ID --json`."""
    key = f"@{subject}" if subject else ""
    return {
        "id": calculation.calculator.id,
        "inputs": _inputs_json(calculation.inputs),
        **_result_json(calculation.result, units),
        "findings": [
            finding_json(finding, f"{finding.rule}{key}", units) for finding in calculation.result.findings
        ],
    }


def calculator_json(calculator: Calculator) -> dict[str, Any]:
    """The shape of one entry of `workshop calc --json`."""
    return {
        "id": calculator.id,
        "title": calculator.title,
        "stage": calculator.stage,
        "inputs": [
            {
                "key": field.key,
                "title": field.title,
                "help": field.help,
                "unit": field.kind.unit if field.kind is not None else None,
                "example": field.kind.example if field.kind is not None else None,
                "choices": list(field.choices),
                "required": field.required,
                "default": field.default,
                "low": field.low,
                "high": field.high,
            }
            for field in calculator.fields
        ],
        "alternatives": [list(group) for group in calculator.inputs.alternatives],
    }


def _source_json(source: Source) -> dict[str, Any]:
    paths = [spell(path) for path in source.paths]
    if isinstance(source, Missing):
        return {"needs": source.what, "from": paths}
    return {"from": paths, "how": source.how}


def answer_json(answer: Answer, units: Units = METRIC) -> dict[str, Any]:
    """A calculator within a plan: the same shape, with where each input came from and what it needs."""
    shape: dict[str, Any] = {
        "id": answer.calculator.id,
        "inputs": _inputs_json(answer.inputs)
        if answer.inputs is not None
        else {key: source.value for key, source in answer.sources.items() if isinstance(source, Given)},
        "figures": {},
        "tables": {},
        "findings": [],
    }
    if answer.result is not None:
        shape |= _result_json(answer.result, units)
        shape["findings"] = [
            finding_json(finding, f"{finding.rule}@{answer.subject}", units)
            for finding in answer.result.findings
        ]
    shape["sources"] = {key: _source_json(source) for key, source in answer.sources.items()}
    shape["needs"] = [need.what for need in answer.needs]
    if answer.fault:
        shape["fault"] = answer.fault
    return shape


def _time(at: datetime | None) -> str | None:
    return at.isoformat() if at is not None else None


def _check_json(held: CheckState) -> dict[str, Any]:
    return {
        "key": held.key,
        "id": held.check.id,
        "subject": held.subject.path,
        "text": held.check.text,
        "done": _time(held.done),
        "not-needed": held.not_needed or None,
        "again": list(held.again),
        "after": list(held.check.after),
        "waits-for": list(held.waits_for),
        "timer": held.check.timer.id if held.check.timer is not None else None,
    }


def _place(path: Path | None) -> str | None:
    return spell(path) if path is not None else None


def _planned_json(held: PlannedFinding, units: Units) -> dict[str, Any]:
    return {
        **finding_json(held.finding, held.key, units),
        "subject": held.subject,
        "calculator": held.calculator,
        "place": _place(held.path),
        "accepted": held.accepted,
        "reason": held.reason or None,
    }


def stage_json(held: StagePlan, units: Units = METRIC) -> dict[str, Any]:
    """One stage of a plan."""
    by_subject: dict[str, dict[str, Any]] = {}
    for answer in held.answers:
        by_subject.setdefault(answer.subject, {})[answer.calculator.id] = answer_json(answer, units)
    return {
        "id": held.stage.id,
        "title": held.stage.title,
        "checks": [_check_json(check) for check in held.checks],
        "cautions": list(held.stage.cautions),
        "subjects": [{"subject": subject, "calculators": answers} for subject, answers in by_subject.items()],
        "findings": [_planned_json(finding, units) for finding in held.findings],
    }


def timer_json(held: TimerState, now: datetime) -> dict[str, Any]:
    """A running timer as it stands."""
    return {
        "id": held.id,
        "timer": held.timer,
        "subject": held.subject,
        "started": _time(held.started),
        "deadline": _time(held.deadline.at) if held.deadline is not None else None,
        "state": held.deadline.state or None if held.deadline is not None else None,
        "left": held.left(now).total_seconds() if held.deadline is not None else None,
        "ringing": held.ringing,
        "reached": held.reached or None,
    }


def standing_json(held: Standing) -> dict[str, Any]:
    """How a project stands at a moment."""
    shop = held.shop
    return {
        "at": _time(held.now),
        "stage": held.stage,
        "subject": held.subject,
        "timers": [timer_json(timer, held.now) for timer in held.timers],
        "shop": None
        if shop is None
        else {"at": _time(shop.at), "temperature": shop.temperature, "humidity": shop.humidity},
        "next": [check.key for check in held.next],
    }


def plan_json(plan: Plan, only: str | None = None, more: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """The shape of `workshop plan --json`."""
    units = plan.project.units
    return {
        "project": plan.project.file.project.name,
        "stages": [stage_json(held, units) for held in plan.stages if only is None or held.stage.id == only],
        **(more or {}),
    }
