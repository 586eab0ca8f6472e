"""Fewer points for lines of very many, and how far that moves the line."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from fieldapp.model import ControlPoint
from fieldapp.outline.curve import Curve

Stretch = tuple[float, int, int, int]


def thinned(points: Sequence[ControlPoint], most: int, closed: bool) -> tuple[ControlPoint, ...]:
    """Keep at most `most` points, each time the one that lies farthest from the line through those kept so far.

    That is Douglas and Peucker's division of a line, farthest stretch first. Points with a role stay, and so do their
    neighbours, since they carry arcs and corners, even where those are more.
    """
    if len(points) <= most:
        return tuple(points)
    xy = np.array([(point.x, point.y) for point in points])
    kept = _held(points, closed)
    stretches = [_stretch(xy, start, end) for start, end in pairwise(sorted(kept))]
    heapq.heapify(stretches)
    while len(kept) < most and stretches[0][0] < 0.0:
        _, start, end, farthest = heapq.heappop(stretches)
        kept.add(farthest)
        for part in ((start, farthest), (farthest, end)):
            heapq.heappush(stretches, _stretch(xy, *part))
    return tuple(points[at] for at in sorted(kept))


def farthest_m(points: Sequence[ControlPoint], curve: Curve) -> float:
    """Return how far the farthest of some points lies from a curve, course metres, to half a millimetre."""
    line = shapely.LineString(curve.trace(0.0005))
    shapely.prepare(line)
    return float(shapely.distance(shapely.points([(point.x, point.y) for point in points]), line).max())


def _held(points: Sequence[ControlPoint], closed: bool) -> set[int]:
    """Return which points stay whatever happens: the ends, points with a role, and their neighbours."""
    last = len(points) - 1
    held = {0, last, *([len(points) // 2] if closed else [])}
    for at, point in enumerate(points):
        if point.role != "plain":
            held |= {max(at - 1, 0), at, min(at + 1, last)}
    return held


def _stretch(xy: NDArray[np.float64], start: int, end: int) -> Stretch:
    """Return the point between two that lies farthest from the line between them: minus how far, ends, which."""
    if end - start < 2:
        return 0.0, start, end, start
    between, along = xy[start + 1 : end] - xy[start], xy[end] - xy[start]
    length2 = float(along @ along)
    share = np.clip(between @ along / length2, 0.0, 1.0) if length2 > 0.0 else np.zeros(len(between))
    away = np.hypot(*(between - share[:, np.newaxis] * along).T)
    farthest = int(np.argmax(away))
    return -float(away[farthest]), start, end, start + 1 + farthest
