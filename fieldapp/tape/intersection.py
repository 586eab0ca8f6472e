"""Two taped distances meet: both places, how well they cross, how true the place is. Twin: geometry/intersection.js."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import InputError
from fieldapp.reading.verdict import radius_in_sigma

FloatArray = NDArray[np.float64]
Reason = Literal["", "too short together", "one inside the other", "same place"]

TANGENT_M = 1e-6
"""Distances that miss each other by no more than this touch: far below what a tape can be read to."""
PARALLEL = 1e-9
"""Sine of the crossing angle below which two tapes lie in one line."""


@dataclass(frozen=True, eq=False)
class Intersection:
    """Where two circles about a and b meet; `left` and `right` `(2,)` as seen looking from a to b, None without any.

    `gap_m` is how much the distances miss each other: above 0 by so much too short together, below 0 the one circle
    inside the other by so much. `reason` names why there is none. Of "tangent" both places are the same.
    """

    kind: Literal["two", "tangent", "none"]
    left: FloatArray | None
    right: FloatArray | None
    gap_m: float
    reason: Reason = ""


@dataclass(frozen=True)
class Ellipse:
    """An error ellipse: its half axes, ground metres, and the bearing of the long one, 0 up to 180 from +y."""

    major_m: float
    minor_m: float
    bearing_deg: float


def intersect(a_xy: ArrayLike, b_xy: ArrayLike, ra: float, rb: float) -> Intersection:
    """Return where the distances `ra` from a `(2,)` and `rb` from b `(2,)` meet, all in ground metres.

    Law of cosines for the foot on the line a to b, Pythagoras for the way from it. Raises InputError for a distance
    that is none.
    """
    if not (math.isfinite(ra) and math.isfinite(rb) and ra >= 0 and rb >= 0):
        raise InputError(f"Taped distances must be lengths of 0 or more, not {ra:g} and {rb:g}.")
    a, b = np.asarray(a_xy, dtype=float), np.asarray(b_xy, dtype=float)
    across = b - a
    apart = math.sqrt(across[0] ** 2 + across[1] ** 2)
    if apart <= TANGENT_M:
        return Intersection("none", None, None, -abs(ra - rb), "same place")
    forward = across / apart
    short, inside = apart - ra - rb, abs(ra - rb) - apart
    if short > TANGENT_M:
        return Intersection("none", None, None, short, "too short together")
    if inside > TANGENT_M:
        return Intersection("none", None, None, -inside, "one inside the other")
    along = (apart + (ra - rb) * (ra + rb) / apart) / 2
    foot = a + along * forward
    if max(short, inside) >= -TANGENT_M:
        return Intersection("tangent", foot, foot, 0.0)
    leftward = np.array([-forward[1], forward[0]]) * math.sqrt(max((ra - along) * (ra + along), 0.0))
    return Intersection("two", foot + leftward, foot - leftward, 0.0)


def crossing_angle_deg(point: ArrayLike, a: ArrayLike, b: ArrayLike) -> FloatArray:
    """Return the angle `(...)` at which the tapes from a and b cross at points `(..., 2)`: 0 in one line, 90 best."""
    to_a, to_b = _unit(point, a), _unit(point, b)
    sine, cosine = _cross(to_a, to_b), np.sum(to_a * to_b, axis=-1)
    return np.asarray(np.degrees(np.arctan2(np.abs(sine), np.abs(cosine))))


def point_covariance(
    point: ArrayLike,
    a: ArrayLike,
    b: ArrayLike,
    sigma_a: ArrayLike,
    sigma_b: ArrayLike,
    peg_cov_a: ArrayLike | None = None,
    peg_cov_b: ArrayLike | None = None,
) -> FloatArray:
    """Return the covariance `(..., 2, 2)` of points `(..., 2)` tied from pegs a and b `(..., 2)`, in m2.

    `sigma_a` and `sigma_b` are one sigma of the two taped distances, `peg_cov_a` and `peg_cov_b` `(..., 2, 2)` the
    pegs' own covariances, which count along the tapes and are taken as independent. First-order propagation through
    the inverse of the two directions; infinite where the tapes lie in one line.
    """
    from_a, from_b = _unit(a, point), _unit(b, point)
    var_a = np.square(sigma_a) + _along(from_a, peg_cov_a)
    var_b = np.square(sigma_b) + _along(from_b, peg_cov_b)
    sine = _cross(from_a, from_b)
    in_line = np.abs(sine) < PARALLEL
    # The columns of the inverse of [from_a; from_b], times its determinant.
    by_a = np.stack([from_b[..., 1], -from_b[..., 0]], axis=-1)
    by_b = np.stack([-from_a[..., 1], from_a[..., 0]], axis=-1)
    spread = var_a[..., None, None] * _outer(by_a) + var_b[..., None, None] * _outer(by_b)
    square = np.where(in_line, 1.0, sine * sine)[..., None, None]
    return np.asarray(np.where(in_line[..., None, None], np.inf, spread / square))


def error_ellipse(covariance: ArrayLike, probability: float = 0.95) -> Ellipse:
    """Return the ellipse that holds this share of a normal error with covariance `(2, 2)`, as `ellipse_axes` does."""
    major, minor, bearing = ellipse_axes(covariance, probability)
    return Ellipse(float(major), float(minor), float(bearing))


def ellipse_axes(
    covariance: ArrayLike, probability: float = 0.95
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the long and the short half axis and the long one's bearing, each `(...)`, of covariances `(..., 2, 2)`.

    The half axes are the roots of the eigenvalues times sqrt(-2 ln(1 - p)), 2.4477 for 95 % (Rayleigh; two degrees of
    freedom). A covariance that is infinite gives infinite axes.
    """
    cov = np.asarray(covariance, dtype=float)
    known = np.all(np.isfinite(cov), axis=(-2, -1))
    xx, xy, yy = (np.where(known, cov[..., i, j], 0.0) for i, j in ((0, 0), (0, 1), (1, 1)))
    mean, half = (xx + yy) / 2, np.sqrt(((xx - yy) / 2) ** 2 + xy * xy)
    radius = radius_in_sigma(probability)
    major, minor = radius * np.sqrt(mean + half), radius * np.sqrt(np.maximum(mean - half, 0.0))
    bearing = (90.0 - np.degrees(np.arctan2(2 * xy, xx - yy)) / 2) % 180.0
    return np.where(known, major, np.inf), np.where(known, minor, np.inf), np.asarray(bearing)


def _unit(start: ArrayLike, end: ArrayLike) -> FloatArray:
    """Return unit vectors from one place to another; none (0, 0) where they are the same."""
    way = np.asarray(end, dtype=float) - np.asarray(start, dtype=float)
    length = np.sqrt(np.sum(way * way, axis=-1, keepdims=True))
    return np.asarray(way / np.where(length > 0, length, 1.0))


def _cross(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _outer(vector: FloatArray) -> FloatArray:
    return np.asarray(vector[..., :, None] * vector[..., None, :])


def _along(direction: FloatArray, covariance: ArrayLike | None) -> FloatArray:
    """Return the part of a covariance that lies along a direction."""
    if covariance is None:
        return np.zeros(direction.shape[:-1])
    return np.asarray(np.einsum("...i,...ij,...j->...", direction, np.asarray(covariance, float), direction))
