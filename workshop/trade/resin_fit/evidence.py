"""What a sheet and test pours say of a resin, each as a number that the model can be held against."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot, log
from typing import Final, Literal

import numpy as np

from workshop.reference.resin_classes import ResinClass
from workshop.trade.cure.isothermal import film_time
from workshop.trade.cure.kinetics import Array
from workshop.trade.cure.states import Targets
from workshop.trade.resin_fit.experiments import CupTest, LiftTest, Seen, crest
from workshop.trade.resin_fit.sheet import ROOM, Pour, Sheet

__all__ = ["Evidence", "Kind", "Observation", "evidence", "temperatures"]

POT_LIFE_SD: Final = 0.15
"""Of the logarithm: judgement, as are the others."""
SET_TIME_SD: Final = 0.25
DEMOULD_SD: Final = 0.20
LEAST_GLASS_SD: Final = 4.0
"""K, the least that a demould time may say of the glass transition: makers mean different hardness by it."""
FULL_CURE_SD: Final = 6.0
"""K of the glass transition at full cure: weak, since sheets mean different things by it."""
ULTIMATE_SD: Final = 5.0
"""K."""
PEAK_SD: Final = 3.0
"""K."""
TIME_SD: Final = 0.10
KELVINS: Final = 1.0
"""K that a thermometer in the shop or the laboratory may be off."""
ROUNDED: Final = 0.25
"""Of the logarithm of the rise at the rated depth: sheets round their depths, and there a tenth of the depth
is about this much of the rise."""
LEAST_RISE: Final = 1.0
"""K; a smaller rise tells nothing more."""
_LATER: Final = 1.25
_NEVER: Final = 60 * 86400.0

Kind = Literal["time", "peak", "glass"]
Measure = Callable[[Seen], tuple[Array, Array | float]]
"""The model's value for each set on the scale of the comparison, and the standard deviation there."""


@dataclass(frozen=True, slots=True, eq=False)
class Observation:
    """One stated figure. The comparison is of logarithms for times and rises, of K for glass transitions."""

    key: str
    kind: Kind
    stated: float
    """In the figure's own unit: s, or °C."""
    goal: float
    """The stated figure on the scale of the comparison."""
    measure: Measure
    base: float = 0.0
    """°C that a peak rises from."""
    only_above: bool = False
    """Whether the model may lie below the stated figure and nothing is wrong."""
    kelvins: float = 0.0
    """K, the standard deviation of the temperature that it was measured at."""

    @property
    def logged(self) -> bool:
        """Whether a test pour gave it."""
        return self.key.startswith("pour-")


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """All that is stated, and the tests in which the model is asked for it."""

    observations: tuple[Observation, ...]
    cups: tuple[CupTest, ...]
    lifts: tuple[LiftTest, ...]
    keep: tuple[float, ...]


def temperatures(sheet: Sheet) -> tuple[float, float, float]:
    """°C at which the pot life, the set time, and depth and demould hold: another stated one, else 23."""
    stated = (sheet.pot_temperature, sheet.set_temperature, sheet.rated_temperature)
    usual = next((value for value in stated if value is not None), ROOM)
    pot, film, depth = (usual if value is None else value for value in stated)
    return pot, film, depth


def evidence(sheet: Sheet, pours: tuple[Pour, ...], kind: ResinClass) -> Evidence:
    """Everything that the sheet and the pours state."""
    pot, film, warm = temperatures(sheet)
    found: list[Observation] = []
    cups: list[CupTest] = []
    lifts: list[LiftTest] = []
    keep: list[float] = []
    if sheet.pot_life is not None and sheet.pot_mass is not None:
        found.append(_time("pot-life", sheet.pot_life, _pot_life(len(cups)), POT_LIFE_SD))
        cups.append(CupTest(sheet.pot_mass, pot))
    if sheet.set_time is not None:
        found.append(_time("set-time", sheet.set_time, _set_time(film), SET_TIME_SD))
    if {sheet.rated_depth, sheet.demould_time, sheet.full_cure} != {None}:
        test = len(lifts)
        lifts.append(LiftTest(sheet.rated_depth or kind.usual_depth, warm))
        if sheet.rated_depth is not None:
            found.append(_rated_depth(kind, test, warm))
        if sheet.demould_time is not None:
            keep += [sheet.demould_time, _LATER * sheet.demould_time]
            found.append(_glass("demould-time", sheet.demould_time, _demould(test, warm, sheet.demould_time)))
        if sheet.full_cure is not None:
            keep.append(sheet.full_cure)
            found.append(_glass("full-cure", sheet.full_cure, _full_cure(test, warm, sheet.full_cure)))
    if sheet.ultimate_tg is not None:
        found.append(Observation("ultimate-tg", "glass", sheet.ultimate_tg, sheet.ultimate_tg, _ultimate))
    for number, pour in enumerate(pours, 1):
        if pour.mass is not None:
            found += _poured(number, pour, len(cups), cup=True)
            cups.append(CupTest(pour.mass, pour.temperature))
        elif pour.depth is not None:
            found += _poured(number, pour, len(lifts), cup=False)
            lifts.append(LiftTest(pour.depth, pour.temperature))
    return Evidence(tuple(found), tuple(cups), tuple(lifts), tuple(sorted(set(keep))))


