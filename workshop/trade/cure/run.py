"""Curing a stack: the history of its temperature and conversion, its peak and its states."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from workshop.trade.cure.column import column
from workshop.trade.cure.conduction import lay
from workshop.trade.cure.isothermal import film_time
from workshop.trade.cure.kinetics import Array, Resin, conversion_at_tg
from workshop.trade.cure.layout import Layout, layout, pack, unpack
from workshop.trade.cure.march import ROS4, ROS34PW2, System, Tolerance, Trajectory, march
from workshop.trade.cure.section import section
from workshop.trade.cure.stack import Layers, Stack, draws_of, layers
from workshop.trade.cure.states import State, States, Targets, all_reached, states_of
from workshop.trade.cure.surroundings import Air, Top

__all__ = ["DAY", "HORIZON", "Run", "cure", "temperature_to_reach"]

DAY: Final = 86400.0
HORIZON: Final = 60 * DAY
"""s after which a state that is not reached counts as never reached."""
OPEN_AIR: Final = Top()
PLAIN: Final = Targets()
USUAL: Final = Tolerance()
SECTION_USUAL: Final = Tolerance(0.05, 4e-3, 1.5e-3)
"""Enough for some tenths of a kelvin at the peak of a section."""


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A stack as it was poured and what became of it; times are s since the pour.

    Arrays lead with the steps, then the draws. "Fresh" is the uppermost lift.
    """

    stack: Stack
    air: Air
    layers: Layers
    place: Layout
    trajectory: Trajectory
    targets: Targets
    horizon: float

    @property
    def times(self) -> Array:
        """s, (steps, draws)."""
        return np.asarray(self.trajectory.time - self.trajectory.time[0])

    @property
    def resin(self) -> Resin:
        """The fresh lift's."""
        return self.stack.laid[-1].lift.resin

    @property
    def hottest(self) -> Array:
        """°C, the fresh lift's hottest place at each step."""
        return np.asarray(self.place.fresh_resin(self.trajectory.fields).max(-1))

    @property
    def hottest_below(self) -> Array:
        """°C, the hottest place of all resin beneath the fresh lift; minus infinity where there is none."""
        below = self.place.resin(self.trajectory.fields)[..., : self.place.fresh]
        return np.asarray(below.max(-1, initial=-np.inf))

    @property
    def surface(self) -> Array:
        """°C of the fresh lift's surface, in the middle of a section."""
        return np.asarray(self.place.grid(self.trajectory.fields)[..., -1, self.place.line])

    @property
    def surface_conversion(self) -> Array:
        """Of the fresh lift, in the middle of a section."""
        return np.asarray(self.place.surface_conversion(self.trajectory.fields)[..., self.place.line])

    @property
    def mean_conversion(self) -> Array:
        """Of the fresh lift's resin."""
        weights = self.place.weights
        return np.asarray(
            (self.place.fresh_conversion(self.trajectory.fields) * weights).sum(-1) / weights.sum(-1)
        )

    @property
    def heights(self) -> Array:
        """m of each row's middle above the fresh lift's bottom, (draws, rows); below it negative."""
        widths = self.layers.widths
        below = widths[:, : self.place.floor + self.place.lifts[-1].start].sum(1, keepdims=True)
        return np.asarray(np.cumsum(widths, axis=1) - widths / 2 - below)

    def _highest(self, hottest: Array) -> tuple[Array, Array]:
        """The top of the parabola through the hottest step and its neighbours, and its time."""
        last, draws = hottest.shape[0] - 1, np.arange(hottest.shape[1])
        top = hottest.argmax(0)
        best, when = hottest[top, draws], self.times[top, draws]
        if last < 2:
            return best, when
        at = np.clip(top, 1, last - 1)
        t0, t1, t2 = (self.times[at + shift, draws] for shift in (-1, 0, 1))
        y0, y1, y2 = (hottest[at + shift, draws] for shift in (-1, 0, 1))
        before, after = t1 - t0, t2 - t1
        inside = (top == at) & (before > 0) & (after > 0)
        before, after = np.where(inside, before, 1.0), np.where(inside, after, 1.0)
        rise, fall = (y1 - y0) / before, (y2 - y1) / after
        bend = (rise - fall) / (before + after)
        slope = (rise * after + fall * before) / (before + after)
        curved = inside & (bend > 0)
        shift = np.where(curved, slope / (2.0 * np.where(curved, bend, 1.0)), 0.0)
        shift = np.clip(shift, -before, after)
        return np.where(curved, y1 + slope * shift - bend * shift * shift, best), when + shift

    @property
    def peak(self) -> Array:
        """°C, the fresh lift's highest temperature, one for each draw."""
        return self._highest(self.hottest)[0]

    @property
    def peak_time(self) -> Array:
        """s since the pour."""
        return self._highest(self.hottest)[1]

    @property
    def peak_below(self) -> Array:
        """°C, the highest of the resin beneath from the pour on; minus infinity where there is none."""
        return np.asarray(self.hottest_below.max(0))

    def profile(self, draw: int = 0, time: float | None = None) -> tuple[Array, Array]:
        """Heights (m above the fresh lift's bottom, floor and older lifts below zero) and °C there.

        At the peak of that draw, or at a `time` since the pour; in the middle of a section.
        """
        when = float(self.peak_time[draw]) if time is None else time
        fields = self.trajectory.at(float(self.trajectory.time[0, draw]) + when)[draw]
        return self.heights[draw], self.place.grid(fields)[:, self.place.line]

    @property
    def states(self) -> States:
        """When the fresh lift reaches each state; demould and later ask it of all resin in the form."""
        return states_of(self.trajectory, self.place, self.resin, self.air.shop, self.targets)

    def stack_at(self, time: float) -> Stack:
        """The stack as it is at a `time` (s) since the pour, to pour on or to keep.

        Raises ValueError beyond the run's horizon.
        """
        if not 0 <= time <= self.horizon:
            raise ValueError(
                f"The run covers {self.horizon / 3600:g} h and is asked for {time / 3600:g} h; cure the "
                "stack with a longer horizon."
            )
        start = float(self.trajectory.time[0, 0])
        plates, laid = unpack(self.trajectory.at(start + time), self.place, self.stack)
        return replace(self.stack, plates=plates, laid=laid, time=start + time)

    def temperature_for(self, state: State, within: float = HORIZON, draw: int = 0) -> float | None:
        """°C at which the casting should be kept from the run's end so that it reaches a state."""
        start = float(self.place.conversion(self.trajectory.fields[-1, draw]).min())
        shop = float(self.air.shop[min(draw, self.air.draws - 1)])
        return temperature_to_reach(
            self.resin, state, shop=shop, start=start, within=within, targets=self.targets, draw=draw
        )


