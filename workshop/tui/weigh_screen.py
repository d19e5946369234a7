"""Weighing a batch: two numbers off the scale, and whether their ratio may be mixed."""

from __future__ import annotations

from collections.abc import Callable

from workshop.figures import Level
from workshop.project.project import Project
from workshop.project.weighing import Verdict, ratio_verdict, sheet_ratio
from workshop.quantity import SCALE_MASS, Amount, Units, parse, show, typed_with_unit
from workshop.to_weigh import ToWeigh
from workshop.trade.mixing import correct
from workshop.tui.fields_screen import Field, FieldsScreen, Typed
from workshop.tui.lines import Line, Role, Span, line, wrapped

_LOOK: dict[Level, tuple[str, str, Role]] = {
    Level.NOTE: ("■", "good", "green"),
    Level.WARN: ("▲", "off", "amber"),
    Level.STOP: ("■", "STOP", "red"),
}


def as_weighed(text: str, units: Units) -> str:
    """A mass as read off the scale: bare digits are grams, or ounces."""
    return typed_with_unit(text, None, SCALE_MASS, units) if text.strip() else ""


def verdict_lines(project: Project, of: str, typed: Typed, width: int) -> list[Line]:
    """What A and B as typed come to: what B is wanted for A alone, then the verdict and what to add."""
    units = project.units
    a, b = (as_weighed(text, units) for text in typed)
    if not a:
        return [line(("Weigh part A, then part B.", "dim"))]
    try:
        if not b:
            return _wanted_for_a(project, of, a, units, width)
        verdict = ratio_verdict(project, of, a, b)
        ratio = sheet_ratio(project.file, of)
        mass_a, mass_b = parse(a, SCALE_MASS), parse(b, SCALE_MASS)
        then = correct(mass_a, mass_b, ratio).total if ratio is not None else mass_a + mass_b
    except ValueError as error:
        return wrapped(str(error), width, "amber")
    return [
        *_said(verdict, units, width),
        *_in_bucket(mass_a + mass_b, then, units, width),
    ]


def _wanted_for_a(project: Project, of: str, a: str, units: Units, width: int) -> list[Line]:
    mass, ratio = parse(a, SCALE_MASS), sheet_ratio(project.file, of)
    if ratio is None or mass <= 0:
        return wrapped("Now part B.", width, "dim")
    return [line(("To this A belongs ", "dim"), (f"B {show(mass / ratio, SCALE_MASS, units)}", "strong"))]


def _said(verdict: Verdict, units: Units, width: int) -> list[Line]:
    sign, word, role = _LOOK[verdict.level]
    if verdict.error is None:
        sign, word, role = "▲", "?", "amber"
    first, *rest = wrapped(verdict.sentence.say(units), width - 7, role)
    lines: list[Line] = [(Span(f"{sign} {word}".ljust(7), role), *first)]
    lines += [(Span(" " * 7), *more) for more in rest]
    lines += [(Span(" " * 7), *more) for more in wrapped(verdict.add.say(units), width - 7, "strong")]
    return lines


def _in_bucket(now: float, then: float, units: Units, width: int) -> list[Line]:
    held = f"In the bucket: {show(now, SCALE_MASS, units)}"
    if show(then, SCALE_MASS, units) != show(now, SCALE_MASS, units):
        held += f", {show(then, SCALE_MASS, units)} once put right"
    return wrapped(f"{held}.", width, "dim", indent=7)


def planned_words(wanted: ToWeigh, units: Units) -> str:
    """What this batch should weigh, in one line."""

    def said(amount: Amount) -> str:
        return show(amount.value, amount.kind, units)

    if wanted.left is not None and wanted.a is None:
        return "All that was planned is weighed; this one comes on top."
    parts = [
        f"{name} {said(amount)}"
        for name, amount in (("A", wanted.a), ("B", wanted.b), ("tint", wanted.tint))
        if amount is not None
    ]
    if not parts:
        return "What it should weigh is not known yet."
    more = ""
    if wanted.left is not None and wanted.number < wanted.planned:
        more = f"; {said(wanted.left)} are left to weigh"
    return f"As planned: {', '.join(parts)}{more}."


class WeighScreen(FieldsScreen):
    """Asks for A and B. A mix that is off is logged when asked a second time: it happened."""

    def __init__(
        self,
        project: Project,
        of: str,
        title: str,
        about: str,
        first: Typed,
        bounced: Callable[[str], bool],
        fault: str = "",
        start: int = 0,
    ) -> None:
        """`first` is what stands in the fields, `of` what the batch is for."""
        fields = (Field("part-a", "Part A", first[0]), Field("part-b", "Part B", first[1]))
        super().__init__(title, about, fields, bounced, fault, start)
        self._project, self._of = project, of
        self._warned: Typed | None = None

    def follows(self, typed: Typed, width: int) -> list[Line]:
        """The verdict, live."""
        return verdict_lines(self._project, self._of, typed, width)

    def kept(self, typed: Typed) -> str:
        """Both must be weights; one that is off is asked for once more."""
        units = self._project.units
        a, b = (as_weighed(text, units) for text in typed)
        if not a or not b:
            return f"Part {'A' if not a else 'B'} is not weighed yet."
        try:
            verdict = ratio_verdict(self._project, self._of, a, b)
        except ValueError as error:
            return str(error)
        if verdict.good or verdict.error is None or self._warned == typed:
            return ""
        self._warned = typed
        return "Enter once more logs it as it is; b then puts it right."
