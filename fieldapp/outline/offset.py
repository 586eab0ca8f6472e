"""Along and off: where a place lies against a traced outline. Twin: web/phone/geometry/offset.js."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
TIE_M = 1e-9


def along_and_off(
    trace: ArrayLike, closed: bool, length_m: float, xy: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Return chainage along and signed distance off a trace `(M, 2)` for places `(..., 2)`, both `(...)`,
    course metres.

    Off is positive outside and negative inside a closed trace (first vertex given again as the last),
    positive to the right and negative to the left of an open one. Chainages are stretched so that the whole
    trace measures `length_m`, the length of the curve it was taken from; of equally near locations the first
    along counts. What the trace's own sagitta leaves out is left out here too. A vertex given twice running
    does no harm.
    """
    vertices = np.asarray(trace, dtype=float)
    place = (np.asarray(xy, dtype=float) - vertices[0])[..., np.newaxis, :]
    vertices = vertices - vertices[0]
    chord = np.diff(vertices, axis=0)
    length = np.sqrt(_dot(chord, chord))
    divisor = np.where(length > 0, length, 1.0)
    unit = chord / divisor[:, np.newaxis]
    share = np.clip(_dot(place - vertices[:-1], unit) / divisor, 0.0, 1.0)
    away = place - (vertices[:-1] + share[..., np.newaxis] * chord)
    distance = np.sqrt(_dot(away, away))
    nearest = np.argmax(distance <= distance.min(axis=-1, keepdims=True) + TIE_M, axis=-1)[..., np.newaxis]
    along = np.take_along_axis(np.cumsum(length) - length + share * length, nearest, axis=-1)[..., 0]
    off = np.take_along_axis(distance, nearest, axis=-1)[..., 0]
    if closed:
        negative = _inside(vertices, place)
    else:
        side = _dot(away, _rightward(unit, share))
        negative = np.take_along_axis(side, nearest, axis=-1)[..., 0] < 0
    return along * (length_m / length.sum()), np.where(negative, -off, off)


def _dot(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(one[..., 0] * other[..., 0] + one[..., 1] * other[..., 1])


def _inside(vertices: FloatArray, place: FloatArray) -> NDArray[np.bool_]:
    """Tell whether a ray toward +x from each place meets the ring an odd number of times."""
    (x0, y0), (x1, y1) = vertices[:-1].T, vertices[1:].T
    x, y = place[..., 0], place[..., 1]
    level = y0 == y1
    meeting_x = x0 + (y - y0) * (x1 - x0) / np.where(level, 1.0, y1 - y0)
    meets = ((y0 > y) != (y1 > y)) & (x < meeting_x)
    return np.asarray(np.count_nonzero(meets, axis=-1) % 2 == 1)


def _rightward(unit: FloatArray, share: FloatArray) -> FloatArray:
    """Return what counts as right, per place and chord; at a vertex square to the mean of both chords."""
    after, before = np.roll(unit, -1, axis=0), np.roll(unit, 1, axis=0)
    at_end = (share >= 1.0) & (np.arange(len(unit)) < len(unit) - 1)
    at_start = (share <= 0.0) & (np.arange(len(unit)) > 0)
    forward = unit + at_end[..., np.newaxis] * after + at_start[..., np.newaxis] * before
    return np.stack([forward[..., 1], -forward[..., 0]], axis=-1)
