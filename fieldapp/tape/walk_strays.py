"""Strays among the fixes of a walk: those that the rest of them belie, taken out one after the other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldapp.reading.verdict import radius_in_sigma

FloatArray = NDArray[np.float64]

STRAY_CHANCE = 1e-4
DOUBT = 2.0
"""Residuals more than this many times what the receiver says of itself are believed instead, as in a reading."""
AS_BAD = 0.5
"""Fixes less than this share as far off as the worst are looked at again in a fit without it: it bent the line."""
NOTHING = 1e-12


def stray_fixes(inverse: FloatArray, hat: FloatArray, residuals: FloatArray, most: int) -> list[int]:
    """Return the indices of at most so many fixes that do not fit, the worst first.

    `inverse` `(N, N)` is R⁻¹ of the fixes' covariance, `hat` `(N, N)` what each fix adds to the curve at each of them,
    `residuals` `(N, 2)`. With P = R⁻¹ - R⁻¹B(BᵀR⁻¹B)⁻¹BᵀR⁻¹ and u = P z a fix left out by itself misses the rest by
    uᵢ / Pᵢᵢ, of variance 1 / Pᵢᵢ. Without fix i P is P - P eᵢ eᵢᵀ P / Pᵢᵢ and u likewise (a step of elimination), so
    that each next stray is looked for in a fit without those before, and nothing is fitted again; one much less far off
    than the first is left for the next fit. Where the middle one of all belies the receiver's own figure it is the
    measure, since strays do not move it.
    """
    left, missed = inverse - inverse @ hat, inverse @ residuals
    is_left = np.ones(len(missed), dtype=bool)
    found: list[int] = []
    floor = 0.0
    while len(found) < most:
        beyond = np.hypot(*missed.T) / np.sqrt(np.maximum(np.diag(left), NOTHING)) * is_left
        worst = int(np.argmax(beyond))
        floor = max(_limit(beyond[is_left]), floor)
        if beyond[worst] <= floor:
            break
        if not found:
            floor = max(floor, AS_BAD * float(beyond[worst]))
        found.append(worst)
        is_left[worst] = False
        share = left[:, worst] / max(left[worst, worst], NOTHING)
        missed = missed - np.outer(share, missed[worst])
        left = left - np.outer(share, left[worst])
    return found


def _limit(beyond: FloatArray) -> float:
    usual = float(np.median(beyond)) / radius_in_sigma(0.5)
    return radius_in_sigma(1 - STRAY_CHANCE) * (usual if usual > DOUBT else 1.0)
