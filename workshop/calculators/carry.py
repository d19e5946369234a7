"""Who lifts it: the weight limit of one lift, and how many people a piece needs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Literal

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import casting_resin, mixed_density_of
from workshop.desk import Desk, Filling, Given, Missing, Source, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Result, Working, phrase
from workshop.quantity import ANGLE, COUNT, DURATION, FORCE, FREQUENCY, LENGTH, MASS, NUMBER, Amount
from workshop.trade.beams import frame_mass, tube
from workshop.trade.carrying import (
    INCH_FORM,
    METRIC_FORM,
    LiftingForm,
    WeightLimit,
    lifting_index,
    people_needed,
    recovery_factor,
    team_limit,
    team_share,
    turning_force,
    weight_limit,
)

SOURCE = "NIOSH 94-110 (revised 9/2021), p. 7 and Tables 5 and 7"
TEAM = "a team of two lifts two thirds of the sum of what each lifts alone, of three and more half"
MOST_PEOPLE = 4
"""People past whom a piece is no longer lifted by hand together: common practice, no source."""
GREATEST_TWIST = 135.0
"""Degrees to the side past which the equation allows no lift (NIOSH 94-110, p. 13)."""
SCOPE = "two hands, standing, no carrying, pushing or pulling (NIOSH 94-110, p. 6)"


class Inputs(CalculatorInputs):
    """One lift. What is left out is the best case: hands near, at knuckle height, straight ahead, rarely."""

    mass: Annotated[float, MASS] = given("mass to lift", above=0.0, high=2000.0)
    people: Annotated[float, COUNT] = given("people", default=1.0, low=1.0, high=20.0)
    horizontal: Annotated[float, LENGTH] = given(
        "hands in front of the ankles", default=0.254, low=0.0, high=2.0
    )
    vertical: Annotated[float, LENGTH] = given(
        "hands above the floor at the start", default=0.762, low=0.0, high=3.0
    )
    travel: Annotated[float, LENGTH] = given("hands travel up or down", default=0.0, low=0.0, high=3.0)
    twist: Annotated[float, ANGLE] = given("load to the side", default=0.0, low=0.0, high=math.pi)
    frequency: Annotated[float, FREQUENCY] = given("lifts a minute", default=0.2 / 60, low=0.0, high=1.0)
    duration: Annotated[float, DURATION] = given(
        "lifting goes on for", default=3600.0, above=0.0, high=28800.0
    )
    grip: Literal["good", "fair", "poor"] = given("grip", default="good")
    control: Literal["no", "yes"] = given(
        "set down with control",
        default="no",
        help="then the place where it is set down counts too, and the lesser limit rules",
    )
    horizontal_end: Annotated[float, LENGTH] | None = given(
        "hands in front of the ankles at the end", default=None, low=0.0, high=2.0
    )
    vertical_end: Annotated[float, LENGTH] | None = given(
        "hands above the floor at the end",
        default=None,
        low=0.0,
        high=3.0,
        help="left out: the start and the travel upward",
    )
    twist_end: Annotated[float, ANGLE] | None = given(
        "load to the side at the end", default=None, low=0.0, high=math.pi
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.carrying`."""
    inch, metric = _lift(inputs, INCH_FORM), _lift(inputs, METRIC_FORM)
    limit = inch[0].limit
    figures = [
        Figure("limit", "weight limit for one person", limit, MASS, _working(inputs, *inch)),
        Figure(
            "limit-metric",
            "the same in the printed metric form",
            metric[0].limit,
            MASS,
            _working(inputs, *metric),
        ),
        Figure(
            "turning-force",
            "force to start turning it on edge",
            turning_force(inputs.mass),
            FORCE,
            Working(
                "force = mass*9.80665/2",
                {"mass": Amount(inputs.mass, MASS)},
                "statics",
                assumed=("an even plate, turned about its long edge on the floor",),
            ),
        ),
    ]
    figures.append(
        Figure(
            "rest",
            "rest or light work afterwards",
            recovery_factor(inputs.duration) * inputs.duration,
            DURATION,
            Working(
                "rest = factor*duration",
                {
                    "factor": Amount(recovery_factor(inputs.duration), NUMBER),
                    "duration": Amount(inputs.duration, DURATION),
                },
                "NIOSH 94-110, section 1.2, from memory",
                assumed=("without it the lifts of before and after count as one span",),
            ),
        )
    )
    if limit <= 0:
        return Result(tuple(figures), (_no_lift(inputs, *inch),))
    people = round(inputs.people)
    top, bottom = team_share(people)
    together = team_limit(limit, people)
    index = lifting_index(inputs.mass, together)
    needed = people_needed(inputs.mass, limit)
    share_top, share_bottom = team_share(needed)
    rwl, mass = Amount(limit, MASS), Amount(inputs.mass, MASS)
    figures += [
        Figure(
            "team-limit",
            "weight limit together",
            together,
            MASS,
            Working(
                "team_limit = RWL*people*top/bottom",
                {
                    "RWL": rwl,
                    "people": Amount(people, COUNT),
                    "top": Amount(top, NUMBER),
                    "bottom": Amount(bottom, NUMBER),
                },
                COMMON_PRACTICE,
                assumed=(TEAM,),
            ),
        ),
        Figure(
            "index",
            "lifting index",
            index,
            NUMBER,
            Working(
                "index = mass/team_limit",
                {"mass": mass, "team_limit": Amount(together, MASS)},
                "NIOSH 94-110 (revised 9/2021), p. 20",
                assumed=(SCOPE,) if people == 1 else (SCOPE, TEAM),
            ),
        ),
        Figure(
            "people-needed",
            "people needed",
            float(needed),
            COUNT,
            Working(
                "people_needed = n"
                if needed <= 3
                else "people_needed = max(4, ceil(mass*bottom/(top*RWL) - 1e-9))",
                {"n": Amount(needed, COUNT)}
                if needed <= 3
                else {
                    "mass": mass,
                    "RWL": rwl,
                    "top": Amount(share_top, NUMBER),
                    "bottom": Amount(share_bottom, NUMBER),
                },
                COMMON_PRACTICE,
                assumed=(TEAM, "the fewest whose limit together reaches the mass"),
            ),
        ),
    ]
    return Result(tuple(figures), _too_heavy(inputs, index, together, needed))


