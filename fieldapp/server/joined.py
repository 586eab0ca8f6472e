"""A page's modules as one file: a phone that starts without signal waits for each file, and there are dozens.

The modules stay as they are written; they are joined when they are asked for. Each becomes a function of its own
that gives what it exports, in the order in which they need each other. Only what our modules use is known here;
anything else (a default export, a top-level await, a dynamic import, a ring of imports) is refused by name.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from posixpath import dirname, join, normpath

from fieldapp.errors import FormatError

IMPORT = re.compile(r"^import (?:\{([^}]*)\}|\* as (\w+)) from '(\.[^']+)';$", re.MULTILINE)
EXPORT = re.compile(r"^export (?=(?:async )?function\*? (\w+)|const (\w+) =|class (\w+))", re.MULTILINE)
UNKNOWN = re.compile(r"^(?:import\b|export\b|await\b).*|\bimport\s*\(.*|\bimport\.meta\b.*", re.MULTILINE)
COMMENT = re.compile(r"/\*.*?\*/|(?<![:'\"`])//[^\n]*", re.DOTALL)

OWN_LINES = re.compile(r"^[ \t]*(?://[^\n]*|/\*\*.*?\*/[ \t]*)\n", re.DOTALL | re.MULTILINE)
"""Comments that fill lines of their own: a phone does not read them, and they are a fifth of what it loads."""


def join_modules(entry: str, read: Callable[[str], str]) -> str:
    """Return a module and all it imports as the text of one module; `read` gives the text of a name.

    Raises FormatError for a module that is written in a way that is not known here.
    """
    texts: dict[str, str] = {}
    _gather(entry, read, texts, ())
    names = {name: f"m{number}" for number, name in enumerate(texts)}
    exports = {name: _exports(text) for name, text in texts.items()}
    return "\n".join(_wrapped(name, text, names, exports) for name, text in texts.items())


def _gather(name: str, read: Callable[[str], str], texts: dict[str, str], above: tuple[str, ...]) -> None:
    """Add a module after all that it imports."""
    if name in above:
        raise FormatError(f"The modules {', '.join((*above, name))} import each other in a ring; untie them.")
    if name in texts:
        return
    text = read(name)
    for _, _, path in IMPORT.findall(text):
        _gather(_beside(name, path), read, texts, (*above, name))
    texts[name] = text


def _beside(name: str, path: str) -> str:
    return normpath(join(dirname(name), path))


def _exports(text: str) -> list[str]:
    return ["".join(found) for found in EXPORT.findall(text)]


def _wrapped(name: str, text: str, names: dict[str, str], exports: dict[str, list[str]]) -> str:
    def imported(found: re.Match[str]) -> str:
        wanted, whole, path = found.groups()
        other = _beside(name, path)
        if whole:
            return f"const {whole} = {names[other]};"
        pairs = [part.split(" as ") for part in re.split(r",\s*", wanted.strip().rstrip(","))]
        missing = [pair[0] for pair in pairs if pair[0] not in exports[other]]
        if missing:
            raise FormatError(
                f"{name} imports {', '.join(missing)} from {other}, which exports no such thing."
            )
        return f"const {{ {', '.join(': '.join(pair) for pair in pairs)} }} = {names[other]};"

    body = OWN_LINES.sub("", EXPORT.sub("", IMPORT.sub(imported, text)))
    strange = UNKNOWN.search(COMMENT.sub("", body))
    if strange:
        raise FormatError(
            f"{name} cannot be joined because of '{strange[0]}'; write it as the other modules do."
        )
    given = ", ".join(exports[name])
    return f"// {name}\nconst {names[name]} = (() => {{\n{body}\nreturn {{ {given} }};\n}})();\n"
