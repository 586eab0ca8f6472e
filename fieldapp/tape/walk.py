"""A line walked with a receiver, smoothed into one curve with an uncertainty band.

The curve is a cubic spline (periodic round a closed line) fitted by generalised least squares: the error of fixes a
second apart repeats itself (`reading.process`), so they are weighed by its whole covariance, and the covariance of the
curve follows from it. What is the same all round moves the line as a whole and bends nothing, so *position* and *shape*
are told apart. Strays are found by data snooping (Baarda 1968): the largest standardised residual is left out while it
is beyond what a tenth of a per mille of honest fixes reach, and the line is fitted again without what was found. The
number of knots is that of the least AIC.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np
import scipy
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import ReadingError
from fieldapp.reading.process import ErrorProcess
from fieldapp.tape.rounds import phases
from fieldapp.tape.walk_error import error_covariance, worst_covariance
from fieldapp.tape.walk_strays import DOUBT, stray_fixes

FloatArray = NDArray[np.float64]

LEAST_FIXES = 12
MOST_FIXES = 500
"""More fixes than this are thinned evenly; neighbours repeat each other."""
KNOTS = (18, 22, 27, 33, 40, 50, 60)
FEWEST_KNOTS = 5
SPANS = 0.8
"""No stretch without a fix is longer than this share of the way from knot to knot, or there are fewer knots."""
FAINT = 1e-6
"""What keeps a knot without a fix from being free, in 1/m²: it is known within a kilometre of the middle."""
MOST_STRAYS = 0.2
MOST_REFITS = 12
"""How often the line is fitted again without the strays found so far."""
IN_95 = NormalDist().inv_cdf(0.975)
"""The half width that holds 95 % of a normal error on one axis, in its sigma: 1.9600."""
PLACES = 120
"""Places along the line at which the curve and its band are told."""
ALIGNS = 1 / 30
"""A receiver with a sigma below this share of the line's length can tell which place of the line a fix belongs to."""
REACH = 0.08
"""How far along the line, in rounds, a fix may be moved to the nearest place of the curve."""


@dataclass(frozen=True)
class WalkedLine:
    """A walked line: places `(M, 2)` in ground metres evenly along it, a closed one's first not given again.

    `shape_sigma_m` `(M,)` is how well each place is known against the line as a whole, `position_sigma_m` how well the
    line as a whole; one axis, ground metres, None where the receiver gave no figure of itself. `rounds` is how often a
    closed line was gone round.
    """

    xy: FloatArray
    closed: bool
    shape_sigma_m: FloatArray | None
    position_sigma_m: float | None
    fixes: int
    left_out: int
    rounds: float
    seconds: float
    knots: int

    @property
    def band95_m(self) -> FloatArray | None:
        """The half width `(M,)` on either side that holds the true line's place there, 95 times in 100."""
        if self.shape_sigma_m is None or self.position_sigma_m is None:
            return None
        return np.asarray(IN_95 * np.hypot(self.shape_sigma_m, self.position_sigma_m))

    @property
    def shape95_m(self) -> FloatArray | None:
        """The half width `(M,)` of the band where only the shape counts, not where the whole lies."""
        return None if self.shape_sigma_m is None else np.asarray(IN_95 * self.shape_sigma_m)


def smooth_walk(
    t_s: ArrayLike,
    xy: ArrayLike,
    sigma_m: ArrayLike,
    process: ErrorProcess,
    closed: bool,
    position_sigma_m: float | None = None,
) -> WalkedLine:
    """Smooth fixes at times `(N,)` in s, places `(N, 2)` in ground metres, one-axis sigmas `(N,)` (nan: unknown).

    `position_sigma_m` is what is known of the whole line's place where a check-in was taken off; else it follows from
    the fixes. Raises ReadingError for fewer than twelve fixes, times that run backwards, a walk that stays in one place
    and one that does not go round.
    """
    times, places, sigmas = _checked(t_s, xy, sigma_m)
    told = bool(np.isfinite(sigmas).all())
    sigmas = sigmas if told else np.ones(len(times))
    kept = np.ones(len(times), dtype=bool)
    phase = phases(times, places, closed, float(np.median(sigmas)) if told else 0.0)
    fit = _aligned(times, places, sigmas, process, phase, closed)
    for _ in range(MOST_REFITS):
        strays = _strays(fit, closed, int(kept.sum() - (1 - MOST_STRAYS) * len(kept)))
        if not strays:
            break
        kept[np.flatnonzero(kept)[strays]] = False
        fit = _aligned(times[kept], places[kept], sigmas[kept], process, phase[kept], closed)
    sigmas = sigmas[kept] * fit.doubted
    weights = fit.weights(_even(closed), closed)
    shape, position = _split(worst_covariance(weights, times[kept], sigmas, process))
    return WalkedLine(
        xy=weights @ places[kept],
        closed=closed,
        shape_sigma_m=shape if told else None,
        position_sigma_m=(position if position_sigma_m is None else position_sigma_m) if told else None,
        fixes=int(kept.sum()),
        left_out=int(len(kept) - kept.sum()),
        rounds=float(phase[-1]) if closed else 1.0,
        seconds=float(times[-1] - times[0]),
        knots=fit.knots,
    )


