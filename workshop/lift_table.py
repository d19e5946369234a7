"""The lifts of a casting side by side: depth, volume, parts, peaks, window and demould."""

from __future__ import annotations

from typing import Final

from workshop.figures import Column, Figure, Table
from workshop.lift_states import window_of
from workshop.plan import Answer, Plan
from workshop.quantity import DURATION, LENGTH, MASS, TEMPERATURE, VOLUME, Units

PENDING: Final = "…"
UNKNOWN: Final = "—"
HOUR: Final = 3600.0
COLUMNS: Final = (
    Column("lift", "lift"),
    Column("depth", "depth", LENGTH),
    Column("volume", "volume", VOLUME),
    Column("a", "A", MASS),
    Column("b", "B", MASS),
    Column("likely", "likely", TEMPERATURE),
    Column("hot", "hot", TEMPERATURE),
    Column("opens", "opens", DURATION),
    Column("shuts", "shuts", DURATION),
    Column("demould", "demould", DURATION),
)


def lift_table(plan: Plan, casting: str) -> Table | None:
    """Every lift of a casting, from the floor up; None where it has none.

    What is still being worked out stands as `…`, what is unknown as `—`. The window shuts early, the form
    comes off at the late end of its band, as the timers have it; degrees and times are rounded.
    """
    held = plan.project.file.casting.get(casting)
    if held is None or not held.lifts:
        return None
    answers = {
        (answer.calculator.id, answer.subject): answer
        for stage in plan.stages
        if stage.stage.id == "lifts"
        for answer in stage.answers
    }
    rows, us = [], plan.project.units.system == "us"
    for lift in held.lifts:
        path = f"{casting}/{lift.id}"
        cure, mix = answers.get(("lift-cure", path)), answers.get(("mix", path))
        volume = answers.get(("resin-volume", path))
        depth = getattr(cure.inputs, "depth", None) if cure is not None else None
        peak = _figure(cure, "peak")
        rows.append(
            (
                lift.id,
                UNKNOWN if depth is None else depth,
                _value(_figure(volume, "volume")),
                _value(_figure(mix, "mass-a")),
                _value(_figure(mix, "mass-b")),
                _degrees(_value(peak, cure), us),
                _degrees(_bound(peak, "high", cure), us),
                *_window(cure),
                _rough(_bound(_figure(cure, "demould"), "high", cure)),
            )
        )
    return Table(f"All lifts of {casting}", COLUMNS, tuple(rows))


def in_words(table: Table, units: Units) -> tuple[tuple[str, str], ...]:
    """Each lift's name and the rest of its row as a sentence, for where the table finds no room."""
    said = []
    for row in table.text_rows(units):
        held = dict(zip((column.id for column in table.columns), row, strict=True))
        said.append(
            (
                held["lift"],
                f"{held['depth']}, {held['volume']}, A {held['a']}, B {held['b']}; peak {held['likely']}, "
                f"hot {held['hot']}; window {held['opens']} to {held['shuts']}; demould {held['demould']}",
            )
        )
    return tuple(said)


def _window(cure: Answer | None) -> tuple[float | str, float | str]:
    shuts = _bound(_figure(cure, "window-shuts"), "low", cure)
    if isinstance(shuts, float) and cure is not None and cure.result is not None:
        shuts = window_of(cure.result)[1] or shuts
    return _rough(_value(_figure(cure, "window-opens"), cure)), _rough(shuts)


def _degrees(value: float | str, us: bool) -> float | str:
    """To a whole degree of the project's own."""
    if isinstance(value, str):
        return value
    return (round(value * 1.8 + 32) - 32) / 1.8 if us else float(round(value))


def _rough(value: float | str) -> float | str:
    """A time to whole hours, from four days on to whole days: the model knows it no better."""
    if isinstance(value, str) or value < HOUR:
        return value
    step = 24 * HOUR if value > 96 * HOUR else HOUR
    return round(value / step) * step


def _figure(answer: Answer | None, id: str) -> Figure | None:
    return answer.result.figure(id) if answer is not None and answer.result is not None else None


def _value(figure: Figure | None, answer: Answer | None = None) -> float | str:
    if figure is None:
        return PENDING if answer is not None and answer.pending and answer.result is None else UNKNOWN
    return figure.value


def _bound(figure: Figure | None, end: str, answer: Answer | None) -> float | str:
    """One end of a band; while only the likeliest course is there, the band is still to come."""
    if figure is None:
        return _value(figure, answer)
    bound: float | None = getattr(figure, end)
    if bound is not None:
        return bound
    return PENDING if answer is not None and answer.pending else figure.value
