"""Every key of a project file is found on the line where it stands."""

import tomllib
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest
import tomli_w
from hypothesis import example, given, settings
from hypothesis import strategies as st

from workshop.project.lines import DEEPEST, KeyPath, comments, lines, spelled, where

quietly = settings(deadline=None, derandomize=True, max_examples=200)

characters = st.characters(codec="utf-8")
words = st.text(characters, max_size=6) | st.sampled_from(
    [
        "",
        "#",
        "a#b",
        "[x]",
        "]",
        '"',
        "'",
        '"""',
        "\\",
        "\n",
        "\r\n",
        "a.b",
        "=",
        "{",
        "Überzug",
        "\x85",
        "\u2028",
    ]
)
scalars = words | st.integers(-99, 99) | st.booleans() | st.floats(allow_nan=False)
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
    max_leaves=25,
)
documents = st.dictionaries(words, values, max_size=6)

# fmt: off
pieces_of_toml = (
    "a", "b", "c-1", "=", ".", ",", "[", "]", "[[", "]]", "{", "}", "#", '"', "'", '"""', "'''", "\\", "1",
    "1.5", "true", "2026-03-09", "\n", "\r\n", "\t", " ", "\n[", "\n[[", "a = ", "b.c = ", '"q#" = ', "= [\n",
    "= {", "= '''x\n", '"x"\n', "\ufeff", "1\n", "]\n",
)
# fmt: on
fragments = st.lists(st.sampled_from(pieces_of_toml), max_size=25)


def paths(value: Any, above: KeyPath = ()) -> Iterator[KeyPath]:
    """Every key path and list item of a parsed document."""
    inner: Any = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for key, member in inner:
        yield (*above, key)
        yield from paths(member, (*above, key))


def longest_parsing(pieces: list[str]) -> tuple[str, dict[str, Any]]:
    """The longest beginning of a text that is TOML, and what it says."""
    for length in range(len(pieces), 0, -1):
        text = "".join(pieces[:length])
        with suppress(tomllib.TOMLDecodeError):
            return text, tomllib.loads(text)
    return "", {}


def written(key: str) -> str:
    """A key as the writer puts it down, quoted where it must be."""
    return tomli_w.dumps({key: 1}).removesuffix(" = 1\n")


@quietly
@given(documents)
def test_every_key_of_a_written_document_has_the_line_that_holds_it(document: dict[str, Any]) -> None:
    text = tomli_w.dumps(document, multiline_strings=False)
    rows = text.split("\n")
    found = lines(text)
    for path in paths(tomllib.loads(text)):
        row = rows[found[path] - 1]
        if isinstance(path[-1], str):
            assert written(path[-1]) in row
    assert comments(text) == ()


