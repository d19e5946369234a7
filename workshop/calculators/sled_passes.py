"""Surfacing a face with a router on a sled: lanes, passes, time, and whether the cutter runs as it should."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Annotated, Final

from workshop.calculator import Calculator, CalculatorInputs, given
from workshop.calculators.mix import of_tool
from workshop.desk import Desk, Filling, Missing, combine, optional
from workshop.figures import COMMON_PRACTICE, Figure, Finding, Level, Phrase, Result, Working, phrase
from workshop.layout.sources import inside_of_form
from workshop.quantity import (
    COUNT,
    DISTANCE,
    DURATION,
    FEED_RATE,
    LENGTH,
    PERCENT,
    RIM_SPEED,
    ROTATION,
    VOLUME,
    Amount,
)
from workshop.trade.flattening import (
    LEAST_CHIP_LOAD,
    TURNING,
    SledPasses,
    chip_load,
    habitual_speed,
    rim_speed,
    sled_passes,
)

FASTEST_FEED: Final = 6.0 / 60
"""m/s past which nobody feeds a router on a sled by hand: common practice, no source."""
SLOWEST_ROUTER: Final = 8000.0 / 60
"""Hz that few routers turn slower than: common practice, no source."""


class Inputs(CalculatorInputs):
    """A face and the cutter that takes it down."""

    length: Annotated[float, LENGTH] = given("length of the face", above=0.0, high=10.0)
    width: Annotated[float, LENGTH] = given("width of the face", above=0.0, high=5.0)
    cutter: Annotated[float, LENGTH] = given("cutter's diameter", above=0.0, high=0.2)
    overlap: Annotated[float, PERCENT] = given(
        "overlap of the lanes, of the cutter", default=0.0, low=0.0, high=0.95
    )
    removal: Annotated[float, LENGTH] = given("to take off", above=0.0, high=0.1)
    per_pass: Annotated[float, LENGTH] = given("depth of one pass", above=0.0, high=0.02)
    feed_rate: Annotated[float, FEED_RATE] = given("feed rate", above=0.0, high=1.0)
    speed: Annotated[float, ROTATION] | None = given(
        "speed of the cutter", default=None, above=0.0, high=1000.0
    )
    flutes: Annotated[float, COUNT] | None = given("cutting edges", default=None, low=1.0, high=20.0)
    stamped_speed: Annotated[float, ROTATION] | None = given(
        "speed stamped on the cutter",
        default=None,
        above=0.0,
        high=1000.0,
        help="the highest that its maker allows",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.flattening`."""
    held = sled_passes(
        inputs.length,
        inputs.width,
        inputs.cutter,
        inputs.removal,
        inputs.per_pass,
        inputs.feed_rate,
        inputs.overlap,
    )
    figures, findings = list(_passes(inputs, held)), list(_too_fast(inputs))
    if inputs.stamped_speed is not None:
        figures.append(
            Figure(
                "stamped-rim-speed",
                "rim speed that the cutter is stamped for",
                rim_speed(inputs.cutter, inputs.stamped_speed),
                RIM_SPEED,
                Working(
                    "stamped_rim_speed = pi*D*n",
                    {"D": Amount(inputs.cutter, LENGTH), "n": Amount(inputs.stamped_speed, ROTATION)},
                    "geometry",
                ),
            )
        )
    if inputs.speed is not None:
        figures.append(
            Figure(
                "rim-speed",
                "rim speed",
                rim_speed(inputs.cutter, inputs.speed),
                RIM_SPEED,
                Working(
                    "rim_speed = pi*D*n",
                    {"D": Amount(inputs.cutter, LENGTH), "n": Amount(inputs.speed, ROTATION)},
                    "geometry",
                ),
            )
        )
        if inputs.flutes is not None:
            chip = chip_load(inputs.feed_rate, inputs.speed, round(inputs.flutes))
            figures.append(
                Figure(
                    "chip-load",
                    "feed a tooth",
                    chip,
                    LENGTH,
                    Working(
                        "chip_load = feed/(n*flutes)",
                        {
                            "feed": Amount(inputs.feed_rate, FEED_RATE),
                            "n": Amount(inputs.speed, ROTATION),
                            "flutes": Amount(inputs.flutes, COUNT),
                        },
                        "geometry",
                    ),
                )
            )
            findings += _rubs(inputs, chip)
    return Result(tuple(figures), tuple(findings))


