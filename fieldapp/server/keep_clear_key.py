"""The key of the things to keep clear of on a plan: each kind with its line, and what is so called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldapp.formats.keep_clear import LOCATE_FIRST
from fieldapp.model import KEEP_CLEAR_KINDS, KeepClear


@dataclass(frozen=True)
class ThingKeyRow:
    """A kind on a plan, and in words which things of it; `are_points` says that all of them are drawn as points."""

    kind: str
    words: str
    are_points: bool


@dataclass(frozen=True)
class ThingKey:
    """A plan's key of things; `caution` is what is said wherever a service is shown, "" where none is."""

    rows: tuple[ThingKeyRow, ...] = ()
    caution: str = ""


def thing_key(things: Sequence[KeepClear]) -> ThingKey:
    """Return the key of some things."""
    rows = []
    for kind in KEEP_CLEAR_KINDS:
        alike = [thing for thing in things if thing.kind == kind]
        if alike:
            names = ", ".join(thing.name or thing.id for thing in alike)
            are_points = all(thing.extent == "point" for thing in alike)
            rows.append(ThingKeyRow(kind, f"{kind}: {names}", are_points))
    return ThingKey(tuple(rows), LOCATE_FIRST if any(thing.is_service for thing in things) else "")
