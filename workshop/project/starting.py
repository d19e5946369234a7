"""A new project from a few answers, each of which may be left open: an unknown is an absent key."""

from __future__ import annotations

import re
from collections.abc import Mapping
from copy import deepcopy
from itertools import count
from typing import Any, Final

from workshop.project.faults import FileFaults
from workshop.project.fields import LONGEST_ID, RESERVED
from workshop.project.formats import FORMAT, Document
from workshop.project.ids import TOP_TABLES
from workshop.project.loading import load_text
from workshop.project.questions import QUESTIONS, Question
from workshop.project.reading import dumps
from workshop.reference.species import UnknownSpecies, species

__all__ = ["CASTING", "QUESTIONS", "RESIN", "SLAB", "Question", "new_document", "with_own", "wrong_answer"]

SLAB: Final = "slab-1"
CASTING: Final = "casting-1"
RESIN: Final = "resin-1"
"""Ids where the answers give no name."""

_OWN_ROWS: Final = ("person", "tool")
"""Tables of named rows that a maker brings along."""

_PIECES: Final = ("p1", "p2")
_TAKEN: Final = RESERVED | {SLAB, CASTING, RESIN, *_PIECES}


def new_document(answers: Mapping[str, str]) -> Document:
    """A project of one slab in two pieces, one resin and one casting, with what is known of them.

    `answers` holds text under `name` and the keys of QUESTIONS; a key that is absent, or empty, is unknown.
    The answers are not judged here (see `wrong_answer`). Raises KeyError for a key that nobody asks.
    """
    known = {key: text.strip() for key, text in answers.items() if text.strip()}
    if "units" in known:
        known["units"] = known["units"].lower()
    asked = {question.key for question in QUESTIONS}
    for key in known:
        if key != "name" and key not in asked:
            raise KeyError(f"{key} is none of name, {', '.join(question.key for question in QUESTIONS)}")
    casting = _id(known.get("casting", ""), CASTING, _TAKEN)
    slab = _id(known.get("species", ""), SLAB, _TAKEN | {casting})
    document: Document = {
        "format": FORMAT,
        "project": {"name": known["name"]} if "name" in known else {},
        "shop": {},
        "slab": {slab: {}},
        "piece": {piece: {"slab": slab, "casting": casting} for piece in _PIECES},
        "resin": {RESIN: {}},
        "casting": {casting: {}},
    }
    ids = {"<slab>": slab, "<casting>": casting, "<resin>": RESIN}
    for question in QUESTIONS:
        if question.key in known and question.key != "casting":
            *owner, key = (ids.get(part, part) for part in question.path)
            table: dict[str, Any] = document
            for part in owner:
                table = table[part]
            table[key] = known[question.key]
    document["casting"][casting]["resin"] = RESIN
    return {key: table for key, table in document.items() if table != {}}


def with_own(document: Document, tables: Mapping[str, Any]) -> Document:
    """A new project's document with a copy of what the maker brings to each: shop, people, tools, prices.

    `tables` are the maker's, by their names in the file; `project` among them holds what each project's head
    starts with, such as the currency. What the document says itself goes before. A person or tool whose name
    the project gives to something else gets a number: `saw` becomes `saw-2`.
    """
    taken = {name for key in TOP_TABLES for name in document.get(key, {})}
    own_names = {name for key in _OWN_ROWS for name in tables.get(key, {})}
    made: Document = {}
    for key in dict.fromkeys(["format", "project", "shop", *_OWN_ROWS, *document, "price"]):
        own = tables.get(key, {}) if key in ("project", "shop", *_OWN_ROWS, "price") else {}
        if key in _OWN_ROWS:
            own = {_free(name, taken, own_names): row for name, row in own.items()}
        held = document.get(key)
        whole = {**deepcopy(own), **(held or {})} if own else held
        if whole is not None and whole != {}:
            made[key] = whole
    return made


def _free(name: str, taken: set[str], own: set[str]) -> str:
    """The name, with a number where something else has it already; the name is taken from then on."""
    if name in taken:
        others = taken | own
        name = next(
            made for number in count(2) if (made := f"{name[: LONGEST_ID - 4]}-{number}") not in others
        )
    taken.add(name)
    return name


def _id(name: str, otherwise: str, taken: frozenset[str]) -> str:
    """A name as an id of the file: `ash, white` is `ash-white`."""
    parted = re.sub(r"[^a-z0-9]+", "-", name.casefold()).lstrip("-0123456789")[:LONGEST_ID].strip("-")
    return parted if parted and parted not in taken else otherwise


def wrong_answer(key: str, text: str) -> str:
    """What is wrong with an answer and how to mend it, in one sentence; empty where it will do."""
    if not text.strip():
        return ""
    try:
        text.encode()
        if key == "species":
            species(text)
        if key == "casting" and not _id(text, "", _TAKEN - {CASTING}):
            return f"{text.strip()!r} cannot name a casting here; write a short word such as seat."
        load_text(dumps(new_document({key: text})), "answer")
    except UnknownSpecies as unknown:
        return str(unknown)
    except FileFaults as faults:
        fault = faults.faults[0]
        return f"{fault.what}; {fault.mend}." if fault.mend else f"{fault.what}."
    except UnicodeEncodeError:
        return "The answer holds a character that cannot be saved; write it in plain letters."
    return ""
