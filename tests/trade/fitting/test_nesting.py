"""Several parts on several slabs: never one over another, and as many as can be."""

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.trade.fitting.slabs import MM, box, laid, lies_inside, outlined_parts, slabs
from workshop.trade.fitting import Nest, Part, Stock, nested, rectangle, remainder, yield_share

SIZES = st.tuples(st.floats(0.1, 0.9), st.floats(0.05, 0.25))


def closest(nest: Nest) -> float:
    """Least distance between two parts on one stock."""
    pairs = [
        laid(one).distance(laid(other))
        for one, other in combinations(nest.placements, 2)
        if one.stock.id == other.stock.id
    ]
    return min(pairs, default=math.inf)


@settings(deadline=None, derandomize=True, max_examples=8)
@given(slabs("a"), slabs("b"), st.lists(SIZES, min_size=2, max_size=7), outlined_parts(), st.floats(0, 0.01))
def test_parts_never_overlap_and_keep_the_saw_line_between_them(
    first: Stock, second: Stock, sizes: list[tuple[float, float]], outlined: Part, kerf: float
) -> None:
    parts = [rectangle(str(n), length, width) for n, (length, width) in enumerate(sizes)]
    nest = nested([*parts, outlined], [first, second], kerf=kerf, seed=1, rounds=4)
    assert all(lies_inside(place) for place in nest.placements)
    assert closest(nest) >= kerf - 2e-9
    for one, other in combinations(nest.placements, 2):
        if one.stock.id == other.stock.id:
            assert laid(one).intersection(laid(other)).area < 1e-8
    told = [place.part.id for place in nest.placements] + [missing.part.id for missing in nest.unplaced]
    assert sorted(told) == sorted(part.id for part in [*parts, outlined])


def test_parts_that_fill_a_slab_without_a_saw_line_all_find_their_place() -> None:
    parts = [rectangle(str(n), 0.3, 0.2) for n in range(6)]
    nest = nested(parts, [Stock("slab", box(0.9, 0.4))], rounds=1)
    assert len(nest.placements) == 6
    assert yield_share(nest.placements[0].stock, nest.placements) == pytest.approx(1.0)


@pytest.mark.parametrize(("kerf", "gap", "own"), [(0.01, 0.0, 0.0), (0.0, 0.01, 0.0), (0.002, 0.0, 0.01)])
def test_the_widest_of_kerf_gap_and_the_slabs_own_kerf_counts(kerf: float, gap: float, own: float) -> None:
    slab = Stock("slab", box(1.0, 0.2), kerf=own)
    fitting = [rectangle(str(n), 0.495, 0.2) for n in range(2)]
    too_long = [rectangle(str(n), 0.4955, 0.2) for n in range(2)]
    nest = nested(fitting, [slab], kerf=kerf, gap=gap, rounds=2)
    assert len(nest.placements) == 2
    assert closest(nest) == pytest.approx(0.01, abs=1e-8)
    assert len(nested(too_long, [slab], kerf=kerf, gap=gap, rounds=2).placements) == 1


def test_parts_go_on_as_few_slabs_as_will_hold_them() -> None:
    slabs = [Stock(name, box(1.0, 0.3)) for name in "abc"]
    nest = nested([rectangle(str(n), 0.45, 0.28) for n in range(4)], slabs, kerf=3 * MM, rounds=10)
    assert len(nest.placements) == 4
    assert len(nest.stocks) == 2


def test_a_large_part_does_not_lose_its_only_slab_to_small_ones() -> None:
    stocks = [Stock("long", box(2.0, 0.3)), Stock("short", box(1.0, 0.3))]
    parts = [*(rectangle(f"small {n}", 0.45, 0.28) for n in range(2)), rectangle("long", 1.9, 0.28)]
    nest = nested(parts, stocks, kerf=3 * MM, rounds=5)
    assert len(nest.placements) == 3


