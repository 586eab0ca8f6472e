"""Spot levels that no neighbour bears out: a slip of the pen, such as 1193 for 11.93."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from fieldapp.model import SpotLevel

NEAR_M = 60.0
"""Course metres. Levels this near are neighbours: spot levels for building stand 5 to 25 m apart. A choice."""
STEEPEST_M = 10.0
"""Neighbours may differ by so much in level. A choice: where ground is steeper, somebody takes levels on it."""


@dataclass(frozen=True)
class LoneLevel:
    """A level, by its place in the list, that every neighbour differs from; `nearest` is the nearest of those."""

    index: int
    nearest: int
    apart_m: float


def lone_levels(levels: Sequence[SpotLevel]) -> Iterator[LoneLevel]:
    """Yield the levels that differ from every neighbour by more than `STEEPEST_M`; one without neighbours is not told.

    The nearest neighbour bears nearly all of them out, so only the others are held against all of theirs.
    """
    xy = np.array([(spot.x, spot.y) for spot in levels]).reshape(-1, 2)
    level_m = np.array([spot.level_m for spot in levels])
    places = shapely.points(xy)
    tree = shapely.STRtree(places)
    each, nearest = tree.query_nearest(places, exclusive=True, all_matches=False)
    near_enough = np.hypot(*(xy[each] - xy[nearest]).T) <= NEAR_M
    doubtful = near_enough & (np.abs(level_m[each] - level_m[nearest]) > STEEPEST_M)
    for index, other in zip(each[doubtful].tolist(), nearest[doubtful].tolist(), strict=True):
        near = tree.query(places[index], predicate="dwithin", distance=NEAR_M)
        around = near[near != index]
        if np.all(np.abs(level_m[around] - level_m[index]) > STEEPEST_M):
            yield LoneLevel(index, other, float(np.hypot(*(xy[index] - xy[other]))))
