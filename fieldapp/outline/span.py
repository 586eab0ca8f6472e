"""Span: how far a curve reaches in given directions from a place, exact on the true curve."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.steps import STEP_SAGITTA_M


def unit_vectors(bearing_deg: ArrayLike) -> FloatArray:
    """Return unit vectors `(..., 2)` on course bearings `(...)`."""
    bearing = np.deg2rad(np.asarray(bearing_deg, dtype=float))
    return np.stack([np.sin(bearing), np.cos(bearing)], axis=-1)


def span_m(curve: Curve, from_xy: ArrayLike, bearing_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the least and the greatest distance `(N,)` of a curve from places `(2,)` or `(N, 2)`, measured in the
    directions of course bearings `(N,)` only; course metres, negative behind the place.

    A curve is farthest at a vertex of its steps or where a step turns back; only steps that come within the sagitta of
    the farthest vertex can be further.
    """
    steps, forward = curve.steps, unit_vectors(bearing_deg)
    ahead = forward[:, :1] * steps.vertices[:, 0] + forward[:, 1:] * steps.vertices[:, 1]
    least, greatest = ahead.min(axis=1), ahead.max(axis=1)
    outer = (ahead >= greatest[:, np.newaxis] - STEP_SAGITTA_M) | (
        ahead <= least[:, np.newaxis] + STEP_SAGITTA_M
    )
    ray, step = np.nonzero(outer[:, 1:] | outer[:, :-1])
    turned, u = steps.turns(step, forward[ray])
    ray, step = ray[turned], step[turned]
    there = steps.toward(step, forward[ray]).value_and_slope(u)[0]
    np.minimum.at(least, ray, there)
    np.maximum.at(greatest, ray, there)
    start = np.sum((np.asarray(from_xy, dtype=float) - curve.pieces.origin) * forward, axis=-1)
    return least - start, greatest - start
