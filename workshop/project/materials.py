"""Resins by their sheets, and light strips by their reels."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator

from workshop.project.fields import (
    Day,
    Distance,
    Duration,
    Length,
    LinePower,
    LineResistance,
    LiquidDensity,
    Loss,
    Mass,
    Moisture,
    Moment,
    Named,
    Pack,
    Ratio,
    Row,
    Share,
    Temperature,
    Text,
    Voltage,
)

ResinClass = Literal["fast-coating", "laminating", "medium-casting", "slow-casting", "polyester"]


def _hyphened(value: object) -> object:
    return "-".join(value.lower().split()) if isinstance(value, str) else value


class ResinPack(Pack):
    """A kit of parts A and B as sold, by its mass."""

    size: Mass | None = None


class TestPour(Row):
    """A pour that was made to learn how a resin behaves: a cup of a mass, or a depth in a form."""

    at: Moment | None = None
    mass: Mass | None = None
    depth: Length | None = None
    temperature: Temperature | None = None
    peak: Temperature | None = None
    time_to_peak: Duration | None = None
    gel: Duration | None = None


class Resin(Named):
    """A two-part resin, known by the figures of its sheet."""

    class_: Annotated[ResinClass, BeforeValidator(_hyphened)] | None = None
    ratio_by_weight: Ratio | None = None
    ratio_by_volume: Ratio | None = None
    density_a: LiquidDensity | None = None
    density_b: LiquidDensity | None = None
    pot_life: Duration | None = None
    pot_mass: Mass | None = None
    pot_temperature: Temperature | None = None
    set_time: Duration | None = None
    """When a thin film has set."""
    set_temperature: Temperature | None = None
    rated_depth: Length | None = None
    rated_temperature: Temperature | None = None
    mass_per_pour: Mass | None = None
    least_depth: Length | None = None
    least_gap: Length | None = None
    """The narrowest gap that it still runs into."""
    least_temperature: Temperature | None = None
    recoat_from: Duration | None = None
    recoat_limit: Duration | None = None
    demould_time: Duration | None = None
    full_cure: Duration | None = None
    limit_temperature: Temperature | None = None
    """What the cured resin stands for long."""
    ultimate_tg: Temperature | None = None
    moisture_limit: Moisture | None = None
    """The wettest wood that the sheet allows."""
    shrinkage: Loss | None = None
    tint_percent: Share | None = None
    lot: Text | None = None
    best_before: Day | None = None
    shelf_life: Duration | None = None
    """How long it keeps once opened."""
    opened: Day | None = None
    have: Mass | None = None
    packs: tuple[ResinPack, ...] = ()
    test_pours: tuple[TestPour, ...] = ()


class ReelPack(Pack):
    """A reel of light strip as sold, by its length."""

    size: Distance | None = None


class LightStrip(Named):
    """A light strip by the figures of its reel."""

    volts: Voltage | None = None
    watts_per_metre: LinePower | None = None
    width: Length | None = None
    cut_pitch: Length | None = None
    strip_resistance: LineResistance | None = None
    """Both conductors together, per length."""
    limit_temperature: Temperature | None = None
    have: Distance | None = None
    packs: tuple[ReelPack, ...] = ()
