"""Where each key of a TOML 1.0 text stands, also when the text is not quite TOML."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

KeyPath = tuple[str | int, ...]

# Paths deeper than this are not recorded (`where` then answers with the table above); it bounds the work on
# a text of nothing but brackets or dots. Values nested deeper than _UNREADABLE no TOML reader here accepts.
DEEPEST = 100
_UNREADABLE = 2000

_GAP = re.compile(r"[ \t\r]*+")
_BLANK = re.compile(r"[ \t\r\n]*+")
_COMMENT = re.compile(r"#[^\n]*+")
_REST = re.compile(r"[^#\n]*+")
_BARE = re.compile(r"""[^ \t\r\n=.,\[\]{}"'#]++""")
_ONE_LINE = re.compile(r'"(?:[^"\\\n]++|\\[^\n])*+"?' r"|'[^'\n]*+'?")
_STRING = re.compile(
    r'"""(?:[^"\\]++|\\[\s\S]|"(?!""))*+(?:"""(?:"{0,2}))?'
    r"|'''(?:[^']++|'(?!''))*+(?:'''(?:'{0,2}))?"
    r"|" + _ONE_LINE.pattern
)
_SCALAR = re.compile(r"[^,\[\]{}#\n]*+")
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|([btnfr\"\\]))")
_SHORT = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}
_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+")


def lines(text: str) -> Mapping[KeyPath, int]:
    """The 1-based line on which each key, table header and list item of `text` stands.

    A table that only follows from others (`a` in `[a.b]`) has the line of the first key or header that
    names it. Raises nothing: what cannot be read is passed over.
    """
    return _scanned(text).found


def comments(text: str) -> tuple[int, ...]:
    """The 1-based lines of `text` that hold a comment; a `#` within a string is none."""
    return tuple(_scanned(text).comments)


def where(mapping: Mapping[KeyPath, int], path: Sequence[str | int]) -> int:
    """The line of `path`, else of the nearest table or key above it that has one, else line 1."""
    for length in range(len(path), 0, -1):
        line = mapping.get(tuple(path[:length]))
        if line is not None:
            return line
    return 1


def spelled(path: Sequence[str | int]) -> str:
    """A key path as a reader of the file finds it, rows counted from 1: `casting.seat.lifts row 2 to`."""
    said = ""
    after_row = False
    for part in path:
        if isinstance(part, int):
            said += f" row {part + 1}"
        else:
            key = part if _PLAIN_KEY.fullmatch(part) else f'"{part}"'
            said += f" {key}" if after_row else f".{key}"
        after_row = isinstance(part, int)
    return said.lstrip(". ")


@dataclass
class _Open:
    """A list (with the index of its next item) or an inline table (index None) not yet closed."""

    path: KeyPath | None
    index: int | None


