"""Slabs, pieces and castings for the tests of the layout, read from short TOML as a file would hold them."""

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from workshop.layout.as_placed import CastingAsPlaced, casting_as_placed
from workshop.layout.placed import as_sawn
from workshop.layout.room import Room, room_of
from workshop.project.loading import validate
from workshop.project.model import ProjectFile
from workshop.trade.sawing import sawn_piece


def file_of(text: str) -> ProjectFile:
    """A project with these tables."""
    return validate(tomllib.loads("format = 2\n" + text, parse_float=Decimal))


def seat(file: ProjectFile) -> CastingAsPlaced:
    """The casting `seat` with what lies in it."""
    held = casting_as_placed(file, "seat")
    assert held is not None
    return held


def room(file: ProjectFile) -> Room:
    """The room in the form of `seat`."""
    found = room_of(seat(file))
    assert found is not None
    return found


def form(length: float, width: float) -> str:
    """A form of this inner size in mm."""
    return f'[casting.seat.form]\nlength = "{length} mm"\nwidth = "{width} mm"\n'


def board(
    name: str,
    left: float,
    right: float,
    place: str,
    more: str = "",
    *,
    lower: tuple[float, float] | None = None,
) -> str:
    """A slab of 1 m, 50 mm thick, with straight edges so far off its tape (mm), whole in `seat` at a place.

    `lower` are the left and right edge of the lower face.
    """
    faces = "" if lower is None else f", lower-left = {lower[0]}, lower-right = {lower[1]}"
    rows = "".join(f"{{ at = {at}, left = {left}, right = {right}{faces} }}, " for at in (0, 1000))
    return f"""
[slab.ash-{name}]
thickness = "50 mm"
unit = "mm"
stations = [{rows}]
{more}
[piece.{name}]
slab = "ash-{name}"
casting = "seat"
mark = "500, 0 mm"
place = "{place}"
"""


@dataclass(frozen=True)
class Layout:
    """A drawn layout: the file, and the wood of each piece by the prismoidal formula, worked out alone."""

    file: ProjectFile
    wood: tuple[float, ...]
    top: float


TENTHS = st.integers(0, 400).map(lambda tenths: tenths / 10)


@st.composite
def layouts(draw: st.DrawFn) -> Layout:
    """One to three pieces, sawn square out of bevelled slabs, turned and flipped, apart in a large form."""
    count = draw(st.integers(1, 3))
    document: dict[str, Any] = {
        "format": 2,
        "casting": {"seat": {"form": {"length": f"{count * 2000} mm", "width": "2000 mm"}}},
        "slab": {},
        "piece": {},
    }
    for number in range(count):
        name = f"p{number}"
        rows = []
        for at in range(0, 1201, 300):
            row: dict[str, Any] = {"at": at}
            for side in ("left", "right"):
                row[side] = 60 + draw(TENTHS)
                row[f"lower-{side}"] = 60 + draw(TENTHS)
            rows.append(row)
        saws = [{"id": "s1", "square-at": draw(st.integers(10, 250))}]
        saws += [{"id": "s2", "square-at": draw(st.integers(950, 1190))}]
        if draw(st.booleans()):
            saws.append({"id": "s3", "from": "0, 45", "to": f"1200, {draw(st.integers(30, 50))}"})
        hole = "612, 21; 640, 28; 655, 24; 620, 10" if draw(st.booleans()) else None
        document["slab"][f"ash-{name}"] = {
            "thickness": f"{draw(st.integers(20, 80))} mm",
            "unit": "mm",
            "stations": rows,
            "saw-lines": saws,
            **({} if hole is None else {"holes": [hole]}),
        }
        document["piece"][name] = {
            "slab": f"ash-{name}",
            "casting": "seat",
            "mark": f"{draw(st.integers(500, 700))}, {draw(st.integers(-20, 5))} mm",
            "place": f"{1000 + 2000 * number}, 1000 mm",
            "turn": f"{draw(st.integers(-180, 180))}°",
            "flip": draw(st.booleans()),
        }
    file = validate(document)
    pieces = [as_sawn(file, name) for name in file.piece]
    wood = tuple(sawn_piece(held.pair, held.thickness or 0.0).volume for held in pieces)
    return Layout(file, wood, max(held.thickness or 0.0 for held in pieces))
