"""The chart of a lift's cure: its hottest place against time, with band, limit, window and conversion."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, floor
from typing import TYPE_CHECKING, Final, Literal

from workshop.pictures.picture import Axes, Drawn, Key, Label, Picture, Shape, Stroke, Tick, rectangle
from workshop.pictures.ticks import shares, temperatures, times, whole_degrees
from workshop.quantity import DURATION, TEMPERATURE, Units, show

if TYPE_CHECKING:
    from workshop.cure_course import Course, Series
    from workshop.trade.cure.states import State

SHOWN_TO: Final = 120.0
"""°C above which no number is shown: the word says it."""
LINE: Final = 0.25
"""Rows that a line is thick."""
HEAD: Final = 0.1
"""The part of the height that is kept for words."""
UPRIGHT: Final[tuple[Literal["gel", "demould"], ...]] = ("gel", "demould")
"""States that are marked by a line."""


def cure_chart(course: Course, name: str, units: Units, now: float | None = None) -> Picture:
    """The chart of a lift by its `name`; `now` is the moment, in s since its pour."""
    until = course.until
    if now is not None and now > until:
        demould = course.state("demould")
        until = max(until, min(now, demould if demould is not None else now) * 1.1)
    low, high = _range(course)
    box = (0.0, low, until, high)
    drawn: list[Drawn] = []
    # Words stand over what is marked by an upright line.
    below = high - HEAD * (high - low)
    opens, shuts = course.state("window_opens"), course.state("window_shuts")
    if opens is not None:
        drawn.append(Shape("planned", (rectangle(opens, low, min(shuts or until, until), high),)))
    if course.hot:
        upper = _points(course.hot, course.until, high)
        lower = _points(course.cold, course.until, high)
        drawn.append(Shape("band", ((*upper, *reversed(lower)),)))
    drawn.append(Stroke("limit", ((0.0, course.limit), (until, course.limit))))
    drawn += (
        Stroke("dim", ((at, low), (at, below)), high=0.0)
        for state in UPRIGHT
        if (at := course.state(state)) is not None and at <= until
    )
    share = tuple((x, low + part * (high - low)) for x, part in _points(course.conversion, course.until, 1.0))
    drawn.append(Stroke("second", share, high=LINE))
    drawn.append(Stroke("series", _points(course.hottest, course.until, high + 1.0), high=LINE))
    if now is not None and 0 <= now <= until:
        drawn.append(Stroke("ink", ((now, low), (now, below)), high=0.0))
    right = tuple(tuple(Tick(low + tick.at * (high - low), tick.text) for tick in row) for row in shares())
    return Picture(
        "chart",
        f"CURE OF {name.upper()}",
        box,
        tuple(drawn),
        tuple(_labels(course, box, units, now)),
        legend=_legend(course),
        words=tuple(_words(course, name, units, now)),
        units=units,
        axes=Axes(times(until), temperatures(low, high, units), right),
    )


def _range(course: Course) -> tuple[float, float]:
    """Whole fives of degrees that hold all there is to see."""
    seen = (*course.hottest, *course.cold, *course.hot)
    low = floor((min(seen) - 1.0) / 5) * 5.0
    high = ceil((max(*seen, course.limit) + 4.0) / 5) * 5.0
    return low, min(high, max(SHOWN_TO, course.limit + 5.0))


def _points(values: Series, until: float, most: float) -> tuple[tuple[float, float], ...]:
    last = max(1, len(values) - 1)
    return tuple((until * number / last, min(value, most)) for number, value in enumerate(values))


def _labels(
    course: Course, box: tuple[float, float, float, float], units: Units, now: float | None
) -> Iterator[Label]:
    _, low, until, high = box
    step = (high - low) / 100
    if now is not None and 0 <= now <= until:
        yield Label(now, high, "now")
    for state in UPRIGHT:
        at = course.state(state)
        if at is not None and at <= until:
            yield Label(at, high, state, "dim")
    yield Label(
        until * 0.5, course.limit - 6 * step, f"limit {show(course.limit, TEMPERATURE, units)}", "limit"
    )
    opens, shuts = course.state("window_opens"), course.state("window_shuts")
    if opens is not None:
        yield Label((opens + min(shuts or until, until)) / 2, low + 32 * step, "window", "dim")
    hottest = max(course.peak, course.hot_peak or course.peak)
    yield Label(course.peak_time, min(hottest, high) + 6 * step, f"peak {_peaks(course, units)}")


def _peaks(course: Course, units: Units) -> str:
    said = _warm(course.peak, units)
    return said if course.hot_peak is None else f"{said}, hot {_warm(course.hot_peak, units)}"


def _warm(value: float, units: Units) -> str:
    return "runaway" if value > SHOWN_TO else whole_degrees(value, units)


def _legend(course: Course) -> tuple[Key, ...]:
    keys = [Key("series", "hottest place")]
    if course.hot:
        keys.append(Key("band", "cold to hot case"))
    keys += [Key("second", "cured, %"), Key("planned", "window"), Key("limit", "limit")]
    return tuple(keys)


def _words(course: Course, name: str, units: Units, now: float | None) -> Iterator[str]:
    when = show(course.peak_time, DURATION, units)
    limit = show(course.limit, TEMPERATURE, units)
    yield f"{name}: hottest {_warm(course.peak, units)}, {when} after the pour."
    if course.hot_peak is not None:
        over = "over" if course.hot_peak > course.limit else "within"
        yield f"In the hot case {_warm(course.hot_peak, units)}, {over} the limit of {limit}."
    else:
        over = "Over" if course.peak > course.limit else "Within"
        yield f"{over} the limit of {limit}."
    said: dict[State, str] = {
        "gel": "Gel after {}.",
        "window_opens": "The next lift may follow after {}.",
        "window_shuts": "Without scuffing until {}.",
        "demould": "The form may come off after {}.",
    }
    for state, sentence in said.items():
        at = course.state(state)
        if at is not None:
            yield sentence.format(show(at, DURATION, units))
    if now is not None and now >= 0:
        yield f"Now it is {show(now, DURATION, units)} after the pour{_now(course, now, units)}."


def _now(course: Course, now: float, units: Units) -> str:
    if now > course.until:
        return ""
    warm, cured = _at(course.hottest, course, now), _at(course.conversion, course, now)
    return f": {whole_degrees(warm, units)} at the hottest place, {cured:.0%} cured".replace("%", " %")


def _at(values: Sequence[float], course: Course, now: float) -> float:
    place = now / course.until * (len(values) - 1)
    number = min(len(values) - 2, int(place))
    return values[number] + (place - number) * (values[number + 1] - values[number])
