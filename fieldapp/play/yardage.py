"""Yardage: how far a place is from a tee plate, straight and along the line of play. Twin:
geometry/yardage.js.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.play.line_of_play import LineOfPlay
from fieldapp.reading.verdict import R95_IN_SIGMA

Z95_IN_SIGMA = 1.959963984540054
"""Two-sided 95 % of one normal variable."""


@dataclass(frozen=True)
class Yardage:
    """Ground metres from a tee plate: straight, along the line of play, and off it (right positive)."""

    straight_m: float
    along_m: float
    offset_m: float


def yardage(line: LineOfPlay, xy: ArrayLike, ground_scale: float) -> Yardage:
    """Return the yardage of a place `(2,)` in course metres; `ground_scale` is ground metres per course
    metre.
    """
    away = np.asarray(xy, dtype=float) - line.vertices[0]
    along, offset = line.locate(xy)
    return Yardage(
        straight_m=float(np.sqrt(away[0] ** 2 + away[1] ** 2)) * ground_scale,
        along_m=float(along) * ground_scale,
        offset_m=float(offset) * ground_scale,
    )


def straight_range95_m(radius95_m: float, tee95_m: float = 0.0, grid95_m: float = 0.0) -> float:
    """Return the half-width of the 95 % range of a distance from a tee plate.

    From three independent 95 % radii: of the position, of the tee plate, and of the grid's fit where one stands; they
    add by squares. A distance takes only the part of a circular normal error that lies along it: 1.9600 sigma, where
    the radius is 2.4477 sigma. The same holds along the line of play and off it. Left out: at less than some ten sigma
    from the plate the error square to the distance lengthens it; at 100 sigma by half a hundredth of a sigma.
    """
    return Z95_IN_SIGMA * math.hypot(radius95_m, tee95_m, grid95_m) / R95_IN_SIGMA
