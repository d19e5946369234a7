"""Reading a project file: its bytes, its text, its TOML, and what may be wrong with each."""

import ast
import errno
import hashlib
import os
import re
import stat
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import tomli_w

from workshop.project.faults import FileFault
from workshop.project.formats import Document
from workshop.project.lines import lines, spelled

LARGEST = 64 * 1024 * 1024
TOO_LARGE = f"is larger than {LARGEST // 1024 // 1024} MB"

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_CLOSE_QUOTE = ("a text is not closed by its quote", "close it on the same line")
_TWICE = ("a key stands twice in one table", "delete or rename one of them")
_WORDS = (
    ("Invalid statement", "no line begins like this", "write key = value, or a table such as [slab.oak-1]"),
    (
        "Expected '='",
        "no = follows the key",
        "write key = value, with quotes around an unusual key",
    ),
    ("Invalid initial character", "a key begins with a character that needs quotes", "put the key in quotes"),
    (
        "Expected newline",
        "something stands after the value",
        'put a quantity in quotes with its unit, such as "12 mm", and each key on a line of its own',
    ),
    (
        "Invalid value",
        "the value is missing or not TOML",
        'put text and quantities in straight quotes, such as "12 mm"',
    ),
    ("Invalid date", "there is no such date or time", "write it as 2026-03-09 or 2026-03-09 19:31:00+01:00"),
    ("Cannot overwrite", *_TWICE),
    ("Duplicate inline", *_TWICE),
    ("Cannot mutate", "a list or table already closed is added to", "write the whole of it in one place"),
    ("Cannot redefine", "a list or table already closed is added to", "write the whole of it in one place"),
    ("Unclosed array", "a list lacks a comma or its closing ]", "add what is missing"),
    ("Unclosed inline", "a row lacks a comma or its closing }", "add what is missing on the same line"),
    ("Expected ']", "the name of a table is not closed", "close it with ] or, for a list of tables, ]]"),
    ("Unescaped", "a backslash in a text means something else", "write it twice, or use single quotes"),
    ("Invalid hex", "a \\u in a text names no character", "write four hexadecimal digits after it"),
    ("Escaped character", "a \\u in a text names no character", "write the character itself"),
    ("Unterminated", *_CLOSE_QUOTE),
    ("Illegal character '\\n'", *_CLOSE_QUOTE),
    ("Expected \"'", *_CLOSE_QUOTE),
    ("Illegal character", "a control character stands in a text", "delete it"),
    ("Found invalid", "a control character stands in a comment", "delete it"),
)


@dataclass(frozen=True)
class Stored:
    """A file as read: `text` without a byte order mark, `digest` of its bytes (SHA-256, hexadecimal)."""

    path: Path
    text: str
    document: Document
    digest: str


def read(path: Path | str) -> Stored:
    """The file at `path`, read and parsed, with exact decimals; raises FileFault. Writes nothing."""
    path = Path(path)
    try:
        about = os.stat(path)
        if stat.S_ISDIR(about.st_mode):
            raise FileFault(path, None, "", "is a folder", "name a project file in it")
        if not stat.S_ISREG(about.st_mode):
            raise FileFault(path, None, "", "is not an ordinary file", "name a project file")
        data = bounded(path)
    except (OSError, ValueError) as error:
        raise _not_read(path, error) from error
    if len(data) > LARGEST:
        raise FileFault(path, None, "", TOO_LARGE, "name a project file, or move long records out of it")
    text = decoded(path, data)
    return Stored(path, text, loads(text, path), digest_of(data))


def bounded(path: Path) -> bytes:
    """The file's bytes, at most one more than LARGEST; raises OSError."""
    with open(path, "rb") as file:
        return file.read(LARGEST + 1)


def digest_of(data: bytes) -> str:
    """SHA-256 of a file's bytes, hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def decoded(path: Path, data: bytes) -> str:
    """A file's bytes as text without a byte order mark; raises FileFault with the line that is not UTF-8."""
    try:
        return data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = f"the byte {data[error.start]:02X} is not UTF-8"
        raise FileFault(path, line, "", what, "save the file as UTF-8 in a text editor") from error


def loads(text: str, path: Path) -> Document:
    """The document that `text` holds, with exact decimals; raises FileFault with line, column and words."""
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(path, text, str(error)) from error
    except RecursionError as error:
        what = "lists or tables are nested too deeply to read"
        raise FileFault(path, None, "", what, "close each with its own bracket") from error
    except (ValueError, ArithmeticError) as error:
        raise FileFault(path, None, "", "a number is too long to read", "shorten it") from error


def dumps(document: Document) -> str:
    """The text of a document; what this wrote, read and written again, is the same byte for byte."""
    return tomli_w.dumps(document, multiline_strings=False)


def reason(error: BaseException) -> str:
    """What the system says of a failure, as part of a sentence."""
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return said[:1].lower() + said[1:]


def _not_read(path: Path, error: OSError | ValueError) -> FileFault:
    if isinstance(error, (FileNotFoundError, NotADirectoryError)):
        return FileFault(path, None, "", "there is no such file", "check the name and the folder")
    if isinstance(error, PermissionError):
        return FileFault(path, None, "", "may not be read", "give yourself the right to read it")
    if isinstance(error, OSError) and error.errno == errno.ELOOP:
        return FileFault(path, None, "", "is a link that leads back to itself", "name the file itself")
    return FileFault(path, None, "", f"cannot be read ({reason(error)})", "check the name and the disk")


def _not_toml(path: Path, text: str, message: str) -> FileFault:
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    if place and place[1]:
        line, column = int(place[1]), f" at column {place[2]}"
    else:
        line, column = text.rstrip().count("\n") + 1, " at the end of the file"
    what, mend = _in_words(said)
    here = [key for key, at in lines(text).items() if at == line]
    return FileFault(path, line, spelled(here[-1]) if here else "", what + column, mend)


def _in_words(said: str) -> tuple[str, str]:
    if said.startswith("Cannot declare "):
        named = said.removeprefix("Cannot declare ").removesuffix(" twice")
        try:
            table = f"[{spelled(ast.literal_eval(named))}]"
        except (ValueError, SyntaxError, TypeError):
            table = "this table"
        return f"{table} stands here for the second time", "join the two or give this one another name"
    for beginning, what, mend in _WORDS:
        if said.startswith(beginning):
            return what, mend
    return f"is not TOML ({said[:1].lower() + said[1:]})", "compare it with a file that opens"
