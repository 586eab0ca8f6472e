"""The covariance of the errors of a walked line: the receiver's error process, and the feet beside the line."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fieldapp.reading.process import ErrorProcess

FloatArray = NDArray[np.float64]

FEET_SIGMA_M = 0.10
"""One sigma of how far beside the line a walker carries the receiver: a choice, no source."""
FEET_LAST_S = 2.0
"""How long the feet stay on one side, about four steps: a choice, no source."""


def correlation_matrix(t_s: FloatArray, tau_s: float) -> FloatArray:
    """Return the correlation `(N, N)` of one part of the error with itself between times `(N,)`."""
    apart = np.abs(t_s[:, None] - t_s[None, :])
    if tau_s <= 0:
        return np.asarray((apart == 0).astype(float))
    return np.exp(-apart / tau_s)


def error_covariance(
    t_s: FloatArray, sigma_m: FloatArray, parts: Sequence[tuple[float, float]]
) -> FloatArray:
    """Return the covariance `(N, N)`, m², of one axis of fixes at times `(N,)` with one-axis sigmas `(N,)`.

    `parts` are (share of the variance, time constant in s), as in `ErrorProcess`; what the feet add is in it, and a
    millimetre of white noise, so that two fixes of one moment do no harm.
    """
    correlation = sum((share * correlation_matrix(t_s, tau_s) for share, tau_s in parts), np.zeros((1, 1)))
    both = np.outer(sigma_m, sigma_m) * correlation
    return both + feet_covariance(t_s) + 1e-6 * np.eye(len(t_s))


def feet_covariance(t_s: FloatArray) -> FloatArray:
    """Return the covariance `(N, N)`, m², of what the walker's feet add on one axis."""
    return FEET_SIGMA_M**2 * correlation_matrix(t_s, FEET_LAST_S)


def worst_covariance(
    weights: FloatArray, t_s: FloatArray, sigma_m: FloatArray, process: ErrorProcess
) -> FloatArray:
    """Return the covariance `(M, M)` of weighted sums, `weights` `(M, N)`, with time constants at their worst.

    Each part's time constant is tried as given and at both ends of the process's spread, and the one with the largest
    sum of variances is taken: what is worst for the shape of a line is not the longest one.
    """
    scaled = weights * sigma_m
    total = weights @ (feet_covariance(t_s) + 1e-6 * np.eye(len(t_s))) @ weights.T
    for share, tau_s in process.parts:
        tried = {tau_s / process.spread, tau_s, tau_s * process.spread}
        found = (scaled @ correlation_matrix(t_s, tau) @ scaled.T for tau in sorted(tried))
        total = total + share * max(found, key=_spread_of)
    return np.asarray(total)


def _spread_of(covariance: FloatArray) -> float:
    """Return the mean variance about the mean of all: what bends a line and does not only move it."""
    return float(np.trace(covariance) / len(covariance) - covariance.mean())