@dataclass(frozen=True)
class _Fit:
    """A spline through fixes at phases `(N,)`: factor of their covariance, whitened design `(N, knots)`, residuals."""

    phase: FloatArray
    knots: int
    lower: FloatArray
    white: FloatArray
    residuals: FloatArray
    aic: float

    def weights(self, phase: FloatArray, closed: bool) -> FloatArray:
        """Return what each fix adds to the curve at phases `(M,)`: weights `(M, N)`."""
        return np.asarray(_design(phase, self.knots, closed) @ self._gain)

    @cached_property
    def _gain(self) -> FloatArray:
        """What each fix adds to each knot, `(knots, N)`."""
        back = scipy.linalg.solve_triangular(self.lower, self.white, lower=True, trans="T")
        return np.asarray(scipy.linalg.cho_solve(_normal(self.white), back.T))

    @property
    def doubted(self) -> float:
        """By how much the receiver's own figure is to be enlarged: 1 unless the residuals belie it."""
        white = scipy.linalg.solve_triangular(self.lower, self.residuals, lower=True)
        seen = float(np.sqrt(np.sum(white**2) / max(len(self.phase) - self.knots, 1)))
        return seen if seen > DOUBT else 1.0


def _aligned(
    t_s: FloatArray,
    xy: FloatArray,
    sigma_m: FloatArray,
    process: ErrorProcess,
    phase: FloatArray,
    closed: bool,
) -> _Fit:
    """Fit a curve, move each fix along to the place of the curve nearest to it, and fit again.

    How a walk sped up, slowed down or stood still, and where one round runs beside another, is settled by that; a poor
    receiver cannot tell, and what the walk itself says is left as it is.
    """
    lower = scipy.linalg.cholesky(error_covariance(t_s, sigma_m, process.parts), lower=True)
    fit = _best(phase, xy, lower, closed)
    curve = fit.weights(_even(closed), closed) @ xy
    length_m = float(np.hypot(*np.diff(curve, axis=0).T).sum())
    if float(np.median(sigma_m)) > ALIGNS * length_m:
        return fit
    return _best(_nearest(fit, xy, phase, closed), xy, lower, closed)


