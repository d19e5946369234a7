"""Resins that nobody told the fit of: their constants, the sheet that they gave, and lifts of them."""

from dataclasses import dataclass, replace

import numpy as np

from workshop.reference.resin_classes import resin_class
from workshop.trade.cure.cup import CUP_FILM, cup
from workshop.trade.cure.isothermal import film_time
from workshop.trade.cure.kinetics import Array, Resin, Values
from workshop.trade.cure.run import Run, cure
from workshop.trade.cure.stack import RAISED, Lift, empty_form, pour
from workshop.trade.cure.states import Band, band
from workshop.trade.cure.surroundings import Top, steady
from workshop.trade.resin_fit import Fit, Sheet
from workshop.trade.resin_fit.parameters import constants, prior_mean, prior_sd

CLASSES = ("fast-coating", "laminating", "medium-casting", "slow-casting")


@dataclass(frozen=True)
class Hidden:
    """A resin's true constants and the sheet that they gave."""

    resin: Resin
    sheet: Sheet
    shop_film: float


def poured(resin: Resin, depth: Values, temperature: Values, film: Values) -> Run:
    """A lift in a wide form on battens, films scaled, at the solver's own accuracy."""
    floor = replace(RAISED, film=np.asarray(RAISED.film) * film)
    stack = pour(empty_form(floor, temperature), Lift(depth, resin, temperature))
    return cure(stack, steady(0.0, np.atleast_1d(temperature)), top=Top(film))


def predicted(fit: Fit, depth: float, temperature: float, count: int = 40) -> Band:
    """The band of the peak, °C."""
    draws = fit.draws(count)
    return band(poured(draws.resin, depth, temperature + draws.shop, draws.film).peak)


def depth_at(resin: Resin, temperature: float, film: float, peak: float) -> float:
    """m of lift that comes to a peak (°C)."""
    low, high = 0.003, 0.15
    for _ in range(3):
        # Bracket and look closer: the peak is a cliff against the depth, which a coarse table would miss.
        depths = np.geomspace(low, high, 7)
        hotter = poured(resin, depths, temperature, film).peak >= peak
        place = int(np.argmax(hotter)) if hotter.any() else len(depths) - 1
        low, high = float(depths[max(place - 1, 0)]), float(depths[place])
    return high


def hidden(name: str, random: np.random.Generator) -> Hidden:
    """A resin somewhere around its class, and its sheet with the noise and the gaps of sheets."""
    kind = resin_class(name)
    odds = np.clip(random.standard_normal(9), -2.5, 2.5)
    density = float(random.uniform(1050.0, 1120.0))
    true = constants(prior_mean(kind) + prior_sd(kind) * odds, kind.gel, density)
    resin, film = true.resin, float(true.film[0])
    warm = float(random.choice([20.0, 23.0, 25.0]))
    mass = float(random.choice([0.1, 0.15, 0.2]))
    casting = kind.rated_for_heat
    pot = cup(resin, mass, warm, film=CUP_FILM * film).reaches(true.pot_conversion)[0]
    pot_life, set_time = _about(pot, 0.15, random), _about(film_time(resin, warm, resin.gel)[0], 0.25, random)
    if casting:
        rated = max(0.005, 0.005 * round(depth_at(resin, warm, film, random.normal(60.0, 10.0)) / 0.005))
    else:
        rated = min(float(random.uniform(0.003, 0.006)), depth_at(resin, warm, film, 60.0))
    demould = float(poured(resin, rated, warm, film).states.demould[0])
    states_set_time, states_density = not casting or random.random() < 0.5, random.random() < 0.5
    sheet = Sheet(
        name,
        density=density if states_density else None,
        pot_life=pot_life,
        pot_mass=mass,
        pot_temperature=warm,
        set_time=set_time if states_set_time else None,
        rated_depth=rated,
        demould_time=_about(demould, 0.2, random) if casting and np.isfinite(demould) else None,
    )
    # The shop's air is not the laboratory's.
    return Hidden(resin, sheet, film * float(np.exp(0.15 * random.standard_normal())))


def lift_of(one: Hidden, random: np.random.Generator) -> tuple[float, float, float]:
    """Depth (m), the shop by its thermometer (°C), and the peak that truly comes of it (°C)."""
    assert one.sheet.rated_depth is not None
    span = (0.6, 1.4) if resin_class(one.sheet.resin_class).rated_for_heat else (1.0, 4.0)
    depth = one.sheet.rated_depth * float(random.uniform(*span))
    shop = float(random.uniform(17.0, 27.0))
    run = poured(one.resin, depth, shop + float(random.standard_normal()), one.shop_film)
    return depth, shop, float(run.peak[0])


def _about(value: Array | float, spread: float, random: np.random.Generator) -> float:
    return float(value) * float(np.exp(spread * random.standard_normal()))