def _scanned(text: str) -> "_Scanner":
    scanner = _Scanner(text)
    scanner.run()
    return scanner


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 1 if text.startswith("\ufeff") else 0
        self.found: dict[KeyPath, int] = {}
        self.comments: list[int] = []
        self._implied: set[KeyPath] = set()
        self._rows: dict[KeyPath, int] = {}
        self._line = 1
        self._counted = 0

    def run(self) -> None:
        table: KeyPath | None = ()
        while self._next_token():
            if self.text[self.at] == "[":
                table = self._header()
            else:
                parts, line = self._key()
                path = self._named(table, parts, line)
                if parts and self._passed("="):
                    self._value(path)
            self._rest_of_line()

    def _line_here(self) -> int:
        self._line += self.text.count("\n", self._counted, self.at)
        self._counted = self.at
        return self._line

    def _skip(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:
            return ""
        self.at = match.end()
        return match[0]

    def _passed(self, character: str) -> bool:
        self._skip(_GAP)
        if self.text.startswith(character, self.at):
            self.at += 1
            return True
        return False

    def _next_token(self) -> bool:
        """Pass over blanks, line ends and comments; False at the end of the text."""
        while True:
            self._skip(_BLANK)
            if not self.text.startswith("#", self.at):
                return self.at < len(self.text)
            self._comment()

    def _comment(self) -> None:
        self.comments.append(self._line_here())
        self._skip(_COMMENT)

    def _rest_of_line(self) -> None:
        self._skip(_REST)
        if self.text.startswith("#", self.at):
            self._comment()

    def _key(self) -> tuple[list[str], int]:
        line = self._line_here()
        parts: list[str] = []
        while True:
            self._skip(_GAP)
            quoted = self._skip(_ONE_LINE)
            bare = "" if quoted else self._skip(_BARE)
            if not quoted and not bare:
                break
            parts.append(_unquoted(quoted) if quoted else bare)
            if not self._passed("."):
                break
        return parts, line

    def _record(self, path: KeyPath | None, line: int, *, implied: bool = False) -> None:
        if path is None:
            return
        if path not in self.found:
            self.found[path] = line
            if implied:
                self._implied.add(path)
        elif not implied and path in self._implied:
            self.found[path] = line
            self._implied.discard(path)

    def _named(self, base: KeyPath | None, parts: list[str], line: int) -> KeyPath | None:
        path = base
        for place, part in enumerate(parts, start=1):
            path = _deeper(path, part)
            if path is None:
                return None
            self._record(path, line, implied=place < len(parts))
        return path

    def _latest(self, path: KeyPath | None) -> KeyPath | None:
        """The last table of the list of tables at `path`, or `path` itself."""
        if path is None or path not in self._rows:
            return path
        return _deeper(path, self._rows[path] - 1)

    def _header(self) -> KeyPath | None:
        self.at += 1
        of_list = self.text.startswith("[", self.at)
        self.at += of_list
        parts, line = self._key()
        if not parts:
            return None
        path: KeyPath | None = ()
        for part in parts[:-1]:
            path = _deeper(path, part)
            self._record(path, line, implied=True)
            path = self._latest(path)
            if path is None:
                return None
        path = _deeper(path, parts[-1])
        if path is None:
            return None
        if of_list:
            self._record(path, line)
            self._rows[path] = self._rows.get(path, 0) + 1
        path = self._latest(path)
        self._record(path, line)
        return path

    def _value(self, path: KeyPath | None) -> None:
        nested: list[_Open] = []
        self._begin(path, nested)
        while nested and self._next_token():
            character = self.text[self.at]
            innermost = nested[-1]
            if character == ",":
                self.at += 1
            elif character in "]}":
                self.at += 1
                nested.pop()
            elif innermost.index is not None:
                item = _deeper(innermost.path, innermost.index)
                innermost.index += 1
                self._record(item, self._line_here())
                self._begin(item, nested)
            else:
                parts, line = self._key()
                member = self._named(innermost.path, parts, line)
                if not parts:
                    self.at += 1
                elif self._passed("="):
                    self._begin(member, nested)

    def _begin(self, path: KeyPath | None, nested: list[_Open]) -> None:
        self._skip(_GAP)
        character = self.text[self.at : self.at + 1]
        if len(nested) > _UNREADABLE:
            self.at = len(self.text)
        elif character in ("[", "{"):
            self.at += 1
            nested.append(_Open(path, 0 if character == "[" else None))
        elif character in ('"', "'"):
            self._skip(_STRING)
        else:
            self._skip(_SCALAR)


def _deeper(path: KeyPath | None, part: str | int) -> KeyPath | None:
    return None if path is None or len(path) >= DEEPEST else (*path, part)


def _unquoted(token: str) -> str:
    quote = token[0]
    body = token[1:-1] if len(token) > 1 and token.endswith(quote) else token[1:]
    return _ESCAPE.sub(_unescaped, body) if quote == '"' else body


def _unescaped(match: re.Match[str]) -> str:
    short, long, letter = match[1], match[2], match[3]
    if letter:
        return _SHORT[letter]
    code = int(short or long, 16)
    return chr(code) if code <= 0x10FFFF else match[0]