def _logarithm(times: Array) -> Array:
    return np.log(np.clip(times, 1.0, _NEVER))


def _rise(peak: Array, base: Array | float) -> Array:
    return np.log(np.maximum(peak - base, LEAST_RISE))


def _time(
    key: str, stated: float, times: Callable[[Seen], Array], sd: float, kelvins: float = 0.0
) -> Observation:
    return Observation(
        key, "time", stated, log(stated), lambda seen: (_logarithm(times(seen)), sd), kelvins=kelvins
    )


def _glass(key: str, stated: float, measure: Measure) -> Observation:
    # Compared is how far the glass transition lies from what the state asks for, at the stated time: a model
    # that never gets there still has a value and a slope.
    return Observation(key, "time", stated, 0.0, measure)


def _pot_life(test: int) -> Callable[[Seen], Array]:
    def times(seen: Seen) -> Array:
        assert seen.cups is not None
        tests = seen.cups.times.shape[1] // seen.sets
        return seen.of(test, seen.cups.reaches(np.tile(seen.constants.pot_conversion, tests)))

    return times


def _set_time(film: float) -> Callable[[Seen], Array]:
    def times(seen: Seen) -> Array:
        resin = seen.constants.resin
        return film_time(resin, film + seen.shift, resin.gel)

    return times


def _rated_depth(kind: ResinClass, test: int, warm: float) -> Observation:
    limit = kind.limit.mean
    rise = max(limit - warm, 2 * kind.limit.sd)
    spread = hypot(kind.limit.sd / rise, ROUNDED)

    def measure(seen: Seen) -> tuple[Array, float]:
        assert seen.lifts is not None
        peak = seen.of(test, seen.lifts.peak)
        return _rise(peak, warm + seen.shift), spread

    return Observation(
        "rated-depth",
        "peak",
        warm + rise,
        log(rise),
        measure,
        warm,
        only_above=not kind.rated_for_heat,
    )


def _demould(test: int, warm: float, time: float) -> Measure:
    def measure(seen: Seen) -> tuple[Array, Array]:
        glass = seen.least_glass(test, time)
        wanted = Targets().glass("demould", warm, seen.constants.resin)
        by_time = (seen.least_glass(test, _LATER * time) - glass) / log(_LATER)
        return glass - wanted, np.maximum(DEMOULD_SD * by_time, LEAST_GLASS_SD)

    return measure


def _full_cure(test: int, warm: float, time: float) -> Measure:
    def measure(seen: Seen) -> tuple[Array, float]:
        wanted = Targets().glass("finish", warm, seen.constants.resin)
        return seen.least_glass(test, time) - wanted, FULL_CURE_SD

    return measure


def _ultimate(seen: Seen) -> tuple[Array, float]:
    return np.asarray(seen.constants.resin.tg1), ULTIMATE_SD


def _poured(number: int, pour: Pour, test: int, *, cup: bool) -> list[Observation]:
    """What one test pour says."""
    found = []
    warm = pour.temperature

    def highest(seen: Seen) -> tuple[Array, Array]:
        if cup:
            assert seen.cups is not None
            peak, when = crest(seen.cups.times, seen.cups.hottest)
        else:
            assert seen.lifts is not None
            peak, when = seen.lifts.peak, seen.lifts.peak_time
        return seen.of(test, peak), seen.of(test, when)

    def gel(seen: Seen) -> Array:
        if cup:
            assert seen.cups is not None
            gels = float(np.ravel(seen.constants.resin.gel)[0])
            return seen.of(test, seen.cups.reaches(gels))
        assert seen.lifts is not None
        return seen.of(test, seen.lifts.states.gel)

    if pour.peak is not None:
        rise = max(pour.peak - warm, LEAST_RISE)
        found.append(
            Observation(
                f"pour-{number}-peak",
                "peak",
                pour.peak,
                log(rise),
                lambda seen: (_rise(highest(seen)[0], warm), PEAK_SD / rise),
                warm,
                kelvins=KELVINS,
            )
        )
    if pour.time_to_peak is not None:
        key = f"pour-{number}-time-to-peak"
        found.append(_time(key, pour.time_to_peak, lambda seen: highest(seen)[1], TIME_SD, KELVINS))
    if pour.gel is not None:
        found.append(_time(f"pour-{number}-gel", pour.gel, gel, TIME_SD, KELVINS))
    return found
