"""What lies in the shop for a project: resin's age, wood's drift, and what must be bought first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import ceil
from typing import Final
from zoneinfo import ZoneInfo

from workshop.figures import Level, phrase
from workshop.likeliest import last_reading
from workshop.meanwhile import Row, Target
from workshop.plan import Plan
from workshop.project.checking_off import is_poured, next_lift
from workshop.project.model import ProjectFile, Resin
from workshop.quantity import MASS, PERCENT, Amount
from workshop.shelf import resin_dates
from workshop.trade.timber import equilibrium_moisture


def resin_ages(plan: Plan, now: datetime) -> Iterator[Row]:
    """Resin that is still wanted and past a date, or near one."""
    file = plan.project.file
    zone = ZoneInfo(file.shop.zone) if file.shop.zone is not None else None
    today = now.astimezone(zone).date()
    for held in resin_dates(file, today):
        stage, subject = _wanted_for(file, held.resin)
        if stage:
            target = Target(stage, subject, f"resin-tempered@{subject}" if stage == "lifts" else "")
            yield Row(f"{held.resin}: {held.text}: {held.remedy}", held.level, target)


def _wanted_for(file: ProjectFile, resin: str) -> tuple[str, str]:
    """Stage and subject for which a resin is still wanted, ("", "") where for nothing."""
    for casting, held in file.casting.items():
        if held.resin == resin and (not held.lifts or next_lift(file, casting) is not None):
            return "lifts", next_lift(file, casting) or casting
    if file.seal_coat.resin == resin:
        for casting in file.casting:
            if "faces-covered" not in file.record.done.get("seal-coat", {}).get(casting, {}):
                return "seal-coat", casting
    return "", ""


DRIFTED: Final = 0.005
"""Half a point of moisture is what a meter tells apart: common practice, no source."""


def moisture_drift(plan: Plan) -> Iterator[Row]:
    """Wood whose last reading lies off what the shop's last reading of the air draws it to."""
    file = plan.project.file
    air = [
        row
        for row in file.record.readings.get("shop", ())
        if row.temperature is not None and row.humidity is not None
    ]
    if not air:
        return
    last = max(air, key=lambda row: row.at)
    assert last.temperature is not None and last.humidity is not None
    rest = equilibrium_moisture(last.temperature.value, last.humidity.value)
    for slab in file.slab:
        castings = {piece.casting for piece in file.piece.values() if piece.slab == slab and piece.casting}
        held = last_reading(file, slab, "moisture")
        if held is None or held.moisture is None or abs(rest - held.moisture.value) < DRIFTED:
            continue
        if castings and all(next_lift(file, casting) is None for casting in castings):
            continue
        yield Row(
            phrase(
                "{slab}: read at {was}, the shop's air draws it to {rest}",
                slab=slab,
                was=Amount(held.moisture.value, PERCENT),
                rest=Amount(rest, PERCENT),
            ),
            Level.NOTE,
            Target("stock-prep", slab, "moisture"),
        )


def to_buy(plan: Plan) -> Iterator[Row]:
    """Resin of which less is there than what is still to be poured; left out where either is not known."""
    file = plan.project.file
    needs: dict[str, float] = {}
    first: dict[str, str] = {}
    for answer in plan.stage("lifts").answers:
        casting, _, lift = answer.subject.partition("/")
        resin = file.casting[casting].resin if casting in file.casting else None
        if answer.calculator.id != "resin-volume" or not lift or resin is None:
            continue
        if is_poured(file, answer.subject) is not None or answer.result is None:
            continue
        mass = answer.result.figure("mass")
        if mass is not None:
            needs[resin] = needs.get(resin, 0.0) + mass.value
            first.setdefault(resin, answer.subject)
    for resin, need in needs.items():
        held = file.resin.get(resin)
        if held is None or held.have is None or held.have.value >= need:
            continue
        yield Row(
            phrase(
                f"{{resin}}: {{need}} to pour, {{have}} there{_packs(held, need - held.have.value)}",
                resin=resin,
                need=Amount(need, MASS),
                have=Amount(held.have.value, MASS),
                **_pack_size(held, need - held.have.value),
            ),
            Level.WARN,
            Target("lifts", first[resin]),
        )


def _pack(held: Resin, short: float) -> tuple[int, float] | None:
    """How many of which pack: the fewest, and of those the smallest."""
    sizes = [pack.size.value for pack in held.packs if pack.size is not None and pack.size.value > 0]
    counted = [(ceil(short / size - 1e-9), size) for size in sizes]
    return min(counted, default=None)


def _packs(held: Resin, short: float) -> str:
    pack = _pack(held, short)
    return f": buy {pack[0]} x {{size}}" if pack is not None else ": buy {short}"


def _pack_size(held: Resin, short: float) -> dict[str, Amount | str]:
    pack = _pack(held, short)
    return {"size": Amount(pack[1], MASS)} if pack is not None else {"short": Amount(short, MASS)}
