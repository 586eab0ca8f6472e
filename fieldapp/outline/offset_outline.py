"""An outline at one distance from another: the mound foot, the face line or the turf to be moved, off the sand edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from fieldapp.errors import OutlineError
from fieldapp.model import ControlPoint, DrawnShape
from fieldapp.outline.control_points import check_drawable
from fieldapp.outline.curve import build_curve
from fieldapp.outline.fitted_points import FIGURES, fitted_shape
from fieldapp.outline.pieces import FloatArray

WITHIN_M = 0.0045
"""How far the curve of an offset outline may leave the line at its true distance, course metres."""
TRACE_M = 0.0002
CLEANED_M = 0.00005
"""Vertices that do not matter by this much are left out."""
QUARTER = 90
"""A round corner is followed by so many chords to the quarter."""
MOST_BY_M = 200.0


@dataclass(frozen=True)
class OffsetShape:
    """An outline at a distance from another, and how far its curve leaves the true one, course metres at most."""

    shape: DrawnShape
    off_m: float


def offset_shape(shape: DrawnShape, by_m: float) -> OffsetShape:
    """Return the closed outline `by_m` course metres outside a closed one, inside it where that is less than 0.

    Every place of it is that far from the nearest place of the other, so it goes round outside corners in an arc. Of
    straight lines alone comes an outline of straight lines where no arc is needed, else a smooth one. Raises
    OutlineError, in words, for an open outline and where nothing is left, it falls apart, or it closes round a gap.
    """
    if not shape.closed:
        raise OutlineError("An open line has no inside and no outside; close the outline, then offset it.")
    if not 0.001 <= abs(by_m) <= MOST_BY_M:
        raise OutlineError(f"The distance must lie between 1 mm and {MOST_BY_M:g} m, outward or inward.")
    check_drawable(shape)
    ring = _ring(build_curve(shape).vertices(TRACE_M), by_m)
    straight = _straight(shape, ring)
    if straight is not None:
        return straight
    fitted = fitted_shape(ring, WITHIN_M)
    return OffsetShape(fitted.shape, fitted.off_m)


def _ring(trace: FloatArray, by_m: float) -> FloatArray:
    middle = trace[0]
    found = shapely.buffer(shapely.make_valid(shapely.Polygon(trace - middle)), by_m, quad_segs=QUARTER)
    distance = f"{abs(by_m):.2f} m {'outside' if by_m > 0 else 'inside'}"
    if found.is_empty:
        raise OutlineError(f"Nothing is left {distance} this outline; choose a shorter distance.")
    if found.geom_type != "Polygon":
        raise OutlineError(
            f"It falls apart into {len(found.geoms)} pieces {distance}; choose a shorter distance."
        )
    if len(found.interiors) > 0:
        raise OutlineError(f"It meets itself round a gap {distance}; choose a shorter distance.")
    return np.asarray(shapely.get_coordinates(shapely.simplify(found.exterior, CLEANED_M)) + middle)


def _straight(shape: DrawnShape, ring: FloatArray) -> OffsetShape | None:
    """Return the corners of a ring as they are, where lines alone were offset and no arc came of it; else None."""
    if shape.curve != "straight" or any(point.role == "through" for point in shape.points):
        return None
    corners = shapely.get_coordinates(shapely.simplify(shapely.Polygon(ring), TRACE_M).exterior)[:-1]
    if len(corners) > len(shape.points):
        return None
    points = (ControlPoint(round(float(x), FIGURES), round(float(y), FIGURES)) for x, y in corners)
    straight = DrawnShape(tuple(points), "straight", closed=True)
    drawn = shapely.LineString(build_curve(straight).vertices(TRACE_M))
    return OffsetShape(straight, float(shapely.hausdorff_distance(drawn, shapely.LineString(ring))))
