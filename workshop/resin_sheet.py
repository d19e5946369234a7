"""What is known of a resin as text, by hand and from a project: its class, its sheet or its constants.

By hand: `resin=slow-casting`, or JSON with the sheet's keys (`{"class": "slow-casting", "pot-life":
"180 min", "pot-mass": "1 kg"}`), or with constants in SI (`{"k25": 2.3e-5, "kappa": 0.4, …}`, temperatures in
°C). A project fills the same JSON.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

from workshop.calculator import InputError
from workshop.desk import Desk, Given, Missing, Source, combine
from workshop.project.path import Path
from workshop.quantity import (
    DURATION,
    LENGTH,
    LIQUID_DENSITY,
    MASS,
    TEMPERATURE,
    Kind,
    QuantityError,
    parse,
)
from workshop.trade.cure.kinetics import Resin
from workshop.trade.known_resin import KnownResin
from workshop.trade.resin_fit import Pour, Sheet

CLASSES: Final = ("fast-coating", "laminating", "medium-casting", "slow-casting", "polyester")
SHEET_KEYS: Final[Mapping[str, Kind]] = {
    "density": LIQUID_DENSITY,
    "pot-life": DURATION,
    "pot-mass": MASS,
    "pot-temperature": TEMPERATURE,
    "set-time": DURATION,
    "set-temperature": TEMPERATURE,
    "rated-depth": LENGTH,
    "rated-temperature": TEMPERATURE,
    "demould-time": DURATION,
    "full-cure": DURATION,
    "ultimate-tg": TEMPERATURE,
}
"""What of a sheet the cure is fitted to."""
POUR_KEYS: Final[Mapping[str, Kind]] = {
    "temperature": TEMPERATURE,
    "mass": MASS,
    "depth": LENGTH,
    "peak": TEMPERATURE,
    "time-to-peak": DURATION,
    "gel": DURATION,
}
CONSTANTS: Final = ("k25", "kappa", "heat", "activation", "tg1")
MORE_CONSTANTS: Final = ("tg0", "gel", "density", "cp", "k")
OTHER_SHEET_KEYS: Final = frozenset(
    {
        "ratio-by-weight",
        "ratio-by-volume",
        "density-a",
        "density-b",
        "mass-per-pour",
        "least-depth",
        "least-temperature",
        "recoat-limit",
        "limit-temperature",
        "shelf-life",
        "opened",
        "lot",
    }
)
"""Keys of a sheet that say nothing of its cure, so that a whole sheet may be given."""


@lru_cache(maxsize=128)
def read_resin(text: str) -> KnownResin:
    """A resin as typed; raises InputError that names `resin`."""
    plain = "-".join(text.strip().lower().replace("_", " ").split())
    if plain in CLASSES:
        return KnownResin(Sheet(plain))
    try:
        held = json.loads(text)
    except (ValueError, RecursionError):
        held = None
    if not isinstance(held, dict):
        raise InputError(
            "resin",
            f"{text[:60]!r} is no resin: give a class ({', '.join(CLASSES)}), "
            'or JSON such as {"class": "slow-casting", "pot-life": "180 min", "pot-mass": "1 kg"}',
        )
    if any(key in held for key in CONSTANTS):
        return KnownResin(constants=_constants(held))
    return _sheet(held)


def _constants(held: Mapping[str, Any]) -> Resin:
    values: dict[str, float] = {}
    for key, value in held.items():
        if key not in (*CONSTANTS, *MORE_CONSTANTS):
            raise InputError("resin", f"{key!r} is no constant of a resin: it takes {', '.join(CONSTANTS)}")
        try:
            values[key] = float(value)
        except (TypeError, ValueError):
            raise InputError("resin", f"{key} is {value!r}: give a number in SI") from None
        if not math.isfinite(values[key]):
            raise InputError("resin", f"{key} is {value!r}: give a number in SI")
    lacking = [key for key in CONSTANTS if key not in values]
    if lacking:
        raise InputError("resin", f"the constants lack {', '.join(lacking)}")
    try:
        return Resin(**values)
    except ValueError as error:
        raise InputError("resin", str(error)) from None


def _sheet(held: Mapping[str, Any]) -> KnownResin:
    named = str(held.get("class", "")).strip().lower().replace(" ", "-").replace("_", "-")
    if named not in CLASSES:
        raise InputError("resin", f"the sheet needs its class: one of {', '.join(CLASSES)}")
    values: dict[str, float] = {}
    for key, value in held.items():
        if key in SHEET_KEYS:
            values[key.replace("-", "_")] = _read(key, value, SHEET_KEYS[key])
        elif key not in ("class", "test-pours") and key not in OTHER_SHEET_KEYS:
            raise InputError("resin", f"{key!r} is no key of a resin's sheet")
    rows = held.get("test-pours", [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise InputError("resin", "test-pours is a list of tables, one for each pour")
    return KnownResin(Sheet(named, **values), tuple(_pour(row) for row in rows))


def _pour(row: Mapping[str, Any]) -> Pour:
    for key in row:
        if key not in POUR_KEYS:
            raise InputError("resin", f"{key!r} is no key of a test pour: it takes {', '.join(POUR_KEYS)}")
    values = {key.replace("-", "_"): _read(key, value, POUR_KEYS[key]) for key, value in row.items()}
    if "temperature" not in values:
        raise InputError("resin", "a test pour needs the temperature it was made at")
    return Pour(**values)


def _read(key: str, value: Any, kind: Kind) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    try:
        return parse(str(value), kind)
    except QuantityError as error:
        raise InputError("resin", f"{key}: {error}") from None


def resin_text(desk: Desk, casting: str, density: Source) -> Source:
    """A casting's resin as JSON in SI, from its sheet and logged pours; missing while it has no class."""
    resin = desk.resin_of(casting)
    if resin is None:
        return Missing(f"the resin of {casting}", (("casting", casting, "resin"),))
    place: Path = ("resin", resin)
    named = desk.at(*place, "class", what=f"the class of {resin}, or its sheet")
    known = {
        key: source
        for key in SHEET_KEYS
        if isinstance(source := density if key == "density" else desk.at(*place, key), Given)
    }
    # A pot life says nothing without the mass it holds for.
    if not {"pot-life", "pot-mass"} <= known.keys():
        known = {key: source for key, source in known.items() if not key.startswith("pot-")}
    if "set-time" not in known:
        known.pop("set-temperature", None)
    if "rated-depth" not in known:
        known.pop("rated-temperature", None)
    pours = _logged(desk, resin)
    return combine(
        f"the sheet of {resin}",
        lambda kind, rows, *values: json.dumps(
            {
                "class": kind,
                **dict(zip(known, values, strict=True)),
                **({"test-pours": rows} if rows else {}),
            },
            sort_keys=True,
        ),
        named,
        pours,
        *known.values(),
    )


def _logged(desk: Desk, resin: str) -> Given:
    rows, paths = [], []
    for number, row in enumerate(desk.file.resin[resin].test_pours):
        if row.temperature is None or (row.mass is None) == (row.depth is None):
            continue
        values = {
            key: held.value for key in POUR_KEYS if (held := getattr(row, key.replace("-", "_"))) is not None
        }
        if not {"peak", "time-to-peak", "gel"} & values.keys():
            continue
        rows.append(values)
        paths.append(("resin", resin, "test-pours", number))
    return Given(rows, tuple(paths))
