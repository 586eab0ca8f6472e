"""Fewer points for lines of very many, and how far that moves them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from fieldapp.model import ControlPoint

FIRST_STEP_M = 0.001


@dataclass(frozen=True)
class Thinned:
    """The points that are left; all that were left out lie within `within_m` metres of the line through these."""

    points: tuple[ControlPoint, ...]
    within_m: float


def thinned(points: Sequence[ControlPoint], most: int, closed: bool) -> Thinned:
    """Leave out plain points until at most `most` are left, the least telling ones first.

    Points with a role stay, and so do their neighbours: they carry arcs and corners. What is left out is found by
    Douglas and Peucker's method with a distance that doubles from 1 mm (shapely's `simplify`). A line that cannot be
    thinned so far comes back as far as it could be.
    """
    if len(points) <= most:
        return Thinned(tuple(points), 0.0)
    held = _held(points, closed)
    within_m = FIRST_STEP_M
    kept = _simplified(points, held, within_m)
    while len(kept) > max(most, int(held.sum())) and within_m < 1_000.0:
        within_m *= 2
        kept = _simplified(points, held, within_m)
    return Thinned(tuple(points[at] for at in kept), within_m)


def _held(points: Sequence[ControlPoint], closed: bool) -> np.ndarray:
    """Tell `(N,)` which points stay whatever happens: the ends, points with a role, and their neighbours."""
    told = np.array([point.role != "plain" for point in points])
    held = told | np.roll(told, 1) | np.roll(told, -1)
    held[[0, -1]] = True
    if closed:
        held[len(points) // 2] = True
    return np.asarray(held)


def _simplified(points: Sequence[ControlPoint], held: np.ndarray, within_m: float) -> list[int]:
    """Return the indices of the points that stay, simplifying each stretch between two that are held."""
    kept: list[int] = []
    stays = np.flatnonzero(held)
    for start, end in pairwise(stays):
        kept.append(int(start))
        if end - start < 2:
            continue
        stretch = [(points[at].x, points[at].y) for at in range(start, end + 1)]
        left = shapely.get_coordinates(shapely.simplify(shapely.LineString(stretch), within_m, False))
        places = {place: start + at for at, place in reversed(list(enumerate(stretch)))}
        kept += [int(places[x, y]) for x, y in left[1:-1]]
    kept.append(int(stays[-1]))
    return sorted(set(kept))
