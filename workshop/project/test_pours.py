"""A lift whose peak was logged, taken as a test pour of its resin, to which its cure is then fitted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from workshop.project.project import Project


def poured_as_test(project: Project, subject: str) -> Callable[[Project], Project]:
    """The action that logs a lift's measured peak with its resin.

    Raises ValueError with a sentence where its depth, its temperature or its peak is not known, or it is
    logged already.
    """
    file = project.file
    casting, _, lift = subject.partition("/")
    held = file.casting.get(casting)
    row = held.lift(lift) if held is not None else None
    if held is None or row is None:
        raise ValueError("Go to a lift first: the peak of a lift is what its resin is fitted to.")
    if held.resin is None or held.resin not in file.resin:
        raise ValueError(f"The resin of {casting} is not chosen yet.")
    peaks = [one.peak for one in file.record.readings.get(subject, ()) if one.peak is not None]
    if not peaks:
        raise ValueError(f"No peak of {subject} is logged yet: take the reading first.")
    poured = file.record.poured.get(subject)
    warm = (poured.resin_temperature if poured else None) or row.pour_temperature
    if warm is None:
        raise ValueError(f"How warm {subject} was poured is not known: log it with the pour.")
    to = (poured.to if poured else None) or row.to
    below = 0.0
    for other in held.lifts:
        if other.id == lift:
            break
        done = file.record.poured.get(f"{casting}/{other.id}")
        top = (done.to if done else None) or other.to
        below = top.value if top is not None else below
    if to is None or to.value <= below:
        raise ValueError(f"How deep {subject} was poured is not known.")
    peak = max(peaks, key=lambda measured: measured.value)
    test: dict[str, Any] = {
        "depth": f"{(to.value - below) * 1e3:.1f} mm",
        "temperature": warm.text,
        "peak": peak.text,
    }
    if poured is not None and poured.at is not None:
        test = {"at": poured.at, **test}
    resin = held.resin

    def action(current: Project) -> Project:
        rows = list(current.document["resin"][resin].get("test-pours", []))
        if test in rows:
            raise ValueError(f"The peak of {subject} is among the test pours of {resin} already.")
        return current.with_value(("resin", resin, "test-pours"), [*rows, test])

    return action
