"""The cure of ten lifts and four sections against scipy's BDF on fine meshes.

Source: `scipy.integrate.solve_ivp(method="BDF")`, scipy 1.17.1, on the equations written out again in
`lift_by_bdf` and `section_by_bdf` below, which share no code with the product. Two lifts are computed anew
each time; the others were computed by the same functions (run this file by itself to print them all) and are
kept, since they take minutes. Tolerances: peak of a lift 0.5 K, of a section 1 K; gel and demould 2 %.

The resins' constants are invented, and so are the peaks: this checks the numerics, not the chemistry.
"""

from __future__ import annotations

import os
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]
from scipy.sparse import bmat, csc_matrix, identity, kron  # type: ignore[import-untyped]
from scipy.sparse import diags as bands

from workshop.trade.cure.kinetics import Resin
from workshop.trade.cure.materials import wood
from workshop.trade.cure.river import River, Side
from workshop.trade.cure.run import Run, cure
from workshop.trade.cure.stack import RAISED, Lift, empty_form, pour
from workshop.trade.cure.surroundings import steady

Floats = NDArray[np.float64]
Constants = tuple[float, float, float, float, float]

RESINS: dict[str, Constants] = {
    "coating": (1.74e-4, 0.26, 372e3, 55.1e3, 58.0),
    "laminating": (1.98e-4, 0.25, 401e3, 55.0e3, 68.0),
    "medium": (4.13e-5, 0.39, 309e3, 54.1e3, 56.0),
    "slow": (2.31e-5, 0.40, 261e3, 53.4e3, 52.0),
}
"""k25 1/s, kappa, heat J/kg, activation energy J/mol, ultimate glass transition °C."""

# depth mm, shop °C, resin poured at °C: peak °C, gel s, demould s
LIFTS: dict[tuple[str, float, float, float], tuple[float, float, float]] = {
    ("coating", 6.0, 21.0, 21.0): (40.1268, 7503.46, 67034.6),
    ("coating", 12.5, 21.0, 21.0): (136.329, 3460.25, 14917.5),
    ("coating", 25.0, 21.0, 21.0): (181.603, 2657.2, 25281.5),
    ("laminating", 9.0, 21.0, 21.0): (122.123, 3347.68, 12173),
    ("laminating", 50.0, 21.0, 24.0): (242.086, 1675.46, 52812.7),
    ("medium", 25.0, 21.0, 21.0): (58.9995, 18776.7, 276935),
    ("medium", 75.0, 18.0, 20.0): (150.383, 10993.6, 89798.5),
    ("slow", 25.0, 25.0, 25.0): (38.0753, 49289.6, 446930),
    ("slow", 50.0, 21.0, 21.0): (63.5607, 36109.9, 663153),
    ("slow", 100.0, 24.0, 20.0): (125.214, 22526.6, 182784),
}
LIVE = (("medium", 38.0, 25.0, 25.0), ("slow", 60.0, 21.0, 21.0))

# depth mm, width mm, shop °C: peak °C
SECTIONS: dict[tuple[str, float, float, float], float] = {
    ("coating", 20.0, 50.0, 21.0): 151.678,
    ("medium", 38.0, 120.0, 21.0): 95.927,
    ("medium", 50.0, 60.0, 21.0): 86.2209,
    ("slow", 60.0, 200.0, 24.0): 91.166,
}

BOARD = (0.018, 0.13, 680.0, 1500.0)
RHO, CP, K, TG0 = 1100.0, 2000.0, 0.20, -45.0


def curing(resin: Constants, warm: Floats, alpha: Floats) -> Floats:
    """1/s."""
    k25, kappa, _, activation, tg1 = resin
    a = np.minimum(alpha, 1.0)
    glass = TG0 + (tg1 - TG0) * 0.45 * a / (1 - 0.55 * a)
    speed = k25 * np.exp(-activation / 8.314462618 * (1 / (warm + 273.15) - 1 / 298.15))
    return np.asarray(speed * (kappa + a) * (1 - a) ** 2 / (1 + np.exp((glass - warm - 10) / 6)))


def given_off(inside: Floats, conductance: float, shop: float) -> Floats:
    """W/m2 through the last half cell and from the surface, whose temperature is solved for."""
    surface = np.array(inside)
    for _ in range(12):
        gap = surface - shop
        film = np.where(gap > 0, 1.52 * np.cbrt(np.abs(gap)), 0.8 * np.abs(gap) ** 0.25)
        out = 0.9 * 5.670374e-8 * ((surface + 273.15) ** 4 - (shop + 273.15) ** 4) + film * gap
        slope = 4 * 0.9 * 5.670374e-8 * (surface + 273.15) ** 3 + film * np.where(gap > 0, 4 / 3, 5 / 4)
        surface = surface + (conductance * (inside - surface) - out) / (conductance + slope)
    return np.asarray(conductance * (inside - surface))


