"""Who weighs, mixes and pours which batch when, when a lift is poured in several."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Final

WEIGHING: Final = 180.0
"""s for one batch: common practice, no source."""
MIXING: Final = 450.0
"""s by hand, some seven or eight minutes: common practice, no source."""
POURING: Final = 180.0
"""s for one batch: common practice, no source."""
SHARE: Final = 0.5
"""Of the first batch's gel time, within which the last one is in the form: common practice, no source."""
MOST_PEOPLE: Final = 12


@dataclass(frozen=True, slots=True)
class Turn:
    """One batch: who makes it, at which scale (from 1), and when, in s from the start."""

    batch: int
    person: int
    scale: int
    weighing: float
    mixing: float
    pouring: float
    in_form: float


def pour_run(
    batches: int, people: int, scales: int, weighing: float, mixing: float, pouring: float
) -> tuple[Turn, ...]:
    """The turns of `batches`, each by whoever is free first, from the scale into the form.

    Raises ValueError for less than one batch, person or scale, or a time below zero.
    """
    for held, what in ((batches, "batches"), (people, "people"), (scales, "scales")):
        if held < 1:
            raise ValueError(f"There are {held} {what}: give one at the least.")
    for took, what in ((weighing, "weighing"), (mixing, "mixing"), (pouring, "pouring")):
        if not (isfinite(took) and took >= 0):
            raise ValueError(f"The time for {what} is {took:g} s: give zero or more.")
    free, idle = [0.0] * people, [0.0] * scales
    turns = []
    for batch in range(1, batches + 1):
        person = free.index(min(free))
        scale = idle.index(min(idle))
        start = max(free[person], idle[scale])
        mix = start + weighing
        pour = mix + mixing
        idle[scale] = mix
        free[person] = pour + pouring
        turns.append(Turn(batch, person + 1, scale + 1, start, mix, pour, free[person]))
    return tuple(turns)


def late_by(turns: tuple[Turn, ...]) -> float:
    """How long after the first batch was in the form the last one is, s."""
    ends = [turn.in_form for turn in turns]
    return max(ends) - ends[0]


def people_needed(batches: int, within: float, weighing: float, mixing: float, pouring: float) -> int | None:
    """The fewest people, each with a scale, with whom the last batch follows the first `within` a time (s).

    None where no number of them up to twelve does it.
    """
    for people in range(1, MOST_PEOPLE + 1):
        if late_by(pour_run(batches, people, people, weighing, mixing, pouring)) <= within:
            return people
    return None