Place = tuple[float, float, float]
"""Horizontal and vertical in m, twist in radians: where the hands are at one end of the lift."""


def _lift(inputs: Inputs, form: LiftingForm) -> tuple[WeightLimit, Place]:
    """The limit that rules and the place it is for: the origin, or with control the worse of both ends."""
    places: list[Place] = [(inputs.horizontal, inputs.vertical, inputs.twist)]
    if inputs.control == "yes":
        places.append(
            (
                inputs.horizontal if inputs.horizontal_end is None else inputs.horizontal_end,
                inputs.vertical + inputs.travel if inputs.vertical_end is None else inputs.vertical_end,
                inputs.twist if inputs.twist_end is None else inputs.twist_end,
            )
        )
    limits = [
        (
            weight_limit(
                horizontal,
                vertical,
                inputs.travel,
                math.degrees(twist),
                inputs.frequency * 60,
                inputs.duration,
                inputs.grip,
                form,
            ),
            (horizontal, vertical, twist),
        )
        for horizontal, vertical, twist in places
    ]
    return min(limits, key=lambda held: held[0].limit)


def _working(inputs: Inputs, limit: WeightLimit, place: Place) -> Working:
    form = limit.form
    horizontal, vertical, twist = place
    numbers: Mapping[str, Amount] = {
        "H": Amount(horizontal, LENGTH),
        "V": Amount(vertical, LENGTH),
        "D": Amount(inputs.travel, LENGTH),
        "A": Amount(twist, ANGLE),
        "FM": Amount(limit.frequency_multiplier, NUMBER),
        "CM": Amount(limit.coupling_multiplier, NUMBER),
        "u": Amount(form.unit, LENGTH if form is INCH_FORM else NUMBER),
        "LC": Amount(form.load_constant, MASS),
    }
    near, knuckle = form.least_horizontal, form.knuckle_height
    steps = (
        f"HM = {near}/max(H/u, {near})" if limit.horizontal_multiplier else "HM = 0",
        f"VM = 1 - {form.per_unit_height}*abs(V/u - {knuckle})" if limit.vertical_multiplier else "VM = 0",
        "DM = 0"
        if not limit.distance_multiplier
        else "DM = 1"
        if limit.distance_multiplier == 1
        else f"DM = 0.82 + {form.travel_term}/(D/u)",
        "AM = 1 - 0.0032*A*180/pi" if limit.asymmetry_multiplier else "AM = 0",
        "RWL = LC*HM*VM*DM*AM*FM*CM",
    )
    constant = "51 lb" if form is INCH_FORM else "23 kg"
    ends = (
        "with control: the worse of the place it is lifted from and the place it is set down"
        if inputs.control == "yes"
        else "the place it is lifted from only"
    )
    lifts = f"FM for {inputs.frequency * 60:.3g} lifts a minute over {inputs.duration / 3600:.3g} h"
    return Working(
        "; ".join(steps),
        numbers,
        SOURCE,
        assumed=(
            f"{form.name} form with a load constant of {constant}"
            + ("" if form is INCH_FORM else ", u is 0.01 m"),
            SCOPE,
            ends,
            lifts,
            *_from_table_5(inputs),
            *_best_case(inputs),
            f"CM for a {inputs.grip} grip",
        ),
    )


