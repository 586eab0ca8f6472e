"""How well a point is fixed by taped distances from the pegs that reach it. Ground metres throughout."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldapp.reading.verdict import R95_IN_SIGMA

FloatArray = NDArray[np.float64]

OUT_OF_REACH_M = 10.0
"""Stands for the error of a point that no two pegs fix, so that such points can be compared; never shown."""
LEAST_DISTANCE_M = 0.5
"""Nearer to a peg than this a tape gives no direction worth the name."""


@dataclass(frozen=True, eq=False)
class PointReach:
    """What pegs give to each of N points.

    `error_m` `(N,)` is the major semi-axis of the 95 % ellipse from the best two pegs, OUT_OF_REACH_M where no two
    reach; `crossing_deg` `(N,)` the angle at which their tapes cross there, 0 to 90; `pair` `(N, 2)` their indices,
    −1 where there are none; `pegs` `(N,)` how many pegs reach it.
    """

    error_m: FloatArray
    crossing_deg: FloatArray
    pair: NDArray[np.intp]
    pegs: NDArray[np.intp]

    @property
    def is_fixed(self) -> NDArray[np.bool_]:
        """Whether two pegs reach each point `(N,)`."""
        return self.pair[:, 0] >= 0


@dataclass(frozen=True, eq=False)
class Lines:
    """Lines from K pegs to N points: unit vectors `(K, N, 2)`, whether the tape reaches `(K, N)`, one sigma of the
    distance with the peg's own place in it `(K,)`.
    """

    unit: FloatArray
    reaches: NDArray[np.bool_]
    sigma_m: FloatArray


def lines_of(
    points_xy: FloatArray, pegs_xy: FloatArray, pegs_sigma_m: FloatArray, reach_m: float, tape_error_m: float
) -> Lines:
    """Return the lines from pegs `(K, 2)` to points `(N, 2)`.

    `pegs_sigma_m` `(K,)` is one sigma of a peg's place per axis, `tape_error_m` that of a taped distance.
    """
    away = points_xy[np.newaxis, :, :] - pegs_xy[:, np.newaxis, :]
    distance_m = np.hypot(away[..., 0], away[..., 1])
    unit = away / np.maximum(distance_m, 1e-9)[..., np.newaxis]
    reaches = (distance_m <= reach_m) & (distance_m >= LEAST_DISTANCE_M)
    return Lines(unit, reaches, np.hypot(pegs_sigma_m, tape_error_m))


def error_of_crossing(cosine: FloatArray, one_sigma_m: FloatArray, other_sigma_m: FloatArray) -> FloatArray:
    """Return the major semi-axis of the 95 % ellipse where two distances cross, by the cosine of their angle.

    The point's normal matrix is the sum of u uᵀ / s² over both lines; the major semi-axis is R95_IN_SIGMA / √(its
    lesser eigenvalue). For equal s this is R95_IN_SIGMA · s / √(1 − |cos|). Parallel lines give infinity.
    """
    one, other = 1.0 / one_sigma_m**2, 1.0 / other_sigma_m**2
    determinant = one * other * np.maximum(1.0 - cosine**2, 0.0)
    trace = one + other
    greater = (trace + np.sqrt(np.maximum(trace**2 - 4.0 * determinant, 0.0))) / 2.0
    with np.errstate(divide="ignore"):
        return np.asarray(R95_IN_SIGMA * np.sqrt(greater / determinant))


def pair_errors(lines: Lines, one: int, others: Lines) -> FloatArray:
    """Return the error of each point from one peg with each of K others `(K, N)`, OUT_OF_REACH_M where one is out."""
    cosine = np.einsum("nc,knc->kn", lines.unit[one], others.unit)
    found = error_of_crossing(cosine, lines.sigma_m[one], others.sigma_m[:, np.newaxis])
    return np.where(lines.reaches[one] & others.reaches, np.minimum(found, OUT_OF_REACH_M), OUT_OF_REACH_M)


def reach_of(
    points_xy: FloatArray, pegs_xy: FloatArray, pegs_sigma_m: FloatArray, reach_m: float, tape_error_m: float
) -> PointReach:
    """Return what K pegs give to N points, each from its best two."""
    lines = lines_of(points_xy, pegs_xy, pegs_sigma_m, reach_m, tape_error_m)
    count = len(points_xy)
    error_m = np.full(count, OUT_OF_REACH_M)
    pair = np.full((count, 2), -1, dtype=np.intp)
    crossing = np.zeros(count)
    for one in range(len(pegs_xy)):
        for other in range(one + 1, len(pegs_xy)):
            cosine = np.abs(np.sum(lines.unit[one] * lines.unit[other], axis=1))
            found = error_of_crossing(cosine, lines.sigma_m[[one]], lines.sigma_m[[other]])
            better = lines.reaches[one] & lines.reaches[other] & (found < error_m)
            error_m = np.where(better, found, error_m)
            crossing = np.where(better, np.degrees(np.arccos(np.minimum(cosine, 1.0))), crossing)
            pair[better] = one, other
    return PointReach(error_m, crossing, pair, lines.reaches.sum(axis=0))
