"""What the next batch should weigh, and what is to be done next with one that is weighed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from workshop.figures import Figure
from workshop.plan import Answer, Plan
from workshop.project.checking_off import sort_of
from workshop.project.model import Batch
from workshop.project.project import Project
from workshop.project.weighing import ratio_verdict, weighing_of
from workshop.quantity import SCALE_MASS, Amount

Step = Literal["correct", "mixed", "in form", ""]


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """The next batch of a lift, a seal coat or a finish coat. What the plan does not know is None.

    `number` counts from 1; `planned` is how many batches there will be, 0 where that is not known.
    """

    number: int
    planned: int
    a: Amount | None = None
    b: Amount | None = None
    tint: Amount | None = None
    left: Amount | None = None
    """What is still to be weighed of the whole, this batch included."""


def batches_of(project: Project, of: str) -> tuple[str, ...]:
    """The ids of the batches of one subject, in the order in which they were weighed."""
    return tuple(id for id, held in project.file.record.batch.items() if held.of == of)


def to_weigh(plan: Plan, of: str) -> ToWeigh:
    """What the next batch of a subject should weigh.

    Of a lift, what is left of its resin in equal batches: as planned while every batch was weighed as
    planned, else so that the whole comes out.
    """
    number = len(batches_of(plan.project, of)) + 1
    match sort_of(plan.project.file, of):
        case "lift":
            return _of_lift(plan, of, number)
        case "casting":
            return _of_seal_coat(plan, of, number)
        case "coat":
            return _of_coat(plan, of, number)
    return ToWeigh(number, 0)


def _of_lift(plan: Plan, of: str, number: int) -> ToWeigh:
    mix, batches = _answer(plan, "mix", of), _answer(plan, "batches", of)
    mass, ratio, tint = (_figure(mix, name) for name in ("mass", "ratio-by-weight", "tint"))
    if mass is None or ratio is None:
        return ToWeigh(number, 0)
    counted = _figure(batches, "batches")
    planned = max(1, round(counted.value)) if counted is not None else 1
    weighed = sum(_mass(plan.project.file.record.batch[id]) for id in batches_of(plan.project, of))
    left = max(0.0, mass.value - weighed)
    share = left / max(1, planned - number + 1)
    if share <= 0:
        return ToWeigh(number, planned, left=Amount(0.0, SCALE_MASS))
    colour = tint.value * share / mass.value if tint is not None and tint.value > 0 else None
    return ToWeigh(
        number,
        planned,
        Amount(share * ratio.value / (1 + ratio.value), SCALE_MASS),
        Amount(share / (1 + ratio.value), SCALE_MASS),
        Amount(colour, SCALE_MASS) if colour is not None else None,
        Amount(left, SCALE_MASS),
    )


def _mass(batch: Batch) -> float:
    return sum(part.value for part in (batch.a, batch.b) if part is not None)


def _of_seal_coat(plan: Plan, of: str, number: int) -> ToWeigh:
    answer = _answer(plan, "seal-coat", of)
    a, b, cups = (_figure(answer, name) for name in ("part-a", "part-b", "batches"))
    if a is None or b is None or cups is None:
        return ToWeigh(number, 0)
    planned = max(1, round(cups.value))
    return ToWeigh(
        number,
        planned,
        Amount(a.value / planned, SCALE_MASS),
        Amount(b.value / planned, SCALE_MASS),
    )


def _of_coat(plan: Plan, of: str, number: int) -> ToWeigh:
    """Of a finish coat the label speaks by volume; the amount is for all coats together."""
    file = plan.project.file
    answer = _answer(plan, "finish-coat", of) or _answer(plan, "finish-coat", of.partition("/")[0])
    a, b = (_figure(answer, name) for name in ("part-a", "part-b"))
    coats = len(file.finish.coats) if file.finish is not None else 0
    if a is None or b is None or a.kind is None or not coats:
        return ToWeigh(number, 0)
    return ToWeigh(number, 0, Amount(a.value / coats, a.kind), Amount(b.value / coats, a.kind))


def _answer(plan: Plan, calculator: str, subject: str) -> Answer | None:
    return next(
        (
            answer
            for stage in plan.stages
            for answer in stage.answers
            if answer.calculator.id == calculator and answer.subject == subject
        ),
        None,
    )


def _figure(answer: Answer | None, id: str) -> Figure | None:
    return answer.result.figure(id) if answer is not None and answer.result is not None else None


def step_of(project: Project, batch: str) -> Step:
    """What comes next with a batch that is weighed: put its ratio right, note that it is mixed or in form.

    Once it is mixed or in the form its ratio is what it is.
    """
    held = project.file.record.batch[batch]
    weighing = weighing_of(project.file, held.of)
    if weighing is None or held.a is None or held.b is None:
        return ""
    if held.mix_end is None and held.in_form is None:
        verdict = ratio_verdict(project, held.of, held.a.text, held.b.text)
        if verdict.error is not None and not verdict.good:
            return "correct"
    if weighing.mixed and held.mix_end is None:
        return "mixed"
    return "in form" if weighing.in_form and held.in_form is None else ""
