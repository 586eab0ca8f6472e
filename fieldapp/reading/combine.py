"""Fixes taken while standing still, combined into one reading. Twin: web/phone/geometry/combine.js.

The position is the mean of the fixes that belong together. Its radius follows from the receiver's own figure and from
how long its error stays what it is (`process`), at the times the fixes were really taken: standing longer gains
what the short parts give and never more.

Metres are course metres; a radius is taken as ground metres, which are within 0.05 % the same (ignored).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import ReadingError
from fieldapp.reading.process import ErrorProcess, worst_variance_of_mean
from fieldapp.reading.verdict import R95_IN_SIGMA, radius_in_sigma

Floats = NDArray[np.float64]

CUT_IN_SIGMA = 5.0
"""Fixes farther than this from the middle are left out. Of honest ones, 4 in a million lie there (exp(-5^2 / 2))."""
DOUBT = 2.0
"""A scatter more than this many times what the receiver says of itself is believed instead."""
FINEST_M = 0.01
"""The least scale for telling a stray fix where the receiver says nothing of itself."""


@dataclass(frozen=True)
class Reading:
    """Fixes combined: position in course metres, 95 % radius in metres (None where a fix had no figure).

    `plain_radius95_m` is what averaging would claim if every fix were new (for contrast only, never shown).
    `sigma_m` is the one-axis standard deviation taken for one fix; `times_s` are those of the fixes kept, `seconds` the
    time from the first of them to the last.
    """

    x: float
    y: float
    radius95_m: float | None
    plain_radius95_m: float | None
    fixes: int
    left_out: int
    seconds: float
    sigma_m: float | None
    times_s: tuple[float, ...]


def combine(t_s: ArrayLike, xy: ArrayLike, sigma_m: ArrayLike, process: ErrorProcess) -> Reading:
    """Combine fixes at times `(N,)` in s, places `(N, 2)` in course metres, one-axis sigmas `(N,)` (nan: unknown).

    A fix without a figure that is kept makes the radius unknown. Raises ReadingError for no fix, times that run
    backwards, or a place that is no number.
    """
    times, places = np.asarray(t_s, dtype=float), np.asarray(xy, dtype=float).reshape(-1, 2)
    sigmas = np.asarray(sigma_m, dtype=float)
    sigmas = np.where(np.isfinite(sigmas) & (sigmas > 0), sigmas, np.nan)
    _check(times, places, sigmas)
    kept = belonging(places, sigmas)
    times, places = times[kept], places[kept]
    middle = places.mean(axis=0)
    sigma = _sigma(places - middle, sigmas[kept])
    count = len(times)
    instants = tuple(times.tolist())
    share = worst_variance_of_mean(instants, process)
    return Reading(
        x=float(middle[0]),
        y=float(middle[1]),
        radius95_m=None if sigma is None else R95_IN_SIGMA * sigma * math.sqrt(share),
        plain_radius95_m=None if sigma is None else R95_IN_SIGMA * sigma / math.sqrt(count),
        fixes=count,
        left_out=len(kept) - count,
        seconds=instants[-1] - instants[0],
        sigma_m=sigma,
        times_s=instants,
    )


def belonging(places: Floats, sigmas: Floats) -> NDArray[np.bool_]:
    """Say which places `(N, 2)` belong together, as `(N,)`; at least half always do.

    A fix is stray when it lies more than 5 sigma from the middle (the median on each axis). Sigma is the larger of the
    median of what the receiver says of its fixes, and the scatter seen (the median distance from the middle over
    1.1774, as in a circular normal error). The receiver's figure is the floor since correlated fixes clump: half of
    them may lie within centimetres of each other while the rest has honestly drifted by a metre.
    """
    away = np.hypot(*(places - _middle(places)).T)
    seen = float(_middle(away)) / radius_in_sigma(0.5)
    told = sigmas[np.isfinite(sigmas)]
    floor = float(_middle(told)) if len(told) else FINEST_M
    return np.asarray(away <= CUT_IN_SIGMA * max(seen, floor))


def _middle(values: Floats) -> Floats:
    """Return the median along the first axis (several times faster than numpy's for some tens of values)."""
    ordered = np.sort(values, axis=0)
    half = len(values) // 2
    return np.asarray(ordered[half] if len(values) % 2 else (ordered[half - 1] + ordered[half]) / 2)


def _sigma(off: Floats, sigmas: Floats) -> float | None:
    """Return the root mean square of the fixes' own sigmas, or their scatter `off` `(N, 2)` where it belies them."""
    if np.isnan(sigmas).any():
        return None
    told = math.sqrt(float(np.mean(sigmas**2)))
    seen = math.sqrt(float(np.sum(off**2)) / (2 * max(len(off) - 1, 1)))
    return seen if seen > DOUBT * told else told


def _check(times: Floats, places: Floats, sigmas: Floats) -> None:
    if len(times) == 0 or len(times) != len(places) or len(times) != len(sigmas):
        raise ReadingError(
            "There is no fix to combine, or not a time and a figure for each; stand still and wait for one."
        )
    if not (np.isfinite(times).all() and np.isfinite(places).all()):
        raise ReadingError(
            "A fix has a time or a place that is no number; leave it out and combine the others."
        )
    if (np.diff(times) < 0).any():
        raise ReadingError("The fixes run backwards in time; put them in the order in which they were taken.")
