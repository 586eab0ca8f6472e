"""The mistakes of a site folder, collected with the place of each: file, line, and whose key it is."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from typing import Any

from fieldapp.errors import FieldappError, Mistake, SiteFolderError
from fieldapp.formats.toml_lines import Path

SITE_FILE = "site.toml"
_NAMED_BY = {"hole": "number", "tee": "id", "peg": "id", "bunker": "id", "outline": "id"}
_LISTED = {
    "points": "point", "turning_points": "turning point", "fairway": "fairway corner", "spot_levels": "spot level",
}  # fmt: skip


class Findings:
    """What is wrong in one site folder; nothing is raised before everything has been looked at."""

    def __init__(self, document: Mapping[str, Any], lines: Mapping[Path, int]) -> None:
        self.document = document
        self._lines = lines
        self._found: list[tuple[int, Path, Mistake]] = []
        self._paths: dict[int, Path] = {}
        self._in_files: dict[int, str] = {}

    def add(self, path: Path, what: str, remedy: str) -> None:
        """Note a mistake at a path of site.toml."""
        line = self.line(path)
        where = ", ".join([f"{SITE_FILE} line {line}", *_labels(self.document, path)])
        self._note(line, path, Mistake(where, what, remedy))

    def add_in_file(self, path: Path, where: str, what: str, remedy: str) -> None:
        """Note a mistake in a file that site.toml names at `path`."""
        self._note(self.line(path), path, Mistake(where, what, remedy))

    def add_refusal(self, path: Path, error: FieldappError, otherwise: str = "correct it") -> None:
        """Note what the core refused: its sentence is cut into what is wrong and what to do.

        `otherwise` is what to do where the sentence does not say it.
        """
        what, _, remedy = str(error).rstrip(".").rpartition("; ")
        self.add(path, _as_part(what or remedy), remedy if what else otherwise)

    def add_of(self, thing: object, what: str, remedy: str) -> None:
        """Note a mistake of a thing that was read, in the file where it stands."""
        path, in_file = self.path_of(thing), self._in_files.get(id(thing))
        if in_file is None:
            self.add(path, what, remedy)
        else:
            self.add_in_file(path, in_file, what, remedy)

    def locate(self, thing: object, path: Path, in_file: str | None = None) -> None:
        """Keep where a thing that was read stands; it must live as long as these findings are asked.

        `in_file` is its file and line where that is a file that site.toml names at `path`.
        """
        self._paths[id(thing)] = path
        if in_file is not None:
            self._in_files[id(thing)] = in_file

    def path_of(self, thing: object) -> Path:
        """Return where a thing that was read stands."""
        return self._paths[id(thing)]

    def name_of(self, thing: object) -> str:
        """Return in words where a thing that was read stands, for a mistake that speaks of two."""
        return self._in_files.get(id(thing)) or _labels(self.document, self.path_of(thing))[-1]

    @property
    def mistakes(self) -> tuple[Mistake, ...]:
        """All mistakes in the order of the file."""
        return tuple(mistake for _, mistake in self.located)

    @property
    def located(self) -> tuple[tuple[Path, Mistake], ...]:
        """All mistakes in the order of the file, each with the path it was noted at."""
        return tuple((path, mistake) for _, path, mistake in sorted(self._found, key=lambda found: found[0]))

    def raise_if_any(self) -> None:
        """Raise SiteFolderError with every mistake, if there is one."""
        if self._found:
            raise SiteFolderError(self.mistakes)

    def _note(self, line: int, path: Path, mistake: Mistake) -> None:
        if all(mistake != known for _, _, known in self._found):
            self._found.append((line, path, mistake))

    def line(self, path: Path) -> int:
        """Return the line of a path, or of what holds it."""
        while path not in self._lines:
            path = path[:-1]
        return self._lines[path]


def did_you_mean(given: str, known: Iterable[str]) -> str | None:
    """Return what somebody probably meant."""
    close = difflib.get_close_matches(given.lower(), list(known), n=1, cutoff=0.6)
    return close[0] if close else None


def shown(value: object) -> str:
    """Return a value from a file as a person may recognise it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value if len(value) <= 40 else value[:39] + '…'}'"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    return "a table" if isinstance(value, dict) else str(value)[:40]


def _labels(document: Mapping[str, Any], path: Path) -> list[str]:
    """Return in words whose path it is: "bunker '4-right'", "outline 'sand'", "point 5", "key 'revison'"."""
    labels: list[str] = []
    content: Any = document
    for depth, step in enumerate(path):
        before = path[depth - 1] if depth else ""
        content = _inside(content, step)
        if isinstance(step, int):
            labels.append(_one_of(str(before), step, content))
        elif depth == len(path) - 1 and not isinstance(content, dict):
            labels.append(f"key '{step}'")
        elif isinstance(content, dict):
            labels.append(step)
    return labels


def _inside(content: Any, step: str | int) -> Any:
    try:
        return content[step]
    except (KeyError, IndexError, TypeError):
        return None


def _one_of(kind: str, index: int, content: Any) -> str:
    name = content.get(_NAMED_BY.get(kind, "")) if isinstance(content, dict) else None
    if isinstance(name, str):
        return f"{kind} '{name}'"
    return f"{_LISTED.get(kind, kind)} {name if isinstance(name, int) else index + 1}"


def _as_part(sentence: str) -> str:
    """Return a sentence as part of another: its first letter small, unless it is a name such as PROJ."""
    return sentence if sentence[1:2].isupper() else sentence[:1].lower() + sentence[1:]
