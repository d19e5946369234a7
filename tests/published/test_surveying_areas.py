"""Areas and volumes against worked examples of surveying texts."""

import pytest

from workshop.trade.outline import (
    BOARD_FOOT,
    Station,
    board_feet,
    outline_area,
    simpson,
    stations_area,
    trapezoid,
)

# Offsets in metres from a chain line, every 10 m: a published surveying text's example. Answers printed to
# 0.01 m2.
EVERY_10_M = (3.15, 4.3, 8.2, 5.6, 6.85, 7.6, 4.2, 5.6, 4.3)
# Offsets in metres, every 3.5 m: a published surveying handout. Answers printed to 0.1 and 0.01 m2.
EVERY_3_5_M = (0.8, 3.6, 4.7, 5.3, 3.9, 2.7, 4.6, 5.5, 4.9, 7.6, 8.8, 5.4, 6.0)


@pytest.mark.parametrize(
    ("offsets", "spacing", "by_trapezoids", "by_simpson", "tolerance"),
    [(EVERY_10_M, 10.0, 460.75, 461.167, 0.01), (EVERY_3_5_M, 3.5, 211.4, 211.17, 0.01)],
)
def test_offsets_from_a_line(
    offsets: tuple[float, ...], spacing: float, by_trapezoids: float, by_simpson: float, tolerance: float
) -> None:
    along = [spacing * number for number in range(len(offsets))]
    assert trapezoid(along, offsets) == pytest.approx(by_trapezoids, abs=tolerance)
    assert simpson(offsets, spacing) == pytest.approx(by_simpson, abs=tolerance)
    stations = [Station(x, offset, 0.0) for x, offset in zip(along, offsets, strict=True)]
    assert stations_area(stations) == pytest.approx(by_trapezoids, abs=tolerance)


def test_prismoidal_rule_over_five_sections() -> None:
    # A published examination question, recomputed: 20, 40, 60, 50, 30 m2 every 30 m are 5300 m3 by the
    # prismoidal rule and 5250 m3 by end areas; exact.
    areas = (20.0, 40.0, 60.0, 50.0, 30.0)
    assert simpson(areas, 30.0) == pytest.approx(5300, rel=1e-12)
    assert trapezoid((0, 30, 60, 90, 120), areas) == pytest.approx(5250, rel=1e-12)


def test_a_pentagon_by_the_surveyors_formula() -> None:
    # A published task with its answer, 30; exact.
    assert outline_area([(3, 4), (5, 11), (12, 8), (9, 5), (5, 6)]) == pytest.approx(30, rel=1e-12)


def test_a_board_foot_is_144_cubic_inches() -> None:
    # By definition, 2.359737216 L; a board 2 in thick, 6 in wide and 8 ft long has 2 * 6 * 8 / 12 = 8 of
    # them.
    assert pytest.approx(2.359737216e-3, rel=1e-12) == BOARD_FOOT
    assert board_feet(2 * 0.0254 * 6 * 0.0254 * 8 * 0.3048) == pytest.approx(8, rel=1e-12)