def _passes(inputs: Inputs, held: SledPasses) -> tuple[Figure, ...]:
    one_lane = inputs.width <= inputs.cutter
    lanes = Amount(held.lanes, COUNT)
    passes = Amount(held.passes, COUNT)
    return (
        Figure(
            "lanes",
            "lanes side by side",
            float(held.lanes),
            COUNT,
            Working(
                "lanes = 1" if one_lane else "lanes = ceil((W - c)/(c*(1 - overlap)) - 1e-9) + 1",
                {}
                if one_lane
                else {
                    "W": Amount(inputs.width, LENGTH),
                    "c": Amount(inputs.cutter, LENGTH),
                    "overlap": Amount(inputs.overlap, PERCENT),
                },
                "geometry",
                assumed=("the cutter spans the work",) if one_lane else (),
            ),
        ),
        Figure(
            "step",
            "moved over from lane to lane",
            held.step,
            LENGTH,
            Working(
                "step = c*(1 - overlap)",
                {"c": Amount(inputs.cutter, LENGTH), "overlap": Amount(inputs.overlap, PERCENT)},
                "geometry",
            ),
        ),
        Figure(
            "last-pass",
            "depth of the last pass",
            inputs.removal - (held.passes - 1) * inputs.per_pass,
            LENGTH,
            Working(
                "last_pass = removal - (passes - 1)*per_pass",
                {
                    "removal": Amount(inputs.removal, LENGTH),
                    "passes": passes,
                    "per_pass": Amount(inputs.per_pass, LENGTH),
                },
                "geometry",
            ),
        ),
        Figure(
            "passes",
            "passes",
            float(held.passes),
            COUNT,
            Working(
                "passes = ceil(removal/per_pass - 1e-9)",
                {"removal": Amount(inputs.removal, LENGTH), "per_pass": Amount(inputs.per_pass, LENGTH)},
                "geometry",
            ),
        ),
        Figure(
            "path",
            "path in the cut",
            held.path,
            DISTANCE,
            Working(
                "path = lanes*passes*L",
                {"lanes": lanes, "passes": passes, "L": Amount(inputs.length, LENGTH)},
                "geometry",
            ),
        ),
        Figure(
            "time",
            "time at the sled",
            held.time,
            DURATION,
            Working(
                f"time = {TURNING}*path/feed",
                {"path": Amount(held.path, DISTANCE), "feed": Amount(inputs.feed_rate, FEED_RATE)},
                COMMON_PRACTICE,
                assumed=("two fifths more for turning round and moving over",),
            ),
        ),
        Figure(
            "chip-volume",
            "solid turned to chips",
            held.chip_volume,
            VOLUME,
            Working(
                "chip_volume = L*W*removal",
                {
                    "L": Amount(inputs.length, LENGTH),
                    "W": Amount(inputs.width, LENGTH),
                    "removal": Amount(inputs.removal, LENGTH),
                },
                "geometry",
            ),
        ),
    )


def _too_fast(inputs: Inputs) -> tuple[Finding, ...]:
    speed = inputs.speed
    if speed is None:
        return ()
    if inputs.stamped_speed is not None:
        if speed <= inputs.stamped_speed + 1e-9:
            return ()
        return (
            Finding(
                "cutter-over-stamped-speed",
                Level.STOP,
                phrase(
                    "The cutter turns at {speed} and is stamped for {stamped} at most.",
                    speed=Amount(speed, ROTATION),
                    stamped=Amount(inputs.stamped_speed, ROTATION),
                ),
                phrase(
                    "Turn the router down to {stamped} or less.",
                    stamped=Amount(rounded_down(inputs.stamped_speed), ROTATION),
                ),
                field="speed",
                figures=("rim-speed",),
                value=Amount(speed, ROTATION),
                margin=1.0,
            ),
        )
    habit = habitual_speed(inputs.cutter)
    if speed <= habit + 1e-9:
        return ()
    return (
        Finding(
            "cutter-over-habit",
            Level.WARN,
            phrase(
                "A cutter of {cutter} is habitually run at {habit} at most, and this one turns at {speed} "
                f"({COMMON_PRACTICE}).",
                cutter=Amount(inputs.cutter, LENGTH),
                habit=Amount(habit, ROTATION),
                speed=Amount(speed, ROTATION),
            ),
            phrase(
                "Read the speed stamped on the cutter, which rules, or turn the router down to {habit}.",
                habit=Amount(rounded_down(habit), ROTATION),
            ),
            field="speed",
            figures=("rim-speed",),
            value=Amount(speed, ROTATION),
            margin=1.0,
        ),
    )