def crossing(time: Floats, margin: Floats) -> float:
    """s at which a margin first is zero."""
    after = int(np.argmax(margin >= 0))
    share = margin[after - 1] / (margin[after - 1] - margin[after])
    return float(time[after - 1] + share * (time[after] - time[after - 1]))


def lift_by_bdf(
    name: str, depth: float, shop: float, poured: float, cells: int = 240, board: int = 24, rtol: float = 1e-7
) -> tuple[float, float, float]:
    """Peak °C, gel s and demould s of a wide lift, depth in mm."""
    resin, under = RESINS[name], 5.0
    thick, board_k, board_rho, board_cp = BOARD
    widths = np.concatenate([np.full(board, thick / board), np.full(cells, depth / 1000 / cells)])
    conductivity = np.concatenate([np.full(board, board_k), np.full(cells, K)])
    capacity = np.concatenate([np.full(board, board_rho * board_cp), np.full(cells, RHO * CP)]) * widths
    half = widths / 2 / conductivity
    link, below = 1 / (half[1:] + half[:-1]), 1 / (1 / under + half[0])
    count = board + cells

    def change(_: float, y: Floats) -> Floats:
        warm, alpha = y[:count], y[count:]
        rate = curing(resin, warm[board:], alpha)
        flow, heat = link * np.diff(warm), np.zeros(count)
        heat[:-1] += flow
        heat[1:] -= flow
        heat[0] -= below * (warm[0] - shop)
        heat[-1] -= given_off(warm[-1:], 1 / half[-1], shop)[0]
        heat /= capacity
        heat[board:] += resin[2] / CP * rate
        return np.concatenate([heat, rate])

    pattern = bands([np.ones(count - 1), np.ones(count), np.ones(count - 1)], [-1, 0, 1])
    reacts = csc_matrix((np.ones(cells), (np.arange(board, count), np.arange(cells))), shape=(count, cells))
    start = np.concatenate([np.full(board, shop), np.full(cells, poured), np.zeros(cells)])
    found: Any = solve_ivp(
        change,
        (0.0, 14 * 86400.0),
        start,
        method="BDF",
        rtol=rtol,
        atol=1e-8,
        jac_sparsity=bmat([[pattern, reacts], [reacts.T, identity(cells)]]).tocsc(),
    )
    warm, alpha = found.y[:count], found.y[count:]
    skin = 1.5 * alpha[-1:] - 0.5 * alpha[-2:-1]
    glass = TG0 + (resin[4] - TG0) * 0.45 * skin / (1 - 0.55 * skin)
    least = np.minimum(glass[0], (TG0 + (resin[4] - TG0) * 0.45 * alpha / (1 - 0.55 * alpha)).min(0))
    gap = np.abs(warm[board:] - shop).max(0)
    gel = np.quantile(alpha, 0.05, axis=0, method="hazen")
    return (
        float(warm[board:].max()),
        crossing(found.t, gel - 0.58),
        crossing(found.t, np.minimum(least - max(shop, 25.0) - 10.0, 5.0 - gap)),
    )


