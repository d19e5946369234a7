"""How long the search for places takes; run by hand: `python tests/bench/fitting.py`.

The reference is one buffer of the same outlines, so that the ratios mean the same on every computer.
"""

import math
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from statistics import median
from time import perf_counter

import shapely

sys.path.insert(0, str(Path(__file__).parents[2]))

from workshop.trade.fitting import Nest, Stock, nested, places, rectangle, shortfall

ROUNDS = 5
POINTS = 400
MOST_PLACES = 0.5
"""Seconds for one rectangle on five slabs."""
MOST_FIRST = 1.0
"""Seconds to the first answer for twelve parts on four slabs."""


def slab(number: int) -> Stock:
    """A slab of 2.2 by 0.55 m that tapers and wavers, its edge rough by some 2 mm."""
    random, half = Random(number), POINTS // 2
    along = [2.2 * n / (half - 1) for n in range(half)]
    right = [-0.275 + 0.036 * x + 0.02 * math.sin(2 * x) + random.gauss(0, 0.002) for x in along]
    left = [0.275 - 0.036 * x + 0.02 * math.sin(3 * x) + random.gauss(0, 0.002) for x in along]
    lower, upper = list(zip(along, right, strict=True)), list(zip(along, left, strict=True))
    return Stock(f"slab {number}", (*lower, *reversed(upper)))


def measured(work: Callable[[], object]) -> float:
    """Middle time of a few runs."""
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def main() -> None:
    """Print times, and how many buffers of all outlines each is worth."""
    slabs = [slab(number) for number in range(5)]
    regions = [shapely.Polygon(stock.ring) for stock in slabs]
    reference = measured(lambda: [region.buffer(-0.1) for region in regions])
    print(f"{'buffer of the outlines':44} {reference * 1e3:8.1f} ms")
    slack = math.radians(5)
    for length, width in ((1.5, 0.35), (2.0, 0.38), (0.6, 0.3), (0.2, 0.1), (2.1, 0.47)):
        for name, part in (
            ("straight", rectangle("part", length, width)),
            ("5 degrees", rectangle("part", length, width, grain_slack=slack)),
            ("any way", rectangle("part", length, width, grain_slack=None)),
        ):
            took = measured(partial(places, part, slabs))
            print(
                f"{f'places {length} x {width} m, {name}':44} {took * 1e3:8.1f} ms {took / reference:8.1f} x"
            )
    took = measured(lambda: shortfall(rectangle("part", 2.1, 0.47), slabs))
    print(f"{'shortfall 2.1 x 0.47 m, straight':44} {took * 1e3:8.1f} ms {took / reference:8.1f} x")
    straight = measured(lambda: places(rectangle("part", 1.5, 0.35), slabs))
    print(f"one rectangle on five slabs: {straight:.2f} s, at most {MOST_PLACES} s")

    random = Random(3)
    parts = [rectangle(str(n), random.uniform(0.3, 1.2), random.uniform(0.08, 0.25)) for n in range(12)]
    start, told = perf_counter(), []

    def watch(share: float, best: Nest) -> bool:
        told.append((perf_counter() - start, len(best.placements), len(best.stocks), best.remainder))
        return True

    nested(parts, slabs[:4], kerf=0.003, progress=watch, seconds=5.0, seed=1)
    print(f"first answer for twelve parts: {told[0][0]:.2f} s, at most {MOST_FIRST} s")
    for when, placed, used, left in (told[0], told[len(told) // 4], told[-1]):
        print(f"  after {when:4.1f} s {placed} placed on {used} slabs, {left:.3f} m2 left in large pieces")
    print(f"  {len(told)} arrangements")


if __name__ == "__main__":
    main()
