"""What the fit makes of each stated figure, and in the maker's words which of them do not go together."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, log
from typing import Final

import numpy as np

from workshop.reference.resin_classes import ResinClass
from workshop.trade.cure.isothermal import film_time
from workshop.trade.cure.kinetics import Array, Resin, conversion_at_tg
from workshop.trade.cure.states import State, Targets
from workshop.trade.resin_fit.evidence import DEMOULD_SD, Evidence, Observation, temperatures
from workshop.trade.resin_fit.experiments import Seen
from workshop.trade.resin_fit.sheet import ROOM, Sheet

__all__ = ["Residual", "assumptions", "residuals"]

APART: Final = 1.0
"""Standard deviations from which on a figure is said not to go with the others."""


@dataclass(frozen=True, slots=True)
class Residual:
    """One stated figure and what the fitted model makes of it, in s or °C; infinite for never.

    The rated depth stands as the peak, in °C, that a lift of that depth is taken to stay near. `text` is
    empty where the figure goes with the others, else a sentence for the maker.
    """

    key: str
    stated: float
    model: float
    text: str


def residuals(
    stated: Evidence,
    seen: Seen,
    off: Array,
    slopes: Array,
    covariance: Array,
    sheet: Sheet,
    kind: ResinClass,
) -> tuple[Residual, ...]:
    """One for each observation, from the fit's residuals and slopes in standard deviations."""
    pulls = -slopes * off[:, None]
    # How much each figure hinders each other: the change that one asks for, seen along the other's.
    against = pulls @ covariance @ pulls.T
    found = []
    for number, one in enumerate(stated.observations):
        model = _modelled(one, seen, sheet)
        text = ""
        if _apart(one, model, float(off[number])):
            rival = int(np.argmin(against[number]))
            enough = against[number, rival] < 0 and abs(off[rival]) > 0.25 * APART
            other = stated.observations[rival] if enough else None
            text = _sentence(one, other, model, sheet, kind)
        found.append(Residual(one.key, float(one.stated), float(model), text))
    return tuple(found)


def _apart(one: Observation, model: float, off: float) -> bool:
    """Whether the maker should be told. Late states are judged by the clock, as the maker will."""
    if one.key == "demould-time":
        return abs(log(max(model, 1.0) / one.stated)) > APART * DEMOULD_SD
    if one.key == "full-cure":
        return model > 2.0 * one.stated
    return abs(off) > APART


def _modelled(one: Observation, seen: Seen, sheet: Sheet) -> float:
    """The central resin's value in the figure's own unit."""
    value = float(one.measure(seen)[0][0])
    if one.kind == "peak":
        return one.base + float(np.exp(value))
    if one.kind == "glass":
        return value
    if one.key == "demould-time":
        return _reaches(seen, "demould", temperatures(sheet)[2], one.stated)
    if one.key == "full-cure":
        return _reaches(seen, "finish", temperatures(sheet)[2], one.stated)
    return float(np.exp(value))


def _reaches(seen: Seen, state: State, warm: float, stated: float) -> float:
    """s until the first lift's central resin reaches a state, from the run and, past its end, as a film."""
    assert seen.lifts is not None
    resin = _first(seen.constants.resin)
    goal = float(np.ravel(conversion_at_tg(Targets().glass(state, warm, resin), resin.tg0, resin.tg1))[0])
    place, trajectory = seen.lifts.place, seen.lifts.trajectory
    times = trajectory.time[:, 0]
    least = np.maximum.accumulate(place.fresh_conversion(trajectory.fields[:, 0]).min(-1))
    after = int(np.searchsorted(least, goal))
    if after == 0:
        return 0.0
    if after < len(times):
        share = (goal - least[after - 1]) / (least[after] - least[after - 1])
        return float(times[after - 1] + share * (times[after] - times[after - 1]))
    if goal >= 1.0:
        return float("inf")
    more = float(film_time(resin, warm, goal, float(least[-1]))[0])
    total = float(times[-1]) + more
    return total if total < 120 * 86400.0 else float("inf")


