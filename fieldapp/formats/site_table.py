"""One table of a site file, read key by key: what is wrong is noted, a stand-in lets the reading go on."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from fieldapp.formats.lengths import METRE, METRES_PER_SUFFIX, to_metres
from fieldapp.formats.site_mistakes import Findings, did_you_mean, shown
from fieldapp.formats.toml_lines import Path

LARGEST = 1e9
ID_RULE = "[A-Za-z0-9][A-Za-z0-9_-]{0,47}"
"""What may be called so in an address and a list."""
_ID = re.compile(ID_RULE)
ID_REMEDY = "use up to 48 letters a to z, figures, hyphens and underscores, such as '4-right'"
_TOP_KEYS = ("note", "spot_levels", "format", "version")


def is_id(value: str) -> bool:
    """Whether something may be called so: short enough for an address and a list."""
    return _ID.fullmatch(value) is not None


class Table:
    """A table and how much of it has been read.

    `factor` is metres per unit of the course coordinates. `failed` says that something in it could not be
    used; the values returned then are stand-ins.
    """

    def __init__(
        self, findings: Findings, content: dict[str, Any], path: Path = (), factor: Fraction = METRE
    ) -> None:
        self.findings = findings
        self.path = path
        self.factor = factor
        self.failed = False
        self._content = content
        self._asked: set[str] = set()
        self._lengths: set[str] = set()
        self._missing: dict[str, tuple[str, str]] = {}

    def fail(self, key: str | None, what: str, remedy: str) -> None:
        """Note a mistake at a key, or at the whole table, which cannot be used for it."""
        self.failed = True
        self.findings.add(self.path if key is None else (*self.path, key), what, remedy)

    def miss(self, name: str, what: str, remedy: str) -> None:
        """Note at the end that a key is missing, unless some unknown key was meant for it."""
        self.failed = True
        self._missing[name] = (what, remedy)

    def has(self, key: str) -> bool:
        """Tell whether a key is given, in any unit that a length may be given in."""
        self._asked.add(key)
        return key in self._content

    def raw(self, key: str) -> Any:
        """Return a value as it stands, None if it is not there."""
        self._asked.add(key)
        return self._content.get(key)

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text; without a default it must be there and not be empty."""
        value = self._value(key, default, '"…"')
        if value is None:
            return ""
        if not isinstance(value, str):
            self.fail(key, f"the value is {shown(value)} and not a text", f'write {key} = "…" in quotes')
            return ""
        if default is None and not value.strip():
            self.fail(key, "the text is empty", "write something between the quotes")
        if any(unicodedata.category(letter) in ("Cc", "Cs") and letter not in "\n\t" for letter in value):
            self.fail(key, "the text holds a control character", "take it out")
        return value

    def id(self, key: str = "id") -> str:
        """Return an id: short enough for an address and a list."""
        value = self.text(key)
        if value and not is_id(value):
            self.fail(
                key,
                f"the id {shown(value)} cannot stand in an address",
                ID_REMEDY,
            )
        return value

    def choice(self, key: str, options: Sequence[str], default: str | None = None) -> str:
        """Return one of some words."""
        value = self._value(key, default, f'"{options[0]}"')
        if value is None:
            return options[0]
        if isinstance(value, str) and value in options:
            return value
        meant = did_you_mean(value, options) if isinstance(value, str) else None
        self.fail(
            key,
            f"{shown(value)} is not known here",
            f"did you mean '{meant}'?" if meant else f"write {_or(options)}",
        )
        return options[0]

    def flag(self, key: str, default: bool) -> bool:
        """Return true or false."""
        value = self._value(key, default, "true")
        if not isinstance(value, bool):
            self.fail(
                key, f"the value is {shown(value)}", f"write {key} = true or {key} = false, without quotes"
            )
            return default
        return value

    def whole(self, key: str) -> int:
        """Return a whole number from 1 up."""
        value = self._value(key, None, "1")
        if value is None:
            return 0
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 999:
            self.fail(key, f"the value is {shown(value)}", "write a whole number from 1 to 999")
            return 0
        return value

    def number(
        self, key: str, default: float | None = None, low: float = -LARGEST, high: float = LARGEST
    ) -> float:
        """Return a number between two others."""
        return self._measured(key, default, METRE, low, high)

    def optional_number(self, key: str, low: float = -LARGEST, high: float = LARGEST) -> float | None:
        """Return a number, None if the key is not there."""
        return self.number(key, low=low, high=high) if self.has(key) else None

    def length(
        self, name: str, default: float | None = None, low: float = -LARGEST, high: float = LARGEST
    ) -> float:
        """Return a length in metres, given as `name_m`, `name_yd` or `name_ft`; limits in metres."""
        self._lengths.add(name)
        keys = [f"{name}_{suffix}" for suffix in METRES_PER_SUFFIX]
        given = [key for key in keys if self.has(key)]
        if len(given) > 1:
            self.fail(given[1], f"the same length stands as {_or(given, 'and')}", "keep one of them")
        if not given and default is not None:
            return default
        if not given:
            self.miss(name, f"{_or(keys)} is missing", f"add a line such as {keys[0]} = 1.0")
            return 1.0
        suffix = given[0].rpartition("_")[2]
        return self._measured(given[0], None, METRES_PER_SUFFIX[suffix], low, high)

    def optional_length(self, name: str, low: float = -LARGEST, high: float = LARGEST) -> float | None:
        """Return a length in metres, None if it is not there in any unit."""
        self._lengths.add(name)
        given = [self.has(f"{name}_{suffix}") for suffix in METRES_PER_SUFFIX]
        return self.length(name, low=low, high=high) if any(given) else None

    def coordinate(self, key: str, default: float | None = None) -> float:
        """Return a course coordinate in metres."""
        return self._measured(key, default, self.factor, -LARGEST, LARGEST)

    def table(self, key: str, header: str) -> Table | None:
        """Return a table inside this one, None if it is not there; a mistake in it is one here too."""
        value = self.raw(key)
        if value is None or isinstance(value, dict):
            return None if value is None else Table(self.findings, value, (*self.path, key), self.factor)
        self.fail(key, f"'{key}' is {shown(value)} and not a table", f"write one [{header}], single brackets")
        return None

    def tables(self, key: str, header: str) -> list[Table]:
        """Return the tables of a list, empty if it is not there."""
        value = [] if self.raw(key) is None else self.raw(key)
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.fail(
                key, f"'{key}' is not a list of tables", f"write [[{header}]], double brackets, over each"
            )
            return []
        return [
            Table(self.findings, item, (*self.path, key, index), self.factor)
            for index, item in enumerate(value)
        ]

    def end(self) -> None:
        """Note every key that nobody has asked for, and what is missing unless such a key was meant for it."""
        for key in self._content:
            if key in self._asked:
                continue
            meant = key if key in self._lengths else did_you_mean(key, sorted(self._asked))
            self.findings.add((*self.path, key), "this is not known here", self._remedy(key, meant))
            self._missing.pop(meant or "", None)
            self._missing.pop((meant or "").rpartition("_")[0], None)
        for what, remedy in self._missing.values():
            self.findings.add(self.path, what, remedy)

    def _remedy(self, key: str, meant: str | None) -> str:
        if meant == key:
            return f"a length says its unit: write {_or([f'{key}_{suffix}' for suffix in METRES_PER_SUFFIX])}"
        if self.path and key in _TOP_KEYS:
            return "it belongs at the top of the file, above the first line in brackets"
        return f"did you mean '{meant}'?" if meant else "take it out, or put # before it"

    def _value(self, key: str, default: Any, example: str) -> Any:
        value = self.raw(key)
        if value is None and default is None:
            self.miss(key, f"the key '{key}' is missing", f"add a line such as {key} = {example}")
        return default if value is None else value

    def _measured(self, key: str, default: float | None, factor: Fraction, low: float, high: float) -> float:
        value = self.raw(key)
        if value is None and default is not None:
            return default
        if value is None:
            self.miss(key, f"the key '{key}' is missing", f"add a line such as {key} = 0.0")
            return 0.0
        fault = number_fault(value)
        if fault:
            self.fail(key, *fault)
            return 0.0
        measured = to_metres(value, factor)
        if not low <= measured <= high:
            self.fail(key, f"{value} is {_bound(low, high, measured, factor)}", "correct it or its unit")
        return measured


def number_fault(value: object) -> tuple[str, str] | None:
    """Return what keeps a value of a file from being a number to reckon with, and what to do; None if nothing
    does.
    """
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return f"the value is {shown(value)} and not a number", "write figures such as 12.5, without quotes"
    if not Decimal(value).is_finite():
        return f"the value is {value} and not a number to reckon with", "write figures such as 12.5"
    if abs(Decimal(value)) > LARGEST:
        return f"the value {shown(value)} is far too large", "correct it"
    return None


def _bound(low: float, high: float, measured: float, factor: Fraction) -> str:
    if measured < low:
        return f"too small, the least is {low / float(factor):g}"
    return f"too large, the most is {high / float(factor):g}"


def _or(words: Sequence[str], between: str = "or") -> str:
    quoted = [word if "_" in word else f"'{word}'" for word in words]
    return f"{', '.join(quoted[:-1])} {between} {quoted[-1]}" if len(quoted) > 1 else quoted[0]
