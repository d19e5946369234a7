"""Where a calculator's inputs come from in a project: a place in the file, another figure, or an assumption.

A calculator's `fill` takes a `Desk` and yields a `Filling` for each subject. It never tests for unknowns:
sources carry them along, and the plan turns a missing one into "needs the thickness of ash-wide".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final, Protocol

from workshop.project.path import Path
from workshop.project.project import Project
from workshop.quantity import Measure, Units


@dataclass(frozen=True, slots=True)
class Given:
    """A value in SI with the places in the file it rests on, and how it came about in a few words."""

    value: Any
    paths: tuple[Path, ...] = ()
    how: str = ""


@dataclass(frozen=True, slots=True)
class Missing:
    """What is not known yet, in the maker's words, and where it would be entered."""

    what: str
    paths: tuple[Path, ...] = ()


Source = Given | Missing


@dataclass(frozen=True, slots=True)
class Filling:
    """One subject for which a calculator runs, and where each input comes from (kebab-case keys)."""

    subject: str
    inputs: Mapping[str, Source]


class FigureLookup(Protocol):
    """Finds a figure of another calculator in the plan that is being made."""

    def __call__(self, calculator: str, subject: str, figure: str) -> Source: ...


@dataclass(frozen=True, slots=True)
class LiftPlace:
    """A lift in its casting: ids, position from 1, and the source of the height it starts from."""

    casting: str
    id: str
    number: int
    below: Source

    @property
    def subject(self) -> str:
        """`seat/strip`."""
        return f"{self.casting}/{self.id}"

    @property
    def path(self) -> Path:
        """The lift's place in the file."""
        return ("casting", self.casting, "lifts", self.id)


def combine(how: str, function: Callable[..., Any], *sources: Source) -> Source:
    """A value worked out from others; missing when one of them is. `how` says it in a few words."""
    paths = tuple(dict.fromkeys(path for source in sources for path in source.paths))
    missing = [source for source in sources if isinstance(source, Missing)]
    if missing:
        return Missing(
            " and ".join(dict.fromkeys(source.what for source in missing)),
            tuple(path for source in missing for path in source.paths),
        )
    return Given(function(*(source.value for source in sources if isinstance(source, Given))), paths, how)


def first(*sources: Source) -> Source:
    """The first that is known, else the first that is missing."""
    for source in sources:
        if isinstance(source, Given):
            return source
    return sources[0]


def assumed(value: Any, why: str) -> Given:
    """A value that the file does not hold, and why it is taken."""
    return Given(value, (), why)


def optional(**sources: Source) -> dict[str, Source]:
    """Only the known ones, under kebab-case keys: for inputs that are neutral when left out."""
    return {key.replace("_", "-"): source for key, source in sources.items() if isinstance(source, Given)}


class Desk:
    """What a filling reads: the project's values by path, and other figures."""

    def __init__(self, project: Project, figure: FigureLookup) -> None:
        self.project = project
        self.file = project.file
        self.figure = figure

    @property
    def units(self) -> Units:
        """How the project shows its quantities."""
        return self.project.units

    def at(self, *path: str | int, what: str = "") -> Source:
        """The value at a place in the file: SI floats for quantities, text and tuples as they are."""
        held = self.project.at(path)
        if held is None:
            return Missing(what or place_words(path), (path,))
        return Given(plain_value(held), (path,))

    def lifts(self) -> Iterator[LiftPlace]:
        """Every lift of every casting, from the form floor up, each on the one below as it was poured."""
        for casting, held in self.file.casting.items():
            below: Source = assumed(0.0, "form floor")
            for number, lift in enumerate(held.lifts, 1):
                yield LiftPlace(casting, lift.id, number, below)
                below = first(
                    self.at("record", "poured", f"{casting}/{lift.id}", "to"),
                    self.at("casting", casting, "lifts", lift.id, "to"),
                )

    def resin_of(self, casting: str) -> str | None:
        """The id of the casting's resin, or None where it is not chosen yet."""
        held = self.file.casting[casting].resin
        return held if held is not None and held in self.file.resin else None


def plain_value(held: Any) -> Any:
    """A model's value as a calculator takes it."""
    if isinstance(held, Measure):
        return held.value
    if isinstance(held, Decimal | int) and not isinstance(held, bool):
        return float(held)
    return held


_KEY_WORDS: Final = {
    "density-a": "density of part A",
    "density-b": "density of part B",
    "humidity-low": "lowest humidity",
    "humidity-high": "highest humidity",
    "ratio-by-volume": "ratio by volume",
    "ratio-by-weight": "ratio by weight",
    "resin-end": "last grit on resin",
    "start": "first grit",
    "temperature-high": "highest temperature",
    "temperature-low": "lowest temperature",
    "to": "height",
    "wood-end": "last grit on wood",
}


def place_words(path: Path) -> str:
    """`the thickness of slab ash-wide`, from ("slab", "ash-wide", "thickness")."""
    key = _KEY_WORDS.get(str(path[-1]), str(path[-1]).replace("-", " "))
    match path:
        case (_,):
            return f"the {key}"
        case (table, _):
            return f"the {key} of the {str(table).replace('-', ' ')}"
        case ("casting", casting, "lifts", lift, _):
            return f"the {key} of lift {casting}/{lift}"
        case ("casting", casting, "form", _):
            return f"the {key} of the form of {casting}"
        case (table, name, _):
            return f"the {key} of {str(table).replace('-', ' ')} {name}"
        case _:
            return f"the {key} of {path[-2]} in {path[1]}"