def test_an_unplaced_part_says_what_it_lacks_beside_the_others() -> None:
    slab = Stock("slab", box(1.0, 0.2))
    nest = nested([rectangle("a", 0.6, 0.2), rectangle("b", 0.5, 0.2)], [slab], kerf=10 * MM, rounds=1)
    (missing,) = nest.unplaced
    assert missing.part.id == "b"
    # 1.0 - 0.6 - 0.01 = 0.39 m is left beside the first.
    assert missing.shortfall is not None
    assert missing.shortfall.along == pytest.approx(0.11, abs=0.5 * MM)


def test_a_part_askew_is_laid_where_only_its_slack_lets_it() -> None:
    tilt = math.radians(4)
    cos, sin = math.cos(tilt), math.sin(tilt)
    slab = Stock("slab", tuple((x * cos - y * sin, x * sin + y * cos) for x, y in box(1.0, 0.2)))
    assert not nested([rectangle("a", 0.99, 0.19)], [slab], rounds=1).placements
    askew = nested([rectangle("a", 0.99, 0.19, grain_slack=tilt)], [slab], rounds=1)
    assert askew.placements[0].turn == pytest.approx(tilt)


def test_one_seed_gives_one_answer() -> None:
    parts = [rectangle(str(n), 0.2 + 0.05 * n, 0.1) for n in range(6)]
    slab = Stock("slab", ((0, 0), (1.2, 0.02), (1.1, 0.3), (0.1, 0.25)))
    one, other = (nested(parts, [slab], kerf=3 * MM, seed=7, rounds=15) for _ in range(2))
    assert one == other


def test_more_rounds_are_never_worse() -> None:
    parts = [rectangle(str(n), 0.22 + 0.07 * n, 0.08 + 0.02 * (n % 3)) for n in range(8)]
    slab = Stock("slab", ((0, 0), (1.2, 0.02), (1.1, 0.3), (0.1, 0.25)))
    counts = [len(nested(parts, [slab], seed=3, rounds=rounds).placements) for rounds in (1, 5, 15)]
    assert counts == sorted(counts)


def test_progress_is_told_the_best_so_far_and_may_end_the_search() -> None:
    told: list[tuple[float, Nest]] = []

    def watch(share: float, best: Nest) -> bool:
        told.append((share, best))
        return len(told) < 3

    parts = [rectangle(str(n), 0.3, 0.1) for n in range(4)]
    nest = nested(parts, [Stock("slab", box(1.0, 0.3))], progress=watch, rounds=100)
    assert len(told) == 3
    assert [share for share, _ in told] == [0.01, 0.02, 0.03]
    assert told[-1][1].placements == nest.placements


def test_the_search_ends_when_its_time_is_up() -> None:
    ticks = iter(range(1000))
    shares: list[float] = []

    def watch(share: float, best: Nest) -> bool:
        shares.append(share)
        return True

    nested(
        [rectangle("a", 0.3, 0.1)],
        [Stock("slab", box(1.0, 0.3))],
        progress=watch,
        seconds=5,
        clock=lambda: float(next(ticks)),
    )
    assert shares == pytest.approx([0.2, 0.4, 0.6, 0.8, 1.0])


def test_without_parts_or_slabs_nothing_is_laid() -> None:
    assert nested([], [Stock("slab", box(1, 1))]).placements == ()
    assert len(nested([rectangle("a", 1, 1)], []).unplaced) == 1


def test_two_parts_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="give each its own id"):
        nested([rectangle("a", 1, 1), rectangle("a", 2, 1)], [])
    with pytest.raises(ValueError, match="zero or more"):
        nested([], [], kerf=-0.001)


def test_a_part_pushed_into_the_corner_leaves_the_rest_in_one_piece() -> None:
    slab = Stock("slab", box(2.0, 0.4))
    nest = nested([rectangle("a", 0.5, 0.4)], [slab], kerf=10 * MM, rounds=1)
    (left,) = remainder(slab, nest.placements, 10 * MM)
    assert left.area == pytest.approx((2.0 - 0.5 - 0.01) * 0.4, rel=1e-6)
    assert nest.remainder == pytest.approx(left.area, rel=1e-6)
