"""Where along its line each fix of a walk lies: phases, one a round, from the walk alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from fieldapp.errors import ReadingError

FloatArray = NDArray[np.float64]

SMOOTHED_OVER_S = 4.0
"""Sigma in time of the track that lengths are taken from: standing still then counts for little."""
MORE_THAN_ONE = 1.25
"""A walk of about one round ends where it began, as it was told to; what it misses by is taken for the receiver's."""
MISSES_BY, ERRS_BY, STEPS_M = 0.10, 4.0, 3.0
"""A closed walk did not go round whose ends lie farther apart than this share of its length, so many sigma of the
receiver and the few steps in the middle of five fixes together."""
JUMPS_BY, LEAST_JUMP_M = 4.0, 4.0
"""A fix this many times as far off its neighbours as is usual, and so many ground metres, tells nothing of the way."""


def phases(t_s: FloatArray, xy: FloatArray, closed: bool, sigma_m: float = 0.0) -> FloatArray:
    """Return the phase `(N,)` of each fix of a walk at rising times `(N,)`, places `(N, 2)` in ground metres.

    Along an open line it runs from 0 to 1. Round a closed one it grows by 1 a round, and a walk that goes round several
    times has it so, and one of about one round ends at 1. Rounds are counted by the turning about the middle of the
    track; one whose middle lies outside it is taken as one round. `sigma_m` is the receiver's, one axis. Raises
    ReadingError for a closed line that was not walked round.
    """
    track = _smoothed(t_s, _without_jumps(xy))
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(track, axis=0).T))])
    along = along + 1e-9 * np.arange(len(along))
    if not closed:
        return np.asarray(along / along[-1])
    turned = _turned(track)
    rounds = abs(turned[-1])
    if rounds < MORE_THAN_ONE:
        _check_closes(xy, float(along[-1]), sigma_m)
        return np.asarray(along / along[-1])
    return _by_round(along, turned * np.sign(turned[-1]))


def _check_closes(xy: FloatArray, length_m: float, sigma_m: float) -> None:
    """Refuse a walk whose ends lie apart, each by the middle of five fixes so that a stray there does no harm."""
    apart_m = float(np.hypot(*(np.median(xy[-5:], axis=0) - np.median(xy[:5], axis=0))))
    if apart_m > MISSES_BY * length_m + ERRS_BY * sigma_m + STEPS_M:
        raise ReadingError(
            f"The walk ends {apart_m:.0f} m from where it began and is only {length_m:.0f} m long; walk the whole "
            "line, until you stand where you began."
        )


def _by_round(along: FloatArray, turned: FloatArray) -> FloatArray:
    """Divide each whole round by its own length; the last, which may not be whole, by that of the one before."""
    whole = np.arange(1, int(np.floor(turned[-1] + 0.02)) + 1)
    reached = np.maximum.accumulate(turned) + 1e-9 * np.arange(len(turned))
    ends = np.interp(np.minimum(whole, reached[-1]), reached, along)
    marks = np.concatenate([[0.0], ends, [ends[-1] + (ends[-1] - (ends[-2] if len(ends) > 1 else 0.0))]])
    return np.asarray(np.interp(along, marks, np.arange(len(marks), dtype=float)))


def _turned(track: FloatArray) -> FloatArray:
    """Return how often a track has turned about its middle by each of its places, `(N,)`, left positive."""
    away = track - (track.min(axis=0) + track.max(axis=0)) / 2
    angle = np.unwrap(np.arctan2(away[:, 1], away[:, 0]))
    return np.asarray((angle - angle[0]) / (2 * np.pi))


def _without_jumps(xy: FloatArray) -> FloatArray:
    """Return places `(N, 2)` in which one far off its four neighbours is put in their midst (Hampel 1974)."""
    first = np.clip(np.arange(len(xy)) - 2, 0, len(xy) - 5)
    middle = np.median(xy[first[:, None] + np.arange(5)], axis=1)
    away = np.hypot(*(xy - middle).T)
    jumps = away > max(JUMPS_BY * float(np.median(away)), LEAST_JUMP_M)
    return np.where(jumps[:, None], middle, xy)


def _smoothed(t_s: FloatArray, xy: FloatArray) -> FloatArray:
    """Return the track `(N, 2)` smoothed by straight lines fitted about each time, so that its ends stay in place."""
    apart = t_s[:, None] - t_s[None, :]
    weights = np.exp(-((apart / SMOOTHED_OVER_S) ** 2) / 2)
    first, second = (weights * apart).sum(axis=1), (weights * apart**2).sum(axis=1)
    lines = weights * (second[:, None] - first[:, None] * apart) + 1e-9 * weights
    return np.asarray((lines @ xy) / lines.sum(axis=1, keepdims=True))
