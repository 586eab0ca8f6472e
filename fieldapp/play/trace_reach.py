"""Reach and carry over a traced outline on a straight line from a tee. Twin: web/phone/geometry/trace_reach.js.

For the phone, which has the outline as a chain of vertices within 0.2 mm of the true curve. A chord cuts the curve off
by that much at most, so a line that meets it at an angle a finds it within 0.2 mm / sin a.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

SLOPE_STEP_M = 0.1


@dataclass(frozen=True)
class TraceReach:
    """Course metres from the tee along a line: to the first sand, and to where the last sand ends."""

    reach_m: float
    carry_m: float


@dataclass(frozen=True)
class EdgeSlopes:
    """Metres that the first sand and the end of the last sand lie farther or nearer per metre across the shot."""

    reach: float
    carry: float


def reach_over_trace(trace: ArrayLike, tee_xy: ArrayLike, through_xy: ArrayLike) -> TraceReach | None:
    """Return reach and carry over a closed trace `(M, 2)` on the line from a tee `(2,)` through a place `(2,)`.

    None when the line misses the outline, or where the place is the tee. A tee inside the sand has a reach of 0. A line
    that runs along an edge has that edge's two ends.
    """
    vertices, tee = np.asarray(trace, dtype=float), np.asarray(tee_xy, dtype=float)
    aim = np.asarray(through_xy, dtype=float) - tee
    length = math.sqrt(aim[0] ** 2 + aim[1] ** 2)
    if length == 0.0:
        return None
    along, side = _seen_from(np.vstack([vertices, vertices[:1]]) - tee, aim / length)
    ahead, behind = _crossings(along, side)
    if len(ahead) == 0:
        return None
    is_inside = behind % 2 == 1
    return TraceReach(0.0 if is_inside else float(ahead.min()), float(ahead.max()))


def edge_slopes(trace: ArrayLike, tee_xy: ArrayLike, through_xy: ArrayLike) -> EdgeSlopes | None:
    """Return how much farther reach and carry lie for each metre that a place `(2,)` is aside, the steeper side of it.

    Metres per metre, never below 0: 0 where an edge lies square to the shot, 1 where it is slanted by 45 degrees. Found
    0.1 m to either side, so that a corner counts by the steeper of its edges; a side on which the line misses the
    outline does not count. None when the line itself misses it.
    """
    tee, through = np.asarray(tee_xy, dtype=float), np.asarray(through_xy, dtype=float)
    own = reach_over_trace(trace, tee, through)
    if own is None:
        return None
    aim = through - tee
    aside = SLOPE_STEP_M * np.array([aim[1], -aim[0]]) / math.sqrt(aim[0] ** 2 + aim[1] ** 2)
    beside = [reach_over_trace(trace, tee, through + side * aside) for side in (-1, 1)]
    reaches = [abs(found.reach_m - own.reach_m) / SLOPE_STEP_M for found in beside if found]
    carries = [abs(found.carry_m - own.carry_m) / SLOPE_STEP_M for found in beside if found]
    return EdgeSlopes(max(reaches, default=0.0), max(carries, default=0.0))


def _seen_from(away: np.ndarray, unit: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return how far vertices `(M, 2)` lie along a line and to its right."""
    along = away[:, 0] * unit[0] + away[:, 1] * unit[1]
    return along, away[:, 0] * unit[1] - away[:, 1] * unit[0]


def _crossings(along: np.ndarray, side: np.ndarray) -> tuple[np.ndarray, int]:
    """Return the distances ahead at which the outline crosses the line or touches it, and the crossings behind.

    A vertex on the line counts as to its right, so that every crossing counts once; those that only touch the line are
    added as distances.
    """
    start, end = side[:-1], side[1:]
    crosses = (start >= 0) != (end >= 0)
    part = start[crosses] / (start[crosses] - end[crosses])
    met = along[:-1][crosses] + part * np.diff(along)[crosses]
    touched = along[side == 0]
    return np.concatenate([met[met >= 0], touched[touched >= 0]]), int(np.sum(met < 0))
