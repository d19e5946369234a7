"""Packs are bought at the least cost, then with the least left over, whatever else could be bought."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.buying import Pack, cheapest

packs = st.lists(st.builds(Pack, st.integers(1, 9).map(float), st.integers(0, 12)), min_size=1, max_size=3)


def every_way(need: float, sold: list[Pack]) -> tuple[int, float]:
    """The best of all ways that take no pack once the need is met without it."""
    most = [range(int(-(-need // pack.size)) + 1) for pack in sold]
    ways = (
        (
            sum(count * pack.price for count, pack in zip(counts, sold, strict=True)),
            sum(count * pack.size for count, pack in zip(counts, sold, strict=True)) - need,
        )
        for counts in product(*most)
    )
    return min(way for way in ways if way[1] >= 0)


@given(st.integers(0, 30).map(float), packs)
def test_no_other_way_to_buy_is_cheaper_or_leaves_less_at_the_same_cost(
    need: float, sold: list[Pack]
) -> None:
    held = cheapest(need, sold)
    cost, left = every_way(need, sold)
    assert held.cost == cost
    assert held.left == pytest.approx(left)


@given(st.floats(0, 30), packs)
def test_what_is_bought_holds_the_need_in_whole_packs(need: float, sold: list[Pack]) -> None:
    held = cheapest(need, sold)
    assert all(count >= 0 for count in held.counts)
    bought = sum(count * pack.size for count, pack in zip(held.counts, sold, strict=True))
    assert bought >= need - 1e-9
    assert held.cost == sum(count * pack.price for count, pack in zip(held.counts, sold, strict=True))
    assert held.left == pytest.approx(bought - need, abs=1e-8)


def test_one_large_kit_beats_four_small_ones_where_it_is_cheaper() -> None:
    # 6.2 kg: five kits of 1.5 kg cost 197.50, one of 7.5 kg 142.00.
    assert cheapest(6.2, [Pack(1.5, 3950), Pack(7.5, 14200)]).counts == (0, 1)


def test_the_greedy_choice_is_not_taken_where_it_costs_more() -> None:
    # The cheapest by the litre is 5 L for 8.00; 6 L are cheapest as two packs of 3 L.
    assert cheapest(6, [Pack(5, 800), Pack(3, 500)]).counts == (0, 2)


def test_of_two_ways_at_one_price_the_one_that_leaves_less_is_bought() -> None:
    assert cheapest(4, [Pack(10, 600), Pack(5, 600)]).counts == (0, 1)


def test_an_exact_fill_is_not_rounded_up() -> None:
    assert cheapest(4.5, [Pack(1.5, 3950)]).counts == (3,)
    assert cheapest(0.1 + 0.2, [Pack(0.3, 100)]).counts == (1,)


def test_nothing_needed_is_nothing_bought() -> None:
    held = cheapest(0, [Pack(1.5, 3950)])
    assert (held.counts, held.cost, held.left) == ((0,), 0, 0)


def test_many_small_packs_are_soon_counted() -> None:
    sold = [Pack(1.0, 101), Pack(1.7, 171), Pack(2.3, 229), Pack(3.1, 311), Pack(7.9, 787)]
    held = cheapest(300, sold)
    # No way is cheaper than the whole at the best unit price.
    assert 300 * min(pack.price / pack.size for pack in sold) <= held.cost < 30000 * 1.005


@pytest.mark.parametrize(
    ("need", "sold", "words"),
    [
        (1.0, [], "no packs"),
        (1.0, [Pack(0.0, 100)], "cannot be"),
        (1.0, [Pack(1.0, -1)], "cannot be"),
        (-1.0, [Pack(1.0, 100)], "need"),
        (1e6, [Pack(1.0, 100)], "units"),
    ],
)
def test_what_cannot_be_bought_is_refused(need: float, sold: list[Pack], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        cheapest(need, sold)
