"""How fast the cure of a lift is followed, and what scipy's BDF takes for the same error.

Run by hand: `python tests/bench/cure.py`. Prints medians over the four invented resins at five depths; the
targets are 20 ms for a lift, 40 ms for a section, 1 s for a band of 40 draws.
"""

import importlib.util
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from types import ModuleType

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.trade.cure.resins import CLASSES, lift  # noqa: E402
from workshop.trade.cure.cup import cup  # noqa: E402
from workshop.trade.cure.kinetics import Resin  # noqa: E402
from workshop.trade.cure.materials import wood  # noqa: E402
from workshop.trade.cure.river import River, Side  # noqa: E402
from workshop.trade.cure.run import Run, cure  # noqa: E402
from workshop.trade.cure.stack import RAISED, Floor, Lift, empty_form, pour  # noqa: E402
from workshop.trade.cure.surroundings import Top, steady  # noqa: E402

DEPTHS = (0.006, 0.0125, 0.025, 0.05, 0.075)
ROUNDS = 5
DRAWS = 40
SETS = 8
WIDTHS = 2.0
"""Depths that the river of the section is wide."""


def taken(work: Callable[[], object]) -> float:
    """Milliseconds, the median of a few rounds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return median(times)


def figures(run: Run) -> tuple[object, object]:
    """All that a forecast shows of a run."""
    return run.peak, run.states


def draws(resin: Resin) -> Resin:
    """An ensemble about a resin."""
    chance = np.random.default_rng(1)

    def near(spread: float) -> np.ndarray:
        return np.exp(spread * chance.standard_normal(DRAWS))

    return Resin(
        resin.k25 * near(0.1),
        resin.kappa * near(0.2),
        resin.heat * near(0.05),
        resin.activation * near(0.03),
        resin.tg1 + 2.0 * chance.standard_normal(DRAWS),
        cp=resin.cp * near(0.06),
        k=resin.k * near(0.08),
    )


def band(resin: Resin, depth: float, river: River | None = None) -> tuple[object, object]:
    """A run of 40 draws with its films and its shop."""
    chance = np.random.default_rng(2)
    films = np.exp(0.3 * chance.standard_normal((2, DRAWS)))
    form = empty_form(Floor(film=5.0 * films[0]), 21.0, river=river)
    shop = steady(21.0, chance.standard_normal(DRAWS))
    return figures(cure(pour(form, Lift(depth, draws(resin), 21.0)), shop, top=Top(films[1])))


def section(resin: Resin, depth: float) -> tuple[object, object]:
    """A river between slabs."""
    form = empty_form(RAISED, 21.0, river=river_of(depth))
    return figures(cure(pour(form, Lift(depth, resin, 21.0)), steady(21.0)))


def river_of(depth: float) -> River:
    """The river of a lift of this depth."""
    return River(WIDTHS * depth, (Side(wood(0.60, 0.09)),))


def oracle() -> ModuleType:
    """The equations as scipy takes them."""
    path = ROOT / "tests" / "published" / "test_cure_against_bdf.py"
    spec = importlib.util.spec_from_file_location("oracle", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def show(what: str, times: list[float]) -> float:
    """Print the median and the slowest."""
    print(f"{what:<34}{median(times):>9.1f} ms   slowest {max(times):.1f} ms", flush=True)
    return median(times)


def main() -> None:
    cases = [(CLASSES[name], depth) for name in CLASSES for depth in DEPTHS]

    def over(work: Callable[[Resin, float], object]) -> list[float]:
        return [taken(partial(work, resin, depth)) for resin, depth in cases]

    def cups(resin: Resin) -> object:
        rates = resin.k25 * np.linspace(0.9, 1.1, SETS)
        return cup(Resin(rates, resin.kappa, resin.heat, resin.activation, resin.tg1), 0.1, 25.0)

    # A mesh and a tolerance with which BDF's peaks are as far off as ours, about 0.2 K.
    solve = oracle().lift_by_bdf

    def by_bdf(resin: Resin, depth: float) -> object:
        name = next(name for name, one in CLASSES.items() if one is resin)
        return solve(name, 1000 * depth, 21.0, 21.0, cells=40, board=12, rtol=1e-4)

    ours = show("lift", over(lambda resin, depth: figures(lift(resin, depth))))
    show("section", over(section))
    show("band of 40, lift", over(band))
    wide = [taken(partial(band, resin, 0.04, river_of(0.04))) for resin in CLASSES.values()]
    show("band of 40, section", wide)
    show("cup, one of eight at once", [taken(partial(cups, resin)) / SETS for resin in CLASSES.values()])
    theirs = show("scipy BDF at equal error", over(by_bdf))
    print(f"{'BDF over ours':<34}{theirs / ours:>9.1f}")


if __name__ == "__main__":
    main()
