"""Notes that a maker writes again and again, ready to be picked with gloves on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

_NOTES: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "stock-prep": (
            "Bark off, sound wood underneath.",
            "Punk cut back to sound wood.",
            "Metal found and taken out.",
            "Worm holes, no fresh dust.",
            "Check runs deeper than it looked.",
            "Thinnest point marked on the face.",
            "Slab has moved since the last look.",
            "Offcut kept for samples.",
        ),
        "form": (
            "Level both ways, wedges locked.",
            "Bead unbroken all round.",
            "Water test held, dried out.",
            "Wall bowed, one more fixing set.",
            "Gap as drawn.",
            "Piece rocks, packed underneath.",
            "Release agent on the form only.",
            "Light hole sealed, sleeve in.",
        ),
        "seal-coat": (
            "Drank a lot, coated again while tacky.",
            "End grain done twice.",
            "Bubbles from the bark, brushed out.",
            "Blush washed off, dried.",
            "Cup hard next day.",
            "Still tacky next day.",
            "Dry patch found and recoated.",
        ),
        "lifts": (
            "No leak.",
            "Leak stopped with putty.",
            "Bubbles passed.",
            "Bubbles keep coming at one place.",
            "Piece lifted, pushed down and held.",
            "Chips shifted, pushed back.",
            "Dust on the surface, picked off.",
            "Surface warm by hand.",
            "Gelled: a stick no longer sinks.",
        ),
        "flattening": (
            "Centre hard by nail.",
            "Wind read after the rest.",
            "Tear-out at a knot, shallower passes.",
            "Resin smeared, cutter changed.",
            "Chatter at one end, rail set again.",
            "Seam open, marked for fill.",
            "Lights still work after the pass.",
        ),
        "fill": (
            "Pinholes only.",
            "Soft spot cut back to hard.",
            "Crack dammed from underneath.",
            "Filled proud, left to cure.",
            "Tint matches the offcut.",
            "Second round needed.",
            "Sounds hollow, opened up.",
        ),
        "abrasive-schedule": (
            "Grid gone everywhere.",
            "Scratch from an earlier grit, one grit back.",
            "Disc clogged, changed.",
            "Pinholes opened, back to fill.",
            "Edges through the same grit.",
            "Resin hazy, finer grit needed.",
            "Fibres knocked back.",
        ),
        "finish": (
            "Excess off inside the open time.",
            "Wet patch wiped again.",
            "Dry patch, a little more.",
            "Fisheye: stopped and wiped off.",
            "Dust in the coat, left to harden.",
            "Rags laid flat outside.",
            "Sheen even under raking light.",
        ),
        "assembly": (
            "Screws by hand, all bite.",
            "Rocks on the floor, foot adjusted.",
            "Lights ran two hours, strip barely warm.",
            "Polarity marked at the plug.",
            "Weld ground, no pinholes.",
            "Paint touched up.",
            "Packed, edges covered.",
            "Handed over, care sheet left.",
        ),
    }
)


def canned(stage: str) -> tuple[str, ...]:
    """Short notes for a stage, the likeliest first; none for a stage that is none."""
    return _NOTES.get(stage, ())
