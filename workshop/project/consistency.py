"""What must hold between the values of a project file: names, references, order, currency."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import pairwise
from typing import Any, Final

from workshop.project.castings import Casting
from workshop.project.fields import RESERVED, Pack
from workshop.project.formats import FORMAT
from workshop.project.ids import CASTING_ROWS, CASTING_TABLES, TOP_TABLES
from workshop.project.model import ProjectFile
from workshop.project.path import Path
from workshop.project.timers import parse_rule
from workshop.quantity import MONEY, Measure, QuantityError, currency_of


@dataclass(frozen=True, slots=True)
class Wrong:
    """One thing wrong with a document: where (list rows by position), what, and how to mend it."""

    path: Path
    what: str
    mend: str


_REFERENCES: Final = (
    ("piece", "slab", "slab"),
    ("piece", "casting", "casting"),
    ("casting", "resin", "resin"),
    ("fixing", "casting", "casting"),
)


def inconsistencies(document: Mapping[str, Any], file: ProjectFile) -> Iterator[Wrong]:
    """Everything that does not go together.

    `document` says what is named; `file` holds the tables that could be read, so that a table with a fault of
    its own causes no second one.
    """
    yield from _format(document)
    yield from _names(document)
    yield from _references(document)
    for name, casting in file.casting.items():
        yield from _casting_order(name, casting)
    yield from _slabs(file)
    yield from _currency(file)
    yield from _timer_rules(file)


def _format(document: Mapping[str, Any]) -> Iterator[Wrong]:
    number = document.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number != FORMAT:
        yield Wrong(
            ("format",),
            f"this is a file of format {number} and only format {FORMAT} is read here",
            "open it with the release that wrote it" if number > FORMAT else f"write {FORMAT}",
        )


# Names


def _table(held: object, *keys: str) -> Mapping[str, Any]:
    for key in keys:
        held = held.get(key) if isinstance(held, Mapping) else None
    return held if isinstance(held, Mapping) else {}


def _rows(held: object, key: str) -> Iterator[tuple[int, str]]:
    rows = held.get(key) if isinstance(held, Mapping) else None
    for number, row in enumerate(rows if isinstance(rows, list) else ()):
        name = row.get("id") if isinstance(row, Mapping) else row
        if isinstance(name, str):
            yield number, name


def _top_names(document: Mapping[str, Any]) -> Iterator[tuple[str, Path, str]]:
    for key in TOP_TABLES:
        for name in _table(document, key):
            yield name, (key, name), f"[{key}.{name}]"
    for number, name in _rows(document.get("finish"), "coats"):
        yield name, ("finish", "coats", number, "id"), "a finish coat"
    for number, name in _rows(document.get("frame"), "legs"):
        # A leg may be a casting of its own; then both names mean that casting.
        if name not in _table(document, "casting"):
            yield name, ("frame", "legs", number), "a leg of the frame"


def _inner_names(casting: str, table: object) -> Iterator[tuple[str, Path, str]]:
    for key in CASTING_ROWS:
        for number, name in _rows(table, key):
            yield name, ("casting", casting, key, number, "id"), f"one of the {key} of {casting}"
    for key in CASTING_TABLES:
        for name in _table(table, key):
            yield name, ("casting", casting, key, name), f"[casting.{casting}.{key}.{name}]"


def _names(document: Mapping[str, Any]) -> Iterator[Wrong]:
    top: dict[str, str] = {}
    yield from _taken(_top_names(document), top)
    for casting, table in _table(document, "casting").items():
        yield from _taken(_inner_names(casting, table), dict(top))
    for slab, table in _table(document, "slab").items():
        lines = (
            (name, ("slab", slab, "saw-lines", number, "id"), f"another saw line of {slab}")
            for number, name in _rows(table, "saw-lines")
        )
        yield from _taken(lines, {})


def _taken(names: Iterator[tuple[str, Path, str]], seen: dict[str, str]) -> Iterator[Wrong]:
    for name, path, said in names:
        if name in RESERVED:
            yield Wrong(path, f"the name `{name}` is reserved", "give it another name")
        elif name in seen:
            yield Wrong(
                path, f"the name `{name}` is already that of {seen[name]}", "give one of the two another name"
            )
        else:
            seen[name] = said


# References


def _references(document: Mapping[str, Any]) -> Iterator[Wrong]:
    for table, key, target in _REFERENCES:
        known = _table(document, target)
        for name, held in _table(document, table).items():
            yield from _missing(held, (table, name), key, known, target)
    yield from _missing(
        document.get("seal-coat"), ("seal-coat",), "resin", _table(document, "resin"), "resin"
    )
    for slab, held in _table(document, "slab").items():
        rows = held.get("saw-lines") if isinstance(held, Mapping) else None
        for number, row in enumerate(rows if isinstance(rows, list) else ()):
            yield from _missing(
                row, ("slab", slab, "saw-lines", number), "of", _table(document, "piece"), "piece"
            )
    legs = {name: None for _, name in _rows(document.get("frame"), "legs")}
    for name, held in _table(document, "fixing").items():
        yield from _missing(held, ("fixing", name), "leg", legs, "leg")
    for casting, held in _table(document, "casting").items():
        cables = _table(held, "cable")
        for run, light in _table(held, "light-run").items():
            path: Path = ("casting", casting, "light-run", run)
            yield from _missing(light, path, "strip", _table(document, "light-strip"), "light-strip")
            yield from _missing(light, path, "piece", _table(document, "piece"), "piece")
            yield from _missing(light, path, "cable", cables, "cable")


def _missing(held: object, path: Path, key: str, known: Mapping[str, Any], target: str) -> Iterator[Wrong]:
    named = held.get(key) if isinstance(held, Mapping) else None
    if not isinstance(named, str) or named in known:
        return
    close = get_close_matches(named, known, n=1)
    if close:
        mend = f"did you mean `{close[0]}`?"
    elif known:
        mend = f"write {_either(known)}, or add what is missing"
    else:
        mend = "add it to the file, or delete this key"
    yield Wrong((*path, key), f"there is no {target.replace('-', ' ')} {named!r}", mend)


def _either(known: Mapping[str, Any]) -> str:
    names = [f"`{name}`" for name in list(known)[:6]]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


# Order


def _casting_order(owner: str, casting: Casting) -> Iterator[Wrong]:
    reached = [(number, lift.id, lift.to) for number, lift in enumerate(casting.lifts) if lift.to is not None]
    for (_, below, low), (number, _, high) in pairwise(reached):
        if high.value <= low.value:
            yield Wrong(
                ("casting", owner, "lifts", number, "to"),
                f"{high.text} is not above {low.text}, the height of `{below}` below it",
                "let the heights of the lifts rise from the form floor",
            )
    for name, bed in casting.bed.items():
        if bed.from_ is not None and bed.to is not None and bed.to.value <= bed.from_.value:
            yield Wrong(
                ("casting", owner, "bed", name, "to"),
                f"{bed.to.text} is not above {bed.from_.text}, where the bed begins",
                "write the lower height in `from` and the upper one in `to`",
            )


def _slabs(file: ProjectFile) -> Iterator[Wrong]:
    for name, slab in file.slab.items():
        for (_, low), (number, high) in pairwise(enumerate(slab.stations)):
            if high.at <= low.at:
                yield Wrong(
                    ("slab", name, "stations", number, "at"),
                    f"{high.at:g} does not lie beyond {low.at:g}, the station before it",
                    "list the stations in the order of the tape",
                )
        bare = next(
            (
                key
                for key, held in (
                    ("stations", slab.stations),
                    ("outline", slab.outline),
                    ("lower-outline", slab.lower_outline),
                    ("holes", slab.holes),
                    ("saw-lines", slab.saw_lines),
                )
                if held
            ),
            None,
        )
        if bare is not None and slab.unit is None:
            yield Wrong(
                ("slab", name, bare), "numbers stand without a unit", f'write unit = "mm" into [slab.{name}]'
            )


# Currency


def _prices(file: ProjectFile) -> Iterator[tuple[Path, Measure]]:
    for key, held in (("hourly", file.price.hourly), ("quoted", file.price.quoted)):
        if held is not None:
            yield ("price", key), held
    for name, slab in file.slab.items():
        if slab.price is not None:
            yield ("slab", name, "price"), slab.price
    packed: tuple[tuple[str, str, Sequence[Pack]], ...] = (
        *(("resin", name, resin.packs) for name, resin in file.resin.items()),
        *(("light-strip", name, strip.packs) for name, strip in file.light_strip.items()),
        *(("supply", name, supply.packs) for name, supply in file.supply.items()),
    )
    for table, name, packs in packed:
        for number, pack in enumerate(packs):
            if pack.price is not None:
                yield (table, name, "packs", number, "price"), pack.price
    for number, tin in enumerate(file.finish.packs):
        if tin.price is not None:
            yield ("finish", "packs", number, "price"), tin.price


def _currency(file: ProjectFile) -> Iterator[Wrong]:
    wanted = file.project.currency
    for path, price in _prices(file):
        if price.kind is not MONEY:
            continue
        try:
            found = currency_of(price.text)
        except QuantityError:
            continue
        if wanted is None:
            wanted = found
        elif found != wanted:
            yield Wrong(
                path,
                f"{price.text!r} is not in {wanted}, the project's currency",
                f"write the price in {wanted}, or change `currency` in [project]",
            )


# Timers


def _timer_rules(file: ProjectFile) -> Iterator[Wrong]:
    for id, timer in file.record.timer.items():
        try:
            parse_rule(timer.rule)
        except ValueError:
            yield Wrong(
                ("record", "timer", id, "rule"),
                f"{timer.rule!r} is no timer rule",
                "write one such as 24 h, or 5 15 30 min, or 5 min, then every 1 h until gel",
            )
