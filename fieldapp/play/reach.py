"""Reach and carry: how far a bunker's sand begins and ends on a straight line from a tee."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class ReachAndCarry:
    """Ground metres from the tee plate along the aim: to the first sand, and to where the last sand ends."""

    reach_m: float
    carry_m: float


def reach_and_carry(
    tee_xy: ArrayLike, aim_xy: ArrayLike, outline_xy: ArrayLike, ground_scale: float
) -> ReachAndCarry | None:
    """Return reach and carry over a closed outline `(M, 2)` on the ray from `tee_xy` through `aim_xy`.

    Course metres in, ground metres out (`ground_scale` ground metres per course metre). None when the ray misses the
    outline. A tee inside the outline has a reach of 0. The outline is taken as the polygon of its vertices.
    """
    tee, aim = np.asarray(tee_xy, dtype=float), np.asarray(aim_xy, dtype=float)
    sand = shapely.Polygon(np.asarray(outline_xy, dtype=float))
    direction = aim - tee
    length = float(np.hypot(*direction))
    if length == 0.0:
        return None
    far = length + float(np.max(np.hypot(*(np.asarray(outline_xy) - aim).T))) + 1.0
    ray = shapely.LineString([tee, tee + direction * (far / length)])
    crossed = shapely.get_coordinates(sand.intersection(ray))
    if len(crossed) == 0:
        return None
    distances = np.hypot(*(crossed - tee).T) * ground_scale
    return ReachAndCarry(float(distances.min()), float(distances.max()))
