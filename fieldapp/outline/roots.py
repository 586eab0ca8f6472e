"""Roots: where many quantities at once cross nought, each within a bracket of its own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
Quantity = Callable[[FloatArray], tuple[FloatArray, FloatArray]]
"""Of parameters `(K,)` the values and their slopes, `(K,)` each."""

STILL = 1e-10
"""A parameter that a step moves by less has arrived: Newton's step leaves about its square."""
MOST_ROUNDS = 80
FEW = 4
"""A part of so many is few."""


def chord_guess(low: FloatArray, high: FloatArray, before: FloatArray, after: FloatArray) -> FloatArray:
    """Return about where quantities `(K,)` of values `before` at `low` and `after` at `high` cross nought."""
    apart = np.where(before == after, 1.0, before - after)
    return np.asarray(low + (high - low) * np.clip(before / apart, 0.0, 1.0))


def bracketed_roots(
    quantity: Quantity,
    low: FloatArray,
    high: FloatArray,
    rising: NDArray[np.bool_],
    first: FloatArray | None = None,
    only: Callable[[IntArray], Quantity] | None = None,
) -> FloatArray:
    """Return where quantities cross nought between `low` and `high` `(K,)`; `rising` ones begin below it.

    Newton's steps from `first`, or from the middle, each kept within a bracket that only narrows: a step that would
    leave it becomes a halving. Where nothing is crossed the answer is an end of the bracket. `only` gives some of the
    quantities: once few are still on their way, as grazing rays are, the rest are not worked out any more.
    """
    u = (low + high) / 2 if first is None else first
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for _ in range(MOST_ROUNDS if len(u) else 0):
            value, slope = quantity(u)
            beyond = (value > 0) == rising
            low, high = np.where(beyond, low, u), np.where(beyond, u, high)
            newton = u - value / slope
            following = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
            moves = np.flatnonzero(np.abs(following - u) > STILL)
            u = following
            if len(moves) == 0:
                break
            if only is not None and len(moves) * FEW <= len(u):
                u[moves] = bracketed_roots(only(moves), low[moves], high[moves], rising[moves], u[moves])
                break
    return np.asarray(u)
