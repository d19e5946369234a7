"""The catalogue: one module a calculator, found by looking into this folder."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from workshop.calculator import Calculator


@cache
def catalogue() -> dict[str, Calculator]:
    """Every calculator by id: the `CALCULATOR` of each module in this folder."""
    found = [
        importlib.import_module(f"{__name__}.{module.name}").CALCULATOR
        for module in pkgutil.iter_modules(__path__)
    ]
    return {calculator.id: calculator for calculator in sorted(found, key=lambda held: (held.order, held.id))}
