"""Things to keep clear of: what lies in the ground, and what play or a tree's roots need left alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

KeepClearKind = Literal["irrigation", "drain", "cable", "pipe", "fairway edge", "tree", "other"]
KEEP_CLEAR_KINDS: tuple[str, ...] = ("irrigation", "drain", "cable", "pipe", "fairway edge", "tree", "other")
SERVICES: tuple[str, ...] = ("irrigation", "drain", "cable", "pipe")
"""Kinds that lie in the ground: a drawing of one is no detection, it is located before anybody digs."""
Extent = Literal["point", "line", "area"]
EXTENTS: tuple[str, ...] = ("point", "line", "area")
LEAST_POINTS: dict[str, int] = {"point": 1, "line": 2, "area": 3}


@dataclass(frozen=True)
class KeepClear:
    """A thing to keep clear of, as it is drawn: `points` are course metres, joined by straight lines.

    An area is closed and whatever lies in it is 0 m away. `clearance_m` is how far to stay from it, ground metres.
    """

    id: str
    kind: KeepClearKind
    name: str
    extent: Extent
    points: tuple[tuple[float, float], ...]
    clearance_m: float
    note: str = ""

    @property
    def is_service(self) -> bool:
        """Whether it lies in the ground, so that it has to be located before anybody digs."""
        return self.kind in SERVICES
