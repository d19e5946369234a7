"""Project documents of every kind that the model allows, for property tests."""

from collections.abc import Callable
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from hypothesis import strategies as st

from workshop.project.fields import Checked, Row
from workshop.project.model import ProjectFile
from workshop.project.notation import Written
from workshop.project.validation import keys_of
from workshop.quantity import Kind

Document = dict[str, Any]

_QUANTITIES = {
    "a length": ("57 mm", "2 1/4 in", "0.3 m", "5 ft 4 in", "1½ in", " 4 cm "),
    "a distance": ("2.5 m", "8 ft"),
    "a volume": ("1.5 L", "2 qt", "310 mL"),
    "a mass": ("6.42 kg", "6 lb 3 oz", "500 g"),
    "a mass read on a scale": ("884 g", "31.2 oz", "712"),
    "a density": ("2.75 kg/L", "70 lb/ft³"),
    "a liquid's density": ("1.12 kg/L", "9.35 lb/gal"),
    "a temperature": ("18 °C", "64 °F", "-3 °C"),
    "a percentage": ("55 %", "0.5", "3%"),
    "a time span": ("35 min", "10 h", "7 d"),
    "a feed rate": ("3.5 m/min", "11 ft/min"),
    "a speed of rotation": ("14000 rpm",),
    "a number of lifts a minute": ("0.2",),
    "a modulus of elasticity": ("210 GPa", "70000 MPa", "10000000 psi"),
    "a force": ("140 N", "31 lbf"),
    "a voltage": ("24 V",),
    "a current": ("1.12 A",),
    "a power per length": ("9.6 W/m",),
    "a resistance per length": ("0.11 ohm/m",),
    "a wire size": ("0.75 mm²", "AWG 18"),
    "an angle": ("180°", "45 deg"),
    "a mixing ratio": ("100 : 42.5", "2 : 1"),
    "a number": ("1.65", "2"),
    "a price": ("39.50 EUR", "142 EUR"),
}
_WRITTEN = {
    "Region": ("resin", "100, 120; 300, 120; 300, 200 mm"),
    "Spot": ("near left", "760, 0 mm", ""),
    "Coverage": ("5 m²/L", "200 g/m²", "0.65 oz/ft²"),
    "Point": ("720, 100 mm", "28 1/2 in, 4 in", "0, 0"),
    "Hours": ("17:30 to 21:30", "closed", "8:00 to 12:00, 13:00 to 18:00", "8 am to 5 pm"),
    "Days": ("saturday", "weekdays", "monday, friday"),
    "Ring": ("612, 41; 640, 58; 655, 44", "0, 0; 1 1/2, 0; 1 1/2, 2; 0, 2"),
}
_WORDS: st.SearchStrategy[str] = st.text("abcdefgh-", min_size=1, max_size=8).map(lambda word: f"x{word}")

moments = st.builds(
    lambda at, minutes: at.replace(microsecond=0, tzinfo=timezone(timedelta(minutes=minutes))),
    st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)),
    st.sampled_from((0, 60, 120, -300, 345)),
)


def _checked(mark: Checked) -> st.SearchStrategy[Any]:
    if mark.format == "date-time":
        return moments
    if mark.format == "date":
        return st.dates(date(1990, 1, 1), date(2090, 1, 1))
    if mark.example == "Europe/Berlin":
        return st.sampled_from(("Europe/Berlin", "America/New_York", "UTC"))
    if mark.example == "12":
        return st.sampled_from((12, 0, "1.5 kg", "2 L", "5 m"))
    if mark.types == ("integer",):
        return st.integers(0, 50)
    return st.one_of(st.integers(-500, 500), st.decimals(-500, 500, places=2), st.just("3 1/2"))


