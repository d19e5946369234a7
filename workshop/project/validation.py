"""From a document to the model, table by table, so that what did not change is not read again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import UnionType
from typing import Annotated, Any, Final, TypeVar, Union, cast, get_args, get_origin

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from workshop.project.consistency import Wrong, inconsistencies
from workshop.project.fields import Row, kebab
from workshop.project.formats import FORMAT
from workshop.project.model import ProjectFile
from workshop.project.notation import BadValue, said
from workshop.project.path import Path
from workshop.project.record import Record

_R = TypeVar("_R", bound=Row)


@dataclass(frozen=True, slots=True)
class Read:
    """A document with the model made of it, from which the next one takes what stayed the same."""

    document: Mapping[str, Any]
    file: ProjectFile


def checked(document: Mapping[str, Any], before: Read | None = None) -> tuple[ProjectFile, tuple[Wrong, ...]]:
    """The model of a document and all that is wrong with it; the model is whole only where nothing is."""
    wrong: list[Wrong] = []
    file = _assembled(
        ProjectFile, document, before.document if before else {}, before.file if before else None, (), wrong
    )
    wrong.extend(inconsistencies(document, file))
    return file, tuple(wrong)


def table_read(form: type[_R], document: Mapping[str, Any]) -> tuple[_R, tuple[Wrong, ...]]:
    """A document of any form, such as the settings, and all that is wrong with its values."""
    wrong: list[Wrong] = []
    return _assembled(form, document, {}, None, (), wrong), tuple(wrong)


def _assembled(
    form: type[_R],
    table: Mapping[str, Any],
    old_table: Mapping[str, Any],
    old: _R | None,
    at: Path,
    wrong: list[Wrong],
) -> _R:
    """A table of tables, of which those are kept whose part of the document is the very same object."""
    names = keys_of(form)
    wrong.extend(_unknown((*at, key), names) for key in table if key not in names)
    values: dict[str, Any] = {}
    for key, name in names.items():
        field = form.model_fields[name]
        if key not in table:
            if field.is_required():
                wrong.append(
                    Wrong((*at, key), "is missing", f"write {key} = {FORMAT} as the first line of the file")
                )
            continue
        raw = table[key]
        kept = getattr(old, name) if old is not None and key in old_table else None
        if kept is not None and old_table[key] is raw:
            values[key] = kept
        elif field.annotation is Record and isinstance(raw, Mapping):
            values[key] = _assembled(Record, raw, old_table.get(key, {}), kept, (*at, key), wrong)
        elif get_origin(field.annotation) is dict and isinstance(raw, Mapping):
            values[key] = _entries(
                _adapter(form, name), raw, old_table.get(key, {}), kept or {}, (*at, key), wrong
            )
        else:
            held = _one(_adapter(form, name), raw, (*at, key), wrong)
            if held is not None:
                values[key] = held
    return cast(_R, form.model_construct(**values))


def _entries(
    adapter: TypeAdapter[Any],
    raw: Mapping[str, Any],
    old_raw: Mapping[str, Any],
    old: Mapping[str, Any],
    at: Path,
    wrong: list[Wrong],
) -> dict[str, Any]:
    fresh = {key: held for key, held in raw.items() if key not in old or old_raw.get(key) is not held}
    try:
        read: dict[str, Any] = adapter.validate_python(fresh)
    except ValidationError:
        read = {}
        for key, held in fresh.items():
            read.update(_one(adapter, {key: held}, at, wrong) or {})
    return {key: read[key] if key in read else old[key] for key in raw if key in read or key not in fresh}


def _one(adapter: TypeAdapter[Any], raw: object, at: Path, wrong: list[Wrong]) -> Any:
    try:
        return adapter.validate_python(raw)
    except ValidationError as error:
        wrong.extend(
            _in_words((*at, *detail["loc"]), at, raw, detail) for detail in error.errors(include_url=False)
        )
        return None


@cache
def keys_of(form: type[Row]) -> Mapping[str, str]:
    """The keys a table may hold, each with the attribute's name."""
    return {kebab(name): name for name in form.model_fields}


@cache
def _adapter(form: type[Row], name: str) -> TypeAdapter[Any]:
    field = form.model_fields[name]
    kind: Any = field.annotation
    for mark in field.metadata:
        kind = Annotated[kind, mark]
    return TypeAdapter(kind)


