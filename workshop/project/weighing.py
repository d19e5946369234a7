"""Batches as weighed: whether their ratio is good, and the record of them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Any, Final

from workshop.figures import Level, Phrase, phrase
from workshop.project.changes import check_done, journalled, local, stamp
from workshop.project.checking_off import Checklist, checked_off, is_done, sort_of, timers_ended
from workshop.project.ids import next_free
from workshop.project.model import ProjectFile
from workshop.project.path import spell
from workshop.project.project import Project
from workshop.quantity import PERCENT, SCALE_MASS, VOLUME, Amount, Measure, parse
from workshop.trade.mixing import RATIO_AIM, RATIO_STOP, WATER, correct, volume_of_parts, weight_ratio


@dataclass(frozen=True, slots=True)
class Weighing:
    """Checks that a batch fulfils, by what it is of; those of a lift stand with each batch of it."""

    stage: str
    weighed: tuple[str, ...]
    good: tuple[str, ...] = ()
    mixed: tuple[str, ...] = ()
    in_form: tuple[str, ...] = ()
    each: bool = False
    """Whether the checks are those of the batch rather than of what it is for."""


WEIGHINGS: Final[Mapping[str, Weighing]] = MappingProxyType(
    {
        "lift": Weighing(
            "lifts", ("weigh-a", "weigh-b"), ("ratio-shown-good",), ("mixed",), ("in-form-noted",), True
        ),
        "seal coat": Weighing("seal-coat", ("seal-weighed",), (), ("seal-mixed",)),
        "coat": Weighing("finish", ("amount-measured",)),
    }
)
MIX_TIMERS: Final = ("mix", "seal-mix")
USABLE_TIMERS: Final = ("pot-life", "seal-pot-life")


def weighing_of(file: ProjectFile, of: str) -> Weighing | None:
    """The checks that a batch of this subject fulfils; a batch of a casting is its seal coat."""
    sort = sort_of(file, of)
    return WEIGHINGS.get("seal coat" if sort == "casting" else sort)


@dataclass(frozen=True, slots=True)
class Verdict:
    """How a mix as weighed stands: `error` as a signed fraction (above zero: too much A), None if unknown."""

    error: float | None
    level: Level
    sentence: Phrase
    add: Phrase
    """What to add, or what to do next."""

    @property
    def good(self) -> bool:
        """Whether it may be mixed as it is."""
        return self.error is not None and self.level is Level.NOTE


def sheet_ratio(file: ProjectFile, of: str) -> float | None:
    """The ratio of part A to part B by weight for what a batch is of, None where the file does not say."""
    sort, head = sort_of(file, of), of.partition("/")[0]
    if sort == "coat":
        held: Any = file.finish
    else:
        name = file.casting[head].resin if sort == "lift" else file.seal_coat.resin
        held = file.resin.get(name) if name is not None else None
    if held is None:
        return None
    if held.ratio_by_weight is not None:
        return float(held.ratio_by_weight.value)
    if held.ratio_by_volume is None or held.density_a is None or held.density_b is None:
        return None
    return weight_ratio(held.ratio_by_volume.value, "volume", held.density_a.value, held.density_b.value)


def ratio_verdict(project: Project, of: str, a: str, b: str) -> Verdict:
    """Whether A and B as weighed keep the ratio: aim within 2 %, past 5 % nothing is poured.

    Common practice, no source; the rules of `mix-correct`. Raises QuantityError for a text that is no mass,
    ValueError for a mass of nothing.
    """
    mass_a, mass_b, ratio = parse(a, SCALE_MASS), parse(b, SCALE_MASS), sheet_ratio(project.file, of)
    if ratio is None:
        return Verdict(
            None,
            Level.WARN,
            phrase("The ratio of what you mix is not known, so nobody can say whether this is right."),
            phrase("Enter the ratio by weight from its sheet before you mix."),
        )
    held = correct(mass_a, mass_b, ratio)
    off = abs(held.error)
    short, add = ("B", held.add_b) if held.error > 0 else ("A", held.add_a)
    parts: dict[str, Amount | str] = {
        "error": Amount(off, PERCENT),
        "short": short,
        "add": Amount(add, SCALE_MASS),
    }
    if off <= RATIO_AIM + 1e-9:
        return Verdict(
            held.error, Level.NOTE, phrase("Good: {error} off its ratio.", **parts), phrase("Mix it.")
        )
    stop = off > RATIO_STOP + 1e-9
    said = (
        "Do not pour: the mix is {error} off its ratio, part {short} is short."
        if stop
        else "The mix is {error} off its ratio, part {short} is short; aim within 2 %."
    )
    remedy = (
        "Weigh in {add} of part {short} while it is liquid, then mix the whole time again; if you cannot, "
        "keep it out of the form."
        if stop
        else "Weigh in {add} of part {short}, then mix."
    )
    over = _over_bucket(project.file, of, mass_a + held.add_a, mass_b + held.add_b)
    if over is not None:
        remedy = f"Change to a bucket that holds {{need}}. {remedy}"
        parts["need"] = over
    return Verdict(
        held.error, Level.STOP if stop else Level.WARN, phrase(said, **parts), phrase(remedy, **parts)
    )


def _over_bucket(file: ProjectFile, of: str, a: float, b: float) -> Amount | None:
    """The room that A and B take, where the bucket does not have it; light as water if unknown."""
    bucket = next((tool.volume.value for tool in file.tool.values() if tool.volume is not None), None)
    if bucket is None or sort_of(file, of) != "lift":
        return None
    name = file.casting[of.partition("/")[0]].resin
    resin = file.resin.get(name) if name is not None else None
    densities = (resin.density_a, resin.density_b) if resin is not None else (None, None)
    need = volume_of_parts(a, b, *(held.value if held is not None else WATER for held in densities))
    return Amount(need, VOLUME) if need > bucket else None


def next_batch(project: Project) -> str:
    """The id of the next batch: none that was ever used, also by one that was undone or struck."""
    record = project.file.record
    used = {
        *record.batch,
        *(part for held in record.done.values() for path in held for part in path.split("/")),
    }
    used |= {part for path in record.ended for part in path.split("/")}
    used |= {part for held in record.timer.values() for part in held.of.split("/")}
    for line in record.journal.struck:
        if line.path.startswith("record."):
            used.update(re.findall(r"\bb\d{1,6}\b", line.path))
    return next_free("b", used)


def batch_weighed(project: Project, of: str, a: str, b: str, now: datetime, checklist: Checklist) -> Project:
    """The project with a batch of a lift, a seal coat (of a casting) or a coat; its id is the `next_batch`.

    A and B stay as typed. The checks that weighing fulfils are done with it, that of the ratio only if the
    ratio is good. Raises FileFaults where a mass cannot be read.
    """
    batch = next_batch(project)
    row = {"of": of, "a": a.strip(), "b": b.strip(), "mix-start": local(project, now)}
    return _judged(project.with_value(("record", "batch", batch), row), batch, now, checklist)


def _checks_of(file: ProjectFile, batch: str) -> tuple[Weighing | None, str]:
    of = file.record.batch[batch].of
    held = weighing_of(file, of)
    return held, f"{of}/{batch}" if held is not None and held.each else of


def _judged(project: Project, batch: str, now: datetime, checklist: Checklist) -> Project:
    """The project with the checks done that a batch as it stands now fulfils."""
    weighing, subject = _checks_of(project.file, batch)
    held = project.file.record.batch[batch]
    if weighing is None or held.a is None or held.b is None:
        return project
    for check in weighing.weighed:
        project = checked_off(project, weighing.stage, check, subject, now, checklist)
    try:
        good = ratio_verdict(project, held.of, held.a.text, held.b.text).good
    except ValueError:
        good = False
    for check in weighing.good:
        if good:
            project = checked_off(project, weighing.stage, check, subject, now, checklist)
        elif is_done(project, weighing.stage, check, subject) is not None:
            path = ("record", "done", weighing.stage, subject, check)
            line = f"{stamp(project, now)} | {spell(path)} | the ratio is no longer good"
            project = journalled(project.without(path), "struck", line)
    return project


def batch_corrected(
    project: Project, batch: str, a: str, b: str, now: datetime, checklist: Checklist
) -> Project:
    """The project with a batch's A and B as they are now in the bucket; the old values stay as struck."""
    for part, text in (("a", a.strip()), ("b", b.strip())):
        path = ("record", "batch", batch, part)
        held: Measure | None = getattr(project.file.record.batch[batch], part)
        if held is not None and held.text == text:
            continue
        project = project.with_value(path, text)
        if held is not None:
            line = f"{stamp(project, now)} | {spell(path)} | {held.text}"
            project = journalled(project, "struck", line)
    return _judged(project, batch, now, checklist)


def batch_times(
    project: Project, batch: str, mix_end: datetime | None = None, in_form: datetime | None = None
) -> Project:
    """The project with the times of a batch: the one ends its mixing timer, the other its usable time.

    Raises KeyError for a batch that is not there.
    """
    weighing, subject = _checks_of(project.file, batch)
    mixed, noted = ((), ()) if weighing is None else (weighing.mixed, weighing.in_form)
    for key, at, timers, checks in (
        ("mix-end", mix_end, MIX_TIMERS, mixed),
        ("in-form", in_form, USABLE_TIMERS, noted),
    ):
        if at is None:
            continue
        project = project.with_value(("record", "batch", batch, key), local(project, at))
        project = timers_ended(project, timers, subject, at)
        for check in checks:
            assert weighing is not None
            if is_done(project, weighing.stage, check, subject) is None:
                # The mixing is over, so that the timer which this check starts is not wanted.
                project = check_done(project, weighing.stage, check, subject, at)
    return project