def _best_case(inputs: Inputs) -> Iterator[str]:
    """What is taken at its best because nobody said otherwise."""
    words = {"horizontal": "hands close", "vertical": "hands at knuckle height"}
    missing = [said for name, said in words.items() if name not in inputs.model_fields_set]
    if missing:
        yield f"{' and '.join(missing)}, the best case, since not given"


def _from_table_5(inputs: Inputs) -> Iterator[str]:
    """Which part of table 5 was not read in the manual itself."""
    often = inputs.frequency * 60
    if often > 8 and inputs.duration > 7200:
        yield "FM past 8 lifts a minute over 2 h is from memory in part"
    elif often > 10:
        yield "FM past 10 lifts a minute is from memory"
    if inputs.vertical >= INCH_FORM.knuckle_height * INCH_FORM.unit - 1e-9:
        yield "FM from hands at 30 in up was read second-hand"


def _no_lift(inputs: Inputs, limit: WeightLimit, place: Place) -> Finding:
    form = INCH_FORM
    near, high = form.greatest_horizontal * form.unit, form.greatest_vertical * form.unit
    reasons = [
        (limit.horizontal_multiplier, "horizontal", "HM", "Bring the hands within {near} of the ankles"),
        (limit.vertical_multiplier, "vertical", "VM", "Start with the hands under {high}"),
        (limit.distance_multiplier, "travel", "DM", "Let the hands travel {high} or less"),
        (limit.asymmetry_multiplier, "twist", "AM", "Turn the feet and not the back, within {turn}"),
        (limit.frequency_multiplier, "frequency", "FM", "Lift more seldom than {often}"),
    ]
    none = [held for held in reasons if not held[0]]
    ways = "; ".join(way if not number else way[0].lower() + way[1:] for number, (*_, way) in enumerate(none))
    names = [held[2] for held in none]
    return Finding(
        "no-lift-allowed",
        Level.STOP,
        phrase(
            "With the hands {horizontal} out and {vertical} up the equation allows no lift at all: "
            f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'} 0.",
            horizontal=Amount(place[0], LENGTH),
            vertical=Amount(place[1], LENGTH),
        ),
        phrase(
            f"{ways}, or use a trolley or a hoist.",
            near=Amount(near, LENGTH),
            high=Amount(high, LENGTH),
            turn=Amount(math.radians(GREATEST_TWIST), ANGLE),
            often=Amount(8 / 60, FREQUENCY),
        ),
        field=none[0][1],
        figures=("limit",),
        value=Amount(inputs.mass, MASS),
        margin=0.5,
    )