def _best(phase: FloatArray, xy: FloatArray, lower: FloatArray, closed: bool) -> _Fit:
    """Return the fit of least AIC over the numbers of knots."""
    white_xy = scipy.linalg.solve_triangular(lower, xy - xy.mean(axis=0), lower=True)
    most = max(min(len(phase) // 3, int(SPANS / _widest_gap(phase, closed))), FEWEST_KNOTS)
    tried = [knots for knots in KNOTS if knots <= most] or [most]
    return min((_fit(phase, xy, lower, white_xy, knots, closed) for knots in tried), key=lambda fit: fit.aic)


def _widest_gap(phase: FloatArray, closed: bool) -> float:
    """Return the longest stretch of the line, in rounds, without a fix."""
    lie = np.sort(phase % 1.0) if closed else np.sort(phase)
    ends = [lie, lie[:1] + 1.0] if closed else [lie]
    return float(np.diff(np.concatenate(ends)).max())


def _fit(
    phase: FloatArray, xy: FloatArray, lower: FloatArray, white_xy: FloatArray, knots: int, closed: bool
) -> _Fit:
    design = _design(phase, knots, closed)
    white = scipy.linalg.solve_triangular(lower, design, lower=True)
    found = scipy.linalg.cho_solve(_normal(white), white.T @ white_xy)
    misfit = float(np.sum((white_xy - white @ found) ** 2))
    residuals = xy - xy.mean(axis=0) - design @ found
    return _Fit(phase, knots, lower, white, residuals, misfit + 2 * 2 * design.shape[1])


def _normal(white: FloatArray) -> tuple[FloatArray, bool]:
    """Return the normal matrix of a whitened design `(N, knots)`, factored for `cho_solve`."""
    factored, is_lower = scipy.linalg.cho_factor(white.T @ white + FAINT * np.eye(white.shape[1]))
    return factored, bool(is_lower)


def _design(phase: FloatArray, knots: int, closed: bool) -> FloatArray:
    """Return cubic B-splines `(M, knots)` at phases `(M,)`, periodic for a closed line."""
    if closed:
        wide = scipy.interpolate.BSpline.design_matrix(
            phase % 1.0, np.arange(-3, knots + 4) / knots, 3
        ).toarray()
        folded = wide[:, :knots].copy()
        folded[:, :3] += wide[:, knots : knots + 3]
        return np.asarray(folded)
    inner = np.linspace(0.0, 1.0, knots - 2)
    ends = np.concatenate([[0.0] * 3, inner, [1.0] * 3])
    return np.asarray(scipy.interpolate.BSpline.design_matrix(np.clip(phase, 0.0, 1.0), ends, 3).toarray())


def _nearest(fit: _Fit, xy: FloatArray, phase: FloatArray, closed: bool) -> FloatArray:
    """Return the phase `(N,)` of the place of the curve nearest to each fix, no farther than REACH from its own.

    Phases are those of even chainage along the curve, so that knots lie evenly on the ground.
    """
    fine = np.linspace(0.0, 1.0, 4 * PLACES + 1)
    curve = fit.weights(fine, closed) @ xy
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(curve, axis=0).T))])
    moves = np.linspace(-REACH, REACH, 65)
    tried = phase[:, None] + moves
    inside = tried % 1.0 if closed else np.clip(tried, 0.0, 1.0)
    at = np.stack([np.interp(inside, fine, curve[:, axis]) for axis in (0, 1)], axis=-1)
    best = np.argmin(np.sum((at - xy[:, None, :]) ** 2, axis=-1), axis=1)
    moved = tried[np.arange(len(phase)), best]
    turns = np.floor(moved) if closed else np.zeros(len(moved))
    share = moved - turns if closed else np.clip(moved, 0.0, 1.0)
    return np.asarray(turns + np.interp(share, fine, along / along[-1]))


def _strays(fit: _Fit, closed: bool, most: int) -> list[int]:
    inverse = scipy.linalg.cho_solve((fit.lower, True), np.eye(len(fit.phase)))
    return stray_fixes(inverse, fit.weights(fit.phase, closed), fit.residuals, most)


def _even(closed: bool) -> FloatArray:
    return np.linspace(0.0, 1.0, PLACES, endpoint=not closed)


def _split(covariance: FloatArray) -> tuple[FloatArray, float]:
    """Part the covariance `(M, M)` of places into sigmas `(M,)` about their mean, and the mean's own sigma."""
    of_mean = covariance.mean(axis=0)
    whole = float(of_mean.mean())
    shape = np.diag(covariance) - 2 * of_mean + whole
    return np.sqrt(np.maximum(shape, 0.0)), float(np.sqrt(max(whole, 0.0)))


def _checked(t_s: ArrayLike, xy: ArrayLike, sigma_m: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    times, places = np.asarray(t_s, dtype=float), np.asarray(xy, dtype=float).reshape(-1, 2)
    sigmas = np.asarray(sigma_m, dtype=float)
    if len(times) < LEAST_FIXES:
        raise ReadingError(
            f"A walk of {len(times)} fixes has no shape; walk the line again, {LEAST_FIXES} fixes at least."
        )
    if not (np.isfinite(times).all() and np.isfinite(places).all()) or (np.diff(times) < 0).any():
        raise ReadingError(
            "The fixes of the walk run backwards in time or are no numbers; walk the line again."
        )
    if float(np.ptp(places, axis=0).max()) < 0.5:
        raise ReadingError("The walk stays in one place; walk along the line, all of it.")
    thinned = np.unique(np.linspace(0, len(times) - 1, MOST_FIXES).round().astype(int))
    return times[thinned], places[thinned], np.where(sigmas > 0, sigmas, np.nan)[thinned]
