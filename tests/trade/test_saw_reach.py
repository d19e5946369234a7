"""A saw gets through what it reaches, in the fewest passes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.saw_reach import reach, saw_reach

depths = st.floats(0.01, 0.15)


@given(depths, depths, depths)
def test_the_passes_reach_through_or_what_they_leave_is_told(thick: float, rail: float, free: float) -> None:
    held = saw_reach(thick, rail, free)
    assert reach(held.passes) + held.unreached >= thick - 1e-9
    assert (held.unreached > 0) == (2 * max(rail, free) < thick - 1e-9)
    assert held.left_standing == max(0.0, thick - rail)
    assert (len(held.passes) == 1) == (thick <= rail + 1e-9)


@pytest.mark.parametrize(
    ("thickness", "passes"),
    [
        (50, [("upper", "on the rail")]),
        (52, [("upper", "on the rail"), ("upper", "off the rail")]),
        (90, [("upper", "on the rail"), ("lower", "on the rail")]),
        (103, [("upper", "on the rail"), ("upper", "off the rail"), ("lower", "on the rail")]),
        (
            108,
            [
                ("upper", "on the rail"),
                ("upper", "off the rail"),
                ("lower", "on the rail"),
                ("lower", "off the rail"),
            ],
        ),
    ],
)
def test_a_saw_of_50_mm_on_its_rail_and_54_off_it(thickness: float, passes: list[tuple[str, str]]) -> None:
    held = saw_reach(thickness / 1000, 0.050, 0.054)
    assert [(one.face, one.stand) for one in held.passes] == passes
    assert held.unreached == 0


def test_a_saw_without_its_rail_lying_deeper_turns_the_slab() -> None:
    assert [one.face for one in saw_reach(0.06, 0.05).passes] == ["upper", "lower"]
    assert saw_reach(0.12, 0.05).unreached == pytest.approx(0.02)


def test_a_saw_that_reaches_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        saw_reach(0.05, 0.0)
