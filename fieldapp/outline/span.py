"""Span: how far a curve reaches in given directions from a place, exact on the true curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray


def unit_vectors(bearing_deg: ArrayLike) -> FloatArray:
    """Return unit vectors `(..., 2)` on course bearings `(...)`."""
    bearing = np.deg2rad(np.asarray(bearing_deg, dtype=float))
    return np.stack([np.sin(bearing), np.cos(bearing)], axis=-1)


def span_m(curve: Curve, from_xy: ArrayLike, bearing_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the least and the greatest distance `(N,)` of a curve from a place `(2,)`, measured in the directions
    of course bearings `(N,)` only; course metres, negative behind the place.

    A curve is farthest at a vertex of its steps or where a step turns back; both are looked at.
    """
    steps, forward = curve.steps, unit_vectors(bearing_deg)
    start = np.asarray(from_xy, dtype=float) - curve.pieces.origin
    ahead = (steps.vertices - start) @ forward.T
    least, greatest = ahead.min(axis=0), ahead.max(axis=0)
    every = np.arange(len(steps.piece))
    ray, step = (grid.ravel() for grid in np.meshgrid(np.arange(len(forward)), every, indexing="ij"))
    turned, u = steps.turns(step, forward[ray])
    ray, there = (
        ray[turned],
        np.sum((steps.position(step[turned], u) - start) * forward[ray[turned]], axis=-1),
    )
    np.minimum.at(least, ray, there)
    np.maximum.at(greatest, ray, there)
    return least, greatest
