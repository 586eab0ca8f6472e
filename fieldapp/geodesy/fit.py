"""Least-squares similarity: shift, rotation and, where free, scale between two planes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import FitError

Floats = NDArray[np.float64]
Scale = Literal["fixed", "free"]


@dataclass(frozen=True)
class Similarity:
    """x' = a x - b y + tx, y' = b x + a y + ty. Metres."""

    a: float
    b: float
    tx: float
    ty: float

    @property
    def scale(self) -> float:
        """Target metres per source metre."""
        return float(np.hypot(self.a, self.b))

    @property
    def rotation_deg(self) -> float:
        """Anticlockwise turn from source to target, 0 to 360."""
        return float(np.degrees(np.arctan2(self.b, self.a)) % 360)

    @property
    def matrix(self) -> Floats:
        """The linear part `(2, 2)`, to be multiplied from the left."""
        return np.array([[self.a, -self.b], [self.b, self.a]])

    @property
    def shift(self) -> Floats:
        """The shift `(2,)`."""
        return np.array([self.tx, self.ty])

    def apply(self, xy: ArrayLike) -> Floats:
        """Turn source `(..., 2)` into target `(..., 2)`."""
        return np.asarray(np.asarray(xy, dtype=float) @ self.matrix.T + self.shift)

    def invert(self, xy: ArrayLike) -> Floats:
        """Turn target `(..., 2)` into source `(..., 2)`."""
        return np.asarray((np.asarray(xy, dtype=float) - self.shift) @ self.matrix / self.scale**2)


@dataclass(frozen=True, eq=False)
class SimilarityFit:
    """A similarity with what it leaves at each point: `residuals` `(N, 2)` are fitted minus given target."""

    similarity: Similarity
    residuals: Floats
    degrees_of_freedom: int

    @property
    def rms_m(self) -> float:
        """Root mean square of the residual lengths."""
        return float(np.sqrt(np.mean(np.sum(self.residuals**2, axis=1))))

    @property
    def standard_error_m(self) -> float | None:
        """Standard error of one coordinate; None where there are no degrees of freedom."""
        if self.degrees_of_freedom == 0:
            return None
        return float(np.sqrt(np.sum(self.residuals**2) / self.degrees_of_freedom))


@dataclass(frozen=True)
class FitReport:
    """How a fitted grid agrees with its pegs: residuals are fitted minus given place.

    `middle_xy` is the middle of its pegs, course metres; `spread_m2` the sum of the squares of their distances from it.
    """

    peg_ids: tuple[str, ...]
    residuals_m: tuple[tuple[float, float], ...]
    rms_m: float
    degrees_of_freedom: int
    scale: float
    rotation_deg: float
    standard_error_m: float | None
    middle_xy: tuple[float, float]
    spread_m2: float

    @property
    def residual_lengths_m(self) -> tuple[float, ...]:
        """Length of the residual of each peg."""
        return tuple(float(np.hypot(x, y)) for x, y in self.residuals_m)

    @property
    def worst_peg_id(self) -> str:
        """The peg with the longest residual."""
        return self.peg_ids[int(np.argmax(self.residual_lengths_m))]

    def within95_m(self, xy: ArrayLike) -> float | None:
        """Return the 95 % radius within which the fit gives a place `(2,)`; None where nothing checks the fit.

        About the middle of n pegs shift, turn and scale are estimated independently, with variances s0^2 / n on each
        axis and s0^2 / S of turn (radians) and scale, S the sum of the squares of the pegs' distances from their middle
        (least squares: Ghilani, Adjustment Computations, two-dimensional conformal transformation). At r from the
        middle the turn shows across, the scale along: s0^2 (1/n + r^2 / S) on each axis. A fit of fixed scale estimates
        no scale; what it leaves out, a true scale other than 1, is allowed for by the same term, as much as its pegs
        could have shown.

        s0^2 is itself estimated, from f degrees of freedom, so the squared radius over twice the variance follows
        F(2, f), whose quantile is closed: radius = sigma sqrt(f (0.05^(-2/f) - 1)), 2.4477 sigma for many degrees of
        freedom, 20 sigma for one.
        Left out: pegs that share one error, such as that of a base station.
        """
        if self.standard_error_m is None:
            return None
        away = np.asarray(xy, dtype=float) - self.middle_xy
        variance = self.standard_error_m**2 * (1 / len(self.peg_ids) + float(away @ away) / self.spread_m2)
        freedom = self.degrees_of_freedom
        return math.sqrt(variance * freedom * (0.05 ** (-2 / freedom) - 1))


def fit_similarity(source: ArrayLike, target: ArrayLike, scale: Scale = "free") -> SimilarityFit:
    """Fit the similarity that takes `source` `(N, 2)` to `target` `(N, 2)` with least squares in the target.

    About the centroids the normal equations are diagonal (Ghilani, Adjustment Computations, two-dimensional
    conformal transformation); with fixed scale the same vector (a, b) is brought to length 1, which is the
    constrained minimum. Raises FitError for fewer than two distinct points or something that is not a number.
    """
    given, wanted = np.asarray(source, dtype=float), np.asarray(target, dtype=float)
    _check_points(given, wanted)
    middle, aim = given.mean(axis=0), wanted.mean(axis=0)
    (x, y), (u, v) = (given - middle).T, (wanted - aim).T
    a, b = float(np.sum(x * u + y * v)), float(np.sum(x * v - y * u))
    size = float(np.sum(x**2 + y**2)) if scale == "free" else float(np.hypot(a, b))
    if size == 0:
        raise FitError("The points of the fit all lie in one place; give points that are well apart.")
    turn = Similarity(a / size, b / size, 0.0, 0.0)
    tx, ty = aim - turn.apply(middle)
    similarity = Similarity(turn.a, turn.b, float(tx), float(ty))
    unknowns = 4 if scale == "free" else 3
    return SimilarityFit(similarity, similarity.apply(given) - wanted, 2 * len(given) - unknowns)


def _check_points(source: Floats, target: Floats) -> None:
    if source.shape != target.shape or source.ndim != 2 or source.shape[1] != 2:
        raise FitError("The fit needs the same number of points in both systems, each an x and a y.")
    if len(source) < 2:
        raise FitError(f"The fit has {len(source)} point; give at least two, well apart.")
    if not (np.isfinite(source).all() and np.isfinite(target).all()):
        raise FitError("A point of the fit has a coordinate that is not a number; correct it.")
