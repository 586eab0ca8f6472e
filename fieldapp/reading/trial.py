"""A receiver trial: what some minutes on a peg of known place tell of a receiver. Twin: web/phone/geometry/trial.js.

What minutes can tell and what not: the white and the short part show; of the long part only one value is seen on each
axis, and its time constant cannot be seen at all. So every candidate process (`likelihood`) keeps the weight that the
errors give it, and the scatter is not the likeliest but the one whose 95 % radius holds 95 % of what all of them
expect. Where little was learnt, that is larger. The long time constant and the spread stay those of the default
process.

The receiver's own figure counts as two more degrees of freedom (one more position): a choice, without a source. It
keeps a trial of a minute from saying anything wild, and hardly matters where minutes tell enough. And the figure is a
floor: a trial may find a receiver worse than it says of itself, never better, since a slow error that happens to be
small looks for minutes like one that is not there.

In simulation (tests/reading/test_trial_coverage.py) later readings of a receiver whose figure is honest held the truth
in 98 to 100 % on average over trials and in no trial in less than 93 % (an error that is wholly slow: 95 to 96 %). The
limits are a receiver that boasts (its figure half the truth and its error wholly slow: about 80 %) and one that gives
no figure, for which there is no floor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import ReadingError
from fieldapp.reading.combine import belonging
from fieldapp.reading.likelihood import CANDIDATES, explained
from fieldapp.reading.process import DEFAULT_PROCESS, ErrorProcess, worst_variance_of_mean
from fieldapp.reading.verdict import R68_IN_SIGMA, R95_IN_SIGMA

Floats = NDArray[np.float64]

LEAST_S = 60.0
LEAST_FIXES = 20
LEAST_PLACES = 10
APART_S = 5.0
"""The process is learnt from fixes at least this far apart: what a receiver's filter does from one second to the next
must not decide how far its error wanders in minutes."""
FIGURE_COUNTS = 2.0
"""Degrees of freedom that the receiver's own figure is worth."""
LONG_TAU_S = DEFAULT_PROCESS.parts[-1][1]
HALVINGS = 60
LEAST_SQUARES_M2 = 1e-12

WHY_NOT = {
    "too short": f"A trial takes at least {LEAST_S:.0f} seconds; stay on the peg and try again.",
    "too few": f"A trial takes at least {LEAST_FIXES} fixes at different times; stay longer and try again.",
    "held": "The receiver gave hardly any different position, so it holds its position fast while standing and "
    "cannot be tried so; walk a few steps, come back to the peg and try again.",
}


@dataclass(frozen=True)
class Trial:
    """What a trial found of a receiver. Metres and seconds.

    `scatter_m` is the one-axis sigma of a fix about the truth, guarded as said above and never below what the receiver
    says. `accuracy_m` is the median of the receiver's own figure and `sigma_per_accuracy` the scatter over that figure
    taken as a sigma (None: it gave none).
    `offset_x`, `offset_y` are the mean place of the fixes minus the peg (course metres): an offset within its radius
    is no more than slow error. It counts as a check-in and fades like one (`check_in.check_in_of_trial`).
    """

    process: ErrorProcess
    scatter_m: float
    sigma_per_accuracy: float | None
    accuracy_m: float | None
    offset_x: float
    offset_y: float
    offset_radius95_m: float
    fixes: int
    left_out: int
    seconds: float
    times_s: tuple[float, ...]


def trial_of(t_s: ArrayLike, xy: ArrayLike, accuracy_m: ArrayLike, peg_xy: tuple[float, float]) -> Trial:
    """Return what fixes on a peg tell: times `(N,)` in s, places `(N, 2)` in course metres, figures `(N,)` (nan: none).

    Raises ReadingError where they are too few, too short, run backwards, or where the receiver held its position fast.
    """
    times, places = np.asarray(t_s, dtype=float), np.asarray(xy, dtype=float).reshape(-1, 2)
    figures = np.asarray(accuracy_m, dtype=float)
    why = why_no_trial(times, places)
    if why is not None:
        raise ReadingError(WHY_NOT[why])
    told = np.where(np.isfinite(figures) & (figures > 0), figures / R68_IN_SIGMA, np.nan)
    kept = belonging(places, told)
    times, errors, told = times[kept], places[kept] - np.asarray(peg_xy, dtype=float), told[kept]
    told_sigma = float(np.nanmedian(told)) if np.isfinite(told).any() else None
    process, found = learnt(times, errors, told_sigma)
    scatter = max(found, told_sigma or 0.0)
    instants = tuple(times.tolist())
    share = worst_variance_of_mean(instants, process)
    offset = errors.mean(axis=0)
    return Trial(
        process=process,
        scatter_m=scatter,
        sigma_per_accuracy=None if told_sigma is None else scatter / told_sigma,
        accuracy_m=None if told_sigma is None else told_sigma * R68_IN_SIGMA,
        offset_x=float(offset[0]),
        offset_y=float(offset[1]),
        offset_radius95_m=R95_IN_SIGMA * scatter * math.sqrt(share),
        fixes=len(instants),
        left_out=len(kept) - len(instants),
        seconds=instants[-1] - instants[0],
        times_s=instants,
    )


