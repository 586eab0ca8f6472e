"""Roots: where many quantities at once cross nought, each within a bracket of its own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Quantity = Callable[[FloatArray], tuple[FloatArray, FloatArray]]
"""Of parameters `(K,)` the values and their slopes, `(K,)` each."""

STILL = 1e-12
"""A parameter that moves by less has arrived; a piece of 100 m is run through by u from 0 to 1."""
MOST_ROUNDS = 80


def bracketed_roots(
    quantity: Quantity, low: FloatArray, high: FloatArray, rising: NDArray[np.bool_]
) -> FloatArray:
    """Return where quantities cross nought between `low` and `high` `(K,)`; `rising` ones begin below it.

    Newton's steps, each kept within a bracket that only narrows: a step that would leave it becomes a halving.
    Where nothing is crossed the answer is an end of the bracket.
    """
    u = (low + high) / 2
    for _ in range(MOST_ROUNDS):
        value, slope = quantity(u)
        beyond = (value > 0) == rising
        low, high = np.where(beyond, low, u), np.where(beyond, u, high)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            newton = u - value / slope
        stays = (newton >= low) & (newton <= high)
        following = np.where(stays, newton, (low + high) / 2)
        arrived = np.all(np.abs(following - u) <= STILL)
        u = following
        if arrived:
            break
    return np.asarray(u)