def _rubs(inputs: Inputs, chip: float) -> tuple[Finding, ...]:
    if chip >= LEAST_CHIP_LOAD * (1 - 1e-9) or inputs.speed is None or inputs.flutes is None:
        return ()
    return (
        Finding(
            "chip-too-thin",
            Level.WARN,
            phrase(
                f"A tooth takes {{chip}}, and under {{least}} it rubs and resin melts ({COMMON_PRACTICE}).",
                chip=Amount(chip, LENGTH),
                least=Amount(LEAST_CHIP_LOAD, LENGTH),
            ),
            _thicker_chip(inputs.feed_rate, inputs.speed, inputs.flutes),
            field="feed-rate",
            figures=("chip-load",),
            value=Amount(chip, LENGTH),
            worse="down",
            margin=1e-5,
        ),
    )


def _thicker_chip(feed_rate: float, speed: float, flutes: float) -> Phrase:
    """A faster feed or a slower cutter, each only as far as a sled by hand and a router go."""
    feed = LEAST_CHIP_LOAD * speed * flutes
    slower = rounded_down(feed_rate / (LEAST_CHIP_LOAD * flutes))
    parts: dict[str, Amount | str] = {"feed": Amount(feed, FEED_RATE), "speed": Amount(slower, ROTATION)}
    down = "turn the router down to {speed}" if slower >= SLOWEST_ROUTER else "turn the router down"
    if feed <= FASTEST_FEED * (1 + 1e-9):
        return phrase(f"Feed at {{feed}} or faster, or {down}.", **parts)
    return phrase(
        f"{down.capitalize()}, or take a cutter with fewer edges than {{edges}}.",
        **parts,
        edges=Amount(flutes, COUNT),
    )


def rounded_down(speed: float) -> float:
    """A speed of rotation in Hz down to full hundreds of rpm, as a router is set."""
    return floor(speed * 60 / 100 + 1e-9) * 100 / 60


def fill(desk: Desk) -> Iterator[Filling]:
    """Every face of a casting that a face pass is planned for, before the casting is trimmed."""
    for casting, held in desk.file.casting.items():
        if not any(cut.kind == "face pass" for cut in held.cuts):
            planned = Missing(f"the face passes of {casting}", (("casting", casting, "cuts"),))
            tool = {key: of_tool(desk, key) for key in ("cutter", "per-pass", "feed-rate")}
            yield Filling(casting, {"removal": planned, **tool})
            continue
        for face in ("lower", "upper"):
            cuts = [cut.id for cut in held.cuts if cut.kind == "face pass" and cut.face == face]
            if not cuts:
                continue
            yield Filling(
                f"{casting}/{face}",
                {
                    "length": inside_of_form(desk, casting, "length"),
                    "width": inside_of_form(desk, casting, "width"),
                    "removal": combine(
                        "all face passes of this face",
                        lambda *all: sum(all),
                        *(desk.at("casting", casting, "cuts", cut, "remove") for cut in cuts),
                    ),
                    **{key: of_tool(desk, key) for key in ("cutter", "per-pass", "feed-rate")},
                    **optional(
                        overlap=desk.at("flattening", "overlap"),
                        speed=of_tool(desk, "speed"),
                        flutes=of_tool(desk, "flutes"),
                        stamped_speed=of_tool(desk, "stamped-speed"),
                    ),
                },
            )


CALCULATOR = Calculator(
    id="sled-passes",
    title="Surfacing on a sled",
    stage="flattening",
    inputs=Inputs,
    compute=compute,
    fill=fill,
)