def section_by_bdf(name: str, depth: float, width: float, shop: float) -> float:
    """Peak °C of a river between wood of gravity 0.60 at 9 % on both sides, depth and width in mm."""
    resin, under = RESINS[name], 5.0
    rows_board, rows, across, beside = 16, 40, 44, 40
    solid = wood(0.6, 0.09)
    thick, board_k, board_rho, board_cp = BOARD
    dy = np.concatenate([np.full(rows_board, thick / rows_board), np.full(rows, depth / 1000 / rows)])
    dx = np.concatenate(
        [np.full(across, width / 2000 / across), np.diff(0.15 * np.linspace(0, 1, beside + 1) ** 1.8)]
    )
    ny, nx = dy.size, dx.size
    k, held = np.full((ny, nx), K), np.full((ny, nx), RHO * CP)
    k[:, across:], held[:, across:] = float(solid.k), float(solid.density) * float(solid.cp)
    k[:rows_board], held[:rows_board] = board_k, board_rho * board_cp
    half_y, half_x = dy[:, None] / 2 / k, dx[None, :] / 2 / k
    up, side = 1 / (half_y[1:] + half_y[:-1]), 1 / (half_x[:, 1:] + half_x[:, :-1])
    below = 1 / (1 / under + half_y[0])
    warm_count, cells = ny * nx, rows * across

    def change(_: float, y: Floats) -> Floats:
        warm = y[:warm_count].reshape(ny, nx)
        rate = curing(resin, warm[rows_board:, :across], y[warm_count:].reshape(rows, across))
        heat = np.zeros((ny, nx))
        flow = up * np.diff(warm, axis=0) / 1.0
        heat[:-1] += flow / dy[:-1, None]
        heat[1:] -= flow / dy[1:, None]
        flow = side * np.diff(warm, axis=1)
        heat[:, :-1] += flow / dx[:-1]
        heat[:, 1:] -= flow / dx[1:]
        heat[0] -= below * (warm[0] - shop) / dy[0]
        for there in (slice(0, across), slice(across, nx)):
            conductance = float(1 / half_y[-1, there][0])
            heat[-1, there] -= given_off(warm[-1, there], conductance, shop) / dy[-1]
        heat /= held
        heat[rows_board:, :across] += resin[2] / CP * rate
        return np.concatenate([heat.ravel(), rate.ravel()])

    def line(n: int) -> Any:
        return bands([np.ones(n - 1), np.ones(n), np.ones(n - 1)], [-1, 0, 1])

    pattern = kron(identity(ny), line(nx)) + kron(line(ny), identity(nx))
    where = np.arange(warm_count).reshape(ny, nx)[rows_board:, :across].ravel()
    reacts = csc_matrix((np.ones(cells), (where, np.arange(cells))), shape=(warm_count, cells))
    start = np.concatenate([np.full(warm_count, shop), np.zeros(cells)])
    found: Any = solve_ivp(
        change,
        (0.0, 20 * 3600.0),
        start,
        method="BDF",
        rtol=1e-5,
        atol=1e-6,
        jac_sparsity=bmat([[pattern, reacts], [reacts.T, identity(cells)]]).tocsc(),
    )
    warm = found.y[:warm_count].reshape(ny, nx, -1)
    return float(warm[rows_board:, :across].max())


def ours(name: str, depth: float, shop: float, poured: float, river: River | None = None) -> Run:
    form = empty_form(RAISED, shop, river=river)
    lift = Lift(depth / 1000, Resin(*RESINS[name]), poured)
    return cure(pour(form, lift, wood=shop), steady(shop))


def compare(run: Run, expected: tuple[float, float, float]) -> None:
    peak, gel, demould = expected
    assert float(run.peak[0]) == pytest.approx(peak, abs=0.5)
    assert run.states.central("gel") == pytest.approx(gel, rel=0.02)
    assert run.states.central("demould") == pytest.approx(demould, rel=0.02)


@pytest.mark.parametrize("case", LIFTS, ids=lambda case: f"{case[0]} {case[1]:g} mm")
def test_a_lift_agrees_with_bdf(case: tuple[str, float, float, float]) -> None:
    compare(ours(*case), LIFTS[case])


@pytest.mark.parametrize("case", LIVE, ids=lambda case: f"{case[0]} {case[1]:g} mm")
def test_a_lift_agrees_with_bdf_run_now(case: tuple[str, float, float, float]) -> None:
    compare(ours(*case), lift_by_bdf(*case, cells=120, board=16, rtol=1e-6))


@pytest.mark.parametrize("case", SECTIONS, ids=lambda case: f"{case[0]} {case[1]:g} by {case[2]:g} mm")
def test_a_section_agrees_with_bdf(case: tuple[str, float, float, float]) -> None:
    name, depth, width, shop = case
    alike = Side(wood(0.6, 0.09))
    half = ours(name, depth, shop, shop, River(width / 1000, (alike,)))
    whole = ours(name, depth, shop, shop, River(width / 1000, (alike, alike)))
    assert float(half.peak[0]) == pytest.approx(SECTIONS[case], abs=1.0)
    assert float(whole.peak[0]) == pytest.approx(SECTIONS[case], abs=1.0)


if __name__ == "__main__" and "PYTEST_CURRENT_TEST" not in os.environ:
    for lift in LIFTS:
        values = ", ".join(f"{value:.6g}" for value in lift_by_bdf(*lift))
        print(f"    {lift}: ({values}),", flush=True)
    for part in SECTIONS:
        print(f"    {part}: {section_by_bdf(*part):.5g},", flush=True)
