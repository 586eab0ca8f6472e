"""On which line of a TOML text each key, table and list element stands, for messages about them.

The text must have been read without a mistake before: nothing is checked here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

Path = tuple[str | int, ...]
_TOKEN = re.compile(
    r"(?P<space>[ \t\r]+|\#[^\n]*)|(?P<line>\n)|(?P<sign>[\[\]{},=])"
    r'|(?P<text>"""(?:\\.|[^\\])*?"{3,5}|\'\'\'.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\')'
    r"|(?P<bare>[^\s\[\]{},=\"'#]+)",
    re.DOTALL,
)
_Token = tuple[str, str, int]


def lines_of(text: str) -> dict[Path, int]:
    """Return the line number of every path, such as `("bunker", 1, "outline", 0, "points", 3)`."""
    return _Walk(text).lines


class _Walk:
    """One walk through the tokens of a text."""

    def __init__(self, text: str) -> None:
        self.lines: dict[Path, int] = {(): 1}
        self._counts: dict[Path, int] = {}
        self._table: Path = ()
        self._tokens = [*_tokens(text), ("line", "\n", text.count("\n") + 1)]
        self._at = 0
        while self._at < len(self._tokens):
            self._statement()

    def _statement(self) -> None:
        kind, token, _ = self._tokens[self._at]
        if kind == "line":
            self._at += 1
        elif token == "[":
            self._header()
        else:
            self._key_and_value(self._table)

    def _header(self) -> None:
        start, line = self._at, self._tokens[self._at][2]
        while self._tokens[self._at][0] != "line":
            self._at += 1
        of_list = self._tokens[start + 1][1] == "["
        *parents, last = _key_parts(self._tokens[start : self._at])
        path: Path = ()
        for part in parents:
            path = self._standing((*path, part))
        path = (*path, last)
        if of_list:
            self._counts[path] = self._counts.get(path, -1) + 1
            self.lines.setdefault(path, line)
            path = (*path, self._counts[path])
        self._table = path
        self.lines[path] = line

    def _standing(self, path: Path) -> Path:
        return (*path, self._counts[path]) if path in self._counts else path

    def _key_and_value(self, table: Path) -> None:
        start = self._at
        while self._tokens[self._at][1] != "=":
            self._at += 1
        path = (*table, *_key_parts(self._tokens[start : self._at]))
        for depth in range(len(table) + 1, len(path) + 1):
            self.lines.setdefault(path[:depth], self._tokens[start][2])
        self._at += 1
        self._value(path)

    def _value(self, path: Path) -> None:
        _, token, line = self._tokens[self._at]
        self.lines.setdefault(path, line)
        self._at += 1
        if token in ("[", "{"):
            self._inside(path, token)

    def _inside(self, path: Path, opened: str) -> None:
        index = 0
        while (token := self._tokens[self._at])[1] not in ("]", "}"):
            if token[0] == "line" or token[1] == ",":
                self._at += 1
            elif opened == "{":
                self._key_and_value(path)
            else:
                self._value((*path, index))
                index += 1
        self._at += 1


def _tokens(text: str) -> Iterator[_Token]:
    line = 1
    for found in _TOKEN.finditer(text):
        kind, token = found.lastgroup or "", found.group()
        if kind != "space":
            yield kind, token, line
        line += token.count("\n")


def _key_parts(tokens: list[_Token]) -> list[str]:
    parts: list[str] = []
    for kind, token, _ in tokens:
        if kind == "text":
            parts.append(token[1:-1])
        elif kind == "bare":
            parts += [part for part in token.split(".") if part]
    return parts
