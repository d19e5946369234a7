"""Lifting by hand: the revised NIOSH lifting equation in its two printed forms, teams, turning on edge.

NIOSH 94-110 (revised 9/2021), Applications Manual for the Revised NIOSH Lifting Equation. The equation is for
two hands, standing, at most 8 h; it does not cover carrying, pushing or pulling, nor one hand, a restricted
space or an unstable load (p. 6). Its metric form is rounded, not converted: 23 kg is 50.7 lb and its load
constant in pounds is 51.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite
from typing import Literal

from workshop.reference import table

Grip = Literal["good", "fair", "poor"]

POUND = 0.45359237
"""kg, exact (NIST Handbook 44)."""
INCH = 0.0254
"""m, exact."""

_SLACK = 1e-9


@dataclass(frozen=True)
class LiftingForm:
    """One printed form of the equation: its length unit in m, its load constant in kg, and its constants."""

    name: str
    unit: float
    load_constant: float
    least_horizontal: float
    greatest_horizontal: float
    knuckle_height: float
    per_unit_height: float
    greatest_vertical: float
    travel_term: float
    least_travel: float
    greatest_travel: float


INCH_FORM = LiftingForm("inch", INCH, 51 * POUND, 10, 25, 30, 0.0075, 70, 1.8, 10, 70)
"""LC 51 lb, HM 10/H, VM 1 - 0.0075·|V - 30|, DM 0.82 + 1.8/D (p. 7)."""
METRIC_FORM = LiftingForm("metric", 0.01, 23.0, 25, 63, 75, 0.003, 175, 4.5, 25, 175)
"""LC 23 kg, HM 25/H, VM 1 - 0.003·|V - 75|, DM 0.82 + 4.5/D (p. 7)."""


@dataclass(frozen=True)
class WeightLimit:
    """Recommended weight limit of one lift: RWL = LC·HM·VM·DM·AM·FM·CM."""

    form: LiftingForm
    horizontal_multiplier: float
    vertical_multiplier: float
    distance_multiplier: float
    asymmetry_multiplier: float
    frequency_multiplier: float
    coupling_multiplier: float
    limit: float
    """kg."""


def horizontal_multiplier(horizontal: float, form: LiftingForm = INCH_FORM) -> float:
    """HM of hands `horizontal` m in front of the ankles: 1 up to 10 in (25 cm), 0 beyond 25 in (63 cm)."""
    h = horizontal / form.unit
    if h > form.greatest_horizontal + _SLACK:
        return 0.0
    return form.least_horizontal / max(h, form.least_horizontal)


def vertical_multiplier(vertical: float, form: LiftingForm = INCH_FORM) -> float:
    """VM of hands `vertical` m above the floor where the lift starts: 0 beyond 70 in (175 cm)."""
    v = vertical / form.unit
    if v > form.greatest_vertical + _SLACK:
        return 0.0
    return 1 - form.per_unit_height * abs(v - form.knuckle_height)


def distance_multiplier(travel: float, form: LiftingForm = INCH_FORM) -> float:
    """DM of hands travelling `travel` m up or down: 1 up to 10 in (25 cm), 0 beyond 70 in (175 cm)."""
    d = abs(travel) / form.unit
    if d > form.greatest_travel + _SLACK:
        return 0.0
    if d <= form.least_travel + _SLACK:
        return 1.0
    return 0.82 + form.travel_term / d


def asymmetry_multiplier(twist: float) -> float:
    """AM of a load `twist` degrees to the side: 1 - 0.0032·A, 0 beyond 135 degrees (p. 13)."""
    return 0.0 if abs(twist) > 135 + _SLACK else 1 - 0.0032 * abs(twist)


def frequency_multiplier(
    per_minute: float, duration: float, vertical: float, form: LiftingForm = INCH_FORM
) -> float:
    """FM of `per_minute` lifts a minute for `duration` s, hands `vertical` m up (Table 5).

    Under 0.2 lifts a minute counts as 0.2. Between two tabulated frequencies the multiplier is interpolated
    linearly (from memory: the manual allows it), but it is 0 where the higher of the two allows no lift, and
    beyond 15 lifts a minute. The brackets also ask for rest: `recovery_factor`.
    Raises ValueError beyond 8 h, where the equation does not apply.
    """
    if duration > 8 * 3600 + _SLACK:
        raise ValueError(
            f"Lifting goes on for {duration / 3600:g} h and the NIOSH equation ends at 8 h: shorten the work."
        )
    bracket = "short" if duration <= 3600 + _SLACK else "moderate" if duration <= 7200 + _SLACK else "long"
    low = vertical / form.unit < form.knuckle_height - _SLACK
    column = f"{bracket}-{'low' if low else 'high'}"
    rows = [(float(row["per-min"]), float(row[column])) for row in table("lifting")["frequency"]]
    f = max(per_minute, rows[0][0])
    before = rows[0]
    for here in rows:
        if f <= here[0] + _SLACK:
            if here[1] == 0 or here[0] == before[0]:
                return here[1]
            part = min(1.0, (f - before[0]) / (here[0] - before[0]))
            return before[1] + part * (here[1] - before[1])
        before = here
    return 0.0


def recovery_factor(duration: float) -> float:
    """Return the rest that a bracket of Table 5 asks for, in parts of the `duration` s of lifting.

    Up to 1 h: 1.2; up to 2 h: 0.3; longer: none beyond the usual breaks. NIOSH 94-110, section 1.2, from
    memory: the 1994 edition asks for 1.2, the 2021 one for 1.0 after the short bracket; the longer is taken.
    """
    if duration <= 3600 + _SLACK:
        return 1.2
    return 0.3 if duration <= 7200 + _SLACK else 0.0


def coupling_multiplier(grip: Grip, vertical: float, form: LiftingForm = INCH_FORM) -> float:
    """CM of a good, fair or poor grip (Table 7); fair costs only below 30 in (75 cm)."""
    column = "low" if vertical / form.unit < form.knuckle_height - _SLACK else "high"
    for row in table("lifting")["coupling"]:
        if row["grip"] == grip:
            return float(row[column])
    raise ValueError(f'The grip is "{grip}": say good, fair or poor.')


def weight_limit(
    horizontal: float,
    vertical: float,
    travel: float = 0.0,
    twist: float = 0.0,
    per_minute: float = 0.2,
    duration: float = 3600.0,
    grip: Grip = "good",
    form: LiftingForm = INCH_FORM,
) -> WeightLimit:
    """Return the recommended weight limit of one person for one two-handed lift, with every multiplier.

    `horizontal`, `vertical` and `travel` in m, `twist` in degrees, `duration` in s. 51 lb / inch form unless
    the metric one is asked for. NIOSH 94-110 (revised 9/2021), p. 7. Raises ValueError for a negative length,
    frequency or duration, an unknown grip, or more than 8 h.
    """
    for name, value in (
        ("horizontal distance", horizontal),
        ("height of the hands", vertical),
        ("travel", travel),
        ("twist", twist),
        ("frequency", per_minute),
        ("duration", duration),
    ):
        if not (isfinite(value) and value >= 0):
            raise ValueError(f"The {name} is {value:g}: give zero or more.")
    multipliers = (
        horizontal_multiplier(horizontal, form),
        vertical_multiplier(vertical, form),
        distance_multiplier(travel, form),
        asymmetry_multiplier(twist),
        frequency_multiplier(per_minute, duration, vertical, form),
        coupling_multiplier(grip, vertical, form),
    )
    limit = form.load_constant
    for multiplier in multipliers:
        limit *= multiplier
    return WeightLimit(form, *multipliers, limit)


def lifting_index(mass: float, limit: float) -> float:
    """Return LI = L/RWL, both in kg: up to 1 is the goal, beyond 3 nearly all are at risk (p. 20).

    Raises ValueError where the limit is 0, since no load can be lifted so.
    """
    if not limit > 0:
        raise ValueError(
            "The weight limit is 0, so there is no lifting index: bring the load nearer and lower."
        )
    return mass / limit


def team_share(people: int) -> tuple[float, float]:
    """Return the part of the sum of its members' limits that a team lifts, as numerator and denominator.

    Two thirds for two, half for three and for more: common practice, no source.
    """
    if people < 1:
        raise ValueError(f"{people} people lift nothing: give 1 or more.")
    rows = table("lifting")["team"]
    row = rows[min(people, len(rows)) - 1]
    return float(row["share"][0]), float(row["share"][1])


def team_limit(limit: float, people: int) -> float:
    """Return what `people` lift together in kg where each alone lifts `limit` kg."""
    top, bottom = team_share(people)
    return limit * people * top / bottom


def people_needed(mass: float, limit: float) -> int:
    """Return the fewest people whose team limit reaches `mass` kg, each alone lifting `limit` kg.

    Raises ValueError where the limit is 0.
    """
    if not limit > 0:
        raise ValueError(
            "The weight limit is 0, so no team is large enough: bring the load nearer and lower."
        )
    for people in (1, 2, 3):
        if team_limit(limit, people) >= mass - _SLACK:
            return people
    top, bottom = team_share(4)
    return max(4, ceil(mass * bottom / (top * limit) - _SLACK))


def turning_force(mass: float, gravity: float = 9.80665) -> float:
    """Return the force in N that starts to turn an even plate of `mass` kg up about its long edge: half its
    weight.

    Statics: the moment about the edge on the floor; it falls as the plate rises.
    """
    return mass * gravity / 2
