"""A plank round a corner and a sheet through a door, against results of calculus and geometry.

The longest thin plank from a corridor a wide into one b wide is (a^(2/3) + b^(2/3))^(3/2): the worked example
of optimisation in calculus texts (Stewart, Calculus, Applied Optimization Problems, from memory). Tolerance
1e-9 m where a formula is compared, 1 mm where a sweep is.
"""

import math
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.carrying_in import box, longest_round, round_corner, through_door, turning_room

CORRIDORS = st.floats(0.6, 3.0)


def corners_at(length: float, thickness: float, angle: float) -> tuple[tuple[float, float], ...]:
    """A plank in the outer corner, each end of one long side against an outer wall."""
    foot, top = (length * math.cos(angle), 0.0), (0.0, length * math.sin(angle))
    dx, dy = thickness * math.sin(angle), thickness * math.cos(angle)
    return foot, top, (top[0] + dx, top[1] + dy), (foot[0] + dx, foot[1] + dy)


def hits_inner_corner(plank: tuple[tuple[float, float], ...], before: float, after: float) -> bool:
    """Whether the plank reaches into the block with its corner at (before, after).

    By separating lines: the block is a quarter plane, so only lines that fall across it can part them.
    """
    if max(x for x, _ in plank) <= before or max(y for _, y in plank) <= after:
        return False
    for (x1, y1), (x2, y2) in zip(plank, plank[1:] + plank[:1], strict=True):
        for nx, ny in ((y2 - y1, x1 - x2), (y1 - y2, x2 - x1)):
            if (
                nx >= 0
                and ny >= 0
                and max(nx * x + ny * y for x, y in plank) <= nx * before + ny * after + 1e-12
            ):
                return False
    return True


def swept_round(before: float, after: float, length: float, thickness: float, steps: int = 2000) -> bool:
    """Turn the plank in small steps and look at each whether it still stands clear."""
    if thickness > min(before, after):
        return False
    return length <= max(before, after) or not any(
        hits_inner_corner(corners_at(length, thickness, math.pi / 2 * step / steps), before, after)
        for step in range(steps + 1)
    )


def longest_swept(before: float, after: float, thickness: float) -> float:
    """The longest plank that gets round in the sweep, to a tenth of a millimetre."""
    low, high = max(before, after), 12.0
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if swept_round(before, after, middle, thickness) else (low, middle)
    return low


@pytest.mark.parametrize(
    ("before", "after", "longest"),
    # (1^(2/3) + 8^(2/3))^(3/2) = 5^(3/2); (27^(2/3) + 64^(2/3))^(3/2) = 25^(3/2) = 125: exact.
    [(1.0, 8.0, 5**1.5), (27.0, 64.0, 125.0), (2.0, 2.0, 4 * math.sqrt(2))],
)
def test_a_thin_plank_is_as_long_as_the_calculus_text_says(
    before: float, after: float, longest: float
) -> None:
    assert longest_round(before, after, 0.0)[0] == pytest.approx(longest, abs=1e-9)


@settings(deadline=None, derandomize=True)
@given(CORRIDORS, CORRIDORS)
def test_a_thin_plank_follows_the_formula_everywhere(before: float, after: float) -> None:
    longest = (before ** (2 / 3) + after ** (2 / 3)) ** 1.5
    found, angle = longest_round(before, after, 0.0)
    assert found == pytest.approx(longest, abs=1e-9)
    # The same text: it is tightest where tan of the angle is the cube root of the widths' ratio.
    assert math.tan(angle) == pytest.approx((after / before) ** (1 / 3), abs=1e-4)


@settings(deadline=None, derandomize=True)
@given(CORRIDORS, st.floats(0.0, 0.98))
def test_between_equal_corridors_a_thick_plank_is_tightest_at_45_degrees(width: float, share: float) -> None:
    # By symmetry: 2 sqrt(2) a - 2 q, exact, as long as it is longer than what merely slides across.
    longest = max(2 * math.sqrt(2) * width - 2 * share * width, width)
    found = max(longest_round(width, width, share * width)[0], width)
    assert found == pytest.approx(longest, abs=1e-6)


@settings(deadline=None, derandomize=True, max_examples=25)
@given(CORRIDORS, CORRIDORS, st.floats(0.02, 0.5))
def test_the_longest_is_that_of_a_sweep_to_the_millimetre(
    before: float, after: float, thickness: float
) -> None:
    found = max(longest_round(before, after, thickness)[0], before, after)
    assert found == pytest.approx(longest_swept(before, after, thickness), abs=1e-3)


