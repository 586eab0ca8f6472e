"""Measures of an outline: area, perimeter, long axis and its angle to the play."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from fieldapp.outline.curve import Curve
from fieldapp.outline.pieces import FloatArray
from fieldapp.outline.span import span_m

TRACE_SAGITTA_M = 1e-4
"""Fineness of the trace whose smallest rectangle is turned on to that of the true curve."""
SEARCHED_DEG = (2.0, 0.4, 0.08, 0.016)
"""How far round the best direction so far the next better one is looked for, in steps of a fifth of it."""
ROUND_SHARE = 0.95
"""A short axis at least this share of the long one leaves no long side to speak of."""


@dataclass(frozen=True)
class OutlineMeasures:
    """Measures in course metres; `area_m2` is None for an open outline.

    The axes are the sides of the smallest rectangle that holds the outline; `long_axis_bearing_deg` is the
    course bearing of its longer side, from 0 up to 180, to about 0.003 degrees. The sides are exact for that bearing.
    """

    area_m2: float | None
    perimeter_m: float
    long_axis_m: float
    short_axis_m: float
    long_axis_bearing_deg: float

    @property
    def is_nearly_round(self) -> bool:
        """Whether which of its axes is the long one says nothing."""
        return self.short_axis_m >= ROUND_SHARE * self.long_axis_m


def measure(curve: Curve) -> OutlineMeasures:
    """Measure an outline."""
    bearing, (one, other) = _smallest_rectangle(curve)
    if one < other:
        bearing, one, other = bearing + 90.0, other, one
    return OutlineMeasures(
        area_m2=curve.area_m2 if curve.closed else None,
        perimeter_m=curve.length_m,
        long_axis_m=one,
        short_axis_m=other,
        long_axis_bearing_deg=bearing % 180.0,
    )


def _smallest_rectangle(curve: Curve) -> tuple[float, tuple[float, float]]:
    """Return the course bearing of one side of the smallest rectangle round a curve, its length and the other's.

    Round a nearly round outline the rectangle hardly grows when it is turned, so the one round a trace may lie a
    degree off; from there the true curve's is looked for.
    """
    trace = curve.vertices(TRACE_SAGITTA_M) - curve.pieces.origin
    corners = shapely.get_coordinates(shapely.oriented_envelope(shapely.LineString(trace)))
    best = float(np.rad2deg(np.arctan2(*(corners[1] - corners[0]))))
    for reach in SEARCHED_DEG:
        tried = best + reach * np.linspace(-1.0, 1.0, 11)
        one, other = _widths(curve, tried)
        best = float(tried[np.argmin(one * other)])
    one, other = _widths(curve, np.array([best]))
    return best, (float(one[0]), float(other[0]))


def _widths(curve: Curve, bearing_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return how long a curve is on course bearings `(N,)` and square to them."""
    both = np.concatenate([bearing_deg, bearing_deg + 90.0])
    least, greatest = span_m(curve, curve.pieces.origin, both)
    one, other = np.split(greatest - least, 2)
    return one, other


def angle_to_play_deg(long_axis_bearing_deg: float, play_bearing_deg: float) -> float:
    """Return the angle between long axis and play: 0 runs along play, 90 lies square across it."""
    between = (long_axis_bearing_deg - play_bearing_deg) % 180.0
    return min(between, 180.0 - between)
