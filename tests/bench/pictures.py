"""How long the bench's pictures take; run by hand: `python tests/bench/pictures.py`."""

import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.examples import example
from workshop.pictures.drawing import draw
from workshop.pictures.plan_view import plan_view
from workshop.pictures.section_view import section_view

ROUNDS = 20


def main() -> None:
    """Print the first and the middle time of each picture, made and drawn."""
    file = example("tarn-bench").file
    for name, view in (("plan", plan_view), ("section", section_view)):
        for width, height in ((38, 12), (64, 20), (100, 30)):
            made, drawn = [], []
            for _ in range(ROUNDS):
                start = perf_counter()
                picture = view(file, "seat")
                assert picture is not None
                middle = perf_counter()
                draw(picture, width, height)
                made.append(middle - start)
                drawn.append(perf_counter() - middle)
            first = (made[0] + drawn[0]) * 1e3
            usual = (sorted(made)[ROUNDS // 2] + sorted(drawn)[ROUNDS // 2]) * 1e3
            print(f"{name:8} {width:3} x {height:2}  first {first:5.1f} ms, then {usual:5.1f} ms")


if __name__ == "__main__":
    main()
