"""Paint points: the numbered points along an outline that are sprayed on the ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.errors import OutlineError
from fieldapp.outline.curve import Curve, first_nearest
from fieldapp.outline.pieces import FloatArray

MOST_POINTS = 20_000
"""More paint points than this on one outline are taken for a slip in the spacing."""
TRACE_SHARE = 0.02
"""The trace against which chords are judged is finer than the sagitta by this; what it leaves out is added
on.
"""


@dataclass(frozen=True, eq=False)
class PaintPoints:
    """Paint points `(N, 2)` in course metres and their chainages `(N,)` from the first; index 0 is number 1.

    `start_m` is the curve's own chainage of number 1. An open outline whose far end is nearer runs backwards:
    then `start_m` is its length. `Curve.trace(sagitta_m, start_m)` runs the same way as the numbers.
    """

    xy: FloatArray
    chainage_m: FloatArray
    start_m: float = 0.0


def paint_points(curve: Curve, start_near: ArrayLike, spacing_m: float, sagitta_m: float) -> PaintPoints:
    """Return the paint points of an outline; lengths in course metres.

    Every corner and every end of an open outline has a point. Between them the points stand evenly, no
    further apart along the curve than `spacing_m`; an interval whose chord leaves the curve by more than
    `sagitta_m` is halved until it does not. A closed outline without corners has a point where it is nearest
    to `start_near`. Number 1 is the point nearest to `start_near`; numbers run clockwise round a closed
    outline, and from that end along an open one. Raises OutlineError for a spacing or sagitta that is not
    above 0, or far too small.
    """
    for name, given_m, least_m in (("spacing", spacing_m, 0.01), ("sagitta", sagitta_m, 0.0001)):
        if not given_m >= least_m:
            raise OutlineError(
                f"The {name} of paint points is {given_m:g} m; it must be at least {least_m:g} m."
            )
    near = np.asarray(start_near, dtype=float)
    chainage = _within_sagitta(curve, _even(_stops(curve, near), spacing_m), sagitta_m)
    return _numbered_round(curve, chainage, near) if curve.closed else _numbered_along(curve, chainage, near)


def chord_sagittas_m(
    points: FloatArray, points_m: FloatArray, trace: FloatArray, trace_m: FloatArray
) -> FloatArray:
    """Return how far a traced curve leaves each chord between successive points on it, `(N - 1,)`.

    Points `(N, 2)` and trace `(M, 2)` come with their chainages `(N,)` and `(M,)` from one start. For a
    circular arc of radius r over a chord c this is r - sqrt(r^2 - c^2/4). What the trace leaves out is not in
    it.
    """
    interval = np.clip(np.searchsorted(points_m, trace_m, side="right") - 1, 0, len(points) - 2)
    start, chord = points[interval], np.diff(points, axis=0)[interval]
    square = np.maximum(np.sum(chord**2, axis=1), 1e-300)
    share = np.clip(np.sum((trace - start) * chord, axis=1) / square, 0.0, 1.0)
    away = np.hypot(*(trace - start - share[:, np.newaxis] * chord).T)
    largest = np.zeros(len(points) - 1)
    np.maximum.at(largest, interval, away)
    return largest


def _stops(curve: Curve, near: FloatArray) -> FloatArray:
    if not curve.closed:
        return np.concatenate([[0.0], curve.corners_m, [curve.length_m]])
    fixed = curve.corners_m if len(curve.corners_m) else np.array([curve.nearest_m(near)])
    return np.append(fixed, fixed[0] + curve.length_m)


def _even(stops_m: FloatArray, spacing_m: float) -> FloatArray:
    """Divide each stretch evenly; a billionth over the spacing is rounding, no reason for one more."""
    shares = np.ceil(np.diff(stops_m) / spacing_m * (1 - 1e-9))
    _check_count(shares.sum(), spacing_m)
    count = np.maximum(shares, 1).astype(np.intp)
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    between = np.repeat(stops_m[:-1], count) + np.repeat(np.diff(stops_m) / count, count) * step
    return np.append(between, stops_m[-1])


def _within_sagitta(curve: Curve, chainage_m: FloatArray, sagitta_m: float) -> FloatArray:
    start_m, left_out_m = (chainage_m[0] if curve.closed else 0.0), sagitta_m * TRACE_SHARE
    trace, trace_m = curve.trace_with_chainage(left_out_m, start_m)
    while True:
        leaves = chord_sagittas_m(curve.points_at(chainage_m), chainage_m - start_m, trace, trace_m)
        over = leaves + left_out_m > sagitta_m
        if not over.any():
            return chainage_m
        middles = ((chainage_m[:-1] + chainage_m[1:]) / 2)[over]
        chainage_m = np.insert(chainage_m, np.flatnonzero(over) + 1, middles)
        _check_count(len(chainage_m), sagitta_m)


def _check_count(count: float, asked_m: float) -> None:
    if count > MOST_POINTS:
        raise OutlineError(
            f"An outline would need more than {MOST_POINTS} paint points at {asked_m:g} m; "
            "give a larger spacing or sagitta, or check the unit of its coordinates."
        )


def _numbered_round(curve: Curve, chainage_m: FloatArray, near: FloatArray) -> PaintPoints:
    ring = chainage_m[:-1]
    xy = curve.points_at(ring)
    first = first_nearest(xy, near)
    from_first = np.roll(ring - ring[first], -first)
    from_first[len(ring) - first :] += curve.length_m
    return PaintPoints(np.roll(xy, -first, axis=0), from_first, float(ring[first] % curve.length_m))


def _numbered_along(curve: Curve, chainage_m: FloatArray, near: FloatArray) -> PaintPoints:
    xy = curve.points_at(chainage_m)
    if first_nearest(xy[[0, -1]], near) == 0:
        return PaintPoints(xy, chainage_m, 0.0)
    return PaintPoints(xy[::-1], curve.length_m - chainage_m[::-1], curve.length_m)