@st.composite
def handwritten(draw: st.DrawFn) -> tuple[str, dict[KeyPath, int]]:
    """A document in mixed hand-written styles, with the line of every key as it was put down."""
    rows: list[str] = []
    expected: dict[KeyPath, int] = {}
    number = 0

    def key() -> tuple[str, str]:
        nonlocal number
        number += 1
        style = draw(st.sampled_from(["bare", "basic", "literal", "escaped"]))
        if style == "bare":
            return f"key-{number}", f"key-{number}"
        if style == "basic":
            return f'seat/b.{number} # " é', f'"seat/b.{number} # \\" é"'
        if style == "literal":
            return f"a \\ ] {number}", f"'a \\ ] {number}'"
        return f"lift é {number}", f'"lift \\u00e9 {number}"'

    def noise() -> None:
        rows.extend(draw(st.lists(st.sampled_from(["", "# a = 1", '   # [x] "', "\t"]), max_size=2)))

    def ending() -> str:
        return draw(st.sampled_from(["", "  # so 'it' is = [", "\t"]))

    def say(text: str) -> None:
        """Put `text` at the end of the last line."""
        rows[-1] += text

    def value(path: KeyPath, depth: int, one_line: bool) -> None:
        kinds = ["word", "number", "time", "empty"]
        if not one_line:
            kinds.append("long text")
        if depth:
            kinds += ["list", "inline"]
        match draw(st.sampled_from(kinds)):
            case "word":
                say(draw(st.sampled_from(['"12 mm"', "'C:\\# '", '"a \\" # ]"', '""', "''"])))
            case "number":
                say(draw(st.sampled_from(["1", "-0.50", "1e3", "0xFF", "true", "inf"])))
            case "time":
                say("2026-03-09 19:31:00+01:00")
            case "empty":
                say(draw(st.sampled_from(["[]", "{}", "[ ]", "{ }"])))
            case "long text":
                quote = draw(st.sampled_from(['"""', "'''"]))
                say(quote)
                rows.extend(["[not-a-table]", "no = 'key' # no comment", "x" + quote])
            case "list":
                items(path, depth - 1, one_line or draw(st.booleans()))
            case _:
                members(path, depth - 1)

    def items(path: KeyPath, depth: int, one_line: bool) -> None:
        say("[")
        count = draw(st.integers(1, 3))
        for index in range(count):
            if not one_line:
                say(ending())
                noise()
                rows.append("    ")
            expected[(*path, index)] = len(rows)
            value((*path, index), depth, one_line)
            if index < count - 1 or draw(st.booleans()):
                say(", ")
        if not one_line:
            say(ending())
            rows.append("")
        say("]")

    def members(path: KeyPath, depth: int) -> None:
        say("{ ")
        for place in range(draw(st.integers(1, 3))):
            if place:
                say(", ")
            pair(path, depth, one_line=True)
        say(" }")

    def pair(table: KeyPath, depth: int, one_line: bool) -> None:
        path = table
        for place in range(draw(st.integers(1, 3))):
            name, spelling = key()
            path = (*path, name)
            expected[path] = len(rows)
            say(draw(st.sampled_from([".", " . "])) + spelling if place else spelling)
        say(draw(st.sampled_from([" = ", "="])))
        value(path, depth, one_line)

    def body(table: KeyPath) -> None:
        for _ in range(draw(st.integers(0, 3))):
            noise()
            rows.append(draw(st.sampled_from(["", "  "])))
            pair(table, 3, one_line=False)
            say(ending())

    def header(path: KeyPath, spellings: list[str], many: bool) -> None:
        noise()
        rows.append(("[[ " if many else "[") + " . ".join(spellings) + ("]]" if many else " ]") + ending())
        for length in range(1, len(path) + 1):
            expected.setdefault(path[:length], len(rows))

    def tables(above: KeyPath, spellings: list[str], depth: int) -> None:
        for _ in range(draw(st.integers(0, 2))):
            name, spelling = key()
            path, said = (*above, name), [*spellings, spelling]
            match draw(st.sampled_from(["plain", "implied", "list", "late"])):
                case "plain":
                    header(path, said, many=False)
                    body(path)
                    if depth:
                        tables(path, said, depth - 1)
                case "implied":
                    if depth:
                        tables(path, said, depth - 1)
                case "late":
                    if depth:
                        tables(path, said, depth - 1)
                    for known in [known for known in expected if known == path]:
                        del expected[known]
                    header(path, said, many=False)
                    body(path)
                case _:
                    for index in range(draw(st.integers(1, 3))):
                        header((*path, index), said, many=True)
                        body((*path, index))
                        if depth:
                            tables((*path, index), said, depth - 1)

    body(())
    tables((), [], 2)
    return draw(st.sampled_from(["\n", "\r\n"])).join(rows), expected


@quietly
@given(handwritten())
def test_every_key_of_a_handwritten_document_has_its_own_line(case: tuple[str, dict[KeyPath, int]]) -> None:
    text, expected = case
    assert set(paths(tomllib.loads(text))) == set(expected)
    assert dict(lines(text)) == expected


