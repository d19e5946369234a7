"""Abrasive schedule: grain sizes of the grades, the steps between them, time and discs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import ceil, isfinite
from typing import Literal

from workshop.reference import table

Grading = Literal["iso", "cami"]
"""iso: P grades of ISO 6344 / FEPA 43-1. cami: plain numbers of ANSI B74.18 / CAMI."""
Surface = Literal["wood", "resin"]

MAX_STEP = 1.65
"""Greatest ratio of two following grain sizes: common practice, no source."""
REFERENCE_DISC = 0.150
"""m, the disc that the rates of `grits.toml` are for."""
FIRST_GRIT = 2.0
"""How much longer the first grit takes, to remove the cutter's marks: common practice, no source."""


@dataclass(frozen=True)
class Grit:
    """One grade: its name as printed on the disc and its average or median grain size in m."""

    name: str
    grading: Grading
    size: float
    source: str


@dataclass(frozen=True)
class Rate:
    """How a surface is sanded with a disc of `REFERENCE_DISC`: common practice, no source."""

    per_area: float
    """s/m² for one grit after the first."""
    disc_life: float
    """s until a disc is spent."""


@dataclass(frozen=True)
class GritStep:
    """One grit of a schedule."""

    grit: Grit
    ratio: float | None
    """Grain size of the grit before over this one's; None for the first."""
    too_wide: bool
    """Not even the next grade lies within the greatest step; it is taken all the same."""
    time: float
    """s for the whole area."""
    discs: int


@cache
def grades(grading: Grading) -> tuple[Grit, ...]:
    """Return all grades of a system, coarse to fine (ISO 6344-2, 6344-3 / FEPA 43-1; ANSI B74.18 / CAMI)."""
    return tuple(
        Grit(str(row["grade"]), grading, float(row["size-um"]) * 1e-6, str(row["source"]))
        for row in table("grits")[grading]
    )


def grit(name: str, grading: Grading = "iso") -> Grit:
    """Return the grade called `name`; with P it is ISO whatever the grading, a bare number goes by `grading`.

    Raises ValueError for a grade that the system does not have.
    """
    wanted = name.strip().upper()
    system: Grading = "iso" if wanted.startswith("P") else grading
    number = wanted.removeprefix("P").strip()
    wanted = f"P{number}" if system == "iso" else number
    for grade in grades(system):
        if grade.name == wanted:
            return grade
    known = ", ".join(grade.name for grade in grades(system))
    raise ValueError(f"There is no grade {name.strip()}: choose one of {known}.")


def sequence(start: Grit, end: Grit, max_step: float = MAX_STEP) -> tuple[Grit, ...]:
    """Return the fewest grades from `start` to `end` whose following grain sizes part by at most `max_step`.

    Each jump goes to the finest grade within the step and not beyond the end: taking the widest allowed jump
    every time gives the fewest grades, since grades lie on one line. Where not even the next grade lies
    within the step, it is taken all the same. Raises ValueError for two grading systems, an end coarser than
    the start, or a step of 1 or less.
    """
    if start.grading != end.grading:
        raise ValueError(
            f"{start.name} and {end.name} are of two grading systems: give both as P grades or both without."
        )
    if not (isfinite(max_step) and max_step > 1):
        raise ValueError(f"The greatest step is {max_step:g}: give a ratio above 1.")
    if end.size > start.size:
        raise ValueError(f"{end.name} is coarser than {start.name}: start with the coarser grade.")
    finer = [grade for grade in grades(start.grading) if end.size <= grade.size < start.size]
    chosen = [start]
    while finer:
        within = [grade for grade in finer if chosen[-1].size / grade.size <= max_step + 1e-9]
        chosen.append(within[-1] if within else finer[0])
        finer = [grade for grade in finer if grade.size < chosen[-1].size]
    return tuple(chosen)


def rate(surface: Surface) -> Rate:
    """Return the rate of a surface, from `grits.toml`; raises ValueError for a surface without one."""
    for row in table("grits")["rates"]:
        if row["surface"] == surface:
            return Rate(float(row["min-per-m2"]) * 60, float(row["disc-life-min"]) * 60)
    raise ValueError(f'There are no rates for sanding "{surface}": say wood or resin.')


def grit_steps(
    start: Grit,
    end: Grit,
    surface: Surface,
    max_step: float = MAX_STEP,
    area: float = 0.0,
    disc: float = REFERENCE_DISC,
) -> tuple[GritStep, ...]:
    """Return the schedule from `start` to `end` over `area` m² with a disc of `disc` m across.

    Time an area and life of a disc by surface: `grits.toml`, common practice, no source; both go with the
    area of the disc. Raises ValueError as `sequence`, or for an area below or a disc not above zero.
    """
    if not (isfinite(area) and area >= 0):
        raise ValueError(f"The area is {area:g} m²: give zero or more.")
    if not (isfinite(disc) and disc > 0):
        raise ValueError(f"The disc is {disc:g} m across: give a size above zero.")
    of = rate(surface)
    per_area = of.per_area * (REFERENCE_DISC / disc) ** 2
    steps: list[GritStep] = []
    for grade in sequence(start, end, max_step):
        ratio = steps[-1].grit.size / grade.size if steps else None
        time = area * per_area * (1.0 if steps else FIRST_GRIT)
        wide = ratio is not None and ratio > max_step + 1e-9
        steps.append(GritStep(grade, ratio, wide, time, ceil(time / of.disc_life - 1e-9)))
    return tuple(steps)
