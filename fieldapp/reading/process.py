"""The error process of a receiver: how long its error stays what it is. Twin: web/phone/geometry/process.js.

A receiver's error on each axis is taken as the sum of independent stationary parts: white noise and first-order
Gauss-Markov (Ornstein-Uhlenbeck) noise, whose correlation over a lag is exp(-lag / time constant). Fixes a second apart
then repeat each other, and many of them tell little more than one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from fieldapp.errors import ReadingError

STEPS_OF_SPREAD = 9


@dataclass(frozen=True)
class ErrorProcess:
    """Parts `(share of the variance, time constant in s)`, a time constant of 0 being white noise.

    The shares sum to 1. `spread` is the factor within which the true time constants may lie either way; 1 where they
    are known. Raises ReadingError for anything else.
    """

    parts: tuple[tuple[float, float], ...]
    spread: float

    def __post_init__(self) -> None:
        shares = [share for share, _ in self.parts]
        usable = (
            all(math.isfinite(share) and share >= 0 for share in shares)
            and abs(sum(shares) - 1) <= 1e-6
            and all(math.isfinite(tau_s) and tau_s >= 0 for _, tau_s in self.parts)
            and math.isfinite(self.spread)
            and self.spread >= 1
        )
        if not usable:
            raise ReadingError(
                f"An error process of parts {self.parts} and spread {self.spread} cannot be: shares are 0 or more and "
                "sum to 1, time constants are 0 s or more, the spread is 1 or more; correct it."
            )


DEFAULT_PROCESS = ErrorProcess(((0.10, 0.0), (0.35, 60.0), (0.55, 1800.0)), spread=3.0)
"""What is taken of a receiver nobody has tried.

- Not white alone: the error of stationary consumer receivers is better described by an Ornstein-Uhlenbeck process
  (Sensors 2020, 20(21), 6050).
- Short, 60 s: the measured autocorrelation of hand-held receivers bends at about one minute and keeps a long part
  (D. L. Wilson, 'Correlation of errors', erols.com/dlwilson/gpscorr.htm).
- Long, 1,800 s: integrity work bounds multipath at 10 to 900 s and troposphere at 900 to 2,700 s, both first-order
  Gauss-Markov; network corrections are correlated over minutes too (GPS Solutions, doi
  10.1007/s10291-011-0213-0). 1,800 s is the middle of the second range; with the spread it covers 600 to 5,400 s.
- The shares have no source: they are a choice. More than half lies in the long part, so that 10 minutes of standing
  never shrink the radius by more than a fifth; too large a long share errs on the safe side for a reading, and what
  it promises of a check-in is held back by the spread.
"""


def correlation_over(lag_s: float, tau_s: float) -> float:
    """Return the correlation of one part with itself over a lag of 0 s or more; white noise has none over any."""
    if lag_s == 0:
        return 1.0
    return math.exp(-lag_s / tau_s) if tau_s > 0 else 0.0


def correlation(process: ErrorProcess, lag_s: float) -> float:
    """Return the correlation of the whole error with itself over a lag of 0 s or more."""
    return sum(share * correlation_over(lag_s, tau_s) for share, tau_s in process.parts)


def part_variance(t_s: Sequence[float], weights: Sequence[float], tau_s: float) -> float:
    """Return the variance of a weighted sum of values of one part of variance 1, at times `(N,)` in rising order.

    Exact for uneven times and in one pass: what the earlier values carry forward decays by exp(-step / tau) from one
    time to the next. Values at one and the same time are one value.
    """
    total = carried = 0.0
    before = t_s[0]
    for now, weight in zip(t_s, weights, strict=True):
        carried *= correlation_over(now - before, tau_s)
        total += weight * (weight + 2 * carried)
        carried += weight
        before = now
    return total


def variance_of_sum(t_s: Sequence[float], weights: Sequence[float], process: ErrorProcess) -> float:
    """Return the variance of a weighted sum of errors, for an error of variance 1 with the time constants as given."""
    return sum(share * part_variance(t_s, weights, tau_s) for share, tau_s in process.parts)


def worst_variance(t_s: Sequence[float], weights: Sequence[float], process: ErrorProcess) -> float:
    """Return the largest variance of a sum with weights of 0 or more, within the spread of the time constants.

    Every correlation grows with its time constant, so each part is at its worst at the longest.
    """
    return sum(share * part_variance(t_s, weights, tau_s * process.spread) for share, tau_s in process.parts)


@lru_cache(maxsize=64)
def worst_variance_of_mean(t_s: tuple[float, ...], process: ErrorProcess) -> float:
    """Return the largest variance of the plain mean of errors at these times; the last times asked are remembered."""
    return worst_variance(t_s, [1 / len(t_s)] * len(t_s), process)


def taus_within(tau_s: float, spread: float) -> tuple[float, ...]:
    """Return the time constants from tau / spread to tau * spread, in steps of equal ratio."""
    if spread == 1 or tau_s == 0:
        return (tau_s,)
    last = STEPS_OF_SPREAD - 1
    return tuple(tau_s * spread ** (2 * step / last - 1) for step in range(STEPS_OF_SPREAD))