def _too_heavy(inputs: Inputs, index: float, together: float, needed: int) -> tuple[Finding, ...]:
    if index <= 1 + 1e-9:
        return ()
    stop = index > 3 + 1e-9
    who = "for one" if round(inputs.people) == 1 else "for {people} together"
    tail = "past 3 nearly everyone is at risk of hurting the back" if stop else "past 1 some are at risk"
    return (
        Finding(
            "too-heavy",
            Level.STOP if stop else Level.WARN,
            phrase(
                "At {mass} the lifting index is {index} " + who + ": " + tail + ".",
                mass=Amount(inputs.mass, MASS),
                index=f"{index:.1f}",
                people=Amount(round(inputs.people), COUNT),
            ),
            phrase(
                f"Lift it with {{needed}} people ({COMMON_PRACTICE}), or use a trolley or a hoist for all "
                "over {limit}."
                if needed <= MOST_PEOPLE
                else "Too heavy to lift by hand: use a trolley or a hoist for all over {limit}.",
                needed=Amount(needed, COUNT),
                limit=Amount(together, MASS),
            ),
            field="people" if inputs.people > 1 else "mass",
            figures=("index", "people-needed"),
            value=Amount(index, NUMBER),
            margin=0.1,
        ),
    )


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting, as heavy as if it were resin through and through; and the whole piece with its legs."""
    keys = ("people", "horizontal", "vertical", "travel", "twist", "frequency", "duration", "grip")
    lift = optional(**{key: desk.at("carry", key) for key in keys})
    castings = tuple(desk.file.casting)
    for casting in castings:
        yield Filling(casting, {"mass": casting_mass(desk, casting), **lift})
    legs = legs_mass(desk)
    if len(castings) > 1 or (castings and isinstance(legs, Given)):
        yield Filling("project", {"mass": _together(desk, castings), **lift})


def casting_mass(desk: Desk, casting: str) -> Source:
    """A finished casting in kg, as heavy as if it were resin through and through."""
    resin = casting_resin(desk, casting)
    return combine(
        "as if it were resin through and through, on the safe side",
        lambda length, width, thickness, density: length * width * thickness * density,
        *(desk.at("casting", casting, key) for key in ("length", "width", "thickness")),
        resin if isinstance(resin, Missing) else mixed_density_of(desk, *resin),
    )


def legs_mass(desk: Desk) -> Source:
    """All steel legs of the frame in kg, each a closed frame of its tube."""
    steel = [leg for leg in desk.file.frame.legs if leg not in desk.file.casting]
    if not steel:
        return Missing("the legs of the frame", (("frame", "legs"),))
    return combine(
        "each leg a closed frame of steel tube",
        lambda section, width, height: (
            len(steel) * frame_mass(width, height, tube(section.breadth, section.height, section.wall))
        ),
        _tube_of_frame(desk),
        desk.at("frame", "width"),
        desk.at("frame", "height"),
    )


def _tube_of_frame(desk: Desk) -> Source:
    """The frame's section, where it is a tube that has straight sides."""
    section = desk.at("frame", "section")
    if isinstance(section, Given):
        try:
            tube(section.value.breadth, section.value.height, section.value.wall)
        except ValueError:
            return Missing("a section of the frame that is at least four walls wide", section.paths)
    return section


def _together(desk: Desk, castings: tuple[str, ...]) -> Source:
    masses = [casting_mass(desk, casting) for casting in castings]
    if not masses:
        return Missing("the castings", (("casting",),))
    legs = legs_mass(desk)
    how = "castings and legs together" if isinstance(legs, Given) else "castings together, without legs"
    return combine(how, lambda *all: sum(all), *masses, *([legs] if isinstance(legs, Given) else []))


CALCULATOR = Calculator(
    id="carry",
    title="Lifting by hand",
    stage="assembly",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
