"""What to buy where a need is sold in packs: least cost, then least left over. Exact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from math import ceil, isfinite

GRAIN = 1e-9
"""Sizes are told apart to a billionth of their unit (a microgram, a cubic millimetre)."""
MOST_PACKS = 10_000
"""Of the smallest size; a shop that needs more has typed a wrong unit."""


@dataclass(frozen=True, slots=True)
class Pack:
    """Something as sold: what it holds, and its price in the currency's hundredths."""

    size: float
    price: int


@dataclass(frozen=True, slots=True)
class Purchase:
    """How many of each pack, in the order given."""

    counts: tuple[int, ...]
    cost: int
    """In the currency's hundredths."""
    left: float


def cheapest(need: float, packs: Sequence[Pack]) -> Purchase:
    """The packs that hold `need` or more at the least cost, and among those the ones that leave least over.

    A pack is never divided. Sums of packs are looked at in the order of their cost; one that holds no more
    than a cheaper one is dropped, so the first that holds enough is the least. Raises ValueError without
    packs, for a pack that holds nothing or a price below zero, or for a need of more packs than a shop buys.
    """
    if not packs:
        raise ValueError("There are no packs to choose from: give the size and price of one at least.")
    for pack in packs:
        if not (isfinite(pack.size) and pack.size >= GRAIN and pack.price >= 0):
            raise ValueError(
                f"A pack of {pack.size:g} for {pack.price / 100:.2f} cannot be: give both above zero."
            )
    if not (isfinite(need) and need >= 0):
        raise ValueError(f"The need is {need:g}: give zero or more.")
    if need > MOST_PACKS * min(pack.size for pack in packs):
        raise ValueError(
            f"That is over {MOST_PACKS} of the smallest pack: look at the units of the need and of the packs."
        )
    wanted = ceil(need / GRAIN - 1e-3)
    sizes = [round(pack.size / GRAIN) for pack in packs]
    counts = _search(wanted, sizes, [pack.price for pack in packs])
    held = sum(count * pack.size for count, pack in zip(counts, packs, strict=True))
    cost = sum(count * pack.price for count, pack in zip(counts, packs, strict=True))
    left = held - need
    return Purchase(counts, cost, left if left >= GRAIN else 0.0)


def _search(wanted: int, sizes: list[int], prices: list[int]) -> tuple[int, ...]:
    """Sums by rising cost, the larger first; each adds packs from its own kind on, so none comes twice."""
    best: tuple[int, tuple[int, ...]] | None = None
    best_cost = 0
    heap: list[tuple[int, int, int, tuple[int, ...]]] = [(0, 0, 0, (0,) * len(sizes))]
    cheaper, same, cost_now = -1, -1, 0
    seen: set[tuple[int, int, int]] = set()
    while heap:
        cost, negative, first, counts = heappop(heap)
        total = -negative
        if best is not None and cost > best_cost:
            break
        if cost > cost_now:
            cheaper, same, cost_now = max(cheaper, same), -1, cost
        if total <= cheaper:
            continue
        same = max(same, total)
        if total >= wanted:
            if best is None or total < best[0]:
                best, best_cost = (total, counts), cost
            continue
        for kind in range(first, len(sizes)):
            state = (cost + prices[kind], total + sizes[kind], kind)
            if state not in seen:
                seen.add(state)
                more = (*counts[:kind], counts[kind] + 1, *counts[kind + 1 :])
                heappush(heap, (state[0], -state[1], kind, more))
    assert best is not None, "adding packs always reaches the need"
    return best[1]
