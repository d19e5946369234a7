"""How deep a lift may be, and how warm the shop, so that its hot case stays within a limit.

Lengths in m, temperatures in °C.
"""

from __future__ import annotations

from math import floor
from typing import Final

from workshop.trade.lift_chain import Chain, hot_peak

SETTLED: Final = 2e-4
"""m to which the greatest safe depth is sought."""
HALF_KELVIN: Final = 0.5


def deepest(chain: Chain, limit: float, most: float, least: float = 0.001, *, exact: bool = True) -> float:
    """The greatest depth of the last lift whose hot case stays within a limit (°C), up to `most`.

    In whole tenths of a millimetre, a fifth under the bound at the most; zero where even `least` is too much.
    What is not `exact` goes by one draw alone and may be some per cent off in a wide form.
    """
    if most < least:
        return 0.0

    def rough(depth: float) -> bool:
        return hot_peak(chain.with_last(depth=depth), exact=False) <= limit

    low, high = least, most
    if rough(most):
        low = most
    elif rough(least):
        while high - low > SETTLED:
            middle = (low + high) / 2
            low, high = (middle, high) if rough(middle) else (low, middle)
    else:
        low = 0.0
    if exact and chain.banks is None and chain.resin.spread:
        low = _by_all_draws(chain, limit, most, least, max(low, least))
    return low if low in (0.0, most, least) else floor(low * 1e4 + 1e-6) / 1e4


def _by_all_draws(chain: Chain, limit: float, most: float, least: float, guess: float) -> float:
    """The same by the hot case of all draws, from a depth near it: by false position, Illinois' way."""

    def over(depth: float) -> float:
        return hot_peak(chain.with_last(depth=depth)) - limit

    at, here = guess, over(guess)
    if here <= 0:
        low, under = at, here
        while True:
            if low >= most:
                return most
            at = min(most, 1.1 * low)
            here = over(at)
            if here > 0:
                high, above = at, here
                break
            low, under = at, here
    else:
        high, above = at, here
        while True:
            if high <= least:
                return 0.0
            at = max(least, 0.9 * high)
            here = over(at)
            if here <= 0:
                low, under = at, here
                break
            high, above = at, here
    side = 0
    while high - low > SETTLED:
        at = low + (high - low) * min(0.9, max(0.1, -under / (above - under)))
        here = over(at)
        if here <= 0:
            above = above / 2 if side < 0 else above
            low, under, side = at, here, -1
        else:
            under = under / 2 if side > 0 else under
            high, above, side = at, here, 1
    return low


def warmest_shop(chain: Chain, limit: float, least: float = 15.0) -> float | None:
    """The warmest shop (°C, to half a kelvin) in which the last lift's hot case stays within a limit.

    The resin goes in no warmer than the shop. None where even one at `least` is too warm.
    """
    steps = floor((chain.shop.temperature - least) / HALF_KELVIN - 1e-9)

    def fits(step: int) -> bool:
        warm = least + HALF_KELVIN * step
        poured = min(chain.lifts[-1].temperature, warm)
        return hot_peak(chain.at(warm).with_last(temperature=poured)) <= limit

    low, high = 0, steps + 1
    if steps < 0 or not fits(0):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return least + HALF_KELVIN * low