@settings(deadline=None, derandomize=True, max_examples=50)
@given(CORRIDORS, CORRIDORS, st.floats(0.3, 6.0), st.floats(0.02, 1.2))
def test_a_piece_goes_round_where_the_sweep_does(
    before: float, after: float, length: float, width: float
) -> None:
    sides = sorted((length, width))
    room = min(turning_room(before, after, sides[1])[0] - sides[0], min(before, after) - sides[0])
    slides = min(max(before, after) - sides[1], min(before, after) - sides[0])
    if abs(max(room, slides)) < 1e-3:
        return  # On the verge the steps of the sweep decide.
    assert (max(room, slides) > 0) == swept_round(before, after, sides[1], sides[0])


def walked(before: float, after: float, length: float, thickness: float) -> bool:
    """Walk the plank from one corridor into the other by any small shifts and turns whatever.

    Nothing of the best path is taken for granted: every place and angle of a grid of 50 mm and 3 degrees that
    stands clear is gone to from its neighbours.
    """
    step, turns, reach = 0.05, 60, 1.25
    cells = round((length + reach) / step)

    def clear(i: int, j: int, k: int) -> bool:
        angle = math.pi * k / turns
        cosine, sine = math.cos(angle) * length / 2, math.sin(angle) * length / 2
        nx, ny = -math.sin(angle) * thickness / 2, math.cos(angle) * thickness / 2
        plank = (
            (i * step + cosine + nx, j * step + sine + ny),
            (i * step + cosine - nx, j * step + sine - ny),
            (i * step - cosine - nx, j * step - sine - ny),
            (i * step - cosine + nx, j * step - sine + ny),
        )
        if min(min(corner) for corner in plank) < -1e-9:
            return False
        return not hits_inner_corner(plank, before, after)

    def neighbours(i: int, j: int, k: int) -> Iterator[tuple[int, int, int]]:
        for di, dj, dk in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1)):
            yield i + di, j + dj, (k + dk) % turns

    start = (round(before / 2 / step), cells, turns // 2)
    seen, ahead = {start}, [start]
    while ahead:
        here = ahead.pop()
        if here[0] >= cells - 1 and here[2] == 0:
            return True
        for place in neighbours(*here):
            if place not in seen and 0 <= place[0] <= cells and 0 <= place[1] <= cells and clear(*place):
                seen.add(place)
                ahead.append(place)
    return False


@pytest.mark.parametrize(
    ("before", "after", "thickness"), [(1.0, 1.0, 0.2), (1.2, 0.8, 0.1), (1.0, 0.8, 0.4)]
)
def test_no_cleverer_path_round_the_corner_takes_a_longer_plank(
    before: float, after: float, thickness: float
) -> None:
    # The grid is coarse, so the plank is 12 % shorter or 5 % longer than the longest.
    longest = longest_round(before, after, thickness)[0]
    assert walked(before, after, 0.88 * longest, thickness)
    assert not walked(before, after, 1.05 * longest, thickness)


@pytest.mark.parametrize(("width", "height", "widest"), [(0.9, 1.2, 1.5), (0.8, 1.5, 1.7), (0.5, 1.2, 1.3)])
def test_a_thin_sheet_goes_through_a_door_on_its_diagonal(width: float, height: float, widest: float) -> None:
    # Pythagoras: 3-4-5, 8-15-17 and 5-12-13. The sheet is a tenth of a millimetre thick, hence 1 mm.
    assert through_door(box(4.0, widest - 1e-3, 1e-4), width, height).fits
    assert not through_door(box(4.0, widest + 1e-3, 1e-4), width, height).fits


@settings(deadline=None, derandomize=True)
@given(st.floats(0.5, 1.2), st.floats(0.1, 1.2), st.floats(0.01, 0.3))
def test_a_thick_panel_through_a_door_is_carvers_rectangle_in_a_rectangle(
    opening: float, more: float, thickness: float
) -> None:
    # Carver, Solution to Problem E1225, American Mathematical Monthly 64 (1957), from memory: p by q, p over
    # both sides of an opening a by b with a >= b, goes in where
    # b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2). Tolerance 1 mm.
    a, b, q = opening + more, opening, thickness
    p = a + 0.02

    def carver(p: float, q: float) -> float:
        square = p * p + q * q
        return (2 * p * q * a + (p * p - q * q) * math.sqrt(square - a * a)) / square

    if q >= p:
        return
    slack = b - carver(p, q)
    if abs(slack) > 1e-3:
        assert through_door(box(5.0, p, q), b, a).fits == (slack > 0)


@settings(deadline=None, derandomize=True)
@given(CORRIDORS, CORRIDORS, st.floats(0.5, 5.0), st.floats(0.02, 0.5))
def test_upright_under_a_ceiling_it_turns_on_its_end(
    before: float, after: float, length: float, width: float
) -> None:
    # Geometry: on end it takes its width and thickness of the floor, and its whole length of the height.
    piece = box(length, width, 0.02)
    stood = round_corner(piece, before, after, piece.length + 1e-6)
    if width < min(before, after):
        assert stood.fits
