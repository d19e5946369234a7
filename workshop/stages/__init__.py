"""The nine stages in order, each with its checks, timers and cautions."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from workshop.stages import (
    abrasive_schedule,
    assembly,
    fill,
    finish,
    flattening,
    form,
    lifts,
    seal_coat,
    stock_prep,
)
from workshop.stages.checklist import Check, Stage

STAGES: Final[tuple[Stage, ...]] = (
    stock_prep.STAGE,
    form.STAGE,
    seal_coat.STAGE,
    lifts.STAGE,
    flattening.STAGE,
    fill.STAGE,
    abrasive_schedule.STAGE,
    finish.STAGE,
    assembly.STAGE,
)

CHECKS: Final[Mapping[str, tuple[Stage, Check]]] = MappingProxyType(
    {check.id: (held, check) for held in STAGES for check in held.checks}
)
"""Every check by its id, with the stage it stands in."""


def stage(name: str) -> Stage:
    """The stage with this id; raises KeyError, which names the nine."""
    for held in STAGES:
        if held.id == name:
            return held
    raise KeyError(f"There is no stage {name!r}: choose one of {', '.join(held.id for held in STAGES)}.")
