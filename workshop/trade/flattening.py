"""Surfacing on a sled: lanes, passes, path, time, chips, and whether the cutter runs as it should."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, isfinite, pi

from workshop.reference import table

TURNING = 1.4
"""Time for the whole over time in the cut, for turning round and moving over: common practice, no source."""
LEAST_CHIP_LOAD = 0.0001
"""m a tooth; thinner chips rub and resin melts: common practice, no source."""


@dataclass(frozen=True)
class SledPasses:
    """The surfacing of one face."""

    step: float
    """m that the cutter is moved over from lane to lane."""
    lanes: int
    passes: int
    path: float
    """m in the cut, all lanes of all passes."""
    cutting_time: float
    """s in the cut."""
    time: float
    """s, turning included."""
    chip_volume: float
    """m³ of solid material turned to chips."""


def _above_zero(name: str, value: float) -> None:
    if not (isfinite(value) and value > 0):
        raise ValueError(f"The {name} is {value:g}: give a value above zero.")


def lanes(width: float, cutter: float, overlap: float = 0.0) -> int:
    """Return the lanes side by side that cover `width` m with a cutter of `cutter` m.

    ⌈(W - c)/(c·(1 - overlap))⌉ + 1, and 1 where the cutter spans the work. `overlap` is the fraction of the
    cutter that runs over the lane before. Raises ValueError for a size not above zero or an overlap outside
    0..1.
    """
    _above_zero("width", width)
    _above_zero("cutter", cutter)
    if not 0 <= overlap < 1:
        raise ValueError(f"The overlap is {overlap:g} of the cutter: give a fraction from 0 to below 1.")
    if width <= cutter:
        return 1
    return ceil((width - cutter) / (cutter * (1 - overlap)) - 1e-9) + 1


def sled_passes(
    length: float,
    width: float,
    cutter: float,
    removal: float,
    per_pass: float,
    feed_rate: float,
    overlap: float = 0.0,
) -> SledPasses:
    """Return lanes, passes, path and time that take `removal` m off a face of `length` x `width` m.

    `per_pass` is the depth in m of one pass, `feed_rate` the speed of the sled in m/s. Path: lanes x passes x
    length. Raises ValueError for a size, depth or feed not above zero.
    """
    for name, value in (
        ("length", length),
        ("removal", removal),
        ("depth of a pass", per_pass),
        ("feed rate", feed_rate),
    ):
        _above_zero(name, value)
    across = lanes(width, cutter, overlap)
    passes = ceil(removal / per_pass - 1e-9)
    path = across * passes * length
    return SledPasses(
        cutter * (1 - overlap),
        across,
        passes,
        path,
        path / feed_rate,
        TURNING * path / feed_rate,
        removal * length * width,
    )


def rim_speed(cutter: float, rev_per_s: float) -> float:
    """Return the speed of the cutting edge in m/s: π·D·n, cutter in m, rotation in revolutions per second."""
    _above_zero("cutter", cutter)
    _above_zero("rotational speed", rev_per_s)
    return pi * cutter * rev_per_s


def chip_load(feed_rate: float, rev_per_s: float, flutes: int) -> float:
    """Return the feed per tooth in m: feed/(n·flutes), feed in m/s, rotation in revolutions per second."""
    _above_zero("feed rate", feed_rate)
    _above_zero("rotational speed", rev_per_s)
    _above_zero("number of flutes", flutes)
    return feed_rate / (rev_per_s * flutes)


def habitual_speed(cutter: float) -> float:
    """Return the highest speed in 1/s at which a cutter of `cutter` m is habitually run.

    A habit only, `cutter_speeds.toml`: the speed stamped on the cutter always rules.
    """
    _above_zero("cutter", cutter)
    rows = table("cutter_speeds")["speed"]
    for row in rows:
        if "up-to-mm" not in row or cutter * 1000 <= float(row["up-to-mm"]) + 1e-9:
            return float(row["rpm"]) / 60
    raise ValueError("The table of cutter speeds has no last row without up-to-mm: add one.")