@settings(quietly, max_examples=1000)
@given(fragments.map("".join) | st.text(max_size=40))
@example("[" * 5000)
@example("a = " + "[" * 5000)
@example("a = " + "{a=" * 5000)
@example("a" + ".a" * 5000 + " = 1")
@example('a = "\\U00110000"\n"\\U00110000" = 1')
@example('"')
@example("'''")
@example('a = """\\')
def test_no_text_is_too_broken_to_be_scanned(text: str) -> None:
    last = text.count("\n") + 1
    found = lines(text)
    assert all(1 <= line <= last for line in found.values())
    assert all("#" in text.split("\n")[line - 1] for line in comments(text))


@settings(quietly, max_examples=1000)
@given(fragments)
def test_whatever_parses_is_scanned_whole(pieces: list[str]) -> None:
    text, document = longest_parsing(pieces)
    assert set(paths(document)) <= set(lines(text))


def test_the_same_wrong_key_in_two_tables_has_two_lines() -> None:
    text = (
        "format = 2\n\n[slab.ash-wide]\nthicknes = '52 mm'\n\n[slab.ash-narrow]\n"
        "species = 'ash, white'\nthicknes = '50 mm'\n"
    )
    found = lines(text)
    assert found["slab", "ash-wide", "thicknes"] == 4
    assert found["slab", "ash-narrow", "thicknes"] == 8


def test_the_same_wrong_key_in_two_rows_has_two_lines() -> None:
    text = (
        "[casting.seat]\nlifts = [\n    { id = 'base', upto = '6 mm' },\n    # the strip lies here\n"
        "    { id = 'strip', upto = '29 mm' },\n]\n"
    )
    found = lines(text)
    assert found["casting", "seat", "lifts", 0, "upto"] == 3
    assert found["casting", "seat", "lifts", 1, "upto"] == 5


def test_an_unknown_place_has_the_line_of_the_nearest_table_above_it() -> None:
    found = lines("format = 2\n\n[casting.seat]\nlength = '1400 mm'\n")
    assert where(found, ("casting", "seat", "width")) == 3
    assert where(found, ("casting", "seat", "length", "unit")) == 4
    assert where(found, ("casting", "rail", "width")) == 3
    assert where(found, ("price",)) == 1
    assert where(found, ()) == 1


def test_a_table_named_by_its_own_header_has_that_line_wherever_it_stands() -> None:
    found = lines("[casting.seat.form]\nboard = '18 mm'\n[casting.seat]\nwidth = '400 mm'\n")
    assert found["casting",] == 1
    assert found["casting", "seat"] == 3


def test_a_path_too_deep_to_be_recorded_has_the_line_of_the_deepest_that_is() -> None:
    text = "x = 1\n" + ".".join("a" * (DEEPEST + 5)) + " = 1\n"
    assert where(lines(text), ("a",) * (DEEPEST + 5)) == 2


def test_a_broken_line_hides_none_of_the_lines_after_it() -> None:
    text = "[slab.one]\nthickness = = 5\nwidth '4'\n\"open = 3\n]\n[slab.two\nthickness = '5 mm'\n"
    found = lines(text)
    assert found["slab", "two"] == 6
    assert found["slab", "two", "thickness"] == 7


def test_comments_are_told_from_signs_in_text() -> None:
    text = (
        'a = \'# no\' # yes\n"b#" = """\n# no\n"""\n[c] # yes\nd = [ # yes\n  \'#\',\n  # yes\n]\n'
        "e = { f = '#' }\n"
    )
    assert comments(text) == (1, 5, 6, 8)


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (("casting", "seat", "lifts", 1, "to"), "casting.seat.lifts row 2 to"),
        (("record", "done", "lifts", "seat/base"), 'record.done.lifts."seat/base"'),
        (("supply", "row 2", 0), 'supply."row 2" row 1'),
        ((), ""),
    ],
)
def test_a_path_is_spelled_as_the_file_spells_it(path: KeyPath, said: str) -> None:
    assert spelled(path) == said
