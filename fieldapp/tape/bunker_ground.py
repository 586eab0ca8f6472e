"""The ground about a bunker as pegs find it: its dig, what they must keep off, its own axes. Ground metres."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.model import Site
from fieldapp.outline.laid_out import LaidOutBunker
from fieldapp.play.ground import ground_between
from fieldapp.play.steep_ground import steep_triangles
from fieldapp.tape.baseline import chainage_and_offset, point_at
from fieldapp.tape.bunker_points import BunkerPoints
from fieldapp.tape.peg_places import OutlineOnGround, PegGround

FloatArray = NDArray[np.float64]

MARGIN_M = 3.0
"""How far outside the dig pegs stand: common practice, no source."""
GREEN_M = 15.0
"""Pegs keep so far off the middle of a green, of which the edge is not known: a choice."""
TEE_M = 5.0
"""And so far off a tee plate: a choice."""
NEAR_M = 150.0
"""What lies further off than this from a bunker does not matter for its pegs."""
CORNERS = 24
TRACE_M = 0.02


def bunker_ground(
    site: Site, bunkers: Sequence[LaidOutBunker], points: BunkerPoints, margin_m: float = MARGIN_M
) -> PegGround:
    """Return the ground that the pegs of a bunker are driven in; `bunkers` are all of the site.

    Pegs must keep out of other bunkers and of what is built beside them, off greens and tee plates; they had better
    keep off fairways, where they are mown over, and off steep ground.
    """
    scale, own = points.scale, points.laid_out
    others = [bunker for bunker in bunkers if bunker.bunker.id != own.bunker.id]
    triangles = steep_triangles(ground_between(site.spot_levels, scale), scale) * scale
    return PegGround(
        outlines=[
            OutlineOnGround(outline.curve.trace(TRACE_M / scale) * scale, outline.curve.closed)
            for outline in own.outlines
        ],
        margin_m=margin_m,
        keep_out=[ring for ring in _greens_and_tees(site, scale) if _is_near(ring, points)],
        other_digs=[ring for ring in _digs(others, scale) if _is_near(ring, points)],
        fairways=[ring for ring in _fairways(site, scale) if _is_near(ring, points)],
        steep=[ring for ring in triangles if _is_near(ring, points)],
    )


def along_and_offset(points: BunkerPoints, xy: ArrayLike) -> FloatArray:
    """Return places `(..., 2)` along the play from the bunker's middle and aside of it, right positive `(..., 2)`."""
    return chainage_and_offset(xy, *_axis(points))


def place_at(points: BunkerPoints, along_m: float, offset_m: float) -> FloatArray:
    """Return the place `(2,)` so far along the play from the bunker's middle and so far to the right of it."""
    return point_at(along_m, offset_m, *_axis(points))


def _axis(points: BunkerPoints) -> tuple[FloatArray, FloatArray]:
    """Return the bunker's middle and the place a metre along the play from it."""
    bearing = math.radians(points.laid_out.play_bearing_deg)
    middle = np.array(points.laid_out.middle) * points.scale
    return middle, middle + np.array([math.sin(bearing), math.cos(bearing)])


def _digs(bunkers: Sequence[LaidOutBunker], scale: float) -> Iterator[FloatArray]:
    for bunker in bunkers:
        for outline in bunker.outlines:
            if outline.curve.closed:
                yield outline.curve.trace(TRACE_M / scale) * scale


def _greens_and_tees(site: Site, scale: float) -> Iterator[FloatArray]:
    for hole in site.holes:
        yield _round((hole.green_x * scale, hole.green_y * scale), GREEN_M)
    for tee in site.tees:
        yield _round((tee.x * scale, tee.y * scale), TEE_M)


def _fairways(site: Site, scale: float) -> Iterator[FloatArray]:
    for hole in site.holes:
        if hole.fairway:
            yield np.array(hole.fairway) * scale


def _round(middle: tuple[float, float], radius_m: float) -> FloatArray:
    turn = np.arange(CORNERS) * 2 * math.pi / CORNERS
    return np.asarray(np.array(middle) + radius_m * np.stack([np.cos(turn), np.sin(turn)], axis=1))


def _is_near(ring: FloatArray, points: BunkerPoints) -> bool:
    low, high = points.xy.min(axis=0) - NEAR_M, points.xy.max(axis=0) + NEAR_M
    return bool((ring.max(axis=0) >= low).all() and (ring.min(axis=0) <= high).all())
