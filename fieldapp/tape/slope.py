"""Tape slope reduction: the level distance behind a tape held on a slope. Twin: web/phone/geometry/slope.js."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldapp.errors import InputError

FloatArray = NDArray[np.float64]


def level_distance(slope_m: ArrayLike, level_difference_m: ArrayLike) -> FloatArray:
    """Return the level distance `(...)` of a taped slope distance between ends that differ in level, ground metres.

    Pythagoras; sag, tension and temperature are left out. Raises InputError where the level difference is more than
    the tape is long: no tape reaches so.
    """
    slope, difference = np.asarray(slope_m, dtype=float), np.asarray(level_difference_m, dtype=float)
    if np.any(np.abs(difference) > slope):
        raise InputError(
            "A taped distance is shorter than the difference in level of its ends; check the reading and the levels."
        )
    return np.asarray(np.sqrt((slope - difference) * (slope + difference)))


def slope_distance(level_m: ArrayLike, level_difference_m: ArrayLike) -> FloatArray:
    """Return what a tape reads `(...)` over level distances whose ends differ in level, ground metres (Pythagoras)."""
    level, difference = np.asarray(level_m, dtype=float), np.asarray(level_difference_m, dtype=float)
    return np.asarray(np.sqrt(level * level + difference * difference))