def _values(kind: Any, marks: tuple[Any, ...] = ()) -> st.SearchStrategy[Any]:
    origin = get_origin(kind)
    if origin is Annotated:
        return _values(get_args(kind)[0], (*get_args(kind)[1:], *marks))
    for mark in marks:
        if isinstance(mark, Kind):
            return st.sampled_from(_QUANTITIES[mark.name])
        if isinstance(mark, Checked):
            return _checked(mark)
    if origin in (Union, UnionType):
        return _values(next(arg for arg in get_args(kind) if arg is not type(None)), marks)
    if origin is Literal:
        return st.sampled_from(get_args(kind))
    if origin is tuple:
        return st.lists(_values(get_args(kind)[0]), max_size=3)
    if origin is dict:
        return st.dictionaries(_values(get_args(kind)[0]), _values(get_args(kind)[1]), max_size=2)
    if isinstance(kind, type) and issubclass(kind, Written):
        return st.sampled_from(_WRITTEN.get(kind.__name__, (kind.EXAMPLE,)))
    if isinstance(kind, type) and issubclass(kind, Row):
        return _tables(kind)
    if kind is bool:
        return st.booleans()
    held = [inner for mark in marks for inner in (mark, *getattr(mark, "metadata", ()))]
    pattern = next((str(mark.pattern) for mark in held if getattr(mark, "pattern", None)), "")
    if "A-Z" in pattern:
        return st.just("EUR")
    if pattern.startswith(r"^\d{4}"):
        return st.dates(date(1990, 1, 1), date(2090, 1, 1)).map(str)
    return _WORDS if pattern else st.text(max_size=30)


def _tables(form: type[Row]) -> st.SearchStrategy[Document]:
    fields = {key: form.model_fields[name] for key, name in keys_of(form).items()}
    made = {key: _values(field.annotation, tuple(field.metadata)) for key, field in fields.items()}
    needed = {key: made[key] for key, field in fields.items() if field.is_required()}
    return st.fixed_dictionaries(needed, optional={key: made[key] for key in made if key not in needed})


def _named(tables: Document, prefix: str) -> Document:
    return {f"{prefix}-{number}": table for number, table in enumerate(tables.values())}


def _rising(rows: list[Document], key: str, spell: Callable[[int], object]) -> None:
    for number, row in enumerate(rows):
        if key in row:
            row[key] = spell(number + 1)


def _consistent(document: Document) -> Document:
    """The same document with its names made unique, its references pointing somewhere, its heights rising."""
    document["format"] = 2
    for key in ("person", "tool", "slab", "piece", "resin", "light-strip", "casting", "fixing", "supply"):
        if key in document:
            document[key] = _named(document[key], key[:8])
    legs = document.get("frame", {}).get("legs", [])
    legs[:] = [f"leg-{number}" for number in range(len(legs))]
    for number, coat in enumerate(document.get("finish", {}).get("coats", [])):
        coat["id"] = f"oil-{number}"
    for table in document.get("slab", {}).values():
        table["unit"] = "mm"
        _rising(table.get("stations", []), "at", lambda number: Decimal(number) / 2)
        for number, line in enumerate(table.get("saw-lines", [])):
            line["id"] = f"s{number}"
            _refer(line, "of", document.get("piece", {}))
    for table in document.get("casting", {}).values():
        _refer(table, "resin", document.get("resin", {}))
        for key in ("lifts", "cuts", "voids", "guides"):
            for number, row in enumerate(table.get(key, [])):
                row["id"] = f"{key}-{number}"
        _rising(table.get("lifts", []), "to", lambda number: f"{number} cm")
        for key in ("bed", "light-run", "cable"):
            if key in table:
                table[key] = _named(table[key], key)
        for bed in table.get("bed", {}).values():
            bed.update({"from": "6 mm", "to": "24 mm"})
        for run in table.get("light-run", {}).values():
            _refer(run, "strip", document.get("light-strip", {}))
            _refer(run, "piece", document.get("piece", {}))
            _refer(run, "cable", table.get("cable", {}))
    for table in document.get("piece", {}).values():
        _refer(table, "slab", document.get("slab", {}))
        _refer(table, "casting", document.get("casting", {}))
    for table in document.get("fixing", {}).values():
        _refer(table, "casting", document.get("casting", {}))
        _refer(table, "leg", dict.fromkeys(legs))
    _refer(document.get("seal-coat", {}), "resin", document.get("resin", {}))
    for timer in document.get("record", {}).get("timer", {}).values():
        timer["rule"] = "5 15 min, then every 1 h until gel"
    return document


def _refer(table: Document, key: str, known: Document) -> None:
    if key in table:
        if known:
            table[key] = next(reversed(known))
        else:
            del table[key]


documents: st.SearchStrategy[Document] = _tables(ProjectFile).map(_consistent)
"""Valid documents, any table and key of the model in them or not."""
