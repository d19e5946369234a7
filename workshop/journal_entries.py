"""Where the journal's entries come from: every table of the record, each thing with time and words."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Final

from workshop.figures import Phrase, phrase
from workshop.project.checking_off import is_done, sort_of
from workshop.project.journal import StruckLine
from workshop.project.model import Batch, ProjectFile, Reading
from workshop.project.path import Path, spell, unspell
from workshop.project.project import Project
from workshop.project.reading_kinds import READING_KINDS, WHERE
from workshop.quantity import DURATION, METRIC, Amount, Measure, Units
from workshop.stages import CHECKS
from workshop.standing import timer_title
from workshop.striking import SEVERAL

KINDS: Final = (
    "check",
    "not needed",
    "batch",
    "poured",
    "placed",
    "reading",
    "logged",
    "timer",
    "accepted",
    "note",
    "photo",
    "change",
    "work",
    "struck",
)
"""What an entry of the journal may be."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened. `at` is None where the file does not say when.

    `key` is its place in the file, as spelled; readings of one moment are one entry, their places joined by
    `SEVERAL`. `stage` is "" where it belongs to none.
    """

    at: datetime | None
    kind: str
    subject: str
    stage: str
    text: Phrase | str
    key: str
    struck: bool = False

    def say(self, units: Units = METRIC) -> str:
        """What happened, on one line, in the given units."""
        said = self.text if isinstance(self.text, str) else self.text.say(units)
        return " ".join(said.split())


def entries(project: Project) -> tuple[Entry, ...]:
    """Everything that happened, oldest first; what has no time comes before all else."""
    found = [entry for source in _SOURCES for entry in source(project)]
    found.sort(key=lambda entry: entry.at or datetime.min.replace(tzinfo=UTC))
    return tuple(_with_stages(project.file, found))


# Where entries come from


def _checks(project: Project) -> Iterator[Entry]:
    for stage, subjects in project.file.record.done.items():
        for subject, checks in subjects.items():
            for check, held in checks.items():
                text = CHECKS[check][1].text if check in CHECKS else check.replace("-", " ")
                if held.not_needed is not None:
                    text = f"{text}: not needed, {held.not_needed}"
                if held.note is not None:
                    text = f"{text} ({held.note})"
                kind = "check" if held.not_needed is None else "not needed"
                yield Entry(
                    held.at, kind, subject, stage, text, spell(("record", "done", stage, subject, check))
                )


def _batches(project: Project) -> Iterator[Entry]:
    file = project.file
    for batch, held in file.record.batch.items():
        path: Path = ("record", "batch", batch)
        stage = _batch_stage(file, held.of)
        weighed = is_done(project, "lifts", "weigh-a", f"{held.of}/{batch}")
        at = held.mix_start or weighed or held.mix_end or held.in_form
        yield Entry(at, "batch", held.of, stage, batch_phrase(batch, held), spell(path))
        for key, ended, said in (
            ("mix-end", held.mix_end, f"batch {batch}: mixing ended"),
            ("in-form", held.in_form, f"batch {batch}: in the form"),
        ):
            if ended is not None:
                yield Entry(ended, "batch", held.of, stage, said, spell((*path, key)))


def batch_phrase(batch: str, held: Batch) -> Phrase:
    """`batch b3: A 885 g, B 376 g`, with its note."""
    parts: dict[str, Amount | str] = {"batch": batch, "note": held.note or ""}
    said = []
    for name, value in (("A", held.a), ("B", held.b), ("tint", held.tint)):
        if value is not None:
            parts[name] = Amount(value.value, value.kind)
            said.append(f"{name} {{{name}}}")
    text = f"batch {{batch}}: {', '.join(said) or 'not weighed yet'}"
    return phrase(f"{text} ({{note}})" if held.note else text, **parts)


def _batch_stage(file: ProjectFile, of: str) -> str:
    return {"lift": "lifts", "casting": "seal-coat", "coat": "finish"}.get(sort_of(file, of), "")


def _poured(project: Project) -> Iterator[Entry]:
    for subject, held in project.file.record.poured.items():
        said, parts = "poured", {}
        if held.to is not None:
            said, parts["to"] = f"{said} to {{to}}", Amount(held.to.value, held.to.kind)
        if held.resin_temperature is not None:
            said = f"{said}, resin at {{warm}}"
            parts["warm"] = Amount(held.resin_temperature.value, held.resin_temperature.kind)
        text = phrase(f"{said}{{note}}", **parts, note=f" ({held.note})" if held.note else "")
        at = held.at or is_done(project, "lifts", "poured", subject)
        yield Entry(at, "poured", subject, "lifts", text, spell(("record", "poured", subject)))


def _placed(project: Project) -> Iterator[Entry]:
    for subject, held in project.file.record.placed.items():
        said, parts = ["placed"], {}
        for key in ("height", "length", "turn", "inset", "from_", "to"):
            value: Measure | None = getattr(held, key)
            if value is not None:
                name = key.rstrip("_")
                parts[name] = Amount(value.value, value.kind)
                said.append(f"{name} {{{name}}}")
        where = [spot.text for spot in (held.place, held.hole) if spot is not None]
        text = phrase(
            f"{said[0]}: {', '.join(said[1:])}{{more}}" if said[1:] else "placed{more}",
            **parts,
            more="".join(f" at {place}" for place in where) + (f" ({held.note})" if held.note else ""),
        )
        yield Entry(held.at, "placed", subject, "", text, spell(("record", "placed", subject)))


def _readings(project: Project) -> Iterator[Entry]:
    for subject, rows in project.file.record.readings.items():
        moments: dict[datetime, list[int]] = {}
        for number, row in enumerate(rows):
            moments.setdefault(row.at, []).append(number)
        for at, numbers in moments.items():
            key = SEVERAL.join(spell(("record", "readings", subject, number)) for number in numbers)
            text = _joined([reading_phrase(rows[number]) for number in numbers])
            yield Entry(
                at, "reading", subject, _reading_stage(project.file, subject, rows[numbers[0]]), text, key
            )


def reading_phrase(row: Reading) -> Phrase:
    """`moisture 9.2 % at 760, 0 mm, 10 mm deep`."""
    parts: dict[str, Amount | str] = {}
    said = []
    for key in READING_KINDS:
        value: Measure | None = getattr(row, key)
        if value is not None and key not in WHERE:
            parts[key] = Amount(value.value, value.kind)
            said.append(f"{key} {{{key}}}")
    text = ", ".join(said) or "nothing read"
    if row.place is not None:
        text, parts["place"] = f"{text} at {{place}}", row.place.text
    if row.face is not None:
        text, parts["face"] = f"{text}, {{face}} face", row.face
    if row.deep is not None:
        text, parts["deep"] = f"{text}, {{deep}} deep", Amount(row.deep.value, row.deep.kind)
    return phrase(text, **parts)


def _joined(phrases: list[Phrase]) -> Phrase:
    """Several phrases as one, their parts kept apart."""
    texts, parts = [], []
    for number, held in enumerate(phrases):
        text = held.template
        for name, part in held.parts:
            text = text.replace(f"{{{name}}}", f"{{{name}{number}}}")
            parts.append((f"{name}{number}", part))
        texts.append(text)
    return Phrase("; ".join(texts), tuple(parts))


_READ_IN = {"moisture": "stock-prep", "peak": "lifts", "gel": "lifts", "thickness": "flattening"}


def _reading_stage(file: ProjectFile, subject: str, row: Reading) -> str:
    if sort_of(file, subject) == "lift":
        return "lifts"
    return next((stage for key, stage in _READ_IN.items() if getattr(row, key) is not None), "")


def _logged(project: Project) -> Iterator[Entry]:
    for subject, lines in project.file.record.logged.items():
        for number, held in enumerate(lines):
            low, high = min(held.values), max(held.values)
            text = phrase(
                "logger: {what} {low} to {high}, {count} values over {span}",
                what=held.quantity,
                low=Amount(low, held.kind),
                high=Amount(high, held.kind),
                count=str(len(held.values)),
                span=Amount(held.every * (len(held.values) - 1), DURATION),
            )
            yield Entry(held.at, "logged", subject, "", text, spell(("record", "logged", subject, number)))


def _timers(project: Project) -> Iterator[Entry]:
    record = project.file.record
    for id, timer in record.timer.items():
        title, key = timer_title(timer.timer), ("record", "timer", id)
        note = f" ({timer.note})" if timer.note else ""
        rule = f", {timer.rule}" if timer.rule != timer.timer else ""
        text = f"{title} started{rule}{note}"
        yield Entry(timer.started, "timer", timer.of, _timer_stage(timer.timer), text, spell(key))
        if timer.heard is not None:
            text = f"{title}: alarm heard"
            yield Entry(
                timer.heard, "timer", timer.of, _timer_stage(timer.timer), text, spell((*key, "heard"))
            )
    for subject, rows in record.ended.items():
        for number, row in enumerate(rows):
            title, place = timer_title(row.timer), spell(("record", "ended", subject, number))
            stage = _timer_stage(row.timer)
            yield Entry(row.from_, "timer", subject, stage, f"{title} started", f"{place}.from")
            yield Entry(row.to, "timer", subject, stage, f"{title} ended", f"{place}.to")


def _timer_stage(timer: str) -> str:
    return next(
        (stage.id for stage, check in CHECKS.values() if check.timer is not None and check.timer.id == timer),
        "",
    )


def _accepted(project: Project) -> Iterator[Entry]:
    for rule, subjects in project.file.record.accepted.items():
        for subject, held in subjects.items():
            said = f"accepted: {rule.replace('-', ' ')}"
            said += f" at {held.value}" if held.value else ""
            said += f", {held.reason}" if held.reason else ""
            said += f" ({held.note})" if held.note else ""
            yield Entry(held.at, "accepted", subject, "", said, spell(("record", "accepted", rule, subject)))


def _lines(project: Project) -> Iterator[Entry]:
    journal = project.file.record.journal
    for number, note in enumerate(journal.notes):
        yield Entry(note.at, "note", note.subject, "", note.said, _line_key("notes", number))
    for number, photo in enumerate(journal.photos):
        text = f"{photo.said} ({photo.file})" if photo.said else photo.file
        yield Entry(photo.at, "photo", photo.subject, "", text, _line_key("photos", number))
    for number, change in enumerate(journal.changes):
        text = f"{change.path}: {change.old or 'unknown'}, now {change.new or 'unknown'}"
        subject = _subject_of_plan(unspell(change.path))
        yield Entry(change.at, "change", subject, "", text, _line_key("changes", number))
    for number, struck in enumerate(journal.struck):
        subject, stage = _struck_about(struck)
        text = f"struck: {struck_words(struck)}"
        yield Entry(struck.at, "struck", subject, stage, text, _line_key("struck", number), True)


def _line_key(column: str, number: int) -> str:
    return spell(("record", "journal", column, number))


def _subject_of_plan(path: Path) -> str:
    """The subject that a value of the plan belongs to: `seat/strip` of `casting.seat.lifts.strip.to`."""
    words = [str(part) for part in path]
    if len(words) < 2:
        return "project"
    if words[0] == "casting" and len(words) > 4:
        return f"{words[1]}/{words[3]}"
    return words[1] if len(words) > 2 else words[0] if words[0] == "shop" else "project"


def _struck_about(struck: StruckLine) -> tuple[str, str]:
    """Subject and stage of a struck line, as far as its place says."""
    match unspell(struck.path):
        case ("record", "done", stage, subject, *_):
            return str(subject), str(stage)
        case ("record", "poured" | "readings" | "placed" | "ended" | "logged", subject, *_):
            return str(subject), ""
        case ("record", "accepted", _, subject):
            return str(subject), ""
    return "", ""


def struck_words(struck: StruckLine) -> str:
    """What a struck line says: a check by its own words, else what stood there and where."""
    match unspell(struck.path):
        case ("record", "done", _, _, check) if check in CHECKS:
            return f"{CHECKS[str(check)][1].text}, {struck.said}"
        case ("record", "journal", column, *_):
            return f"{str(column).removesuffix('s')}, {struck.said}"
        case ("record", *_):
            return f"{struck.path.removeprefix('record.')}, {struck.said}"
    # A line of the journal itself, which began with its own time and subject.
    return f"{struck.path} | {struck.said}"


def _worked(project: Project) -> Iterator[Entry]:
    for number, held in enumerate(project.file.record.worked):
        key = spell(("record", "worked", number))
        if held.end is None:
            yield Entry(held.start, "work", held.subject, "", "work begun", key)
            continue
        span = Amount((held.end - held.start).total_seconds(), DURATION)
        yield Entry(held.start, "work", held.subject, "", phrase("worked {span}", span=span), key)


_SOURCES: Final[tuple[Callable[[Project], Iterator[Entry]], ...]] = (
    _worked,
    _placed,
    _timers,
    _checks,
    _batches,
    _poured,
    _readings,
    _logged,
    _accepted,
    _lines,
)
"""In the order in which entries of one moment stand."""


# Stages


def _with_stages(file: ProjectFile, found: list[Entry]) -> Iterator[Entry]:
    """Entries that say no stage of their own take that of the last check of the same thing before them."""
    done: dict[str, tuple[list[datetime], list[str]]] = {}
    for entry in found:
        if entry.kind in ("check", "not needed") and entry.at is not None:
            times, stages = done.setdefault(head_of(entry.subject), ([], []))
            times.append(entry.at)
            stages.append(entry.stage)
    for entry in found:
        if entry.stage or entry.at is None:
            yield entry
            continue
        stage = _OF_SORT.get(sort_of(file, entry.subject), "")
        if not stage and head_of(entry.subject) in done:
            times, stages = done[head_of(entry.subject)]
            place = bisect_right(times, entry.at)
            stage = stages[place - 1] if place else ""
        yield replace(entry, stage=stage)


_OF_SORT = {"lift": "lifts", "slab": "stock-prep", "coat": "finish"}


def head_of(subject: str) -> str:
    """The thing at the head of a subject: the casting of `seat/strip`."""
    return subject.partition("/")[0]
