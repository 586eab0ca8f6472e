"""Measures of an outline: area, perimeter, long axis and its angle to the play."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from fieldapp.outline.curve import Curve

TRACE_SAGITTA_M = 1e-6
"""Fineness of the trace whose enclosing rectangle is taken; it bounds the error of both axes."""


@dataclass(frozen=True)
class OutlineMeasures:
    """Measures in course metres; `area_m2` is None for an open outline.

    The axes are the sides of the smallest rectangle that holds the outline; `long_axis_bearing_deg` is the
    course bearing of its longer side, from 0 up to 180.
    """

    area_m2: float | None
    perimeter_m: float
    long_axis_m: float
    short_axis_m: float
    long_axis_bearing_deg: float


def measure(curve: Curve) -> OutlineMeasures:
    """Measure an outline."""
    trace = curve.vertices(TRACE_SAGITTA_M) - curve.pieces.origin
    corners = shapely.get_coordinates(shapely.oriented_envelope(shapely.LineString(trace)))
    sides = np.diff(corners, axis=0)[:2]
    if len(sides) == 1:
        sides = np.vstack([sides, [[0.0, 0.0]]])
    lengths = np.hypot(*sides.T)
    longer = int(np.argmax(lengths))
    bearing_deg = np.rad2deg(np.arctan2(sides[longer, 0], sides[longer, 1])) % 180.0
    return OutlineMeasures(
        area_m2=curve.area_m2 if curve.closed else None,
        perimeter_m=curve.length_m,
        long_axis_m=float(lengths[longer]),
        short_axis_m=float(lengths[1 - longer]),
        long_axis_bearing_deg=float(bearing_deg),
    )


def angle_to_play_deg(long_axis_bearing_deg: float, play_bearing_deg: float) -> float:
    """Return the angle between long axis and play: 0 runs along play, 90 lies square across it."""
    between = (long_axis_bearing_deg - play_bearing_deg) % 180.0
    return min(between, 180.0 - between)
