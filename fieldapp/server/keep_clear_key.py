"""The key of the things to keep clear of on a plan: each kind with its line, and what is so called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.model import KEEP_CLEAR_KINDS, KeepClear


@dataclass(frozen=True)
class ThingKeyRow:
    """A kind on a plan, and in words which things of it."""

    kind: str
    words: str


@dataclass(frozen=True)
class ThingKey:
    """A plan's key of things; `caution` is what is said wherever a service is shown, "" where none is."""

    rows: tuple[ThingKeyRow, ...] = ()
    caution: str = ""


def thing_key(things: Sequence[KeepClear]) -> ThingKey:
    """Return the key of some things."""
    rows = []
    for kind in KEEP_CLEAR_KINDS:
        names = [thing.name or thing.id for thing in things if thing.kind == kind]
        if names:
            rows.append(ThingKeyRow(kind, f"{kind}: {', '.join(names)}"))
    return ThingKey(tuple(rows), LOCATE_FIRST if any(thing.is_service for thing in things) else "")
