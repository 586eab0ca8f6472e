"""What lies near a bunker: things to keep clear of, and pegs."""

from __future__ import annotations

import numpy as np
import shapely

from fieldapp.model import Peg, Site
from fieldapp.model.keep_clear import KeepClear
from fieldapp.outline.clearance import nearnesses
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.outline.pieces import FloatArray

TRACE_M = 0.01


def things_near(
    site: Site, bunker: LaidOutBunker, within_m: float, ground_scale: float
) -> tuple[KeepClear, ...]:
    """Return what is to be kept clear of and comes nearer to a bunker than `within_m`, in the order of the site.

    Ground metres; `ground_scale` is ground metres per course metre.
    """
    near = {
        one.thing.id
        for one in nearnesses(bunker, site.keep_clear, ground_scale)
        if one.distance_m <= within_m
    }
    return tuple(thing for thing in site.keep_clear if thing.id in near)


def pegs_near(site: Site, bunker: LaidOutBunker, within_m: float, ground_scale: float) -> tuple[Peg, ...]:
    """Return the pegs that stand nearer to a bunker's outlines than `within_m`, ground metres."""
    outlines = shapely.MultiLineString([outline.curve.vertices(TRACE_M) for outline in bunker.outlines])
    away = [
        float(shapely.distance(outlines, shapely.Point(peg.x, peg.y))) * ground_scale for peg in site.pegs
    ]
    return tuple(peg for peg, away_m in zip(site.pegs, away, strict=True) if away_m <= within_m)


def ring_of(thing: KeepClear) -> FloatArray:
    """Return the corners of a line `(N, 2)`, or of an area all round it, clockwise, `(N + 1, 2)`; course metres."""
    corners = np.array(thing.points)
    if thing.extent != "area":
        return corners
    ring = np.concatenate([corners, corners[:1]])
    return ring[::-1] if shapely.is_ccw(shapely.LinearRing(ring)) else ring
