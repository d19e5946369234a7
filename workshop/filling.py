"""A calculator filled from a project, with what was typed in place of what the project says."""

from __future__ import annotations

import difflib
from collections.abc import Mapping

from workshop.calculator import Calculator, CalculatorInputs, InputError, checked_inputs, read_value
from workshop.desk import Given, Missing
from workshop.plan import Answer, Plan
from workshop.quantity import QuantityError


def answers_of(plan: Plan, calculator: Calculator) -> dict[str, Answer]:
    """The plan's answers of one calculator, by subject."""
    return {
        answer.subject: answer
        for held in plan.stages
        for answer in held.answers
        if answer.calculator.id == calculator.id
    }


def filled(
    plan: Plan, calculator: Calculator, subject: str | None, texts: Mapping[str, str]
) -> tuple[str, CalculatorInputs]:
    """The subject and its inputs; `texts` stand before what the project says.

    Without a subject the only one is taken. Raises InputError where there is no such subject, where a text
    cannot be read, or where the project does not hold what is needed.
    """
    answer = _answer(answers_of(plan, calculator), calculator, subject)
    typed = {}
    for key, text in texts.items():
        try:
            typed[key] = read_value(text, calculator.field(key).hint)
        except QuantityError as error:
            raise InputError(key, str(error)) from None
    # A typed mass replaces the volume that the project fills where either would do.
    replaced = {key for group in calculator.inputs.alternatives if typed.keys() & set(group) for key in group}
    known = {
        key: source.value
        for key, source in answer.sources.items()
        if isinstance(source, Given) and key not in replaced
    }
    try:
        return answer.subject, checked_inputs(calculator, {**known, **typed})
    except InputError as error:
        source = answer.sources.get(error.key)
        if isinstance(source, Missing) and error.key not in typed:
            raise InputError(
                error.key,
                f"{answer.subject} needs {source.what}; enter it in the project, "
                f"or write {error.key}=… after the calculator",
            ) from None
        raise


def _answer(answers: Mapping[str, Answer], calculator: Calculator, subject: str | None) -> Answer:
    if not answers:
        raise InputError(
            "",
            f"This project has nothing that {calculator.id} is worked out for; "
            "write its inputs as key=value instead",
        )
    if subject is None and len(answers) == 1:
        return next(iter(answers.values()))
    if subject is not None and subject in answers:
        return answers[subject]
    subjects = ", ".join(answers)
    if subject is None:
        raise InputError(
            "", f"{calculator.id} is worked out for more than one part; write --for with one of {subjects}"
        )
    close = difflib.get_close_matches(subject, answers, 1)
    raise InputError(
        "",
        f"{calculator.id} is not worked out for {subject!r}; "
        + (f"did you mean {close[0]}?" if close else f"write one of {subjects}"),
    )