def why_no_trial(times: Floats, places: Floats) -> str | None:
    """Say why fixes make no trial: a key of WHY_NOT, or None where they do.

    Raises ReadingError for what is no number or runs backwards in time.
    """
    if not (np.isfinite(times).all() and np.isfinite(places).all()) or (np.diff(times) < 0).any():
        raise ReadingError(
            "A fix of the trial is no number or runs backwards in time; begin the trial again."
        )
    if len(times) == 0 or times[-1] - times[0] < LEAST_S:
        return "too short"
    if len(np.unique(times)) < LEAST_FIXES:
        return "too few"
    return "held" if len(np.unique(places, axis=0)) < LEAST_PLACES else None


def learnt(times: Floats, errors: Floats, told_sigma_m: float | None) -> tuple[ErrorProcess, float]:
    """Return the process and the guarded scatter behind errors `(N, 2)` about the peg.

    Given a candidate, the variance is the sum of squares over its degrees of freedom, and the candidate's weight is its
    likelihood with the variance integrated out (normal errors, prior 1 / variance, the receiver's figure added). The
    shares are those of the candidates' mean variances, the short time constant their logarithmic mean.
    """
    used = apart(times)
    squares, log_determinant = explained(times[used], errors[used])
    prior = 0.0 if told_sigma_m is None else FIGURE_COUNTS
    squares = np.maximum(squares + prior * (told_sigma_m or 0.0) ** 2, LEAST_SQUARES_M2)
    degrees = prior + 2 * len(used)
    log_weight = -log_determinant - degrees * np.log(squares) / 2
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    variance = squares / degrees
    expected = weight * variance
    white, short, long = (
        float((expected * share).sum() / expected.sum())
        for share in (CANDIDATES.white, CANDIDATES.short, CANDIDATES.long)
    )
    of_short = expected * CANDIDATES.short
    tau_s = math.exp(float((of_short * np.log(CANDIDATES.short_tau_s)).sum() / of_short.sum()))
    process = ErrorProcess(((white, 0.0), (short, tau_s), (long, LONG_TAU_S)), DEFAULT_PROCESS.spread)
    return process, _scatter(weight, variance)


def apart(times: Floats) -> list[int]:
    """Return the indices of fixes at least APART_S after the one used before, the first included."""
    used = [0]
    for index, now in enumerate(times.tolist()):
        if now - times[used[-1]] >= APART_S:
            used.append(index)
    return used


def _scatter(weight: Floats, variance: Floats) -> float:
    """Return the sigma whose 95 % radius holds 95 % of a mixture of circular normal errors."""
    low, high = 0.0, R95_IN_SIGMA**2 * float(variance.max())
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        outside = float((weight * np.exp(-middle / (2 * variance))).sum())
        low, high = (middle, high) if outside > 0.05 else (low, middle)
    return math.sqrt(high) / R95_IN_SIGMA


def sigma_of(accuracy_m: float | None, trial: Trial | None) -> float | None:
    """Return the one-axis sigma of a fix from the receiver's figure, taken as a 68 % radius; None where unknown.

    With a trial, times what the trial found; of a receiver that gave no figure in its trial, the scatter found.
    """
    if trial is not None and trial.sigma_per_accuracy is None:
        return trial.scatter_m
    if accuracy_m is None or not math.isfinite(accuracy_m) or accuracy_m <= 0:
        return None
    factor = 1.0 if trial is None or trial.sigma_per_accuracy is None else trial.sigma_per_accuracy
    return accuracy_m / R68_IN_SIGMA * factor
