"""The JSON Schema of a project file or the settings, for editors that complete and check as one types."""

from __future__ import annotations

import ast
import inspect
import re
import sys
from collections.abc import Mapping
from itertools import pairwise
from typing import Any, Final

from workshop.project.fields import Row, kebab
from workshop.project.model import ProjectFile

_EXAMPLE = re.compile(r", for example (.+?)(?: or .*)?$")

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def schema(form: type[Row] = ProjectFile, title: str = "Project file") -> dict[str, Any]:
    """JSON Schema 2020-12 of a file, every key with its words and most with an example."""
    made: dict[str, Any] = form.model_json_schema(by_alias=True)
    words = {held.__name__: _words_of(held) for held in _forms(form)}
    for name, table in ((form.__name__, made), *made.get("$defs", {}).items()):
        _describe(table, words.get(name, {}))
        # A row written by hand may leave out its id, which it is then given.
        required = [key for key in table.get("required", ()) if key != "id"]
        table.pop("required", None)
        if required:
            table["required"] = required
    return {"$schema": DIALECT, **made, "title": title}


def _describe(table: dict[str, Any], words: Mapping[str, str]) -> None:
    for table_or_time in (table, *table.get("anyOf", ())):
        for key, said in table_or_time.get("properties", {}).items():
            said.pop("title", None)
            said.pop("default", None)
            options = [option for option in said.get("anyOf", ()) if option != {"type": "null"}]
            if len(options) == 1:
                # TOML has no null: what may be unknown is simply left out.
                del said["anyOf"]
                for name, value in options[0].items():
                    said.setdefault(name, value)
            kind = said.get("description", "")
            if example := _EXAMPLE.search(kind):
                said["examples"] = [example.group(1)]
            if key in words:
                said["description"] = f"{words[key]} ({kind})" if kind else words[key]


def _forms(form: type[Row]) -> tuple[type[Row], ...]:
    found: dict[type[Row], None] = {}

    def visit(kind: Any) -> None:
        if isinstance(kind, type) and issubclass(kind, Row):
            if kind not in found:
                found[kind] = None
                for field in kind.model_fields.values():
                    visit(field.annotation)
            return
        for inner in getattr(kind, "__args__", ()):
            visit(inner)

    visit(form)
    return tuple(found)


def _words_of(form: type[Row]) -> dict[str, str]:
    """The docstrings under a table's attributes, by key; those of its bases too."""
    words: dict[str, str] = {}
    for base in reversed(form.__mro__):
        if not issubclass(base, Row):
            continue
        try:
            tree = ast.parse(inspect.getsource(sys.modules[base.__module__]))
        except OSError:
            continue
        bodies = [
            node.body for node in tree.body if isinstance(node, ast.ClassDef) and node.name == base.__name__
        ]
        for body in bodies:
            for held, after in pairwise(body):
                if (
                    isinstance(held, ast.AnnAssign)
                    and isinstance(held.target, ast.Name)
                    and isinstance(after, ast.Expr)
                    and isinstance(after.value, ast.Constant)
                ):
                    words[kebab(held.target.id)] = " ".join(str(after.value.value).split())
    return words
