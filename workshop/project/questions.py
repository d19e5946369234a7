"""What a newcomer is asked about a new project."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked about a new project: its key, the words, an example, and where the answer stands."""

    key: str
    asks: str
    example: str
    path: tuple[str, ...]
    """Its place in the file; `<slab>`, `<casting>` and `<resin>` stand for the ids."""


QUESTIONS: Final = (
    Question("units", "Units", "metric or us", ("project", "units")),
    Question("zone", "Time zone of the shop", "Europe/Berlin", ("shop", "zone")),
    Question("species", "Species of the slab", "ash, white", ("slab", "<slab>", "species")),
    Question("slab-length", "Length of the slab", "1500 mm or 5 ft 4 in", ("slab", "<slab>", "length")),
    Question("slab-width", "Width of the slab", "200 mm or 8 in", ("slab", "<slab>", "width")),
    Question("slab-thickness", "Thickness of the slab", "52 mm or 1 7/8 in", ("slab", "<slab>", "thickness")),
    Question("casting", "What the casting is called", "seat", ("casting", "<casting>")),
    Question(
        "length", "Finished length of the casting", "1400 mm or 5 ft", ("casting", "<casting>", "length")
    ),
    Question("width", "Finished width of the casting", "400 mm or 9 in", ("casting", "<casting>", "width")),
    Question(
        "thickness",
        "Finished thickness of the casting",
        "45 mm or 1 1/2 in",
        ("casting", "<casting>", "thickness"),
    ),
    Question(
        "resin-class",
        "Class of the resin",
        "slow casting, medium casting, laminating, fast coating or polyester",
        ("resin", "<resin>", "class"),
    ),
)
"""In the order in which they are asked; the project's name comes before them."""