def temperature_to_reach(
    resin: Resin,
    state: State,
    *,
    shop: float,
    start: float = 0.0,
    within: float = 14 * DAY,
    warmest: float = 60.0,
    targets: Targets = PLAIN,
    draw: int = 0,
) -> float | None:
    """The least temperature (°C, to half a kelvin) that brings resin to a state `within` a time (s).

    From the conversion `start` on, with no help from the resin's own heat, so that it errs to the warm side.
    None where no temperature up to `warmest` does it.
    """
    one = _single(resin, draw)
    kept = np.arange(np.floor(shop * 2) / 2, warmest + 0.25, 0.5)
    if state in ("gel", "window_opens"):
        margin = targets.window_margin if state == "window_opens" else 0.0
        goal = np.full(kept.size, float(np.asarray(one.gel))) + margin
    else:
        # Once cured the casting goes back to the shop, or stays warm: it must be fit for either.
        goal = conversion_at_tg(targets.glass(state, kept, one), one.tg0, one.tg1)
    fits = np.flatnonzero(film_time(one, kept, goal, np.minimum(start, 1.0 - 1e-9)) <= within)
    return float(kept[fits[0]]) if fits.size else None


def _single(resin: Resin, draw: int) -> Resin:
    values = {name: np.atleast_1d(getattr(resin, name)) for name in Resin.__slots__}
    return Resin(**{name: float(v[min(draw, v.size - 1)]) for name, v in values.items()})


def cure(
    stack: Stack,
    air: Air,
    *,
    top: Top = OPEN_AIR,
    horizon: float = HORIZON,
    keep: tuple[float, ...] = (),
    targets: Targets = PLAIN,
    tolerance: Tolerance | None = None,
) -> Run:
    """Follow a stack from its pour for `horizon` (s), or until all states are reached.

    `keep` are times (s since the pour) at which the stack will be asked for: the run covers them and a step
    ends on each, so that `stack_at` needs no interpolation there. A run stays valid to its horizon: after its
    last step nothing moves that any state asks for, and `stack_at` then gives the last step's fields.
    """
    if not stack.laid:
        raise ValueError("The form is empty; pour a lift first.")
    draws = max(
        draws_of(stack),
        air.draws,
        int(np.size(top.scale)),
        1 if targets.recoat is None else int(np.size(targets.recoat)),
    )
    parts = layers(stack, draws)
    place = layout(parts, stack.river)
    system: System
    if tolerance is None:
        tolerance = USUAL if stack.river is None else SECTION_USUAL
    if stack.river is None:
        system = column(
            lay(parts.widths, parts.conductivity),
            parts.heat_capacity,
            parts.rise,
            parts.law,
            inert=parts.inert,
            under=np.broadcast_to(np.asarray(stack.floor.film, dtype=float), (draws,)),
            top=top,
            air=air,
        )
    else:
        system = section(stack, stack.river, parts, top, air)
    trajectory = march(
        system,
        pack(stack, place, draws),
        start=stack.time,
        end=stack.time + horizon,
        tableau=ROS4 if stack.river is None else ROS34PW2,
        tolerance=tolerance,
        longest=min(air.longest_step, horizon / 12),
        calm=air.calm,
        marks=tuple(stack.time + time for time in keep),
        settled=all_reached(
            place, stack.laid[-1].lift.resin, air.shop, targets, draws, stack.time + max(keep, default=0.0)
        ),
    )
    return Run(stack, air, parts, place, trajectory, targets, horizon)