# Words


_NAMES: Final = "write small letters, digits and hyphens, at most 16, beginning with a letter, such as oak-1"


def _in_words(loc: Path, root: Path, raw: object, detail: ErrorDetails) -> Wrong:
    """One fault that pydantic found, in the shop's words."""
    kind, given, context = detail["type"], detail["input"], detail.get("ctx", {})
    if loc[-1] == "[key]":
        return Wrong(loc[:-1], f"{loc[-2]!r} cannot be a name here", _NAMES)
    if kind == "extra_forbidden":
        return _unknown(loc, keys_of(_form_at(loc[:-1])))
    if kind == "missing":
        return Wrong(loc, "is missing", f"add the key `{loc[-1]}`")
    path, given = _standing(loc, root, raw)
    cause = context.get("error")
    if isinstance(cause, BadValue):
        return Wrong(path, _with_text(cause.what, given), cause.mend)
    if isinstance(cause, Exception):
        what, colon, mend = str(cause).rpartition(": ")
        return Wrong(
            path, _with_text(what if colon else mend, given), mend if colon else "write another value"
        )
    return Wrong(path, *_plain_words(kind, given, context, detail["msg"]))


def _plain_words(kind: str, given: object, context: Mapping[str, Any], message: str) -> tuple[str, str]:
    quoted = said(given)
    match kind:
        case "literal_error":
            return f"{quoted} is not one of the words for this", f"write {context['expected']}"
        case "string_type":
            return f"{quoted} is not a text", "put it in quotes"
        case "bool_type":
            return f"{quoted} is neither true nor false", "write true or false without quotes"
        case "tuple_type":
            return f"{quoted} is not a list", "put it in square brackets"
        case "dict_type" | "model_type" | "model_attributes_type":
            return f"{quoted} is not a table", "write a table with keys of its own"
        case "string_pattern_mismatch" if "A-Z" in str(context.get("pattern")):
            return f"{quoted} is not a currency", "write its three letters, such as EUR or USD"
        case "string_pattern_mismatch" if "/" in str(context.get("pattern")):
            return f"{quoted} is not a subject", "write names parted by slashes, such as seat/strip"
        case "string_pattern_mismatch" | "string_too_long":
            return f"{quoted} cannot be a name", _NAMES
    return f"{quoted} does not fit ({message[:1].lower()}{message[1:]})", "write another value"


def _unknown(path: Path, known: Mapping[str, str]) -> Wrong:
    key = str(path[-1])
    close = get_close_matches(key.lower().replace("_", "-"), known, n=1)
    mend = f"did you mean `{close[0]}`?" if close else "delete it, or keep what it says in a `note`"
    return Wrong(path, f"unknown key `{key}`", mend)


def _with_text(what: str, given: object) -> str:
    """The words with what was typed, where they quote only a part of it."""
    if not isinstance(given, str) or given in what or repr(given.strip()) in what:
        return what
    return f"{said(given)}: {what}"


def _standing(loc: Path, root: Path, raw: object) -> tuple[Path, object]:
    """The part of a place that stands in the document, and what stands there.

    A check's time alone, for one, is read as a table with one key.
    """
    held, depth = raw, len(root)
    for part in loc[len(root) :]:
        try:
            held = held[part]  # type: ignore[index]
        except (LookupError, TypeError):
            break
        depth += 1
    return loc[:depth], held


def _form_at(path: Path) -> type[Row]:
    """The kind of table that stands at a path."""
    held: Any = ProjectFile
    for part in path:
        held = _plain(held)
        if isinstance(held, type) and issubclass(held, Row):
            held = held.model_fields[keys_of(held)[str(part)]].annotation
        else:
            held = get_args(held)[1 if get_origin(held) is dict else 0]
    form = _plain(held)
    return form if isinstance(form, type) and issubclass(form, Row) else ProjectFile


def _plain(held: Any) -> Any:
    while True:
        if get_origin(held) is Annotated:
            held = get_args(held)[0]
        elif get_origin(held) in (Union, UnionType):
            held = next(arg for arg in get_args(held) if arg is not type(None))
        else:
            return held
