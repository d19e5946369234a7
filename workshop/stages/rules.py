"""Timer rules that a project's own figures decide: pot life, recoat, open time, cure of sealant and fill.

Each takes the file and a subject and returns the text of a rule for `project.timers`, or None where the
project does not say. Spans are rounded down to the minute, the safe side for a time that runs out.
"""

from __future__ import annotations

from math import ceil
from typing import Final

from workshop.project.model import ProjectFile, Resin
from workshop.stages.checklist import Subject
from workshop.trade import abrasives
from workshop.trade.batches import usable_time

SEALANT_DEPTH_A_DAY: Final = 2e-3
"""m a day that a bead of sealant cures inwards, the slow end of 2 to 3 mm: common practice, no source."""


def sealant_cure(file: ProjectFile, subject: Subject) -> str | None:
    """Whole days until the form's bead is cured right through, from the bead's size and one open side."""
    casting = file.casting.get(subject.casting)
    if casting is None or casting.form.bead is None:
        return None
    days = ceil(casting.form.bead.value / SEALANT_DEPTH_A_DAY - 1e-9)
    return f"{days} d" if days > 0 else None


def casting_pot_life(file: ProjectFile, subject: Subject) -> str | None:
    """Usable time of a batch of the casting's resin, from when A meets B, as warm as it was poured.

    Before that as warm as the shop gets. The sheet's figure holds for its stated mass: a fuller bucket is
    faster.
    """
    poured = next(
        (
            held.resin_temperature.value
            for lift, held in file.record.poured.items()
            if held.resin_temperature is not None and f"{subject.path}/".startswith(f"{lift}/")
        ),
        None,
    )
    return _usable_time(casting_resin(file, subject), _warmest(file) if poured is None else poured)


def seal_pot_life(file: ProjectFile, _subject: Subject) -> str | None:
    """Usable time of a cup of the seal coat's resin, from when A meets B."""
    return _usable_time(seal_resin(file), _warmest(file))


def seal_recoat(file: ProjectFile, _subject: Subject) -> str | None:
    """From the coat on the wood until the next one may go on."""
    resin = seal_resin(file)
    return _span(resin.recoat_from.value) if resin is not None and resin.recoat_from is not None else None


def seal_window(file: ProjectFile, _subject: Subject) -> str | None:
    """From the coat on the wood until the next one no longer bonds without a scuff."""
    resin = seal_resin(file)
    return _span(resin.recoat_limit.value) if resin is not None and resin.recoat_limit is not None else None


def fill_cure(file: ProjectFile, subject: Subject) -> str | None:
    """Until a fill of the casting's resin can be planed, for which its sheet's demould time stands in."""
    resin = casting_resin(file, subject)
    return _span(resin.demould_time.value) if resin is not None and resin.demould_time is not None else None


def finish_open_time(file: ProjectFile, _subject: Subject) -> str | None:
    """From the finish on the zone until its excess must be off."""
    held = file.finish.open_time
    return _span(held.value) if held is not None else None


def sanding(file: ProjectFile, subject: Subject) -> str | None:
    """Time that one grit takes over both faces of a casting, by the rates of `reference/grits.toml`.

    Wood's rate up to the grit at which the wood stops, resin's beyond it.
    """
    casting, schedule = file.casting.get(subject.casting), file.abrasive_schedule
    if casting is None or casting.length is None or casting.width is None:
        return None
    disc = schedule.disc.value if schedule.disc is not None else abrasives.REFERENCE_DISC
    area = 2 * casting.length.value * casting.width.value
    ends: tuple[tuple[abrasives.Surface, str | None], ...] = (
        ("wood", schedule.wood_end),
        ("resin", schedule.resin_end),
    )
    for surface, end in ends:
        if schedule.start is None or end is None:
            continue
        try:
            start, finest = abrasives.grit(schedule.start), abrasives.grit(end)
            steps = abrasives.grit_steps(start, finest, surface, area=area, disc=disc)
        except ValueError:
            continue
        for step in steps:
            if subject.path == f"{subject.casting}/{step.grit.name.lower()}":
                return _span(step.time)
    return None


def casting_resin(file: ProjectFile, subject: Subject) -> Resin | None:
    """The resin that the subject's casting is poured with."""
    casting = file.casting.get(subject.casting)
    return file.resin.get(casting.resin) if casting is not None and casting.resin is not None else None


def seal_resin(file: ProjectFile) -> Resin | None:
    """The resin that the wood is sealed with."""
    return file.resin.get(file.seal_coat.resin) if file.seal_coat.resin is not None else None


def _warmest(file: ProjectFile) -> float | None:
    held = file.shop.temperature_high
    return held.value if held is not None else None


def _usable_time(resin: Resin | None, temperature: float | None) -> str | None:
    if resin is None or resin.pot_life is None or resin.pot_life.value <= 0:
        return None
    stated = resin.pot_temperature.value if resin.pot_temperature is not None else None
    return _span(usable_time(resin.pot_life.value, temperature, stated))


def _span(seconds: float) -> str | None:
    minutes = int(seconds / 60 + 1e-9)
    if minutes < 1:
        return None
    if minutes % 1440 == 0:
        return f"{minutes // 1440} d"
    return f"{minutes // 60} h" if minutes % 60 == 0 else f"{minutes} min"
