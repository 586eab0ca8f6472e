"""How well candidate error processes explain the errors seen at a peg. Twin: web/phone/geometry/likelihood.js.

A candidate has a white, a short and a long part. Its likelihood comes from the errors of one-step prediction by a
Kalman filter over the two exponential parts (prediction error decomposition: Schweppe 1965, IEEE Trans. Inf. Theory
11(1), from memory), which is exact and takes times as uneven as they are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LONG_SHARES = (0.05, 0.25, 0.5, 0.7, 0.85, 0.95, 0.99)
WHITE_OF_THE_REST = (0.0, 0.1, 0.3, 0.6, 1.0)
SHORT_TAUS_S = (10.0, 25.0, 60.0, 150.0, 320.0)
LONG_TAUS_S = (600.0, 1800.0, 5400.0)


@dataclass(frozen=True, eq=False)
class Candidates:
    """Shares of the variance and time constants in s, each `(G,)`."""

    white: Floats
    short: Floats
    long: Floats
    short_tau_s: Floats
    long_tau_s: Floats


def _grid() -> Iterator[tuple[float, ...]]:
    for long in LONG_SHARES:
        for of_rest in WHITE_OF_THE_REST:
            for short_tau_s in SHORT_TAUS_S:
                for long_tau_s in LONG_TAUS_S:
                    rest = 1 - long
                    yield rest * of_rest, rest * (1 - of_rest), long, short_tau_s, long_tau_s


CANDIDATES = Candidates(*np.array(list(_grid())).T)


def explained(t_s: Floats, errors: Floats) -> tuple[Floats, Floats]:
    """Return for each candidate, at variance 1, the sum of squares over both axes and one axis's log determinant.

    `(G,)` each, from `errors` `(N, 2)`, independent on each axis, at times `(N,)` that rise (no two the same). For a
    variance v the log likelihood of both axes is -(2 log determinant + 2 N log v + squares / v) / 2.
    """
    c = CANDIDATES
    both_axes = errors[:, 0] + 1j * errors[:, 1]
    short, long = np.zeros(len(c.white), complex), np.zeros(len(c.white), complex)
    v_short, v_both, v_long = c.short, np.zeros_like(c.short), c.long
    squares, log_determinant = np.zeros(len(c.white)), np.zeros(len(c.white))
    for step_s, seen in zip(np.diff(t_s, prepend=t_s[0]), both_axes, strict=True):
        keep_short, keep_long = np.exp(-step_s / c.short_tau_s), np.exp(-step_s / c.long_tau_s)
        v_short = c.short + keep_short**2 * (v_short - c.short)
        v_both = keep_short * keep_long * v_both
        v_long = c.long + keep_long**2 * (v_long - c.long)
        short, long = keep_short * short, keep_long * long
        variance = v_short + 2 * v_both + v_long + c.white
        surprise = seen - short - long
        squares += (surprise.real**2 + surprise.imag**2) / variance
        log_determinant += np.log(variance)
        to_short, to_long = (v_short + v_both) / variance, (v_both + v_long) / variance
        short, long = short + to_short * surprise, long + to_long * surprise
        v_short = v_short - to_short**2 * variance
        v_both = v_both - to_short * to_long * variance
        v_long = v_long - to_long**2 * variance
    return squares, log_determinant
