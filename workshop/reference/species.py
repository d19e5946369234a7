"""Wood species by name: shrinkage, coefficients of dimensional change, specific gravity and modulus.

Source: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190, tables 4-3, 5-3b and 13-5.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Any

from workshop.reference import table

__all__ = ["Species", "UnknownSpecies", "all_species", "species"]

_FLAGS = (
    ("S_confirmed", ("shrinkage_radial", "shrinkage_tangential", "shrinkage_volumetric")),
    ("C_confirmed", ("change_radial", "change_tangential")),
    ("GE_confirmed", ("specific_gravity", "modulus")),
)


class UnknownSpecies(ValueError):
    """A wood, `text`, that the table does not hold; `suggestions` are the names that come nearest."""

    def __init__(self, text: str, suggestions: tuple[str, ...]) -> None:
        self.text = text
        self.suggestions = suggestions
        nearest = " or ".join(f'"{name}"' for name in suggestions)
        mend = f"write {nearest}" if nearest else 'write one that it holds, such as "ash, white"'
        super().__init__(f'The species "{text}" is not in the table of woods; {mend}.')


@dataclass(frozen=True, slots=True)
class Species:
    """One wood; what the handbook does not give is None, `from_memory` names what was read in no source."""

    id: str
    name: str
    aliases: tuple[str, ...]
    shrinkage_radial: float
    """Green to oven-dry, as a fraction of the green size (the handbook's S_R / 100)."""
    shrinkage_tangential: float
    """Green to oven-dry, as a fraction of the green size (S_T / 100)."""
    shrinkage_volumetric: float
    """Green to oven-dry, as a fraction of the green volume (S_V / 100)."""
    change_radial: float | None
    """Change of size for a change of moisture, both as fractions (100 times the C_R printed per percent)."""
    change_tangential: float | None
    """Change of size for a change of moisture, both as fractions (100 times the C_T printed per percent)."""
    specific_gravity: float | None
    """Oven-dry mass on the volume at 12 % moisture, against water."""
    modulus: float | None
    """Apparent modulus of elasticity along the grain at 12 % moisture, Pa (shear included)."""
    source: str
    from_memory: tuple[str, ...]


def species(text: str) -> Species:
    """The wood that a maker's words mean: an id, a name either way round, or a trade name, in any case.

    Raises UnknownSpecies, which names the nearest woods.
    """
    found = _by_words().get(_words(text))
    if found is None:
        raise UnknownSpecies(text, _nearest(text))
    return found


@cache
def all_species() -> tuple[Species, ...]:
    """Every wood of the table, in the handbook's order."""
    return tuple(_species(key, row) for key, row in table("species")["species"].items())


def _species(key: str, row: Mapping[str, Any]) -> Species:
    values = {
        "shrinkage_radial": row["S_R"] / 100,
        "shrinkage_tangential": row["S_T"] / 100,
        "shrinkage_volumetric": row["S_V"] / 100,
        "change_radial": _times(row.get("C_R"), 100),
        "change_tangential": _times(row.get("C_T"), 100),
        "specific_gravity": row.get("G12"),
        "modulus": _times(row.get("E12"), 1e9),
    }
    return Species(
        id=key,
        name=row["name"],
        aliases=tuple(row.get("aliases", ())),
        **values,
        source=row["source"],
        from_memory=tuple(
            field
            for flag, fields in _FLAGS
            if row.get(flag) is False
            for field in fields
            if values[field] is not None
        ),
    )


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _words(text: str) -> tuple[str, ...]:
    return tuple(sorted(re.findall(r"[^\W\d_]+", text.casefold())))


@cache
def _by_words() -> Mapping[tuple[str, ...], Species]:
    return MappingProxyType({_words(name): wood for wood in all_species() for name in _names(wood)})


def _nearest(text: str) -> tuple[str, ...]:
    asked = _words(text)
    spelled = {" ".join(words): wood.name for words, wood in _by_words().items()}
    by_word = {word: wood.name for wood in all_species() for word in _words(wood.name)}
    close = [spelled[match] for match in get_close_matches(" ".join(asked), spelled, n=3)]
    close += [
        by_word[match] for word in asked for match in get_close_matches(word, by_word, n=1, cutoff=0.75)
    ]
    sharing = [wood.name for wood in all_species() if set(asked) & set(_words(" ".join(_names(wood))))]
    return tuple(dict.fromkeys(close + sharing))[:4]


def _names(wood: Species) -> tuple[str, ...]:
    return (wood.id, wood.name, *wood.aliases)
