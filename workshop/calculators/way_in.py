"""Whether a finished part gets to its place: each door, corner and stair, and which way to hold it there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from math import ceil, degrees, floor
from typing import Annotated, Final, Literal

from workshop.calculator import Calculator, CalculatorInputs, InputError, given
from workshop.desk import Desk, Filling, Given, Missing, Source, combine
from workshop.figures import COMMON_PRACTICE, Column, Figure, Finding, Level, Result, Table, Working, phrase
from workshop.project.path import Path
from workshop.quantity import ANGLE, DISTANCE, LENGTH, Amount
from workshop.trade.carrying_in import HANDS, STEEPEST_STAIR, Way, box
from workshop.trade.passages import BESIDE, Obstacle, Passage, over_formula, passages, sizes_formula

Kind = Literal["door", "corner", "stair"]
Row = tuple[
    Kind,
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
    Annotated[float, LENGTH],
]


class Inputs(CalculatorInputs):
    """The piece, and what it must pass: rows in their order, or one door, corner and stair by hand."""

    alternatives = (("way", "door-width", "corner-before", "stair-width"),)

    length: Annotated[float, LENGTH] = given("length of the piece", above=0.0, high=20.0)
    width: Annotated[float, LENGTH] = given("width of the piece", above=0.0, high=20.0)
    thickness: Annotated[float, LENGTH] = given("thickness of the piece", above=0.0, high=20.0)
    way: tuple[Row, ...] = given(
        "the way in",
        default=(),
        help="rows of door, corner or stair, then width, height, width after the turn and landing; "
        "0: not there",
    )
    door_width: Annotated[float, LENGTH] | None = given(
        "door, clear width", default=None, above=0.0, high=20.0
    )
    door_height: Annotated[float, LENGTH] | None = given(
        "door, clear height", default=None, above=0.0, high=20.0
    )
    corner_before: Annotated[float, LENGTH] | None = given(
        "corridor before the corner", default=None, above=0.0, high=50.0
    )
    corner_after: Annotated[float, LENGTH] | None = given(
        "corridor after the corner", default=None, above=0.0, high=50.0
    )
    corner_height: Annotated[float, LENGTH] | None = given(
        "ceiling at the corner",
        default=None,
        above=0.0,
        high=50.0,
        help="left out: the piece is neither stood on end nor tilted there",
    )
    stair_width: Annotated[float, LENGTH] | None = given(
        "stair, width between walls or rails", default=None, above=0.0, high=20.0
    )
    stair_headroom: Annotated[float, LENGTH] | None = given(
        "stair, headroom above the nosings", default=None, above=0.0, high=20.0
    )
    stair_after: Annotated[float, LENGTH] | None = given(
        "stair, width after its landing",
        default=None,
        above=0.0,
        high=20.0,
        help="left out: a straight stair, or as wide as before where a landing is given",
    )
    landing: Annotated[float, LENGTH] | None = given(
        "landing on which the stair turns right back",
        default=None,
        above=0.0,
        high=20.0,
        help="its length in the direction of the stair; left out: a quarter turn, or none",
    )
    stair_pitch: Annotated[float, ANGLE] = given(
        "pitch of the stair",
        default=STEEPEST_STAIR,
        low=0.0,
        high=1.4,
        help="left out: 42°, the steepest of a private stair",
    )
    hands: Annotated[float, LENGTH] = given(
        "room for hands at each side",
        default=HANDS,
        low=0.0,
        high=0.5,
        help="left out: 30 mm (common practice, no source)",
    )


def compute(inputs: Inputs) -> Result:
    """Adapts `trade.passages` and `trade.carrying_in`."""
    piece = box(inputs.length, inputs.width, inputs.thickness)
    figures: list[Figure] = []
    findings: list[Finding] = []
    rows: list[tuple[float | str, ...]] = []
    margins: list[float] = []
    obstacles = tuple(_obstacles(inputs))
    for number, obstacle in enumerate(obstacles, 1):
        name = _name(number, [held.kind for held in obstacles])
        parts = passages(obstacle, piece, inputs.hands, inputs.stair_pitch)
        for passage in parts:
            where = _where(passage, name)
            tag = "" if len(parts) == 1 else "flight" if passage.shape == "flight" else "landing"
            figures += _figures(passage, name, tag, number, inputs)
            rows.append((where, _words(passage.way), passage.way.margin))
        if len(parts) > 1:
            each = [passage.way.margin for passage in parts]
            figures.append(_least(f"margin-{number}", f"least to spare on {name}", each))
        tightest = min(parts, key=lambda passage: passage.way.margin)
        margins.append(tightest.way.margin)
        findings += _short(tightest, _where(tightest, name), number, inputs)
    table = Table(
        "The way in",
        (Column("where", "where"), Column("hold", "hold it"), Column("margin", "to spare", DISTANCE)),
        tuple(rows),
    )
    least = _least("margin", "least to spare on the way in", margins)
    return Result((least, *figures), tuple(findings), {"way-in": table})


# What is passed


def _obstacles(inputs: Inputs) -> Iterator[Obstacle]:
    rows = (*_measured(inputs), *_by_hand(inputs))
    if not rows:
        raise InputError("way", "there is nothing on the way in: give a door, a corner or a stair")
    for kind, width, height, after, landing in rows:
        yield Obstacle(kind, width, height or None, after or None, landing or None)


def _measured(inputs: Inputs) -> Iterator[Row]:
    """The rows, each with what its kind cannot do without."""
    for number, row in enumerate(inputs.way, 1):
        kind, width, height, after, landing = row
        if min(width, height, after, landing) < 0:
            raise InputError("way", f"row {number} holds a length below 0: measure it again")
        second, what = (after, "width after") if kind == "corner" else (height, "height")
        if not width or not second:
            lacking = what if width else "width"
            raise InputError("way", f"row {number} is a {kind} without its {lacking}: measure it")
        yield row


def _by_hand(inputs: Inputs) -> Iterator[Row]:
    door = _together(inputs, "door-width", "door-height")
    if door is not None:
        yield ("door", *door, 0.0, 0.0)
    corner = _together(inputs, "corner-before", "corner-after")
    if corner is not None:
        yield ("corner", corner[0], inputs.corner_height or 0.0, corner[1], 0.0)
    stair = _together(inputs, "stair-width", "stair-headroom")
    if stair is not None:
        yield ("stair", *stair, inputs.stair_after or 0.0, inputs.landing or 0.0)


def _together(inputs: Inputs, *keys: str) -> tuple[float, float] | None:
    """Two lengths of which neither is of use alone."""
    first, second = (getattr(inputs, key.replace("-", "_")) for key in keys)
    if first is None and second is None:
        return None
    if first is None or second is None:
        absent, there = keys if first is None else keys[::-1]
        raise InputError(absent, f"{there} says nothing without it: give both, such as {absent}='95 cm'")
    return float(first), float(second)


# How it is said


def _name(number: int, kinds: Sequence[str]) -> str:
    """`the door`, or `door 2` where there is more than one."""
    kind = kinds[number - 1]
    return f"the {kind}" if kinds.count(kind) == 1 else f"{kind} {kinds[:number].count(kind)}"


def _where(passage: Passage, name: str) -> str:
    match passage.shape, passage.obstacle.kind:
        case "door", _:
            return f"through {name}"
        case "flight", _:
            return f"up {name}"
        case "corner", "corner":
            return f"round {name}"
        case _:
            return f"round the landing of {name}"


def _words(way: Way) -> str:
    """`on edge`, `flat, tilted by 35°`: as one calls it to the other."""
    held = way.hold if way.tilt is None else f"{way.hold} by {degrees(way.tilt):.0f}°"
    match way.move:
        case "sideways":
            return f"{held}, then sideways without turning"
        case "backing out":
            return f"{held}, in and out again backwards"
        case _:
            return held


# Figures


def _figures(passage: Passage, name: str, tag: str, number: int, inputs: Inputs) -> Iterator[Figure]:
    way = passage.way
    where = f"on the landing of {name}" if tag == "landing" else f"{'on' if tag else 'at'} {name}"
    prefix = f"{tag}-" if tag else ""
    beside, over = BESIDE[way.move], over_formula(passage.shape)

    def figure(id: str, title: str, value: float, formula: str) -> Figure:
        working = _working(formula, way.angle, passage, inputs)
        return Figure(f"{id}-{number}", title, value, DISTANCE, working)

    spare = f"to spare {where}, {way.hold}"
    if way.over is None:
        yield figure(tag or "margin", spare, way.margin, f"margin = {beside}")
    else:
        both = f"beside = {beside}; over = {over}; margin = min(beside, over)"
        yield figure(tag or "margin", spare, way.margin, both)
        if way.over > way.beside:
            yield figure(f"{prefix}over", f"above it {where}", way.over, f"over = {over}")
        else:
            yield figure(f"{prefix}beside", f"beside it {where}", way.beside, f"beside = {beside}")
    longest = passage.longest()
    if longest is not None:
        turned = "(a*sin(t) + b*cos(t) - q - 2*s)/(sin(t)*cos(t))"
        title = f"longest {_where(passage, name)}"
        working = _working(f"longest = max({turned}, a, b) - 2*s", longest[1], passage, inputs)
        yield Figure(f"{prefix}longest-{number}", title, longest[0], LENGTH, working)


def _working(formula: str, angle: float | None, passage: Passage, inputs: Inputs) -> Working:
    way, piece, obstacle = passage.way, passage.piece, passage.obstacle
    slanted = sizes_formula(way)
    read = _names(formula)
    written = "; ".join((*(f"{name} = {size}" for name, size in slanted.items() if name in read), formula))
    lengths = {
        "w": obstacle.width,
        "a": obstacle.width,
        "b": obstacle.beyond,
        "d": obstacle.landing,
        "h": obstacle.height,
        "s": inputs.hands,
        "L": piece.length,
        "W": piece.width,
        "T": piece.thickness,
        "p": way.long,
        "q": way.short,
        "z": way.height,
    }
    angles = {"r": inputs.stair_pitch, "f": way.tilt, "t": angle, "u": way.angle_after}
    numbers = {
        **{name: Amount(held, LENGTH) for name, held in lengths.items() if held is not None},
        **{name: Amount(held, ANGLE) for name, held in angles.items() if held is not None},
    }
    read = _names(written)
    return Working(
        written,
        {name: number for name, number in numbers.items() if name in read},
        "geometry: a rectangle turned round a corner, at its tightest" if "t" in read else "geometry",
        assumed=tuple(_assumed(read, passage, inputs)),
    )


def _names(formula: str) -> set[str]:
    """The names that a formula reads, without its functions and what it works out on the way."""
    read = set(re.findall(r"\b[A-Za-z]\w*\b(?!\()", formula))
    return read - set(re.findall(r"\b([A-Za-z]\w*) = ", formula))


def _assumed(read: set[str], passage: Passage, inputs: Inputs) -> Iterator[str]:
    if "s" in read and inputs.hands == HANDS:
        yield f"30 mm for hands at each side ({COMMON_PRACTICE})"
    if passage.way.tilt is not None:
        yield "at the slant that leaves most room"
    if "r" in read and inputs.stair_pitch == STEEPEST_STAIR:
        yield "stair at 42°, the steepest of a private one (Approved Document K, from memory)"
    if passage.turns and passage.obstacle.kind == "stair":
        yield "walls up to the ceiling; no step above the landing in its way"
    if passage.shape == "landing":
        yield "landing as wide as both flights, no well between them"
    if passage.turns and passage.way.over is None:
        yield "carried level, since the height of the ceiling is not given"


def _least(id: str, title: str, each: Sequence[float]) -> Figure:
    numbers = {"each": tuple(Amount(held, DISTANCE) for held in each)}
    return Figure(id, title, min(each), DISTANCE, Working("margin = min(each)", numbers, "geometry"))


# Findings


def _short(passage: Passage, where: str, number: int, inputs: Inputs) -> Iterator[Finding]:
    if passage.way.fits:
        return
    bare = passage.without_hands()
    field, keep, kept = _smaller(passage, inputs)
    parts = {
        "short": Amount(ceil(-passage.way.margin * 1000 - 1e-6) / 1000, LENGTH),
        "bare": Amount(floor(bare.margin * 1000 + 1e-6) / 1000, LENGTH),
        "hands": Amount(inputs.hands, LENGTH),
        "kept": Amount(kept, LENGTH),
    }
    if bare.fits:
        rule, level = "no-room-for-hands", Level.WARN
        text = (
            f"It goes {where}, {_words(bare)}, but with {{hands}} for hands at each side it lacks {{short}}."
        )
        remedy = f"Carry it there in slings or slide it on a blanket, {{bare}} to spare{keep}."
    else:
        rule, level = "does-not-go", Level.STOP
        text = f"It does not go {where}: even {_words(passage.way)}, it lacks {{short}}."
        remedy = f"{_unblock(passage)}{keep}, or cast it in two parts to be joined there."
    yield Finding(
        f"{rule}-{number}",
        level,
        phrase(text, **parts),
        phrase(remedy, **parts),
        field=field,
        figures=(f"margin-{number}",),
        value=Amount(passage.way.margin, LENGTH),
        worse="down",
        margin=0.005,
    )


def _unblock(passage: Passage) -> str:
    if passage.shape == "door":
        return "Take the door off its hinges if that gains {short}"
    if passage.way.over is not None and passage.way.over < passage.way.beside - 1e-6:
        return "Find a way in that is {short} higher"
    if passage.obstacle.kind == "stair":
        return "Take the handrail off if that gains {short}"
    return "Find a way in that is {short} wider"


def _smaller(passage: Passage, inputs: Inputs) -> tuple[str, str, float]:
    """The side to make smaller, that in words, and to what; no words where neither side alone does it.

    The length where it has to turn, else the width.
    """
    sides = ("length", "width", "thickness")
    longest, middle, _ = sorted(sides, key=lambda side: -float(getattr(inputs, side)))
    length = passage.length_that_goes() if passage.turns else None
    if length is not None:
        return longest, f", or keep its {longest} to {{kept}}", length
    width = passage.width_that_goes()
    field = longest if passage.turns else middle
    return (field, "", 0.0) if width is None else (middle, f", or keep its {middle} to {{kept}}", width)


# From a project


def fill(desk: Desk) -> Iterator[Filling]:
    """Every casting as finished, on the way in as it was measured; what is screwed on comes off for it."""
    way = _way(desk)
    for casting in desk.file.casting:
        sides = {key: desk.at("casting", casting, key) for key in ("length", "width", "thickness")}
        yield Filling(
            casting,
            {
                "length": combine("without legs", lambda length: length, sides["length"]),
                "width": sides["width"],
                "thickness": sides["thickness"],
                "way": way,
            },
        )


_NEEDED: Final[Mapping[Kind, tuple[str, ...]]] = {
    "door": ("width", "height"),
    "corner": ("width", "after"),
    "stair": ("width", "height"),
}
_MEASURES: Final = ("width", "height", "after", "length")
_SAID: Final = {"after": "width beyond the turn", "length": "landing"}


def _way(desk: Desk) -> Source:
    """All rows with the places of their lengths; missing where a row lacks what its kind needs."""
    rows = desk.file.destination.way_in
    if not rows:
        return Missing("the doors, corners and stairs on the way in", (("destination", "way-in"),))
    lengths: list[tuple[float, ...]] = []
    paths: list[Path] = []
    lacking: list[Missing] = []
    kinds = [row.kind for row in rows]
    for number, row in enumerate(rows):
        name = f"{_name(number + 1, kinds)} on the way in"
        found = []
        for key in _MEASURES:
            place: Path = ("destination", "way-in", number, key)
            held = desk.at(*place, what=f"the {_SAID.get(key, key)} of {name}")
            if isinstance(held, Given):
                paths.append(place)
                found.append(held.value)
            else:
                found.append(0.0)
                lacking += [held] if key in _NEEDED[row.kind] else []
        lengths.append(tuple(found))
    if lacking:
        return Missing(
            " and ".join(held.what for held in lacking),
            tuple(path for held in lacking for path in held.paths),
        )
    return Given(tuple((row.kind, *found) for row, found in zip(rows, lengths, strict=True)), tuple(paths))


CALCULATOR = Calculator(
    id="way-in",
    title="The way in",
    stage="stock-prep",
    inputs=Inputs,
    compute=compute,
    fill=fill,
    order=80,
)
