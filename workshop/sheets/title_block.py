"""What every sheet of a drawing carries: its frame, its title strip with the scale bar, and its legend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from workshop.pictures.picture import said
from workshop.quantity import Units
from workshop.sheets.ink import (
    LARGE,
    NORMAL,
    SMALL,
    Disc,
    Fill,
    Group,
    Ink,
    Path,
    Pen,
    Sheet,
    Words,
    box,
    cut_to,
    line,
)
from workshop.sheets.paper import INCH, Paper

MARGIN: Final = 10.0
"""mm that printers leave white."""
STRIP: Final = 20.0
"""mm that the title strip is high."""
METRIC_BAR: Final = 50.0
US_BAR: Final = 2 * INCH
PARTS: Final = 5


@dataclass(frozen=True, slots=True)
class Heading:
    """What the title strips of one drawing have in common."""

    project: str
    now: datetime
    """In the shop's zone."""
    units: Units
    paper: Paper


@dataclass(frozen=True, slots=True)
class Key:
    """One entry of a legend: a pen or a fill, a sign of it, and what it stands for."""

    text: str
    pen: Pen = "none"
    fill: Fill = "none"
    sign: str = ""
    """`grain`, `end`, `stones`, `slant`, `cross` or `blank` for what is more than a line."""


def framed(sheet: Sheet, heading: Heading, number: int, count: int) -> Group:
    """A sheet with frame and title strip, as it stands in the file."""
    paper = heading.paper
    left, right, bottom = MARGIN, paper.width - MARGIN, paper.height - MARGIN
    top = bottom - STRIP
    parts: list[Ink] = [
        box(0, 0, paper.width, paper.height, "none", "white", kind="page"),
        *sheet.parts,
        line((left, top), (right, top), pen="thick"),
        line((left, bottom), (right, bottom), pen="thick"),
    ]
    names = 0.33 * (right - left)
    bars = left + names + 62.0
    last = right - 66.0
    parts += [
        Words(left + 1, top + 8, cut_to(heading.project, LARGE, names - 3), LARGE, bold=True),
        Words(left + 1, top + 15.5, cut_to(sheet.title, NORMAL, names - 3), NORMAL),
        line((left + names, top + 2), (left + names, bottom - 2)),
        Words(left + names + 4, top + 8, _scale(sheet), LARGE, bold=True, data=(("kind", "scale"),)),
        Words(left + names + 4, top + 15.5, _units(heading.units), SMALL),
        line((last, top + 2), (last, bottom - 2)),
        Words(last + 4, top + 8, f"Sheet {number} of {count}", LARGE, bold=True),
        Words(last + 4, top + 15.5, f"{heading.now:%Y-%m-%d} · {paper.name}", NORMAL),
    ]
    if sheet.over is not None:
        parts.append(scale_bar(bars, top + 7, sheet.over, heading.units))
        parts.append(Words(bars, top + 17, "Check the scale bar after printing.", SMALL))
    return Group(tuple(parts), (("sheet", str(number)), ("title", sheet.title)))


def scale_bar(x: float, y: float, over: int, units: Units) -> Group:
    """A bar of a round length of paper, in five parts, with the length that it stands for."""
    paper = US_BAR if units.system == "us" else METRIC_BAR
    part = paper / PARTS
    parts: list[Ink] = [
        box(x + part * number, y - 2, x + part * (number + 1), y, "thin", "white" if number % 2 else "black")
        for number in range(PARTS)
    ]
    real = paper / 1000 * over
    parts.append(Path((((x, y), (x + paper, y)),), "thin", data=(("kind", "scale-bar"), ("real", f"{real}"))))
    parts.append(Words(x, y + 4, "0", SMALL, "middle"))
    parts.append(Words(x + paper, y + 4, said(real, units), SMALL, "middle"))
    parts.append(Words(x + paper / 2, y + 4, f"{said(paper / 1000, units)} here", SMALL, "middle"))
    return Group(tuple(parts))


def legend(keys: Sequence[Key], x: float, y: float, columns: int, wide: float) -> Group:
    """What lines and hatchings mean, in columns of `wide` mm, the first row's base line at `y`."""
    parts: list[Ink] = []
    rows = -(-len(keys) // columns)
    for number, key in enumerate(keys):
        left = x + wide * (number // rows)
        low = y + 4.6 * (number % rows)
        parts += _sample(key, left, low)
        parts.append(Words(left + 12, low, cut_to(key.text, SMALL, wide - 12), SMALL))
    return Group(tuple(parts), (("kind", "legend"),))


def legend_height(keys: Sequence[Key], columns: int) -> float:
    """How high it gets, mm."""
    return 4.6 * -(-len(keys) // columns)


def _sample(key: Key, x: float, y: float) -> list[Ink]:
    top, bottom, right = y - 3.0, y + 0.4, x + 10.0
    middle = y - 1.0
    if key.sign == "cross":
        return [Disc(x + 5.0, middle, 1.0), *cross(x + 5.0, middle, 1.8)]
    if key.sign == "":
        made: list[Ink] = []
        if key.fill != "none":
            made.append(box(x, top, right, bottom, "fine", key.fill))
        if key.pen != "none":
            made.append(line((x, middle), (right, middle), pen=key.pen))
        return made
    made = [box(x, top, right, bottom, key.pen if key.pen != "none" else "fine", key.fill)]
    if key.sign == "grain":
        made += [line((x, top + up), (right, top + up), pen="fine") for up in (1.1, 2.2)]
    elif key.sign == "stones":
        made += [Disc(x + 1.6 + 2 * step, middle + 0.5 * (-1) ** step, 0.55, "fine") for step in range(4)]
    elif key.sign in ("slant", "end"):
        way = 3.4 if key.sign == "slant" else -3.4
        starts = (x + 1 + 2.0 * step + (0 if way > 0 else 3.4) for step in range(3))
        made += [line((start, bottom), (start + way, top), pen="fine") for start in starts]
    return made


def cross(x: float, y: float, reach: float) -> list[Ink]:
    """The mark of a middle."""
    return [line((x - reach, y), (x + reach, y)), line((x, y - reach), (x, y + reach))]


def _scale(sheet: Sheet) -> str:
    return f"Scale 1:{sheet.over}" if sheet.over is not None else "No scale"


def _units(units: Units) -> str:
    return "Lengths in inches" if units.system == "us" else "Lengths in mm"
