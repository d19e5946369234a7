"""When a piece of furniture tips: static equilibrium about the line its feet stand on. SI throughout."""

from __future__ import annotations

from math import isfinite

from workshop.trade.buoyancy import STANDARD_GRAVITY


def edge_load(mass: float, inside: float, outside: float) -> float:
    """N on the edge at which a piece of `mass` in kg begins to tip: W*b/a.

    `inside` is how far its centre of gravity lies inside the line of the feet, `outside` how far the load
    lies beyond it, in m. Raises ValueError for a mass or a lever not above zero.
    """
    _above_zero(mass, inside, outside)
    return mass * STANDARD_GRAVITY * inside / outside


def tipping_push(mass: float, inside: float, height: float) -> float:
    """N pushed sideways at `height` in m above the floor at which it begins to tip, if it does not slide."""
    _above_zero(mass, inside, height)
    return mass * STANDARD_GRAVITY * inside / height


def _above_zero(*values: float) -> None:
    if not all(isfinite(value) and value > 0 for value in values):
        raise ValueError("A mass or a lever is nothing: give mass, inside and the load's lever above zero.")