def _first(resin: Resin) -> Resin:
    return Resin(**{name: float(np.ravel(getattr(resin, name))[0]) for name in Resin.__slots__})


def _sentence(
    one: Observation, other: Observation | None, model: float, sheet: Sheet, kind: ResinClass
) -> str:
    whose = "" if one.logged else "your sheet's "
    name = _named(one, sheet)
    lands = _lands(one, model)
    if other is None:
        unusual = f"{whose}{name} is unusual for a {kind.name}; {lands}"
    elif one.logged or other.logged:
        theirs = "" if other.logged else "your sheet's "
        unusual = f"{whose}{name} and {theirs}{_named(other, sheet)} do not go together; {lands}"
    else:
        unusual = f"{whose}{name} and its {_named(other, sheet)} do not go together; {lands}"
    return unusual


def _named(one: Observation, sheet: Sheet) -> str:
    if one.logged:
        number, what = one.key.removeprefix("pour-").split("-", 1)
        figure = f"{one.stated:.0f} °C" if one.kind == "peak" else _time(one.stated)
        return f"test pour {number}'s {figure} {what.replace('time-to-peak', 'to the peak')}"
    if one.key == "rated-depth":
        return f"{1000 * (sheet.rated_depth or 0.0):.4g} mm depth"
    if one.key == "ultimate-tg":
        return f"{one.stated:.0f} °C glass transition"
    return f"{_time(one.stated)} {one.key.replace('demould-time', 'demould').replace('-', ' ')}"


def _lands(one: Observation, model: float) -> str:
    if one.key == "rated-depth":
        return f"the model peaks at {model:.0f} °C at that depth"
    if one.kind != "time":
        return f"the model lands at {model:.0f} °C"
    if not isfinite(model):
        return "the model never gets there at the sheet's temperature"
    return f"the model lands at {_time(model)}"


def _time(seconds: float) -> str:
    if seconds < 1.5 * 3600:
        return f"{seconds / 60:.0f} min"
    if seconds < 20 * 3600:
        return f"{seconds / 3600:.3g} h"
    if seconds < 120 * 3600:
        return f"{seconds / 3600:.0f} h"
    return f"{seconds / 86400:.0f} days"


def assumptions(sheet: Sheet, kind: ResinClass) -> tuple[str, ...]:
    """A sentence for each figure that the class stands in for, and for each temperature taken."""
    found = []
    if kind.indicative:
        found.append(
            f"A {kind.name} is delayed by its inhibitor, which the model lacks: "
            "all of this is indicative only."
        )
    if sheet.density is None:
        found.append(f"The sheet gives no density: {kind.density:.0f} kg/m³ is taken.")
    if sheet.pot_life is None and sheet.set_time is None:
        found.append(
            f"The sheet gives neither pot life nor set time: the speed of a usual {kind.name} is taken."
        )
    if sheet.rated_depth is None:
        found.append(f"The sheet gives no rated depth: the heat of a usual {kind.name} is taken.")
        if sheet.demould_time is not None or sheet.full_cure is not None:
            found.append(
                f"Demould and full cure are taken to hold for a lift of {1000 * kind.usual_depth:.0f} mm."
            )
    if sheet.demould_time is None and sheet.full_cure is None and sheet.ultimate_tg is None:
        found.append(
            f"The sheet gives no demould time, full cure or glass transition: {kind.tg1.mean:.0f} °C is "
            f"taken as the glass transition of a {kind.name}."
        )
    pot, film, warm = temperatures(sheet)
    timed = (
        ("pot life", sheet.pot_life, sheet.pot_temperature, pot),
        ("set time", sheet.set_time, sheet.set_temperature, film),
        (
            "rated depth and times",
            sheet.rated_depth or sheet.demould_time or sheet.full_cure,
            sheet.rated_temperature,
            warm,
        ),
    )
    for name, figure, own, taken in timed:
        if figure is not None and own is None:
            usual = "the usual room" if taken == ROOM else "as the sheet's others"
            found.append(f"The temperature of the {name} is not stated: {taken:g} °C is taken, {usual}.")
    return tuple(found)
